//! Axle loads and tipping.

use crate::engine::formulas::slope::roll;
use crate::engine::formulas::stability::{front_load, nose_tip_angle, rear_load, side_tip_angle};
use crate::engine::symbols::{
    BRAKING_FORCE, CENTRE_HEIGHT, CENTRE_TO_FRONT, CENTRE_TO_REAR, FRONT_LOAD, HEADING, NORMAL, NOSE_TIP,
    REAR_LOAD, ROLL, SLOPE_ANGLE, TIP_ANGLE, TRACK, WHEELBASE,
};
use crate::formula::{Algebra, Bend, Expr, Formula, Slip, formula};

/// Every formula here.
pub static ALL: &[&Formula] = &[&FRONT_AXLE, &REAR_AXLE, &SIDE_TIP, &NOSE_TIPS, &ROLL_OFF_LINE];

formula! {
    FRONT_AXLE = front_load as (normal: NORMAL, b: CENTRE_TO_REAR, h: CENTRE_HEIGHT, braking: BRAKING_FORCE, l: WHEELBASE) => FRONT_LOAD;
    id: "front-axle-load",
    title: "Front axle load while the slope is held",
    why: "Holding back lifts the rear and presses the front: the braking force does it, not the slope as such.",
    source: "Moments about the rear contact line",
    slips: [
        Slip { id: "no-shift", why: "left the shift from holding back out", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() / given[4].clone()) },
        Slip { id: "wrong-way", why: "took the shift from the front instead of adding it", bend: Bend::Instead(|given| (given[0].clone() * given[1].clone() - given[2].clone() * given[3].clone()) / given[4].clone()) },
    ],
}

formula! {
    REAR_AXLE = rear_load as (normal: NORMAL, a: CENTRE_TO_FRONT, h: CENTRE_HEIGHT, braking: BRAKING_FORCE, l: WHEELBASE) => REAR_LOAD;
    id: "rear-axle-load",
    title: "Rear axle load while the slope is held",
    why: "What the front gains the rear loses: it locks and steps out first.",
    source: "Moments about the front contact line",
    slips: [
        Slip { id: "no-shift", why: "left the shift from holding back out", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() / given[4].clone()) },
        Slip { id: "wrong-way", why: "added the shift to the rear", bend: Bend::Instead(|given| (given[0].clone() * given[1].clone() + given[2].clone() * given[3].clone()) / given[4].clone()) },
    ],
}

formula! {
    SIDE_TIP = side_tip_angle as (track: TRACK, height: CENTRE_HEIGHT) => TIP_ANGLE;
    id: "side-tip-angle",
    title: "Side tip angle, rigid and standing still",
    why: "Theoretical: bumps, springs, tyres and speed all lower it. The course's working limit is far below.",
    source: "E1, static stability factor",
    slips: [
        Slip { id: "full-track", why: "took the whole track instead of half", bend: Bend::Instead(|given| (given[0].clone() / given[1].clone()).atan()) },
        Slip { id: "turned-over", why: "turned the ratio over", bend: Bend::Instead(|given| (Expr::num(2.0) * given[1].clone() / given[0].clone()).atan()) },
    ],
}

formula! {
    NOSE_TIPS = nose_tip_angle as (to_front: CENTRE_TO_FRONT, height: CENTRE_HEIGHT) => NOSE_TIP;
    id: "nose-tip-angle",
    title: "Slope at which the rear lifts, rigid, standing",
    why: "Theoretical: a hole under the front wheels, springs and hard braking all lower it, and so does a load on the roof.",
    source: "Moments about the front contact line",
    slips: [
        Slip { id: "halved", why: "halved the distance, as for the track", bend: Bend::Instead(|given| (given[0].clone() / (Expr::num(2.0) * given[1].clone())).atan()) },
        Slip { id: "turned-over", why: "turned the ratio over", bend: Bend::Instead(|given| (given[1].clone() / given[0].clone()).atan()) },
    ],
}

formula! {
    ROLL_OFF_LINE = roll as (slope: SLOPE_ANGLE, heading: HEADING) => ROLL;
    id: "roll-off-fall-line",
    title: "Roll when driving off the fall line",
    why: "Turning off the fall line trades pitch for roll: straight down has no roll at all.",
    source: "Gravity resolved in the vehicle's axes, as a pendulum gauge shows it",
    slips: [
        Slip { id: "whole-slope", why: "took the whole slope for the roll", bend: Bend::Instead(|given| given[0].clone().tan().atan()) },
        Slip { id: "cosine", why: "took the cosine of the heading: that is the pitch", bend: Bend::Instead(|given| (given[0].clone().tan() * given[1].clone().cos()).atan()) },
    ],
}
