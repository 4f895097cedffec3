//! What a demonstration is sized with, what a model shows, and what decides the pace of a fleet.

use crate::course::{Course, Vehicle};
use crate::engine::formulas::GRAVITY;
use crate::engine::formulas::gearing::{creep_speed, rolling_radius};
use crate::engine::symbols as s;
use crate::engine::taught::{energy, show, slope as taught};
use crate::engine::{Case, EngineDrag, FASTEST, Skid, circumference_of, overall_ratio_of};
use crate::formula::{Worked, Working};
use crate::lesson::example::Example;

use super::fleet::lowest_gear;

/// Full size over model size that the examples are worked with: a common size of model.
pub const MODEL_SCALE: f64 = 10.0;

/// The examples of the course as a whole.
pub(super) fn of_course(course: &Course) -> Vec<Worked> {
    slide_speed(course).into_iter().collect()
}

/// The examples of one vehicle.
pub(super) fn of_vehicle(course: &Course, vehicle: &Vehicle) -> Vec<Worked> {
    [model_speed(course, vehicle), model_energy(course, vehicle), held_by_gear(course, vehicle)]
        .into_iter()
        .flatten()
        .collect()
}

/// How fast onto the skid pad: at the high end of its friction, so that the slide is no shorter.
fn slide_speed(course: &Course) -> Option<Worked> {
    let pad = course.skid_pad.as_ref()?;
    let surface = course.surface(&pad.surface)?;
    let fastest = course.day.site_speed.map_or(FASTEST, |speed| speed.si().min(FASTEST));
    let skid = Skid::on(surface, pad.gradient.si(), fastest).ok()?;
    Example::SlideSpeed
        .begun("How fast onto the skid pad for a slide that can be seen", course.units)
        .given(&s::GRAVITY_ACCELERATION, GRAVITY)
        .start(&s::FRICTION_SLIDING, surface.sliding.high, surface.estimated)
        .given(&s::SLOPE_ANGLE, pad.gradient.si())
        .given(&s::STOP_DISTANCE, skid.shortest)
        .step(&taught::LOCKED_DECELERATION)
        .step(&show::SLIDE_SPEED)
        .finish()
}

fn new(course: &Course, vehicle: &Vehicle, example: Example, title: &str) -> Working {
    example.begun(title, course.units).vehicle(&vehicle.id)
}

fn model_speed(course: &Course, vehicle: &Vehicle) -> Option<Worked> {
    let gear = lowest_gear(vehicle);
    let creep =
        creep_speed(circumference_of(vehicle), vehicle.engine.idle.si(), overall_ratio_of(vehicle, gear));
    new(course, vehicle, Example::ModelSpeed, "The creep speed of a model a tenth the size")
        .given(&s::SPEED, creep)
        .given(&s::SCALE, MODEL_SCALE)
        .step(&show::SPEED_OF_MODEL)
        .gear(gear.to_string())
        .finish()
}

fn model_energy(course: &Course, vehicle: &Vehicle) -> Option<Worked> {
    let highest = course.slopes.iter().map(|slope| slope.height().si()).fold(0.0, f64::max);
    new(course, vehicle, Example::ModelEnergy, "The heat of a model a tenth the size, down the highest slope")
        .given(&s::MASS, vehicle.mass.si())
        .given(&s::GRAVITY_ACCELERATION, GRAVITY)
        .given(&s::HEIGHT, highest)
        .given(&s::SCALE, MODEL_SCALE)
        .step(&energy::HEIGHT_TO_ENERGY)
        .step(&show::ENERGY_OF_MODEL)
        .finish()
}

/// Torque, ratio, tyre and mass in one number: what the lowest gear holds at idle.
fn held_by_gear(course: &Course, vehicle: &Vehicle) -> Option<Worked> {
    let gear = lowest_gear(vehicle);
    let torque = EngineDrag::of(&vehicle.engine).torque(vehicle.engine.idle.si(), Case::Likely);
    new(course, vehicle, Example::HeldByGear, "What the lowest gear holds at idle, for each unit of weight")
        .start(&s::DRAG_TORQUE, torque, true)
        .given(&s::OVERALL_RATIO, overall_ratio_of(vehicle, gear))
        .given(&s::RADIUS, rolling_radius(circumference_of(vehicle)))
        .given(&s::MASS, vehicle.mass.si())
        .given(&s::GRAVITY_ACCELERATION, GRAVITY)
        .step(&show::HELD_BY_GEAR)
        .gear(gear.to_string())
        .finish()
}
