//! The means of fetching a vehicle, cheapest and safest first.

use serde::Serialize;

use crate::recovery::rig::Rig;

/// A means of fetching a vehicle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Means {
    /// Everybody out of the way, the vehicle held, one leader: then think.
    Think,
    /// Dig, lower pressures, unload, lay boards.
    Dig,
    /// Drive out downhill, or back the way it came.
    DriveOut,
    /// Let down on the line from above.
    Lower,
    /// Towed along the track.
    Tow,
    /// Winched on a single line.
    SingleLine,
    /// Winched on a double line or more parts.
    DoubleLine,
    /// Winched in two stages.
    TwoStages,
    /// Set on its wheels, a catch line holding it past its balance.
    Right,
    /// A professional is called.
    Professional,
}

impl Means {
    /// Whether a rig is one of this means.
    pub fn takes(self, rig: &Rig) -> bool {
        match self {
            Self::SingleLine => rig.parts_of_line == 1,
            Self::DoubleLine => rig.parts_of_line > 1,
            _ => true,
        }
    }
}
