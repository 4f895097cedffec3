//! What once went wrong on a club's weekend, and is not to come back.

use std::fs;

use slopepack::course::{Course, Role, read_text};
use slopepack::pack::{Book, KINDS};
use slopepack::print::Templates;
use slopepack::rota::{Missing, NoRota, Patience, check, missing_of, plan, replan};

use crate::program::{Bench, squeezed, text_at};
use crate::rota_plan::{SATURDAY, saturday_said};

const COURSE: &str = include_str!("../courses/six-slope-saturday.yaml");

/// The Saturday, bent, with its roster.
fn saturday(bend: impl Fn(&str) -> String) -> Bench {
    let bench = Bench::with_course(&bend(COURSE));
    fs::write(bench.path("six-slope-saturday.csv"), include_str!("../courses/six-slope-saturday.csv"))
        .expect("it is written");
    bench
}

fn pack(bench: &Bench, more: &[&str]) {
    let ran = bench.run(&[&["pack", "day.yaml", "--into", "out", "--quiet"], more].concat());
    assert_eq!(ran.code, 0, "{more:?}: {}", ran.err);
}

fn filled(book: &Book, name: &str) -> String {
    let templates = Templates::embedded().expect("all templates parse");
    let kind = KINDS.iter().find(|kind| kind.name == name).expect("a document");
    kind.fill(book, &templates).expect("it has one").expect("it fills").text
}

fn morning() -> Book<'static> {
    let mut book = saturday_said(&SATURDAY.0);
    book.rotate(&Missing::default()).expect("a rota");
    book
}

#[test]
fn whoever_stands_in_is_named_on_every_sheet_that_named_who_is_missing() {
    let person = "{name: Instructor P, role: instructor}";
    let bench = saturday(|text| text.replace(person, "{name: Instructor P, role: instructor, deputy: lead}"));
    let names = [
        "attendance",
        "radio-plan",
        "incident-form",
        "safety-briefing",
        "leader-sheet",
        "after-day",
        "course-plan",
        "risk-assessment",
    ];
    let only: Vec<&str> = names.iter().flat_map(|name| ["--only", name]).collect();
    pack(&bench, &only);
    pack(&bench, &[&["--without", "Training officer", "--printed", "08:40"], &only[..]].concat());
    for name in names {
        let place = if name == "leader-sheet" { "confidential/" } else { "" };
        let at = |folder: &str| text_at(&bench.path(&format!("{folder}/{place}{name}.pdf")));
        assert!(at("out").contains("Trainingofficer"), "{name}");
        let now = at("out/change");
        // Who drew it up stays who drew it up.
        let named = now.replace("Assessedby:Trainingofficer", "").replace("Preparedby:Trainingofficer", "");
        assert!(named.contains("InstructorP") && !named.contains("Trainingofficer"), "{name}: {now}");
    }
    assert!(
        text_at(&bench.path("out/change/confidential/leader-sheet.pdf")).contains("OnlyInstructorPreads")
    );
}

#[test]
fn everything_that_names_what_changed_is_printed_again_and_names_it_no_more() {
    let bench = saturday(str::to_owned);
    let change = |name: &str| {
        let path = bench.path(&format!("out/change/{name}.pdf"));
        path.exists().then(|| text_at(&path))
    };
    pack(&bench, &["--without", "step", "--printed", "08:40"]);
    for name in ["certificate", "driver-cards", "marshal-cards"] {
        let now = change(name).unwrap_or_else(|| panic!("{name} is printed again"));
        assert!(!now.contains("Hillstep"), "{name}: {now}");
    }
    for name in ["course-plan", "after-day", "radio-plan", "run-sheets"] {
        assert!(change(name).is_some(), "{name} is printed again");
    }
    let planned = change("after-day").expect("printed");
    assert!(planned.contains("S1Thelawn48") && planned.contains("S3Hillstep0"), "{planned}");
    let list = change("take-back").expect("a list");
    assert!(list.contains("AtS3Hillstepslopecards;closetheslopewithtape"), "{list}");
    assert!(!bench.path("out/change/attendance.pdf").exists(), "nobody came or went");
    pack(&bench, &["--without", "A. B.", "--printed", "08:50"]);
    for name in ["attendance", "convoy", "run-sheets"] {
        let now = change(name).unwrap_or_else(|| panic!("{name} is printed again"));
        let names = now.replace("A.B.missing", "");
        assert!(!names.contains("A.B."), "{name}: {now}");
    }
    let list = change("take-back").expect("a list");
    assert!(list.contains("certificateofA.B."), "{list}");
    let convoy = change("convoy").expect("printed");
    for group in 1..=4 {
        assert!(convoy.contains(&format!("Group{group}to")), "the others leave as well: {convoy}");
    }
}

