//! The ladder of means: its order, its sums against a calculation of their own, and the course's rules.

use std::sync::LazyLock;

use proptest::prelude::*;
use slopepack::course::{Course, KitKind, MissingKit, NotFetched, read_text};
use slopepack::recovery::facing::Facing;
use slopepack::recovery::gear::{Gear, Pieces, Winch};
use slopepack::recovery::ladder::kit::{Missing, missing};
use slopepack::recovery::ladder::lower::{Lowering, Operator, brake_holds};
use slopepack::recovery::ladder::right::{CATCH_POINT, TOUCHES, greatest_catch};
use slopepack::recovery::ladder::tow::{NoTow, STEEPEST_TOW, tow};
use slopepack::recovery::ladder::{Does, Ladder, Means, Rung, WhyNot, chosen_for};
use slopepack::recovery::layout::WinchAt;
use slopepack::recovery::pull::{Direction, Scene, Stuck, System};
use slopepack::recovery::rig::{Rig, Role};
use slopepack::recovery::{Depth, Recoveries, recoveries};

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");
const CLUB: &str = include_str!("../courses/hill-club-weekend.yaml");
const SATURDAY: &str = include_str!("../courses/six-slope-saturday.yaml");

fn told(text: &str, change: impl Fn(&mut Course)) -> (Course, Recoveries) {
    let mut course = read_text(text).unwrap();
    change(&mut course);
    let told = recoveries(&course, Depth::Likely);
    (course, told)
}

fn rung(ladder: &Ladder, means: Means) -> Option<&Rung> {
    ladder.rungs.iter().find(|rung| rung.means == means)
}

#[test]
fn every_ladder_begins_with_thinking_ends_with_a_professional_and_goes_up_last() {
    for text in [QUARRY, CLUB, SATURDAY] {
        let (_, told) = told(text, |_| {});
        for ladder in &told.ladders {
            let means: Vec<Means> = ladder.rungs.iter().map(|rung| rung.means).collect();
            assert_eq!(means.first(), Some(&Means::Think));
            assert_eq!(means.last(), Some(&Means::Professional));
            let first_up = ladder.rungs.iter().position(|rung| rung.direction == Some(Direction::Up));
            let last_other = ladder
                .rungs
                .iter()
                .rposition(|rung| rung.direction.is_some_and(|direction| direction != Direction::Up));
            if let (Some(up), Some(other)) = (first_up, last_other) {
                assert!(up > other, "{means:?}");
            }
            // Every rung before the chosen one is tried or says why not.
            for rung in &ladder.rungs[..ladder.first.unwrap_or(ladder.rungs.len())] {
                assert!(rung.does != Does::Yes);
            }
        }
    }
}

#[test]
fn what_is_stuck_decides_where_the_ladder_begins() {
    let (_, told) = told(QUARRY, |_| {});
    for ladder in &told.ladders {
        let has = |means| rung(ladder, means).is_some();
        match ladder.stuck {
            Stuck::Mired(_) => assert!(has(Means::Dig) && has(Means::DriveOut) && !has(Means::Right)),
            Stuck::Overturned => assert!(has(Means::Right) && !has(Means::DriveOut) && !has(Means::Lower)),
            Stuck::Rolls => assert!(has(Means::DriveOut) && has(Means::Lower) && !has(Means::Dig)),
            Stuck::Locked => {
                let why = &rung(ladder, Means::Lower).unwrap().does;
                assert!(
                    *why == Does::No { why: WhyNot::CannotTurn }
                        || *why == Does::No { why: WhyNot::NoRatedPoint }
                );
            }
        }
    }
}

