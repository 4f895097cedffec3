//! Verdicts that were once surer than their figures, each as it was found.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use slopepack::course::{
    Driven, Fuel, Gearbox, Ground, Known, Lock, RunOut, Slope, Surface, Survey, Vehicle, library_surface,
};
use slopepack::engine::{
    CURVES, Case, Drive, End, EngineDrag, Judgement, Mark, Measure, Outcome, Reckoning, Tolerance, Way, What,
    reckon,
};
use slopepack::lesson::worked_examples;
use slopepack::quantity::{Angle, Displacement, Length, Mass, Share, Speed, SpinRate};

use crate::engine_courses::{
    DEGREE, KMH, course, differentials, escape, lenient, slope, stretch, surface, vehicle,
};

fn of(surface: Surface, slope: Slope, vehicle: Vehicle) -> Reckoning {
    reckon(&course(vec![surface], vec![slope], vec![vehicle]))
}

/// The same where every run near a limit is left to a foot over the brake.
fn leniently(surface: Surface, slope: Slope, vehicle: Vehicle) -> Judgement {
    let mut course = course(vec![surface], vec![slope], vec![vehicle]);
    course.limits.near = lenient();
    reckon(&course).pairs[0].judged.clone()
}

fn judged(surface: Surface, slope: Slope, vehicle: Vehicle) -> Judgement {
    of(surface, slope, vehicle).pairs[0].judged.clone()
}

/// A measured drag curve: rpm and N·m.
fn measured(points: &[(f64, f64)]) -> Vec<slopepack::course::DragPoint> {
    let point = |(rpm, torque): &(f64, f64)| slopepack::course::DragPoint {
        speed: SpinRate::new(rpm / 60.0),
        torque: slopepack::quantity::Torque::new(*torque),
    };
    points.iter().map(point).collect()
}

fn earth() -> Surface {
    surface("earth", Ground::Firm, 0.75, 0.65, 0.05)
}

/// A clinometer that reads to so many degrees.
fn surveyed(mut place: Slope, reads_to: f64) -> Slope {
    place.survey = Some(Survey {
        by: None,
        date: None,
        instrument: None,
        reads_to: Some(Angle::new(reads_to * DEGREE)),
    });
    place
}

#[test]
fn high_engine_drag_on_low_grip_decides_where_the_brow_is_crossed_fast() {
    let mut strong = vehicle("v");
    strong.engine.displacement = Displacement::new(4.0e-3);
    let mut place = slope("s", "slick", 30.0, 10.0);
    place.entry_speed = Speed::new(6.0 * KMH);
    let reckoning = of(surface("slick", Ground::Firm, 0.40, 0.35, 0.05), place, strong);
    let first = reckoning.pairs[0].gears().next().unwrap();
    let (free, dragged) = (first.descent.unfavourable, first.descent.dragged.unwrap());
    assert!(free.grip_share().unwrap() < 0.8 && dragged.grip_share().unwrap() > 0.8, "{free:?} {dragged:?}");
    let grip = first.verdict.broken.iter().find(|one| one.what == What::GripInHand).unwrap();
    assert_eq!((grip.corner.drag, grip.corner.grip), (End::High, End::Low));
}

#[test]
fn losses_of_the_driveline_prove_no_hold() {
    let gear = vehicle("v").gears()[0];
    assert!((Drive::of(&vehicle("v"), gear, Case::Unfavourable).efficiency - 1.0).abs() < 1e-12);
    let mut lossy = vehicle("v");
    lossy.transmission.efficiency = Known::given(Share::new(0.80));
    let of = |one| {
        of(earth(), slope("s", "earth", 40.0, 14.0), one).pairs[0]
            .gears()
            .next()
            .unwrap()
            .descent
            .unfavourable
    };
    assert!((of(lossy).top_speed / of(vehicle("v")).top_speed - 1.0).abs() < 1e-9);
}

