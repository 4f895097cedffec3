//! Engine drag and what it holds.

use crate::engine::formulas::overrun::{engine_braking_force, motoring_torque};
use crate::engine::symbols::{
    DISPLACEMENT, DRAG_PRESSURE, DRAG_TORQUE, EFFICIENCY, HOLDING_FORCE, NEEDED_FORCE, OVERALL_RATIO, PULL,
    RADIUS, ROLLING_FORCE,
};
use crate::formula::{Algebra, Bend, Expr, Formula, Slip, formula};

/// Every formula here.
pub static ALL: &[&Formula] = &[&ENGINE_TORQUE, &ENGINE_HOLDS, &STILL_TO_HOLD];

fn still_to_hold<A: Algebra>(pull: A, rolling: A) -> A {
    pull - rolling
}

formula! {
    ENGINE_TORQUE = motoring_torque as (pressure: DRAG_PRESSURE, displacement: DISPLACEMENT) => DRAG_TORQUE;
    id: "engine-drag-torque",
    title: "Engine drag",
    why: "What it takes to turn the engine with the throttle shut. The least certain number in the book: published fits differ by a third.",
    source: "Four-stroke mean effective pressure; pressure from the published motoring fits (T2, D1)",
    slips: [
        Slip { id: "two-stroke", why: "divided by 2π: that is a two-stroke engine", bend: Bend::Whole(|t| Expr::num(2.0) * t) },
        Slip { id: "no-pi", why: "left π out", bend: Bend::Whole(|t| t * Expr::pi()) },
    ],
}

formula! {
    ENGINE_HOLDS = engine_braking_force as (torque: DRAG_TORQUE, ratio: OVERALL_RATIO, efficiency: EFFICIENCY, radius: RADIUS) => HOLDING_FORCE;
    id: "engine-holding-force",
    title: "What the engine holds at the tyres",
    why: "Low gearing multiplies a small torque. On overrun the driveline's losses help, so the efficiency divides.",
    source: "Torque through the gearing, losses on overrun",
    slips: [
        Slip { id: "no-ratio", why: "left the gearing out", bend: Bend::LeftOut(&OVERALL_RATIO) },
        Slip { id: "losses-the-wrong-way", why: "multiplied by the efficiency, as when driving", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() * given[2].clone() / given[3].clone()) },
        Slip { id: "diameter", why: "took the diameter for the radius", bend: Bend::InPlaceOf(&RADIUS, |r| Expr::num(2.0) * r) },
    ],
}

formula! {
    STILL_TO_HOLD = still_to_hold as (pull: PULL, rolling: ROLLING_FORCE) => NEEDED_FORCE;
    id: "still-to-hold",
    title: "What is left to hold",
    why: "Rolling resistance holds a part; engine or brakes must hold the rest.",
    source: "Balance of forces along the slope",
    slips: [
        Slip { id: "added", why: "added rolling resistance: going down it helps", bend: Bend::Instead(|given| given[0].clone() + given[1].clone()) },
    ],
}
