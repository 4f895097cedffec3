//! What is shown to a class: the size of the locked slide, the model's scaling, what a gear holds.

use slopepack::course::{Course, read_text};
use slopepack::engine::formulas::show::{holding_share, model_energy, model_speed};
use slopepack::engine::{
    Case, EngineDrag, FASTEST, Factor, NoSkid, Skid, VISIBLE, circumference_of, comparison, reckon,
};
use slopepack::lesson::worked_examples;

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");

fn quarry() -> Course {
    read_text(QUARRY).unwrap()
}

/// A locked slide by steps of a millisecond, its own way of working.
fn slid(speed: f64, friction: f64, gradient: f64) -> Option<f64> {
    let (mut v, mut x, dt) = (speed, 0.0, 1e-3);
    while v > 0.0 {
        v -= 9.806_65 * (friction * gradient.cos() - gradient.sin()) * dt;
        x += v * dt;
        if x > 1e4 {
            return None;
        }
    }
    Some(x)
}

#[test]
fn the_locked_slide_is_long_enough_to_see_and_stops_on_the_pad() {
    let course = quarry();
    let pad = course.skid_pad.as_ref().unwrap();
    let surface = course.surface(&pad.surface).unwrap();
    let skid = Skid::on(surface, pad.gradient.si(), FASTEST).unwrap();
    let shortest = slid(skid.speed, surface.sliding.high, pad.gradient.si()).unwrap();
    let longest = slid(skid.speed, surface.sliding.low, pad.gradient.si()).unwrap();
    assert!((shortest - VISIBLE).abs() < 0.01 && (longest - skid.longest).abs() < 0.01);
    assert!(skid.longest > VISIBLE && skid.room(4.5) >= 2.0 * longest + 4.5);
    assert!(skid.within(pad.length.si(), 4.5).is_ok());
    assert!(matches!(skid.within(10.0, 4.5), Err(NoSkid::TooShort(needs)) if needs > 10.0));
}

#[test]
fn ground_that_holds_well_or_never_stops_a_slide_is_refused() {
    let course = quarry();
    let firm = course.surface("quarry-floor").unwrap();
    assert!(matches!(Skid::on(firm, 0.0, FASTEST), Err(NoSkid::TooFast(speed)) if speed > FASTEST));
    let slick = course.surface("slick-clay").unwrap();
    let down = 8.0_f64.to_radians();
    assert_eq!(Skid::on(slick, down, FASTEST), Err(NoSkid::NeverStops));
}

/// Spillway model at 1:30: 1.5 m/s in the model is 8.216 m/s full size (worked exercise on Froude
/// similarity in an open course on hydraulics); exponents of length and energy 1 and 4 (published table
/// of Froude scaling).
#[test]
fn a_model_scales_as_published() {
    assert!((model_speed(8.216, 30.0) - 1.5).abs() < 0.0005);
    assert!((model_energy(1e4, 10.0) - 1.0).abs() < 1e-12);
    assert!((model_speed(5.0 / 3.6, 8.0) * 3.6 - 1.7678).abs() < 1e-4);
}

#[test]
fn what_the_gear_holds_is_the_drag_at_the_rim_over_the_weight() {
    // 250 N·m through 1:40 on a radius of 0.38 m is 26.3 kN at the rim; 2,400 kg weigh 23.5 kN.
    let rim = 250.0 * 40.0 / 0.38;
    assert!((holding_share(250.0, 40.0, 0.38, 2400.0, 9.806_65) - rim / (2400.0 * 9.806_65)).abs() < 1e-12);
}

