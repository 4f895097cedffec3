//! Grades, the force down a slope, the locked slide.

use super::units::{GRAVITY_ON_POUNDS, MASS_FOR_WEIGHT, km_per_hour, miles_per_hour, over_1_467, times_3_6};
use crate::engine::formulas::slope::{
    angle_from_one_in, force_down, height, locked_deceleration, normal_force, normal_on_tilt, rolling_force,
    speed_after, stop_distance, stop_time,
};
use crate::engine::symbols::{
    DECELERATION, ENTRY_SPEED, EXIT_SPEED, FRICTION_PEAK, FRICTION_SLIDING, GRADE, GRAVITY_ACCELERATION,
    HEIGHT, MASS, NORMAL, ONE_IN, PULL, ROLL, ROLLING_COEFFICIENT, ROLLING_FORCE, SLOPE_ANGLE, SLOPE_LENGTH,
    STOP_DISTANCE, STOP_TIME,
};
use crate::formula::{Algebra, Bend, Expr, Formula, Slip, formula};

/// Every formula here.
pub static ALL: &[&Formula] = &[
    &ANGLE_OF_GRADE,
    &GRADE_OF_ANGLE,
    &ANGLE_OF_ONE_IN,
    &SLOPE_HEIGHT,
    &FORCE_DOWN,
    &NORMAL_FORCE,
    &NORMAL_ON_TILT,
    &ROLLING_RESISTANCE,
    &LOCKED_DECELERATION,
    &TURNING_DECELERATION,
    &LOCKED_DISTANCE,
    &LOCKED_TIME,
    &LOCKED_EXIT,
];

/// Grade, height over level distance, of a slope angle (rad).
pub fn grade_of_angle<A: Algebra>(angle: A) -> A {
    angle.tan()
}

/// Slope angle, rad, of a grade, height over level distance.
pub fn angle_of_grade<A: Algebra>(grade: A) -> A {
    grade.atan()
}

formula! {
    ANGLE_OF_GRADE = angle_of_grade as (grade: GRADE) => SLOPE_ANGLE;
    id: "angle-of-grade",
    title: "Grade in degrees",
    why: "Per cent is height over level distance: the tangent of the angle.",
    source: "B3, pars. 1868-1869: degrees, per cent and ratio are separate notations",
    slips: [
        Slip { id: "per-cent-as-degrees", why: "read per cent as degrees: 100 % is 45°", bend: Bend::Instead(|given| Expr::num(100.0) * given[0].clone() * Expr::pi() / Expr::num(180.0)) },
        Slip { id: "share-of-ninety", why: "took 100 % for 90°", bend: Bend::Instead(|given| given[0].clone() / Expr::num(2.0) * Expr::pi()) },
    ],
}

formula! {
    GRADE_OF_ANGLE = grade_of_angle as (angle: SLOPE_ANGLE) => GRADE;
    id: "grade-of-angle",
    title: "Degrees in per cent",
    why: "The tangent; not the sine, which is height over the distance driven.",
    source: "B3, pars. 1868-1869",
    slips: [
        Slip { id: "sine", why: "took the sine: that is height over the distance driven", bend: Bend::Instead(|given| given[0].clone().sin()) },
        Slip { id: "cosine", why: "took the cosine", bend: Bend::Instead(|given| given[0].clone().cos()) },
    ],
}

formula! {
    ANGLE_OF_ONE_IN = angle_from_one_in as (n: ONE_IN) => SLOPE_ANGLE;
    id: "angle-of-one-in",
    title: "1 in n in degrees",
    why: "One of height to n on the level.",
    source: "B3, pars. 1868-1869",
    slips: [
        Slip { id: "turned-over", why: "turned the ratio over", bend: Bend::Instead(|given| given[0].clone().atan()) },
    ],
}

formula! {
    SLOPE_HEIGHT = height as (length: SLOPE_LENGTH, angle: SLOPE_ANGLE) => HEIGHT;
    id: "height",
    title: "Height of a slope",
    why: "The tape lies along the ground, so the height is its sine.",
    source: "Definition",
    slips: [
        Slip { id: "cosine", why: "took the cosine: that is the level distance", bend: Bend::Instead(|given| given[0].clone() * given[1].clone().cos()) },
        Slip { id: "no-angle", why: "took the length for the height", bend: Bend::Instead(|given| given[0].clone()) },
    ],
}

formula! {
    FORCE_DOWN = force_down as (mass: MASS, gravity: GRAVITY_ACCELERATION, angle: SLOPE_ANGLE) => PULL;
    id: "force-down",
    title: "Force down the slope",
    why: "The part of the weight that points down the slope. Something must hold it: brakes, engine or ground.",
    source: "Weight resolved along the slope",
    slips: [
        Slip { id: "cosine", why: "took the cosine: that part presses on the ground", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() * given[2].clone().cos()) },
        MASS_FOR_WEIGHT, GRAVITY_ON_POUNDS,
        Slip { id: "whole-weight", why: "took the whole weight", bend: Bend::Instead(|given| given[0].clone() * given[1].clone()) },
    ],
}