#[test]
fn the_band_of_engine_drag_covers_the_published_curves_or_says_why_not() {
    // A bar of a litre of four-stroke is 7.957747 N·m. Published at 1000 rpm: 0.39, 1.01, 1.21, 1.58 bar.
    let bar = |torque: f64, litres: f64| torque / (7.957_747 * litres);
    let mut truck = vehicle("t").engine;
    (truck.fuel, truck.displacement) = (Fuel::Diesel, Displacement::new(7.7e-3));
    let at = |engine: &slopepack::course::Engine, rpm: f64| EngineDrag::of(engine).spread(rpm / 60.0);
    let spread = at(&truck, 1000.0);
    assert!(bar(spread.low, 7.7) <= 0.392 && bar(spread.high, 7.7) >= 1.579, "{spread:?}");
    assert!(at(&truck, 600.0).low <= 44.0, "44 N·m are published for this engine at 600 rpm");
    let mut light = vehicle("l").engine;
    (light.fuel, light.displacement, light.cylinders) =
        (Fuel::Diesel, Displacement::new(2.5e-3), Known::given(4));
    let spread = at(&light, 1000.0);
    assert!(bar(spread.low, 2.5) <= 1.012 && bar(spread.low, 2.5) > 0.39, "{spread:?}");
    let left: Vec<_> = CURVES.iter().filter_map(|curve| curve.left_out(&light)).collect();
    assert!(left.len() == 1 && left[0].contains("example"), "{left:?}");
    let petrol = vehicle("p").engine;
    assert!(CURVES.iter().all(|curve| curve.left_out(&petrol).is_some_and(|why| why.contains("throttle"))));
    // A measured curve narrows it.
    light.drag = measured(&[(700.0, 20.0), (3000.0, 45.0)]);
    let spread = at(&light, 700.0);
    assert!((spread.low - 18.0).abs() < 1e-9 && (spread.high - 22.0).abs() < 1e-9);
    // However fast it turns it is never easier to turn.
    for engine in [truck, petrol] {
        let torques: Vec<_> = (10..90_u8).map(|n| at(&engine, 50.0 * f64::from(n))).collect();
        assert!(
            torques
                .windows(2)
                .all(|two| two[0].low <= two[1].low + 1e-9 && two[0].high <= two[1].high + 1e-9)
        );
    }
}

#[test]
fn the_foot_brake_is_held_axle_by_axle_too() {
    let place = || slope("s", "earth", 30.0, 16.0);
    let share = |one: Vehicle| {
        let reckoning = of(earth(), place(), one);
        let told = reckoning.pairs[0].way(Way::Braked).unwrap().clone();
        (told.descent.unfavourable.grip_share().unwrap(), told.descent.unfavourable.axle.unwrap())
    };
    let mut open = vehicle("v");
    open.transmission.differentials = differentials(Lock::Open);
    open.brakes.front_share = Known::given(Share::new(0.85));
    let (tied, _) = share(vehicle("v"));
    let (shared, axle) = share(open);
    assert!(shared > 1.2 * tied, "{shared} {tied}");
    assert_eq!(axle, slopepack::engine::Axle::Front);
}

#[test]
fn wheels_lock_where_it_is_steep_and_fast() {
    let mut place = slope("s", "grass", 6.0, 6.0);
    place.stretches.push(stretch(30.0, 24.0));
    let grass = surface("grass", Ground::Firm, 0.42, 0.38, 0.05);
    let reckoning = of(grass, place, vehicle("v"));
    let pair = &reckoning.pairs[0];
    assert_eq!(pair.way(Way::Locked).unwrap().descent.outcome, Outcome::StopsOnSlope);
    let worst = pair.judged.locked.unwrap();
    assert_eq!(worst.place.stretch, 1, "{worst:?}");
    assert!(worst.foot_speed > 5.0 && worst.outcome != Outcome::StopsOnSlope, "{worst:?}");
}

