//! Sizing a demonstration, a scale model, and the comparison of a fleet.

use super::units::{GRAVITY_ON_POUNDS, MASS_FOR_WEIGHT};
use crate::engine::formulas::show::{holding_share, model_energy, model_speed, slide_speed};
use crate::engine::symbols::{
    DECELERATION, DRAG_TORQUE, ENTRY_SPEED, GRAVITY_ACCELERATION, HEIGHT_ENERGY, HOLDING_SHARE, MASS,
    MODEL_ENERGY, MODEL_SPEED, OVERALL_RATIO, RADIUS, SCALE, SPEED, STOP_DISTANCE,
};
use crate::formula::{Algebra, Bend, Expr, Formula, Slip, formula};

/// Every formula here.
pub static ALL: &[&Formula] = &[&SLIDE_SPEED, &SPEED_OF_MODEL, &ENERGY_OF_MODEL, &HELD_BY_GEAR];

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
