//! The search for rigs against plain trying-out, over random kits and over every small one.

use crate::recovery_brute::{Place, Wanted, any_rig, runs};
use proptest::prelude::*;
use slopepack::course::{Drum, End, KitKind, read_text};
use slopepack::quantity::Length;
use slopepack::recovery::facing::Facing;
use slopepack::recovery::gear::{Gear, Helper, Pieces, Point, Winch, unfit_reason};
use slopepack::recovery::rig::{Rig, Role};
use slopepack::recovery::search::search;
use slopepack::recovery::stance::Beside;
use slopepack::recovery::task::{Task, Ways};
use slopepack::recovery::{Depth, STANDING_ROOM, recoveries};

fn pieces(name: &'static str, most: usize, count: usize) -> impl Strategy<Value = Vec<Pieces>> {
    proptest::collection::vec((6.0..90.0f64, 1..=count, 0.3..12.0f64), most.min(1)..=most).prop_map(
        move |all| {
            let mut all: Vec<Pieces> = all
                .into_iter()
                .enumerate()
                .map(|(place, (limit, count, length))| Pieces {
                    id: format!("{name}-{place}"),
                    name: name.to_owned(),
                    limit: 1e3 * limit,
                    count,
                    length,
                })
                .collect();
            all.sort_by(|a, b| b.limit.total_cmp(&a.limit));
            all
        },
    )
}

fn facing() -> impl Strategy<Value = Facing> {
    prop_oneof![Just(Facing::Front), Just(Facing::Rear), Just(Facing::Side)]
}

fn helper() -> impl Strategy<Value = Helper> {
    let end = prop_oneof![Just(End::Front), Just(End::Rear)];
    let points = proptest::collection::vec((end, 8.0..90.0f64), 0..4);
    (points, 2.0..50.0f64).prop_map(|(points, holds)| {
        let mut points: Vec<Point> = points
            .into_iter()
            .map(|(end, limit)| Point { place: "point".to_owned(), end, side: None, limit: 1e3 * limit })
            .collect();
        points.sort_by(|a, b| b.limit.total_cmp(&a.limit));
        Helper { id: "helper".to_owned(), name: "helper".to_owned(), points, holds: 1e3 * holds }
    })
}

fn winch() -> impl Strategy<Value = Winch> {
    let drum = prop::option::of((0.05..0.09f64).prop_map(|barrel| Drum {
        barrel: Length::new(barrel),
        width: Length::new(0.22),
        rope: Length::new(0.010),
    }));
    let ends = prop_oneof![Just(End::Front), Just(End::Rear)];
    (prop::option::of(0..3usize), 10.0..60.0f64, drum, 8.0..60.0f64, 15.0..90.0f64, ends, any::<bool>())
        .prop_map(|(host, first, drum, limit, length, mounted, by_hand)| Winch {
            id: "winch".to_owned(),
            name: "winch".to_owned(),
            host,
            first: 1e3 * first,
            layers: Vec::new(),
            drum,
            line: Pieces {
                id: "line".to_owned(),
                name: "line".to_owned(),
                limit: 1e3 * limit,
                count: 1,
                length,
            },
            wraps: 10.0,
            speed: Some(0.05),
            mounted,
            by_hand,
            rope_through: false,
        })
}

prop_compose! {
    fn any_gear()(
        helpers in proptest::collection::vec(helper(), 3),
        winches in proptest::collection::vec(winch(), 1..3),
        blocks in pieces("block", 3, 2),
        shackles in pieces("shackle", 3, 4),
        straps in pieces("strap", 2, 2),
        bridles in pieces("bridle", 1, 1),
        lines in pieces("extension", 1, 1),
        anchors in pieces("anchor", 2, 2),
    ) -> Gear {
        Gear { helpers, winches, blocks, shackles, straps, bridles, lines, anchors, ..Gear::default() }
    }
}

/// No piece is used more often than there is of it.
fn no_piece_twice(gear: &Gear, rig: &Rig) {
    for (role, list) in [
        (Role::Block, &gear.blocks),
        (Role::Shackle, &gear.shackles),
        (Role::Strap, &gear.straps),
        (Role::Anchor, &gear.anchors),
    ] {
        for piece in list {
            let used = rig.parts.iter().filter(|part| part.role == role && part.id == piece.id).count();
            assert!(used <= piece.count, "{} of {}", used, piece.id);
        }
    }
}

fn task(pull: f64, distance: f64, facing: Facing, ways: Ways, margin: f64) -> Task {
    askew_task(pull, distance, if facing == Facing::Side { 90.0 } else { 0.0 }, facing, ways, margin)
}

