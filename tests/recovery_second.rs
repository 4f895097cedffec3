//! The second means: nobody is aboard a vehicle that hangs on one line and one anchor alone; a vehicle that would
//! run into its tug is not towed on a rope; and the rule on missing gear over every box.

use slopepack::course::{AnchorPlace, Course, KitKind, MissingKit, Side, Vehicle, read_text};
use slopepack::recovery::case::Place;
use slopepack::recovery::gear::{Gear, Pieces};
use slopepack::recovery::ladder::kit::{Missing, missing};
use slopepack::recovery::ladder::right::{NoRighting, Righting, right};
use slopepack::recovery::ladder::second::{STANDS_WITHIN, Second, foot_brake};
use slopepack::recovery::ladder::tow::NoTow;
use slopepack::recovery::ladder::{Does, Means, Rung, WhyNot};
use slopepack::recovery::pull::{Direction, Scene, Stuck};
use slopepack::recovery::rig::{Fastened, HeldBy, Rig, Role};
use slopepack::recovery::{Depth, Recoveries, Recovery, recoveries};

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");
const SATURDAY: &str = include_str!("../courses/six-slope-saturday.yaml");

fn told(change: impl Fn(&mut Course)) -> (Course, Recoveries) {
    let mut course = read_text(QUARRY).unwrap();
    change(&mut course);
    let told = recoveries(&course, Depth::Likely);
    (course, told)
}

/// What a rig uses, each piece as often as it is there: kit, points, anchors, the vehicles it hangs on.
fn pieces(rig: &Rig) -> Vec<(String, String)> {
    let held = rig.made_fast.iter().filter_map(|(_, to)| match to {
        HeldBy::Vehicle { id } => Some((id.clone(), "vehicle".to_owned())),
        _ => None,
    });
    let host = rig.host.iter().map(|id| (id.clone(), "vehicle".to_owned()));
    let parts = rig.parts.iter().map(|part| (part.id.clone(), part.name.clone()));
    parts.chain(held).chain(host).collect()
}

/// By hand for each letting down and each pull up with free wheels: the brake holds a fifth more than it must and the
/// vehicle stands again soon, or a second line shares no piece of which there is one, or it is not offered.
#[test]
fn nobody_is_aboard_a_vehicle_that_hangs_on_one_line_alone() {
    let (course, told) = told(|_| {});
    let (mut braked, mut caught, mut refused, mut empty) = (0, 0, 0, 0);
    for ladder in &told.ladders {
        let slope = course.slopes.iter().find(|slope| slope.id == ladder.slope).unwrap();
        let casualty = course.vehicles.iter().position(|vehicle| vehicle.id == ladder.vehicle).unwrap();
        let (surface, vehicle) = (course.surface_of(slope), &course.vehicles[casualty]);
        let brake = foot_brake(&Place { course: &course, slope, surface, vehicle, casualty });
        let does = brake.pulls <= 0.8 * brake.holds && brake.runs.is_some_and(|runs| runs <= STANDS_WITHIN);
        for rung in ladder.rungs.iter().filter(|rung| rung.rig.is_some() && rung.means != Means::Right) {
            match rung.second.as_ref().unwrap() {
                Second::FootBrake(_) => {
                    braked += 1;
                    assert!(does && ladder.stuck != Stuck::Locked, "{ladder:?}");
                }
                Second::NobodyAboard(held) => {
                    empty += 1;
                    assert!(ladder.stuck == Stuck::Locked && held.pulls <= 0.8 * held.holds, "{ladder:?}");
                }
                Second::CatchLine { load } => {
                    caught += 1;
                    let (rig, catch) = (rung.rig.as_ref().unwrap(), rung.catch.as_ref().unwrap());
                    let stands = brake.pulls <= 0.8 * brake.holds;
                    assert!(if ladder.stuck == Stuck::Locked { !stands } else { !does });
                    assert!(rung.direction != Some(Direction::Down), "a catch line leads uphill");
                    assert!((load - 2.0 * brake.pulls).abs() < 1e-6);
                    let needs: f64 = catch.fall_line * f64::from(catch.parts_of_line);
                    assert!(needs >= *load - 1e-6 && catch.keeps(0.2) && rig.keeps(0.2));
                    let both = pieces(catch);
                    for piece in pieces(rig).iter().filter(|piece| both.contains(piece)) {
                        let item = course.kit.iter().find(|item| item.id == piece.0);
                        assert!(item.is_some_and(|item| item.count > 1), "{piece:?} holds both lines");
                    }
                    assert!(catch.parts.iter().any(|part| part.role == Role::CasualtyPoint));
                    let recovery = told.all.iter().find(|one| {
                        (&one.slope, &one.vehicle, one.pull.stuck, Some(one.pull.direction))
                            == (&ladder.slope, &ladder.vehicle, ladder.stuck, rung.direction)
                    });
                    side_loads_are_counted(vehicle, recovery.unwrap(), [rig, catch]);
                }
            }
        }
        let no = |rung: &Rung| matches!(&rung.does, Does::No { why: WhyNot::NoSecondMeans { .. } });
        for rung in ladder.rungs.iter().filter(|rung| no(rung)) {
            refused += 1;
            let stands = brake.pulls <= 0.8 * brake.holds;
            assert!(if ladder.stuck == Stuck::Locked { !stands } else { !does });
            assert!(rung.rig.is_none());
        }
    }
    assert!(braked > 5 && caught > 2 && empty >= 5, "{braked} {caught} {empty} {refused}");
}