#[test]
fn a_run_out_holds_the_reaction_and_a_missing_one_is_never_a_go() {
    let run_out = |length: f64, degrees: f64| {
        Some(RunOut {
            length: Length::new(length),
            gradient: Angle::new(degrees * DEGREE),
            surface: None,
            ends_at: None,
        })
    };
    let with = |run_out| Slope { run_out, ..surveyed(slope("s", "earth", 40.0, 9.0), 0.5) };
    let plain = judged(earth(), with(run_out(30.0, 0.0)), vehicle("v"));
    assert_eq!(plain.mark, Mark::Within, "{plain:?}");
    // 1.5 s at the speed of the foot, then v²/(2 μ g) with μ = 0.60 at the low end.
    let foot = plain.foot_speed.high;
    let expected = 1.5 * foot + foot * foot / (2.0 * 0.60 * 9.80665);
    assert!((plain.stop.unwrap() / expected - 1.0).abs() < 1e-6, "{plain:?}");
    let missing = judged(earth(), with(None), vehicle("v"));
    assert_eq!(missing.mark, Mark::NotJudged);
    assert_eq!(missing.first().unwrap().what, What::RunOutMissing);
    assert_eq!(missing.measure, [Measure::RunOut]);
    let short = judged(earth(), with(run_out(0.9 * expected, 0.0)), vehicle("v"));
    assert_eq!(short.mark, Mark::Refused);
    assert!(short.broken().any(|one| one.what == What::RunOut));
    // A slide up a slick rise stops, and comes back.
    let slick = surface("earth", Ground::Firm, 0.25, 0.20, 0.02);
    let mut rising = with(run_out(60.0, -16.0));
    rising.stretches[0].gradient = Angle::new(14.0 * DEGREE);
    let back = of(slick, rising, vehicle("v"));
    assert_eq!(back.pairs[0].way(Way::Locked).unwrap().descent.outcome, Outcome::SlidesBack);
    assert!(!back.pairs[0].judged.mark.goes());
}

#[test]
fn worked_examples_take_the_line_driven() {
    let mut place = slope("s", "earth", 40.0, 14.0);
    place.heading = Angle::new(35.0 * DEGREE);
    place.cross_slope = Angle::new(3.0 * DEGREE);
    let course = course(vec![earth()], vec![place], vec![vehicle("v")]);
    let reckoning = reckon(&course);
    let worked = worked_examples(&course, &reckoning);
    let value = |id: &str, line: usize| worked.iter().find(|one| one.id == id).unwrap().lines[line].si;
    // sin pitch = sin 14° cos 35°.
    let pull = 2400.0 * 9.80665 * libm::sin(14.0 * DEGREE) * libm::cos(35.0 * DEGREE);
    assert!((value("force-down", 0) / pull - 1.0).abs() < 5e-3);
    let stability = reckoning.pairs[0].stability;
    let (rear, front) = (value("axle-loads", 0), value("axle-loads", 1));
    assert!((rear / stability.steady.rear - 1.0).abs() < 5e-3, "{rear} {stability:?}");
    assert!((front / stability.steady.front - 1.0).abs() < 5e-3, "{front} {stability:?}");
    assert!(worked.iter().all(|one| one.id != "locked-stop"), "a tilted slide bends");
}

#[test]
fn no_verdict_is_within_that_a_tenth_more_load_refuses() {
    let (mut within, mut near) = (0, 0);
    for step in 0..100_u32 {
        let mut one = vehicle("v");
        one.mass = Mass::new(1500.0 + 25.0 * f64::from(step));
        let place = || surveyed(slope("s", "earth", 40.0, 12.0), 0.5);
        let judge = |vehicle: &Vehicle| judged(earth(), place(), vehicle.clone());
        let is = judge(&one);
        near += u32::from(is.mark == Mark::Near);
        if is.mark == Mark::Within {
            within += 1;
            let mut heavy = one.clone();
            heavy.mass = Mass::new(1.1 * one.mass.si());
            let loaded = judge(&heavy).mark;
            assert!(matches!(loaded, Mark::Within | Mark::Near), "{} kg: {loaded}", one.mass.si());
        }
    }
    assert!(within > 5 && near > 5, "{within} within, {near} near");
}

