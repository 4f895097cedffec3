//! Tyres, ratios, creep speed.

use super::units::{km_per_hour, miles_per_hour, over_1_467, times_3_6};
use crate::engine::formulas::gearing::{
    circumference, creep_speed, engine_spin, overall_ratio, rolling_radius, tyre_diameter,
};
use crate::engine::symbols::{
    ASPECT, AXLE_RATIO, CIRCUMFERENCE, DIAMETER, ENGINE_SPEED, GEAR_RATIO, HUB_RATIO, OVERALL_RATIO, RADIUS,
    RIM, ROLLING_FACTOR, SPEED, TRANSFER_RATIO, TYRE_WIDTH,
};
use crate::formula::{Algebra, Bend, Expr, Formula, Slip, formula};
use crate::quantity::UnitSystem::{Imperial, Metric};

/// Every formula here.
pub static ALL: &[&Formula] =
    &[&TYRE_DIAMETER, &ROLLING_CIRCUMFERENCE, &ROLLING_RADIUS, &OVERALL, &CREEP_SPEED, &ENGINE_SPIN];

formula! {
    TYRE_DIAMETER = tyre_diameter as (width: TYRE_WIDTH, aspect: ASPECT, rim: RIM) => DIAMETER;
    id: "tyre-diameter",
    title: "Tyre diameter",
    why: "The sidewall stands above and below the rim, so it counts twice.",
    source: "Definition of the metric tyre marking",
    slips: [
        Slip { id: "one-sidewall", why: "counted the sidewall once: it stands above and below the rim", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() + given[2].clone()) },
        Slip { id: "no-rim", why: "left the rim out", bend: Bend::LeftOut(&RIM) },
        Slip { id: "full-width", why: "took the whole width for the height of the sidewall", bend: Bend::LeftOut(&ASPECT) },
    ],
}

formula! {
    ROLLING_CIRCUMFERENCE = circumference as (factor: ROLLING_FACTOR, diameter: DIAMETER) => CIRCUMFERENCE;
    id: "rolling-circumference",
    title: "Rolling circumference",
    why: "A loaded tyre flattens a little, so one turn covers less than π diameters.",
    source: "D1 and D2: 3.05 for radial tyres; within 0.5 % of makers' turns per mile",
    slips: [
        Slip { id: "radius", why: "took the radius where the diameter belongs", bend: Bend::InPlaceOf(&DIAMETER, |d| d / Expr::num(2.0)) },
        Slip { id: "no-factor", why: "took the diameter for the distance of one turn", bend: Bend::LeftOut(&ROLLING_FACTOR) },
        Slip { id: "doubled", why: "took the diameter for the radius", bend: Bend::InPlaceOf(&DIAMETER, |d| Expr::num(2.0) * d) },
    ],
}

formula! {
    ROLLING_RADIUS = rolling_radius as (circumference: CIRCUMFERENCE) => RADIUS;
    id: "rolling-radius",
    title: "Rolling radius",
    why: "The radius that turns torque into force, a little less than half the diameter.",
    source: "Definition",
    slips: [
        Slip { id: "no-two", why: "divided by π alone: that is the diameter", bend: Bend::Whole(|r| Expr::num(2.0) * r) },
        Slip { id: "no-pi", why: "left π out", bend: Bend::Whole(|r| r * Expr::pi()) },
    ],
}

formula! {
    OVERALL = overall_ratio as (gear: GEAR_RATIO, transfer: TRANSFER_RATIO, axle: AXLE_RATIO, hub: HUB_RATIO) => OVERALL_RATIO;
    id: "crawl-ratio",
    title: "Overall ratio",
    why: "Each stage turns the one before it: ratios multiply. In lowest gear and low range this is the crawl ratio.",
    source: "Definition",
    slips: [
        Slip { id: "no-transfer", why: "left the transfer case out", bend: Bend::LeftOut(&TRANSFER_RATIO) },
        Slip { id: "no-axle", why: "left the axle out", bend: Bend::LeftOut(&AXLE_RATIO) },
        Slip { id: "added", why: "added the ratios instead of multiplying them", bend: Bend::Instead(|given| given[0].clone() + given[1].clone() + given[2].clone() + given[3].clone()) },
        Slip { id: "no-hub", why: "left the hub reduction out", bend: Bend::LeftOut(&HUB_RATIO) },
    ],
}

formula! {
    CREEP_SPEED = creep_speed as (circumference: CIRCUMFERENCE, spin: ENGINE_SPEED, ratio: OVERALL_RATIO) => SPEED;
    id: "creep-speed",
    title: "Creep speed",
    why: "The wheel turns once for every i turns of the engine, and each turn covers one circumference.",
    source: "Definition",
    slips: [
        Slip { id: "no-ratio", why: "left the gearing out: the wheels do not turn as fast as the engine", bend: Bend::LeftOut(&OVERALL_RATIO) },
        Slip { id: "radius-for-turn", why: "took the radius for the distance of one turn", bend: Bend::InPlaceOf(&CIRCUMFERENCE, |c| c / (Expr::num(2.0) * Expr::pi())) },
        Slip { id: "metres-per-second", why: "left the answer in metres per second", bend: Bend::Unit(Metric, &Bend::Whole(|v| v / Expr::num(3.6))) },
        Slip { id: "twice-converted", why: "multiplied by 3.6 twice", bend: Bend::Unit(Metric, &Bend::Whole(|v| v * Expr::num(3.6))) },
        Slip { id: "feet-per-second", why: "left the answer in feet per second", bend: Bend::Unit(Imperial, &Bend::Whole(|v| v * Expr::num(1.467))) },
        Slip { id: "feet-per-minute", why: "took revolutions per minute for revolutions per second", bend: Bend::Unit(Imperial, &Bend::Whole(|v| v * Expr::num(60.0))) },
    ],
}

formula! {
    ENGINE_SPIN = engine_spin as (speed: SPEED, ratio: OVERALL_RATIO, circumference: CIRCUMFERENCE) => ENGINE_SPEED;
    id: "engine-speed",
    title: "Engine speed",
    why: "At a known ground speed the wheels, and so the engine, must turn this fast.",
    source: "Definition",
    slips: [
        Slip { id: "no-ratio", why: "gave the wheel's speed, not the engine's", bend: Bend::LeftOut(&OVERALL_RATIO) },
        km_per_hour(&times_3_6(&SPEED)),
        miles_per_hour(&over_1_467(&SPEED)),
    ],
}
