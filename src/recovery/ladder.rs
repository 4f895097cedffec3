//! The means of fetching a stuck vehicle, cheapest and safest first: least force first, down before up.

mod fetch;
pub mod kit;
pub mod lower;
mod means;
pub mod pair;
pub mod right;
pub mod rule;
mod rung;
pub mod second;
pub mod tow;

pub use fetch::{Fetch, fetch};
pub use means::Means;
pub use rung::{Does, MOST_STAGES, Rung, WhyNot};

use serde::Serialize;

use crate::engine::leans;

use kit::missing;
use lower::{Lowering, brake_holds};
use right::{Righting, right};
use second::{Second, caught, second};
use tow::tow;

use super::case::{Place, Worked};
use super::gear::Gear;
pub use super::pull::chosen_for;
use super::pull::{Direction, Stuck, System, SystemPull};
use super::rig::{Refusal, Rig};

/// The ladder for one vehicle stuck one way on one slope.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Ladder {
    /// The slope.
    pub slope: String,
    /// The vehicle.
    pub vehicle: String,
    /// How it is stuck: that decides where the ladder begins.
    pub stuck: Stuck,
    /// Every rung, in the order they are tried.
    pub rungs: Vec<Rung>,
    /// Place of the first rung that the kit does.
    pub first: Option<usize>,
}

impl Ladder {
    /// The first rung that the kit does.
    pub fn chosen(&self) -> Option<&Rung> {
        self.first.map(|place| &self.rungs[place])
    }
}

/// The ladder of a vehicle on a slope: `worked` holds its pulls with every rig found.
pub fn ladder(place: &Place, gear: &Gear, worked: &[Worked], stuck: Stuck) -> Ladder {
    let mut rungs = vec![Rung::plain(Means::Think, Does::Try)];
    let of = |direction| {
        worked.iter().find(|one| one.recovery.pull.stuck == stuck && one.recovery.pull.direction == direction)
    };
    match stuck {
        Stuck::Overturned => rungs.push(righted(place, gear, of(Direction::Level))),
        Stuck::Locked => {
            rungs.push(Rung::not(Means::DriveOut, WhyNot::CannotTurn));
            rungs.push(Rung::not(Means::Lower, WhyNot::CannotTurn));
            rungs.push(Rung::not(Means::Tow, WhyNot::CannotTurn));
        }
        Stuck::Mired(_) => {
            rungs.push(Rung::plain(Means::Dig, Does::Try));
            rungs.push(Rung::plain(Means::DriveOut, Does::Try));
            rungs.push(Rung::not(Means::Lower, WhyNot::HeldFast));
            rungs.push(Rung::not(Means::Tow, WhyNot::HeldFast));
        }
        Stuck::Rolls => {
            rungs.push(Rung::plain(Means::DriveOut, Does::Try));
            rungs.extend(of(Direction::Lower).map(|worked| lowered(place, worked)));
            rungs.push(towed(place, gear));
        }
    }
    if stuck == Stuck::Locked && place.slope.has_step() {
        rungs.push(Rung::not(Means::SingleLine, WhyNot::OverAStep));
    } else if stuck == Stuck::Locked && leans(place.slope) {
        rungs.push(Rung::not(Means::SingleLine, WhyNot::OnALeaningLine));
    } else if stuck != Stuck::Overturned {
        for direction in [Direction::Down, Direction::Up] {
            if let Some(worked) = of(direction) {
                rungs.extend(winched(place, worked));
            }
        }
    }
    if !place.has_point() {
        for rung in &mut rungs {
            if rung.means > Means::DriveOut {
                *rung = Rung {
                    direction: rung.direction,
                    force: rung.force,
                    ..Rung::not(rung.means, WhyNot::NoRatedPoint)
                };
            }
        }
    }
    let first = rungs.iter().position(|rung| rung.does == Does::Yes);
    rungs.push(Rung::plain(Means::Professional, Does::Try));
    Ladder { slope: place.slope.id.clone(), vehicle: place.vehicle.id.clone(), stuck, rungs, first }
}

/// Let down on the line. The second means is there, or it is not done.
fn lowered(place: &Place, worked: &Worked) -> Rung {
    let rung = Rung::of_pull(Means::Lower, worked);
    let own = |system: &&SystemPull| system.system == System::Physics;
    if worked.recovery.pull.systems.iter().find(own).is_some_and(|system| system.pull <= 0.0) {
        return Rung { does: Does::No { why: WhyNot::DoesNotRun }, ..rung };
    }
    if let Some(nothing) = nothing_pulls(worked) {
        return Rung { does: Does::No { why: nothing }, ..rung };
    }
    let held = worked.recovery.pull.high;
    let mut rung = done(place, rung, worked);
    let of = |rig: &Rig| worked.gear.winches.iter().find(|one| one.id == rig.parts[0].id);
    let winch = rung.rig.as_ref().and_then(of);
    let slowest =
        rung.catch.as_ref().and_then(|catch| of(catch)?.speed.map(|line| (line, catch.parts_of_line)));
    rung.lowering = rung.rig.as_ref().zip(winch).map(|(rig, winch)| {
        let brake = brake_holds(place.slope, place.surface, place.vehicle);
        Lowering::of(&place.vehicle.id, [brake, held], rig, winch).beside(slowest, rig.travel)
    });
    rung
}

fn towed(place: &Place, gear: &Gear) -> Rung {
    let margin = place.course.recovery.margin;
    match tow(place.course, gear, place.slope, place.casualty, margin) {
        Err(why) => Rung::not(Means::Tow, WhyNot::NoTow(why)),
        Ok(tow) => {
            let lacks = missing(place.course, gear, &tow.parts, false);
            let rung = Rung {
                direction: Some(Direction::Level),
                force: Some(tow.resistance),
                chosen_for: Some(tow.start.max(tow.pushes)),
                ..Rung::plain(Means::Tow, Does::Try)
            }
            .with(place.course, lacks);
            Rung { tow: Some(tow), ..rung }
        }
    }
}

