//! One vehicle on one slope, stuck one way and pulled one way: the place, what is told of it, what was worked.

use serde::Serialize;

use super::facing::Facing;
use super::gear::Gear;
use super::kinetic::Snatch;
use super::lie::Lie;
use super::pull::Pull;
use super::rig::{Refusal, Rig};
use super::task::Task;
use super::zones::Zone;
use crate::course::{Course, Slope, Surface, Vehicle};

/// A vehicle on a slope of a course.
#[derive(Clone, Copy)]
pub struct Place<'a> {
    /// The course.
    pub course: &'a Course,
    /// The slope.
    pub slope: &'a Slope,
    /// Its surface.
    pub surface: &'a Surface,
    /// The vehicle.
    pub vehicle: &'a Vehicle,
    /// Its place in the fleet.
    pub casualty: usize,
}

impl Place<'_> {
    /// Whether the vehicle has a rated recovery point.
    pub fn has_point(&self) -> bool {
        self.vehicle.recovery_points.iter().any(|point| point.carries().is_ok())
    }
}

/// A recovery with every rig found.
pub struct Worked {
    /// As it is told.
    pub recovery: Recovery,
    /// Every rig, best first.
    pub rigs: Vec<Rig>,
    /// What of kit and fleet serves there.
    pub gear: Gear,
    /// What was asked of it.
    pub task: Task,
}

/// One slope with one vehicle, stuck one way and pulled one way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Recovery {
    /// The slope.
    pub slope: String,
    /// The vehicle.
    pub vehicle: String,
    /// The pull by every system.
    #[serde(flatten)]
    pub pull: Pull,
    /// Whether this is to be reckoned with on this ground.
    pub likely_here: bool,
    /// Whether the day is planned for it: the hardest of those to be reckoned with.
    pub planned: bool,
    /// From the vehicle to where the line is made fast, m, at its greatest.
    pub distance: f64,
    /// The same when the work begins, m.
    pub at_start: f64,
    /// How far it travels in one stage, m.
    pub travel: f64,
    /// Stages of the whole way.
    pub stages: u32,
    /// The side of the vehicle that faces the pull: its points carry it.
    pub facing: Facing,
    /// How the line lies when the work begins; none for a pull on the level.
    pub lie: Option<Lie>,
    /// Anchors that stand somewhere else: not counted.
    pub fixed_anchors_left_out: Vec<String>,
    /// The best rigs, best first.
    pub rigs: Vec<Rig>,
    /// How many layouts do it.
    pub rigs_found: usize,
    /// What is refused and why.
    pub refused: Vec<Refusal>,
    /// Snatch recovery, for the planned pull and for a vehicle stopped on the level.
    pub snatch: Vec<Snatch>,
    /// Ground kept clear round the best rig.
    pub zone: Option<Zone>,
}
