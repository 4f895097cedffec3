//! The ladder of means: its order, its anchors above, and the course's rules.

use slopepack::course::{Course, MissingKit, NotFetched, read_text};
use slopepack::recovery::facing::Facing;
use slopepack::recovery::ladder::{Does, Ladder, Means, Rung, WhyNot};
use slopepack::recovery::layout::WinchAt;
use slopepack::recovery::pull::{Direction, Stuck};
use slopepack::recovery::rig::Role;
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
    // A rigid bar is no line: it stores no stretch and wants no damper.
    let on_a_line = |rung: &&Rung| rung.tow.as_ref().is_none_or(|tow| !tow.rigid);
    let lines = |told: &Recoveries| told.ladders.iter().filter_map(Ladder::chosen).filter(on_a_line).count();
    assert_eq!(lines(&lacking(MissingKit::Refuse)), 0, "no line is tightened without a damper");
    let said = lacking(MissingKit::Say);
    assert!(lines(&said) > 10);
    let chosen = said.ladders.iter().filter_map(Ladder::chosen).filter(on_a_line);
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
                // Askew by more than five degrees where the vehicle stands right under the brow; with two joints on
                // the vehicle each has an angle of its own, the greatest is told.
                assert!(recovery.lie.is_none_or(|lie| rig.off >= lie.askew - 1e-9));
                let askew = rig.off.to_degrees() > 5.0;
                if rig.layout.casualty.len() > 1 && askew && recovery.facing != Facing::Side {
                    assert!([1.0, 0.7].iter().any(|share| (part.counts - share).abs() < 1e-9), "{part:?}");
                    continue;
                }
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
