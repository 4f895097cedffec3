//! What stays in the box, and why.

use serde::Serialize;

use crate::course::{Condition, KitItem, PointFault, Soil};

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
    /// Nobody wrote down when it was last checked, and the course leaves such kit in the box.
    Unchecked,
    /// Pickets where nothing is published for the ground.
    WetGround,
    /// The same: sand, scree, loose gravel, snow.
    LooseGround,
    /// Nothing can be driven in.
    HardGround,
    /// Nobody told what the ground is.
    UnknownGround,
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
            Self::Unchecked => "no date of its last check: left in the box by the course’s own rule",
            Self::WetGround => {
                "wet or fine-grained ground, and no holding power is published for pickets in it"
            }
            Self::LooseGround => "loose ground, and no holding power is published for pickets in it",
            Self::HardGround => "hard ground: pickets are not driven in deep enough",
            Self::UnknownGround => "what the ground is made of is not told",
            Self::NoLine => "no line is named for it",
            Self::LineUnfit => "its line may not be used",
            Self::HostAway => "the vehicle that carries it is not here",
            Self::Point(fault) => fault.words(),
        }
    }
}

/// Why pickets are not counted on a ground, if they are not. Published for undisturbed, firm, dry ground (B8,
/// ch. 6). For softer ground no figure for pickets was found; a buried log then counts for half (B12, table 9),
/// so the low end for pickets is none at all (common practice, no source).
pub const fn pickets_not_in(soil: Soil) -> Option<Reason> {
    match soil {
        Soil::Dry => None,
        Soil::Wet => Some(Reason::WetGround),
        Soil::Loose => Some(Reason::LooseGround),
        Soil::Hard => Some(Reason::HardGround),
        Soil::Unknown => Some(Reason::UnknownGround),
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