/// A gravel lane is not winched in stages: a vehicle whose wheels turn is towed along it.
#[test]
fn on_the_haul_road_a_vehicle_is_towed_and_on_a_steep_bank_let_down() {
    let (_, told) = told(QUARRY, |_| {});
    let chosen = |slope: &str, vehicle: &str| {
        let ladder = told.ladders_of(slope, vehicle).find(|ladder| ladder.stuck == Stuck::Rolls).unwrap();
        ladder.chosen().map(|rung| rung.means)
    };
    assert_eq!(chosen("haul-road", "shorty"), Some(Means::Tow));
    for ladder in told.ladders.iter().filter(|ladder| ladder.slope == "haul-road") {
        assert!(ladder.chosen().is_none_or(|rung| rung.means != Means::TwoStages), "{ladder:?}");
    }
    assert_eq!(chosen("ramp", "shorty"), Some(Means::Lower));
    assert_eq!(chosen("ramp", "guest"), None);
}

#[test]
fn nothing_and_nobody_stands_below_a_vehicle_that_is_pulled_down() {
    let course = read_text(QUARRY).unwrap();
    let told = recoveries(&course, Depth::Every);
    let mut seen = 0;
    for recovery in told.all.iter().filter(|recovery| recovery.pull.direction == Direction::Down) {
        assert_eq!(recovery.facing, Facing::Front);
        for rig in &recovery.rigs {
            seen += 1;
            assert!(rig.layout.turns() || rig.layout.winch == WinchAt::Casualty, "{rig:?}");
        }
    }
    assert!(seen > 0);
}

#[test]
fn a_righting_has_a_catch_line_and_none_is_done_on_a_steep_scree() {
    let steep = told(QUARRY, |course| {
        for slope in &mut course.slopes {
            slope.cross_slope = slopepack::quantity::Angle::new(6.0_f64.to_radians());
        }
    });
    let (mut done, mut refused) = (0, 0);
    for ladder in steep.1.ladders.iter().filter(|ladder| ladder.stuck == Stuck::Overturned) {
        let slope = steep.0.slopes.iter().find(|slope| slope.id == ladder.slope).unwrap();
        let right = rung(ladder, Means::Right).unwrap();
        if right.does == Does::Yes {
            done += 1;
            assert!(right.catch.is_some() && right.rig.is_some());
            assert!(slope.steepest().gradient.si().to_degrees() <= 10.0);
            let winch = |rig: &slopepack::recovery::rig::Rig| rig.parts[0].id.clone();
            assert_ne!(winch(right.rig.as_ref().unwrap()), winch(right.catch.as_ref().unwrap()));
        } else {
            refused += 1;
        }
    }
    assert!(refused > 5, "{done} {refused}");
}

/// The point rule of a course refuses a vehicle; its rule on fetching turns a cross into a no-go; its
/// rule on safety gear takes rigs away.
#[test]
fn the_rules_of_the_course_decide() {
    let (_, club) = told(CLUB, |_| {});
    for vehicle in ["two-wheel-van", "grandad"] {
        let all: Vec<_> = club.fetch.iter().filter(|told| told.vehicle == vehicle).collect();
        assert!(!all.is_empty() && all.iter().all(|told| !told.may_drive && !told.rated_point), "{vehicle}");
        for ladder in club.ladders.iter().filter(|ladder| ladder.vehicle == vehicle) {
            assert!(ladder.first.is_none() && ladder.rungs.iter().all(|rung| rung.rig.is_none()));
        }
    }
    let no_go = told(CLUB, |course| course.recovery.not_fetched = NotFetched::NoGo).1;
    assert!(no_go.fetch.iter().any(|told| told.rated_point && !told.fetched && !told.may_drive));
    let lacking = |rule| {
        told(QUARRY, move |course| {
            course.recovery.missing_kit = rule;
            course.kit.retain(|item| item.id != "damper");
        })
        .1
    };
    let lines = |told: &Recoveries| told.ladders.iter().filter(|ladder| ladder.first.is_some()).count();
    assert_eq!(lines(&lacking(MissingKit::Refuse)), 0, "no line is tightened without a damper");
    let said = lacking(MissingKit::Say);
    assert!(lines(&said) > 10);
    let chosen = said.ladders.iter().filter_map(Ladder::chosen);
    assert!(chosen.into_iter().all(|rung| !rung.missing.is_empty()));
}

