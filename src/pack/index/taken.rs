//! What was taken from a vehicle's class, with the value it has now: what decides most comes first.

use crate::course::{Driven, Fuel, Gearbox, LOW_UNTOLD, Vehicle};
use crate::page::figure::Show;

/// All that was taken, the largest guesses first.
pub(super) fn taken(vehicle: &Vehicle, show: Show) -> Vec<String> {
    gearing(vehicle).into_iter().chain(engine(vehicle, show)).chain(body(vehicle, show)).flatten().collect()
}

fn gearing(vehicle: &Vehicle) -> [Option<String>; 7] {
    let gears = &vehicle.transmission;
    let guessed = |key| vehicle.is_guessed(key);
    let low = gears.transfer_low.filter(|_| guessed("transfer-low"));
    let ratios: Vec<String> = gears.ratios.iter().map(|ratio| format!("{:.2}", ratio.si())).collect();
    [
        guessed(LOW_UNTOLD).then(|| "no low range, as nobody told of one".to_owned()),
        low.map(|low| format!("low range {:.2}:1", low.si())),
        guessed("ratios").then(|| format!("gears {}", ratios.join(", "))),
        guessed("axle").then(|| format!("axle {:.2}:1", gears.axle.si())),
        guessed("transfer-high").then(|| format!("high range {:.2}:1", gears.transfer_high.si())),
        guessed("gearbox").then(|| {
            let kind = if gears.gearbox == Gearbox::Manual { "manual" } else { "automatic" };
            format!("gearbox {kind}")
        }),
        guessed("drive").then(|| {
            let wheels = if gears.driven == Driven::AllWheels { "all wheels" } else { "one axle" };
            format!("driven by {wheels}")
        }),
    ]
}

fn engine(vehicle: &Vehicle, show: Show) -> [Option<String>; 4] {
    let engine = &vehicle.engine;
    let guessed = |key| vehicle.is_guessed(key);
    let fuel = if engine.fuel == Fuel::Diesel { "diesel" } else { "petrol" };
    [
        guessed("fuel").then(|| fuel.to_owned()),
        guessed("displacement").then(|| format!("engine {:.1} L", engine.displacement.si() * 1000.0)),
        guessed("idle").then(|| format!("idle {}", show.spin(engine.idle.si(), false).text())),
        engine
            .highest
            .estimated
            .then(|| format!("highest engine speed {}", show.spin(engine.highest.si(), false).text())),
    ]
}

fn body(vehicle: &Vehicle, show: Show) -> [Option<String>; 8] {
    let guessed = |key| vehicle.is_guessed(key);
    let long = |what: &str, value: f64| format!("{what} {}", show.body(value, false).text());
    let weighs = |what: &str, value: f64| format!("{what} {}", show.mass(value, false).text());
    let front = vehicle.brakes.front.filter(|front| front.mass.estimated);
    let tyre = &vehicle.tyre;
    let across = tyre.diameter.estimated && tyre.measured_circumference.is_none();
    [
        guessed("mass").then(|| weighs("mass", vehicle.mass.si())),
        guessed("tyres").then(|| format!("tyres {}", tyre.marking)),
        across.then(|| long("tyre diameter", tyre.diameter.si())),
        guessed("wheelbase").then(|| long("wheelbase", vehicle.wheelbase.si())),
        vehicle.track.estimated.then(|| long("track", vehicle.track.si())),
        vehicle
            .centre_height
            .estimated
            .then(|| long("height of the centre of mass", vehicle.centre_height.si())),
        vehicle
            .centre_behind_front
            .estimated
            .then(|| long("centre of mass behind the front axle", vehicle.centre_behind_front.si())),
        front.map(|front| weighs("one front disc or drum", front.mass.si())),
    ]
}