/// By hand: what holds the two lines stands 3 m apart, the points 0.8 m: each line runs 1.1 m across, over the least
/// length it has while the vehicle hangs on the slope.
fn side_loads_are_counted(vehicle: &Vehicle, recovery: &Recovery, rigs: [&Rig; 2]) {
    let behind_the_brow = 6.0_f64;
    let lowered = recovery.pull.direction == Direction::Lower;
    let middle = if lowered { recovery.at_start } else { behind_the_brow };
    let long = middle - vehicle.wheelbase.si() / 2.0 - 0.8;
    for rig in rigs.into_iter().filter(|rig| rig.parts_of_line == 1) {
        let above = (1.1 / long).atan();
        let whole = (above.cos() * recovery.lie.unwrap().askew.cos()).acos();
        assert!((rig.off - whole).abs() < 1e-9, "{} {}", rig.off.to_degrees(), whole.to_degrees());
        let share = if whole.to_degrees() <= 5.0 { 1.0 } else { 0.7 };
        for part in rig.parts.iter().filter(|part| part.role == Role::CasualtyPoint) {
            let point =
                vehicle.recovery_points.iter().find(|point| point.place.short() == part.name).unwrap();
            assert!((part.rating - share * point.carries().unwrap().si()).abs() < 1e-6, "{part:?}");
            assert!((part.counts - share).abs() < 1e-12 && part.load <= 0.8 * part.rating + 1e-6);
        }
    }
}

/// With one winch there is no catch line: on the ramp the brake will not do, and nothing is offered with a driver
/// aboard. On the grass bank it does.
#[test]
fn with_one_winch_a_ramp_is_refused_and_a_grass_bank_is_not() {
    let (_, told) = told(|course| {
        course.kit.retain(|item| item.kind != KitKind::Winch || item.id == "hand-winch");
    });
    let lower = |slope: &str, vehicle: &str| {
        let ladder = told.ladders_of(slope, vehicle).find(|ladder| ladder.stuck == Stuck::Rolls).unwrap();
        ladder.rungs.iter().find(|rung| rung.means == Means::Lower).unwrap().clone()
    };
    for (slope, vehicle) in [("ramp", "pickup"), ("old-incline", "pickup"), ("ramp", "wagon")] {
        let rung = lower(slope, vehicle);
        assert!(matches!(rung.does, Does::No { why: WhyNot::NoSecondMeans { .. } }), "{rung:?}");
    }
    assert!(matches!(lower("nursery", "wagon").second, Some(Second::FootBrake(_))));
    for ladder in told.ladders.iter().filter(|one| one.stuck == Stuck::Rolls && one.slope == "old-incline") {
        assert!(ladder.chosen().is_none(), "{ladder:?}");
    }
}

