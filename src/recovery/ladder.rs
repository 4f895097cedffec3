//! The means of fetching a stuck vehicle, cheapest and safest first: least force first, down before up.

pub mod kit;
pub mod lower;
pub mod right;
pub mod rule;
pub mod tow;

use serde::Serialize;

use kit::{Missing, missing};
use lower::{Lowering, brake_holds};
use right::{NoRighting, Righting, right};
use tow::{NoTow, Tow, tow};

use super::gear::Gear;
use super::pull::{Direction, Pull, Stuck, System, SystemPull};
use super::record::{Place, Worked};
use super::rig::{Refusal, Rig};
use crate::course::{Course, MissingKit, Vehicle};

/// Most stages of one recovery. With more it is work for a professional (common practice, no source).
pub const MOST_STAGES: u32 = 2;

/// A means of fetching a vehicle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Means {
    /// Everybody out of the way, the vehicle held, one leader: then think.
    Think,
    /// Dig, lower pressures, unload, lay boards.
    Dig,
    /// Drive out downhill, or back the way it came.
    DriveOut,
    /// Let down on the line from above.
    Lower,
    /// Towed along the track.
    Tow,
    /// Winched on a single line.
    SingleLine,
    /// Winched on a double line or more parts.
    DoubleLine,
    /// Winched in two stages.
    TwoStages,
    /// Set on its wheels, a catch line holding it past its balance.
    Right,
    /// A professional is called.
    Professional,
}

/// Why a means does not do it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "why", rename_all = "snake_case")]
pub enum WhyNot {
    /// Its wheels cannot turn.
    CannotTurn,
    /// It is held by the ground.
    HeldFast,
    /// It does not run down by itself.
    DoesNotRun,
    /// No rated recovery point on it.
    NoRatedPoint,
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
    /// Line that holds it back, when it is righted.
    pub catch: Option<Rig>,
    /// The tow.
    pub tow: Option<Tow>,
    /// What belongs to letting it down.
    pub lowering: Option<Lowering>,
    /// Safety gear the kit lacks for it.
    pub missing: Vec<Missing>,
}

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

impl Rung {
    fn plain(means: Means, does: Does) -> Self {
        Self {
            means,
            direction: None,
            force: None,
            chosen_for: None,
            does,
            rig: None,
            catch: None,
            tow: None,
            lowering: None,
            missing: Vec::new(),
        }
    }

    fn not(means: Means, why: WhyNot) -> Self {
        Self::plain(means, Does::No { why })
    }

    fn of_pull(means: Means, worked: &Worked) -> Self {
        let pull = &worked.recovery.pull;
        Self {
            direction: Some(pull.direction),
            force: Some(pull.high),
            chosen_for: Some(chosen_for(pull)),
            ..Self::plain(means, Does::Try)
        }
    }

    /// With a rig: done, unless the course refuses it for what is missing.
    fn with(mut self, course: &Course, missing: Vec<Missing>) -> Self {
        let refused = !missing.is_empty() && course.recovery.missing_kit == MissingKit::Refuse;
        self.missing = missing;
        self.does = if refused { Does::No { why: WhyNot::MissingKit } } else { Does::Yes };
        self
    }
}

/// What parts are chosen for, N: the pull, or, where a brake may be let off at once, twice what holds it.
pub fn chosen_for(pull: &Pull) -> f64 {
    match pull.direction {
        Direction::Lower => crate::engine::formulas::recovery::sudden_load(pull.high),
        _ => pull.high,
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
            rungs.extend(of(Direction::Lower).map(|worked| lowered(place, gear, worked)));
            rungs.push(towed(place, gear));
        }
    }
    if stuck != Stuck::Overturned {
        for direction in [Direction::Down, Direction::Up] {
            if let Some(worked) = of(direction) {
                rungs.extend(winched(place, gear, worked));
            }
        }
    }
    if !has_point(place.vehicle) {
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

fn has_point(vehicle: &Vehicle) -> bool {
    vehicle.recovery_points.iter().any(|point| point.carries().is_ok())
}

fn lowered(place: &Place, gear: &Gear, worked: &Worked) -> Rung {
    let rung = Rung::of_pull(Means::Lower, worked);
    let own = |system: &&SystemPull| system.system == System::Physics;
    if worked.recovery.pull.systems.iter().find(own).is_some_and(|system| system.pull <= 0.0) {
        return Rung { does: Does::No { why: WhyNot::DoesNotRun }, ..rung };
    }
    let held = worked.recovery.pull.high;
    let mut rung = done(place, gear, rung, worked.rigs.first(), worked);
    let winch = rung.rig.as_ref().and_then(|rig| gear.winches.iter().find(|one| one.id == rig.parts[0].id));
    rung.lowering = rung.rig.as_ref().zip(winch).map(|(rig, winch)| {
        Lowering::of(brake_holds(place.slope, place.surface, place.vehicle), held, rig, winch)
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
                chosen_for: Some(tow.start),
                ..Rung::plain(Means::Tow, Does::Try)
            }
            .with(place.course, lacks);
            Rung { tow: Some(tow), ..rung }
        }
    }
}

