//! What is asked about a vehicle on a slope: pull, axle loads, energy, heat.

use super::{Kind, Scene};
use crate::course::{Slope, Topic, Vehicle};
use crate::engine::formulas::GRAVITY;
use crate::engine::formulas::slope::{force_down, normal_force};
use crate::engine::symbols as s;
use crate::engine::taught::{energy, slope as taught, stability};
use crate::engine::{IRON_SHARE, Way};
use crate::paper::making::measured::measured;
use crate::paper::making::recipe::{About, Recipe};
use crate::quantity::UnitSystem;

/// The kinds.
pub(crate) fn kinds(scene: &Scene) -> Vec<Kind> {
    let course = scene.course;
    let pairs = || scene.pairs().into_iter();
    let kind =
        |id, topic, ease, outcome, recipes| Kind { id, topic, recipes, about: About { ease, outcome } };
    vec![
        kind(
            "pull",
            Topic::Recovery,
            0.62,
            "Works out what pull along the slope holds a vehicle whose wheels are free.",
            pairs().map(|(slope, vehicle)| pull(slope, vehicle)).collect(),
        ),
        kind(
            "grip-pull",
            Topic::Grip,
            0.62,
            "Works out what the ground must give to hold a vehicle on a slope.",
            pairs().map(|(slope, vehicle)| pressing(slope, vehicle)).collect(),
        ),
        kind(
            "front-load",
            Topic::Stability,
            0.45,
            "Works out the load of the front axle while a slope is held.",
            pairs().map(|(slope, vehicle)| front(slope, vehicle, course.units)).collect(),
        ),
        kind(
            "height-energy",
            Topic::Heat,
            0.65,
            "Works out the energy that a height sets free.",
            pairs().map(|(slope, vehicle)| height(slope, vehicle)).collect(),
        ),
        kind(
            "disc-rise",
            Topic::Heat,
            0.42,
            "Works out how much warmer the brakes of an axle get.",
            pairs().filter_map(|(slope, vehicle)| rise(scene, slope, vehicle)).collect(),
        ),
        kind(
            "speed-energy",
            Topic::Heat,
            0.55,
            "Works out the energy of a speed.",
            course.vehicles.iter().flat_map(|vehicle| motion(scene, vehicle)).collect(),
        ),
    ]
}

fn on(slope: &Slope, vehicle: &Vehicle) -> String {
    format!("{} on {}", vehicle.name, slope.name)
}

fn pull(slope: &Slope, vehicle: &Vehicle) -> Recipe {
    let angle = slope.steepest().gradient.si();
    Recipe::new(format!(
        "{}, on the steepest stretch with its wheels free: what pull along the slope just holds it?",
        on(slope, vehicle)
    ))
    .given(&s::MASS, vehicle.mass.si())
    .given(&s::GRAVITY_ACCELERATION, GRAVITY)
    .given(&s::SLOPE_ANGLE, angle)
    .step(&taught::FORCE_DOWN)
    .misread("half-angle", "halved the angle", &s::SLOPE_ANGLE, angle / 2.0)
    .misread("half-mass", "put half the mass on it", &s::MASS, vehicle.mass.si() / 2.0)
}

fn pressing(slope: &Slope, vehicle: &Vehicle) -> Recipe {
    let angle = slope.steepest().gradient.si();
    Recipe::new(format!(
        "{}, on the steepest stretch: with what force does it press on the ground, square to the slope?",
        on(slope, vehicle)
    ))
    .given(&s::MASS, vehicle.mass.si())
    .given(&s::GRAVITY_ACCELERATION, GRAVITY)
    .given(&s::SLOPE_ANGLE, angle)
    .step(&taught::NORMAL_FORCE)
    .misread("double-mass", "doubled the mass", &s::MASS, 2.0 * vehicle.mass.si())
    .misread("half-mass", "put half the mass on it", &s::MASS, vehicle.mass.si() / 2.0)
    .misread("and-a-half", "counted one axle twice", &s::MASS, 1.5 * vehicle.mass.si())
}

