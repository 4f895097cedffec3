//! A rung of the ladder: a means, what it takes, whether this kit does it, and why not.

use serde::Serialize;

use super::kit::Missing;
use super::lower::Lowering;
use super::means::Means;
use super::right::NoRighting;
use super::second::{Brake, Second};
use super::tow::{NoTow, Tow};
use crate::course::{Course, MissingKit};
use crate::recovery::case::Worked;
use crate::recovery::pull::{Direction, Stuck, chosen_for};
use crate::recovery::rig::{Refusal, Refused, Rig};

/// Most stages of one recovery. With more it is work for a professional (common practice, no source).
pub const MOST_STAGES: u32 = 2;

/// Why a means does not do it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "why", rename_all = "snake_case")]
pub enum WhyNot {
    /// Its wheels cannot turn.
    CannotTurn,
    /// Its wheels cannot turn and the slope has a step: no sum holds for what drags them over it.
    OverAStep,
    /// Wheels that do not turn have no grip to the side, and the ground leans: it would slide to the low side.
    OnALeaningLine,
    /// It is held by the ground.
    HeldFast,
    /// It does not run down by itself.
    DoesNotRun,
    /// No rated recovery point on it.
    NoRatedPoint,
    /// No winch with a rated line.
    NoWinch {
        /// Whether the kit has no other rated line either.
        line: bool,
        /// Whether nothing that counts as an anchor is there either.
        anchor: bool,
    },
    /// Every rig of this kit takes too long.
    TooLong {
        /// What the quickest takes, s.
        takes: f64,
    },
    /// Nothing would hold it while the anchor is set anew between two stages.
    NothingHolds,
    /// No rig of this kit.
    NoRig {
        /// The refusal nearest to success.
        nearest: Option<Refusal>,
    },
    /// One setting does not reach.
    OutOfReach {
        /// Stages it would take.
        stages: u32,
    },
    /// Were the line or its anchor to let go, nothing else would hold it with somebody aboard.
    NoSecondMeans {
        /// What its foot brake comes to.
        brake: Brake,
        /// What a catch line lacks, nearest to success.
        nearest: Option<Refused>,
    },
    /// Safety gear is missing, and the course's rule refuses the rig.
    MissingKit,
    /// No tow.
    NoTow(NoTow),
    /// No righting.
    NoRighting(NoRighting),
}

/// What a rung comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "does", rename_all = "snake_case")]
pub enum Does {
    /// Tried first; no sum says whether it will do.
    Try,
    /// The kit does it.
    Yes,
    /// It does not.
    No {
        /// Why.
        #[serde(flatten)]
        why: WhyNot,
    },
}

/// A rung of the ladder.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rung {
    /// The means.
    pub means: Means,
    /// Which way the vehicle goes, where a line is used.
    pub direction: Option<Direction>,
    /// The force it takes, N, by the highest system: to pull, or to hold.
    pub force: Option<f64>,
    /// The force parts are chosen for, N.
    pub chosen_for: Option<f64>,
    /// Whether it does it.
    #[serde(flatten)]
    pub does: Does,
    /// The rig.
    pub rig: Option<Rig>,
    /// Line that holds it back: when it is righted, or as the second means on a slope.
    pub catch: Option<Rig>,
    /// The tow.
    pub tow: Option<Tow>,
    /// What stops it were the line or its anchor to let go.
    pub second: Option<Second>,
    /// What belongs to letting it down.
    pub lowering: Option<Lowering>,
    /// Safety gear the kit lacks for it.
    pub missing: Vec<Missing>,
}

impl Rung {
    /// Whether somebody sits in a vehicle stuck like this while it is moved.
    pub fn aboard(&self, stuck: Stuck) -> bool {
        self.means != Means::Right && self.second.is_none_or(|second| second.aboard(stuck))
    }

    pub(super) fn plain(means: Means, does: Does) -> Self {
        Self {
            means,
            direction: None,
            force: None,
            chosen_for: None,
            does,
            rig: None,
            catch: None,
            tow: None,
            second: None,
            lowering: None,
            missing: Vec::new(),
        }
    }

    pub(super) fn not(means: Means, why: WhyNot) -> Self {
        Self::plain(means, Does::No { why })
    }

    pub(super) fn of_pull(means: Means, worked: &Worked) -> Self {
        let pull = &worked.recovery.pull;
        Self {
            direction: Some(pull.direction),
            force: Some(pull.high),
            chosen_for: Some(chosen_for(pull)),
            ..Self::plain(means, Does::Try)
        }
    }

    /// With a rig: done, unless the course refuses it for what is missing.
    pub(super) fn with(mut self, course: &Course, missing: Vec<Missing>) -> Self {
        let refused = !missing.is_empty() && course.recovery.missing_kit == MissingKit::Refuse;
        self.missing = missing;
        self.does = if refused { Does::No { why: WhyNot::MissingKit } } else { Does::Yes };
        self
    }
}
