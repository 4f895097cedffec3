//! Courses that are out of the ordinary, each with what must be said about it.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use slopepack::course::{BrakeKind, Gearbox, Ground, Slope, Surface, Vehicle};
use slopepack::engine::{Axle, Caution, Outcome, Pair, Reason, Reckoning, Standing, Told, Way, reckon};
use slopepack::quantity::{Angle, Length, Speed, Temperature};

use crate::engine_courses::{DEGREE, course, slope, surface, vehicle};

fn one(surface: Surface, slope: Slope, vehicle: Vehicle) -> (Reckoning, Pair) {
    let reckoning = reckon(&course(vec![surface], vec![slope], vec![vehicle]));
    let pair = reckoning.pairs[0].clone();
    (reckoning, pair)
}

fn earth() -> Surface {
    surface("earth", Ground::Firm, 0.75, 0.65, 0.05)
}

fn gear<'a>(pair: &'a Pair, name: &str) -> &'a Told {
    pair.gears().find(|told| told.descent.gear.unwrap().to_string() == name).unwrap()
}

fn kinds(told: &Told) -> Vec<&'static str> {
    told.verdict
        .reasons
        .iter()
        .map(|reason| match reason {
            Reason::SteeperThanLimit { .. } => "steeper",
            Reason::SideTiltOverLimit { .. } => "side",
            Reason::SideTiltOverHalfTip { .. } => "half tip",
            Reason::TooFast { .. } => "fast",
            Reason::NoSafeBalance => "no balance",
            Reason::EngineTooFast { .. } => "engine",
            Reason::WheelsSlide { .. } => "slide",
            Reason::ConverterNotLocked => "converter",
            Reason::TooLittleGripInHand { .. } => "brake grip",
            Reason::BrakesTooHot { .. } => "hot",
            Reason::DoesNotStop => "does not stop",
            Reason::LeavesRunOut { .. } => "leaves",
            Reason::SlidesOffSide => "off side",
            Reason::SteeringLost => "steering",
            Reason::RunOutTooShort { .. } => "run-out",
            Reason::RearLifts => "rear",
            Reason::NoseTouches { .. } => "nose",
            Reason::BellyTouches { .. } => "belly",
            Reason::TailTouches { .. } => "tail",
            Reason::LockUpOpens => "lock-up",
            Reason::RollsBack { .. } => "rolls back",
        })
        .collect()
}

#[test]
fn an_ordinary_slope_is_held_at_idle_in_first_low() {
    let (reckoning, pair) = one(earth(), slope("s", "earth", 40.0, 11.0), vehicle("v"));
    let best = pair.way(Way::Geared).unwrap();
    assert_eq!(pair.gear.unwrap().to_string(), "L1");
    assert_eq!(pair.standing, Standing::InGear);
    assert_eq!(best.descent.outcome, Outcome::HeldAtIdle);
    assert_eq!(best.verdict.to_string(), "within the course's limits");
    // 750 rpm · 3.05 · 0.8028 m / (4.0 · 2.7 · 4.1), a little more for the slip.
    let creep = 12.5 * 3.05 * 0.8028 / 44.28;
    let foot = best.descent.likely.foot_speed.unwrap();
    assert!(foot > creep && foot < 1.06 * creep, "{foot} {creep}");
    assert!(best.descent.likely.ledger.brakes.abs() < 1e-12);
    assert_eq!(reckoning.descents().count(), 13);
    assert!(kinds(gear(&pair, "H5")).contains(&"no balance"));
    assert!(best.descent.likely.steering.unwrap() > 0.9);
}

#[test]
fn a_slope_no_gear_can_hold_says_so_and_goes_to_the_foot_brake() {
    let mut weak = vehicle("v");
    weak.engine.displacement = slopepack::quantity::Displacement::new(1.0e-3);
    let (_, pair) = one(earth(), slope("s", "earth", 20.0, 22.0), weak);
    for told in pair.gears() {
        assert_eq!(told.descent.outcome, Outcome::NoSafeBalance);
        assert!(kinds(told).contains(&"no balance"), "{:?}", told.verdict);
        assert!(!told.verdict.within_limits);
    }
    let helped = pair.way(Way::Assisted).unwrap();
    assert_eq!(pair.standing, Standing::InGearWithFootBrake, "{}", helped.verdict);
    assert_eq!(helped.descent.outcome, Outcome::HeldOnBrakes);
    let brakes = helped.descent.unfavourable.ledger;
    assert!(brakes.brakes > 0.0 && brakes.engine > 0.0);
    let alone = pair.way(Way::Braked).unwrap().heat.as_ref().unwrap();
    assert!(helped.heat.as_ref().unwrap().hottest < alone.hottest, "the engine spares the brakes");
}