#[test]
fn no_verdict_is_within_that_less_load_refuses() {
    let (mut within, mut near) = (0, 0);
    for step in 0..100_u32 {
        let mut one = vehicle("v");
        // Never weighed, and little of it turns: its mass is what is least known.
        one.guessed = vec!["mass"];
        one.engine_inertia = Known::given(slopepack::quantity::Inertia::new(0.05));
        one.engine.drag = measured(&[(700.0, 40.0), (4500.0, 90.0)]);
        one.mass = Mass::new(1500.0 + 30.0 * f64::from(step));
        let slick = || surface("slick", Ground::Firm, 0.33, 0.30, 0.05);
        let place = || {
            let entry_speed = Speed::new(5.0 * KMH);
            Slope { entry_speed, ..surveyed(slope("s", "slick", 30.0, 7.0), 0.5) }
        };
        let is = judged(slick(), place(), one.clone());
        near += u32::from(is.reasons.iter().any(|one| one.tolerance == Some(Tolerance::Lighter)));
        if is.mark == Mark::Within {
            within += 1;
            let mut light = one.clone();
            light.mass = Mass::new(0.8 * one.mass.si());
            let unladen = judged(slick(), place(), light);
            let gear = unladen.gears.iter().find(|(gear, _)| Some(*gear) == is.gear).unwrap().1;
            assert!(matches!(gear, Mark::Within | Mark::Near), "{} kg: {gear}", one.mass.si());
        }
    }
    assert!(within > 5 && near > 3, "{within} within, {near} near");
}

#[test]
fn an_engine_within_fifteen_parts_of_its_limit_is_marked() {
    let mut one = vehicle("v");
    let place = || surveyed(slope("s", "earth", 40.0, 14.0), 0.5);
    let spin =
        of(earth(), place(), one.clone()).pairs[0].way(Way::Geared).unwrap().descent.unfavourable.top_spin;
    one.engine.highest = Known::given(SpinRate::new(1.02 * spin.unwrap()));
    let is = judged(earth(), place(), one);
    assert_eq!(is.mark, Mark::Near, "{is:?}");
    assert!(is.reasons.iter().any(|one| one.what == What::EngineSpeed && !one.decides));
}

#[test]
fn the_highest_speed_and_its_place_stand_beside_the_speed_at_the_foot() {
    let mut place = slope("s", "earth", 20.0, 9.0);
    place.stretches.extend([stretch(25.0, 16.0), stretch(30.0, 6.0)]);
    let is = leniently(earth(), place, vehicle("v"));
    assert_eq!(is.top_at.unwrap().stretch, 1, "{is:?}");
    assert!(is.top_at.unwrap().from_brow > 20.0 && is.top_at.unwrap().from_brow <= 45.0 + 1e-9);
    assert!(is.top_speed.high > 1.15 * is.foot_speed.high, "{is:?}");
}

#[test]
fn across_a_tilt_the_highest_speed_keeps_to_a_walk_not_the_speed_at_the_foot() {
    const WALK: f64 = 1.5;
    let mut faster_above = 0;
    for step in 0..40_u8 {
        let mut place = surveyed(slope("s", "earth", 25.0, 5.0 + 0.2 * f64::from(step)), 0.5);
        place.stretches.push(stretch(20.0, 3.0));
        place.cross_slope = Angle::new(3.0 * DEGREE);
        place.escape = Some(escape(10.0, Some(3.0)));
        // Drag that was measured, rising with speed: a gear runs up a little and balances.
        let mut one = vehicle("v");
        one.engine.drag = measured(&[(700.0, 25.0), (4500.0, 220.0)]);
        let pair = &of(earth(), place, one).pairs[0];
        if pair.judged.mark != Mark::Within {
            continue;
        }
        let within = pair.judged.gears.iter().filter(|(_, mark)| *mark == Mark::Within).count();
        assert!(within == 1 || pair.judged.top_speed.high <= WALK, "{:?}", pair.judged);
        let hasty = |told: &slopepack::engine::Told| {
            told.descent.top_speed.high > WALK && told.descent.foot_speed.high <= WALK
        };
        faster_above += u8::from(within > 1 && pair.gears().any(hasty));
    }
    assert!(faster_above > 0, "no gear that is faster above than at the foot");
}

#[test]
fn what_must_be_locked_is_said_and_what_is_unknown_is_asked() {
    let mut place = surveyed(slope("s", "earth", 30.0, 8.0), 0.5);
    place.cross_slope = Angle::new(6.0 * DEGREE);
    place.escape = Some(escape(10.0, None));
    let mut straight = place.clone();
    straight.cross_slope = Angle::new(0.0);
    straight.bump = Some(Length::new(0.05));
    let is = judged(earth(), straight, vehicle("v"));
    let said: Vec<String> = is.lock.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "lock the centre differential",
            "lock the front axle differential",
            "lock the rear axle differential"
        ]
    );
    let mut part_time = vehicle("v");
    part_time.transmission.differentials = differentials(Lock::Open);
    part_time.transmission.differentials.centre = Lock::Absent;
    assert_eq!(judged(earth(), place.clone(), part_time).lock[0].to_string(), "engage four-wheel drive");
    let mut unknown = vehicle("v");
    unknown.transmission.driven = Driven::Unknown;
    place.stretches[0].gradient = Angle::new(19.0 * DEGREE);
    let asked = judged(earth(), place, unknown);
    assert!(asked.measure.contains(&Measure::Drive), "{asked:?}");
}

