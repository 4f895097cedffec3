//! What each vehicle is worked out on its own: tyres, gearing, creep, tipping.

use crate::course::{Course, Gear, TyreBuild, Vehicle};
use crate::engine::formulas::gearing::{DIAGONAL_FACTOR, RADIAL_FACTOR};
use crate::engine::symbols as s;
use crate::engine::taught::{gearing, stability};
use crate::formula::{Part, Worked, Working};
use crate::lesson::example::Example;

/// The worked examples of one vehicle.
pub(super) fn examples(course: &Course, vehicle: &Vehicle) -> Vec<Worked> {
    [
        turn_of_a_wheel(course, vehicle),
        crawl_ratio(course, vehicle),
        creep_speed(course, vehicle),
        side_tip(course, vehicle),
        nose_tip(course, vehicle),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The gear with the highest overall ratio.
pub fn lowest_gear(vehicle: &Vehicle) -> Gear {
    vehicle.gears().into_iter().next().expect("a checked vehicle has a gear")
}

fn rolling_factor(vehicle: &Vehicle) -> f64 {
    match vehicle.tyre.build {
        TyreBuild::Radial => RADIAL_FACTOR,
        TyreBuild::Diagonal => DIAGONAL_FACTOR,
    }
}

fn new(course: &Course, vehicle: &Vehicle, example: Example, title: &str) -> Working {
    example.begun(title, course.units).vehicle(&vehicle.id)
}

/// Adds what the rolling circumference comes from, or the measured value.
fn with_circumference(working: Working, vehicle: &Vehicle) -> Working {
    match vehicle.tyre.measured_circumference {
        Some(measured) => working.given(&s::CIRCUMFERENCE, measured.si()),
        None => working
            .given(&s::ROLLING_FACTOR, rolling_factor(vehicle))
            .start(&s::DIAMETER, vehicle.tyre.diameter.si(), vehicle.tyre.diameter.estimated)
            .step(&gearing::ROLLING_CIRCUMFERENCE),
    }
}

fn with_ratios(working: Working, vehicle: &Vehicle, gear: Gear) -> Working {
    working
        .given(&s::GEAR_RATIO, gear.ratio.si())
        .given(&s::TRANSFER_RATIO, vehicle.transfer(gear.range).si())
        .given(&s::AXLE_RATIO, vehicle.transmission.axle.si())
        .given(&s::HUB_RATIO, vehicle.transmission.hub.si())
        .step(&gearing::OVERALL)
        .gear(gear.to_string())
}

fn turn_of_a_wheel(course: &Course, vehicle: &Vehicle) -> Option<Worked> {
    let working =
        new(course, vehicle, Example::RollingRadius, "One turn of the wheel, and the radius that counts");
    with_circumference(working, vehicle).step(&gearing::ROLLING_RADIUS).finish()
}

fn crawl_ratio(course: &Course, vehicle: &Vehicle) -> Option<Worked> {
    let working = new(course, vehicle, Example::CrawlRatio, "Crawl ratio: the lowest gear of all");
    with_ratios(working, vehicle, lowest_gear(vehicle)).finish()
}

fn creep_speed(course: &Course, vehicle: &Vehicle) -> Option<Worked> {
    let working = new(course, vehicle, Example::CreepSpeed, "Creep speed at idle in the lowest gear");
    let working = with_circumference(working, vehicle);
    with_ratios(working, vehicle, lowest_gear(vehicle))
        .given(&s::ENGINE_SPEED, vehicle.engine.idle.si())
        .step(&gearing::CREEP_SPEED)
        .finish()
}

fn side_tip(course: &Course, vehicle: &Vehicle) -> Option<Worked> {
    let height_estimated = vehicle.centre_height.estimated;
    Working::new("side-tip", "Side tip angle: theoretical, rigid, standing still", course.units)
        .vehicle(&vehicle.id)
        .part(Part::Exercise)
        .start(&s::TRACK, vehicle.track.si(), vehicle.track.estimated)
        .start(&s::CENTRE_HEIGHT, vehicle.loaded_centre_height().si(), height_estimated)
        .step(&stability::SIDE_TIP)
        .finish()
}

fn nose_tip(course: &Course, vehicle: &Vehicle) -> Option<Worked> {
    let (to_front, height) = (vehicle.centre_behind_front, vehicle.loaded_centre_height().si());
    Working::new(
        "nose-tip",
        "Slope at which the rear lifts: theoretical, rigid, standing nose-down",
        course.units,
    )
    .vehicle(&vehicle.id)
    .part(Part::Exercise)
    .start(&s::CENTRE_TO_FRONT, to_front.si(), to_front.estimated)
    .start(&s::CENTRE_HEIGHT, height, vehicle.centre_height.estimated)
    .step(&stability::NOSE_TIPS)
    .finish()
}
