//! Forces of letting down and towing against a calculation of their own, and what is told of a letting down.

use std::sync::LazyLock;

use proptest::prelude::*;
use slopepack::course::read_text;
use slopepack::recovery::gear::Winch;
use slopepack::recovery::ladder::chosen_for;
use slopepack::recovery::ladder::lower::{Lowering, brake_holds};
use slopepack::recovery::ladder::right::{CATCH_POINT, TOUCHES, greatest_catch};
use slopepack::recovery::ladder::second::{Brake, STANDS_WITHIN};
use slopepack::recovery::ladder::tow::{NoTow, STEEPEST_TOW, tow};
use slopepack::recovery::operator::Operator;
use slopepack::recovery::pull::{Direction, Scene, Stuck, System};
use slopepack::recovery::rig::{Rig, Role};
use slopepack::recovery::{Depth, recoveries};

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    /// Letting down and towing, worked afresh from mass, angle and coefficients.
    #[test]
    fn lowering_and_towing_agree_with_a_calculation_of_their_own(
        mass in 900.0..12_000.0f64,
        degrees in 1.0..40.0f64,
        rolling in 0.005..0.3f64,
        rise in 0.0..8.0f64,
        height in 0.5..1.2f64,
        width in 1.2..2.2f64,
    ) {
        let mut course = read_text(QUARRY).unwrap();
        let id = course.slopes[0].surface.clone();
        for surface in course.surfaces.iter_mut().filter(|surface| surface.id == id) {
            surface.rolling = slopepack::course::Band::new(rolling, 1.2 * rolling, 1.4 * rolling);
        }
        course.slopes[0].stretches[0].gradient = slopepack::quantity::Angle::new(degrees.to_radians());
        if let Some(out) = &mut course.slopes[0].run_out {
            out.gradient = slopepack::quantity::Angle::new(-rise.to_radians());
        }
        let vehicle = &mut course.vehicles[1];
        vehicle.mass = slopepack::quantity::Mass::new(mass);
        vehicle.centre_height = slopepack::course::Known::given(slopepack::quantity::Length::new(height));
        vehicle.track = slopepack::course::Known::given(slopepack::quantity::Length::new(width));
        let weight = 9.806_65 * mass;
        let theta = degrees * std::f64::consts::PI / 180.0;
        let slope = &course.slopes[0];
        let surface = course.surface_of(slope);
        let lower = Scene::of(slope, surface, &course.vehicles[1]).pull(Stuck::Rolls, Direction::Lower);
        // Resolved with the lowest rolling; a sixtieth a degree; resolved without the ground; the
        // grass fraction taken off the sixtieths and a quarter added.
        let by_hand = [
            weight * theta.sin() - rolling * weight * theta.cos(),
            weight * degrees / 60.0,
            weight * theta.sin(),
            1.25 * (weight * degrees / 60.0 - weight / 7.0),
        ];
        let most = by_hand.into_iter().fold(0.0, f64::max);
        prop_assert!((lower.high / most - 1.0).abs() < 0.005, "{} {most}", lower.high);
        prop_assert!((chosen_for(&lower) / (2.0 * most) - 1.0).abs() < 0.005);
        prop_assert!(lower.systems.len() == 4 && lower.systems.iter().any(|one| one.system == System::Physics));
        // The brake's share: wheels locked on both axles, what presses on the ground, lowest friction; the
        // line is left the rest.
        let brake = brake_holds(slope, surface, &course.vehicles[1]);
        let by_hand = surface.sliding.low * weight * theta.cos();
        prop_assert!((brake / by_hand - 1.0).abs() < 0.005, "{brake} {by_hand}");
        let told = Lowering::of("stuck", [brake, lower.high], &RIG_AND_WINCH.0, &RIG_AND_WINCH.1);
        prop_assert!((told.brake_share - (by_hand / most).min(1.0)).abs() < 0.005);
        prop_assert!((told.line_with_brake - (most - by_hand).max(0.0)).abs() < 0.005 * most);
        // The foot brake as second means: it runs on while nobody has pressed, then slows, step by step.
        let told = Brake::of(brake, lower.high, mass, 1.5);
        if brake > 1.05 * lower.high {
            let (mut speed, mut way, step) = (0.0, 0.0, 1e-4);
            let mut time = 0.0;
            while time < 1.5 || speed > 0.0 {
                let force = if time < 1.5 { lower.high } else { lower.high - brake };
                way += speed * step + force / mass * step * step / 2.0;
                speed += force / mass * step;
                time += step;
            }
            prop_assert!((told.runs.unwrap() / way - 1.0).abs() < 0.005, "{told:?} {way}");
        }
        let enough = lower.high <= 0.8 * brake && told.runs.is_some_and(|runs| runs <= STANDS_WITHIN);
        prop_assert_eq!(told.does(0.2), enough);
        let gear = slopepack::recovery::gear::Gear::of(&course, surface);
        match tow(&course, &gear, slope, 1, 0.2) {
            Err(NoTow::TooSteep { gradient }) => {
                prop_assert!((gradient - theta.tan()).abs() < 1e-9 && gradient > STEEPEST_TOW);
            }
            Ok(tow) => {
                let level = [1.25 * weight / 7.0, weight / 3.0, 1.2 * rolling * weight];
                let most = level.into_iter().fold(0.0, f64::max);
                let whole = most + weight * (rise * std::f64::consts::PI / 180.0).sin();
                prop_assert!((tow.resistance / whole - 1.0).abs() < 0.005, "{} {whole}", tow.resistance);
                prop_assert!((tow.start / (whole + 0.5 * mass) - 1.0).abs() < 0.005);
                // On a rope only where the ground holds back what the weight pulls down with; on a bar the
                // push is that come on at once, and the tug's brake holds both.
                let down = weight * theta.sin();
                prop_assert_eq!(tow.rigid, down > rolling * weight * theta.cos());
                let push = if tow.rigid { 2.0 * down } else { 0.0 };
                prop_assert!((tow.pushes - push).abs() <= 0.005 * push);
                if let Some(held) = tow.parts.iter().find(|part| part.role == Role::TugBrake) {
                    let tug = course.vehicles.iter().find(|vehicle| vehicle.id == tow.tug).unwrap();
                    let own = 9.806_65 * tug.mass.si();
                    prop_assert!((held.load / ((own + weight) * theta.sin()) - 1.0).abs() < 0.005);
                    let grips = surface.sliding.low * own * theta.cos();
                    prop_assert!((held.rating / grips - 1.0).abs() < 0.005);
                    prop_assert!(tow.rigid && held.load <= 0.8 * grips * 1.0001);
                } else {
                    prop_assert!(!tow.rigid);
                }
            }
            Err(_) => prop_assert!(theta.tan() <= STEEPEST_TOW + 1e-9),
        }
        // The catch line: the centre turned about the lower tyres, step by step.
        let mut most = 0.0_f64;
        for step in 0..=4000 {
            let lean = TOUCHES.to_radians() * f64::from(step) / 4000.0;
            most = most.max(weight * past(width, height, lean) / arm(width, lean));
        }
        let engine = greatest_catch(&course.vehicles[1]);
        prop_assert!((engine / most - 1.0).abs() < 0.005, "{engine} {most}");
    }
}

