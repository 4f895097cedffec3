//! What a place on a vehicle is, is read where the course says it, and answered alike in `check`, `reckon`
//! and the printed plan.

use crate::program::{Bench, squeezed, text_of};
use slopepack::course::{Course, PointFault, read_text};
use slopepack::problem::Problem;
use slopepack::recovery::gear::{Gear, Reason};
use slopepack::recovery::rig::Role;
use slopepack::recovery::{Depth, recoveries};

const EXAMPLE: &str = include_str!("../courses/quarry-day.yaml");
const HITCH: &str = "{place: rear hitch, kind: hitch, end: rear, working-load: 60 kN}";

/// Longer than any page shows: what matters stands at its end.
const LONG: &str =
    "behind the load bed, under the tail lamps, on the left of the long rear cross-member: tow ball";

fn with(point: &str) -> Result<Course, Vec<Problem>> {
    assert!(EXAMPLE.contains(HITCH));
    read_text(&EXAMPLE.replace(HITCH, point))
}

/// Whether a name is shown so: whole, or cut at its end.
fn is_shown_as(name: &str, shown: &str) -> bool {
    name == shown || shown.strip_suffix('…').is_some_and(|start| name.starts_with(start))
}

fn reason(course: &Course, place: &str) -> Option<Reason> {
    let gear = Gear::of(course, course.surface_of(&course.slopes[0]));
    gear.unfit.into_iter().find(|thing| is_shown_as(place, &thing.name)).map(|thing| thing.reason)
}

#[test]
fn a_place_is_what_its_kind_says_whatever_it_is_called() {
    let told = |kind: &str, place: &str, load: &str| {
        let course = with(&format!("{{place: '{place}', kind: {kind}, end: rear{load}}}")).unwrap();
        reason(&course, place)
    };
    let rated = ", working-load: 60 kN";
    for place in ["rear hitch", "front tow ball", LONG] {
        assert_eq!(told("tow-ball", place, rated), Some(Reason::Point(PointFault::TowBall)));
        assert_eq!(told("lashing-point", place, rated), Some(Reason::Point(PointFault::LashingPoint)));
        assert_eq!(told("bumper", place, rated), Some(Reason::Point(PointFault::Bumper)));
        assert_eq!(told("unknown", place, rated), Some(Reason::Point(PointFault::UnknownPoint)));
        assert_eq!(told("chassis-point", place, ""), Some(Reason::Point(PointFault::UnratedPoint)));
        assert_eq!(told("chassis-point", place, rated), None);
    }
}

#[test]
fn a_point_at_one_end_never_carries_a_pull_at_the_other() {
    let rear = "{place: rear left chassis, kind: chassis-point, end: rear, side: left, working-load: 4 t}";
    let front =
        "{place: 'rear cross-member, front face', kind: chassis-point, end: front, working-load: 2 t}";
    let other = "      - {place: rear right chassis, kind: chassis-point, end: rear, side: right, working-load: 4 t}\n";
    assert!(EXAMPLE.contains(rear) && EXAMPLE.contains(other));
    let course = read_text(&EXAMPLE.replace(rear, front).replace(other, "")).unwrap();
    let told = recoveries(&course, Depth::Every);
    let mut seen = 0;
    for recovery in told.all.iter().filter(|recovery| recovery.vehicle == "shorty") {
        for part in recovery.rigs.iter().flat_map(|rig| &rig.parts) {
            if part.role == Role::CasualtyPoint {
                seen += 1;
                assert_ne!(recovery.facing, slopepack::recovery::facing::Facing::Rear, "{part:?}");
            }
        }
    }
    assert!(seen > 0, "{seen}");
}

#[test]
fn a_point_without_kind_or_end_is_refused_with_the_line_to_write() {
    let problems = with("{place: 'rear 50 mm coupling ball', working-load: 60 kN}").unwrap_err();
    let [problem] = problems.as_slice() else { panic!("{problems:?}") };
    assert!(problem.message.contains("needs `kind` and `end`"), "{problem:?}");
    let help = problem.help.as_deref().unwrap_or_default();
    let line = "- {place: 'rear 50 mm coupling ball', kind: chassis-point, end: rear, working-load: 60 kN}";
    assert!(help.contains(line) && help.contains("tow-ball"), "{help}");
    let problems = with("{place: hitch, kind: hitch, working-load: 60 kN}").unwrap_err();
    assert!(problems[0].message.contains("needs `end`"), "{problems:?}");
    let problems = with("{place: hitch, kind: towball, end: rear, working-load: 60 kN}").unwrap_err();
    assert!(
        problems[0].help.as_deref().is_some_and(|help| help.contains("did you mean `tow-ball`")),
        "{problems:?}"
    );
    let problems = with("{place: hitch, kind: hitch, end: left, working-load: 60 kN}").unwrap_err();
    assert!(problems[0].message.contains("`left` is not known"), "{problems:?}");
}