#[test]
fn the_powered_winch_goes_before_the_hand_winch_and_every_part_keeps_its_margin() {
    let (course, told) = told(QUARRY, |_| {});
    for rung in told.ladders.iter().flat_map(|ladder| &ladder.rungs) {
        let parts = rung.rig.iter().chain(&rung.catch).flat_map(|rig| &rig.parts);
        for part in parts.chain(rung.tow.iter().flat_map(|tow| &tow.parts)) {
            assert!(part.load <= 0.8 * part.rating + 1e-6, "{part:?}");
        }
    }
    assert!((course.recovery.margin - 0.2).abs() < 1e-12);
    for recovery in &told.all {
        let hand = recovery.rigs.iter().position(|rig| rig.by_hand);
        let powered = recovery.rigs.iter().rposition(|rig| !rig.by_hand);
        if let (Some(hand), Some(powered)) = (hand, powered) {
            assert!(powered < hand);
        }
        for rig in recovery.rigs.iter().filter(|rig| rig.by_hand) {
            assert!(rig.layer.is_none(), "a rope-through winch has no layers");
        }
    }
}

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
        let told = Lowering::of(brake, lower.high, &RIG_AND_WINCH.0, &RIG_AND_WINCH.1);
        prop_assert!((told.brake_share - (by_hand / most).min(1.0)).abs() < 0.005);
        prop_assert!((told.line_with_brake - (most - by_hand).max(0.0)).abs() < 0.005 * most);
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
    let (course, told) = told(QUARRY, |_| {});
    drop(course);
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
    let told = Lowering::of(2e3, 5e3, &rig, &winch);
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
    assert_eq!(told.operator, Operator::InItsVehicle);
}

/// Every letting down of the example is held from above, its line does not run out, and its parts are
/// chosen for the whole force twice over, whatever the brake may take.
#[test]
fn every_letting_down_is_anchored_above_and_never_counts_on_the_brake() {
    let (_, told) = told(QUARRY, |_| {});
    let mut seen = 0;
    for ladder in &told.ladders {
        let Some(rung) = rung(ladder, Means::Lower).filter(|rung| rung.does == Does::Yes) else { continue };
        let (rig, lowering) = (rung.rig.as_ref().unwrap(), rung.lowering.as_ref().unwrap());
        seen += 1;
        assert!(lowering.line_left >= 0.0 && rig.layout.parts <= 2, "{lowering:?}");
        assert!((rig.fall_line * f64::from(rig.layout.parts) >= rung.chosen_for.unwrap() - 1e-6), "{rig:?}");
        let recovery = told.all.iter().find(|one| {
            one.slope == ladder.slope
                && one.vehicle == ladder.vehicle
                && one.pull.direction == Direction::Lower
                && one.pull.stuck == ladder.stuck
        });
        let lie = recovery.unwrap().lie.unwrap();
        assert!(lie.held[0] < 0.0 && lie.held[1] > lie.point[1], "what holds it stands above: {lie:?}");
        assert!(lie.lift <= 0.0, "the line presses its anchor down: {lie:?}");
    }
    assert!(seen > 8, "{seen}");
}

/// A vehicle on its side is pulled across its points: half of their limit counts. A bridle's legs leave
/// theirs at an angle: seven tenths.
#[test]
fn a_point_pulled_sideways_counts_for_less() {
    let mut course = read_text(QUARRY).unwrap();
    for slope in &mut course.slopes {
        slope.cross_slope = slopepack::quantity::Angle::new(6.0_f64.to_radians());
    }
    let told = recoveries(&course, Depth::Every);
    let (mut across, mut legs) = (0, 0);
    for recovery in &told.all {
        for rig in &recovery.rigs {
            let points = rig.parts.iter().filter(|part| part.role == Role::CasualtyPoint);
            for part in points {
                let vehicle = course.vehicles.iter().find(|vehicle| vehicle.id == part.id).unwrap();
                let point = vehicle.recovery_points.iter().find(|point| point.place.short() == part.name);
                let label = point.unwrap().carries().unwrap().si();
                // Askew by more than five degrees where the vehicle stands right under the brow.
                let askew = recovery.lie.is_some_and(|lie| lie.askew.to_degrees() > 5.0);
                let share = match (recovery.facing, rig.bridle_half_angle.is_some() || askew) {
                    (Facing::Side, _) => 0.5,
                    (_, true) => 0.7,
                    (_, false) => 1.0,
                };
                assert!((part.rating - share * label).abs() < 1e-6, "{part:?}");
                assert!((part.counts - share).abs() < 1e-12);
                across += usize::from(recovery.facing == Facing::Side);
                legs += usize::from(recovery.facing != Facing::Side && rig.bridle_half_angle.is_some());
            }
        }
    }
    assert!(across > 3, "{across} {legs}");
}

