//! What a rigger reads of a recovery: no case asks for less than an easier one, every connection is listed where it is,
//! two stages say where their anchors stand, and a kit without a winch says that and nothing of stages.

use slopepack::course::{Course, read_text};
use slopepack::recovery::ladder::{Does, Means, Rung, WhyNot};
use slopepack::recovery::pull::{Direction, Stuck, System};
use slopepack::recovery::rig::{Fastened, HeldBy, Joins, Role};
use slopepack::recovery::{Depth, Recoveries, recoveries};

use crate::program::{Bench, squeezed, text_of};

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");
const HILL: &str = include_str!("../courses/hill-club-weekend.yaml");
const ROSTER: &str = include_str!("../courses/six-slope-saturday.csv");
const SATURDAY: &str = include_str!("../courses/six-slope-saturday.yaml");

fn told(text: &str) -> (Course, Recoveries) {
    let course = read_text(text).unwrap();
    let told = recoveries(&course, Depth::Likely);
    (course, told)
}

/// Wheels that do not turn are not pulled up with less than wheels that do: the maker's whole weight speaks for both.
#[test]
fn locked_wheels_ask_for_no_less_than_free_ones() {
    let mut seen = 0;
    for text in [QUARRY, HILL, SATURDAY] {
        let (course, told) = told(text);
        let up = |stuck: Stuck| {
            let all = told.all.iter();
            all.filter(move |one| one.pull.stuck == stuck && one.pull.direction == Direction::Up)
        };
        for locked in up(Stuck::Locked) {
            let same = |one: &&slopepack::recovery::Recovery| {
                (&one.slope, &one.vehicle) == (&locked.slope, &locked.vehicle)
            };
            let free = up(Stuck::Rolls).find(same).unwrap();
            assert!(locked.pull.high >= free.pull.high, "{} {}", locked.slope, locked.vehicle);
            let maker = locked.pull.systems.iter().find(|one| one.system == System::WinchMaker).unwrap();
            let mass = course.vehicles.iter().find(|one| one.id == locked.vehicle).unwrap().mass.si();
            assert!((maker.pull / (mass * 9.806_65) - 1.0).abs() < 1e-9);
            seen += 1;
        }
    }
    assert!(seen > 50, "{seen}");
}

fn rungs(told: &Recoveries) -> impl Iterator<Item = &Rung> {
    told.ladders.iter().flat_map(|one| &one.rungs)
}

/// One shackle for what the line pulls on, and one for each thing that holds it: counted from how the rig is made fast.
#[test]
fn every_connection_of_a_rig_is_listed_where_it_is() {
    let (mut rigs, mut winches) = (0, 0);
    for text in [QUARRY, SATURDAY] {
        let (course, told) = told(text);
        for rig in rungs(&told).flat_map(|rung| rung.rig.iter().chain(&rung.catch)) {
            rigs += 1;
            let shackles: Vec<Joins> = rig
                .parts
                .iter()
                .filter(|part| part.role == Role::Shackle)
                .map(|part| part.joins.unwrap())
                .collect();
            let count = |joins: Joins| shackles.iter().filter(|one| **one == joins).count();
            let portable = rig.host.is_none();
            let tied = rig.made_fast.iter().any(|(what, to)| {
                *what == Fastened::Winch && matches!(to, HeldBy::Anchor { .. } | HeldBy::Vehicle { .. })
            });
            assert_eq!(count(Joins::Winch), usize::from(tied), "{rig:?}");
            winches += usize::from(portable && tied);
            let fixed = rig.made_fast.iter().filter(|(what, _)| *what != Fastened::Winch).count();
            assert_eq!(count(Joins::FarEnd), fixed, "{rig:?}");
            let vehicles =
                rig.made_fast.iter().filter(|(_, to)| matches!(to, HeldBy::Vehicle { .. })).count();
            assert_eq!(count(Joins::Braked), vehicles, "{rig:?}");
            let points = rig.parts.iter().filter(|part| part.role == Role::CasualtyPoint).count();
            assert_eq!(count(Joins::Vehicle), points, "{rig:?}");
            assert!(course.kit.iter().any(|item| item.id == rig.parts[0].id));
        }
    }
    assert!(rigs > 20 && winches > 5, "{rigs} {winches}");
}

