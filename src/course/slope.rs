//! Practice slopes.

pub(super) mod edges;
pub(super) mod near;
pub(super) mod photograph;
pub(super) mod site;
pub(super) mod way_off;
pub(super) mod ways;

use super::{Name, Remark};
use crate::quantity::{Angle, Length, Speed};
use photograph::Photograph;

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
    /// The identifier of the surface it has in the wet, where the course says so.
    pub wet_surface: Option<String>,
    /// The surface it had, by its identifier, where it was wetted since.
    pub dry_surface: Option<String>,
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
    /// Pictures of it, beside the course file.
    pub photographs: Vec<Photograph>,
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

/// Grounds of the library that are there dry and wet.
const WETTED: [(&str, &str); 3] =
    [("dry-asphalt", "wet-asphalt"), ("earth-dry", "earth-wet"), ("grass-dry", "grass-wet")];

/// The library's wet surface for a dry one of it; none where it has none.
fn wetted(surface: &str) -> Option<&'static str> {
    WETTED.iter().find(|(dry, _)| *dry == surface).map(|(_, wet)| *wet)
}

impl super::Course {
    /// Whether every slope lies on the surface that it has in another course.
    pub fn lies_like(&self, other: &Self) -> bool {
        let surfaces = |course: &Self| -> Vec<(String, Option<String>)> {
            let beyond = |slope: &Slope| slope.run_out.as_ref().and_then(|run_out| run_out.surface.clone());
            course.slopes.iter().map(|slope| (slope.surface.clone(), beyond(slope))).collect()
        };
        surfaces(self) == surfaces(other)
    }

    /// Puts a surface under a slope, by its place; a run-out that has a wet surface of its own lies in the same rain.
    pub fn wets(&mut self, slope: usize, surface: &str) {
        let slope = &mut self.slopes[slope];
        if let Some(own) = slope.run_out.as_mut().and_then(|run_out| run_out.surface.as_mut()) {
            let wet = if *own == slope.surface { Some(surface) } else { wetted(own) };
            if let Some(wet) = wet {
                *own = wet.to_owned();
            }
        }
        let before = std::mem::replace(&mut slope.surface, surface.to_owned());
        slope.dry_surface.get_or_insert(before);
        let wanted = slope.run_out.as_ref().and_then(|run_out| run_out.surface.clone());
        for id in wanted.into_iter().chain([surface.to_owned()]) {
            if self.surface(&id).is_none() {
                self.surfaces.extend(super::library_surface(&id));
            }
        }
    }
}

impl Slope {
    /// The identifier of the surface it has in the wet: the course's own word for it, or the library's.
    pub fn when_wet(&self) -> Option<String> {
        self.wet_surface.clone().or_else(|| wetted(&self.surface).map(str::to_owned))
    }

    /// Length along the ground from brow to foot.
    pub fn length(&self) -> Length {
        Length::new(self.stretches.iter().map(|stretch| stretch.length.si()).sum())
    }

    /// Height from brow to foot.
    pub fn height(&self) -> Length {
        Length::new(self.stretches.iter().map(|s| s.length.si() * libm::sin(s.gradient.si())).sum())
    }

    /// Angle of the straight line from brow to foot, rad.
    pub fn mean_gradient(&self) -> f64 {
        let level: f64 = self.stretches.iter().map(|s| s.length.si() * libm::cos(s.gradient.si())).sum();
        libm::atan(self.height().si() / level)
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