/// Where its weight pulls down with more than the ground holds back, it runs into the tug: no rope; a bar, and a tug
/// whose foot brake holds both; or no tow at all.
#[test]
fn a_vehicle_that_runs_by_itself_is_towed_on_a_bar_or_not_at_all() {
    let tow_of = |told: &Recoveries, vehicle: &str| {
        let ladder = told.ladders_of("haul-road", vehicle).find(|one| one.stuck == Stuck::Rolls).unwrap();
        ladder.rungs.iter().find(|rung| rung.means == Means::Tow).unwrap().clone()
    };
    let (_, with_bar) = told(|_| {});
    for vehicle in ["wagon", "shorty", "pickup"] {
        let tow = tow_of(&with_bar, vehicle).tow.unwrap();
        assert!(tow.rigid && tow.tug == "hub-truck", "{tow:?}");
        assert!(tow.parts.iter().any(|part| part.role == Role::TowBar));
        assert!(tow.parts.iter().all(|part| !matches!(part.role, Role::TowLine | Role::Shackle)));
        let bar = tow.parts.iter().find(|part| part.role == Role::TowBar).unwrap();
        assert!(bar.load >= tow.start && bar.load >= tow.pushes);
    }
    let (_, without) = told(|course| course.kit.retain(|item| item.kind != KitKind::TowBar));
    for vehicle in ["wagon", "shorty", "pickup", "hub-truck"] {
        let does = tow_of(&without, vehicle).does;
        assert!(
            matches!(&does, Does::No { why: WhyNot::NoTow(NoTow::RunsIntoTug { down, ground }) } if down > ground),
            "{does:?}"
        );
    }
    // A fifth steeper, the truck's brakes no longer hold the pickup and itself: (3,050 + 4,800) kg at 20 % on
    // gravel that holds 0.35 at the least.
    let steeper = |course: &mut Course| {
        let haul = course.slopes.iter_mut().find(|slope| slope.id == "haul-road").unwrap();
        haul.stretches[1].gradient = slopepack::quantity::Angle::new(0.2_f64.atan());
    };
    let does = tow_of(&told(steeper).1, "pickup").does;
    let Does::No { why: WhyNot::NoTow(NoTow::NoBrake { needs, has }) } = does else { panic!("{does:?}") };
    let (sine, cosine) = (0.2 / 1.04_f64.sqrt(), 1.0 / 1.04_f64.sqrt());
    assert!((needs / (7850.0 * 9.806_65 * sine) - 1.0).abs() < 1e-3, "{needs}");
    assert!((has / (0.8 * 0.35 * 4800.0 * 9.806_65 * cosine) - 1.0).abs() < 1e-3, "{has}");
}

