//! Ground speed and rim speed followed apart, against the engine's descents.
//!
//! Two masses: the vehicle at the speed of the ground, wheels with driveline and engine at the speed of
//! the rims. The tyre's force lies between them and follows from their slip. Nothing here is assumed to
//! be steady; the steps are short enough for the wheels' own time of hundredths of a second.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use std::cell::Cell;

use proptest::prelude::*;
use slopepack::engine::{
    Body, Case, Drive, EngineDrag, Footing, Leg, Outcome, Profile, SlipCurve, Wheels, geared,
};

use crate::engine_corners::runner;
use crate::engine_courses::DEGREE;

/// A vehicle in gear on three stretches, the last one flatter.
#[derive(Clone, Copy, Debug)]
struct Case3 {
    mass: f64,
    /// Turning parts as mass at the ground, kg.
    turning: f64,
    ratio: f64,
    /// Engine drag at idle and its rise for each turn a second more, N·m.
    drag: [f64; 2],
    peak: f64,
    stiffness: f64,
    rolling: f64,
    legs: [(f64, f64); 3],
    entry: f64,
}

const GRAVITY: f64 = 9.80665;
const AROUND: f64 = 2.4;
const RADIUS: f64 = AROUND / (2.0 * std::f64::consts::PI);
const EFFICIENCY: f64 = 0.88;
const IDLE: f64 = 12.0;
const WHEELS: f64 = 40.0;
const DRAG_AREA: f64 = 1.2;

impl Case3 {
    fn creep(&self) -> f64 {
        AROUND * IDLE / self.ratio
    }

    /// Force of the engine at the tyres at a rim speed above idle, N.
    fn engine(&self, rim: f64) -> f64 {
        let spin = rim * self.ratio / AROUND;
        (self.drag[0] + self.drag[1] * (spin - IDLE)) * self.ratio / (EFFICIENCY * RADIUS)
    }

    /// What the slope leaves to be held at a speed on a stretch, N.
    fn pull(&self, degrees: f64, speed: f64) -> f64 {
        let (sine, cosine) = (libm::sin(degrees * DEGREE), libm::cos(degrees * DEGREE));
        self.mass * GRAVITY * (sine - self.rolling * cosine) - 0.5 * 1.225 * DRAG_AREA * speed * speed
    }

    /// Force of the tyres at a slip, N: a brush to its peak, level beyond; driving when it is negative.
    fn tyre(&self, degrees: f64, slip: f64) -> f64 {
        let full = 3.0 * self.peak / self.stiffness;
        let left = 1.0 - (slip.abs() / full).min(1.0);
        let force = self.peak * self.mass * GRAVITY * libm::cos(degrees * DEGREE);
        slip.signum() * force * (1.0 - left * left * left)
    }

    /// Rim speed with which the first stretch is entered: what engine, tyre and slope agree on.
    fn entered(&self) -> f64 {
        let degrees = self.legs[0].1;
        let (mut low, mut high) = (0.0, 1.0 - self.creep() / self.entry);
        for _ in 0..60 {
            let slip = f64::midpoint(low, high);
            let turning = self.turning * (1.0 - slip);
            let wanted = (self.mass * self.engine(self.entry * (1.0 - slip))
                + turning * self.pull(degrees, self.entry))
                / (self.mass + turning);
            if self.tyre(degrees, slip) < wanted { low = slip } else { high = slip }
        }
        self.entry * (1.0 - low)
    }
}

/// What the two masses come to.
struct Followed {
    foot: f64,
    top: f64,
    ground: f64,
    engine: f64,
    /// Energy that went through all together, J.
    whole: f64,
}

/// Runge and Kutta's fourth order on speed and rim, by time.
fn followed(case: &Case3) -> Followed {
    let (mut speed, mut rim) = (case.entry, case.entered());
    let mut told = Followed { foot: 0.0, top: speed, ground: 0.0, engine: 0.0, whole: 0.0 };
    told.whole = 0.5 * (case.mass * speed * speed + case.turning * rim * rim);
    for (length, degrees) in case.legs {
        told.whole += case.mass * GRAVITY * length * libm::sin(degrees * DEGREE);
        let rates = |speed: f64, rim: f64| {
            let tyre = case.tyre(degrees, 1.0 - rim / speed);
            let net = tyre - case.engine(rim);
            // The governor does not let the engine fall below idle.
            let held = rim <= case.creep() && net < 0.0;
            let slows = (case.pull(degrees, speed) - tyre) / case.mass;
            (
                slows,
                if held { 0.0 } else { net / case.turning },
                tyre,
                if held { tyre } else { case.engine(rim) },
            )
        };
        let mut place = 0.0;
        while place < length {
            let quick = case.stiffness * GRAVITY / speed * (1.0 + case.mass / case.turning);
            let step = (0.4 / quick).min((length - place) / speed + 1e-9);
            let a = rates(speed, rim);
            let b = rates(speed + 0.5 * step * a.0, rim + 0.5 * step * a.1);
            let c = rates(speed + 0.5 * step * b.0, rim + 0.5 * step * b.1);
            let d = rates(speed + step * c.0, rim + step * c.1);
            let mean =
                |of: fn(&(f64, f64, f64, f64)) -> f64| (of(&a) + 2.0 * of(&b) + 2.0 * of(&c) + of(&d)) / 6.0;
            told.ground += step * mean(|r| r.2) * (speed - rim);
            told.engine += step * mean(|r| r.3) * rim;
            let before = speed;
            speed += step * mean(|r| r.0);
            place += step * f64::midpoint(before, speed);
            rim = (rim + step * mean(|r| r.1)).max(case.creep());
            told.top = told.top.max(speed);
        }
    }
    told.foot = speed;
    told
}

