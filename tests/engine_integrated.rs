//! Descents followed metre by metre, against an independent solution of the same equations.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use slopepack::engine::{
    Case, Drive, EngineDrag, Fit, Footing, Leg, Profile, Run, SlipCurve, Wheels, geared, locked,
};

use crate::engine_courses::DEGREE;
use crate::engine_published::{Answer, Inputs, check};
use crate::engine_published_drivetrain::fit_of;

fn profile(row: &Inputs) -> Profile {
    let stiffness = row.num("stiffness");
    let footing = Footing {
        curve: SlipCurve { peak: row.num("peak"), sliding: row.num("peak"), stiffness },
        rolling: row.num("rolling"),
        loose: false,
    };
    let legs = (1..4)
        .filter(|n| row.or(&format!("length{n}"), 0.0) > 0.0)
        .map(|n| {
            let angle = row.num(&format!("slope{n}_deg")) * DEGREE;
            Leg::straight(row.num(&format!("length{n}")), angle, footing)
        })
        .collect();
    Profile { legs, run_out: None, side_room: 10.0 }
}

fn run(row: &Inputs) -> Run {
    let body = slopepack::engine::Body {
        mass: row.num("mass"),
        wheels: row.num("wheels"),
        drag_area: row.num("drag_area"),
        air: 1.225,
        gravity: 9.80665,
        wheelbase: 2.7,
        to_front: 1.3,
        height: 0.7,
    };
    let fit: Fit = fit_of(row);
    let drive = Drive {
        drag: EngineDrag::alone(fit, row.num("litres") * 1e-3, row.num("stroke_mm") * 1e-3),
        case: Case::Likely,
        ratio: row.num("ratio"),
        circumference: row.num("circumference"),
        efficiency: row.num("efficiency"),
        idle: row.num("idle_rpm") / 60.0,
        highest: row.num("highest_rpm") / 60.0,
        inertia: row.num("engine_inertia"),
        converter: None,
        hold: Wheels::All.into(),
    };
    geared(&body, &profile(row), &drive, row.num("entry"))
}

fn answer(quantity: &str, row: &Inputs) -> Answer {
    let run = run(row);
    Answer::Number(match quantity {
        "run_time" => run.time,
        "run_foot_speed" => run.foot_speed.unwrap(),
        "run_top_speed" => run.top_speed,
        "run_ground" => run.ledger.ground,
        "run_engine" => run.ledger.engine,
        "run_driveline" => run.ledger.driveline,
        "run_rolling" => run.ledger.rolling,
        "run_air" => run.ledger.air,
        _ => panic!("nothing here answers {quantity}"),
    })
}

/// Each descent stands twice: against ground and rim followed apart, which shows what taking the slip as steady
/// leaves out, and against the same equations, which shows what the steps leave out.
#[test]
fn four_descents_agree_with_an_independent_solution() {
    check(include_str!("published/descents.csv"), 64, answer);
}

/// Slope 24°, heading 35° off the fall line, locked at 2 m/s, level plan of the slide: scipy
/// solve_ivp, rtol 1e-12, from the equations of motion of a block on a plane.
fn crossing(friction: f64) -> Run {
    use slopepack::engine::formulas::slope::{pitch, roll};
    let (theta, heading) = (24.0 * DEGREE, 35.0 * DEGREE);
    let footing = Footing {
        curve: SlipCurve { peak: friction, sliding: friction, stiffness: 10.0 },
        rolling: 0.0,
        loose: false,
    };
    let leg = Leg { length: 12.0, pitch: pitch(theta, heading), roll: roll(theta, heading), footing };
    let profile = Profile { legs: vec![leg], run_out: None, side_room: 50.0 };
    let body = slopepack::engine::Body {
        mass: 2000.0,
        wheels: 0.0,
        drag_area: 0.0,
        air: 0.0,
        gravity: 9.80665,
        wheelbase: 2.7,
        to_front: 1.3,
        height: 0.7,
    };
    let run = locked(&body, &profile, Wheels::All, 2.0);
    assert!(run.ledger.residual().abs() < 1e-12);
    run
}

#[test]
fn a_locked_vehicle_bends_towards_the_fall_line_as_a_block_does() {
    let slides = crossing(0.35);
    assert!((slides.time - 4.012_688_471).abs() < 1e-6, "{slides:?}");
    assert!((slides.end_speed - 5.220_897_705).abs() < 1e-6, "{slides:?}");
    assert!((slides.drift - 7.328_139_443).abs() < 1e-6, "{slides:?}");
    let stops = crossing(0.62);
    assert!((stops.time - 1.180_794_3).abs() < 1e-5, "{stops:?}");
    assert!((stops.distance - 1.040_254_4).abs() < 1e-5, "{stops:?}");
    assert!((stops.drift - 0.353_825_3).abs() < 1e-5, "{stops:?}");
}

#[test]
fn straight_across_it_drifts_as_the_closed_formula_says() {
    use slopepack::engine::formulas::grip;
    let footing =
        Footing { curve: SlipCurve { peak: 0.5, sliding: 0.5, stiffness: 10.0 }, rolling: 0.0, loose: false };
    // A traverse: no pitch, all of the slope to the side.
    let leg = Leg { length: 50.0, pitch: 0.0, roll: 20.0 * DEGREE, footing };
    let profile = Profile { legs: vec![leg], run_out: None, side_room: 50.0 };
    let body = slopepack::engine::Body {
        mass: 2000.0,
        wheels: 0.0,
        drag_area: 0.0,
        air: 0.0,
        gravity: 9.81,
        wheelbase: 2.7,
        to_front: 1.3,
        height: 0.7,
    };
    let speed = 10.0 / 3.6;
    let run = locked(&body, &profile, Wheels::All, speed);
    let m = 0.5 / libm::tan(20.0 * DEGREE);
    assert!((run.drift - grip::crossing_drift(speed, 9.81, 20.0 * DEGREE, m)).abs() < 1e-9, "{run:?}");
    assert!((run.distance - grip::crossing_travel(speed, 9.81, 20.0 * DEGREE, m)).abs() < 1e-9);
    assert!((run.time - grip::crossing_time(speed, 9.81, 20.0 * DEGREE, m)).abs() < 1e-9);
    // The published worked value of the same slide: 0.6481 m down, 0.9648 m across, 1.2820 s.
    assert!((run.drift - 0.6481).abs() < 1e-3 && (run.distance - 0.9648).abs() < 1e-3);
}