#[test]
fn a_gear_beyond_the_engines_allowed_speed_is_named() {
    let mut fast = slope("s", "earth", 60.0, 15.0);
    fast.entry_speed = Speed::new(18.0 / 3.6);
    let (_, pair) = one(earth(), fast, vehicle("v"));
    // 18 km/h in first low asks for more than 4500 rpm at the brow.
    let first = gear(&pair, "L1");
    assert!(first.descent.likely.top_spin.unwrap() > 75.0);
    assert!(kinds(first).contains(&"engine") && kinds(first).contains(&"no balance"));
}

#[test]
fn on_loose_ground_locked_wheels_may_stop_sooner_and_no_steering_is_claimed() {
    let loose = surface("gravel", Ground::Loose, 0.5, 0.65, 0.05);
    let firm = surface("gravel", Ground::Firm, 0.65, 0.5, 0.05);
    let mut place = slope("s", "gravel", 60.0, 15.0);
    place.entry_speed = Speed::new(10.0 / 3.6);
    let (_, on_loose) = one(loose, place.clone(), vehicle("v"));
    let (_, on_firm) = one(firm, place, vehicle("v"));
    let (a, b) = (on_loose.way(Way::Locked).unwrap(), on_firm.way(Way::Locked).unwrap());
    assert_eq!(a.descent.likely_outcome, Outcome::StopsOnSlope);
    assert!(a.descent.likely.distance < b.descent.likely.distance);
    assert_eq!(a.descent.likely.steering, None);
    assert_eq!(b.descent.likely.steering, Some(0.0));
    assert!(a.verdict.cautions.contains(&Caution::LockedMayStopSooner));
    assert!(kinds(a).contains(&"steering") && !a.verdict.within_limits);
}

#[test]
fn locked_wheels_leave_the_brakes_cold_and_may_never_stop() {
    let ice = surface("ice", Ground::Firm, 0.12, 0.08, 0.01);
    let (_, pair) = one(ice, slope("s", "ice", 30.0, 12.0), vehicle("v"));
    let told = pair.way(Way::Locked).unwrap();
    assert_eq!(told.descent.outcome, Outcome::LeavesRunOut);
    assert!(told.descent.unfavourable.end_speed > 5.0);
    assert!(told.heat.is_none());
    let ledger = told.descent.unfavourable.ledger;
    assert!(ledger.brakes < 100.0 && ledger.ground > 1e4);
    // Gearing gives no grip either.
    for told in pair.gears() {
        assert_eq!(told.descent.outcome, Outcome::WheelsSlide);
    }
    assert_eq!(pair.standing, Standing::NotHere);
}

#[test]
fn the_hold_band_holds_turning_wheels_and_not_locked_ones() {
    let mut wet = surface("wet", Ground::Firm, 0.40, 0.20, 0.02);
    wet.peak = slopepack::course::Band::point(0.40);
    wet.sliding = slopepack::course::Band::point(0.20);
    let (reckoning, pair) = one(wet, slope("s", "wet", 30.0, 15.0), vehicle("v"));
    let figures = &reckoning.surfaces[0];
    assert!(figures.locked_limit.high < 15.0 * DEGREE && figures.turning_limit.low > 15.0 * DEGREE);
    assert_eq!(pair.way(Way::Geared).unwrap().descent.likely_outcome, Outcome::HeldAtIdle);
    let locked = &pair.way(Way::Locked).unwrap().descent.likely;
    assert!(locked.foot_speed.unwrap() > locked.entry_speed);
}