/// On one end a pull slews it, and in the middle it has half the arm: without a rated point front and rear on the side
/// that lies up, without two bridles that reach, or with somebody below to work the catch line, nobody rights it.
#[test]
fn a_vehicle_is_not_righted_from_one_end_nor_with_somebody_below_it() {
    let why = |change: fn(&mut Course), vehicle: &str| {
        let (_, told) = self::told(change);
        let ladder =
            told.ladders_of("side-step", vehicle).find(|one| one.stuck == Stuck::Overturned).unwrap();
        let rung = ladder.rungs.iter().find(|rung| rung.means == Means::Right).unwrap().clone();
        assert!(rung.rig.is_none() && rung.catch.is_none(), "{rung:?}");
        let Does::No { why: WhyNot::NoRighting(why) } = rung.does else { panic!("{:?}", rung.does) };
        why
    };
    assert_eq!(why(|_| {}, "wagon"), NoRighting::NoUpperPoints { side: Side::Left });
    let shorty = why(|_| {}, "shorty");
    assert!(matches!(shorty, NoRighting::NoCatch { .. }), "{shorty:?}");
    let middle = |course: &mut Course| {
        course.vehicles[1].recovery_points.iter_mut().for_each(|point| point.side = None);
    };
    assert_eq!(why(middle, "shorty"), NoRighting::NoUpperPoints { side: Side::Left });
    let short = |course: &mut Course| course.kit.retain(|item| item.id != "long-bridle");
    assert!(matches!(why(short, "shorty"), NoRighting::NoPull { .. }));
    let one = |course: &mut Course| {
        course.kit.iter_mut().filter(|item| item.id == "long-bridle").for_each(|item| item.count = 1);
    };
    assert!(matches!(why(one, "shorty"), NoRighting::NoCatch { .. }));
}

/// By hand, on the side step and the short one: points half a track and half a chassis from the lower tyres, legs of 3 m
/// from front to rear, each point pulled square and counted for both lines with a tenth of it free.
#[test]
fn each_upper_point_carries_both_lines_of_a_righting() {
    let course = read_text(QUARRY).unwrap();
    let casualty = course.vehicles.iter().position(|one| one.id == "shorty").unwrap();
    let (vehicle, slope) = (&course.vehicles[casualty], &course.slopes[2]);
    let surface = course.surface_of(slope);
    let gear = Gear::of(&course, surface).here(&course, &slope.id, &[AnchorPlace::HalfWay]).0;
    let pull = Scene::of(slope, surface, vehicle).pull(Stuck::Overturned, Direction::Level);
    let Righting { pull: up, catch, catch_force } =
        right(&gear, slope, vehicle, casualty, &pull, 0.1).expect("the kit does it");
    assert!(catch.layout.turns() && !up.layout.turns(), "whoever works the catch line stands aside");
    let (track, weight) = (vehicle.track.si(), 9.806_65 * vehicle.mass.si());
    let lean = 8.0_f64.to_radians();
    let centre = vehicle.loaded_centre_height().si() * lean.cos() + track / 2.0 * lean.sin();
    let wanted = (weight * centre / (track / 2.0 + 0.4)).max(weight / 2.0);
    assert!((pull.high / wanted - 1.0).abs() < 1e-9, "{} {wanted}", pull.high);
    let apart = vehicle.wheelbase.si() + 1.6;
    let to_front = (vehicle.centre_behind_front.si() + 0.8) / apart;
    let half = (apart / 2.0 / 3.0).asin();
    let leg = |force: f64| force * to_front.max(1.0 - to_front) / half.cos();
    let of = |rig: &Rig, role: Role| -> Vec<(f64, f64)> {
        let parts = rig.parts.iter().filter(|part| part.role == role);
        parts.map(|part| (part.load, part.rating)).collect()
    };
    assert!((of(&up, Role::Bridle)[0].0 / leg(wanted) - 1.0).abs() < 1e-6, "{up:?}");
    // Two sheaves of a tenth each, and parts that lie a little apart.
    let held = of(&catch, Role::Bridle)[0].0;
    assert!((1.0..1.3).contains(&(held / leg(catch_force))), "{catch:?}");
    for rig in [&up, &catch] {
        let points = of(rig, Role::CasualtyPoint);
        assert_eq!(points.len(), 2);
        for (load, rating) in points {
            assert!((load / (leg(wanted) + held) - 1.0).abs() < 1e-6, "{load}");
            assert!((rating / (0.5 * 4000.0 * 9.806_65) - 1.0).abs() < 1e-6 && load <= 0.9 * rating);
        }
    }
}