/// The same answer everywhere, with a name longer than the page has room for.
#[test]
fn a_tow_ball_is_refused_alike_in_check_reckon_and_print() {
    let bench = Bench::with_example("quarry-day.yaml");
    let text = std::fs::read_to_string(bench.path("day.yaml")).unwrap();
    let ball = format!("{{place: '{LONG}', kind: tow-ball, end: rear, working-load: 60 kN}}");
    std::fs::write(bench.path("day.yaml"), text.replace(HITCH, &ball)).unwrap();
    let check = bench.run(&["check", "day.yaml"]);
    assert!(
        check.code == 0 && format!("{}{}", check.out, check.err).contains("tow ball is made for a trailer"),
        "{} {}",
        check.out,
        check.err
    );
    let reckon = bench.run(&["--quiet", "reckon", "day.yaml", "--json", "--vehicle", "hub-truck"]);
    let told: serde_json::Value = serde_json::from_str(&reckon.out).unwrap();
    let unfit = told["recovery_unfit"].as_array().unwrap();
    assert!(
        unfit.iter().any(|thing| thing["name"].as_str().is_some_and(|shown| is_shown_as(LONG, shown))
            && thing["reason"] == "tow_ball"),
        "{unfit:?}"
    );
    let up = |told: &&serde_json::Value| told["facing"] == "rear";
    let all = told["recoveries"].as_array().unwrap();
    assert!(all.iter().filter(up).count() > 10);
    for recovery in all.iter().filter(up) {
        assert_eq!(recovery["rigs"].as_array().unwrap().len(), 0, "{recovery}");
    }
    let ran = bench.run(&["--quiet", "pack", "day.yaml", "--into", "pack", "--only", "recovery-plan"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let plan = text_of(&std::fs::read(bench.path("pack/recovery-plan.pdf")).unwrap()).to_lowercase();
    assert!(plan.contains(&squeezed("made for a trailer")), "{plan}");
}

/// A rated point, an unrated one, a tow ball, a lashing point and one nobody knows, each the only one at the
/// rear: in the course's own words the machine's view and the printed plan say the same of each.
#[test]
fn five_kinds_of_points_are_answered_alike_in_reckon_and_on_the_printed_plan() {
    let cases = [
        ("chassis-point", "left chassis bracket", ", working-load: 60 kN", None),
        ("chassis-point", "bracket without a stamp", "", Some(("unrated_point", "no rating from the maker"))),
        (
            "tow-ball",
            "ball of the coupling",
            ", working-load: 60 kN",
            Some(("tow_ball", "a tow ball is made for a trailer")),
        ),
        (
            "lashing-point",
            "eye behind the wheel",
            ", working-load: 60 kN",
            Some(("lashing_point", "a lashing point holds a parked vehicle")),
        ),
        (
            "unknown",
            "hook the last owner fitted",
            ", working-load: 60 kN",
            Some(("unknown_point", "what it is fixed to is not known")),
        ),
    ];
    for (kind, place, load, fault) in cases {
        let bench = Bench::with_example("quarry-day.yaml");
        let text = std::fs::read_to_string(bench.path("day.yaml")).unwrap();
        let point = format!("{{place: {place}, kind: {kind}, end: rear{load}}}");
        std::fs::write(bench.path("day.yaml"), text.replace(HITCH, &point)).unwrap();
        let reckon = bench.run(&["--quiet", "reckon", "day.yaml", "--json", "--vehicle", "hub-truck"]);
        let told: serde_json::Value = serde_json::from_str(&reckon.out).unwrap();
        let unfit = told["recovery_unfit"].as_array().unwrap();
        let found = unfit.iter().find(|thing| thing["name"] == place);
        assert_eq!(
            found.map(|thing| thing["reason"].as_str().unwrap()),
            fault.map(|(reason, _)| reason),
            "{place}"
        );
        // On its rear hang what lets it down and what pulls it up.
        let ladders = told["ladders"].as_array().unwrap();
        let rungs = ladders.iter().flat_map(|ladder| ladder["rungs"].as_array().unwrap());
        let above = rungs.filter(|rung| rung["direction"] == "lower" || rung["direction"] == "up");
        let hung = above.filter(|rung| {
            let parts = rung["rig"]["parts"].as_array();
            parts.is_some_and(|parts| parts.iter().any(|part| part["name"] == place))
        });
        assert_eq!(hung.count() > 0, fault.is_none(), "{place}");
        let args = ["--quiet", "pack", "day.yaml", "--into", "pack", "--only", "recovery-plan"];
        let ran = bench.run(&args);
        assert_eq!(ran.code, 0, "{}", ran.err);
        let plan = text_of(&std::fs::read(bench.path("pack/recovery-plan.pdf")).unwrap()).to_lowercase();
        let as_part = plan.contains(&squeezed(&format!("d: {place}")));
        assert_eq!(as_part, fault.is_none(), "{place} as a part of a rig on the plan");
        if let Some((_, words)) = fault {
            assert!(plan.contains(&squeezed(&format!("{place}D{words}")).to_lowercase()), "{place}: {plan}");
        }
    }
}
