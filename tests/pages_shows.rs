//! What is shown to a class: the size of the locked slide, the model's scaling, what a gear holds.

use slopepack::course::{Course, read_text};
use slopepack::engine::formulas::show::{holding_share, model_energy, model_speed};
use slopepack::engine::{FASTEST, NoSkid, Skid, VISIBLE, reckon};
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
