//! A verdict is the worst of every corner: tried out on a finer grid, and never better for worse ground.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use std::cell::Cell;

use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use slopepack::course::{Course, Driven, Gear, Gearbox, Slope, Surface, Vehicle};
use slopepack::engine::{
    Body, Case, Drive, EngineDrag, Mark, Outcome, Pair, Profile, Reckoning, Run, What, Wheels, geared, reckon,
};
use slopepack::quantity::{Angle, Length, Mass, Speed};

use crate::engine_courses::{any_slope, any_surface, any_vehicle, course, lenient};

/// Pairs tried out; the same on every machine and every day.
pub(crate) const PAIRS: u32 = 2000;

pub(crate) fn runner(cases: u32) -> TestRunner {
    let config = Config { cases, failure_persistence: None, max_shrink_iters: 0, ..Config::default() };
    TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha))
}

/// A vehicle and ground that somebody might really put together: many of them may go down.
pub(crate) fn any_place() -> impl Strategy<Value = (Surface, Slope, Vehicle)> {
    (any_surface(), any_slope(), any_vehicle(), 0.3..1.0f64, 0.0..1.0f64).prop_map(
        |(surface, mut slope, mut vehicle, gentle, low)| {
            for stretch in &mut slope.stretches {
                stretch.gradient = Angle::new(stretch.gradient.si() * gentle);
            }
            slope.entry_speed = Speed::new(slope.entry_speed.si() * gentle * 0.6);
            if low > 0.3 {
                slope.heading = Angle::new(0.0);
                slope.cross_slope = Angle::new(0.3 * slope.cross_slope.si());
                slope.bump = None;
                vehicle.transmission.gearbox = Gearbox::Manual;
            }
            (surface, slope, vehicle)
        },
    )
}

fn of(surface: &Surface, slope: &Slope, vehicle: &Vehicle) -> (Course, Reckoning) {
    let mut course = course(vec![surface.clone()], vec![slope.clone()], vec![vehicle.clone()]);
    course.limits.near = lenient();
    let reckoning = reckon(&course);
    (course, reckoning)
}

/// The value this far into a band.
fn at(low: f64, high: f64, part: f64) -> f64 {
    low + (high - low) * part
}

/// One point inside all ranges, followed down without the engine's own corners.
fn inside(course: &Course, gear: Gear, [drag, grip, rolling, losses]: [f64; 4]) -> Run {
    let (slope, vehicle) = (&course.slopes[0], &course.vehicles[0]);
    let surface = course.surface_of(slope);
    let mut profile = Profile::of(course, slope, Case::Likely);
    for leg in &mut profile.legs {
        leg.footing.curve.peak = at(surface.peak.low, surface.peak.high, grip);
        leg.footing.curve.sliding = at(surface.sliding.low, surface.sliding.high, grip);
        leg.footing.rolling = at(surface.rolling.low, surface.rolling.high, rolling);
    }
    let base = Drive::of(vehicle, gear, Case::Likely);
    let engine = EngineDrag::of(&vehicle.engine);
    let points = (0..=120_u8)
        .map(|step| {
            let spin = at(4.0, 140.0, f64::from(step) / 120.0);
            let spread = engine.spread(spin);
            (spin, at(spread.low, spread.high, drag))
        })
        .collect();
    let idle = vehicle.engine.idle_range;
    let drive = Drive {
        drag: EngineDrag::Measured(points),
        efficiency: at(vehicle.transmission.efficiency.si(), 1.0, losses),
        idle: at(idle.0.si(), idle.1.si(), losses),
        ..base.over(vehicle, slope.bump.map_or(0.0, Length::si))
    };
    geared(&Body::of(vehicle), &profile, &drive, slope.entry_speed.si().max(0.1))
}

