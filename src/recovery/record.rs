//! Every slope with every vehicle: the pull, the rigs of the kit that do it, and what is refused.

use std::f64::consts::FRAC_PI_2;

use serde::Serialize;

use super::facing::Facing;
use super::gear::{Gear, Ground, Unfit};
use super::kinetic::{Snatch, snatches};
use super::ladder::{Fetch, Ladder, chosen_for, fetch, ladder};
use super::lie::Lie;
use super::pull::{Direction, Pull, Scene, Stuck, cases};
use super::rig::{Refusal, Rig};
use super::search::{STANDING_ROOM, search};
use super::task::{Task, Ways};
use super::zones::Zone;
use crate::course::{AnchorPlace, Course, Slope, Surface, Vehicle};

/// Rigs told for each pull, best first; how many there are is told beside.
const MOST_RIGS: usize = 3;
/// From the brow or the foot to where line and blocks are made fast, m. Common practice, no source.
const BEYOND: f64 = 6.0;
/// The longest pull set at once, m; a longer way goes in stages. Common practice, no source.
const LONGEST: f64 = 30.0;
/// How far a vehicle that is sunk is pulled until it rolls again, m. Common practice, no source.
const FREED: f64 = 6.0;
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

/// All recoveries of a course, slopes outermost, and what of the kit is never used.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Recoveries {
    /// Each slope with each vehicle.
    pub all: Vec<Recovery>,
    /// The ladder of means for each way of being stuck that is to be reckoned with.
    pub ladders: Vec<Ladder>,
    /// Whether the kit fetches each vehicle from each slope.
    pub fetch: Vec<Fetch>,
    /// What stays in the box.
    pub unfit: Vec<Unfit>,
}

impl Recoveries {
    /// Whether the kit fetches a vehicle from a slope.
    pub fn fetch_of(&self, slope: &str, vehicle: &str) -> Option<&Fetch> {
        self.fetch.iter().find(|told| told.slope == slope && told.vehicle == vehicle)
    }

    /// The ladders of a vehicle on a slope.
    pub fn ladders_of<'a>(&'a self, slope: &'a str, vehicle: &'a str) -> impl Iterator<Item = &'a Ladder> {
        self.ladders.iter().filter(move |told| told.slope == slope && told.vehicle == vehicle)
    }
}

/// Which of the ways to be stuck are worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// Every one.
    Every,
    /// Those to be reckoned with on this ground.
    Likely,
}

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

/// A recovery with every rig found.
pub struct Worked {
    /// As it is told.
    pub recovery: Recovery,
    /// Every rig, best first.
    pub rigs: Vec<Rig>,
}

/// Works every slope with every vehicle.
pub fn recoveries(course: &Course, depth: Depth) -> Recoveries {
    let mut told = Recoveries::default();
    for slope in &course.slopes {
        let surface = course.surface_of(slope);
        for (casualty, vehicle) in course.vehicles.iter().enumerate() {
            of_pair(&Place { course, slope, surface, vehicle, casualty }, depth, &mut told);
        }
        told.unfit = Gear::of(course, surface).unfit;
    }
    told
}

