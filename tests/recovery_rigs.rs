//! The search for rigs against plain trying-out, over random kits.

use proptest::prelude::*;
use slopepack::course::{Drum, End, KitKind, read_text};
use slopepack::quantity::Length;
use slopepack::recovery::facing::Facing;
use slopepack::recovery::gear::{Gear, Helper, Pieces, Point, Winch, unfit_reason};
use slopepack::recovery::rig::{Rig, Role};
use slopepack::recovery::{Depth, POINTS_APART, STANDING_ROOM, recoveries, search::search, task::Task};

/// What a place where the line is made fast must have.
#[derive(Clone, Copy, Debug)]
struct Place {
    lines: f64,
    block: bool,
}

/// A rig before anything is chosen: how the line runs.
#[derive(Clone, Debug)]
struct Run {
    self_recovery: bool,
    turned: bool,
    parts: f64,
    blocks: usize,
    casualty: Vec<Place>,
    fixed: Vec<Place>,
}

/// Every way to run a line through up to three blocks, from first principles: from the winch the line
/// goes to the other side and back, a block at each bend, until it is made fast.
fn runs() -> Vec<Run> {
    let mut all = Vec::new();
    for self_recovery in [true, false] {
        for turned in [false, true] {
            for bends in 0..=3 {
                let blocks = bends + usize::from(turned);
                if blocks > 3 || (turned && self_recovery) {
                    continue;
                }
                let mut sides = [Vec::new(), Vec::new()];
                // Side 0 is the winch's own side; the line first goes to side 1.
                let mut side = 1;
                for _ in 0..bends {
                    sides[side].push(Place { lines: 2.0, block: true });
                    side = 1 - side;
                }
                sides[side].push(Place { lines: 1.0, block: false });
                let [near, far] = sides;
                let (mut fixed, casualty) = if self_recovery { (far, near) } else { (near, far) };
                // Lines that shorten when the vehicle moves: all that end on its side.
                let mut parts: f64 = casualty.iter().map(|place| place.lines).sum();
                if self_recovery {
                    parts += 1.0;
                }
                if turned {
                    fixed.push(Place { lines: f64::sqrt(2.0), block: true });
                }
                all.push(Run { self_recovery, turned, parts, blocks, casualty, fixed });
            }
        }
    }
    all
}

/// Something that must be found in the kit, with what it carries.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Need {
    Block(f64),
    Shackle(f64),
    Strap(f64),
    CasualtyPoint(End, f64),
    HostPoint(End, f64),
    Anchor(f64),
    VehicleAnchor(f64),
    HostBrakes(f64),
}

/// A kit taken apart into single pieces, each used at most once.
struct Box0<'a> {
    gear: &'a Gear,
    casualty: usize,
    host: Option<usize>,
    blocks: Vec<(f64, bool)>,
    shackles: Vec<(f64, bool)>,
    straps: Vec<(f64, bool)>,
    anchors: Vec<(f64, bool)>,
    vehicles: Vec<bool>,
    casualty_points: Vec<bool>,
    host_points: Vec<bool>,
}

fn singles(pieces: &[Pieces]) -> Vec<(f64, bool)> {
    pieces.iter().flat_map(|piece| vec![(piece.limit, false); piece.count]).collect()
}

impl<'a> Box0<'a> {
    fn new(gear: &'a Gear, casualty: usize, host: Option<usize>) -> Self {
        let points = |place: usize| vec![false; gear.helpers[place].points.len()];
        Self {
            gear,
            casualty,
            host,
            blocks: singles(&gear.blocks),
            shackles: singles(&gear.shackles),
            straps: singles(&gear.straps),
            anchors: singles(&gear.anchors),
            vehicles: vec![false; gear.helpers.len()],
            casualty_points: points(casualty),
            host_points: host.map_or_else(Vec::new, points),
        }
    }

