//! What changes on Saturday is known on Sunday: who is missing stays missing, who turned up for all days is there, and
//! nobody is taken to have seen what they missed.

use std::fs;

use crate::program::{Bench, text_of};
use crate::weekend_days::weekend;

fn change(bench: &Bench, more: &[&str]) {
    let only =
        ["--only", "run-sheets", "--only", "driver-cards", "--only", "take-back", "--into", "out", "--quiet"];
    let ran = bench.run(&[&["pack", "day.yaml"], more, &only].concat());
    assert_eq!(ran.code, 0, "{more:?}: {}", ran.err);
}

fn sheet(bench: &Bench, day: usize, name: &str) -> Option<String> {
    let path = bench.path(&format!("out/change-day-{day}/{name}.pdf"));
    fs::read(path).ok().map(|bytes| text_of(&bytes))
}

fn record(bench: &Bench, day: usize) -> serde_json::Value {
    let text =
        fs::read_to_string(bench.path(&format!("out/change-day-{day}/changes.json"))).expect("a record");
    serde_json::from_str(&text).expect("it is JSON")
}

#[test]
fn who_is_missing_on_saturday_is_missing_on_sunday_unless_said() {
    let bench = weekend();
    change(&bench, &["--without", "M. N.", "--day", "1", "--printed", "08:10"]);
    let taken = &record(&bench, 2)["changes"][0]["carried"];
    assert_eq!((&taken["day"], &taken["change"]), (&1.into(), &1.into()), "{taken}");
    assert_eq!(taken["without"], serde_json::json!(["driver:M. N."]));
    let sunday = sheet(&bench, 2, "run-sheets").expect("Sunday is printed as well");
    assert!(sunday.contains("M.N.missing") && sunday.contains("Day1,change1:takenover"), "{sunday}");
    let list = sheet(&bench, 1, "take-back").expect("a list");
    assert!(list.contains("Day2:M.N.missingaswell;itsownlistliesinchange-day-2"), "{list}");
    assert!(sheet(&bench, 2, "take-back").expect("its own").contains("M.N."));
    // They come on Sunday after all: for the first time, so lesson and demonstration are theirs then.
    change(&bench, &["--with", "M. N.", "--day", "2", "--printed", "08:20"]);
    let cards = sheet(&bench, 2, "driver-cards").expect("a new card");
    let theirs = cards.find("M.N.").map(|at| &cards[at..]).expect("their card");
    assert!(theirs.contains("Newtoday:sign-on"), "{cards}");
    let back = &record(&bench, 2)["changes"][1];
    let taught = back["before"]["taught"].as_array().expect("who had the lesson");
    assert!(taught.len() > 10 && !taught.contains(&6.into()), "{taught:?}");
    // Another on Saturday alone: no word of them on Sunday but that they had nothing yet.
    change(&bench, &["--without", "Q. R.", "--day", "1", "--one-day", "--printed", "08:30"]);
    let list = sheet(&bench, 1, "take-back").expect("a list");
    assert!(list.contains("Day2:Q.R.thereasplanned"), "{list}");
    let last = record(&bench, 2)["changes"].as_array().expect("changes").last().expect("one").clone();
    assert_eq!(last["carried"]["without"], serde_json::json!([]), "{last}");
    let cards = sheet(&bench, 2, "driver-cards").expect("a new card");
    assert!(cards.find("Q.R.").is_some_and(|at| cards[at..].contains("Newtoday:sign-on")), "{cards}");
}

#[test]
fn who_turns_up_comes_on_that_day_or_on_all() {
    let bench = weekend();
    let both =
        ["--with", "T. Late, diesel wagon, novice, all days", "--with", "U. Short, petrol wagon, some"];
    change(&bench, &[&both[..], &["--day", "1", "--printed", "08:10"]].concat());
    let saturday = sheet(&bench, 1, "run-sheets").expect("printed");
    let sunday = sheet(&bench, 2, "run-sheets").expect("printed");
    assert!(saturday.contains("T.Late") && saturday.contains("U.Short"));
    assert!(sunday.contains("T.Late") && !sunday.contains("U.Short"), "{sunday}");
    let taken = &record(&bench, 2)["changes"][0];
    assert_eq!(taken["carried"]["with"], serde_json::json!(["T. Late, diesel wagon, novice, all days"]));
    let come = taken["before"]["come"].as_array().expect("who was there");
    assert!(come.contains(&24.into()), "T. Late has signed on, by their place in Sunday's list: {come:?}");
}

#[test]
fn a_gentle_slope_closed_on_saturday_is_driven_on_sunday_by_those_who_drove_steeper_ones() {
    let bench = weekend();
    change(&bench, &["--without", "lawn", "--day", "1", "--printed", "08:10"]);
    let saturday = sheet(&bench, 1, "run-sheets").expect("Saturday is printed anew");
    assert!(saturday.contains("S4") && !saturday.contains("S1Thelawn"), "{saturday}");
    // Nothing that anybody holds for Sunday reads otherwise: the lawn stands on it as planned.
    let list = sheet(&bench, 1, "take-back").expect("a list");
    assert!(list.contains("Thelawnclosed"), "{list}");
}