/// Without a winch no rung speaks of stages, lengths or what holds it meanwhile.
#[test]
fn a_kit_without_a_winch_says_that_there_is_none() {
    let (course, told) = told(HILL);
    let mut seen = 0;
    for ladder in &told.ladders {
        let vehicle = course.vehicles.iter().find(|one| one.id == ladder.vehicle).unwrap();
        if !vehicle.recovery_points.iter().any(|point| point.carries().is_ok()) {
            continue;
        }
        for rung in &ladder.rungs {
            let on_a_line =
                matches!(rung.means, Means::Lower | Means::SingleLine | Means::DoubleLine | Means::TwoStages);
            let cannot = matches!(
                rung.does,
                Does::No { why: WhyNot::CannotTurn | WhyNot::HeldFast | WhyNot::OnALeaningLine }
            );
            if on_a_line && !cannot {
                let none = Does::No { why: WhyNot::NoWinch { line: true, anchor: true } };
                assert!(rung.does == none || rung.does == Does::No { why: WhyNot::DoesNotRun }, "{rung:?}");
                seen += 1;
            }
        }
    }
    assert!(seen > 10, "{seen}");
}

fn pages(example: &str, names: &[&str]) -> Vec<String> {
    let bench = Bench::with_example(example);
    // The roster of the club's Saturday lies beside it.
    std::fs::write(bench.path("six-slope-saturday.csv"), ROSTER).unwrap();
    let mut args = vec!["--quiet", "pack", "day.yaml", "--into", "pack"];
    args.extend(names.iter().flat_map(|name| ["--only", name]));
    let ran = bench.run(&args);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let page = |name: &&str| text_of(&std::fs::read(bench.path(&format!("pack/{name}.pdf"))).unwrap());
    names.iter().map(page).collect()
}

fn assert_says(text: &str, words: &[&str]) {
    for words in words {
        assert!(text.contains(&squeezed(words)), "{words}: {text}");
    }
}

#[test]
fn a_club_without_a_winch_reads_what_is_missing_and_reckons_where_it_drives() {
    let [plan, lesson, briefing] =
        &pages("hill-club-weekend.yaml", &["recovery-plan", "recovery-lesson", "safety-briefing"])[..]
    else {
        unreachable!()
    };
    assert_says(
        plan,
        &["B, C: no winch with a rated line, no other line, no anchor", "FILL IN: trained rigger today"],
    );
    for words in ["4 stages", "set anew", "let down: there is"] {
        assert!(!plan.contains(&squeezed(words)), "{words}: {plan}");
    }
    assert_says(briefing, &["led by one trained rigger", "without one nothing is pulled"]);
    assert_says(lesson, &["on Pasture", "no rig of it does one", "grade by sixtieths"]);
    for words in ["Gravel chute", "choose a rig"] {
        assert!(!lesson.contains(&squeezed(words)), "{words}: {lesson}");
    }
}

/// Two rings in concrete: the plan says which comes first, how far up the track it must stand (by hand: the haul road is
/// 60 m, the vehicle 46 m below the brow, the last ring 6 m behind it, a haul of 30 m ends 4 m before its anchor, so
/// 46 + 6 + 4 − 30 = 26 m at least), and what else holds where nobody sits in it.
#[test]
fn two_stages_say_where_their_anchors_stand_and_who_sits_in_it() {
    let [plan, lesson] = &pages("six-slope-saturday.yaml", &["recovery-plan", "recovery-lesson"])[..] else {
        unreachable!()
    };
    assert_says(
        plan,
        &[
            "first to the “Tested ring in concrete” half-way, then to the one at the brow",
            "The first must stand 26 m to 30 m up the track from the vehicle",
            "Where the row says nobody aboard (wheels locked)",
            "Between two settings its locked wheels",
            "Bow shackle, winch to its strap",
            "Bow shackle, at the stuck vehicle",
            "an edge guard",
        ],
    );
    assert!(!plan.contains(&squeezed("the anchor set anew")), "{plan}");
    // The hand winch has no drum to wind full.
    assert_says(
        lesson,
        &["Wind the drum full. Not in this kit", "Show the turns left on the drum. Not in this kit"],
    );
}

/// The first rung wants a shovel, and boards where wheels sink: neither club has them, the quarry has both.
#[test]
fn what_the_first_rung_is_done_with_is_in_the_kit_or_said_to_be_missing() {
    for (example, lacks) in [
        ("hill-club-weekend.yaml", Some("Not in this kit: shovel, boards to drive out on")),
        ("six-slope-saturday.yaml", Some("Not in this kit: shovel, boards to drive out on")),
        ("quarry-day.yaml", None),
    ] {
        let [plan, index] = &pages(example, &["recovery-plan", "course-plan"])[..] else { unreachable!() };
        let Some(lacks) = lacks else {
            assert!(!plan.contains(&squeezed("Not in this kit: shovel")), "{plan}");
            continue;
        };
        assert_says(plan, &[lacks]);
        assert_says(
            index,
            &["the recovery ladder and the measuring stand on", "shovel; boards to drive out on"],
        );
    }
}
