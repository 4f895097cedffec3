//! What must hold on every course, whoever wrote it.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use std::cell::Cell;

use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::{Config, TestRunner};
use slopepack::course::{Band, Course, Gear, Gearbox, Ground, Slope, Surface, Vehicle};
use slopepack::engine::{
    Balance, Body, Case, Drive, Outcome, Profile, Reckoning, Run, Spread, Standing, Way, geared,
    overall_ratio_of, reckon,
};
use slopepack::quantity::{Angle, Length, Mass, Speed};

use crate::engine_courses::{any_slope, any_surface, any_vehicle, course};

/// The same cases on every machine and every day.
fn runner(cases: u32) -> TestRunner {
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    TestRunner::new_with_rng(
        config,
        proptest::test_runner::TestRng::deterministic_rng(proptest::test_runner::RngAlgorithm::ChaCha),
    )
}

fn of(surface: Surface, slope: Slope, vehicle: Vehicle) -> (Course, Reckoning) {
    let course = course(vec![surface], vec![slope], vec![vehicle]);
    let reckoning = reckon(&course);
    (course, reckoning)
}

fn any_place() -> impl Strategy<Value = (Surface, Slope, Vehicle)> {
    (any_surface(), any_slope(), any_vehicle())
}

/// Ground, slopes and vehicles beyond what anybody drives: ice, cliffs, a metre and a kilometre, half a tonne and
/// sixty, over the brow at a run.
fn any_extreme() -> impl Strategy<Value = (Surface, Slope, Vehicle)> {
    let far = (0.03..1.3f64, -1.0..2.5f64, -0.7..1.3f64, 0.0..2.0f64, 0.0..5.0f64);
    (any_place(), far).prop_map(
        |((mut surface, mut slope, mut vehicle), (grip, long, heavy, steep, fast))| {
            let times = |band: Band, factor: f64| {
                Band::new(factor * band.low, factor * band.likely, factor * band.high)
            };
            surface.peak = times(surface.peak, grip);
            surface.sliding = times(surface.sliding, grip);
            for stretch in &mut slope.stretches {
                stretch.length = Length::new(stretch.length.si() * libm::pow(10.0, long / 2.0));
                stretch.gradient = Angle::new((stretch.gradient.si() * steep).min(1.5));
            }
            slope.entry_speed = Speed::new(slope.entry_speed.si() * fast);
            vehicle.mass = Mass::new(vehicle.mass.si() * libm::pow(10.0, heavy));
            (surface, slope, vehicle)
        },
    )
}

#[test]
fn the_account_of_twenty_thousand_random_descents_closes_and_no_part_of_it_is_negative() {
    let counted = Cell::new(0_u32);
    let place = prop_oneof![any_place(), any_extreme()];
    runner(900)
        .run(&place, |(surface, slope, vehicle)| {
            let (_, reckoning) = of(surface, slope, vehicle);
            for told in &reckoning.pairs[0].ways {
                for run in told.descent.runs().into_iter().chain(&told.descent.dragged) {
                    let (ledger, way) = (&run.ledger, told.descent.way);
                    let residual = ledger.residual().abs();
                    prop_assert!(residual <= 1e-9, "{way} {:?}: {residual} {run:?}", told.descent.gear);
                    let parts =
                        ledger.sinks().into_iter().chain([("in", ledger.fuel), ("entry", ledger.entry)]);
                    for (name, energy) in parts {
                        prop_assert!(energy >= 0.0 && energy.is_finite(), "{name} {energy}: {way} {run:?}");
                    }
                    prop_assert!(run.braking >= ledger.brakes, "{run:?}");
                    counted.set(counted.get() + 1);
                }
            }
            Ok(())
        })
        .unwrap();
    assert!(counted.get() >= 20_000, "only {} descents", counted.get());
}