#[test]
fn the_step_of_the_clinometer_counts_and_an_unmeasured_slope_counts_double() {
    // An engine whose drag was measured, so that the slope is what is least known.
    let mut one = vehicle("v");
    one.engine.drag = measured(&[(600.0, 34.0), (4500.0, 80.0)]);
    let judge = |place: Slope| leniently(earth(), place, one.clone());
    let place = |degrees: f64| slope("s", "earth", 40.0, degrees);
    let fine = |degrees: f64| judge(surveyed(place(degrees), 0.1)).mark == Mark::Within;
    let edge = (60..240_u16).rev().map(|tenths| f64::from(tenths) / 10.0).find(|at| fine(*at)).unwrap();
    let coarse = judge(surveyed(place(edge), 2.0));
    assert_eq!(coarse.mark, Mark::Near, "{edge}: {coarse:?}");
    assert!(coarse.reasons.iter().any(|one| one.tolerance == Some(Tolerance::Gradient)), "{coarse:?}");
    let unmeasured = judge(place(edge));
    assert_eq!(unmeasured.mark, Mark::Near);
    assert!(unmeasured.measure.contains(&Measure::Gradient), "{unmeasured:?}");
}

#[test]
fn a_lock_up_is_promised_only_above_the_speed_it_is_known_to_hold() {
    let mut automatic = vehicle("v");
    automatic.transmission.gearbox = Gearbox::AutomaticLocked;
    let place = || surveyed(slope("s", "earth", 40.0, 8.0), 0.5);
    let nobody = judged(earth(), place(), automatic.clone());
    assert_eq!(nobody.mark, Mark::WithBrake, "{nobody:?}");
    assert!(nobody.measure.contains(&Measure::LockUp));
    automatic.transmission.lock_up_from = Some(Speed::new(2.0 * KMH));
    assert_eq!(judged(earth(), place(), automatic.clone()).mark, Mark::Within);
    automatic.transmission.lock_up_from = Some(Speed::new(6.0 * KMH));
    let opens = judged(earth(), place(), automatic.clone());
    assert!(opens.broken().any(|one| one.what == What::LockUp) && opens.mark == Mark::WithBrake);
    // Never locked: the speeds below which it pushes and above which it holds are said.
    automatic.transmission.gearbox = Gearbox::AutomaticUnlocked;
    let slips = judged(earth(), place(), automatic);
    let said = slips.broken().find(|one| one.what == What::Converter).unwrap();
    assert!(said.value > 0.0 && said.limit > said.value, "{said:?}");
}

#[test]
fn a_range_of_idle_is_reckoned_at_its_fast_end() {
    let mut one = vehicle("v");
    one.engine.idle_range = (SpinRate::new(650.0 / 60.0), SpinRate::new(900.0 / 60.0));
    let place = || surveyed(slope("s", "earth", 40.0, 6.0), 0.5);
    let (steady, ranged) = (judged(earth(), place(), vehicle("v")), judged(earth(), place(), one));
    assert!(
        (ranged.foot_speed.high / steady.foot_speed.high / (900.0 / 750.0) - 1.0).abs() < 0.02,
        "{ranged:?}"
    );
}

#[test]
fn margins_are_parts_and_limits_print_with_the_grip_in_hand() {
    let ice = library_surface("ice").unwrap();
    let mut place = slope("s", "ice", 30.0, 12.0);
    place.cross_slope = Angle::new(12.0 * DEGREE);
    let reckoning = of(ice, place, vehicle("v"));
    for told in &reckoning.pairs[0].ways {
        assert!(told.verdict.margins.grip.is_none_or(|grip| (-1.0..=1.0).contains(&grip)));
    }
}
