//! What runs depend on: figures that are looked for, and errors that runs have in common.

use chrono::NaiveDate;

use crate::course::Range;

/// Ground on a day, at one place.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct There {
    pub surface: String,
    /// The slope; none on level ground.
    pub slope: Option<String>,
    pub date: NaiveDate,
}

/// One score.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Key {
    /// Engine drag at idle.
    DragAtIdle(String),
    /// What of the drag at the highest speed is not told by that at idle.
    DragBeyond(String),
    /// Losses of the driveline in a range of gears.
    Losses(String, Range),
    Mass(String),
    /// Heat that the brakes' iron takes for each kelvin.
    Iron(String),
    Tyre(String),
    Idle(String),
    Converter(String),
    /// Sliding friction of a surface, wherever and whenever.
    Sliding(String),
    Rolling(String),
    /// How the ground differed there that day.
    SlidingThere(There),
    RollingThere(There),
    /// Gradient of a slope.
    Gradient(String),
    /// What an instrument was off by all day.
    Shared(&'static str, NaiveDate),
}

impl Key {
    /// Whether it is a figure that is looked for; else an error that runs have in common.
    pub(super) const fn is_figure(&self) -> bool {
        matches!(
            self,
            Self::DragAtIdle(_) | Self::DragBeyond(_) | Self::Sliding(_) | Self::Rolling(_) | Self::Iron(_)
        )
    }

    /// For ground there that day, the key of the same ground everywhere.
    pub(super) fn whole(&self) -> Option<Self> {
        match self {
            Self::SlidingThere(there) => Some(Self::Sliding(there.surface.clone())),
            Self::RollingThere(there) => Some(Self::Rolling(there.surface.clone())),
            _ => None,
        }
    }
}

/// Scores by key; what is not among them is 0.
pub(super) struct Scores<'a> {
    pub keys: &'a [Key],
    pub values: &'a [f64],
}

impl Scores<'_> {
    pub(super) fn of(&self, wanted: &Key) -> f64 {
        self.keys.iter().position(|key| key == wanted).map_or(0.0, |at| self.values[at])
    }
}