fn of_pair(place: &Place, depth: Depth, told: &mut Recoveries) {
    let Place { course, slope, surface, vehicle, casualty } = *place;
    let scene = Scene::of(slope, surface, vehicle);
    let pulls: Vec<(Pull, bool)> = cases(slope, surface)
        .into_iter()
        .filter(|(_, _, likely)| depth == Depth::Every || *likely)
        .map(|(stuck, direction, likely)| (scene.pull(stuck, direction), likely))
        .collect();
    let hardest = hardest(&pulls);
    let mut all = Vec::new();
    for (number, (pull, likely_here)) in pulls.into_iter().enumerate() {
        let way = way(slope, &pull);
        let at_start = if way.ways == Ways::PaidOut { way.nearest } else { way.distance };
        let lie = if pull.stuck == Stuck::Overturned {
            None
        } else {
            Lie::of(slope, vehicle, pull.direction, to_brow(slope), at_start)
        };
        let (gear, left_out) = way.gear(course, slope, lie.map_or(0.0, |lie| lie.lift));
        let facing = Facing::of(pull.stuck, pull.direction);
        let task = Task {
            casualty,
            pull: chosen_for(&pull),
            distance: way.distance,
            nearest: way.nearest,
            travel: way.travel,
            facing,
            askew: if facing == Facing::Side { FRAC_PI_2 } else { lie.map_or(0.0, |lie| lie.askew) },
            ways: way.ways,
            margin: course.recovery.margin,
        };
        let found = search(&gear, &task);
        let planned = Some(number) == hardest;
        let angle = slope.steepest().gradient.si();
        let snatch = if planned || on_the_level(&pull) {
            snatches(course, &gear, surface, casualty, &pull, angle)
        } else {
            Vec::new()
        };
        let recovery = Recovery {
            slope: slope.id.clone(),
            vehicle: vehicle.id.clone(),
            likely_here,
            planned,
            distance: way.distance,
            at_start,
            travel: way.travel,
            stages: way.stages,
            facing,
            lie,
            fixed_anchors_left_out: left_out,
            rigs_found: found.rigs.len(),
            zone: found.rigs.first().map(Zone::of),
            rigs: found.rigs.iter().take(MOST_RIGS).cloned().collect(),
            refused: found.refused,
            snatch,
            pull,
        };
        all.push(Worked { recovery, rigs: found.rigs });
    }
    let mut ways_stuck: Vec<Stuck> = Vec::new();
    for worked in all.iter().filter(|worked| worked.recovery.likely_here) {
        if !ways_stuck.contains(&worked.recovery.pull.stuck) {
            ways_stuck.push(worked.recovery.pull.stuck);
        }
    }
    let level = Gear::of(course, surface).here(course, &slope.id, None).0;
    let ladders: Vec<Ladder> =
        ways_stuck.into_iter().map(|stuck| ladder(place, &level, &all, stuck)).collect();
    told.fetch.push(fetch(place, &ladders));
    told.ladders.extend(ladders);
    told.all.extend(all.into_iter().map(|worked| worked.recovery));
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

/// How a vehicle stuck in the middle of the steepest stretch is moved.
struct Way {
    distance: f64,
    nearest: f64,
    travel: f64,
    stages: u32,
    ways: Ways,
    /// Where the other end is made fast; `None` on the slope itself.
    at: Option<AnchorPlace>,
}

impl Way {
    /// What of kit and fleet serves there, with a line that lifts it so (rad).
    fn gear(&self, course: &Course, slope: &Slope, lift: f64) -> (Gear, Vec<String>) {
        let friction = course.surface_of(slope).sliding.low;
        let (friction, angle) = match self.at {
            Some(AnchorPlace::Brow) => (friction, 0.0),
            Some(AnchorPlace::Foot) => {
                let out = slope.run_out.as_ref();
                let other = out.and_then(|out| course.surface(out.surface.as_ref()?));
                let least = other.map_or(friction, |surface| surface.sliding.low.min(friction));
                (least, out.map_or(0.0, |out| out.gradient.si().abs()))
            }
            None => (friction, slope.steepest().gradient.si()),
        };
        Gear::on(course, Ground { friction, angle, lift }).here(course, &slope.id, self.at)
    }
}

fn way(slope: &Slope, pull: &Pull) -> Way {
    let once = |[distance, travel]: [f64; 2]| Way {
        distance,
        nearest: distance - travel,
        travel,
        stages: 1,
        ways: Ways::All,
        at: None,
    };
    if pull.stuck == Stuck::Overturned {
        return once(TO_RIGHT);
    }
    let (whole, ways, at) = match pull.direction {
        Direction::Level => return Way { at: Some(AnchorPlace::Foot), ..once(ON_THE_LEVEL) },
        Direction::Lower => return let_down(slope),
        Direction::Up => (to_brow(slope), Ways::All, AnchorPlace::Brow),
        Direction::Down => (slope.length().si() - to_brow(slope), Ways::Aside, AnchorPlace::Foot),
    };
    let distance = (whole + BEYOND).min(LONGEST);
    let within = whole + BEYOND <= LONGEST;
    let at = within.then_some(at);
    if matches!(pull.stuck, Stuck::Mired(_)) {
        // Once it rolls it drives or is let down.
        let travel = (distance - STANDING_ROOM).min(FREED);
        return Way { distance, nearest: distance - travel, travel, stages: 1, ways, at };
    }
    let travel = distance - STANDING_ROOM;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few stages")]
    let stages = libm::ceil((whole + BEYOND - STANDING_ROOM) / travel - 1e-9).max(1.0) as u32;
    Way { distance, nearest: STANDING_ROOM.min(distance), travel, stages, ways, at }
}

/// From the middle of the steepest stretch to the run-out, the line paid out from the brow.
fn let_down(slope: &Slope) -> Way {
    let whole = slope.length().si();
    Way {
        distance: whole + BEYOND,
        nearest: to_brow(slope) + BEYOND,
        travel: whole - to_brow(slope),
        stages: 1,
        ways: Ways::PaidOut,
        at: Some(AnchorPlace::Brow),
    }
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
