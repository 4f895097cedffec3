//! Answers to the energy and heat table.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use slopepack::engine::formulas::{gearing, heat, slope};
use slopepack::engine::{
    Air, Balance, Body, Footing, Gap, Leg, Load, Node, OnBrakes, Profile, Run, SlipCurve, Wheels, braked,
    geared, locked, run_after_run,
};

use crate::engine_published::{Answer, DEGREE, Inputs, KMH, RPM};
use crate::engine_published_drivetrain::{body_of, drive_of, ground_of};

const ZERO: f64 = 273.15;
/// Air of every worked case, K.
const AIR: f64 = 20.0 + ZERO;

pub(crate) fn answer(quantity: &str, row: &Inputs) -> Answer {
    energies(quantity, row)
        .or_else(|| locked_runs(quantity, row))
        .or_else(|| rolling_runs(quantity, row))
        .or_else(|| lumps(quantity, row))
        .map_or_else(|| crate::engine_published_drivetrain::answer(quantity, row), Into::into)
}

fn energies(quantity: &str, row: &Inputs) -> Option<f64> {
    let theta = || row.num("theta_deg") * DEGREE;
    let kinetic = || slope::kinetic_energy(row.num("mass"), row.num("speed"));
    let fallen = || slope::potential_energy(row.num("mass"), row.num("g"), row.num("height"));
    Some(match quantity {
        "falling_rise" => heat::temperature_rise(
            fallen() * row.num("share"),
            1.0,
            row.num("brake_mass"),
            row.num("capacity"),
        ),
        "potential_energy" => fallen(),
        "stopping_rise" => heat::temperature_rise(
            kinetic() * row.num("rotating"),
            row.num("count"),
            row.num("brake_mass"),
            row.num("capacity"),
        ),
        "downhill_energy" => kinetic() + fallen(),
        "downhill_rise" => {
            heat::temperature_rise(kinetic() + fallen(), 1.0, row.num("brake_mass"), row.num("capacity"))
        }
        "temperature_rise" => {
            heat::temperature_rise(row.num("heat"), row.num("count"), row.num("mass"), row.num("capacity"))
        }
        "kinetic_energy" => kinetic(),
        "mean_stopping_force" => kinetic() / row.num("distance"),
        "slope_force" => slope::force_down(row.num("mass"), row.num("g"), theta()),
        "slope_height" => slope::height(row.num("length"), theta()),
        "slope_energy" => {
            slope::potential_energy(row.num("mass"), 9.80665, slope::height(row.num("length"), theta()))
        }
        "slope_power" => slope::force_down(row.num("mass"), 9.80665, theta()) * row.num("speed_kmh") * KMH,
        "ground_energy_per_metre" => {
            slope::normal_force(row.num("mass"), 9.80665, theta()) * row.num("mu") / 4.0 / 1e3
        }
        "wheel_power" => heat::wheel_power(row.num("force"), row.num("speed_kmh") * KMH, row.num("slip")),
        "slip_power" => heat::slip_power(row.num("force"), row.num("speed_kmh") * KMH, row.num("slip")),
        "equivalent_mass" => drive_like(row),
        _ => return None,
    })
}

fn drive_like(row: &Inputs) -> f64 {
    let radius = row.num("radius");
    let wheels = row.num("wheel_inertia") / (radius * radius);
    gearing::equivalent_mass(row.num("mass"), wheels, row.num("engine_inertia"), row.num("ratio"), radius)
}

fn firm(friction: f64, rolling: f64) -> Footing {
    Footing { curve: SlipCurve { peak: friction, sliding: friction, stiffness: 10.0 }, rolling, loose: false }
}

fn one_leg(length: f64, angle: f64, footing: Footing) -> Profile {
    Profile { legs: vec![Leg::straight(length, angle, footing)], run_out: None, side_room: 10.0 }
}

fn locked_runs(quantity: &str, row: &Inputs) -> Option<f64> {
    let what = quantity.strip_prefix("locked_run_")?;
    let body = body_of(row);
    let theta = row.num("theta_deg") * DEGREE;
    let profile = one_leg(row.num("length"), theta, firm(row.num("mu"), 0.0));
    let run = locked(&body, &profile, Wheels::All, row.num("speed_kmh") * KMH);
    assert!(run.ledger.residual().abs() < 1e-12);
    Some(match what {
        "distance" => run.distance,
        "deceleration" => run.entry_speed / run.time,
        "time" => run.time,
        "ground" => run.ledger.ground,
        "brakes" => run.ledger.brakes,
        "speed" => run.end_speed,
        "left" => run.ledger.speed,
        _ => return None,
    })
}

fn part_of(run: &Run, what: &str) -> Option<f64> {
    assert!(run.ledger.residual().abs() < 1e-9);
    let ledger = &run.ledger;
    Some(
        match what {
            "height" => ledger.height,
            "rolling" => ledger.rolling,
            "air" => ledger.air,
            "ground" => ledger.ground,
            "brakes" => ledger.brakes,
            "engine" => ledger.engine,
            "driveline" => ledger.driveline,
            "left" => ledger.speed,
            "entry" => ledger.entry,
            _ => return None,
        } / 1e3,
    )
}

