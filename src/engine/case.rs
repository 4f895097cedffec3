//! Ranges, and which end of them is reckoned with.

use serde::Serialize;

use crate::course::Band;

/// Which end of every range a descent is worked at.
///
/// Friction, engine drag and rolling resistance help to hold a vehicle, so their low ends belong
/// together, without the losses of the driveline, which never help to prove a hold, and at the highest
/// idle: a vehicle is nowhere faster than in [`Case::Unfavourable`]. Engine drag asks grip of the wheels
/// too: with its high end on the low end of the grip, [`Case::Dragged`], they are nearest to sliding. A
/// verdict is given from both.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Case {
    /// Low friction, low engine drag, low rolling resistance.
    Unfavourable,
    /// The likely value of each.
    Likely,
    /// The high value of each.
    Favourable,
    /// Low friction and rolling resistance, high engine drag: where engine braking slides the wheels.
    Dragged,
}

impl Case {
    /// From the worst to the best; [`Case::Dragged`] apart, which is bad in its own way.
    pub const ALL: [Self; 3] = [Self::Unfavourable, Self::Likely, Self::Favourable];

    /// The value of a helping quantity in this case.
    pub fn of(self, band: Band) -> f64 {
        match self {
            Self::Unfavourable | Self::Dragged => band.low,
            Self::Likely => band.likely,
            Self::Favourable => band.high,
        }
    }
}

/// Lowest, likely and highest value of a result, SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spread {
    /// The lowest of the cases.
    pub low: f64,
    /// The likely case.
    pub likely: f64,
    /// The highest of the cases.
    pub high: f64,
}

impl Spread {
    /// From the unfavourable, the likely and the favourable case, in any order of size.
    pub fn of(cases: [f64; 3]) -> Self {
        let [a, likely, b] = cases;
        Self { low: a.min(b).min(likely), likely, high: a.max(b).max(likely) }
    }
}

impl From<Band> for Spread {
    fn from(band: Band) -> Self {
        Self { low: band.low, likely: band.likely, high: band.high }
    }
}