    /// Tries every piece for the first need, then the rest.
    fn fill(&mut self, needs: &[Need]) -> bool {
        let Some((need, rest)) = needs.split_first() else { return true };
        match *need {
            Need::Block(load) => self.each(rest, load, |me| &mut me.blocks),
            Need::Shackle(load) => self.each(rest, load, |me| &mut me.shackles),
            Need::Strap(load) => self.each(rest, load, |me| &mut me.straps),
            Need::Anchor(load) => self.each(rest, load, |me| &mut me.anchors),
            Need::CasualtyPoint(end, load) => {
                self.points(rest, self.casualty, end, load, |me| &mut me.casualty_points)
            }
            Need::HostPoint(end, load) => {
                self.points(rest, self.host.unwrap(), end, load, |me| &mut me.host_points)
            }
            Need::HostBrakes(load) => self.gear.helpers[self.host.unwrap()].holds >= load && self.fill(rest),
            Need::VehicleAnchor(load) => {
                for place in 0..self.vehicles.len() {
                    let helper = &self.gear.helpers[place];
                    let free = !self.vehicles[place] && place != self.casualty && Some(place) != self.host;
                    if free && helper.holds >= load && helper.points.iter().any(|point| point.limit >= load) {
                        self.vehicles[place] = true;
                        if self.fill(rest) {
                            return true;
                        }
                        self.vehicles[place] = false;
                    }
                }
                false
            }
        }
    }

    fn each(&mut self, rest: &[Need], load: f64, list: fn(&mut Self) -> &mut Vec<(f64, bool)>) -> bool {
        for place in 0..list(self).len() {
            let (limit, used) = list(self)[place];
            if !used && limit >= load {
                list(self)[place].1 = true;
                if self.fill(rest) {
                    return true;
                }
                list(self)[place].1 = false;
            }
        }
        false
    }

    fn points(
        &mut self,
        rest: &[Need],
        vehicle: usize,
        end: End,
        load: f64,
        list: fn(&mut Self) -> &mut Vec<bool>,
    ) -> bool {
        for place in 0..list(self).len() {
            let point = &self.gear.helpers[vehicle].points[place];
            let at = point.end == end;
            if at && !list(self)[place] && point.limit >= load {
                list(self)[place] = true;
                if self.fill(rest) {
                    return true;
                }
                list(self)[place] = false;
            }
        }
        false
    }
}

/// Whether any rig does it, by trying everything out.
fn any_rig(gear: &Gear, task: &Task) -> bool {
    gear.winches.iter().any(|winch| runs().iter().any(|run| run_works(gear, task, winch, run)))
}

fn run_works(gear: &Gear, task: &Task, winch: &Winch, run: &Run) -> bool {
    // A winch at the front pulls no vehicle backwards.
    let backwards = run.self_recovery && task.facing != Facing::Front;
    if backwards || (winch.host == Some(task.casualty)) != run.self_recovery {
        return false;
    }
    #[allow(clippy::cast_precision_loss)]
    let line = task.pull * (1.0 + 0.1 * run.blocks as f64) / run.parts;
    if line > winch.pull(run.parts * STANDING_ROOM.min(task.distance)) || line > winch.line.limit {
        return false;
    }
    let ends: &[End] = match task.facing {
        Facing::Front => &[End::Front],
        Facing::Rear => &[End::Rear],
        Facing::Side => &[End::Front, End::Rear],
    };
    ends.iter().any(|end| {
        lengthened(gear, task, winch, run, line).into_iter().any(|more| {
            joined(gear, run, *end, line).into_iter().any(|casualty| {
                made_fast(winch, run, line).into_iter().any(|fixed| {
                    let needs = [more.clone(), casualty.clone(), fixed].concat();
                    Box0::new(gear, task.casualty, winch.host).fill(&needs)
                })
            })
        })
    })
}

/// What an extension line asks for, for each that reaches; nothing where the line alone does.
fn lengthened(gear: &Gear, task: &Task, winch: &Winch, run: &Run, line: f64) -> Vec<Vec<Need>> {
    if run.parts * task.distance <= winch.usable() {
        return vec![Vec::new()];
    }
    let away = if run.self_recovery { &run.fixed } else { &run.casualty };
    let [only] = away.as_slice() else { return Vec::new() };
    let load = only.lines * line;
    let fits = |piece: &&Pieces| {
        let span = task.distance - piece.length;
        piece.limit >= load && span >= STANDING_ROOM + 1.0 && run.parts * span <= winch.usable()
    };
    gear.lines.iter().filter(fits).map(|_| vec![Need::Shackle(load)]).collect()
}

fn joint(place: Place, line: f64) -> Vec<Need> {
    let load = place.lines * line;
    let block = place.block.then_some(Need::Block(load));
    std::iter::once(Need::Shackle(load)).chain(block).collect()
}