fn rolling_runs(quantity: &str, row: &Inputs) -> Option<f64> {
    let profile = || {
        let ground = ground_of(row.num("rolling"), row.num("stiffness"));
        one_leg(row.num("length"), row.num("slope_deg") * DEGREE, ground)
    };
    if let Some(what) = quantity.strip_prefix("braked_").or_else(|| quantity.strip_prefix("assisted_")) {
        let body = Body { air: 1.225, ..body_of(row) };
        let drive = quantity.starts_with("assisted").then(|| drive_of(row));
        let speed = row.num("speed_kmh") * KMH;
        let on = OnBrakes {
            body: &body,
            hold: Wheels::All.into(),
            help: drive.as_ref(),
            strongest: None,
            target: speed,
        };
        let run = braked(on, &profile(), speed);
        return if what == "power" { Some(run.ledger.brakes / run.time) } else { part_of(&run, what) };
    }
    if let Some(what) = quantity.strip_prefix("transient_") {
        let run = geared(&body_of(row), &profile(), &drive_of(row), row.num("entry_kmh") * KMH);
        return match what {
            "time" => Some(run.time),
            "exit_speed" => Some(run.end_speed),
            _ => part_of(&run, what),
        };
    }
    let leg = || {
        Leg::straight(
            60.0,
            row.num("slope_deg") * DEGREE,
            ground_of(row.num("rolling"), row.num("stiffness")),
        )
    };
    let balance = |what: &str| match Balance::of(&body_of(row), &leg(), &drive_of(row)) {
        Balance::RunsUp { speed, spin, .. } => {
            if what == "speed" {
                speed
            } else {
                spin
            }
        }
        other => panic!("{other:?}"),
    };
    match quantity {
        "balance_speed" => Some(balance("speed") / KMH),
        "balance_engine_speed" => Some(balance("spin") / RPM),
        _ => {
            let what = quantity.strip_prefix("steady_")?;
            part_of(&geared(&body_of(row), &profile(), &drive_of(row), balance("speed")), what)
        }
    }
}

fn node(row: &Inputs) -> Node {
    Node {
        mass: row.num("mass"),
        capacity: row.num("capacity"),
        area: row.num("area"),
        diameter: row.num("diameter"),
        emissivity: row.or("emissivity", 0.0),
        cooling: 1.0,
    }
}

/// Closed form of a lump heated and cooled in turn, convection alone.
fn run_end_closed(row: &Inputs) -> f64 {
    let node = node(row);
    let rolling = node.convection(row.num("speed_kmh") * KMH);
    let between = node.convection(row.num("gap_kmh") * KMH);
    let tau = |h: f64| heat::time_constant(node.mass, node.capacity, h, node.area);
    let steady = row.num("power") / (rolling * node.area);
    let first = heat::dragging_temperature(0.0, 0.0, steady, row.num("time") / tau(rolling));
    let left = libm::exp(-row.num("time") / tau(rolling)) * libm::exp(-row.num("gap") / tau(between));
    #[expect(clippy::cast_possible_truncation, reason = "a count of runs")]
    let run = row.num("run") as i32;
    20.0 + heat::repeated_rise(first, left, run)
}

fn run_end(row: &Inputs) -> f64 {
    let load = Load { power: row.num("power"), time: row.num("time"), speed: row.num("speed_kmh") * KMH };
    let gap = Gap { time: row.num("gap"), speed: row.num("gap_kmh") * KMH };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of runs")]
    let runs = row.num("run") as u16;
    run_after_run(&node(row), &load, gap, AIR, runs).last().unwrap() - ZERO
}

fn lumps(quantity: &str, row: &Inputs) -> Option<f64> {
    let speed = || row.num("speed_kmh") * KMH;
    let steady_rise = || row.num("power") / (node(row).convection(speed()) * node(row).area);
    let tau = || {
        let node = node(row);
        heat::time_constant(node.mass, node.capacity, node.convection(speed()), node.area)
    };
    Some(match quantity {
        "disc_area" => heat::disc_area(row.num("outer"), row.num("inner"), row.num("thickness")),
        "convection_loss" => {
            let area = heat::disc_area(row.num("outer"), row.num("inner"), row.num("thickness"));
            heat::convection_loss(row.num("h"), area, row.num("hot"), row.num("air"))
        }
        "run_end" => run_end(row),
        "run_end_closed" => run_end_closed(row),
        "convection" => {
            let disc = Node {
                mass: 1.0,
                capacity: 1.0,
                area: 1.0,
                diameter: row.num("diameter"),
                emissivity: 0.0,
                cooling: 1.0,
            };
            disc.convection(speed())
        }
        "radiation_coefficient" => {
            let (hot, air) = (row.num("hot") + ZERO, row.num("air") + ZERO);
            heat::radiation_loss(row.num("emissivity"), heat::STEFAN_BOLTZMANN, 1.0, hot, air) / (hot - air)
        }
        "dragging_asymptote" => 20.0 + steady_rise(),
        "time_constant" => tau(),
        "dragging_end" => {
            let air = Air { temperature: AIR, speed: speed() };
            node(row).after(AIR, &air, row.num("power"), row.num("time"), 72) - ZERO
        }
        "dragging_end_closed" => {
            heat::dragging_temperature(20.0, 20.0, steady_rise(), row.num("time") / tau())
        }
        "cooling_time" => {
            let air = Air { temperature: AIR, speed: speed() };
            node(row).cooling_time(row.num("from") + ZERO, row.num("to") + ZERO, &air)?
        }
        "cooling_time_closed" => heat::cooling_time(tau(), row.num("from"), row.num("to"), 20.0),
        "newton_time" => heat::cooling_time(row.num("tau"), row.num("from"), row.num("to"), row.num("air")),
        "grade_severity" => heat::dragging_temperature(
            row.num("start_f"),
            row.num("air_f"),
            row.num("rise_f"),
            row.num("times"),
        ),
        _ => return None,
    })
}