/// Made once: every random case lets down on the same rig.
static RIG_AND_WINCH: LazyLock<(Rig, Winch)> = LazyLock::new(|| (straight_rig(5e3), drum_winch(40.0)));

/// A single line, 24 m out at the end of a way of 14 m.
fn straight_rig(force: f64) -> Rig {
    let told = recoveries(&read_text(QUARRY).unwrap(), Depth::Likely);
    let rigs = told.all.into_iter().flat_map(|one| one.rigs);
    let mut rig = rigs.into_iter().find(|rig| rig.layout.id == "far-1" && !rig.by_hand).unwrap();
    (rig.fall_line, rig.travel, rig.line_out, rig.rigged_length) = (force, 14.0, 24.0, 24.0);
    rig
}

/// A winch on a drum of 64 mm by 224 mm, with so much rope of 10 mm.
fn drum_winch(length: f64) -> Winch {
    let course = read_text(QUARRY).unwrap();
    let gear = slopepack::recovery::gear::Gear::of(&course, course.surface_of(&course.slopes[0]));
    let mut winch = gear.winches.into_iter().find(|winch| winch.id == "winch").unwrap();
    winch.line.length = length;
    winch
}

/// Letting down: how fast, how long, what line is left and on which layers, the rope unwound turn by turn.
#[test]
fn letting_down_says_how_fast_it_goes_what_line_is_left_and_the_layers_of_the_drum() {
    let (rig, winch) = (straight_rig(5e3), drum_winch(40.0));
    let told = Lowering::of("stuck", [2e3, 5e3], &rig, &winch);
    assert!((told.brake_share - 0.4).abs() < 1e-12 && (told.line_with_brake - 3e3).abs() < 1e-9);
    // The winch's own 0.04 m/s on one part: 14 m in 350 s.
    assert!((told.speed.unwrap() - 0.04).abs() < 1e-12 && (told.time.unwrap() - 350.0).abs() < 1e-9);
    // Turn by turn from the barrel: 22 turns a layer.
    let layer_of = |wound: f64| {
        let (mut left, mut turn) = (wound, 0);
        while left > 0.0 {
            let layer = f64::from(turn / 22);
            left -= std::f64::consts::PI * (0.064 + 0.010 + layer * 2.0 * 0.010);
            turn += 1;
        }
        usize::try_from((turn - 1) / 22 + 1).unwrap()
    };
    assert_eq!(told.layers, Some([layer_of(40.0 - 10.0), layer_of(40.0 - 24.0)]));
    // Ten turns of synthetic rope stay on the first layer.
    let stay = 10.0 * std::f64::consts::PI * 0.074;
    assert!((told.line_left - (40.0 - stay - 24.0)).abs() < 1e-9);
    assert_eq!(told.operator, Operator::AtRearWheel);
}

/// How far the centre has gone past the lower tyres, m, from where its polar angle has turned to.
fn past(width: f64, height: f64, lean: f64) -> f64 {
    let radius = (width * width / 4.0 + height * height).sqrt();
    let lying = height.atan2(width / 2.0);
    // Upright, the centre stands at its polar angle; lying, a right angle further over.
    let angle = lying + std::f64::consts::FRAC_PI_2 - lean;
    radius * angle.cos()
}

/// Height of the catch point above the lower tyres, m.
fn arm(width: f64, lean: f64) -> f64 {
    // The points of the upper side: chassis rails 0.8 m apart, in the middle of the track.
    let across = width / 2.0 + 0.4;
    let radius = across.hypot(CATCH_POINT);
    let angle = CATCH_POINT.atan2(across) + std::f64::consts::FRAC_PI_2 - lean;
    radius * angle.sin()
}
