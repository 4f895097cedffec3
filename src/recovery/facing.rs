//! Which side of a stuck vehicle faces the pull, and so which of its points carry it.

use serde::Serialize;

use super::pull::{Direction, Stuck};
use crate::course::End;

/// The side of the stuck vehicle that the line leaves from. Every vehicle of a course comes down its
/// slopes nose first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Facing {
    /// Its front: pulled on the way it was driving.
    Front,
    /// Its rear: pulled back up the slope it came down.
    Rear,
    /// It lies on its side: points of either end, pulled across.
    Side,
}

impl Facing {
    /// For a way of being stuck and of pulling.
    pub const fn of(stuck: Stuck, direction: Direction) -> Self {
        match (stuck, direction) {
            (Stuck::Overturned, _) => Self::Side,
            (_, Direction::Up | Direction::Lower) => Self::Rear,
            (_, Direction::Level | Direction::Down) => Self::Front,
        }
    }

    /// The ends whose points may carry the pull.
    pub const fn ends(self) -> &'static [End] {
        match self {
            Self::Front => &[End::Front],
            Self::Rear => &[End::Rear],
            Self::Side => &[End::Front, End::Rear],
        }
    }

    /// Whether a winch mounted at this end of the stuck vehicle pulls this way.
    pub const fn own_winch(self, mounted: End) -> bool {
        matches!((self, mounted), (Self::Front, End::Front) | (Self::Rear, End::Rear))
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Rear => "rear",
            Self::Side => "side",
        }
    }
}