/// With a line that leaves the stuck vehicle so many degrees off its own.
fn askew_task(pull: f64, distance: f64, askew: f64, facing: Facing, ways: Ways, margin: f64) -> Task {
    let travel = if ways.pays_out() { distance / 2.0 } else { distance - STANDING_ROOM };
    let nearest = distance - travel;
    let askew = f64::to_radians(askew);
    let (reach, beside) = (1.9, Beside::Alone);
    Task {
        casualty: 0,
        pull: 1e3 * pull,
        distance,
        nearest,
        travel,
        reach,
        askew,
        sling: None,
        beside,
        facing,
        ways,
        most_settings: 6,
        margin,
        thrifty: false,
    }
}

/// No rig on the same rung, with the same kind of winch, has more margin and less line under load than
/// the first of that rung.
fn none_is_missed(gear: &Gear, task: &Task, rigs: &[Rig]) {
    for single in [true, false] {
        let Some(first) = rigs.iter().find(|rig| (rig.parts_of_line == 1) == single) else { continue };
        if first.by_hand {
            let powered = Wanted { single: Some(single), by_hand: Some(false), ..Wanted::any(task) };
            assert!(!any_rig(gear, task, powered), "a powered winch does it: {first:?}");
        }
        let better = Wanted {
            margin: first.margin + 1e-6,
            shorter: first.rigged_length - 1e-2,
            single: Some(single),
            by_hand: Some(first.by_hand),
        };
        assert!(!any_rig(gear, task, better), "better than {first:?}");
    }
}

/// Every kit of up to six parts of a box: what is offered keeps the rules, and nothing better is missed.
#[test]
fn of_every_small_kit_the_best_rig_is_offered_and_no_rule_is_broken() {
    let pieces = |id: &str, limit: f64, length: f64| Pieces {
        id: id.to_owned(),
        name: id.to_owned(),
        limit: 1e3 * limit,
        count: 1,
        length,
    };
    let winch = |id: &str, host, by_hand| Winch {
        id: id.to_owned(),
        name: id.to_owned(),
        host,
        first: 40e3,
        layers: Vec::new(),
        drum: None,
        line: pieces("line", 35.0, 28.0),
        wraps: 10.0,
        speed: None,
        mounted: End::Front,
        by_hand,
        rope_through: by_hand,
    };
    let put = |gear: &mut Gear, kind: usize| {
        let (list, piece) = match kind {
            0 => return gear.winches.push(winch("powered", Some(1), false)),
            1 => return gear.winches.push(winch("hand", None, true)),
            2 => (&mut gear.blocks, pieces("block", 50.0, 0.0)),
            3 => (&mut gear.shackles, pieces("shackle", 45.0, 0.0)),
            4 => (&mut gear.straps, pieces("strap", 40.0, 3.0)),
            5 => (&mut gear.anchors, pieces("anchor", 30.0, 0.0)),
            _ => (&mut gear.lines, pieces("extension", 30.0, 8.0)),
        };
        match list.first_mut() {
            Some(known) => known.count += 1,
            None => list.push(piece),
        }
    };
    let point = |end| Point { place: "point".to_owned(), end, side: None, limit: 40e3 };
    let helper = |holds: f64| Helper {
        id: "helper".to_owned(),
        name: "helper".to_owned(),
        points: vec![point(End::Front), point(End::Rear)],
        holds: 1e3 * holds,
    };
    let (mut kits, mut offered) = (0, 0);
    let mut rest: Vec<(Vec<usize>, usize)> = vec![(Vec::new(), 0)];
    while let Some((kit, least)) = rest.pop() {
        if kit.len() < 6 {
            rest.extend((least..7).map(|kind| ([kit.as_slice(), &[kind]].concat(), kind)));
        }
        let mut gear = Gear { helpers: vec![helper(0.0), helper(18.0)], ..Gear::default() };
        for kind in &kit {
            put(&mut gear, *kind);
        }
        kits += 1;
        for (pull, distance, ways) in [(9.0, 20.0, Ways::All), (14.0, 24.0, Ways::PaidOut)] {
            let task = task(pull, distance, Facing::Rear, ways, 0.2);
            let found = search(&gear, &task);
            offered += usize::from(!found.rigs.is_empty());
            assert!(found.rigs.iter().all(|rig| rig.keeps(0.2) && ways.allows(rig.layout)), "{kit:?}");
            for rig in &found.rigs {
                no_piece_twice(&gear, rig);
            }
            assert_eq!(!found.rigs.is_empty(), any_rig(&gear, &task, Wanted::any(&task)), "{kit:?}");
            none_is_missed(&gear, &task, &found.rigs);
        }
    }
    assert!(kits == 1716 && offered > 150, "{kits} kits, {offered} offers");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6000, failure_persistence: Some(Box::new(
        proptest::test_runner::FileFailurePersistence::Direct("tests/recovery_rigs.regressions"))), ..ProptestConfig::default() })]
    #[test]
    fn a_rig_is_found_exactly_when_trying_everything_out_finds_one(
        gear in any_gear(),
        pull in 2.0..80.0f64,
        distance in 6.0..30.0f64,
        facing in facing(),
        ways in prop_oneof![Just(Ways::All), Just(Ways::Aside), Just(Ways::PaidOut), Just(Ways::PaidOutAside)],
        margin in 0.0..0.4f64,
        askew in prop_oneof![0.0..4.0f64, 6.0..40.0f64, 50.0..90.0f64],
        beside in prop_oneof![Just(Beside::Alone), Just(Beside::First), Just(Beside::Second)],
    ) {
        let task = Task { beside, ..askew_task(pull, distance, askew, facing, ways, margin) };
        let found = search(&gear, &task);
        for rig in &found.rigs {
            prop_assert!(rig.keeps(margin), "{rig:?}");
            no_piece_twice(&gear, rig);
        }
        none_is_missed(&gear, &task, &found.rigs);
        let there_is = any_rig(&gear, &task, Wanted::any(&task));
        prop_assert_eq!(!found.rigs.is_empty(), there_is, "{:#?}", found);
        // What is not accepted is refused with a reason; each layout is one or the other.
        prop_assert_eq!(found.rigs.len() + found.refused.len(), 11);
    }
}

