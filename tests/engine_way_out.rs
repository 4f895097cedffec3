//! A line that leans is judged on its way out as well: straight down, in the gear of the line.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use std::cell::Cell;

use proptest::prelude::*;
use slopepack::course::{Course, Gearbox, Ground, Lock, Slope, Stretch};
use slopepack::engine::{Differential, Mark, Measure, Pair, What, fall_line, leans, reckon, way_out};
use slopepack::quantity::Angle;

use crate::engine_corners::{PAIRS, any_place, runner};
use crate::engine_courses::{DEGREE, course, escape, slope, surface, vehicle};

/// Firm dry ground with a slope that leans so far.
fn leaning(along: f64, across: f64) -> Course {
    let mut place = slope("place", "ground", 30.0, along);
    place.cross_slope = Angle::new(across * DEGREE);
    course(vec![surface("ground", Ground::Firm, 0.7, 0.6, 0.04)], vec![place], vec![vehicle("wagon")])
}

fn only(course: &Course) -> Pair {
    reckon(course).pairs.remove(0)
}

#[test]
fn nobody_is_judged_on_a_line_that_leans_before_its_way_out_is_measured() {
    let mut course = leaning(8.0, 6.0);
    let missing = only(&course).judged;
    assert_eq!(missing.mark, Mark::NotJudged);
    assert_eq!(missing.first().unwrap().what, What::WayOutMissing);
    assert!(missing.measure.contains(&Measure::WayOut));
    course.slopes[0].escape = Some(escape(10.0, None));
    let measured = only(&course).judged;
    assert!(measured.mark.goes(), "{measured:?}");
    assert!(!measured.measure.contains(&Measure::WayOut));
    // Two degrees are no line across a slope.
    assert!(only(&leaning(8.0, 2.0)).judged.mark.goes());
}

#[test]
fn a_gear_is_driven_along_only_where_it_holds_straight_down() {
    let mut course = leaning(6.0, 6.0);
    course.slopes[0].escape = Some(escape(30.0, Some(6.0)));
    let gentle = only(&course).judged;
    course.slopes[0].escape = Some(escape(30.0, Some(22.0)));
    let steep = only(&course).judged;
    let ratio = |judged: &slopepack::engine::Judgement| judged.gear.map(|gear| gear.ratio.si());
    assert!(gentle.mark.goes() && gentle.mark < steep.mark, "{gentle:?}\n{steep:?}");
    assert!(ratio(&gentle) <= ratio(&steep), "{gentle:?}\n{steep:?}");
    let first = steep.first().unwrap();
    assert!(first.on_way_out, "{first:?}");
    assert!(steep.way_out.unwrap().top_speed.high > gentle.way_out.unwrap().top_speed.high);
}

/// The fall line of a plane, by its normal: 9° down along the line and 8° across it.
#[test]
fn the_fall_line_is_that_of_a_plane() {
    let course = leaning(9.0, 8.0);
    let (along, across) = ((9.0 * DEGREE).tan(), (8.0 * DEGREE).tan());
    // Normal (tan a, tan b, 1): the angle to the vertical is that of the fall line.
    let normal = (along * along + across * across + 1.0_f64).sqrt();
    let expected = (1.0 / normal).acos();
    assert!((fall_line(&course.slopes[0]) - expected).abs() < 1e-9);
    assert!((expected / DEGREE - 11.96).abs() < 0.02, "{}", expected / DEGREE);
}

/// Locked together, the wheels of an axle slide down the hill together: the lock is out on a line that leans, and the
/// figures are those of a vehicle without one.
#[test]
fn an_axle_lock_is_out_on_a_line_that_leans() {
    let mut course = leaning(8.0, 6.0);
    course.slopes[0].escape = Some(escape(10.0, None));
    course.vehicles[0].transmission.differentials.front = Lock::Open;
    let lockable = only(&course).judged;
    course.vehicles[0].transmission.differentials.rear = Lock::Open;
    let open = only(&course).judged;
    assert!(lockable.mark.goes(), "{lockable:?}");
    assert_eq!(lockable.unlock, [Differential::Rear]);
    assert_eq!(lockable.lock, [Differential::Centre]);
    assert!(open.unlock.is_empty(), "{open:?}");
    assert_eq!((lockable.mark, lockable.gear, lockable.axles), (open.mark, open.gear, open.axles));
    // On a bump, straight down, it is what keeps the axle's hold.
    course.slopes[0].cross_slope = Angle::new(0.0);
    course.slopes[0].bump = Some(slopepack::quantity::Length::new(0.08));
    course.vehicles[0].transmission.differentials.rear = Lock::Locked;
    let straight = only(&course).judged;
    assert_eq!(straight.lock, [Differential::Centre, Differential::Rear]);
    assert!(straight.unlock.is_empty());
}

/// The way out by itself, as anybody would write it down: a course of its own with one straight slope.
fn alone(course: &Course) -> Pair {
    let mut other = course.clone();
    let leaning = &course.slopes[0];
    let out = leaning.escape.as_ref().unwrap();
    let gradient = out.gradient.unwrap_or_else(|| Angle::new(fall_line(leaning)));
    other.slopes = vec![Slope {
        stretches: vec![Stretch { length: out.length, gradient }],
        cross_slope: Angle::new(0.0),
        heading: Angle::new(0.0),
        bump: None,
        escape: None,
        run_out: Some(out.run_out.clone()),
        ..leaning.clone()
    }];
    only(&other)
}

#[test]
fn whatever_drives_a_line_that_leans_also_drives_its_way_out() {
    let (seen, stricter) = (Cell::new(0), Cell::new(0));
    runner(4 * PAIRS)
        .run(&any_place(), |(surface, mut place, mut vehicle)| {
            vehicle.transmission.gearbox = Gearbox::Manual;
            if !leans(&place) {
                place.cross_slope = Angle::new(4.0 * DEGREE);
            }
            let mut course = course(vec![surface], vec![place], vec![vehicle]);
            let judged = only(&course).judged;
            if judged.mark.goes() {
                let out = alone(&course);
                let of_gear = out.judged.gears.iter().find(|(gear, _)| Some(*gear) == judged.gear).unwrap().1;
                let same = out.judged.mark == Mark::WithBrake && out.judged.gear == judged.gear;
                let fits = match judged.mark {
                    Mark::WithBrake => of_gear.goes() || same || out.judged.gear != judged.gear,
                    mark => of_gear <= mark,
                };
                prop_assert!(fits, "{:?} in {:?}: {of_gear:?} there", judged.mark, judged.gear);
                seen.set(seen.get() + 1);
            } else if judged.first().is_some_and(|one| one.on_way_out) {
                course.slopes[0].escape.as_mut().unwrap().gradient = Some(Angle::new(0.0));
                prop_assert!(only(&course).judged.mark <= judged.mark);
                stricter.set(stricter.get() + 1);
            }
            Ok(())
        })
        .unwrap();
    assert!(seen.get() > 40 && stricter.get() > 5, "{} driven, {} refused", seen.get(), stricter.get());
}

#[test]
fn a_line_straight_down_has_no_way_out_of_its_own() {
    let mut course = leaning(12.0, 0.0);
    let plain = only(&course);
    course.slopes[0].escape = Some(escape(5.0, Some(40.0)));
    assert_eq!(way_out(&course.slopes[0]), None);
    assert_eq!(only(&course), plain);
}
