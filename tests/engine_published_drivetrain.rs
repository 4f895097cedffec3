//! Answers to the drivetrain table.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use slopepack::engine::formulas::{gearing, overrun, slope};
use slopepack::engine::{
    Balance, Body, Case, Converter, DIRECT_INJECTION, Drive, EngineDrag, FLEET, Fit, Footing, Leg, SlipCurve,
    Wheels,
};

use crate::engine_published::{Answer, DEGREE, INCH, Inputs, KMH, MILE, MPH, RPM};

const BAR: f64 = 1e5;
const LITRE: f64 = 1e-3;

pub(crate) fn answer(quantity: &str, row: &Inputs) -> Answer {
    if let Some(what) = quantity.strip_prefix("case_") {
        return case(what, row);
    }
    tyres(quantity, row)
        .or_else(|| speeds(quantity, row))
        .or_else(|| engines(quantity, row))
        .or_else(|| converters(quantity, row))
        .unwrap_or_else(|| panic!("nothing here answers {quantity}"))
        .into()
}

fn tyres(quantity: &str, row: &Inputs) -> Option<f64> {
    let diameter = || {
        gearing::tyre_diameter(
            row.num("width_mm") * 1e-3,
            row.num("aspect_pct") / 100.0,
            row.num("rim_in") * INCH,
        )
    };
    Some(match quantity {
        "tyre_diameter" => diameter() * 1e3,
        "tyre_half_diameter" => diameter() / 2.0,
        "turns_per_mile" => {
            MILE / gearing::circumference(gearing::RADIAL_FACTOR, row.num("diameter_in") * INCH)
        }
        "circumference" => gearing::circumference(gearing::RADIAL_FACTOR, row.num("diameter_mm") * 1e-3),
        "circumference_factor" => match row.text("build") {
            "radial" => gearing::RADIAL_FACTOR,
            "diagonal" => gearing::DIAGONAL_FACTOR,
            other => panic!("no build {other}"),
        },
        "rolling_radius" => {
            let around = gearing::circumference(gearing::RADIAL_FACTOR, row.num("diameter_mm"));
            gearing::rolling_radius(around)
        }
        "unbelted_radius" => gearing::unbelted_radius(row.num("free_m"), row.num("loaded_m")),
        _ => return None,
    })
}

fn speeds(quantity: &str, row: &Inputs) -> Option<f64> {
    let around = || row.num("circumference_in") * INCH;
    let driven = |speed: f64| gearing::rolling_radius(speed * row.num("ratio") / (row.num("rpm") * RPM));
    Some(match quantity {
        "engine_speed" => gearing::engine_spin(row.num("speed_mph") * MPH, row.num("ratio"), around()) / RPM,
        "road_speed" => gearing::creep_speed(around(), row.num("rpm") * RPM, row.num("ratio")) / MPH,
        "road_speed_kmh" => {
            gearing::creep_speed(row.num("circumference_m"), row.num("rpm") * RPM, row.num("ratio")) / KMH
        }
        "speed_in_gear" => {
            let spin = gearing::engine_spin(row.num("top_mph"), row.num("top_ratio"), 1.0);
            gearing::creep_speed(1.0, spin, row.num("ratio"))
        }
        "rolling_radius_driven" => driven(row.num("speed_mph") * MPH) / INCH,
        "rolling_radius_driven_metric" => driven(row.num("speed_kmh") * KMH) * 1e3,
        "overall_ratio" => {
            gearing::overall_ratio(row.num("gearbox"), row.num("transfer"), row.num("axle"), row.num("hub"))
        }
        _ => return None,
    })
}

fn engines(quantity: &str, row: &Inputs) -> Option<f64> {
    let spin = || row.num("rpm") * RPM;
    let stroke = || row.num("stroke_mm") * 1e-3;
    let torque = |fit: Fit, stroke| {
        EngineDrag::alone(fit, row.num("litres") * LITRE, stroke).torque(spin(), Case::Likely)
    };
    Some(match quantity {
        "petrol_pressure" => Fit::Petrol(row.num("throttle_bar") * BAR).pressure(spin(), 0.0) / BAR,
        "diesel_pressure" => Fit::Diesel(row.num("chamber_kpa") * 1e3).pressure(spin(), stroke()) / 1e3,
        "petrol_torque" => torque(Fit::Petrol(row.num("throttle_bar") * BAR), 0.0),
        "diesel_torque" => torque(Fit::Diesel(row.num("chamber_kpa") * 1e3), stroke()),
        "petrol_power" => {
            overrun::shaft_power(torque(Fit::Petrol(row.num("throttle_bar") * BAR), 0.0), spin()) / 1e3
        }
        "diesel_power" => {
            assert!(
                (row.num("chamber_kpa") * 1e3 - DIRECT_INJECTION).abs() < 1e-9
                    || row.num("chamber_kpa") > 75.0
            );
            overrun::shaft_power(torque(Fit::Diesel(row.num("chamber_kpa") * 1e3), stroke()), spin()) / 1e3
        }
        "fleet_pressure" => {
            let (constant, coefficient) = FLEET[usize::from(row.text("fuel") == "petrol")];
            Fit::Fleet(constant, coefficient).pressure(spin(), stroke()) / BAR
        }
        "motoring_torque" => overrun::motoring_torque(row.num("bar") * BAR, row.num("litres") * LITRE),
        _ => return None,
    })
}

