//! Where in a rig a shackle is.

use serde::Serialize;

/// What a shackle joins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Joins {
    /// Line, block or a bridle's leg to a point of the stuck vehicle.
    Vehicle,
    /// Line or block to the bridle.
    Bridle,
    /// Line or block to the extension.
    Extension,
    /// The end of the line, or a block, to what holds it.
    FarEnd,
    /// The winch, or the vehicle that carries it, to what holds it.
    Winch,
    /// What is made fast to a braked vehicle, at its point.
    Braked,
    /// A tow line to the tug.
    Tug,
}

impl Joins {
    /// Where it is, for a table.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Vehicle => "at the stuck vehicle",
            Self::Bridle => "at the bridle",
            Self::Extension => "at the extension",
            Self::FarEnd => "at the far end",
            Self::Winch => "winch to its strap",
            Self::Braked => "at the braked vehicle",
            Self::Tug => "at the tug",
        }
    }

    /// Whether it is at the end where the stuck vehicle is.
    pub const fn near(self) -> bool {
        matches!(self, Self::Vehicle | Self::Bridle)
    }
}
