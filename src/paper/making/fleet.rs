//! What is asked about vehicles alone: ratios, creep, engine speed, tyres, tipping.

use super::{Kind, Scene};
use crate::course::{Gear, Range, Theme, Topic, TyreBuild, Vehicle};
use crate::engine::formulas::gearing::{DIAGONAL_FACTOR, RADIAL_FACTOR};
use crate::engine::symbols as s;
use crate::engine::taught::{gearing, stability};
use crate::engine::{circumference_of, overall_ratio_of};
use crate::paper::making::recipe::{About, Recipe};
use crate::quantity::Ratio;

/// The kinds.
pub(crate) fn kinds(scene: &Scene) -> Vec<Kind> {
    let vehicles = &scene.course.vehicles;
    let pairs =
        || vehicles.iter().flat_map(|vehicle| vehicle.gears().into_iter().map(move |gear| (vehicle, gear)));
    let kind =
        |id, topic, ease, outcome, recipes| Kind { id, topic, recipes, about: About { ease, outcome } };
    vec![
        kind(
            "overall-ratio",
            Topic::Gearing,
            0.72,
            "Works out the overall ratio of a gear.",
            pairs().map(|(vehicle, gear)| overall(vehicle, gear)).collect(),
        ),
        kind(
            "wheel-turns",
            Topic::Gearing,
            0.62,
            "Finds the engine speed that belongs to a ground speed in a gear.",
            scene
                .gears()
                .into_iter()
                .flat_map(|(vehicle, gear)| engine_speed(scene, vehicle, gear))
                .collect(),
        ),
        kind(
            "creep-speed",
            Topic::Creep,
            0.60,
            "Works out how fast a gear lets the vehicle roll.",
            scene.gears().into_iter().flat_map(|(vehicle, gear)| creep(vehicle, gear)).collect(),
        ),
        kind(
            "rolling-circumference",
            Topic::Creep,
            0.75,
            "Finds how far one turn of the wheel takes the vehicle.",
            vehicles.iter().filter_map(circumference).collect(),
        ),
        kind(
            "side-tip",
            Topic::Stability,
            0.60,
            "Finds the theoretical side tip angle and knows that it is not a limit to drive to.",
            vehicles.iter().flat_map(tip).collect(),
        ),
        kind(
            "nose-tip",
            Topic::Stability,
            0.60,
            "Finds the slope at which a rigid vehicle's rear lifts and knows that it is not a limit to drive to.",
            vehicles.iter().flat_map(nose_tip).collect(),
        ),
    ]
}

fn in_gear(vehicle: &Vehicle, gear: Gear) -> String {
    format!("{}, {}", vehicle.name, gear.in_words())
}

fn overall(vehicle: &Vehicle, gear: Gear) -> Recipe {
    let ratios = &vehicle.transmission.ratios;
    let place = usize::from(gear.number) - 1;
    let other_range = match gear.range {
        Range::Low => vehicle.transmission.transfer_high.si(),
        Range::High => vehicle.transmission.transfer_low.map_or(2.0, Ratio::si),
    };
    let recipe =
        Recipe::new(format!("{}: find the overall ratio from engine to wheels.", in_gear(vehicle, gear)))
            .given(&s::GEAR_RATIO, gear.ratio.si())
            .given(&s::TRANSFER_RATIO, vehicle.transfer(gear.range).si())
            .given(&s::AXLE_RATIO, vehicle.transmission.axle.si())
            .given(&s::HUB_RATIO, vehicle.transmission.hub.si())
            .step(&gearing::OVERALL)
            .methods(&["every stage that turns between engine and wheels is used", "ratios are multiplied"])
            .misread(
                "other-range",
                "took the transfer ratio of the other range",
                &s::TRANSFER_RATIO,
                other_range,
            )
            .misread(
                "transfer-squared",
                "counted the transfer case twice",
                &s::TRANSFER_RATIO,
                vehicle.transfer(gear.range).si() * vehicle.transfer(gear.range).si(),
            );
    let next = ratios.get(place + 1).map(|ratio| ("next-gear", "took the next higher gear", ratio.si()));
    let below = place.checked_sub(1).map(|at| ("gear-below", "took the next lower gear", ratios[at].si()));
    [below, next]
        .into_iter()
        .flatten()
        .fold(recipe, |recipe, (id, why, ratio)| recipe.misread(id, why, &s::GEAR_RATIO, ratio))
}

/// Engine speeds asked about, rpm, beside idle.
const SPINS: [f64; 3] = [1000.0, 1500.0, 2000.0];

fn creep(vehicle: &Vehicle, gear: Gear) -> Vec<Recipe> {
    let idle = vehicle.engine.idle.si();
    let others = SPINS.map(|rpm| (rpm / 60.0, format!("at {rpm:.0} rpm")));
    [(idle, "at idle".to_owned())]
        .into_iter()
        .chain(others)
        .filter(|(spin, _)| *spin < vehicle.engine.highest.si())
        .map(|(spin, words)| {
            let ratio = overall_ratio_of(vehicle, gear);
            Recipe::new(format!("{}: how fast does it roll {words}?", in_gear(vehicle, gear)))
                .given(&s::CIRCUMFERENCE, circumference_of(vehicle))
                .given(&s::ENGINE_SPEED, spin)
                .given(&s::OVERALL_RATIO, ratio)
                .step(&gearing::CREEP_SPEED)
                .theme(Theme::CreepSpeed)
                .misread(
                    "other-range",
                    "took the ratio of the other range",
                    &s::OVERALL_RATIO,
                    other_range(vehicle, gear, ratio),
                )
                .mistaken(
                    "diameter-for-turn",
                    "took the diameter for the distance of one turn",
                    &s::CIRCUMFERENCE,
                    circumference_of(vehicle) / std::f64::consts::PI,
                )
                .mistaken(
                    "turn-doubled",
                    "took the diameter for the radius",
                    &s::CIRCUMFERENCE,
                    2.0 * circumference_of(vehicle),
                )
        })
        .collect()
}

