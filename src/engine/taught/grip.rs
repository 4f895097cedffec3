//! What the ground can hold, and what a wheel can steer.

use crate::engine::formulas::grip::{friction_limit_angle, sliding_sideways};
use crate::engine::symbols::{
    FRICTION_PEAK, FRICTION_SLIDING, LIMIT_ANGLE, SPEED_RATIO, STEER_ANGLE, STEERING_SHARE,
};
use crate::formula::{Algebra, Bend, Expr, Formula, Slip, formula};

/// Every formula here.
pub static ALL: &[&Formula] = &[&LIMIT_TURNING, &LIMIT_LOCKED, &STEERING];

/// The friction read as an angle.
const AS_PERCENT_OF_NINETY: Slip = Slip {
    id: "share-of-ninety",
    why: "took the friction as a share of 90°",
    bend: Bend::Instead(|given| given[0].clone() * Expr::pi() / Expr::num(2.0)),
};

formula! {
    LIMIT_TURNING = friction_limit_angle as (friction: FRICTION_PEAK) => LIMIT_ANGLE;
    id: "limit-slope-turning",
    title: "Steepest slope turning wheels can hold",
    why: "At the limit the slope's pull equals the grip: tan θ = μ. The vehicle's mass does not matter.",
    source: "Coulomb friction",
    slips: [
        AS_PERCENT_OF_NINETY,
        Slip { id: "forty-five", why: "took friction × 45°", bend: Bend::Instead(|given| given[0].clone() * Expr::pi() / Expr::num(4.0)) },
    ],
}

formula! {
    LIMIT_LOCKED = friction_limit_angle as (friction: FRICTION_SLIDING) => LIMIT_ANGLE;
    id: "limit-slope-locked",
    title: "Steepest slope locked wheels can hold",
    why: "The same with the friction of a sliding wheel. Between this slope and the other, only turning wheels hold.",
    source: "Coulomb friction",
    slips: [AS_PERCENT_OF_NINETY],
}

formula! {
    STEERING = sliding_sideways as (k: SPEED_RATIO, steer: STEER_ANGLE) => STEERING_SHARE;
    id: "steering-share",
    title: "Steering share of a wheel that turns too slowly",
    why: "Friction points against the sliding. Only a turning wheel turns part of it sideways; locked (k = 0) none.",
    source: "Coulomb friction on the sliding direction; T5 (from memory)",
    slips: [
        Slip { id: "sine-alone", why: "took k sin δ and did not divide by the sliding speed", bend: Bend::Instead(|given| given[0].clone() * given[1].clone().sin()) },
        Slip { id: "all-of-it", why: "took the steer angle alone, as for a rolling wheel", bend: Bend::Instead(|given| given[1].clone().sin()) },
    ],
}
