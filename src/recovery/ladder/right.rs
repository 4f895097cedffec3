//! Righting a vehicle on its side: one line pulls it up, another on the far side holds it back past its
//! balance, so that it is let down onto its wheels. The second is turned aside by a block: whoever works it stands clear
//! of where the vehicle may roll. Either line hangs by a bridle on the front and the rear point of the
//! side that lies up: in the middle it would have half the arm, and on one end it would slew the vehicle.

use std::f64::consts::FRAC_PI_2;

use serde::Serialize;

use super::pair::{with_winch, without};
use crate::course::{End, Side, Slope, Vehicle};
use crate::engine::formulas::{GRAVITY, recovery as r};
use crate::recovery::facing::Facing;
use crate::recovery::gear::{Gear, Point};
use crate::recovery::pull::Pull;
use crate::recovery::rig::{Part, Refusal, Rig, Role};
use crate::recovery::search::search;
use crate::recovery::stance::{Beside, upper_arm};
use crate::recovery::task::{Sling, Task, Ways};

/// Steepest ground on which a vehicle is righted with the kit of a course, degrees: it stands on its
/// wheels afterwards, and must not run. Common practice, no source.
pub const STEEPEST_RIGHT: f64 = 10.0;
/// Height of the point a catch line is made fast to, m, when the vehicle is upright. Common practice,
/// no source.
pub const CATCH_POINT: f64 = 0.5;
/// Lean from lying at which the upper wheels touch the ground again, their springs being out, degrees.
/// Common practice, no source.
pub const TOUCHES: f64 = 80.0;
/// From the vehicle to both anchors, and how far its upper side travels, m.
pub const REACH: [f64; 2] = [12.0, 2.0];

/// A righting: the line that pulls and the line that holds back.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Righting {
    /// The rig that pulls it up.
    pub pull: Rig,
    /// The rig that holds it back.
    pub catch: Rig,
    /// What the catch line holds at most, N.
    pub catch_force: f64,
}

/// Why a vehicle is not righted.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "why", rename_all = "snake_case")]
pub enum NoRighting {
    /// It would run when it stands again.
    TooSteep {
        /// The ground, rad.
        gradient: f64,
    },
    /// Not two winches: one to pull, one to hold back.
    OneWinch,
    /// No rated points front and rear on the side that lies up.
    NoUpperPoints {
        /// The side.
        side: Side,
    },
    /// No rig pulls it up.
    NoPull {
        /// The refusal nearest to success.
        nearest: Option<Refusal>,
    },
    /// What is left of the kit makes no catch line.
    NoCatch {
        /// What it must hold, N.
        needs: f64,
        /// The refusal nearest to success.
        nearest: Option<Refusal>,
    },
}

/// The greatest force of a level catch line from the balance until the upper wheels touch, N. It hangs on the points of
/// the upper side and is led down the cross slope, so that the vehicle is let down uphill.
pub fn greatest_catch(vehicle: &Vehicle) -> f64 {
    let weight = r::weight(vehicle.mass.si(), GRAVITY);
    let (height, width) = (vehicle.loaded_centre_height().si(), vehicle.track.si());
    let point = [upper_arm(width), CATCH_POINT];
    (0..=160)
        .map(|half| f64::from(half) / 160.0 * TOUCHES.to_radians())
        .map(|lean| r::catch_force(weight, height, width, point, lean, 0.0))
        .fold(0.0, f64::max)
}

/// The righting of a vehicle with the best two winches of the kit, as it does on whichever side it lies: the weaker of
/// the two.
///
/// # Errors
/// Why there is none.
pub fn right(
    gear: &Gear,
    slope: &Slope,
    vehicle: &Vehicle,
    casualty: usize,
    pull: &Pull,
    margin: f64,
) -> Result<Righting, NoRighting> {
    let gradient = slope.steepest().gradient.si().max(slope.cross_slope.si());
    if gradient.to_degrees() > STEEPEST_RIGHT {
        return Err(NoRighting::TooSteep { gradient });
    }
    if gear.winches.iter().filter(|winch| winch.host != Some(casualty)).count() < 2 {
        return Err(NoRighting::OneWinch);
    }
    let [distance, travel] = REACH;
    let task = Task {
        casualty,
        pull: pull.high,
        distance,
        nearest: distance - travel,
        travel,
        reach: 0.0,
        sling: Some(Sling::along(vehicle)),
        beside: Beside::Alone,
        askew: FRAC_PI_2,
        facing: Facing::Side,
        ways: Ways::PaidOut,
        most_settings: 1,
        margin,
        thrifty: false,
    };
    let lies = Lies { gear, task, needs: greatest_catch(vehicle) };
    let [left, right] = Side::BOTH.map(|upper| lies.righted(upper));
    let (left, right) = (left?, right?);
    Ok(if left.least() <= right.least() { left } else { right })
}