#[test]
fn the_machine_carries_the_show_as_worked_examples() {
    let course = quarry();
    let worked = worked_examples(&course, &reckon(&course));
    for id in ["slide-speed", "model-speed", "model-energy", "held-by-gear"] {
        assert!(worked.iter().any(|example| example.id == id), "{id}");
    }
    let speed = worked.iter().find(|example| example.id == "slide-speed").unwrap();
    let pad = course.skid_pad.as_ref().unwrap();
    let friction = course.surface(&pad.surface).unwrap().sliding.high;
    let expected = (2.0 * 9.806_65 * friction * VISIBLE).sqrt();
    assert!((speed.answer().si / expected - 1.0).abs() < 0.004);
}

#[test]
fn a_skid_pad_that_is_no_flat_ground_is_refused_where_it_stands() {
    let steep = QUARRY.replace("width: 14 m, gradient: 0°", "width: 14 m, gradient: 9°");
    let problems = read_text(&steep).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:?}");
    let unknown = QUARRY.replace("skid-pad: {surface: slick-clay", "skid-pad: {surface: slick-caly");
    assert!(format!("{:?}", read_text(&unknown).unwrap_err()).contains("slick-clay"));
}

/// Where a drag that rises with engine speed meets the pull of the slope, by small steps of speed: its own way of working.
fn settles(
    torque: impl Fn(f64) -> f64,
    [ratio, lossless, circumference, idle, most]: [f64; 5],
    pull: f64,
) -> Option<f64> {
    let radius = circumference / std::f64::consts::TAU;
    let mut spin = idle;
    while spin <= most {
        if torque(spin) * ratio / (lossless * radius) >= pull {
            return Some(circumference * spin / ratio);
        }
        spin += 0.01;
    }
    None
}

/// What each factor of the comparison was worth, and that the machine's document carries it.
#[test]
fn the_factors_of_the_comparison_are_worked_a_second_time() {
    let mut seen = 0;
    for text in [QUARRY, include_str!("../courses/hill-club-weekend.yaml")] {
        let mut course = read_text(text).unwrap();
        // Nothing is compared on ground that waits for its survey: here somebody has measured all of it.
        let survey = course.slopes[0].survey.clone();
        for slope in &mut course.slopes {
            slope.survey = slope.survey.take().or_else(|| survey.clone());
        }
        let (at, rows) = comparison(&course, &reckon(&course)).unwrap();
        let (slope, surface) = (&course.slopes[at], course.surface_of(&course.slopes[at]));
        let angle = slope.steepest().gradient.si();
        let first = &course.vehicles[rows[0].vehicle];
        for row in &rows {
            let own = &course.vehicles[row.vehicle];
            if own.transmission.gearbox != slopepack::course::Gearbox::Manual {
                continue;
            }
            let drag = |vehicle: &slopepack::course::Vehicle| EngineDrag::of(&vehicle.engine);
            for factor in
                [None, Some(Factor::Ratio), Some(Factor::Drag), Some(Factor::Tyre), Some(Factor::Mass)]
            {
                let from = |which: Factor| if factor == Some(which) { first } else { own };
                let ratio = if factor == Some(Factor::Ratio) { rows[0].ratio } else { row.ratio };
                let engine = drag(from(Factor::Drag));
                let mass = from(Factor::Mass).mass.si();
                let pull = mass * 9.806_65 * (angle.sin() - surface.rolling.likely * angle.cos());
                let gearing = [
                    ratio,
                    own.transmission.efficiency.si(),
                    circumference_of(from(Factor::Tyre)),
                    own.engine.idle.si(),
                    own.engine.highest.value.si(),
                ];
                let expected = settles(|spin| engine.torque(spin, Case::Likely), gearing, pull);
                let told = match factor {
                    None => row.speed,
                    Some(factor) => row.exchanged[Factor::ALL.iter().position(|one| *one == factor).unwrap()],
                };
                let (Some(expected), Some(told)) = (expected, told) else { continue };
                // Slip of the tyres and air are left out here.
                assert!((told / expected - 1.0).abs() < 0.08, "{} {factor:?}: {told} and {expected}", own.id);
                seen += 1;
            }
        }
    }
    assert!(seen >= 15, "{seen}");
}
