//! Room under a vehicle: published definitions of the angles, a second calculation that puts it down by trying, verdicts.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use slopepack::course::{
    Brow, Course, Danger, DangerKind, Ground, LowPoint, Slope, Step, Stretch, Survey, Underside, Vehicle,
};
use slopepack::engine::{Bend, Mark, Measure, Room, Under, What, reckon, room_under};
use slopepack::quantity::{Angle, Length};

use crate::engine_courses::{course, slope, stretch, surface, vehicle};
use crate::engine_published::{Answer, DEGREE, Inputs, check};

fn low(from_axle: Option<f64>, height: f64) -> LowPoint {
    LowPoint { from_axle: from_axle.map(Length::new), height: Length::new(height) }
}

fn measured_exactly(mut slope: Slope) -> Slope {
    slope.survey = Some(Survey { by: None, date: None, instrument: None, reads_to: Some(Angle::new(0.0)) });
    slope
}

/// A slope of these lengths and degrees between level ground and a run-out of these degrees.
fn ground(stretches: &[(f64, f64)], before: f64, beyond: f64) -> Slope {
    let mut slope = measured_exactly(slope("place", "ground", 1.0, 1.0));
    slope.stretches = stretches.iter().map(|(length, degrees)| stretch(*length, *degrees)).collect();
    slope.brow.before = Angle::new(before * DEGREE);
    slope.run_out.as_mut().unwrap().gradient = Angle::new(beyond * DEGREE);
    slope
}

fn wagon(wheelbase: f64, hub: f64) -> Vehicle {
    let mut wagon = vehicle("wagon");
    wagon.wheelbase = Length::new(wheelbase);
    wagon.underside =
        Some(Underside { hub: Length::new(hub), nose: Vec::new(), belly: Vec::new(), tail: Vec::new() });
    wagon
}

fn of(slope: &Slope, vehicle: &Vehicle) -> Course {
    course(vec![surface("ground", Ground::Firm, 0.7, 0.6, 0.04)], vec![slope.clone()], vec![vehicle.clone()])
}

fn room(slope: &Slope, vehicle: &Vehicle, under: Under) -> Room {
    let course = of(slope, vehicle);
    let rooms = room_under(&course, slope, vehicle);
    *rooms.iter().find(|room| room.under == under).unwrap_or_else(|| panic!("{under:?} of {rooms:?}"))
}

/// The greatest value at which it still clears, by halving.
fn most(mut low: f64, mut high: f64, clears: impl Fn(f64) -> bool) -> f64 {
    assert!(clears(low) && !clears(high));
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if clears(middle) { low = middle } else { high = middle }
    }
    low
}

fn answer(quantity: &str, inputs: &Inputs) -> Answer {
    let num = |key| inputs.num(key);
    match quantity {
        "overhang_angle" => {
            // Down a plane onto level ground the nose clears what its angle says, and up onto it the tail.
            let mut vehicle = wagon(2.6, num("radius"));
            vehicle.underside.as_mut().unwrap().nose = vec![low(Some(num("d")), num("h"))];
            vehicle.underside.as_mut().unwrap().tail = vec![low(Some(num("d")), num("h"))];
            let [nose, tail] = [Under::Nose, Under::Tail].map(|under| {
                most(5.0, 55.0, |degrees| {
                    room(&ground(&[(40.0, degrees)], degrees, 0.0), &vehicle, under).spare() > 0.0
                })
            });
            assert!((nose - tail).abs() < 1e-3, "{nose} and {tail}");
            nose.into()
        }
        "ramp_angle" => {
            let wheelbase = num("wheelbase");
            let mut vehicle = wagon(wheelbase, num("radius"));
            let at = inputs.or("x", wheelbase / 2.0);
            vehicle.underside.as_mut().unwrap().belly = vec![low(Some(at), num("c"))];
            let clears = |degrees| {
                room(&ground(&[(40.0, degrees)], 0.0, degrees), &vehicle, Under::Belly).spare() > 0.0
            };
            most(3.0, 50.0, clears).into()
        }
        "crest_radius" => {
            let mut vehicle = wagon(num("wheelbase"), num("radius"));
            vehicle.underside.as_mut().unwrap().belly = vec![low(None, num("c"))];
            let touches = |radius: f64| {
                // An arc of 60 degrees, longer than any of the wheelbases.
                let mut round = ground(&[(40.0, 40.0)], -20.0, 40.0);
                round.brow.rounded = Some(Length::new(radius * 60.0 * DEGREE));
                room(&round, &vehicle, Under::Belly).spare() <= 0.0
            };
            most(2.0, 12.0, touches).into()
        }
        _ => panic!("{quantity} is not known"),
    }
}

