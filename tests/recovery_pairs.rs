//! A line and a catch line together against plain trying-out, over every small kit: what is offered keeps rating,
//! margin, side load and layout on every piece of both, no piece holds both, and no pair is missed.

use std::collections::BTreeMap;

use slopepack::course::End;
use slopepack::recovery::facing::Facing;
use slopepack::recovery::gear::{Gear, Helper, Pieces, Point, Winch};
use slopepack::recovery::ladder::pair::pair;
use slopepack::recovery::rig::{Rig, Role};
use slopepack::recovery::stance::Beside;
use slopepack::recovery::task::{Task, Ways};

use crate::recovery_brute::any_pair;

fn pieces(id: &str, limit: f64) -> Pieces {
    Pieces { id: id.to_owned(), name: id.to_owned(), limit: 1e3 * limit, count: 1, length: 0.0 }
}

fn winch(id: &str, first: f64) -> Winch {
    Winch {
        id: id.to_owned(),
        name: id.to_owned(),
        host: None,
        first: 1e3 * first,
        layers: Vec::new(),
        drum: None,
        line: Pieces { length: 60.0, ..pieces("rope", 40.0) },
        wraps: 0.0,
        speed: None,
        mounted: End::Front,
        by_hand: true,
        rope_through: true,
    }
}

/// A kit by how many there are of: shackles strong and weak, straps, anchors strong and weak, blocks.
fn kit([strong, weak, straps, anchors, stumps, blocks]: [usize; 6], points: f64) -> Gear {
    let many = |id: &str, limit: f64, count: usize| Pieces { count, ..pieces(id, limit) };
    let some = |all: Vec<Pieces>| all.into_iter().filter(|piece| piece.count > 0).collect();
    let rear = |limit: f64, place: &str| Point {
        place: place.to_owned(),
        end: End::Rear,
        side: None,
        limit: 1e3 * limit,
    };
    let stuck = Helper {
        id: "stuck".to_owned(),
        name: "stuck".to_owned(),
        points: vec![rear(points, "left"), rear(points - 4.0, "right")],
        holds: 0.0,
    };
    Gear {
        helpers: vec![stuck],
        winches: vec![winch("one", 30.0), winch("other", 22.0)],
        blocks: some(vec![many("block", 40.0, blocks)]),
        shackles: some(vec![many("strong", 46.0, strong), many("weak", 21.0, weak)]),
        straps: some(vec![many("strap", 38.0, straps)]),
        anchors: some(vec![many("rock", 33.0, anchors), many("stump", 19.0, stumps)]),
        ..Gear::default()
    }
}

fn task(pull: f64, middle: f64, beside: Beside) -> Task {
    Task {
        casualty: 0,
        pull: 1e3 * pull,
        distance: middle + 10.0,
        nearest: middle,
        travel: 10.0,
        reach: 2.2,
        askew: 0.03,
        sling: None,
        beside,
        facing: Facing::Rear,
        ways: Ways::PaidOut,
        most_settings: 4,
        margin: 0.2,
        thrifty: false,
    }
}

/// Every piece of both within its margin, none in both oftener than it is there, each line on its own point; by hand the
/// side load of lines 1.1 m across over the least length.
fn keeps_the_rules(gear: &Gear, middle: f64, both: [&Rig; 2]) {
    let mut used: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let off = ((1.1 / (middle - 2.2_f64)).atan().cos() * 0.03_f64.cos()).acos().to_degrees();
    for rig in both {
        assert!(rig.parts_of_line <= 2 && !rig.layout.turns());
        for part in &rig.parts {
            assert!(part.load <= 0.8 * part.rating + 1e-6, "{part:?}");
            *used.entry((&part.id, &part.name)).or_default() += 1;
            if part.role == Role::CasualtyPoint && rig.parts_of_line == 1 {
                let label =
                    gear.helpers[0].points.iter().find(|point| point.place == part.name).unwrap().limit;
                let share = if off <= 5.0 { 1.0 } else { 0.7 };
                assert!((part.rating - share * label).abs() < 1e-6, "{off} {part:?}");
            }
        }
    }
    let lists = [&gear.blocks, &gear.shackles, &gear.straps, &gear.anchors];
    for ((id, name), used) in used {
        let piece = lists.into_iter().flatten().find(|piece| piece.id == id);
        let there = piece.map_or(if name == "rope" { 2 } else { 1 }, |piece| piece.count);
        assert!(used <= there, "{id} {name}: {used} of {there}");
    }
}

#[test]
fn of_every_small_kit_two_lines_are_offered_when_plain_trying_out_finds_two() {
    let (mut offered, mut refused, mut sideways) = (0, 0, 0);
    for code in 0..5_usize * 5 * 5 * 3 * 3 * 2 {
        let counts =
            [code % 5 + 1, code / 5 % 5, code / 25 % 5, code / 125 % 3, code / 375 % 3, code / 1125 % 2];
        for (pull, middle, points) in [(14.0, 12.0, 32.0), (14.0, 16.0, 23.0), (9.0, 16.0, 34.0)] {
            let gear = kit(counts, points);
            let [first, catch] = [Beside::First, Beside::Second].map(|beside| task(pull, middle, beside));
            let found = pair(&gear, [&first, &catch], |_| true);
            assert_eq!(found.is_ok(), any_pair(&gear, [&first, &catch]), "{counts:?} {pull} {middle}");
            match found {
                Ok((rig, held)) => {
                    keeps_the_rules(&gear, middle, [&rig, &held]);
                    offered += 1;
                    sideways += usize::from(rig.off.to_degrees() > 5.0);
                }
                Err(_) => refused += 1,
            }
        }
    }
    assert!(offered > 300 && refused > 300 && sideways > 30, "{offered} {refused} {sideways}");
}