#[test]
fn brakes_on_one_axle_and_drive_on_one_axle_have_less_grip_and_say_so() {
    let place = || slope("s", "earth", 30.0, 18.0);
    let (_, both) = one(earth(), place(), vehicle("v"));
    let mut rear = vehicle("v");
    rear.brakes.front = None;
    let (_, rear) = one(earth(), place(), rear);
    let mut front = vehicle("v");
    front.brakes.rear = None;
    let (_, front) = one(earth(), place(), front);
    let there = |pair: &Pair, way| pair.way(way).unwrap().descent.likely.force_there;
    assert!(there(&rear, Way::Braked) < there(&front, Way::Braked));
    assert!(there(&front, Way::Braked) < there(&both, Way::Braked));
    let locked = |pair: &Pair| pair.way(Way::Locked).unwrap().descent.likely;
    assert!(locked(&rear).top_speed > locked(&both).top_speed);
    assert!(rear.way(Way::Braked).unwrap().verdict.cautions.contains(&Caution::RearBrakesOnly));
    assert!(front.way(Way::Braked).unwrap().verdict.cautions.contains(&Caution::FrontBrakesOnly));
    assert_eq!(rear.way(Way::Braked).unwrap().heat.as_ref().unwrap().axles.len(), 1);

    let mut driven = vehicle("v");
    driven.transmission.driven = slopepack::course::Driven::Rear;
    let (_, driven) = one(earth(), place(), driven);
    assert!(there(&driven, Way::Geared) < there(&both, Way::Geared));
    assert!(driven.way(Way::Geared).unwrap().verdict.cautions.contains(&Caution::OneAxleDriven));
    assert!(
        driven.way(Way::Geared).unwrap().descent.likely.slip
            > both.way(Way::Geared).unwrap().descent.likely.slip
    );
}

#[test]
fn without_a_low_range_there_are_only_high_gears_and_it_is_said() {
    let mut road = vehicle("v");
    road.transmission.transfer_low = None;
    let (reckoning, pair) = one(earth(), slope("s", "earth", 40.0, 16.0), road);
    assert_eq!(pair.gears().count(), 5);
    assert!(pair.gears().all(|told| told.descent.gear.unwrap().to_string().starts_with('H')));
    assert!(pair.ways[0].verdict.cautions.contains(&Caution::NoLowRange));
    let gears = &reckoning.vehicles[0].gears;
    assert_eq!(gears.len(), 6, "five forward and reverse");
    assert!(gears[0].overall_ratio < 17.0);
}

#[test]
fn an_automatic_with_a_slipping_converter_goes_down_on_the_foot_brake_too() {
    let mut automatic = vehicle("v");
    automatic.transmission.gearbox = Gearbox::AutomaticUnlocked;
    let (reckoning, pair) = one(earth(), slope("s", "earth", 40.0, 14.0), automatic);
    let (_, manual) = one(earth(), slope("s", "earth", 40.0, 14.0), vehicle("v"));
    let first = gear(&pair, "L1");
    assert_eq!(first.descent.likely_outcome, Outcome::RunsUpAndBalances);
    assert!(kinds(first).contains(&"converter"));
    assert!(first.descent.likely.top_speed > gear(&manual, "L1").descent.likely.top_speed);
    assert!(reckoning.vehicles[0].gears[0].holds_at_idle.high.abs() < 1e-12);
    assert_eq!(pair.standing, Standing::InGearWithFootBrake);
}

