//! Rain on the day: a slope reckoned with another surface is a change like any other, and prints what hangs on it alone.

use std::fs;

use slopepack::course::{attach_roster, read_text};
use slopepack::engine::reckon;
use slopepack::rota::{Rota, Station};

use crate::program::{Bench, text_at};

const COURSE: &str = include_str!("../courses/six-slope-saturday.yaml");
const PEOPLE: &str = include_str!("../courses/six-slope-saturday.csv");

fn bench(course: &str) -> Bench {
    let bench = Bench::with_course(course);
    fs::write(bench.path("six-slope-saturday.csv"), PEOPLE).expect("it is written");
    bench
}

fn run(bench: &Bench, more: &[&str]) -> (i32, String) {
    let only = ["slope-cards", "run-sheets", "joining-notes"];
    let only: Vec<&str> = only.iter().flat_map(|name| ["--only", name]).collect();
    let ran = bench.run(&[&["pack", "day.yaml", "--into", "out", "--quiet"], &only[..], more].concat());
    (ran.code, ran.err)
}

#[test]
fn rain_on_one_slope_prints_what_hangs_on_it_and_sends_nobody_where_they_no_longer_go() {
    let bench = bench(COURSE);
    assert_eq!(run(&bench, &[]).0, 0);
    let rain = ["--surface", "step: wet", "--from", "11:00", "--printed", "10:50"];
    let (code, why) = run(&bench, &rain);
    assert_eq!(code, 0, "{why}");
    let cards = text_at(&bench.path("out/change/slope-cards.pdf"));
    assert!(cards.contains("S3HillstepCLOSEDDONOTDRIVE:toofast"), "{cards}");
    assert!(!bench.path("out/change/joining-notes.pdf").exists(), "nothing in it hangs on the ground");
    let sheets = text_at(&bench.path("out/change/run-sheets.pdf"));
    assert!(sheets.contains("isreckonedwithwetearthtrackfromnowon"), "{sheets}");
    let ledger = fs::read_to_string(bench.path("out/change/changes.json")).expect("a record");
    let ledger: serde_json::Value = serde_json::from_str(&ledger).expect("JSON");
    assert_eq!(ledger["changes"][0]["surface"][0], "step: wet");
    // Whoever is on it from then on goes there on wet ground as well.
    let mut course = read_text(COURSE).expect("the example reads");
    attach_roster(&mut course, PEOPLE.as_bytes()).expect("its people");
    let step = course.slopes.iter().position(|slope| slope.id == "step").expect("it is there");
    course.wets(step, "earth-wet");
    let reckoning = reckon(&course);
    let rota: Rota = serde_json::from_value(ledger["changes"][0]["follows"]["rota"].clone()).expect("a rota");
    let after = rota.visits.iter().filter(|visit| rota.slots[visit.slot].start >= 660);
    for visit in after.filter(|visit| visit.station == Station::Slope(step)) {
        for driver in &rota.groups[visit.group] {
            let vehicle = &course.roster.drivers[*driver].vehicle;
            let mark = reckoning.pair("step", vehicle).expect("it is reckoned").judged.mark;
            assert!(mark.goes(), "{vehicle} goes to a slope it may not drive when wet");
        }
    }
    // The next change starts from there.
    let (code, why) = run(&bench, &["--surface", "step: wet", "--from", "11:30", "--printed", "11:20"]);
    assert!(code != 0 && why.contains("already"), "{why}");
}

#[test]
fn what_is_no_surface_is_told_in_words() {
    let bench = bench(COURSE);
    assert_eq!(run(&bench, &[]).0, 0);
    for (words, told) in [
        ("step", "write `--surface"),
        ("stpe: wet", "no"),
        ("step: clay-weet", "no surface is called `clay-weet`"),
        ("step: earth-dry", "already"),
    ] {
        let (code, why) = run(&bench, &["--surface", words]);
        assert!(code != 0 && why.contains(told) && !bench.path("out/change").exists(), "{words}: {why}");
    }
}

#[test]
fn a_slope_says_itself_what_it_is_in_the_wet() {
    let course =
        COURSE.replacen("    surface: earth-dry\n", "    surface: earth-dry\n    wet-surface: clay-wet\n", 1);
    let bench = bench(&course);
    let (code, why) = run(&bench, &[]);
    assert_eq!(code, 0, "{why}");
    let (code, why) = run(&bench, &["--surface", "step: wet", "--printed", "10:50"]);
    assert_eq!(code, 0, "{why}");
    let sheets = text_at(&bench.path("out/change/run-sheets.pdf"));
    assert!(sheets.contains("Hillstepisreckonedwithwetclayoverhardgroundfromnowon"), "{sheets}");
    let none = course.replacen("wet-surface: clay-wet", "wet-surface: clay-weet", 1);
    let ran = Bench::with_course(&none).run(&["check", "day.yaml"]);
    assert!(ran.code == 1 && ran.err.contains("clay-weet"), "{}", ran.err);
}