/// Wheels that do not turn are not dragged over a step, by whatever rig; and two lines that hold one vehicle move at the
/// pace of the slower winch: by hand, 0.015 m/s on one part.
#[test]
fn nothing_locked_is_dragged_over_a_step_and_two_lines_move_at_the_slower_pace() {
    let (course, told) = told(|_| {});
    let locked = told.ladders.iter().filter(|one| one.stuck == Stuck::Locked && one.slope == "old-incline");
    for ladder in locked.clone() {
        assert!(ladder.chosen().is_none(), "{ladder:?}");
        let why =
            |rung: &Rung| matches!(rung.does, Does::No { why: WhyNot::OverAStep | WhyNot::NoRatedPoint });
        assert!(ladder.rungs.iter().any(why), "{ladder:?}");
    }
    assert!(locked.count() >= 3 && course.slopes.iter().any(slopepack::course::Slope::has_step));
    let ladder = told.ladders_of("ramp", "shorty").find(|one| one.stuck == Stuck::Rolls).unwrap();
    let rung = ladder.chosen().unwrap();
    let (lowering, catch) = (rung.lowering.as_ref().unwrap(), rung.catch.as_ref().unwrap());
    assert!(catch.by_hand && !rung.rig.as_ref().unwrap().by_hand, "{rung:?}");
    let pace = 0.015 / f64::from(catch.parts_of_line);
    assert!((lowering.speed.unwrap() / pace - 1.0).abs() < 1e-6, "{lowering:?}");
    assert!((lowering.time.unwrap() * pace / rung.rig.as_ref().unwrap().travel - 1.0).abs() < 1e-6);
}

/// Two stages on the long haul road occur on a course that is shipped.
#[test]
fn two_stages_occur_on_a_course_that_is_shipped() {
    let saturday = recoveries(&read_text(SATURDAY).unwrap(), Depth::Likely);
    let haul = saturday.ladders.iter().filter(|ladder| ladder.slope == "haul");
    let staged: Vec<&Rung> =
        haul.filter_map(|ladder| ladder.chosen()).filter(|rung| rung.means == Means::TwoStages).collect();
    assert!(!staged.is_empty());
    for rung in staged {
        assert_eq!(rung.direction, Some(Direction::Up));
        // The ring half-way holds the first stage, the ring at the brow the second.
        let fast = &rung.rig.as_ref().unwrap().made_fast;
        assert!(fast.contains(&(Fastened::Winch, HeldBy::Anchor { id: "ring".to_owned() })), "{fast:?}");
    }
}

/// Kit of which nobody wrote down when it was last checked stays in the box where the course says so.
#[test]
fn kit_without_a_date_is_left_in_the_box_where_the_course_says_so() {
    let (course, told) = told(|course| {
        course.recovery.unchecked_kit = slopepack::course::UncheckedKit::Refuse;
    });
    let undated = |id: &str| course.kit.iter().any(|item| item.id == id && item.rig.inspected.is_none());
    let mut seen = 0;
    for part in told.ladders.iter().flat_map(|one| &one.rungs).flat_map(|rung| {
        rung.rig
            .iter()
            .chain(&rung.catch)
            .flat_map(|rig| &rig.parts)
            .chain(rung.tow.iter().flat_map(|tow| &tow.parts))
    }) {
        seen += 1;
        assert!(!undated(&part.id), "{part:?}");
    }
    assert!(seen > 0 && told.unfit.iter().any(|thing| thing.id == "shackle"));
}

/// The rule on missing gear over every kit of up to six parts: damper, guard, gloves, radios, chocks, a spare
/// shackle. A line that lacks one is said so, and where the course refuses it, no rung with a line is done.
#[test]
fn of_every_box_of_safety_gear_the_rule_on_what_is_missing_holds() {
    let quarry = read_text(QUARRY).unwrap();
    let kinds = [KitKind::Damper, KitKind::EdgeGuard, KitKind::Gloves, KitKind::Radio, KitKind::Chock];
    let gear = Gear::of(&quarry, quarry.surface_of(&quarry.slopes[0]));
    let (_, told) = told(|_| {});
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