fn other_range(vehicle: &Vehicle, gear: Gear, ratio: f64) -> f64 {
    let low = vehicle.transmission.transfer_low.map_or(2.0, Ratio::si);
    let step = low / vehicle.transmission.transfer_high.si();
    match gear.range {
        Range::Low => ratio / step,
        Range::High => ratio * step,
    }
}

/// Ground speeds asked about, km/h in low and in high range.
const SLOW: [f64; 4] = [3.0, 5.0, 6.0, 8.0];
const BRISK: [f64; 3] = [10.0, 15.0, 20.0];

fn engine_speed(scene: &Scene, vehicle: &Vehicle, gear: Gear) -> Vec<Recipe> {
    let speeds: &[f64] = if gear.range == Range::Low { &SLOW } else { &BRISK };
    let unit = s::SPEED.unit(scene.course.units);
    let ratio = overall_ratio_of(vehicle, gear);
    speeds
        .iter()
        .map(|shown| unit.to_si(*shown))
        .filter(|speed| {
            let spin = speed * ratio / circumference_of(vehicle);
            spin > vehicle.engine.idle.si() && spin < vehicle.engine.highest.si()
        })
        .map(|speed| {
            let ask = format!(
                "{}: the wheels roll at the speed given. How fast does the engine turn?",
                in_gear(vehicle, gear)
            );
            Recipe::new(ask)
                .given(&s::SPEED, speed)
                .given(&s::OVERALL_RATIO, ratio)
                .given(&s::CIRCUMFERENCE, circumference_of(vehicle))
                .step(&gearing::ENGINE_SPIN)
                .mistaken(
                    "diameter-for-turn",
                    "took the diameter for the distance of one turn",
                    &s::CIRCUMFERENCE,
                    circumference_of(vehicle) / std::f64::consts::PI,
                )
                .mistaken(
                    "turn-doubled",
                    "took the diameter for the radius",
                    &s::CIRCUMFERENCE,
                    2.0 * circumference_of(vehicle),
                )
                .misread(
                    "other-range",
                    "took the ratio of the other range",
                    &s::OVERALL_RATIO,
                    other_range(vehicle, gear, ratio),
                )
        })
        .collect()
}

fn circumference(vehicle: &Vehicle) -> Option<Recipe> {
    let factor = match vehicle.tyre.build {
        TyreBuild::Radial => RADIAL_FACTOR,
        TyreBuild::Diagonal => DIAGONAL_FACTOR,
    };
    if vehicle.tyre.measured_circumference.is_some() {
        return None;
    }
    let diameter = vehicle.tyre.diameter;
    Some(
        Recipe::new(format!("{}: how far does one turn of the wheel take it?", vehicle.name))
            .given(&s::ROLLING_FACTOR, factor)
            .start(&s::DIAMETER, diameter.si(), diameter.estimated)
            .step(&gearing::ROLLING_CIRCUMFERENCE),
    )
}

fn tip(vehicle: &Vehicle) -> Vec<Recipe> {
    let (height, track) = (vehicle.loaded_centre_height().si(), vehicle.track);
    let estimated = vehicle.centre_height.estimated;
    [0.0, 0.05, 0.10, 0.15]
        .into_iter()
        .map(|higher| {
            let words = if higher == 0.0 { "as loaded today" } else { "with more load on the roof" };
            Recipe::new(format!(
                "{}, {words}: find the side tip angle of a rigid vehicle standing still.",
                vehicle.name
            ))
            .start(&s::TRACK, track.si(), track.estimated)
            .start(&s::CENTRE_HEIGHT, height + higher, estimated)
            .step(&stability::SIDE_TIP)
            .misread(
                "half-height",
                "halved the height of the centre of mass",
                &s::CENTRE_HEIGHT,
                f64::midpoint(height, higher),
            )
            .misread("quarter-track", "halved the track twice", &s::TRACK, track.si() / 2.0)
            .mistaken(
                "wheelbase",
                "took the wheelbase for the track",
                &s::TRACK,
                vehicle.wheelbase.si(),
            )
        })
        .collect()
}

fn nose_tip(vehicle: &Vehicle) -> Vec<Recipe> {
    let (height, to_front) = (vehicle.loaded_centre_height().si(), vehicle.centre_behind_front);
    let wheelbase = vehicle.wheelbase.si();
    [0.0, 0.05, 0.10, 0.15]
        .into_iter()
        .map(|higher| {
            let words = if higher == 0.0 { "as loaded today" } else { "with more load on the roof" };
            Recipe::new(format!(
                "{}, {words}: find the slope at which the rear lifts, standing nose-down and rigid.",
                vehicle.name
            ))
            .start(&s::CENTRE_TO_FRONT, to_front.si(), to_front.estimated)
            .start(&s::CENTRE_HEIGHT, height + higher, vehicle.centre_height.estimated)
            .step(&stability::NOSE_TIPS)
            .misread(
                "half-wheelbase",
                "took half the wheelbase, as if both axles carried the same",
                &s::CENTRE_TO_FRONT,
                wheelbase / 2.0,
            )
            .misread(
                "to-rear",
                "took the distance to the rear axle",
                &s::CENTRE_TO_FRONT,
                wheelbase - to_front.si(),
            )
            .misread(
                "half-height",
                "halved the height of the centre of mass",
                &s::CENTRE_HEIGHT,
                f64::midpoint(height, higher),
            )
            .mistaken("wheelbase", "took the whole wheelbase", &s::CENTRE_TO_FRONT, wheelbase)
        })
        .collect()
}
