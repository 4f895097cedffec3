//! Every slope with every vehicle: the pull, the rigs of the kit that do it, and what is refused.

use std::f64::consts::FRAC_PI_2;

use serde::Serialize;

use super::case::{Place, Recovery, Worked};
use super::facing::Facing;
use super::gear::{Gear, Unfit};
use super::kinetic::snatches;
use super::ladder::second::holds_still;
use super::ladder::{Fetch, Ladder, fetch, ladder};
use super::lie::{BEYOND_AXLE, Lie, to_brow};
use super::pull::{Direction, Pull, Scene, Stuck, cases, chosen_for};
use super::search::search;
use super::stance::Beside;
use super::task::{Sling, Task};
use super::way::way;
use super::zones::Zone;
use crate::course::{AnchorPlace, Course, Surface};

/// Rigs told for each pull, best first; how many there are is told beside.
const MOST_RIGS: usize = 3;

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

/// What the vehicle that pulls drives on: on the level that is the run-out, with its own surface where it has one.
fn stands_on<'a>(place: &Place<'a>, pull: &Pull) -> &'a Surface {
    let own = place.slope.run_out.as_ref().and_then(|run_out| run_out.surface.as_ref());
    let run_out = own.filter(|_| on_the_level(pull)).and_then(|id| place.course.surface(id));
    run_out.unwrap_or(place.surface)
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
        let at_start = if way.ways.pays_out() { way.nearest } else { way.distance };
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
            reach: vehicle.wheelbase.si() / 2.0 + BEYOND_AXLE,
            sling: (facing == Facing::Side).then(|| Sling::along(vehicle)),
            beside: Beside::Alone,
            askew: if facing == Facing::Side { FRAC_PI_2 } else { lie.map_or(0.0, |lie| lie.askew) },
            ways: way.ways,
            most_settings: most_settings(place, pull.stuck),
            margin: course.recovery.margin,
            thrifty: false,
        };
        let found = search(&gear, &task);
        let planned = Some(number) == hardest;
        let angle = slope.steepest().gradient.si();
        let snatch = if planned || on_the_level(&pull) {
            snatches(course, &gear, stands_on(place, &pull), casualty, &pull, angle)
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
        all.push(Worked { recovery, rigs: found.rigs, gear, task });
    }
    let mut ways_stuck: Vec<Stuck> = Vec::new();
    for worked in all.iter().filter(|worked| worked.recovery.likely_here) {
        if !ways_stuck.contains(&worked.recovery.pull.stuck) {
            ways_stuck.push(worked.recovery.pull.stuck);
        }
    }
    let level = Gear::of(course, surface).here(course, &slope.id, &[AnchorPlace::HalfWay]).0;
    let ladders: Vec<Ladder> =
        ways_stuck.into_iter().map(|stuck| ladder(place, &level, &all, stuck)).collect();
    told.fetch.push(fetch(place, &ladders));
    told.ladders.extend(ladders);
    told.all.extend(all.into_iter().map(|worked| worked.recovery));
}

/// How often a rig may be set: between two hauls something must hold the vehicle. What is sunk is held by the ground;
/// the rest by wheels that do not turn, where they hold it with the course's margin at the lowest grip.
fn most_settings(place: &Place, stuck: Stuck) -> u32 {
    let held = matches!(stuck, Stuck::Mired(_) | Stuck::Overturned) || holds_still(place);
    if held { place.course.recovery.most_settings } else { 1 }
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