/// The rule on missing gear over every kit of up to six parts: damper, guard, gloves, radios, chocks, a spare
/// shackle. A line that lacks one is said so, and where the course refuses it, no rung with a line is done.
#[test]
fn of_every_box_of_safety_gear_the_rule_on_what_is_missing_holds() {
    let quarry = read_text(QUARRY).unwrap();
    let kinds = [KitKind::Damper, KitKind::EdgeGuard, KitKind::Gloves, KitKind::Radio, KitKind::Chock];
    let gear = Gear::of(&quarry, quarry.surface_of(&quarry.slopes[0]));
    let (_, told) = told(QUARRY, |_| {});
    let rig = told.ladders.iter().flat_map(|one| &one.rungs).find_map(|rung| rung.rig.clone()).unwrap();
    let used = rig.parts.iter().filter(|part| part.role == Role::Shackle).count();
    for mask in 0..64_u32 {
        let has = |place: usize| mask >> place & 1 == 1;
        let mut course = quarry.clone();
        course.kit.retain(|item| kinds.iter().position(|kind| *kind == item.kind).is_none_or(has));
        let mut gear = gear.clone();
        if !has(5) {
            // Just as many as the rig uses: no spare.
            gear.shackles = vec![Pieces { count: used, ..gear.shackles[0].clone() }];
        }
        for over_brow in [true, false] {
            let lacks = missing(&course, &gear, &rig.parts, over_brow);
            let wanted = [
                (!has(0), Missing::Damper),
                (!has(1) && over_brow, Missing::EdgeGuard),
                (!has(2), Missing::Gloves),
                (!has(5), Missing::SecondShackle),
                (!has(3) && over_brow, Missing::Radios),
                (!has(4), Missing::Chocks),
            ];
            let by_hand: Vec<Missing> =
                wanted.into_iter().filter_map(|(lacks, what)| lacks.then_some(what)).collect();
            assert_eq!(lacks, by_hand, "{mask:06b} {over_brow}");
        }
    }
    // In the whole course: with the rule no rung with a line is done that lacks anything.
    for kind in kinds {
        let without = |rule| {
            let mut course = quarry.clone();
            course.slopes.truncate(3);
            course.kit.retain(|item| item.kind != kind);
            course.recovery.missing_kit = rule;
            recoveries(&course, Depth::Likely)
        };
        let rungs = |told: &Recoveries| -> Vec<Rung> {
            let all = told.ladders.iter().flat_map(|one| one.rungs.clone());
            all.filter(|rung| rung.rig.is_some() || rung.tow.is_some()).collect()
        };
        let refused = rungs(&without(MissingKit::Refuse));
        assert!(refused.iter().all(|rung| rung.missing.is_empty() || rung.does != Does::Yes), "{kind:?}");
        assert!(refused.iter().any(|rung| !rung.missing.is_empty()), "{kind:?}");
        let said = rungs(&without(MissingKit::Say));
        assert!(said.iter().any(|rung| !rung.missing.is_empty() && rung.does == Does::Yes), "{kind:?}");
    }
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
    let radius = width.hypot(CATCH_POINT);
    let angle = CATCH_POINT.atan2(width) + std::f64::consts::FRAC_PI_2 - lean;
    radius * angle.sin()
}
