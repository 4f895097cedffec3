//! What stays in the box, and why.

use serde::Serialize;

use crate::course::{Condition, KitItem, PointFault};

/// Something that is never used, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unfit {
    /// Kit or vehicle identifier.
    pub id: String,
    /// Its name, or the place on the vehicle.
    pub name: String,
    /// Why.
    pub reason: Reason,
}

/// Why something is never used to pull.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// No figure at all.
    Unrated,
    /// A strength alone.
    NoFactor,
    /// Found unfit.
    Retired,
    /// An anchor without a figure.
    Untested,
    /// A winch for which no line is named.
    NoLine,
    /// A winch whose line may not be used.
    LineUnfit,
    /// A winch whose vehicle is not here.
    HostAway,
    /// A place on a vehicle that carries nothing.
    #[serde(untagged)]
    Point(PointFault),
}

impl Reason {
    /// As part of a sentence.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Unrated => {
                "no working load limit on it: what it carries is unknown, so nothing is hung on it"
            }
            Self::NoFactor => {
                "breaking strength without its design factor: not converted into a working load limit"
            }
            Self::Retired => "retired at the last inspection",
            Self::Untested => {
                "no holding power given or published for it: not used until it is tested in this ground"
            }
            Self::NoLine => "no line is named for it",
            Self::LineUnfit => "its line may not be used",
            Self::HostAway => "the vehicle that carries it is not here",
            Self::Point(fault) => fault.words(),
        }
    }
}

/// Why a piece of kit may not pull, if it may not.
pub fn unfit_reason(item: &KitItem) -> Option<Reason> {
    if item.rig.condition == Condition::Retired {
        return Some(Reason::Retired);
    }
    match (item.rating.limit(), item.rating.breaking) {
        (Some(_), _) => None,
        (None, Some(_)) => Some(Reason::NoFactor),
        (None, None) => Some(Reason::Unrated),
    }
}