#[test]
fn a_vehicle_clears_what_its_angles_say() {
    check(include_str!("published/clearance.csv"), 13, answer);
}

/// The ground as a cloud of points a centimetre apart: nothing of the program's geometry is in it.
struct Cloud {
    points: Vec<[f64; 2]>,
    /// Height of a hub over every centimetre.
    hubs: Vec<f64>,
}

impl Cloud {
    fn of(slope: &Slope, radius: f64) -> Self {
        let mut line = vec![[0.0, 0.0]];
        let mut to = |length: f64, pitch: f64| {
            let [x, z]: [f64; 2] = *line.last().unwrap();
            line.push([x + length * pitch.cos(), z - length * pitch.sin()]);
        };
        to(12.0, slope.brow.before.si());
        for Stretch { length, gradient } in &slope.stretches {
            to(length.si(), gradient.si());
        }
        to(14.0, slope.run_out.as_ref().unwrap().gradient.si());
        let mut points = Vec::new();
        for pair in line.windows(2) {
            let ([x, z], [to_x, to_z]) = (pair[0], pair[1]);
            let pieces = ((to_x - x) / 0.01).ceil();
            let mut at = 0.0;
            while at < pieces {
                points.push([x + (to_x - x) * at / pieces, z + (to_z - z) * at / pieces]);
                at += 1.0;
            }
        }
        let end = points.last().unwrap()[0];
        let mut cloud = Self { points, hubs: Vec::new() };
        let mut x = 0.0;
        while x < end {
            cloud.hubs.push(cloud.put_down(x, radius));
            x += 0.01;
        }
        cloud
    }

    fn between(&self, low: f64, high: f64) -> &[[f64; 2]] {
        let from = self.points.partition_point(|[x, _]| *x < low);
        let to = self.points.partition_point(|[x, _]| *x <= high);
        &self.points[from..to]
    }

