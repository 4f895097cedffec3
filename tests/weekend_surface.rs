//! Rain on the day: a slope reckoned with another surface is a change like any other, and prints what hangs on it alone.

use std::fs;

use slopepack::course::{attach_roster, read_text};
use slopepack::engine::{What, overall_ratio_of, reckon};
use slopepack::pack::Book;
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
    let only = ["slope-cards", "vehicle-cards", "run-sheets", "joining-notes"];
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
    assert!(cards.contains("S3HillstepCLOSEDDONOTDRIVE:"), "{cards}");
    assert!(!bench.path("out/change/joining-notes.pdf").exists(), "nothing in it hangs on the ground");
    // A vehicle's card names the slopes it goes down: none of the old ones holds.
    let of_vehicles = text_at(&bench.path("out/change/vehicle-cards.pdf"));
    assert!(of_vehicles.contains("S3Hillstep"), "{of_vehicles}");
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

/// The plan of the pack for a wet day and the command on the day say one thing: nobody is sent down in a higher gear, or with
/// less brake, because it rains, whatever the engine alone would allow.
#[test]
fn what_stays_up_by_the_plan_stays_up_when_it_rains() {
    let mut dry = read_text(COURSE).expect("the example reads");
    attach_roster(&mut dry, PEOPLE.as_bytes()).expect("its people");
    let before = reckon(&dry);
    let mut bolder = 0;
    for at in 0..dry.slopes.len() {
        let Some(wet) = dry.slopes[at].when_wet() else { continue };
        let mut course = dry.clone();
        course.wets(at, &wet);
        let (id, alone, book) =
            (course.slopes[at].id.clone(), reckon(&course), Book::of(&course, "0000-0000"));
        for vehicle in &course.vehicles {
            let dry = &before.pair(&id, &vehicle.id).expect("reckoned").judged;
            let by_engine = &alone.pair(&id, &vehicle.id).expect("reckoned").judged;
            let judged = &book.reckoning.pair(&id, &vehicle.id).expect("reckoned").judged;
            let gears = by_engine.gear.zip(dry.gear);
            let higher = gears.is_some_and(|(wet, dry)| {
                overall_ratio_of(vehicle, wet) < overall_ratio_of(vehicle, dry) - 1e-9
            });
            if by_engine.mark.goes() && (higher || !dry.mark.goes()) {
                assert!(!judged.mark.goes(), "{id} {}: {judged:?}", vehicle.id);
                assert_eq!(judged.first().map(|one| one.what), Some(What::BolderThanDry));
                bolder += 1;
            }
        }
    }
    assert!(bolder > 0, "the example has a vehicle that only a higher gear takes down in the wet");
}
