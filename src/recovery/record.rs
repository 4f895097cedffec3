//! Every slope with every vehicle: the pull, the rigs of the kit that do it, and what is refused.

use serde::Serialize;

use super::build::STANDING_ROOM;
use super::facing::Facing;
use super::gear::{Gear, Unfit};
use super::kinetic::{Snatch, snatches};
use super::pull::{Direction, Pull, Scene, Stuck, cases};
use super::rig::{Refusal, Rig};
use super::search::search;
use super::task::Task;
use super::zones::Zone;
use crate::course::{Course, Slope, Surface, Vehicle};

/// Rigs told for each pull, best first; how many there are is told beside.
const MOST_RIGS: usize = 3;
/// From the brow or the foot to where line and blocks are made fast, m. Common practice, no source.
const BEYOND: f64 = 6.0;
/// The longest pull set at once, m; a longer way goes in stages. Common practice, no source.
const LONGEST: f64 = 30.0;
/// From the stuck vehicle to the anchor on the level, and how far it is pulled there, m.
const ON_THE_LEVEL: [f64; 2] = [15.0, 6.0];
/// The same for a vehicle on its side.
const TO_RIGHT: [f64; 2] = [12.0, 2.0];

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
    /// From the vehicle to where the line is made fast, m.
    pub distance: f64,
    /// How far it travels in one stage, m.
    pub travel: f64,
    /// Stages of the whole way.
    pub stages: u32,
    /// The side of the vehicle that faces the pull: its points carry it.
    pub facing: Facing,
    /// Anchors that hold at one place only and so serve none but the last of several stages: not counted.
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

/// All recoveries of a course, slopes outermost, and what of the kit is never used.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Recoveries {
    /// Each slope with each vehicle.
    pub all: Vec<Recovery>,
    /// What stays in the box.
    pub unfit: Vec<Unfit>,
}

/// Which of the ways to be stuck are worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// Every one.
    Every,
    /// Those to be reckoned with on this ground.
    Likely,
}

/// Works every slope with every vehicle.
pub fn recoveries(course: &Course, depth: Depth) -> Recoveries {
    let mut told = Recoveries::default();
    for slope in &course.slopes {
        let surface = course.surface_of(slope);
        let gear = Gear::of(course, surface);
        for (place, vehicle) in course.vehicles.iter().enumerate() {
            told.all.extend(of_pair(course, &gear, slope, surface, place, vehicle, depth));
        }
        told.unfit = gear.unfit;
    }
    told
}

fn of_pair(
    course: &Course,
    gear: &Gear,
    slope: &Slope,
    surface: &Surface,
    place: usize,
    vehicle: &Vehicle,
    depth: Depth,
) -> Vec<Recovery> {
    let scene = Scene::of(slope, surface, vehicle);
    let pulls: Vec<(Pull, bool)> = cases(slope, surface)
        .into_iter()
        .filter(|(_, _, likely)| depth == Depth::Every || *likely)
        .map(|(stuck, direction, likely)| (scene.pull(stuck, direction), likely))
        .collect();
    let hardest = hardest(&pulls);
    let (moved, fixed) = from_stage_to_stage(course, gear);
    let mut all = Vec::new();
    for (number, (pull, likely_here)) in pulls.into_iter().enumerate() {
        let planned = Some(number) == hardest;
        let way = way(slope, &pull);
        let facing = Facing::of(pull.stuck, pull.direction);
        let task =
            Task { casualty: place, pull: pull.high, distance: way.distance, travel: way.travel, facing };
        let (gear_here, left_out) = if way.stages > 1 { (&moved, fixed.clone()) } else { (gear, Vec::new()) };
        let found = search(gear_here, &task);
        let angle = slope.steepest().gradient.si();
        let snatch = if planned || on_the_level(&pull) {
            snatches(course, gear, surface, place, &pull, angle)
        } else {
            Vec::new()
        };
        all.push(Recovery {
            slope: slope.id.clone(),
            vehicle: vehicle.id.clone(),
            likely_here,
            planned,
            distance: way.distance,
            travel: way.travel,
            stages: way.stages,
            facing,
            fixed_anchors_left_out: left_out,
            rigs_found: found.rigs.len(),
            zone: found.rigs.first().map(Zone::of),
            rigs: found.rigs.into_iter().take(MOST_RIGS).collect(),
            refused: found.refused,
            snatch,
            pull,
        });
    }
    all
}

/// The gear without anchors that cannot go along from stage to stage, and the names of those. What an
/// anchor was tested to hold counts at the place of the test alone.
fn from_stage_to_stage(course: &Course, gear: &Gear) -> (Gear, Vec<String>) {
    let tested = |id: &str| course.kit.iter().any(|item| item.id == id && item.rig.holds.is_some());
    let mut moved = gear.clone();
    moved.anchors.retain(|anchor| !tested(&anchor.id));
    let fixed =
        gear.anchors.iter().filter(|anchor| tested(&anchor.id)).map(|anchor| anchor.name.clone()).collect();
    (moved, fixed)
}

/// The hardest pull to be reckoned with; righting is another kind of work and told beside.
fn hardest(pulls: &[(Pull, bool)]) -> Option<usize> {
    (0..pulls.len())
        .filter(|place| pulls[*place].1 && pulls[*place].0.stuck != Stuck::Overturned)
        .max_by(|a, b| pulls[*a].0.high.total_cmp(&pulls[*b].0.high))
}

/// Where a snatch is thought of at all.
fn on_the_level(pull: &Pull) -> bool {
    pull.stuck == Stuck::Rolls && pull.direction == Direction::Level
}

struct Way {
    distance: f64,
    travel: f64,
    stages: u32,
}

/// How far a vehicle stuck in the middle of the steepest stretch is pulled.
fn way(slope: &Slope, pull: &Pull) -> Way {
    let once = |[distance, travel]: [f64; 2]| Way { distance, travel, stages: 1 };
    if pull.stuck == Stuck::Overturned {
        return once(TO_RIGHT);
    }
    let whole = match pull.direction {
        Direction::Level => return once(ON_THE_LEVEL),
        Direction::Up => to_brow(slope),
        Direction::Down => slope.length().si() - to_brow(slope),
    };
    let distance = (whole + BEYOND).min(LONGEST);
    let travel = distance - STANDING_ROOM;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few stages")]
    let stages = libm::ceil((whole + BEYOND - STANDING_ROOM) / travel - 1e-9).max(1.0) as u32;
    Way { distance, travel, stages }
}

/// From the middle of the steepest stretch up to the brow, m.
pub fn to_brow(slope: &Slope) -> f64 {
    let steepest = slope.steepest();
    let mut above = 0.0;
    for stretch in &slope.stretches {
        if std::ptr::eq(stretch, steepest) {
            break;
        }
        above += stretch.length.si();
    }
    above + steepest.length.si() / 2.0
}
