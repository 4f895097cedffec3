//! Places on a vehicle that a line might be hung on, and which of them carry one.

use serde::Serialize;

use crate::course::Name;
use crate::quantity::Force;

/// An end of a vehicle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum End {
    /// Where it looks.
    Front,
    /// The other.
    Rear,
}

impl End {
    /// The opposite end.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Front => Self::Rear,
            Self::Rear => Self::Front,
        }
    }

    /// Both.
    pub const BOTH: [Self; 2] = [Self::Front, Self::Rear];

    /// In words, as the course writes it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Rear => "rear",
        }
    }
}

/// What such a place is. The course says it; nothing is guessed from what the place is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PointKind {
    /// Hook, eye or bracket that the maker rates for recovery, bolted to the chassis.
    Chassis,
    /// Pin or jaw hitch with a rating.
    Hitch,
    /// Eye of the factory for towing on the road: its type approval asks for half the laden mass only
    /// (Commission Regulation (EU) No 1005/2010), so it counts with its own rating or not at all.
    TowingEye,
    /// Ball of a trailer coupling.
    TowBall,
    /// Eye that lashes a parked vehicle to a transporter.
    LashingPoint,
    /// The bumper or something on it alone.
    Bumper,
    /// Nobody knows.
    Unknown,
}

/// Why nothing is hung on a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PointFault {
    /// It is a tow ball.
    TowBall,
    /// It is a lashing point.
    LashingPoint,
    /// It is a bumper.
    Bumper,
    /// Nobody knows what it is.
    UnknownPoint,
    /// It has no rating.
    UnratedPoint,
}

impl PointFault {
    /// As part of a sentence.
    pub const fn words(self) -> &'static str {
        match self {
            Self::TowBall => {
                "a tow ball is made for a trailer's nose weight, not for a recovery: it breaks off and flies"
            }
            Self::LashingPoint => {
                "a lashing point holds a parked vehicle on a transporter; it is no recovery point"
            }
            Self::Bumper => "a bumper is no part of the chassis: it tears off and flies",
            Self::UnknownPoint => {
                "what it is fixed to is not known: a bolt of unknown origin tears out without warning"
            }
            Self::UnratedPoint => "no rating from the maker: what it carries is not known",
        }
    }
}

/// The left or the right of a vehicle, as its driver sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The driver’s left.
    Left,
    /// The driver’s right.
    Right,
}

impl Side {
    /// Both.
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

/// A place on the vehicle where a line may be attached.
#[derive(Clone, Debug, PartialEq)]
pub struct RecoveryPoint {
    /// Where, for people: "left chassis rail, behind the grille".
    pub place: Name,
    /// What it is.
    pub kind: PointKind,
    /// At which end.
    pub end: End,
    /// On which side of the vehicle, as its driver sits; none where it is in the middle or nobody said. Only a point
    /// whose side is known rights a vehicle: in the middle a line has half the arm.
    pub side: Option<Side>,
    /// Working load limit stamped or given by the maker; none when unrated.
    pub working_load: Option<Force>,
}

impl RecoveryPoint {
    /// What may be hung on it.
    ///
    /// # Errors
    /// Why nothing may.
    pub const fn carries(&self) -> Result<Force, PointFault> {
        match (self.kind, self.working_load) {
            (PointKind::TowBall, _) => Err(PointFault::TowBall),
            (PointKind::LashingPoint, _) => Err(PointFault::LashingPoint),
            (PointKind::Bumper, _) => Err(PointFault::Bumper),
            (PointKind::Unknown, _) => Err(PointFault::UnknownPoint),
            (PointKind::Chassis | PointKind::Hitch | PointKind::TowingEye, None) => {
                Err(PointFault::UnratedPoint)
            }
            (PointKind::Chassis | PointKind::Hitch | PointKind::TowingEye, Some(load)) => Ok(load),
        }
    }
}