#[test]
fn a_spread_is_in_order_and_every_figure_is_a_number() {
    let ordered = |spread: Spread| {
        spread.low <= spread.likely && spread.likely <= spread.high && spread.high.is_finite()
    };
    runner(150)
        .run(&any_place(), |(surface, slope, vehicle)| {
            let (_, reckoning) = of(surface, slope, vehicle);
            let pair = &reckoning.pairs[0];
            for told in &pair.ways {
                let d = &told.descent;
                for spread in [d.top_speed, d.foot_speed, d.distance, d.time] {
                    prop_assert!(ordered(spread), "{spread:?}");
                }
                // What is printed as a range holds every corner that was followed.
                let within = |spread: Spread, value: f64| spread.low <= value && value <= spread.high;
                for run in d.runs().into_iter().chain(&d.dragged) {
                    prop_assert!(within(d.top_speed, run.top_speed), "{d:?}");
                    prop_assert!(within(d.foot_speed, run.foot_speed.unwrap_or(0.0)), "{d:?}");
                    let spins = d.top_spin.zip(run.top_spin);
                    prop_assert!(spins.is_none_or(|(spread, spin)| within(spread, spin)), "{d:?}");
                }
            }
            for gear in &reckoning.vehicles[0].gears {
                prop_assert!(ordered(gear.holds_at_idle) && ordered(gear.holds_at_highest));
            }
            for told in pair.gears() {
                // While wheels grip the unfavourable end is the fast one.
                let d = &told.descent;
                if d.runs().iter().any(|run| run.outcome == Outcome::WheelsSlide) {
                    continue;
                }
                prop_assert!(d.unfavourable.top_speed >= d.likely.top_speed * (1.0 - 1e-6), "{d:?}");
                prop_assert!(d.likely.top_speed >= d.favourable.top_speed * (1.0 - 1e-6), "{d:?}");
            }
            serde_json::to_string(&reckoning).unwrap();
            Ok(())
        })
        .unwrap();
}

/// Steady wheels that grip: the only ones gearing can slow.
fn settles(balance: &Balance) -> Option<f64> {
    balance.speed()
}

#[test]
fn a_lower_gear_is_never_faster_while_wheels_grip() {
    runner(300)
        .run(&any_place(), |(surface, slope, vehicle)| {
            let (_, reckoning) = of(surface, slope, vehicle.clone());
            let mut gears: Vec<_> = reckoning.pairs[0]
                .gears()
                .map(|told| (overall_ratio_of(&vehicle, told.descent.gear.unwrap()), &told.descent))
                .collect();
            gears.sort_by(|a, b| b.0.total_cmp(&a.0));
            for pair in gears.windows(2) {
                let [(_, low), (_, high)] = pair else { unreachable!() };
                let balances = (low.balance.unwrap(), high.balance.unwrap());
                for (lower, higher) in balances.0.iter().zip(&balances.1) {
                    if let (Some(lower), Some(higher)) = (settles(lower), settles(higher)) {
                        prop_assert!(lower <= higher * (1.0 + 1e-9), "{lower} {higher}");
                    }
                }
                let gripping = |run: &Run| run.outcome != Outcome::WheelsSlide;
                if gripping(&low.likely) && gripping(&high.likely) {
                    prop_assert!(
                        low.likely.top_speed <= high.likely.top_speed * (1.0 + 1e-6),
                        "{:?} {} {:?} {}",
                        low.gear,
                        low.likely.top_speed,
                        high.gear,
                        high.likely.top_speed
                    );
                }
            }
            Ok(())
        })
        .unwrap();
}

/// One gear of a vehicle on one leg.
fn balance(course: &Course, vehicle: &Vehicle, gear: Gear, case: Case) -> Balance {
    let profile = Profile::of(course, &course.slopes[0], case);
    Balance::of(&Body::of(vehicle), profile.steepest(), &Drive::of(vehicle, gear, case))
}

/// How fast a gear comes to be: its balance, or faster than any when there is none.
fn pace(balance: &Balance) -> f64 {
    balance.speed().unwrap_or(f64::INFINITY)
}

#[test]
fn steeper_is_never_slower_and_heavier_is_never_slower() {
    let place = (any_surface(), any_slope(), any_vehicle(), 0.1..8.0f64, 1.01..1.6f64, any::<Index>());
    runner(400)
        .run(&place, |(surface, mut slope, vehicle, more, factor, which)| {
            slope.heading = Angle::new(0.0);
            slope.stretches.truncate(1);
            let gears = vehicle.gears();
            let gear = gears[which.index(gears.len())];
            let mut steeper = slope.clone();
            let angle = steeper.stretches[0].gradient.si() + more.to_radians();
            steeper.stretches[0].gradient = Angle::new(angle);
            let plain = course(vec![surface.clone()], vec![slope], vec![vehicle.clone()]);
            let steep = course(vec![surface], vec![steeper], vec![vehicle.clone()]);
            let heavy = Vehicle { mass: Mass::new(vehicle.mass.si() * factor), ..vehicle.clone() };
            for case in Case::ALL {
                let (a, b) = (balance(&plain, &vehicle, gear, case), balance(&steep, &vehicle, gear, case));
                prop_assert!(pace(&a) <= pace(&b) * (1.0 + 1e-9), "steeper: {a:?} {b:?}");
                let c = balance(&plain, &heavy, gear, case);
                let runs_up = |x: &Balance| !matches!(x, Balance::HeldAtIdle { .. });
                if runs_up(&a) && !matches!(a, Balance::GripLost { .. }) {
                    // Slip is by load, so a heavier vehicle slips no more; only the balance counts.
                    prop_assert!(pace(&a) <= pace(&c) * (1.0 + 1e-9), "heavier: {a:?} {c:?}");
                }
            }
            Ok(())
        })
        .unwrap();
}