/// What a run breaks of the course's limits; worked here, not by the engine's checks.
fn breaks(course: &Course, run: &Run) -> Option<String> {
    const SLACK: f64 = 1.0 + 2e-3;
    let limits = &course.limits;
    let (slope, vehicle) = (&course.slopes[0], &course.vehicles[0]);
    if matches!(run.outcome, Outcome::WheelsSlide | Outcome::NoSafeBalance | Outcome::StopsOnSlope) {
        return Some(format!("{}", run.outcome));
    }
    if run.top_speed > limits.descent_speed.si() * SLACK {
        return Some(format!("speed {}", run.top_speed));
    }
    if run.top_spin.unwrap_or(0.0) > vehicle.engine.highest.si() * SLACK {
        return Some(format!("engine {:?}", run.top_spin));
    }
    if run.grip_share().unwrap_or(0.0) > (1.0 - limits.grip_in_hand.si()) * SLACK {
        return Some(format!("grip {:?}", run.grip_share()));
    }
    // The stop: 1.5 s rolling on, then every wheel braked at the low end of the grip, shared as the brakes do.
    let run_out = slope.run_out.as_ref()?;
    let peak = course.surface_of(slope).peak.low;
    let body = Body::of(vehicle);
    let whole = Wheels::braked(vehicle).unwrap().whole(peak, &body);
    let (sine, cosine) = (libm::sin(run_out.gradient.si()), libm::cos(run_out.gradient.si()));
    let rolling = course.surface_of(slope).rolling.low;
    let gains = 9.80665 * (sine - rolling * cosine).max(0.0);
    let foot = run.foot_speed.unwrap();
    let then = foot + gains * 1.5;
    let slows = 9.80665 * (whole * cosine - sine);
    let needs = foot * 1.5 + 0.5 * gains * 2.25 + then * then / (2.0 * slows);
    (slows <= 0.0 || needs > run_out.length.si() * SLACK).then(|| format!("run-out {needs}"))
}

#[test]
fn no_corner_of_the_ranges_refuses_what_is_within() {
    let (within, near) = (Cell::new(0_u32), Cell::new(0_u32));
    runner(PAIRS)
        .run(&any_place(), |(surface, slope, vehicle)| {
            let (course, reckoning) = of(&surface, &slope, &vehicle);
            let judged = &reckoning.pairs[0].judged;
            if !matches!(judged.mark, Mark::Within | Mark::Near) {
                return Ok(());
            }
            let count = if judged.mark == Mark::Within { &within } else { &near };
            count.set(count.get() + 1);
            let gear = judged.gear.unwrap();
            for drag in [0.0, 0.4, 1.0] {
                for grip in [0.0, 0.5, 1.0] {
                    for (rolling, losses) in [(0.0, 0.0), (0.0, 1.0), (1.0, 0.5)] {
                        let run = inside(&course, gear, [drag, grip, rolling, losses]);
                        let broken = breaks(&course, &run);
                        prop_assert!(
                            broken.is_none(),
                            "{gear}: {broken:?} at drag {drag} grip {grip} rolling {rolling} losses {losses}: {judged:?}"
                        );
                    }
                }
            }
            Ok(())
        })
        .unwrap();
    assert!(within.get() > 100 && near.get() > 30, "{} within, {} near", within.get(), near.get());
}

#[test]
fn extremes_are_judged_in_numbers() {
    let mut counted = 0;
    for degrees in [0.0, 0.05, 20.0, 45.0, 59.0] {
        for peak in [0.05, 0.5, 1.2] {
            for (mass, length) in [(60_000.0, 1.0), (60_000.0, 2000.0), (500.0, 1.0), (2400.0, 2000.0)] {
                for driven in [Driven::AllWheels, Driven::Rear, Driven::Front] {
                    let ground = crate::engine_courses::surface(
                        "g",
                        slopepack::course::Ground::Firm,
                        peak,
                        0.9 * peak,
                        0.03,
                    );
                    let place = crate::engine_courses::slope("s", "g", length, degrees);
                    let mut vehicle = crate::engine_courses::vehicle("v");
                    vehicle.mass = Mass::new(mass);
                    vehicle.transmission.driven = driven;
                    let (_, reckoning) = of(&ground, &place, &vehicle);
                    let pair = &reckoning.pairs[0];
                    sane(pair);
                    counted += 1;
                }
            }
        }
    }
    assert_eq!(counted, 180);
}

/// Every figure is a number, and none is a silly one.
fn sane(pair: &Pair) {
    let judged = &pair.judged;
    for reason in &judged.reasons {
        assert!(reason.value.is_finite() || reason.what == What::RunOut, "{reason:?}");
        assert!(reason.limit.is_finite() && reason.value.abs() < 1e7, "{reason:?}");
    }
    for figure in [judged.top_speed.low, judged.top_speed.high, judged.foot_speed.high] {
        assert!((0.0..1000.0).contains(&figure), "{judged:?}");
    }
    for told in &pair.ways {
        let margins = told.verdict.margins;
        assert!(margins.grip.is_none_or(|grip| (-1.0..=1.0).contains(&grip)), "{margins:?}");
        for run in told.descent.runs() {
            assert!(run.ledger.sinks().iter().all(|(_, energy)| *energy > -1e-6), "{:?}", run.ledger);
            assert!(run.ledger.residual().abs() < 1e-9 && run.time.is_finite(), "{run:?}");
        }
    }
    if let Some(at) = judged.locked {
        assert!(at.distance.is_finite() && at.end_speed.is_finite() && at.speed >= 0.0, "{at:?}");
    }
}