/// What the stuck vehicle's side asks for: straight to points, or through a bridle.
fn joined(gear: &Gear, run: &Run, end: End, line: f64) -> Vec<Vec<Need>> {
    let joints: Vec<Need> = run.casualty.iter().flat_map(|place| joint(*place, line)).collect();
    let straight = run.casualty.iter().map(|place| Need::CasualtyPoint(end, place.lines * line));
    let mut all = vec![joints.iter().copied().chain(straight).collect()];
    if let [only] = run.casualty.as_slice() {
        for bridle in &gear.bridles {
            let half = f64::asin((POINTS_APART / 2.0 / bridle.length).min(1.0));
            let leg = only.lines * line / (2.0 * half.cos());
            if half.to_degrees() <= 60.0 && leg <= bridle.limit {
                let legs = [
                    Need::Shackle(leg),
                    Need::Shackle(leg),
                    Need::CasualtyPoint(end, leg),
                    Need::CasualtyPoint(end, leg),
                ];
                all.push(joints.iter().copied().chain(legs).collect());
            }
        }
    }
    all
}

/// What the other side asks for, every way to make it fast.
fn made_fast(winch: &Winch, run: &Run, line: f64) -> Vec<Vec<Need>> {
    let mut ways: Vec<(Vec<Need>, f64, bool)> = vec![(Vec::new(), 0.0, false)];
    for place in &run.fixed {
        let load = place.lines * line;
        let mut next = Vec::new();
        for (needs, on_host, hosted) in &ways {
            let with = |more: Vec<Need>| [needs.clone(), joint(*place, line), more].concat();
            next.push((with(vec![Need::Anchor(load), Need::Strap(load)]), *on_host, *hosted));
            next.push((with(vec![Need::VehicleAnchor(load), Need::Shackle(load)]), *on_host, *hosted));
            if winch.host.is_some() && !run.self_recovery && !run.turned && !hosted {
                next.push((with(vec![Need::HostPoint(End::Front, load)]), on_host + load, true));
            }
        }
        ways = next;
    }
    if run.self_recovery {
        return ways.into_iter().map(|(needs, ..)| needs).collect();
    }
    let mut all = Vec::new();
    for (needs, on_host, _) in ways {
        let whole = line + on_host;
        let ground = [Need::Anchor(whole), Need::Strap(whole), Need::Shackle(whole)];
        let vehicle = [Need::VehicleAnchor(whole), Need::Shackle(whole), Need::Shackle(whole)];
        let with = |more: &[Need]| [needs.as_slice(), more].concat();
        if winch.host.is_some() {
            let back = Need::HostPoint(End::Rear, whole);
            all.push([with(&ground), vec![back]].concat());
            all.push([with(&vehicle), vec![back, Need::Strap(whole)]].concat());
            all.push(with(&[Need::HostBrakes(whole)]));
        } else {
            all.push(with(&ground));
            all.push(with(&vehicle));
        }
    }
    all
}

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
            .map(|(end, limit)| Point { place: "point".to_owned(), end, limit: 1e3 * limit })
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
    (prop::option::of(0..3usize), 10.0..60.0f64, drum, 8.0..60.0f64, 15.0..90.0f64).prop_map(
        |(host, first, drum, limit, length)| Winch {
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
        },
    )
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
        Gear { helpers, winches, blocks, shackles, straps, bridles, lines, anchors, unfit: Vec::new() }
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

proptest! {
    #![proptest_config(ProptestConfig { cases: 6000, failure_persistence: Some(Box::new(
        proptest::test_runner::FileFailurePersistence::Direct("tests/recovery_rigs.regressions"))), ..ProptestConfig::default() })]
    #[test]
    fn a_rig_is_found_exactly_when_trying_everything_out_finds_one(
        gear in any_gear(),
        pull in 2.0..80.0f64,
        distance in 6.0..30.0f64,
        facing in facing(),
    ) {
        let task = Task { casualty: 0, pull: 1e3 * pull, distance, travel: distance - STANDING_ROOM, facing };
        let found = search(&gear, &task);
        for rig in &found.rigs {
            prop_assert!(rig.parts.iter().all(|part| part.load <= part.rating), "{rig:?}");
            no_piece_twice(&gear, rig);
        }
        let there_is = any_rig(&gear, &task);
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
                    prop_assert!(part.load <= part.rating, "{part:?}");
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
        let task = Task { casualty: 0, pull: 1e3 * pull, distance, travel: distance - STANDING_ROOM, facing };
        let found = search(&gear, &task);
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