#[test]
fn the_layouts_are_all_ways_to_run_a_line_through_three_blocks() {
    use slopepack::recovery::layout::{Joint, LAYOUTS, WinchAt};
    let runs = runs();
    assert_eq!(runs.len(), LAYOUTS.len());
    for run in &runs {
        let count =
            |places: &[Place], block: bool| places.iter().filter(|place| place.block == block).count();
        let fits = LAYOUTS.iter().filter(|layout| {
            let blocks = |joints: &[Joint], block: bool| {
                joints.iter().filter(|joint| joint.has_block() == block).count()
            };
            (layout.winch == WinchAt::Casualty) == run.self_recovery
                && layout.turns() == run.turned
                && (f64::from(layout.parts) - run.parts).abs() < 1e-9
                && layout.blocks() == run.blocks
                && [true, false].iter().all(|block| {
                    blocks(layout.casualty, *block) == count(&run.casualty, *block)
                        && blocks(layout.fixed, *block) == count(&run.fixed, *block)
                })
        });
        assert_eq!(fits.count(), 1, "{run:?}");
    }
}

const EXAMPLE: &str = include_str!("../courses/quarry-day.yaml");

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    /// The whole course with its kit's figures scaled, taken away or retired at random: what is
    /// accepted is within what the labels say, and nothing without a figure is ever in a rig.
    #[test]
    fn no_accepted_rig_of_a_course_has_a_part_over_its_label(changes in proptest::collection::vec((0.2..2.0f64, 0..6u8), 40)) {
        let mut course = read_text(EXAMPLE).unwrap();
        for (item, (scale, kind)) in course.kit.iter_mut().zip(changes) {
            let rating = &mut item.rating;
            rating.working_load = rating.working_load.map(|load| load * scale);
            rating.breaking = rating.breaking.map(|load| load * scale);
            match kind {
                0 => rating.design_factor = None,
                1 => rating.working_load = None,
                2 => item.rig.condition = slopepack::course::Condition::Retired,
                _ => {}
            }
        }
        let told = recoveries(&course, Depth::Likely);
        for recovery in &told.all {
            for rig in &recovery.rigs {
                for part in &rig.parts {
                    prop_assert!(part.keeps(course.recovery.margin), "{part:?}");
                    let Some(item) = course.kit.iter().find(|item| item.id == part.id) else { continue };
                    if item.kind != KitKind::GroundAnchor {
                        prop_assert!(unfit_reason(item).is_none(), "{}", item.id);
                        let label = item.rating.working_load.or_else(|| Some(item.rating.breaking? / item.rating.design_factor?.si()));
                        prop_assert!(part.load <= label.unwrap() + 1e-6, "{part:?}");
                    }
                }
            }
        }
    }
}

/// The random kits are neither all hopeless nor all easy: every layout does some and is refused some.
#[test]
fn random_kits_put_every_layout_to_use() {
    use proptest::strategy::ValueTree as _;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let strategy = (any_gear(), 2.0..80.0f64, 6.0..30.0f64, facing());
    let (mut with, mut layouts, mut bridles, mut longer) = (0, std::collections::BTreeSet::new(), 0, 0);
    for _ in 0..6000 {
        let (gear, pull, distance, facing) = strategy.new_tree(&mut runner).unwrap().current();
        let found = search(&gear, &task(pull, distance, facing, Ways::All, 0.0));
        with += usize::from(!found.rigs.is_empty());
        for rig in &found.rigs {
            layouts.insert(rig.layout.id);
            bridles += usize::from(rig.bridle_half_angle.is_some());
            longer += usize::from(rig.parts.iter().any(|part| part.role == Role::Extension));
        }
    }
    assert!((600..5400).contains(&with), "{with} of 6000 kits do it");
    assert_eq!(layouts.len(), 11, "{layouts:?}");
    assert!(bridles > 2 && longer > 20, "{bridles} bridles, {longer} extensions");
}