fn converters(quantity: &str, row: &Inputs) -> Option<f64> {
    let overrun = || {
        let fit = Fit::Petrol(row.num("throttle_bar") * BAR);
        let drag = EngineDrag::alone(fit, row.num("litres") * LITRE, 0.1);
        Converter { capacity: row.num("capacity") }.overrun(
            row.num("turbine_rpm") * RPM,
            row.num("idle_rpm") * RPM,
            |spin| drag.torque(spin, Case::Likely),
        )
    };
    Some(match quantity {
        "converter_share" => Converter::share(row.num("speed_ratio")),
        // The truck converter's own stall torque, from one point of its curve.
        "converter_truck" => Converter::share(row.num("speed_ratio")) * 528.77 / 1.306,
        "converter_engine_speed" => overrun().0 / RPM,
        "converter_torque" => overrun().1,
        _ => return None,
    })
}

/// The engine of a worked case.
pub(crate) fn fit_of(row: &Inputs) -> Fit {
    match row.text("fit") {
        "petrol" => Fit::Petrol(row.num("throttle_bar") * BAR),
        "diesel" => Fit::Diesel(row.num("chamber_kpa") * 1e3),
        "fleet_petrol" => Fit::Fleet(FLEET[1].0, FLEET[1].1),
        "fleet_diesel" => Fit::Fleet(FLEET[0].0, FLEET[0].1),
        other => panic!("no fit {other}"),
    }
}

/// A gear of a worked case.
pub(crate) fn drive_of(row: &Inputs) -> Drive {
    let drag = EngineDrag::alone(fit_of(row), row.num("litres") * LITRE, row.num("stroke_mm") * 1e-3);
    Drive {
        drag: drag.scaled(row.num("torque_factor")),
        case: Case::Likely,
        ratio: row.num("ratio"),
        circumference: row.or("circumference", 2.0 * std::f64::consts::PI * row.or("radius", 0.0)),
        efficiency: row.num("efficiency"),
        idle: row.num("idle_rpm") * RPM,
        highest: row.num("highest_rpm") * RPM,
        inertia: row.or("engine_inertia", 0.0),
        converter: None,
        hold: Wheels::All.into(),
    }
}

/// A body of a worked case; only a vehicle whose axle loads do not matter.
pub(crate) fn body_of(row: &Inputs) -> Body {
    let radius = row.or("radius", 1.0);
    Body {
        mass: row.num("mass"),
        wheels: row.or("wheel_inertia", 0.0) / (radius * radius),
        drag_area: row.or("drag_area", 0.0),
        air: row.or("air", 1.2),
        gravity: 9.80665,
        wheelbase: 2.7,
        to_front: 1.3,
        height: 0.7,
    }
}

/// Ground that never lets go.
pub(crate) fn ground_of(rolling: f64, stiffness: f64) -> Footing {
    Footing { curve: SlipCurve { peak: 1e6, sliding: 1e6, stiffness }, rolling, loose: false }
}

fn case(what: &str, row: &Inputs) -> Answer {
    let (body, drive) = (body_of(row), drive_of(row));
    let angle = row.num("slope_deg") * DEGREE;
    let leg = Leg::straight(100.0, angle, ground_of(row.num("rolling"), 1e15));
    let balance = Balance::of(&body, &leg, &drive);
    let weight = body.mass * body.gravity;
    let held = |spin: f64| {
        let torque = drive.drag.torque(spin, Case::Likely);
        let force = overrun::engine_braking_force(torque, drive.ratio, drive.efficiency, drive.radius());
        let speed = gearing::creep_speed(drive.circumference, spin, drive.ratio);
        let air = slope::air_force(body.air, body.drag_area, speed);
        overrun::held_angle((force + air) / weight, row.num("rolling")) / DEGREE
    };
    let speed = balance.speed().unwrap_or(f64::NAN);
    let (spin, torque) = drive.engine_at(speed);
    Answer::Number(match what {
        "outcome" => {
            return Answer::Words(
                match balance {
                    Balance::HeldAtIdle { .. } => "held at idle",
                    Balance::RunsUp { .. } => "runs up and balances",
                    Balance::TooSteepForGear { .. } => "no safe balance",
                    Balance::GripLost { .. } => "wheels slide",
                }
                .to_owned(),
            );
        }
        "slope_force" => slope::force_down(body.mass, body.gravity, angle),
        "rolling_force" => {
            slope::rolling_force(row.num("rolling"), slope::normal_force(body.mass, body.gravity, angle))
        }
        "engine_speed" => spin / RPM,
        "speed" => speed / KMH,
        "torque" => torque,
        "engine_braking" => drive.force(speed),
        "air" => slope::air_force(body.air, body.drag_area, speed),
        "held_at_idle" => held(drive.idle),
        "held_at_highest" => held(drive.highest),
        "needed_torque" => match balance {
            Balance::HeldAtIdle { needed, .. } => needed,
            _ => f64::NAN,
        },
        "short" => match balance {
            Balance::TooSteepForGear { short, .. } => short,
            _ => f64::NAN,
        },
        _ => panic!("nothing here answers case_{what}"),
    })
}
