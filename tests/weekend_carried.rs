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
    let own = sheet(&bench, 2, "take-back").expect("its own");
    assert!(own.contains("M.N."), "{own}");
    // Sunday may be under way when Saturday is put right: whoever walks round with the papers reads what they stand on.
    assert!(own.contains("takenoverforalloftoday,ofwhichnothingcountsasover"), "{own}");
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

/// Sunday was changed in advance, from a time on; then something changes on Saturday. Sunday has not begun: nothing of
/// it is over by Saturday's clock, so nobody who is missing stands at a post of its morning, and nobody who turns up for
/// both days comes late to it.
#[test]
fn what_follows_for_sunday_holds_for_all_of_it_whatever_was_changed_there_before() {
    let bench = weekend();
    change(&bench, &["--without", "Marshal 5", "--day", "2", "--from", "11:00", "--printed", "08:00"]);
    change(&bench, &["--without", "Marshal 3", "--day", "1", "--from", "14:00", "--printed", "15:00"]);
    let sunday = sheet(&bench, 2, "run-sheets").expect("Sunday follows");
    let serves = sunday.split_once("Byperson:whoserves").expect("who serves").1;
    assert!(serves.contains("Marshal2") && !serves.contains("Marshal3"), "{serves}");
    let slopes = sunday.split_once("Byslope").expect("by slope").1;
    let slopes = slopes.split_once("Byperson").expect("by person").0;
    assert!(!slopes.contains("Marshal3"), "missing since Saturday, and at a post on Sunday: {slopes}");
    assert_eq!(record(&bench, 2)["changes"][1]["from"], 0);
    let comes = "T. Late, diesel wagon, novice, all days";
    change(&bench, &["--with", comes, "--day", "1", "--from", "15:00", "--printed", "15:10"]);
    let cards = sheet(&bench, 2, "driver-cards").expect("Sunday follows");
    let card = cards.find("T.Late").map(|at| &cards[at..]).expect("a card");
    assert!(card.contains("Newtoday:sign-on") || card.contains("Yourday"), "{card}");
    assert!(!card.contains("notherey"), "there from Sunday's morning on: {card}");
}
