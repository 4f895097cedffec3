//! Recovery, down before up: letting down on the line, towing, points pulled sideways.

use crate::engine::formulas::recovery::{brake_hold, holding_force, side_limit, sudden_load, tow_start};
use crate::engine::symbols::{
    BRAKE_HOLDS, FRICTION_SLIDING, GROUND_PULL, HELD, LOWEST_ROLLING, MASS, POINT_LIMIT, PULLS_AWAY,
    SIDE_LIMIT, SIDE_SHARE, SLOPE_ANGLE, SUDDEN, TOW_START, WEIGHT,
};
use crate::formula::{Algebra, Bend, Expr, Formula, Slip, formula};

/// Every formula here.
pub static ALL: &[&Formula] = &[&HOLDS_IT, &AT_ONCE, &BRAKE_TAKES, &SETS_IT_MOVING, &SIDEWAYS];

formula! {
    HOLDS_IT = holding_force as (weight: WEIGHT, angle: SLOPE_ANGLE, rolling: LOWEST_ROLLING) => HELD;
    id: "holding-force",
    title: "Force that holds it on the line",
    why: "The slope pulls it down, the ground helps a little: counted at its lowest.",
    source: "Weight resolved along the slope, less rolling resistance",
    slips: [
        Slip { id: "ground-added", why: "added the rolling resistance: going down it helps", bend: Bend::Instead(|given| given[0].clone() * (given[1].clone().sin() + given[2].clone() * given[1].clone().cos())) },
        Slip { id: "cosine", why: "took the cosine for the sine: that part presses on the ground", bend: Bend::Instead(|given| given[0].clone() * given[1].clone().cos()) },
        Slip { id: "whole-weight", why: "took the whole weight", bend: Bend::Instead(|given| given[0].clone()) },
    ],
}

formula! {
    AT_ONCE = sudden_load as (held: HELD) => SUDDEN;
    id: "sudden-load",
    title: "Force when the brake is let off at once",
    why: "A load that comes onto a line at once swings past and doubles. Line tight first, brake off slowly.",
    source: "Suddenly applied load on a linear spring",
    slips: [
        Slip { id: "steady", why: "took the steady force: nobody lets a brake off that slowly every time", bend: Bend::Instead(|given| given[0].clone()) },
        Slip { id: "half-more", why: "added a half instead of doubling", bend: Bend::Whole(|f| f * Expr::num(0.75)) },
    ],
}

formula! {
    BRAKE_TAKES = brake_hold as (weight: WEIGHT, angle: SLOPE_ANGLE, friction: FRICTION_SLIDING) => BRAKE_HOLDS;
    id: "brake-share",
    title: "What its own foot brake can take",
    why: "Friction on what presses on the ground. Parts are chosen as if it took nothing: brakes may be what failed. Where it holds a fifth more than it must, it is the second means.",
    source: "Coulomb friction on a slope",
    slips: [
        Slip { id: "no-friction", why: "left the friction out", bend: Bend::LeftOut(&FRICTION_SLIDING) },
        Slip { id: "sine", why: "took the part that points down the slope", bend: Bend::Instead(|given| given[2].clone() * given[0].clone() * given[1].clone().sin()) },
    ],
}

formula! {
    SETS_IT_MOVING = tow_start as (resistance: GROUND_PULL, mass: MASS, away: PULLS_AWAY) => TOW_START;
    id: "tow-start",
    title: "Force that sets it moving on a tow",
    why: "Resistance, and mass times how fast the tug pulls away: parts are chosen for the start, not for the road.",
    source: "Newton’s second law; 0.5 m/s² common practice, no source",
    slips: [
        Slip { id: "no-start", why: "forgot that it must be set moving", bend: Bend::Instead(|given| given[0].clone()) },
        Slip { id: "no-resistance", why: "forgot the resistance", bend: Bend::Instead(|given| given[1].clone() * given[2].clone()) },
    ],
}

formula! {
    SIDEWAYS = side_limit as (limit: POINT_LIMIT, share: SIDE_SHARE) => SIDE_LIMIT;
    id: "side-limit",
    title: "What a point may carry pulled sideways",
    why: "A limit is given for a pull in line. To 45° off it 70 % counts, beyond that half.",
    source: "B18, side load on shackles; for recovery points common practice, no source",
    slips: [
        Slip { id: "whole", why: "took the whole limit, as for a pull in line", bend: Bend::Instead(|given| given[0].clone()) },
        Slip { id: "taken-off", why: "took the share off instead of taking the share", bend: Bend::Instead(|given| given[0].clone() * (Expr::num(1.0) - given[1].clone())) },
    ],
}