#[test]
fn locked_wheels_steer_nothing_on_firm_ground_and_turning_ones_claim_no_more_than_there_is() {
    runner(300)
        .run(&any_place(), |(surface, slope, vehicle)| {
            let firm = surface.ground == Ground::Firm;
            let (course, reckoning) = of(surface.clone(), slope, vehicle.clone());
            let pair = &reckoning.pairs[0];
            if let Some(told) = pair.way(Way::Locked) {
                for run in told.descent.runs() {
                    prop_assert_eq!(run.steering, firm.then_some(0.0));
                }
                prop_assert!(!told.verdict.within_limits);
            }
            let weight = vehicle.mass.si() * 9.80665;
            for told in pair.gears() {
                for (case, run) in Case::ALL.into_iter().zip(told.descent.runs()) {
                    let profile = Profile::of(&course, &course.slopes[0], case);
                    let press: f64 =
                        profile.legs.iter().map(slopepack::engine::Leg::press).fold(0.0, f64::max);
                    let best = case.of(surface.peak);
                    let whole = Drive::of(&vehicle, told.descent.gear.unwrap(), case)
                        .hold
                        .wheels
                        .whole(best, &Body::of(&vehicle));
                    prop_assert!(run.force_there <= weight * press * whole * (1.0 + 1e-9));
                    let ledger = &run.ledger;
                    // All retarding work of the tyres over the distance is a force the ground had.
                    let most = best.max(case.of(surface.sliding));
                    let most = Drive::of(&vehicle, told.descent.gear.unwrap(), case)
                        .hold
                        .wheels
                        .whole(most, &Body::of(&vehicle));
                    let bound = weight * press * most * run.distance * (1.0 + 1e-9) + 1e-6;
                    prop_assert!(ledger.ground <= bound, "{run:?}");
                    if run.outcome != Outcome::WheelsSlide {
                        // What turned with the vehicle also ends in the engine.
                        let work = ledger.ground + ledger.engine + ledger.driveline;
                        prop_assert!(work <= bound + ledger.entry + ledger.fuel, "{run:?}");
                    }
                    if let Some(share) = run.steering {
                        prop_assert!((0.0..=1.0).contains(&share));
                    }
                }
            }
            Ok(())
        })
        .unwrap();
}

#[test]
fn an_unlocked_converter_is_never_promised_to_hold_at_idle() {
    runner(200)
        .run(&any_place(), |(surface, slope, mut vehicle)| {
            vehicle.transmission.gearbox = Gearbox::AutomaticUnlocked;
            let (_, reckoning) = of(surface, slope, vehicle);
            let pair = &reckoning.pairs[0];
            for told in pair.gears() {
                prop_assert!(told.descent.runs().iter().all(|run| run.outcome != Outcome::HeldAtIdle));
                prop_assert!(!told.verdict.within_limits);
                for balance in told.descent.balance.unwrap() {
                    let held = matches!(balance, Balance::HeldAtIdle { .. });
                    prop_assert!(!held);
                }
            }
            prop_assert_ne!(pair.standing, Standing::InGear);
            Ok(())
        })
        .unwrap();
}

#[test]
fn a_long_even_slope_ends_at_the_balance_it_promises() {
    runner(40)
        .run(&any_place(), |(surface, mut slope, vehicle)| {
            slope.stretches.truncate(1);
            slope.stretches[0].length = slopepack::quantity::Length::new(8_000.0);
            let course = course(vec![surface], vec![slope], vec![vehicle.clone()]);
            for gear in vehicle.gears() {
                let profile = Profile::of(&course, &course.slopes[0], Case::Likely);
                let drive = Drive::of(&vehicle, gear, Case::Likely);
                let body = Body::of(&vehicle);
                let run = geared(&body, &profile, &drive, 1.0);
                let slow = balance(&course, &vehicle, gear, Case::Likely).speed().filter(|v| *v < 4.0);
                let settles = matches!(run.outcome, Outcome::HeldAtIdle | Outcome::RunsUpAndBalances);
                if let Some(speed) = slow.filter(|_| settles) {
                    let off = (run.end_speed / speed - 1.0).abs();
                    prop_assert!(off < 1e-3, "{gear}: ends at {}, balance {speed}", run.end_speed);
                }
            }
            Ok(())
        })
        .unwrap();
}
