//! Sizing a demonstration, a scale model, the choice of a gear, its pace, and the comparison of a fleet.

use super::units::{GRAVITY_ON_POUNDS, MASS_FOR_WEIGHT, km_per_hour, miles_per_hour, over_1_467, times_3_6};
use crate::engine::formulas::show::{
    asked_share, held_over, holding_share, model_energy, model_speed, peg_time, slide_speed,
};
use crate::engine::symbols::{
    ASKED_SHARE, DECELERATION, DRAG_TORQUE, ENTRY_SPEED, GRAVITY_ACCELERATION, HEIGHT_ENERGY, HELD_OVER,
    HOLDING_SHARE, MASS, MODEL_ENERGY, MODEL_SPEED, OVERALL_RATIO, PEG_DISTANCE, PEG_TIME, RADIUS,
    ROLLING_COEFFICIENT, SCALE, SLOPE_ANGLE, SPEED, STOP_DISTANCE,
};
use crate::formula::{Algebra, Bend, Expr, Formula, Slip, formula};

/// Every formula here.
pub static ALL: &[&Formula] = &[
    &SLIDE_SPEED,
    &SPEED_OF_MODEL,
    &ENERGY_OF_MODEL,
    &HELD_BY_GEAR,
    &SLOPE_ASKS,
    &HOLDS_OVER,
    &TIME_OF_PEGS,
];

formula! {
    SLIDE_SPEED = slide_speed as (a: DECELERATION, d: STOP_DISTANCE) => ENTRY_SPEED;
    id: "slide-speed",
    title: "Speed for a slide this long",
    why: "A slide too short to see teaches that locking works. Four times the length takes twice the speed.",
    source: "Constant deceleration; T3, ch. 2",
    slips: [
        Slip { id: "no-root", why: "left the root out", bend: Bend::Instead(|given| Expr::num(2.0) * given[0].clone() * given[1].clone()) },
        Slip { id: "no-two", why: "left the two out", bend: Bend::Instead(|given| (given[0].clone() * given[1].clone()).sqrt()) },
    ],
}

formula! {
    SPEED_OF_MODEL = model_speed as (speed: SPEED, scale: SCALE) => MODEL_SPEED;
    id: "model-speed",
    title: "How fast the model goes for the same descent",
    why: "Length over the square of time must match gravity, which no model shrinks: so speed goes with the root of the scale.",
    source: "Froude similarity, as in textbooks of fluid mechanics; worked values in tests/published",
    slips: [
        Slip { id: "whole-scale", why: "divided by the scale itself", bend: Bend::Instead(|given| given[0].clone() / given[1].clone()) },
    ],
}

formula! {
    ENERGY_OF_MODEL = model_energy as (energy: HEIGHT_ENERGY, scale: SCALE) => MODEL_ENERGY;
    id: "model-energy",
    title: "How little heat a model has to get rid of",
    why: "Mass goes with the cube of the scale, height with the scale: so energy with its fourth power. A table-top brake never gets warm.",
    source: "Froude similarity, as in textbooks of fluid mechanics",
    slips: [
        Slip { id: "cube", why: "took the cube: that is the mass alone", bend: Bend::Instead(|given| given[0].clone() / given[1].clone().powi(3)) },
        Slip { id: "square", why: "took the square", bend: Bend::Instead(|given| given[0].clone() / given[1].clone().powi(2)) },
    ],
}

formula! {
    HELD_BY_GEAR = holding_share as (torque: DRAG_TORQUE, ratio: OVERALL_RATIO, radius: RADIUS, mass: MASS, gravity: GRAVITY_ACCELERATION) => HOLDING_SHARE;
    id: "held-by-gear",
    title: "What the gear holds, for each unit of weight",
    why: "Torque and gearing hold, tyre and mass let go: these four decide the pace. Held while it is more than the sine of the slope.",
    source: "Torque over radius against the weight; losses are not counted",
    slips: [
        Slip { id: "no-ratio", why: "left the gearing out", bend: Bend::LeftOut(&OVERALL_RATIO) },
        MASS_FOR_WEIGHT, GRAVITY_ON_POUNDS,
    ],
}

formula! {
    SLOPE_ASKS = asked_share as (slope: SLOPE_ANGLE, rolling: ROLLING_COEFFICIENT) => ASKED_SHARE;
    id: "slope-asks",
    title: "What the slope asks, for each unit of weight",
    why: "The slope pulls, rolling resistance holds back a little; the gear must hold the rest.",
    source: "Inclined plane; T3",
    slips: [
        Slip { id: "no-rolling", why: "left rolling resistance out", bend: Bend::Instead(|given| given[0].clone().sin()) },
        Slip { id: "added", why: "added rolling resistance: it holds back", bend: Bend::Instead(|given| given[0].clone().sin() + given[1].clone() * given[0].clone().cos()) },
    ],
}

formula! {
    HOLDS_OVER = held_over as (held: HOLDING_SHARE, asked: ASKED_SHARE) => HELD_OVER;
    id: "holds-over",
    title: "What the gear holds over what the slope asks",
    why: "Over 1 the gear holds at this engine speed; under 1 it runs faster. Tolerances of mass, gradient and engine drag come on top.",
    source: "Definition",
    slips: [
        Slip { id: "upside-down", why: "divided the wrong way round", bend: Bend::Instead(|given| given[1].clone() / given[0].clone()) },
    ],
}

formula! {
    TIME_OF_PEGS = peg_time as (distance: PEG_DISTANCE, speed: SPEED) => PEG_TIME;
    id: "peg-time",
    title: "Seconds between two pegs",
    why: "Nobody reads a crawling speed on a dial; anybody can count seconds between two pegs.",
    source: "Definition",
    slips: [
        km_per_hour(&times_3_6(&SPEED)),
        miles_per_hour(&over_1_467(&SPEED)),
    ],
}
