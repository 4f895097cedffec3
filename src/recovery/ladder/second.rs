//! The second means: what stops a vehicle on a slope when its line, or what holds the line, lets go. Nobody is
//! aboard a vehicle that hangs on one line alone.

use serde::Serialize;

use super::lower::brake_holds;
use super::means::Means;
use super::pair::pair;
use crate::engine::formulas::recovery as r;
use crate::recovery::case::{Place, Worked};
use crate::recovery::pull::{Direction, Scene, Stuck};
use crate::recovery::rig::{Lacking, Refusal, Refused, Rig};
use crate::recovery::stance::Beside;
use crate::recovery::task::{Task, Ways};

/// Within how far a vehicle must stand again on its foot brake, m: about two lengths of it. Common practice, no
/// source.
pub const STANDS_WITHIN: f64 = 8.0;

/// What stops it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "second", rename_all = "snake_case")]
pub enum Second {
    /// Its driver’s foot on the brake the whole way, on ground that holds the wheels.
    FootBrake(Brake),
    /// A second line on its own anchor and its own point, its slack taken up all the way.
    CatchLine {
        /// What it must take, N: twice what holds the vehicle.
        load: f64,
    },
    /// Nobody sits in it: on wheels that do not turn it stands by itself where the line lets go.
    NobodyAboard(Brake),
}

impl Second {
    /// Whether somebody sits in a vehicle stuck like this.
    pub fn aboard(&self, stuck: Stuck) -> bool {
        match self {
            Self::FootBrake(_) => true,
            Self::CatchLine { .. } => stuck != Stuck::Locked,
            Self::NobodyAboard(_) => false,
        }
    }
}

/// A foot brake as second means, at the low end of the ground’s grip.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Brake {
    /// What it holds with locked wheels, N.
    pub holds: f64,
    /// What the vehicle pulls down with, N, by the highest system.
    pub pulls: f64,
    /// How far it runs until it stands, m, after the reaction time of the course; none where it does not stop.
    pub runs: Option<f64>,
}

impl Brake {
    /// Of a vehicle that pulls down with a force (N), of a mass (kg), reaction time in s.
    pub fn of(holds: f64, pulls: f64, mass: f64, reaction: f64) -> Self {
        let speed = pulls / mass * reaction;
        let slows = (holds - pulls) / mass;
        let runs = (slows > 0.0).then(|| speed * reaction / 2.0 + speed * speed / (2.0 * slows));
        Self { holds, pulls, runs }
    }

    /// Whether it will do: so much of what it holds stays free, and it stands again soon.
    pub fn does(&self, margin: f64) -> bool {
        r::margin_left(self.holds, self.pulls) >= margin
            && self.runs.is_some_and(|runs| runs <= STANDS_WITHIN)
    }

    /// What a catch line without slack takes when it comes onto it at once, N.
    pub fn sudden(&self) -> f64 {
        r::sudden_load(self.pulls)
    }
}

/// The foot brake of a vehicle on a slope.
pub fn foot_brake(place: &Place) -> Brake {
    let scene = Scene::of(place.slope, place.surface, place.vehicle);
    let pulls = scene.pull(Stuck::Rolls, Direction::Lower).high;
    let holds = brake_holds(place.slope, place.surface, place.vehicle);
    Brake::of(holds, pulls, place.vehicle.mass.si(), place.course.limits.reaction_time.si())
}

/// Whether wheels that do not turn hold a vehicle on its slope, with the margin of the course at the lowest grip.
pub fn holds_still(place: &Place) -> bool {
    let brake = foot_brake(place);
    r::margin_left(brake.holds, brake.pulls) >= place.course.recovery.margin
}

/// What stops a vehicle without a second line.
///
/// # Errors
/// The foot brake, where somebody is aboard and it will not do.
pub(super) fn second(place: &Place, worked: &Worked) -> Result<Second, Brake> {
    let brake = foot_brake(place);
    let does = brake.does(place.course.recovery.margin);
    match worked.recovery.pull.stuck {
        Stuck::Locked if holds_still(place) => Ok(Second::NobodyAboard(brake)),
        Stuck::Locked => Err(brake),
        _ if does => Ok(Second::FootBrake(brake)),
        _ => Err(brake),
    }
}

/// The rig of a rung with a catch line beside it: the best first line, within the longest time (s), for which what is
/// left of the kit makes a second.
///
/// # Errors
/// What a catch line lacks, nearest to success.
pub(super) fn caught(
    worked: &Worked,
    means: Means,
    brake: &Brake,
    longest: f64,
) -> Result<(Rig, Rig), Option<Refused>> {
    // A catch line leads uphill: not from what stands below, and not over two anchors.
    if worked.recovery.stages > 1 || worked.recovery.pull.direction == Direction::Down {
        return Err(None);
    }
    let gear = &worked.gear;
    let task = Task { ways: Ways::PaidOut, beside: Beside::First, ..worked.task };
    let ends = task.facing.ends();
    let has = gear.helpers[task.casualty].points.iter().filter(|point| ends.contains(&point.end)).count();
    if has < 2 {
        return Err(Some(Refused::Lacks { what: Lacking::CasualtysPoint(task.facing), needs: 2, has }));
    }
    if gear.winches.len() < 2 {
        return Err(Some(Refused::Lacks { what: Lacking::HelpersWinch, needs: 2, has: gear.winches.len() }));
    }
    let catch = Task { pull: brake.sudden(), beside: Beside::Second, ..task };
    let of_rung = |rig: &Rig| means.takes(rig) && rig.time.unwrap_or(0.0) <= longest;
    pair(gear, [&task, &catch], of_rung).map_err(|refused| Refusal::nearest(refused).map(|told| told.reason))
}
