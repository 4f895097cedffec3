//! How a vehicle is stuck, and which way it is pulled.

use serde::Serialize;

use super::facts::Mark;

/// How a vehicle is stuck.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stuck {
    /// Stopped, its wheels free to turn.
    Rolls,
    /// Wheels that cannot turn: brakes, axle or gearbox.
    Locked,
    /// Sunk in to a mark.
    Mired(Mark),
    /// On its side: the pull that starts to right it.
    Overturned,
}

impl Stuck {
    /// In words, for pages.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rolls => "stopped, wheels free",
            Self::Locked => "wheels cannot turn",
            Self::Mired(Mark::Sidewall) => "sunk over the tyres' sidewalls",
            Self::Mired(Mark::Hub) => "sunk to the hubs",
            Self::Mired(Mark::Wing) => "sunk to the wings",
            Self::Mired(Mark::Cab) => "sunk to frame or cab",
            Self::Overturned => "on its side, to right it",
        }
    }
}

impl Stuck {
    /// In a word or two, for tables.
    pub const fn short(self) -> &'static str {
        match self {
            Self::Rolls => "wheels free",
            Self::Locked => "wheels locked",
            Self::Mired(Mark::Sidewall) => "sunk, sidewalls",
            Self::Mired(Mark::Hub) => "sunk, hubs",
            Self::Mired(Mark::Wing) => "sunk, wings",
            Self::Mired(Mark::Cab) => "sunk, cab",
            Self::Overturned => "on its side",
        }
    }

    /// One word for programs.
    pub const fn id(self) -> &'static str {
        match self {
            Self::Rolls => "rolls",
            Self::Locked => "locked",
            Self::Mired(Mark::Sidewall) => "mired_sidewall",
            Self::Mired(Mark::Hub) => "mired_hub",
            Self::Mired(Mark::Wing) => "mired_wing",
            Self::Mired(Mark::Cab) => "mired_cab",
            Self::Overturned => "overturned",
        }
    }
}

impl Serialize for Stuck {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.id())
    }
}

/// Which way the pull goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    /// Up the steepest stretch: the grade adds.
    Up,
    /// On the level.
    Level,
    /// Down: the grade helps and is not counted on.
    Down,
    /// Let down on the line from above: the force that holds it.
    Lower,
}
