//! Practice slopes.

pub(super) mod edges;
pub(super) mod near;
pub(super) mod site;
pub(super) mod way_off;
pub(super) mod ways;

use super::{Name, Remark};
use crate::quantity::{Angle, Length, Speed};

/// A practice slope: stretches down the fall line, then a run-out.
#[derive(Clone, Debug, PartialEq)]
pub struct Slope {
    /// Short name used in references.
    pub id: String,
    /// What it is called on the ground.
    pub name: Name,
    /// What it teaches, one sentence.
    pub purpose: Remark,
    /// The surface's identifier.
    pub surface: String,
    /// From the brow down.
    pub stretches: Vec<Stretch>,
    /// Tilt of the ground across the line driven; 0 when straight down.
    pub cross_slope: Angle,
    /// Angle between the line driven and the fall line, in the slope's plane.
    pub heading: Angle,
    /// Usable width.
    pub width: Option<Length>,
    /// What lies beyond the foot.
    pub run_out: Option<RunOut>,
    /// The way out of a line that leans: straight down, from where a vehicle begins to slide.
    pub escape: Option<Escape>,
    /// Speed over the brow.
    pub entry_speed: Speed,
    /// Ground before the brow, and how it bends there.
    pub brow: Brow,
    /// Length along the ground over which it bends at the foot; none where nobody measured it.
    pub foot_rounded: Option<Length>,
    /// Bumps or ruts under one side, the highest.
    pub bump: Option<Length>,
    /// What can hurt somebody here.
    pub hazards: Vec<Danger>,
    /// What holds on it besides the rules of every slope: who waits where, when it is closed.
    pub rules: Vec<Remark>,
    /// Where the spotter stands and the side to leave by.
    pub spotter: Option<Remark>,
    /// Whether an instructor sits beside every learner who drives it, on every run.
    pub instructor_beside: bool,
    /// Its own radio channel; none where it talks on the day's.
    pub channel: Option<Name>,
    /// Where the assessor of a practical stands.
    pub assessor: Option<Lookout>,
    /// Who measured it, when and with what.
    pub survey: Option<Survey>,
    /// Picture files beside the course file.
    pub photographs: Vec<String>,
}

/// What can hurt somebody on a slope.
#[derive(Clone, Debug, PartialEq)]
pub struct Danger {
    /// In the course's words.
    pub what: Remark,
    /// What sort of thing it is, where the course says so: it decides what is done about it.
    pub kind: Option<DangerKind>,
    /// Where a step lies and how high it is, where that is measured.
    pub step: Option<Step>,
}

/// A step down across the line driven.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// From the brow, along the ground.
    pub at: Length,
    /// From its upper to its lower edge.
    pub height: Length,
}

/// The brow: the ground a vehicle comes from, and how it bends into the slope.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Brow {
    /// Gradient of the ground before it, down positive; level where the course does not say.
    pub before: Angle,
    /// Length along the ground over which it bends; none where nobody measured it: a sharp edge.
    pub rounded: Option<Length>,
}

/// Sorts of dangers for which something particular is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DangerKind {
    /// An edge or a drop beside the line or below it.
    Edge,
    /// Water that the ground leans to or a line ends at.
    Water,
    /// People on foot who do not belong to the course.
    Walkers,
    /// Animals that graze or run there.
    Animals,
    /// Stones that lie on the line or roll down it.
    Stones,
    /// Vehicles that do not belong to the course, or a gate onto a road.
    Traffic,
    /// Ground that gets slippery by dew, rain or use.
    Slippery,
    /// A step or ledge across the line.
    Step,
}

/// A place beside a slope, and what of a run can be seen from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lookout {
    /// Where it is.
    pub stands: Remark,
    /// What is seen from there.
    pub sees: Vec<Sight>,
}

/// A part of a run that somebody sees, or does not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sight {
    /// Driver and vehicle before the brow, and the vehicle from behind as it goes.
    Brow,
    /// Wheels and pegs from brow to foot, from the side.
    Line,
    /// Foot and run-out.
    Foot,
}

/// A part of a slope with one gradient.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Measured along the ground.
    pub length: Length,
    /// Below the horizontal.
    pub gradient: Angle,
}

/// Ground after the foot of the slope on which a vehicle can come to rest.
#[derive(Clone, Debug, PartialEq)]
pub struct RunOut {
    /// Measured along the ground.
    pub length: Length,
    /// Downward positive; a rise is negative.
    pub gradient: Angle,
    /// The surface's identifier, if it differs from the slope's.
    pub surface: Option<String>,
    /// What a vehicle meets at its end.
    pub ends_at: Option<Name>,
}

/// The way out of a line across a slope: the ground below it, which a vehicle that begins to slide is turned down.
#[derive(Clone, Debug, PartialEq)]
pub struct Escape {
    /// Down the fall line from the line driven, measured along the ground.
    pub length: Length,
    /// Below the horizontal; none where it is that of the fall line at the line driven.
    pub gradient: Option<Angle>,
    /// What lies beyond it.
    pub run_out: RunOut,
}

/// Flat ground kept free for a locked stop that a class can see.
#[derive(Clone, Debug, PartialEq)]
pub struct SkidPad {
    /// Along the line driven.
    pub length: Length,
    /// Across it.
    pub width: Length,
    /// Downward positive; a rise is negative.
    pub gradient: Angle,
    /// The surface's identifier.
    pub surface: String,
    /// What a vehicle meets at its end.
    pub ends_at: Option<Name>,
}

/// Who measured a slope.
#[derive(Clone, Debug, PartialEq)]
pub struct Survey {
    /// By whom.
    pub by: Option<Name>,
    /// When, as written.
    pub date: Option<Name>,
    /// With what, and how fine it reads.
    pub instrument: Option<Name>,
    /// Step the instrument reads to.
    pub reads_to: Option<Angle>,
}

impl Slope {
    /// Length along the ground from brow to foot.
    pub fn length(&self) -> Length {
        Length::new(self.stretches.iter().map(|stretch| stretch.length.si()).sum())
    }

    /// Height from brow to foot.
    pub fn height(&self) -> Length {
        Length::new(self.stretches.iter().map(|s| s.length.si() * libm::sin(s.gradient.si())).sum())
    }

    /// Whether there is water that a vehicle can get into, by its typed hazards.
    pub fn has_water(&self) -> bool {
        self.hazards.iter().any(|danger| danger.kind == Some(DangerKind::Water))
    }

    /// Whether others may drive on it: somebody stands at each of its ends.
    pub fn has_traffic(&self) -> bool {
        self.hazards.iter().any(|danger| danger.kind == Some(DangerKind::Traffic))
    }

    /// Whether a step or a ledge crosses it, by its typed hazards.
    pub fn has_step(&self) -> bool {
        self.hazards.iter().any(|danger| danger.kind == Some(DangerKind::Step))
    }

    /// The steepest stretch.
    ///
    /// # Panics
    /// Never for a checked slope, which has a stretch.
    pub fn steepest(&self) -> &Stretch {
        self.stretches
            .iter()
            .max_by(|a, b| a.gradient.si().total_cmp(&b.gradient.si()))
            .expect("a checked slope has at least one stretch")
    }
}
