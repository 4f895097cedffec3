//! Locked wheels followed as a block on planes, step by step in time, against the engine's closed form: down
//! slopes that tilt, off the low side, and up run-outs that rise.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use std::cell::Cell;

use proptest::prelude::*;
use slopepack::engine::{Body, Footing, Leg, Outcome, Profile, SlipCurve, Wheels, locked};

use crate::engine_corners::{PAIRS, runner};
use crate::engine_courses::DEGREE;

const GRAVITY: f64 = 9.80665;

/// Lengths, gradients and tilts of two stretches, in m and degrees; the run-out is even across.
#[derive(Clone, Copy, Debug)]
struct Slide {
    legs: [(f64, f64, f64); 2],
    run_out: (f64, f64),
    friction: f64,
    room: f64,
    entry: f64,
}

fn any_slide() -> impl Strategy<Value = Slide> {
    let leg = || (3.0..40.0f64, 4.0..38.0f64, prop_oneof![Just(0.0), 0.5..20.0f64]);
    // Run-outs fall, are level, or rise, some more than locked wheels hold.
    let run_out = (4.0..60.0f64, prop_oneof![-5.0..-0.1f64, Just(0.0), 1.0..35.0f64]);
    (leg(), leg(), run_out, 0.05..0.7f64, 1.0..12.0f64, 0.5..12.0f64).prop_map(
        |(first, second, (length, rise), friction, room, entry)| Slide {
            legs: [first, second],
            run_out: (length, -rise),
            friction,
            room,
            entry,
        },
    )
}

fn body() -> Body {
    Body {
        mass: 2000.0,
        wheels: 40.0,
        drag_area: 1.0,
        air: 1.225,
        gravity: GRAVITY,
        wheelbase: 2.7,
        to_front: 1.3,
        height: 0.7,
    }
}

fn by_engine(slide: &Slide) -> slopepack::engine::Run {
    let curve = SlipCurve { peak: slide.friction, sliding: slide.friction, stiffness: 10.0 };
    let footing = Footing { curve, rolling: 0.03, loose: false };
    let legs = slide.legs.iter().map(|(length, pitch, roll)| Leg {
        roll: roll * DEGREE,
        ..Leg::straight(*length, pitch * DEGREE, footing)
    });
    let run_out = Leg::straight(slide.run_out.0, slide.run_out.1 * DEGREE, footing);
    let profile = Profile { legs: legs.collect(), run_out: Some(run_out), side_room: slide.room };
    locked(&body(), &profile, Wheels::All, slide.entry)
}

/// How it ends, how far along, how far aside, how fast.
type Ended = (Outcome, f64, f64, f64);

/// A block under gravity and friction, a ten-thousandth of a second at a time.
fn by_steps(slide: &Slide) -> Ended {
    let (mut vx, mut vy, mut drift, mut before) = (slide.entry, 0.0_f64, 0.0_f64, 0.0);
    let planes = slide.legs.iter().copied().chain([(slide.run_out.0, slide.run_out.1, 0.0)]);
    for (at, (length, pitch, roll)) in planes.enumerate() {
        let on_run_out = at == 2;
        let (pitch, roll) = (pitch * DEGREE, roll * DEGREE);
        let (down, side) = (libm::sin(pitch), libm::cos(pitch) * libm::sin(roll));
        let drag = slide.friction * libm::cos(pitch) * libm::cos(roll);
        let holds = drag >= libm::hypot(down, side);
        let slows = |vx: f64, vy: f64| {
            let speed = libm::hypot(vx, vy).max(1e-12);
            (GRAVITY * (down - drag * vx / speed), GRAVITY * (side - drag * vy / speed))
        };
        let (mut x, step) = (0.0, 1e-4);
        loop {
            let (ax, ay) = slows(vx, vy);
            let (mx, my) = (vx + 0.5 * step * ax, vy + 0.5 * step * ay);
            let (ax, ay) = slows(mx, my);
            let (was, speed) = (vx, libm::hypot(vx, vy));
            (vx, vy) = (vx + step * ax, vy + step * ay);
            (x, drift) = (x + step * mx, drift + step * my);
            if holds && (libm::hypot(vx, vy) >= speed && speed < 5e-3 || speed < 2e-3) {
                let how = if on_run_out { Outcome::StopsInRunOut } else { Outcome::StopsOnSlope };
                return (how, before + x, drift, 0.0);
            }
            if drift.abs() >= slide.room {
                return (Outcome::SlidesOffSide, before + x, drift, libm::hypot(vx, vy));
            }
            if x >= length {
                break;
            }
            if on_run_out && !holds && was > 0.0 && vx <= 0.0 {
                return (Outcome::SlidesBack, before + x, drift, libm::hypot(vx, vy));
            }
        }
        before += length;
    }
    (Outcome::LeavesRunOut, before, drift, libm::hypot(vx, vy))
}

#[test]
fn slides_end_as_a_block_on_planes_does() {
    let seen = Cell::new([0; 5]);
    runner(PAIRS)
        .run(&any_slide(), |slide| {
            let (how, along, aside, speed) = by_steps(&slide);
            let run = by_engine(&slide);
            // What ends a hair before or after an edge may end either way.
            let edge = |off: f64| off.abs() < 0.02;
            let whole: f64 = slide.legs.iter().map(|leg| leg.0).sum();
            let near_edge = edge(along - whole)
                || edge(along - whole - slide.run_out.0)
                || edge(aside.abs() - slide.room);
            if how != run.outcome && near_edge {
                return Ok(());
            }
            prop_assert_eq!(how, run.outcome, "{:?} {:?} {:?}", slide, (along, aside, speed), run);
            prop_assert!((run.distance - along).abs() < 0.03 + 2e-3 * along, "{slide:?} {along} {run:?}");
            prop_assert!((run.drift - aside).abs() < 0.03 + 2e-3 * aside.abs(), "{slide:?} {aside} {run:?}");
            // Turning back it stands for a moment on straight ground; where it turns is what counts.
            if how != Outcome::SlidesBack {
                prop_assert!(
                    (run.end_speed - speed).abs() < 0.05 + 2e-3 * speed,
                    "{slide:?} {speed} {run:?}"
                );
            }
            prop_assert!(run.ledger.residual().abs() < 1e-9, "{run:?}");
            let mut counts = seen.get();
            counts[match how {
                Outcome::StopsOnSlope => 0,
                Outcome::StopsInRunOut => 1,
                Outcome::SlidesBack => 2,
                Outcome::SlidesOffSide => 3,
                _ => 4,
            }] += 1;
            seen.set(counts);
            Ok(())
        })
        .unwrap();
    let counts = seen.get();
    assert!(counts.iter().all(|count| *count > 20), "stops, in run-out, back, off, leaves: {counts:?}");
}