fn by_engine(case: &Case3) -> slopepack::engine::Run {
    let body = Body {
        mass: case.mass,
        wheels: WHEELS,
        drag_area: DRAG_AREA,
        air: 1.225,
        gravity: GRAVITY,
        wheelbase: 2.7,
        to_front: 1.3,
        height: 0.7,
    };
    let footing = Footing {
        curve: SlipCurve { peak: case.peak, sliding: case.peak, stiffness: case.stiffness },
        rolling: case.rolling,
        loose: false,
    };
    let legs = case.legs.iter().map(|(length, degrees)| Leg::straight(*length, degrees * DEGREE, footing));
    let profile = Profile { legs: legs.collect(), run_out: None, side_room: 10.0 };
    let far = IDLE + 200.0;
    let drive = Drive {
        drag: EngineDrag::Measured(vec![(IDLE, case.drag[0]), (far, case.drag[0] + 200.0 * case.drag[1])]),
        case: Case::Likely,
        ratio: case.ratio,
        circumference: AROUND,
        efficiency: EFFICIENCY,
        idle: IDLE,
        highest: 120.0,
        inertia: (case.turning - WHEELS) * RADIUS * RADIUS / (case.ratio * case.ratio),
        converter: None,
        hold: Wheels::All.into(),
    };
    geared(&body, &profile, &drive, case.entry)
}

prop_compose! {
    fn any_case()(
        mass in 1500.0..4000.0f64,
        heavy in 0.15..2.0f64,
        ratio in 18.0..70.0f64,
        drag in 15.0..60.0f64,
        rise in 0.2..1.2f64,
        peak in 0.4..0.9f64,
        firm in any::<bool>(),
        rolling in 0.01..0.06f64,
        steep in 0.45..0.92f64,
        (first, last) in (2.0..14.0f64, 0.5..7.0f64),
        lengths in (6.0..30.0f64, 6.0..40.0f64, 4.0..25.0f64),
        fast in 1.1..2.0f64,
    ) -> Case3 {
        // As steep as the grip nearly holds: there slip is large and a flatter stretch takes it away.
        let middle = libm::atan(steep * peak + rolling) / DEGREE;
        let mut case = Case3 {
            mass, turning: WHEELS + heavy * mass, ratio, drag: [drag, rise], peak,
            stiffness: if firm { 10.0 } else { 5.0 }, rolling,
            legs: [(lengths.0, first), (lengths.1, middle), (lengths.2, last)],
            entry: 0.0,
        };
        case.entry = fast * case.creep() / (1.0 - 3.0 * peak / case.stiffness).max(0.5);
        case
    }
}

#[test]
fn rims_keep_their_own_speed_where_the_ground_changes() {
    let counted = Cell::new(0);
    runner(160)
        .run(&any_case(), |case| {
            let run = by_engine(&case);
            if run.outcome == Outcome::WheelsSlide || run.top_speed > 12.0 {
                return Ok(());
            }
            counted.set(counted.get() + 1);
            let told = followed(&case);
            let off = |a: f64, b: f64| a / b - 1.0;
            // A flatter stretch leaves a small rest of a large speed: what is off is a part of the large one.
            let foot = (run.end_speed - told.foot).abs() / told.top;
            prop_assert!(foot < 5e-3, "foot {} {}: {case:?}", run.end_speed, told.foot);
            prop_assert!(
                off(run.top_speed, told.top).abs() < 5e-3,
                "top {} {}: {case:?}",
                run.top_speed,
                told.top
            );
            let ledger = run.ledger;
            // What the governor gives where the slope alone would not keep it moving.
            let engine = ledger.engine + ledger.driveline - ledger.fuel;
            prop_assert!(
                (ledger.ground - told.ground).abs() < 5e-3 * told.whole,
                "ground {} {}: {case:?}",
                ledger.ground,
                told.ground
            );
            prop_assert!(
                (engine - told.engine).abs() < 5e-3 * told.whole,
                "engine {engine} {}: {case:?}",
                told.engine
            );
            prop_assert!(ledger.residual().abs() < 1e-9);
            Ok(())
        })
        .unwrap();
    assert!(counted.get() > 60, "{} followed", counted.get());
}