formula! {
    NORMAL_FORCE = normal_force as (mass: MASS, gravity: GRAVITY_ACCELERATION, angle: SLOPE_ANGLE) => NORMAL;
    id: "normal-force",
    title: "Force on the ground",
    why: "The part of the weight that presses on the ground. Grip comes from it.",
    source: "Weight resolved square to the slope",
    slips: [
        Slip { id: "sine", why: "took the sine: that part points down the slope", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() * given[2].clone().sin()) },
        MASS_FOR_WEIGHT, GRAVITY_ON_POUNDS,
    ],
}

formula! {
    NORMAL_ON_TILT = normal_on_tilt as (mass: MASS, gravity: GRAVITY_ACCELERATION, angle: SLOPE_ANGLE, roll: ROLL) => NORMAL;
    id: "normal-on-tilt",
    title: "Force on tilted ground",
    why: "A side tilt takes a second share of the weight off the ground.",
    source: "Weight resolved square to the ground under the vehicle",
    slips: [
        Slip { id: "no-tilt", why: "forgot the side tilt", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() * given[2].clone().cos()) },
        MASS_FOR_WEIGHT, GRAVITY_ON_POUNDS,
    ],
}

formula! {
    ROLLING_RESISTANCE = rolling_force as (coefficient: ROLLING_COEFFICIENT, normal: NORMAL) => ROLLING_FORCE;
    id: "rolling-resistance",
    title: "Rolling resistance",
    why: "Soft ground and flexing tyres hold back too. On the way down that helps.",
    source: "B1; B2",
    slips: [
        Slip { id: "no-coefficient", why: "left the coefficient out", bend: Bend::LeftOut(&ROLLING_COEFFICIENT) },
    ],
}

formula! {
    LOCKED_DECELERATION = locked_deceleration as (gravity: GRAVITY_ACCELERATION, friction: FRICTION_SLIDING, angle: SLOPE_ANGLE) => DECELERATION;
    id: "locked-deceleration",
    title: "Locked wheels: deceleration",
    why: "Friction holds back, the slope pulls on; the mass cancels, so a heavy vehicle slides as far as a light one.",
    source: "Newton's second law; equal to the stopping form of B6 when distance is taken in plan",
    slips: [
        Slip { id: "no-slope", why: "forgot that the slope pulls: as on the level", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() * given[2].clone().cos()) },
        Slip { id: "uphill", why: "added the slope's pull instead of taking it away: as if going up", bend: Bend::Instead(|given| given[0].clone() * (given[1].clone() * given[2].clone().cos() + given[2].clone().sin())) },
    ],
}

formula! {
    TURNING_DECELERATION = locked_deceleration as (gravity: GRAVITY_ACCELERATION, friction: FRICTION_PEAK, angle: SLOPE_ANGLE) => DECELERATION;
    id: "turning-deceleration",
    title: "Wheels turning, on the foot brake: deceleration",
    why: "The same balance with the grip of a wheel that still turns: the most the ground gives, and some of it steers.",
    source: "Newton's second law; equal to the stopping form of B6 when distance is taken in plan",
    slips: [
        Slip { id: "no-slope", why: "forgot that the slope pulls: as on the level", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() * given[2].clone().cos()) },
    ],
}

formula! {
    LOCKED_DISTANCE = stop_distance as (speed: ENTRY_SPEED, deceleration: DECELERATION) => STOP_DISTANCE;
    id: "locked-distance",
    title: "Distance to stop",
    why: "Twice the speed needs four times the distance.",
    source: "Constant deceleration",
    slips: [
        Slip { id: "no-two", why: "left the 2 out", bend: Bend::Whole(|d| Expr::num(2.0) * d) },
        Slip { id: "no-square", why: "did not square the speed", bend: Bend::Instead(|given| given[0].clone() / (Expr::num(2.0) * given[1].clone())) },
        km_per_hour(&times_3_6(&ENTRY_SPEED)),
        miles_per_hour(&over_1_467(&ENTRY_SPEED)),
    ],
}

formula! {
    LOCKED_TIME = stop_time as (speed: ENTRY_SPEED, deceleration: DECELERATION) => STOP_TIME;
    id: "locked-time",
    title: "Time to stop",
    why: "The speed goes down by a each second, and all that time nobody steers.",
    source: "Constant deceleration",
    slips: [
        km_per_hour(&times_3_6(&ENTRY_SPEED)),
        miles_per_hour(&over_1_467(&ENTRY_SPEED)),
    ],
}

formula! {
    LOCKED_EXIT = speed_after as (speed: ENTRY_SPEED, deceleration: DECELERATION, length: SLOPE_LENGTH) => EXIT_SPEED;
    id: "locked-exit-speed",
    title: "Speed after a distance",
    why: "Where the friction is less than the slope's pull, a is negative: the speed grows.",
    source: "Constant deceleration",
    slips: [
        Slip { id: "no-start", why: "forgot the speed at the start", bend: Bend::Instead(|given| (-(Expr::num(2.0) * given[1].clone() * given[2].clone())).sqrt()) },
        Slip { id: "no-two", why: "left the 2 out", bend: Bend::Instead(|given| (given[0].clone().squared() - given[1].clone() * given[2].clone()).sqrt()) },
    ],
}
