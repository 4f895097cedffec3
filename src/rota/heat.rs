//! How long a group needs on a slope, how long brakes need between slopes, and what that adds up to in a day.

mod assessed;
mod crew;
mod day_sum;
mod turn;

pub use assessed::assessed;
pub use crew::{Crew, Holds, Seat, crew_beside};
pub use day_sum::{CHANGEOVER, LeftOut, SessionSum, WALK, day_sum, on_slope, runs_planned};
pub use turn::{OnSlope, Turn};

use super::clock::minutes;
use crate::course::{AxleBrakes, Course, Slope, Vehicle};
use crate::engine::{Air, Axle, Gap, Load, Node, Pair, Reckoning, Standing, Told, Way, run_after_run};

/// Longest pause looked for, minutes: after it a brake is as cold as it gets in a day.
const LONGEST: u16 = 240;
/// Step of the search for a pause between slopes, minutes.
const STEP: u16 = 5;

/// What a step adds to a run, s: a stop before it, and each axle let down on it. Common practice, no source.
const AT_A_STEP: f64 = 60.0;

/// From one vehicle's stop on a slope to the next one's start, s: the course's, or at least so long (s) where somebody
/// has to walk back up; and what a step takes.
fn reset(course: &Course, slope: usize, least: f64) -> f64 {
    let step = if course.slopes.get(slope).is_some_and(Slope::has_step) { AT_A_STEP } else { 0.0 };
    course.turn_round().si().max(least) + step
}

/// The way a vehicle goes down where it may; none where it may not.
pub(super) fn way(pair: &Pair) -> Option<&Told> {
    match pair.standing {
        Standing::InGear => pair.way(Way::Geared),
        Standing::InGearWithFootBrake => pair.way(Way::Assisted),
        Standing::NotHere => None,
    }
}

/// Minutes a group of these vehicles needs on a slope: they go in turn, one at a time, so many runs
/// each, the engine's slowest descent and the reset counted for each run, and no vehicle again before
/// its brakes have had the gap they need.
pub fn minutes_needed(course: &Course, reckoning: &Reckoning, slope: usize, vehicles: &[&Vehicle]) -> u16 {
    let reset = reset(course, slope, 0.0);
    let Some(slope) = course.slopes.get(slope) else { return 0 };
    let (mut round, mut longest) = (0.0, 0.0_f64);
    for vehicle in vehicles {
        let Some(told) = reckoning.pair(&slope.id, &vehicle.id).and_then(way) else { continue };
        let one = told.descent.time.high + reset;
        round += one;
        longest = longest.max(one + 60.0 * f64::from(gap_between_runs(course, vehicle, told)));
    }
    let runs = f64::from(course.day.runs.max(1));
    minutes((runs - 1.0) * f64::max(round, longest) + round)
}

/// Fewest minutes between two runs of one vehicle that keep its brakes within the course's limit over
/// all runs of a visit.
fn gap_between_runs(course: &Course, vehicle: &Vehicle, told: &Told) -> u16 {
    // The verdict may have counted on rolling between runs; standing needs longer.
    let most = LONGEST;
    let fits = |gap: &u16| {
        axles(vehicle, told).iter().all(|(node, load)| {
            let gap = standing(f64::from(*gap) * 60.0);
            let ends = run_after_run(node, load, gap, course.day.air.si(), course.day.runs.max(1));
            ends.iter().all(|end| *end <= course.limits.brake_temperature.si())
        })
    };
    (0..most).find(fits).unwrap_or(most)
}

/// Fewest minutes between a visit to one slope and one to another, so that a vehicle's brakes stay
/// within the course's limit over both; none when no pause of four hours is enough.
pub fn minutes_between(
    course: &Course,
    reckoning: &Reckoning,
    vehicle: &Vehicle,
    before: usize,
    after: usize,
) -> Option<u16> {
    let told = |slope: usize| {
        let slope = course.slopes.get(slope)?;
        way(reckoning.pair(&slope.id, &vehicle.id)?)
    };
    let (Some(one), Some(two)) = (told(before), told(after)) else { return Some(0) };
    let firsts = axles(vehicle, one);
    let seconds = axles(vehicle, two);
    if firsts.is_empty() || seconds.is_empty() {
        return Some(0);
    }
    let gaps = [one, two].map(|told| 60.0 * f64::from(gap_between_runs(course, vehicle, told)));
    (0..=LONGEST).step_by(usize::from(STEP)).find(|pause| {
        firsts.iter().zip(&seconds).all(|((node, first), (_, second))| {
            hottest(course, node, [first, second], gaps, f64::from(*pause) * 60.0)
                <= course.limits.brake_temperature.si()
        })
    })
}

/// Hottest end of a run over two visits with a pause (s) between them, K.
fn hottest(course: &Course, node: &Node, loads: [&Load; 2], gaps: [f64; 2], pause: f64) -> f64 {
    let (air, runs) = (course.day.air.si(), course.day.runs.max(1));
    let still = Air { temperature: air, speed: standing(0.0).speed };
    let (mut hot, mut most) = (air, air);
    for (visit, load) in loads.into_iter().enumerate() {
        if visit > 0 {
            hot = node.cooled(hot, &still, pause.max(1.0));
        }
        let rolling = Air { temperature: air, speed: load.speed };
        for run in 0..runs {
            if run > 0 {
                hot = node.cooled(hot, &still, gaps[visit].max(1.0));
            }
            hot = node.after(hot, &rolling, load.power, load.time, 20);
            most = most.max(hot);
        }
    }
    most
}

/// A pause in which the vehicle stands: in the rota it waits its turn, so nothing is claimed for
/// driving round.
const fn standing(time: f64) -> Gap {
    Gap { time, speed: 0.0 }
}

/// Each braked axle's iron and what one run puts into it.
fn axles(vehicle: &Vehicle, told: &Told) -> Vec<(Node, Load)> {
    let Some(heat) = &told.heat else { return Vec::new() };
    let run = told.descent.hottest();
    if run.time <= 0.0 {
        return Vec::new();
    }
    let capacity = vehicle.brakes.heat_capacity.si();
    let fitted = |axle: Axle| -> Option<AxleBrakes> {
        if axle == Axle::Front { vehicle.brakes.front } else { vehicle.brakes.rear }
    };
    heat.axles
        .iter()
        .filter_map(|axle| {
            let node = Node::of(&fitted(axle.axle)?, capacity);
            let load = Load { power: axle.heat / run.time, time: run.time, speed: run.distance / run.time };
            Some((node, load))
        })
        .collect()
}