#[test]
fn one_instructor_of_two_gone_leaves_a_day_that_says_what_it_gives_up() {
    let (course, reckoning, _) = &*SATURDAY;
    let mut course = course.clone();
    course.people.retain(|one| {
        one.role != Role::Instructor || ["Instructor K", "Instructor L"].contains(&one.name.full())
    });
    let rules = course.rota.as_mut().expect("rules");
    (rules.place, rules.until) = (None, 22 * 60);
    let rota = plan(&course, reckoning).map_err(|why| why.to_string()).expect("a long day");
    let gone = missing_of(&course, &["Instructor K".to_owned()]).expect("known");
    let change = replan(&course, reckoning, &rota, &gone, Patience::default());
    let change = change.map_err(|why| why.to_string()).expect("what can be done");
    let mut faults = check(&course, reckoning, &change.rota, &gone);
    faults.retain(|fault| !matches!(fault, slopepack::rota::Fault::SpareUsed(_)));
    assert_eq!(faults, []);
    assert!(!change.rota.given_up.is_empty() && !change.rota.visits.is_empty(), "{:?}", change.rota.given_up);
}

#[test]
fn what_counting_alone_rules_out_is_said_with_the_count() {
    let (course, reckoning, _) = &*SATURDAY;
    let mut course = course.clone();
    let spared = ["Marshal 1", "Marshal 3", "Marshal 5"];
    course.people.retain(|one| one.role != Role::Marshal || spared.contains(&one.name.full()));
    let NoRota::Clash(clash) = plan(&course, reckoning).expect_err("three marshals") else {
        panic!("a clash")
    };
    let text = clash.to_string();
    assert!(text.contains("marshals are needed") && text.contains("slots are needed"), "{text}");
}

#[test]
fn everybody_is_told_when_to_come_and_leaves_the_gate_in_the_order_of_the_stations() {
    let book = morning();
    let letter = squeezed(&filled(&book, "joining-notes"));
    let session = &SATURDAY.0.day.sessions[0];
    let (time, title) = (session.start.to_string(), squeezed(session.title.full()));
    let at = letter.find(&title).expect("the first session");
    assert!(letter[..at].contains(&time), "{letter}");
    let convoy = filled(&book, "convoy");
    let times: Vec<&str> =
        convoy.match_indices("there at ").map(|(at, words)| &convoy[at + words.len()..][..5]).collect();
    assert!(times.len() == 4 && times.is_sorted(), "{times:?}");
}

#[test]
fn the_roll_has_rows_for_those_nobody_expected() {
    let text = filled(&morning(), "attendance");
    let blank = text.matches("([#\"\";], [#\"\";], ").count();
    assert!(blank >= 4, "{blank} blank rows: {text}");
}

#[test]
fn what_changed_is_white_on_black() {
    let mut book = morning();
    let gone = missing_of(&SATURDAY.0, &["lawn".to_owned()]).expect("known");
    assert_eq!(filled(&book, "run-sheets").matches("table.cell(fill: ink)").count(), 0);
    book.rotate(&gone).expect("a change");
    let change = book.change.as_ref().expect("a change");
    let slots = change.drivers.len() + change.people.len();
    let cells = filled(&book, "run-sheets").matches("table.cell(fill: ink)").count();
    assert!(slots > 0 && cells >= slots, "{cells} cells for {slots} slots");
}

#[test]
fn no_group_waits_more_than_a_slot_when_nobody_has_to() {
    let (_, _, rota) = &*SATURDAY;
    for group in 0..rota.groups.len() {
        let mut slots: Vec<usize> =
            rota.visits.iter().filter(|visit| visit.group == group).map(|visit| visit.slot).collect();
        slots.sort_unstable();
        let longest = slots.windows(2).map(|pair| pair[1] - pair[0] - 1).max();
        assert!(longest <= Some(1), "group {}: {slots:?}", group + 1);
    }
}

#[test]
fn a_course_whose_drivers_bring_their_own_needs_no_fleet() {
    let text = include_str!("../courses/two-day-camp.yaml");
    let from = text.find("\nvehicles:\n").expect("a fleet") + 1;
    let to = from + text[from..].find("\nkit:\n").expect("the kit") + 1;
    let without = format!("{}{}", &text[..from], &text[to..]);
    let own = |text: &str| -> Course { read_text(text).unwrap_or_else(|problems| panic!("{problems:?}")) };
    let course = own(&without);
    assert_eq!(course.vehicles.len(), 5, "two share one");
    let bench = Bench::with_course(&without);
    let checked = bench.run(&["check", "day.yaml", "--quiet"]);
    assert!(checked.code == 0 && checked.out.contains("day 2 of 2"), "{}{}", checked.out, checked.err);
    // Where there is no roster, somebody has to say what is driven.
    let cut = &without[..without.find("\nroster:\n").expect("a roster")];
    let problems = read_text(cut).expect_err("neither fleet nor roster");
    assert!(format!("{problems:?}").contains("vehicles: [{id: wagon-1"), "{problems:?}");
}