/// Single line, double line, two stages.
fn winched(place: &Place, gear: &Gear, worked: &Worked) -> Vec<Rung> {
    let stages = worked.recovery.stages;
    let of = |single: bool| worked.rigs.iter().find(|rig| (rig.parts_of_line == 1) == single);
    let rung = |means| Rung::of_pull(means, worked);
    let too_far = |means| Rung { does: Does::No { why: WhyNot::OutOfReach { stages } }, ..rung(means) };
    if stages > MOST_STAGES {
        return vec![too_far(Means::TwoStages)];
    }
    if stages > 1 {
        let rung = rung(Means::TwoStages);
        return vec![done(place, gear, rung, worked.rigs.first(), worked)];
    }
    vec![
        done(place, gear, rung(Means::SingleLine), of(true), worked),
        done(place, gear, rung(Means::DoubleLine), of(false), worked),
    ]
}

fn done(place: &Place, gear: &Gear, rung: Rung, rig: Option<&Rig>, worked: &Worked) -> Rung {
    let Some(rig) = rig else {
        let single = |refused: &&Refusal| match rung.means {
            Means::SingleLine => refused.layout.parts == 1,
            Means::DoubleLine => refused.layout.parts > 1,
            _ => true,
        };
        let refused = worked.recovery.refused.iter().filter(single).cloned().collect();
        let nearest = Refusal::nearest(refused);
        return Rung { does: Does::No { why: WhyNot::NoRig { nearest } }, ..rung };
    };
    let over = over_brow(worked.recovery.pull.direction, worked.recovery.stages);
    let rung = rung.with(place.course, missing(place.course, gear, &rig.parts, over));
    Rung { rig: Some(rig.clone()), ..rung }
}

/// Whether the line runs over the brow.
fn over_brow(direction: Direction, stages: u32) -> bool {
    matches!(direction, Direction::Up | Direction::Lower) && stages == 1
}

fn righted(place: &Place, gear: &Gear, worked: Option<&Worked>) -> Rung {
    let Some(worked) = worked else { return Rung::not(Means::Right, WhyNot::NoRig { nearest: None }) };
    let rung = Rung::of_pull(Means::Right, worked);
    let margin = place.course.recovery.margin;
    match right(gear, place.slope, place.vehicle, place.casualty, &worked.recovery.pull, margin) {
        Err(why) => Rung { does: Does::No { why: WhyNot::NoRighting(why) }, ..rung },
        Ok(Righting { pull, catch, .. }) => {
            let parts = [pull.parts.as_slice(), catch.parts.as_slice()].concat();
            let lacks = missing(place.course, gear, &parts, false);
            Rung { rig: Some(pull), catch: Some(catch), ..rung.with(place.course, lacks) }
        }
    }
}

/// Whether this kit fetches a vehicle from a slope, and what the course makes of it.
#[expect(clippy::struct_excessive_bools, reason = "each is one thing a program may ask")]
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fetch {
    /// The slope.
    pub slope: String,
    /// The vehicle.
    pub vehicle: String,
    /// Whether every way of being stuck that is to be reckoned with, save on its side, has a rung that
    /// the kit does.
    pub fetched: bool,
    /// Whether there is any way of being stuck from which the kit fetches it.
    pub ever: bool,
    /// The ways of being stuck in which the kit fetches nothing.
    pub not_when: Vec<Stuck>,
    /// Whether it has a rated recovery point.
    pub rated_point: bool,
    /// Whether it may drive as far as the course's own rules for recoveries go.
    pub may_drive: bool,
}

/// From the ladders of one vehicle on one slope.
pub fn fetch(place: &Place, ladders: &[Ladder]) -> Fetch {
    use crate::course::NotFetched;
    let not_when: Vec<Stuck> =
        ladders.iter().filter(|one| one.first.is_none()).map(|one| one.stuck).collect();
    let fetched = not_when.iter().all(|stuck| *stuck == Stuck::Overturned);
    let rated_point = has_point(place.vehicle);
    let rules = place.course.recovery;
    Fetch {
        slope: place.slope.id.clone(),
        vehicle: place.vehicle.id.clone(),
        may_drive: (fetched || rules.not_fetched == NotFetched::Say) && (rated_point || !rules.rated_point),
        ever: not_when.len() < ladders.len(),
        fetched,
        not_when,
        rated_point,
    }
}

impl Fetch {
    /// The ways of being stuck in which the kit fetches nothing, in short: sunk once, however deep; `never`
    /// where there is no other way.
    pub fn not_when_short(&self) -> Vec<&'static str> {
        if !self.ever {
            return vec!["never"];
        }
        let mut all = Vec::new();
        for stuck in &self.not_when {
            let word = if matches!(stuck, Stuck::Mired(_)) { "sunk" } else { stuck.short() };
            if !all.contains(&word) {
                all.push(word);
            }
        }
        all
    }
}
