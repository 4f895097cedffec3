//! Where the energy of a descent goes, and how warm it makes the brakes.

use super::units::{GRAVITY_ON_POUNDS, MASS_FOR_WEIGHT, km_per_hour, miles_per_hour, over_1_467, times_3_6};
use crate::engine::formulas::heat::{axle_heat, temperature_rise};
use crate::engine::formulas::slope::{kinetic_energy, potential_energy};
use crate::engine::symbols::{
    AXLE_ENERGY, BRAKE_ENERGY, DISC_COUNT, DISC_MASS, FRICTION_FORCE, FRONT_SHARE, GRAVITY_ACCELERATION,
    HEAT_CAPACITY, HEIGHT, HEIGHT_ENERGY, IRON_SHARE, MASS, ROLLING_ENERGY, ROLLING_FORCE, SLIDING_ENERGY,
    SLIP_ENERGY, SLOPE_LENGTH, SPEED, SPEED_ENERGY, SPEED_GAINED, SPEED_GIVEN_UP, STOP_DISTANCE,
    TEMPERATURE_RISE,
};
use crate::formula::{Algebra, Bend, Expr, Formula, Slip, formula};

/// Every formula here.
pub static ALL: &[&Formula] = &[
    &HEIGHT_TO_ENERGY,
    &SPEED_TO_ENERGY,
    &ROLLING_TO_ENERGY,
    &SLIDING_TO_ENERGY,
    &LEFT_FOR_BRAKES,
    &LEFT_WHILE_GAINING,
    &HEAT_OF_AXLE,
    &RISE_OF_DISC,
];

fn work<A: Algebra>(force: A, distance: A) -> A {
    force * distance
}

fn left_while_gaining<A: Algebra>(height: A, gained: A, rolling: A, slip: A) -> A {
    height - gained - rolling - slip
}

fn left_for_brakes<A: Algebra>(height: A, speed: A, rolling: A, slip: A) -> A {
    height + speed - rolling - slip
}

formula! {
    HEIGHT_TO_ENERGY = potential_energy as (mass: MASS, gravity: GRAVITY_ACCELERATION, height: HEIGHT) => HEIGHT_ENERGY;
    id: "height-energy",
    title: "Energy of the height",
    why: "All of it has to go somewhere on the way down. Speed does not enter: going slower does not make it less.",
    source: "T3, example 14.2",
    slips: [
        MASS_FOR_WEIGHT, GRAVITY_ON_POUNDS,
        Slip { id: "half", why: "put a half before it, as for energy of speed", bend: Bend::Whole(|e| e / Expr::num(2.0)) },
    ],
}

formula! {
    SPEED_TO_ENERGY = kinetic_energy as (mass: MASS, speed: SPEED) => SPEED_ENERGY;
    id: "speed-energy",
    title: "Energy of the speed",
    why: "Small at walking pace beside the energy of the height; four times as much at twice the speed.",
    source: "T3, ch. 7",
    slips: [
        Slip { id: "no-half", why: "left the half out", bend: Bend::Whole(|e| e * Expr::num(2.0)) },
        km_per_hour(&times_3_6(&SPEED)),
        miles_per_hour(&over_1_467(&SPEED)),
    ],
}

formula! {
    ROLLING_TO_ENERGY = work as (force: ROLLING_FORCE, length: SLOPE_LENGTH) => ROLLING_ENERGY;
    id: "rolling-energy",
    title: "Energy taken by rolling resistance",
    why: "Force times the distance rolled.",
    source: "Definition of work",
    slips: [
        Slip { id: "half", why: "put a half before it", bend: Bend::Whole(|e| e / Expr::num(2.0)) },
    ],
}

formula! {
    SLIDING_TO_ENERGY = work as (force: FRICTION_FORCE, distance: STOP_DISTANCE) => SLIDING_ENERGY;
    id: "sliding-energy",
    title: "Heat in the ground under locked wheels",
    why: "A locked wheel does not turn, so its brake takes nothing: all the heat is made between tyre and ground.",
    source: "Definition of work; sliding friction",
    slips: [
        Slip { id: "half", why: "put a half before it", bend: Bend::Whole(|e| e / Expr::num(2.0)) },
    ],
}

formula! {
    LEFT_FOR_BRAKES = left_for_brakes as (height: HEIGHT_ENERGY, speed: SPEED_GIVEN_UP, rolling: ROLLING_ENERGY, slip: SLIP_ENERGY) => BRAKE_ENERGY;
    id: "left-for-brakes",
    title: "Energy left for the foot brakes",
    why: "In neutral, what rolling and the slip of the tyres do not take, the brakes must: of the height, and of the speed that is given up.",
    source: "First law; air drag left out at these speeds",
    slips: [
        Slip { id: "all-of-it", why: "gave the brakes everything", bend: Bend::Instead(|given| given[0].clone()) },
        Slip { id: "added", why: "added what rolling takes", bend: Bend::Instead(|given| given[0].clone() + given[1].clone() + given[2].clone() - given[3].clone()) },
    ],
}

formula! {
    LEFT_WHILE_GAINING = left_while_gaining as (height: HEIGHT_ENERGY, gained: SPEED_GAINED, rolling: ROLLING_ENERGY, slip: SLIP_ENERGY) => BRAKE_ENERGY;
    id: "left-while-gaining",
    title: "Energy left for the foot brakes, speed gained",
    why: "In neutral, what rolling, the slip of the tyres and the speed gained do not take of the height, the brakes must.",
    source: "First law; air drag left out at these speeds",
    slips: [
        Slip { id: "all-of-it", why: "gave the brakes everything", bend: Bend::Instead(|given| given[0].clone()) },
        Slip { id: "added", why: "added what rolling takes", bend: Bend::Instead(|given| given[0].clone() - given[1].clone() + given[2].clone() - given[3].clone()) },
    ],
}

formula! {
    HEAT_OF_AXLE = axle_heat as (braking: BRAKE_ENERGY, share: FRONT_SHARE, iron: IRON_SHARE) => AXLE_ENERGY;
    id: "front-brake-heat",
    title: "Heat in the front brakes",
    why: "The front takes more than half, and a little stays in the linings.",
    source: "T4 (from memory); share of the iron from the materials' effusivities",
    slips: [
        Slip { id: "all-of-it", why: "gave the front axle all the braking", bend: Bend::LeftOut(&FRONT_SHARE) },
        Slip { id: "rear", why: "took the rear axle's share", bend: Bend::InPlaceOf(&FRONT_SHARE, |share| Expr::num(1.0) - share) },
    ],
}

formula! {
    RISE_OF_DISC = temperature_rise as (heat: AXLE_ENERGY, count: DISC_COUNT, mass: DISC_MASS, capacity: HEAT_CAPACITY) => TEMPERATURE_RISE;
    id: "disc-temperature-rise",
    title: "Temperature rise of one run",
    why: "The same heat in less iron makes it hotter. No cooling is counted: the true rise is a little less.",
    source: "T3, example 14.2 (a loaded truck's brakes on a downhill run)",
    slips: [
        Slip { id: "one-disc", why: "put all the heat into one disc", bend: Bend::LeftOut(&DISC_COUNT) },
        Slip { id: "no-mass", why: "left the mass of the disc out", bend: Bend::LeftOut(&DISC_MASS) },
    ],
}
