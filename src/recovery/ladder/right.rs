//! Righting a vehicle on its side: one line pulls it up, another on the far side holds it back past its
//! balance, so that it is let down onto its wheels.

use std::f64::consts::FRAC_PI_2;

use serde::Serialize;

use super::pair::{variations, with_winch, without};
use crate::course::{Slope, Vehicle};
use crate::engine::formulas::{GRAVITY, recovery as r};
use crate::recovery::facing::Facing;
use crate::recovery::gear::Gear;
use crate::recovery::pull::Pull;
use crate::recovery::rig::{Refusal, Rig};
use crate::recovery::search::search;
use crate::recovery::stance::Beside;
use crate::recovery::task::{Task, Ways};

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

/// The greatest force of a level catch line from the balance until the upper wheels touch, N. It is led
/// up the cross slope, so that the vehicle is let down uphill.
pub fn greatest_catch(vehicle: &Vehicle) -> f64 {
    let weight = r::weight(vehicle.mass.si(), GRAVITY);
    let (height, width) = (vehicle.loaded_centre_height().si(), vehicle.track.si());
    (0..=160)
        .map(|half| f64::from(half) / 160.0 * TOUCHES.to_radians())
        .map(|lean| r::catch_force(weight, height, width, CATCH_POINT, lean, 0.0))
        .fold(0.0, f64::max)
}

/// The righting of a vehicle with the best two winches of the kit.
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
    let [distance, travel] = REACH;
    let task = |force| Task {
        casualty,
        pull: force,
        distance,
        nearest: distance - travel,
        travel,
        reach: 0.0,
        beside: Beside::Alone,
        askew: FRAC_PI_2,
        facing: Facing::Side,
        ways: Ways::All,
        most_settings: 1,
        margin,
        thrifty: false,
    };
    if gear.winches.iter().filter(|winch| winch.host != Some(casualty)).count() < 2 {
        return Err(NoRighting::OneWinch);
    }
    let needs = greatest_catch(vehicle);
    let mut best: Option<Righting> = None;
    let mut reason = NoRighting::NoPull { nearest: None };
    let winches = (0..gear.winches.len()).map(|place| with_winch(gear, place));
    for with in winches.flat_map(|with| variations(&with, casualty)) {
        let found = search(&with, &Task { ways: Ways::PaidOut, ..task(pull.high) });
        let Some(up) = found.rigs.into_iter().next() else {
            if matches!(reason, NoRighting::NoPull { nearest: None }) {
                reason = NoRighting::NoPull { nearest: Refusal::nearest(found.refused) };
            }
            continue;
        };
        let held = search(&without(gear, &up), &Task { ways: Ways::PaidOut, ..task(needs) });
        let Some(catch) = held.rigs.into_iter().next() else {
            reason = NoRighting::NoCatch { needs, nearest: Refusal::nearest(held.refused) };
            continue;
        };
        let least = |one: &Righting| one.pull.margin.min(one.catch.margin);
        let one = Righting { pull: up, catch, catch_force: needs };
        if best.as_ref().is_none_or(|known| least(&one) > least(known)) {
            best = Some(one);
        }
    }
    best.ok_or(reason)
}
