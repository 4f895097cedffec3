//! Every kit of up to six parts with every box of safety gear that lacks one thing: a letting down is offered when,
//! and only when, plain trying-out finds a rig, something stops the vehicle were the line to let go, and the course's
//! rule on missing gear lets it be.

use slopepack::course::{AnchorPlace, Course, KitKind, MissingKit, read_text};
use slopepack::recovery::gear::{Gear, Ground};
use slopepack::recovery::ladder::second::Second;
use slopepack::recovery::ladder::{Does, Means, Rung, chosen_for};
use slopepack::recovery::lie::BEYOND_AXLE;
use slopepack::recovery::pull::{Direction, Stuck};
use slopepack::recovery::rig::Role;
use slopepack::recovery::stance::Beside;
use slopepack::recovery::task::{Task, Ways};
use slopepack::recovery::{Depth, recoveries};

use crate::recovery_brute::{Wanted, any_rig};

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");
const PIECES: [&str; 6] = ["hand-winch", "steel-line", "wide-strap", "big-shackle", "scree-anchor", "block"];
const SAFETY: [KitKind; 5] =
    [KitKind::Damper, KitKind::EdgeGuard, KitKind::Gloves, KitKind::Radio, KitKind::Chock];

/// The scree run with two vehicles, and of the kit these pieces and this safety gear alone.
fn course_with(quarry: &Course, pieces: u32, lacks: Option<usize>, rule: MissingKit) -> Course {
    let mut course = quarry.clone();
    course.slopes.retain(|slope| slope.id == "scree-run");
    course.vehicles.retain(|vehicle| vehicle.id == "wagon" || vehicle.id == "shorty");
    course.recovery.missing_kit = rule;
    course.kit.retain(|item| {
        let piece = PIECES.iter().position(|id| *id == item.id).is_some_and(|place| pieces >> place & 1 == 1);
        let safety = SAFETY.iter().position(|kind| *kind == item.kind);
        piece || safety.is_some_and(|place| Some(place) != lacks)
    });
    course
}

/// The rung that lets the short one down, and whether plain trying-out finds a rig for it.
fn lowered(course: &Course) -> (Rung, bool) {
    let told = recoveries(course, Depth::Likely);
    let here = |stuck, direction| {
        let all = told.all.iter();
        all.filter(move |one| one.pull.stuck == stuck && one.pull.direction == direction)
            .find(|one| one.vehicle == "shorty")
            .unwrap()
    };
    let recovery = here(Stuck::Rolls, Direction::Lower);
    let lie = recovery.lie.unwrap();
    let slope = &course.slopes[0];
    let surface = course.surface_of(slope);
    let ground = Ground { friction: surface.sliding.low, angle: 0.0, soil: surface.soil, lift: lie.lift };
    let gear = Gear::on(course, ground).here(course, &slope.id, &[AnchorPlace::Brow]).0;
    let task = Task {
        casualty: course.vehicles.iter().position(|vehicle| vehicle.id == "shorty").unwrap(),
        pull: chosen_for(&recovery.pull),
        distance: recovery.distance,
        nearest: recovery.at_start,
        travel: recovery.travel,
        reach: course.vehicles.iter().find(|one| one.id == "shorty").unwrap().wheelbase.si() / 2.0
            + BEYOND_AXLE,
        sling: None,
        beside: Beside::Alone,
        askew: lie.askew,
        facing: recovery.facing,
        ways: Ways::PaidOut,
        most_settings: course.recovery.most_settings,
        margin: course.recovery.margin,
        thrifty: false,
    };
    let ladder = told.ladders_of("scree-run", "shorty").find(|one| one.stuck == Stuck::Rolls).unwrap();
    let rung = ladder.rungs.iter().find(|rung| rung.means == Means::Lower).unwrap().clone();
    (rung, any_rig(&gear, &task, Wanted::any(&task)))
}

#[test]
fn of_every_kit_of_up_to_six_parts_what_is_offered_keeps_the_rule_on_missing_gear() {
    let quarry = read_text(QUARRY).unwrap();
    let (mut offered, mut refused, mut none) = (0, 0, 0);
    for pieces in 0..64_u32 {
        for lacks in std::iter::once(None).chain((0..SAFETY.len()).map(Some)) {
            let of = |rule| lowered(&course_with(&quarry, pieces, lacks, rule));
            let (said, any) = of(MissingKit::Say);
            assert_eq!(said.does == Does::Yes, any, "{pieces:06b} {lacks:?}");
            let (strict, _) = of(MissingKit::Refuse);
            if !any {
                none += 1;
                assert!(said.rig.is_none() && strict.does != Does::Yes);
                continue;
            }
            let rig = said.rig.as_ref().unwrap();
            assert!(rig.parts.iter().all(|part| part.load <= 0.8 * part.rating + 1e-6), "{rig:?}");
            assert!(matches!(said.second, Some(Second::FootBrake(_))), "{:?}", said.second);
            let used = rig.parts.iter().filter(|part| part.role == Role::Shackle).count();
            let complete = lacks.is_none() && used < 4;
            assert_eq!(said.missing.is_empty(), complete, "{pieces:06b} {lacks:?} {:?}", said.missing);
            assert_eq!(strict.does == Does::Yes, complete, "{pieces:06b} {lacks:?}");
            offered += usize::from(complete);
            refused += usize::from(!complete);
        }
    }
    assert!(offered > 0 && refused > offered && none > 0, "{offered} {refused} {none}");
}