/// Single line, double line, two stages.
fn winched(place: &Place, worked: &Worked) -> Vec<Rung> {
    let stages = worked.recovery.stages;
    let rung = |means| Rung::of_pull(means, worked);
    if let Some(why) = nothing_pulls(worked) {
        let means = if stages > 1 { Means::TwoStages } else { Means::SingleLine };
        return vec![Rung { does: Does::No { why }, ..rung(means) }];
    }
    let too_far = |means| Rung { does: Does::No { why: WhyNot::OutOfReach { stages } }, ..rung(means) };
    if stages > MOST_STAGES {
        return vec![too_far(Means::TwoStages)];
    }
    if stages > 1 && worked.task.most_settings < 2 {
        return vec![Rung { does: Does::No { why: WhyNot::NothingHolds }, ..rung(Means::TwoStages) }];
    }
    if stages > 1 {
        return vec![done(place, rung(Means::TwoStages), worked)];
    }
    vec![done(place, rung(Means::SingleLine), worked), done(place, rung(Means::DoubleLine), worked)]
}

/// That no winch with a rated line is there, and what else of a rig is not: no stage and no length says as much.
fn nothing_pulls(worked: &Worked) -> Option<WhyNot> {
    let gear = &worked.gear;
    gear.winches
        .is_empty()
        .then_some(WhyNot::NoWinch { line: gear.lines.is_empty(), anchor: gear.anchors.is_empty() })
}

/// A rung with the best of its rigs and the second means; without either it is not done.
fn done(place: &Place, rung: Rung, worked: &Worked) -> Rung {
    let rules = place.course.recovery;
    let of_means = || worked.rigs.iter().filter(|rig| rung.means.takes(rig));
    let takes = |rig: &Rig| rig.time.unwrap_or(0.0) * f64::from(worked.recovery.stages);
    let Some(best) = of_means().find(|rig| takes(rig) <= rules.longest) else {
        if let Some(takes) = of_means().map(takes).reduce(f64::min) {
            return Rung { does: Does::No { why: WhyNot::TooLong { takes } }, ..rung };
        }
        let of_rung = |refused: &&Refusal| match rung.means {
            Means::SingleLine => refused.layout.parts == 1,
            Means::DoubleLine => refused.layout.parts > 1,
            _ => true,
        };
        let refused = worked.recovery.refused.iter().filter(of_rung).cloned().collect();
        let nearest = Refusal::nearest(refused);
        return Rung { does: Does::No { why: WhyNot::NoRig { nearest } }, ..rung };
    };
    let over = over_brow(worked.recovery.pull.direction);
    let backed = match second(place, worked) {
        Ok(means) => Ok((best.clone(), None, means)),
        Err(brake) => match caught(worked, rung.means, &brake, rules.longest) {
            Ok((rig, catch)) if too_long(place, &[&rig, &catch]) => {
                Err(WhyNot::TooLong { takes: longest_of(&[&rig, &catch]) })
            }
            Ok((rig, catch)) => Ok((rig, Some(catch), Second::CatchLine { load: brake.sudden() })),
            Err(nearest) => Err(WhyNot::NoSecondMeans { brake, nearest }),
        },
    };
    match backed {
        Err(why) => Rung { does: Does::No { why }, ..rung },
        Ok((mut rig, catch, means)) => {
            // Two lines move together: the slower one sets the time.
            rig.time = catch
                .as_ref()
                .and_then(|catch| catch.time)
                .map_or(rig.time, |slow| rig.time.map(|time| time.max(slow)));
            let parts = [rig.parts.as_slice(), catch.as_ref().map_or(&[], |rig| &rig.parts)].concat();
            let rung = rung.with(place.course, missing(place.course, &worked.gear, &parts, over));
            Rung { rig: Some(rig), catch, second: Some(means), ..rung }
        }
    }
}

/// Whether the line runs over the brow: of several stages up, the last does.
const fn over_brow(direction: Direction) -> bool {
    matches!(direction, Direction::Up | Direction::Lower)
}

fn righted(place: &Place, gear: &Gear, worked: Option<&Worked>) -> Rung {
    let Some(worked) = worked else { return Rung::not(Means::Right, WhyNot::NoRig { nearest: None }) };
    let rung = Rung::of_pull(Means::Right, worked);
    let margin = place.course.recovery.margin;
    match right(gear, place.slope, place.vehicle, place.casualty, &worked.recovery.pull, margin) {
        Err(why) => Rung { does: Does::No { why: WhyNot::NoRighting(why) }, ..rung },
        Ok(Righting { pull, catch, .. }) if too_long(place, &[&pull, &catch]) => {
            let takes = longest_of(&[&pull, &catch]);
            Rung { does: Does::No { why: WhyNot::TooLong { takes } }, ..rung }
        }
        Ok(Righting { pull, catch, .. }) => {
            let parts = [pull.parts.as_slice(), catch.parts.as_slice()].concat();
            let lacks = missing(place.course, gear, &parts, false);
            Rung { rig: Some(pull), catch: Some(catch), ..rung.with(place.course, lacks) }
        }
    }
}

/// Whether a rig takes longer than the course allows.
fn too_long(place: &Place, rigs: &[&Rig]) -> bool {
    longest_of(rigs) > place.course.recovery.longest
}

/// What the slowest of some rigs takes, s.
fn longest_of(rigs: &[&Rig]) -> f64 {
    rigs.iter().filter_map(|rig| rig.time).fold(0.0, f64::max)
}