/// Held at a steady speed, so the braking force is the slope's pull.
fn front(slope: &Slope, vehicle: &Vehicle, system: UnitSystem) -> Recipe {
    // The forces of the mass and the angle that other questions print.
    let read = measured(&s::SLOPE_ANGLE, slope.steepest().gradient.si(), system);
    let weighed = measured(&s::MASS, vehicle.mass.si(), system);
    let to_front = vehicle.centre_behind_front;
    let to_rear = vehicle.wheelbase.si() - to_front.si();
    let height = vehicle.loaded_centre_height().si();
    Recipe::new(format!("{}, held at a steady speed: find the load on the front axle.", on(slope, vehicle)))
        .given(&s::NORMAL, normal_force(weighed, GRAVITY, read))
        .given(&s::BRAKING_FORCE, force_down(weighed, GRAVITY, read))
        .start(&s::CENTRE_TO_REAR, to_rear, to_front.estimated)
        .start(&s::CENTRE_HEIGHT, height, vehicle.centre_height.estimated)
        .given(&s::WHEELBASE, vehicle.wheelbase.si())
        .step(&stability::FRONT_AXLE)
        .misread("double-height", "counted the height twice", &s::CENTRE_HEIGHT, 2.0 * height)
        .misread("half-base", "took half the wheelbase", &s::WHEELBASE, vehicle.wheelbase.si() / 2.0)
        .mistaken(
            "arm",
            "took the whole wheelbase as the arm of the weight",
            &s::CENTRE_TO_REAR,
            vehicle.wheelbase.si(),
        )
}

fn height(slope: &Slope, vehicle: &Vehicle) -> Recipe {
    let height = slope.height().si();
    Recipe::new(format!("{}: what energy does the height of the slope set free?", on(slope, vehicle)))
        .given(&s::MASS, vehicle.mass.si())
        .given(&s::GRAVITY_ACCELERATION, GRAVITY)
        .given(&s::HEIGHT, height)
        .step(&energy::HEIGHT_TO_ENERGY)
        .mistaken("length", "took the length of the slope for its height", &s::HEIGHT, slope.length().si())
        .misread("doubled", "counted the height twice", &s::HEIGHT, 2.0 * height)
}

fn rise(scene: &Scene, slope: &Slope, vehicle: &Vehicle) -> Option<Recipe> {
    let front = vehicle.brakes.front?;
    let told = scene.reckoning.pair(&slope.id, &vehicle.id)?.way(Way::Braked)?;
    let brakes = told.descent.likely.ledger.brakes;
    let share = told.heat.as_ref()?.front_share;
    (brakes > 20_000.0).then(|| {
        let ask = format!(
            "{}, down on the foot brake alone: how much warmer do the front brakes get in one run?",
            on(slope, vehicle)
        );
        Recipe::new(ask)
            .start(&s::BRAKE_ENERGY, brakes, true)
            .start(&s::FRONT_SHARE, share, vehicle.brakes.front_share.estimated)
            .start(&s::IRON_SHARE, IRON_SHARE, true)
            .given(&s::DISC_COUNT, f64::from(front.count))
            .start(&s::DISC_MASS, front.mass.si(), front.mass.estimated)
            .start(
                &s::HEAT_CAPACITY,
                vehicle.brakes.heat_capacity.si(),
                vehicle.brakes.heat_capacity.estimated,
            )
            .step(&energy::HEAT_OF_AXLE)
            .step(&energy::RISE_OF_DISC)
            .misread(
                "four-discs",
                "spread the front's heat over four discs",
                &s::DISC_COUNT,
                2.0 * f64::from(front.count),
            )
    })
}

/// Speeds asked about, in the unit of the pages.
const SPEEDS: [f64; 6] = [4.0, 6.0, 8.0, 10.0, 15.0, 20.0];

fn motion(scene: &Scene, vehicle: &Vehicle) -> Vec<Recipe> {
    let unit = s::SPEED.unit(scene.course.units);
    SPEEDS
        .iter()
        .map(|shown| {
            let speed = unit.to_si(*shown);
            Recipe::new(format!("{} rolls at the speed given: find the energy of its speed.", vehicle.name))
                .given(&s::MASS, vehicle.mass.si())
                .given(&s::SPEED, speed)
                .step(&energy::SPEED_TO_ENERGY)
                .misread(
                    "no-square",
                    "halved the speed: half the speed is a quarter of the energy",
                    &s::SPEED,
                    speed / 2.0,
                )
                .misread("half-mass", "put the half in twice", &s::MASS, vehicle.mass.si() / 2.0)
        })
        .collect()
}