/// A vehicle that lies on its side, with what is there to right it.
struct Lies<'a> {
    gear: &'a Gear,
    task: Task,
    /// What the catch line must hold, N.
    needs: f64,
}

impl Lies<'_> {
    /// Righted with this side up: the best two winches.
    fn righted(&self, upper: Side) -> Result<Righting, NoRighting> {
        let points = self.upper_points(upper).ok_or(NoRighting::NoUpperPoints { side: upper })?;
        let mut best: Option<Righting> = None;
        let mut reason = NoRighting::NoPull { nearest: None };
        for place in 0..self.gear.winches.len() {
            let with = self.hung_on(with_winch(self.gear, place), points.clone());
            let found = search(&with, &self.task);
            let Some(up) = found.rigs.into_iter().next() else {
                if matches!(reason, NoRighting::NoPull { nearest: None }) {
                    reason = NoRighting::NoPull { nearest: Refusal::nearest(found.refused) };
                }
                continue;
            };
            let left = self.hung_on(without(self.gear, &up), self.points_left(&points, &up));
            let held = search(&left, &Task { pull: self.needs, ways: Ways::PaidOutAside, ..self.task });
            let Some(catch) = held.rigs.into_iter().next() else {
                let nearest = Refusal::nearest(held.refused);
                reason = NoRighting::NoCatch { needs: self.needs, nearest };
                continue;
            };
            let one = Righting::of(up, catch, self.needs);
            if best.as_ref().is_none_or(|known| one.least() > known.least()) {
                best = Some(one);
            }
        }
        best.ok_or(reason)
    }

    /// The strongest points of a side, front and rear.
    fn upper_points(&self, side: Side) -> Option<Vec<Point>> {
        let all = &self.gear.helpers[self.task.casualty].points;
        let of = |end| all.iter().find(|point| point.end == end && point.side == Some(side)).cloned();
        Some(vec![of(End::Front)?, of(End::Rear)?])
    }

    fn hung_on(&self, mut gear: Gear, points: Vec<Point>) -> Gear {
        gear.helpers[self.task.casualty].points = points;
        gear
    }

    /// What the points still carry beside a line that hangs on them, both lines being tight.
    fn points_left(&self, points: &[Point], line: &Rig) -> Vec<Point> {
        let hangs = |point: &Point| {
            let part =
                line.parts.iter().find(|part| part.role == Role::CasualtyPoint && part.name == point.place);
            part.map_or(0.0, |part| part.load / part.counts / (1.0 - self.task.margin))
        };
        let left = |point: &Point| Point { limit: (point.limit - hangs(point)).max(0.0), ..point.clone() };
        points.iter().map(left).collect()
    }
}

impl Righting {
    /// Of two lines that hang on the same points: each point carries both.
    fn of(mut pull: Rig, mut catch: Rig, catch_force: f64) -> Self {
        let points =
            |rig: &Rig| rig.parts.iter().filter(|part| part.role == Role::CasualtyPoint).cloned().collect();
        let [on_pull, on_catch]: [Vec<_>; 2] = [points(&pull), points(&catch)];
        for rig in [&mut pull, &mut catch] {
            for part in rig.parts.iter_mut().filter(|part| part.role == Role::CasualtyPoint) {
                let both = |rigs: &[Part]| {
                    rigs.iter().filter(|other| other.name == part.name).map(|other| other.load).sum::<f64>()
                };
                let load = both(&on_pull) + both(&on_catch);
                let whole =
                    on_pull.iter().find(|other| other.name == part.name).map_or(0.0, |one| one.rating);
                part.carry(load, whole);
            }
            rig.weigh();
        }
        Self { pull, catch, catch_force }
    }

    /// The share that is left on the part with the least.
    fn least(&self) -> f64 {
        self.pull.margin.min(self.catch.margin)
    }
}