    fn put_down(&self, x: f64, radius: f64) -> f64 {
        let over = |[at, z]: &[f64; 2]| z + (radius * radius - (at - x) * (at - x)).max(0.0).sqrt();
        self.between(x - radius, x + radius).iter().map(over).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Between the nearest centimetres.
    fn hub(&self, x: f64) -> f64 {
        let at = x / 0.01;
        let part = at - at.floor();
        let whole = at.floor() as usize;
        self.hubs[whole] * (1.0 - part) + self.hubs[whole + 1] * part
    }

    /// How high the ground comes under a stretch of the underside, from here to there ahead of the front hub, wherever it
    /// drives.
    fn rise(&self, (wheelbase, radius): (f64, f64), [from, to]: [f64; 2]) -> f64 {
        let end = self.points.last().unwrap()[0];
        let (mut x, mut highest) = (5.0, 0.0_f64);
        while x < end - 3.0 {
            let front = self.hub(x);
            let (mut near, mut far) = (0.2, wheelbase);
            for _ in 0..24 {
                let back = f64::midpoint(near, far);
                let apart = back.hypot(front - self.hub(x - back));
                if apart < wheelbase { near = back } else { far = back }
            }
            let tilt = (front - self.hub(x - near)).atan2(near);
            let (up, along) = tilt.sin_cos();
            // A place of the underside is level with the ground's point when turned back by the tilt.
            let reach = from.abs().max(to.abs()) + 1.0;
            for [at, z] in self.between(x - reach, x + reach) {
                let (dx, dz) = (at - x, z - front);
                let ahead = dx * along + dz * up;
                if ahead >= from - 0.006 && ahead <= to + 0.006 {
                    highest = highest.max(dz * along - dx * up + radius);
                }
            }
            x += 0.04;
        }
        highest
    }
}

/// A thousand profiles; what the program finds in closed form a cloud of points finds by trying.
#[test]
fn a_thousand_profiles_leave_the_room_that_trying_finds() {
    let config = Config { cases: 1000, failure_persistence: None, ..Config::default() };
    let mut runner = TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let places = (
        prop::collection::vec((2.0..5.0_f64, 2.0..32.0_f64), 1..4),
        -6.0..10.0_f64,
        -8.0..6.0_f64,
        (2.0..3.4_f64, 0.3..0.5_f64),
        (0.4..1.3_f64, 0.0..1.0_f64, 0.5..1.6_f64),
    );
    let outcome = runner.run(&places, |(stretches, before, beyond, (wheelbase, radius), (nose, belly, tail))| {
        let slope = ground(&stretches, before, beyond);
        let mut vehicle = wagon(wheelbase, radius);
        let own = vehicle.underside.as_mut().unwrap();
        own.nose = vec![low(Some(nose), 0.4)];
        own.belly = vec![low(if belly < 0.3 { None } else { Some(belly * wheelbase) }, 0.2)];
        own.tail = vec![low(Some(tail), 0.4)];
        let cloud = Cloud::of(&slope, radius);
        let belly_reach = if belly < 0.3 { [-wheelbase, 0.0] } else { [-belly * wheelbase; 2] };
        for (under, reach) in
            [(Under::Nose, [nose; 2]), (Under::Belly, belly_reach), (Under::Tail, [-wheelbase - tail; 2])]
        {
            let (found, tried) = (room(&slope, &vehicle, under).wanted, cloud.rise((wheelbase, radius), reach));
            prop_assert!(
                (found - tried).abs() < 0.012,
                "{under:?}: {found} found, {tried} tried on {stretches:?} from {before} to {beyond}, {wheelbase} {radius}"
            );
        }
        Ok(())
    });
    outcome.unwrap();
}

#[test]
fn what_touches_is_refused_and_the_bend_is_named() {
    let mut low_van = wagon(3.4, 0.33);
    low_van.underside.as_mut().unwrap().belly = vec![low(None, 0.19)];
    low_van.underside.as_mut().unwrap().nose = vec![low(Some(0.9), 0.45)];
    let gentle = ground(&[(30.0, 8.0)], 0.0, 0.0);
    let ridge = ground(&[(30.0, 16.0)], 0.0, 0.0);
    let judged = |slope: &Slope| reckon(&of(slope, &low_van)).pairs.remove(0);
    assert!(judged(&gentle).judged.mark.goes(), "{:?}", judged(&gentle).rooms);
    let pair = judged(&ridge);
    assert_eq!(pair.judged.mark, Mark::Refused);
    assert!(pair.judged.reasons.iter().any(|one| one.what == What::BellyTouches && one.decides), "{pair:?}");
    assert!(pair.judged.measure.contains(&Measure::Bends));
    let belly = room(&ridge, &low_van, Under::Belly);
    assert_eq!((belly.bend, belly.from_brow), (Bend::Brow, 0.0));
    // The same brow, rounded over a length that was measured.
    let mut rounded = ridge.clone();
    rounded.brow.rounded = Some(Length::new(5.0));
    assert!(judged(&rounded).judged.mark.goes(), "{:?}", judged(&rounded).rooms);
    // Whoever comes over ground that leads down already meets less of a brow.
    let mut led = ridge.clone();
    led.brow = Brow { before: Angle::new(8.0 * DEGREE), rounded: None };
    assert!(room(&led, &low_van, Under::Belly).spare() > belly.spare() + 0.05);
    // Nobody measured it: nothing is said.
    let mut unknown = low_van.clone();
    unknown.underside = None;
    assert!(reckon(&of(&ridge, &unknown)).pairs[0].rooms.is_empty());
}

#[test]
fn a_step_a_rut_and_a_coarse_instrument_take_their_part_of_the_room() {
    let mut vehicle = wagon(2.7, 0.39);
    vehicle.underside.as_mut().unwrap().belly = vec![low(None, 0.24)];
    let plain = ground(&[(30.0, 20.0)], 15.0, 15.0);
    let before = room(&plain, &vehicle, Under::Belly);
    let mut stepped = plain.clone();
    let at = Length::new(12.0);
    let step = Some(Step { at, height: Length::new(0.2) });
    stepped.hazards = vec![Danger { what: "a step".into(), kind: Some(DangerKind::Step), step }];
    let over_step = room(&stepped, &vehicle, Under::Belly);
    assert_eq!((over_step.bend, over_step.from_brow), (Bend::Step, 12.0));
    // As the front wheel stands on the lower ground against the step, its edge lies little lower than it is high.
    assert!((0.14..0.2).contains(&over_step.wanted), "{over_step:?}");
    let mut rutted = plain.clone();
    rutted.bump = Some(Length::new(0.08));
    assert!((room(&rutted, &vehicle, Under::Belly).wanted - before.wanted - 0.08).abs() < 1e-9);
    let mut coarse = plain;
    coarse.survey.as_mut().unwrap().reads_to = Some(Angle::new(2.0 * DEGREE));
    let sharper = room(&coarse, &vehicle, Under::Belly);
    // A brow sharper by two degrees comes up by a quarter of the wheelbase times the angle.
    let more = 2.7 / 4.0 * (2.0 * DEGREE).tan();
    assert!((sharper.wanted - before.wanted - more).abs() < 0.004, "{sharper:?} after {before:?}");
}