#[test]
fn limits_of_the_course_are_compared_at_the_unfavourable_end() {
    let mut place = slope("s", "earth", 30.0, 20.0);
    place.cross_slope = Angle::new(14.0 * DEGREE);
    place.bump = Some(Length::new(0.10));
    place.run_out.as_mut().unwrap().length = Length::new(0.01);
    let mut course = course(vec![earth()], vec![place], vec![vehicle("v")]);
    course.limits.gradient = Angle::new(18.0 * DEGREE);
    course.limits.descent_speed = Speed::new(2.0 / 3.6);
    course.limits.brake_temperature = Temperature::new(293.15 + 40.0);
    let reckoning = reckon(&course);
    let pair = &reckoning.pairs[0];
    let best = pair.way(Way::Geared).unwrap();
    for kind in ["steeper", "side", "fast", "run-out"] {
        assert!(kinds(best).contains(&kind), "{kind}: {:?}", best.verdict);
    }
    // 10 cm under one side of a 1.55 m track adds 3.70°.
    assert!((pair.stability.bump_roll / DEGREE - 3.699).abs() < 1e-3);
    assert!((pair.stability.side_tilt / DEGREE - 17.699).abs() < 1e-3);
    let braked = pair.way(Way::Braked).unwrap();
    assert!(kinds(braked).contains(&"hot"));
    let heat = braked.heat.as_ref().unwrap();
    assert!(heat.runs_allowed < 8);
    let margins = best.verdict.margins;
    assert!(margins.gradient < 0.0 && margins.side_tilt < 0.0 && margins.speed < 0.0);
    assert!(margins.run_out.unwrap() < 0.0);
    let said = best.verdict.to_string();
    for part in ["steeper than the course drives", "side tilt over the limit", "faster than the course"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(best.verdict.broken.windows(2).all(|two| two[0].excess() >= two[1].excess()), "the worst first");
}

#[test]
fn hot_brakes_are_given_a_number_of_runs_and_whole_minutes_to_wait() {
    let place = slope("s", "earth", 60.0, 20.0);
    let mut course = course(vec![earth()], vec![place], vec![vehicle("v")]);
    course.limits.brake_temperature = Temperature::new(273.15 + 110.0);
    let reckoning = reckon(&course);
    let heat = reckoning.pairs[0].way(Way::Braked).unwrap().heat.clone().unwrap();
    assert!((1..8).contains(&heat.runs_allowed), "{heat:?}");
    let wait = heat.wait_minutes.unwrap();
    assert!(wait > 3, "the planned three minutes were too short: {wait}");
    let front = &heat.axles[0];
    assert_eq!((front.axle, front.kind, front.ends.len()), (Axle::Front, BrakeKind::Disc, 8));
    assert!(front.ends.windows(2).all(|pair| pair[0] < pair[1]));
    assert!(front.ends[usize::from(front.runs_allowed)] > course.limits.brake_temperature.si());
}

#[test]
fn ten_per_cent_shows_what_matters() {
    let mut weak = vehicle("v");
    weak.engine.displacement = slopepack::quantity::Displacement::new(2.0e-3);
    let (reckoning, pair) = one(earth(), slope("s", "earth", 40.0, 8.0), weak);
    let s = pair.sensitivity.unwrap();
    // Held at idle: the gearing alone sets the speed, a tenth more ratio is an eleventh less speed.
    assert!((s.gearing.unwrap() + 1.0 / 11.0).abs() < 2e-3, "{s:?}");
    assert!((s.tyre_radius.unwrap() - 0.1).abs() < 5e-3);
    assert!(s.mass.unwrap().abs() < 5e-3 && s.displacement.unwrap().abs() < 1e-6);
    assert_eq!(reckoning.vehicles[0].sensitivity, pair.sensitivity);
    // Running up: each of them counts, and the right way.
    let (_, steep) = one(earth(), slope("s", "earth", 40.0, 19.0), {
        let mut v = vehicle("v");
        v.engine.displacement = slopepack::quantity::Displacement::new(2.4e-3);
        v
    });
    let s = steep.sensitivity.unwrap();
    assert!(s.gearing.unwrap() < -0.1 && s.displacement.unwrap() < -0.05, "{s:?}");
    assert!(s.tyre_radius.is_none_or(|change| change > 0.1) && s.mass.is_none_or(|change| change > 0.05));
}

#[test]
fn the_machines_view_has_stable_names() {
    let (reckoning, _) = one(earth(), slope("s", "earth", 40.0, 11.0), vehicle("v"));
    let json = serde_json::to_value(reckoning.descents().collect::<Vec<_>>()).unwrap();
    let first = &json[0];
    for key in [
        "slope",
        "vehicle",
        "way",
        "gear",
        "outcome",
        "likely_outcome",
        "top_speed",
        "foot_speed",
        "time",
        "distance",
        "top_spin",
        "balance",
        "unfavourable",
        "likely",
        "favourable",
        "verdict",
        "heat",
    ] {
        assert!(first.get(key).is_some(), "no {key} in {first}");
    }
    assert_eq!(first["way"], "geared");
    assert_eq!(first["gear"], "L1");
    assert_eq!(first["outcome"], "held_at_idle");
    assert_eq!(first["verdict"]["within_limits"], true);
    let ledger = first["likely"]["ledger"].as_object().unwrap();
    assert_eq!(ledger.len(), 10);
    assert!(json.as_array().unwrap().iter().any(|d| d["way"] == "locked"));
}
