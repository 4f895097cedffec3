//! Changes on the day, one after the other: nobody keeps a card that is wrong, nobody is told nothing.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Output;

use slopepack::course::{Course, Role};
use slopepack::rota::{
    Change, Fault, Missing, Patience, Post, Rota, Station, check, missing_of, plan, replan, shown, stand_in,
};

use crate::program::{slopepack, text_at};
use crate::rota_plan::SATURDAY;

fn missing(course: &Course, words: &[&str]) -> Missing {
    let words: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
    missing_of(course, &words).expect("known words")
}

/// What somebody's card says of a slot: where, at which post, with which groups.
type Line = Option<(Station, Option<Post>, Vec<usize>)>;

/// What everybody's card would say, read from the rota alone: drivers first, then staff.
fn cards(course: &Course, rota: &Rota) -> Vec<Vec<Line>> {
    let slots = 0..rota.slots.len();
    let driver = |at: usize, slot: usize| -> Line {
        let group = rota.groups.iter().position(|group| group.contains(&at))?;
        let visit = rota.visits.iter().find(|visit| (visit.group, visit.slot) == (group, slot))?;
        Some((visit.station, None, vec![usize::from(visit.driving.contains(&at))]))
    };
    let person = |at: usize, slot: usize| -> Line {
        let duty = rota.duties.iter().find(|duty| (duty.person, duty.slot) == (at, slot))?;
        let here = rota.visits.iter().filter(|visit| (visit.slot, visit.station) == (slot, duty.station));
        Some((duty.station, Some(duty.post), here.map(|visit| visit.group).collect()))
    };
    let drivers =
        (0..course.roster.drivers.len()).map(|at| slots.clone().map(|slot| driver(at, slot)).collect());
    let people = (0..course.people.len()).map(|at| slots.clone().map(|slot| person(at, slot)).collect());
    drivers.chain(people).collect()
}

fn change(rota: &Rota, missing: &Missing) -> Change {
    let (course, reckoning, _) = &*SATURDAY;
    let change = replan(course, reckoning, rota, missing, Patience::default())
        .map_err(|clash| clash.to_string())
        .expect("a change");
    let mut faults = check(course, reckoning, &change.rota, missing);
    faults.retain(|fault| !change.spare_used || !matches!(fault, Fault::SpareUsed(_)));
    assert_eq!(faults, [], "{missing:?}");
    change
}

#[test]
fn after_three_changes_in_a_row_everybodys_newest_card_is_right() {
    let (course, _, rota) = &*SATURDAY;
    for words in [["Marshal 5", "step", "G. H."], ["Marshal 1", "haul", "Instructor K"]] {
        let mut held = cards(course, rota);
        let (mut now, mut gone) = (rota.clone(), Missing::default());
        for word in words {
            gone = gone.and(&missing(course, &[word]));
            let change = change(&now, &gone);
            let printed = cards(course, &change.rota);
            let drivers: BTreeSet<usize> = change.drivers.iter().map(|(driver, _)| *driver).collect();
            let people: BTreeSet<usize> = change.people.iter().map(|(person, _)| *person).collect();
            let new =
                drivers.into_iter().chain(people.into_iter().map(|at| course.roster.drivers.len() + at));
            for at in new {
                held[at] = printed[at].clone();
            }
            let still_here = (0..held.len()).filter(|at| match at.checked_sub(course.roster.drivers.len()) {
                None => !gone.drivers.contains(at),
                Some(person) => !gone.people.contains(&person),
            });
            for at in still_here {
                assert_eq!(held[at], printed[at], "card {at} after {word} of {words:?}");
            }
            now = change.rota;
        }
    }
}

#[test]
fn every_slope_has_one_at_the_brow_and_one_at_the_foot_and_a_swap_is_a_change() {
    let (course, reckoning, rota) = &*SATURDAY;
    let mut swapped = rota.clone();
    let brow = swapped.duties.iter().position(|duty| duty.post == Post::Brow).expect("one at a brow");
    let (slot, station) = (swapped.duties[brow].slot, swapped.duties[brow].station);
    let here = |duty: &slopepack::rota::Duty| (duty.slot, duty.station) == (slot, station);
    let foot =
        swapped.duties.iter().position(|duty| here(duty) && duty.post == Post::Foot).expect("one below");
    let two = [swapped.duties[brow].person, swapped.duties[foot].person];
    swapped.duties[brow].person = two[1];
    swapped.duties[foot].person = two[0];
    assert_eq!(check(course, reckoning, &swapped, &Missing::default()), [], "as good a rota");
    let change = change(&swapped, &missing(course, &["A. B."]));
    assert_eq!(check(course, reckoning, &change.rota, &change.missing), []);
    let before = cards(course, rota);
    let after = cards(course, &swapped);
    let differ = (0..before.len()).filter(|at| before[*at] != after[*at]).count();
    assert_eq!(differ, 2, "the two who swapped");
    let mut both = rota.clone();
    both.duties[brow].post = Post::Foot;
    assert!(
        check(course, reckoning, &both, &Missing::default())
            .iter()
            .any(|fault| matches!(fault, Fault::Posts(..)))
    );
}

#[test]
fn what_is_past_stays_as_it_was() {
    let (course, _, rota) = &*SATURDAY;
    let from = rota.slots[3].start;
    let gone = Missing { from, ..missing(course, &["Marshal 5", "lawn"]) };
    let change = change(rota, &gone);
    for slot in 0..3 {
        let of = |rota: &Rota| -> Vec<_> {
            rota.visits.iter().filter(|visit| visit.slot == slot).cloned().collect()
        };
        assert_eq!(of(rota), of(&change.rota), "slot {slot}");
        let of = |rota: &Rota| -> Vec<_> {
            rota.duties.iter().filter(|duty| duty.slot == slot).copied().collect()
        };
        assert_eq!(of(rota), of(&change.rota), "slot {slot}");
    }
    let later = change.rota.visits.iter().filter(|visit| visit.slot >= 3);
    assert!(later.clone().count() > 0);
    assert!(later.clone().all(|visit| visit.station != Station::Slope(0)), "the lawn is closed");
}

#[test]
fn three_marshals_short_still_gives_a_day_with_what_is_given_up() {
    let (course, reckoning, rota) = &*SATURDAY;
    let gone = missing(course, &["Marshal 3", "Marshal 4", "Marshal 5", "Marshal 6"]);
    let change = replan(course, reckoning, rota, &gone, Patience::default())
        .map_err(|clash| clash.to_string())
        .expect("what can be done");
    let mut faults = check(course, reckoning, &change.rota, &gone);
    faults.retain(|fault| !matches!(fault, Fault::SpareUsed(_)));
    assert_eq!(faults, [], "what is done is done by the rules");
    assert!(!change.rota.given_up.is_empty() && !change.rota.visits.is_empty());
    println!("given up: {:?}", change.rota.given_up);
}

#[test]
fn a_car_that_does_not_run_leaves_its_drivers_there_and_is_not_shown() {
    let (course, reckoning, rota) = &*SATURDAY;
    let gone = missing(course, &["club-pickup"]);
    assert!(gone.drivers.is_empty(), "nobody is sent home");
    let change = change(rota, &gone);
    let theirs: Vec<usize> =
        (0..24).filter(|at| course.roster.drivers[*at].vehicle == "club-pickup").collect();
    assert!(theirs.len() == 2 && theirs.iter().all(|at| change.rota.group_of(*at).is_some()));
    assert!(change.rota.visits.iter().all(|visit| theirs.iter().all(|at| !visit.driving.contains(at))));
    let what = shown(course, reckoning, &gone).expect("something is shown");
    assert_ne!(course.vehicles[what.vehicle].id, "club-pickup");
    assert!(change.words(course).contains("does not run"), "{}", change.words(course));
}

#[test]
fn first_aid_and_the_person_in_charge_have_a_deputy_or_nobody_drives() {
    let (course, reckoning, _) = &*SATURDAY;
    for name in ["First-aider 1", "Training officer"] {
        let mut gone = missing(course, &[name]);
        let why = stand_in(course, &mut gone).expect_err("nobody stands in");
        assert!(why.contains(name) && why.contains("nobody drives"), "{why}");
    }
    let mut course = course.clone();
    let deputy = course.people.iter().position(|one| one.name == "Instructor P").expect("on the staff");
    course.people[deputy].deputy = Some(Role::Lead);
    let mut gone = missing(&course, &["Training officer"]);
    stand_in(&course, &mut gone).expect("Instructor P stands in");
    let rota = plan(&course, reckoning).expect("a rota");
    let change = replan(&course, reckoning, &rota, &gone, Patience::default())
        .map_err(|clash| clash.to_string())
        .expect("a change");
    assert!(
        change.rota.duties.iter().all(|duty| duty.person != deputy),
        "whoever is in charge teaches nobody"
    );
}

#[test]
fn a_word_that_means_two_things_is_asked_about() {
    let mut course = SATURDAY.0.clone();
    course.slopes[2].id = "1".to_owned();
    let why = missing_of(&course, &["1".to_owned()]).expect_err("a slope and a driver").to_string();
    assert!(why.contains("`driver:1`") && why.contains("`slope:1`"), "{why}");
    let gone = missing(&course, &["slope:1", "marshal 3"]);
    assert_eq!((gone.slopes.len(), gone.people.len(), gone.drivers.len()), (1, 1, 0));
}

fn pack(into: &Path, more: &[&str]) -> Output {
    let course = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses/six-slope-saturday.yaml");
    let mut run = slopepack();
    run.args(["--quiet", "pack"]).arg(course).arg("--into").arg(into).args(more).output().expect("it runs")
}

#[test]
fn changes_are_kept_in_a_ledger_and_every_sheet_says_which_it_is() {
    let folder = tempfile::tempdir().expect("a folder");
    let into = folder.path();
    let change = into.join("change");
    let only =
        ["--only", "run-sheets", "--only", "take-back", "--only", "attendance", "--only", "radio-plan"];
    let go = |words: &[&str]| {
        let run = pack(into, &[&only[..], words].concat());
        (run.status.code(), String::from_utf8_lossy(&run.stderr).into_owned())
    };
    assert_eq!(go(&["--without", "Marshal 5", "--printed", "09:00"]).0, Some(0));
    let first = fs::read(change.join("run-sheets.pdf")).expect("sheets");
    assert!(text_at(&change.join("run-sheets.pdf")).contains("change1,printed09:00"));
    assert_eq!(go(&["--without", "Marshal 5"]).0, Some(0), "asked for again");
    assert_eq!(
        fs::read(change.join("run-sheets.pdf")).expect("sheets"),
        first,
        "the same change, the same bytes"
    );
    let (code, why) = go(&["--without", "step", "--printed", "08:00"]);
    assert_eq!(code, Some(2), "{why}");
    assert_eq!(go(&["--without", "step", "--from", "11:00", "--printed", "11:05"]).0, Some(0));
    let sheets = text_at(&change.join("run-sheets.pdf"));
    assert!(sheets.contains("change2,printed11:05") && sheets.contains("Hillstepclosed"), "{sheets}");
    assert!(!sheets.contains("Marshal5missing"), "that was the change before");
    let list = text_at(&change.join("take-back.pdf"));
    assert!(list.contains("change2,printed11:05") && list.contains("cardofchange1"), "{list}");
    assert!(text_at(&change.join("radio-plan.pdf")).contains("change2"));
    assert!(!change.join("attendance.pdf").exists(), "nobody came or went");
    let ledger = fs::read_to_string(change.join("changes.json")).expect("a ledger");
    assert!(
        ledger.contains("\"09:00\"") && ledger.contains("\"11:05\"") && ledger.contains("\"step\""),
        "{ledger}"
    );
    let (code, why) = go(&["--without", "First-aider 1", "--printed", "12:00"]);
    assert!(code == Some(1) && why.contains("nobody drives"), "{code:?} {why}");
    let (code, why) = go(&["--without", "Marshall 3"]);
    assert!(code == Some(2) && why.contains("did you mean `Marshal 3`?"), "{code:?} {why}");
}

#[test]
fn once_the_day_is_under_way_a_change_without_a_time_holds_from_its_printing() {
    let folder = tempfile::tempdir().expect("a folder");
    let change = folder.path().join("change");
    let go = |words: &[&str]| {
        let run = pack(folder.path(), &[&["--only", "run-sheets"][..], words].concat());
        assert_eq!(run.status.code(), Some(0), "{}", String::from_utf8_lossy(&run.stderr));
        let text = fs::read_to_string(change.join("changes.json")).expect("a record");
        let record: serde_json::Value = serde_json::from_str(&text).expect("JSON");
        let entry = record["changes"].as_array().expect("changes").last().expect("one").clone();
        (entry["from"].as_u64().expect("minutes"), entry["follows"]["rota"].clone())
    };
    let hours = |hour: u64, minute: u64| hour * 60 + minute;
    // The first is one of the whole day, whatever the clock says where it is printed.
    assert_eq!(go(&["--without", "A. B.", "--printed", "09:30"]).0, 0);
    let (from, before) = go(&["--without", "haul", "--from", "11:00", "--printed", "10:50"]);
    assert_eq!(from, hours(11, 0));
    // From then on nothing of the past is written anew, though nobody says so.
    let (from, after) = go(&["--without", "Marshal 5", "--printed", "13:00"]);
    assert_eq!(from, hours(13, 0));
    let past = |rota: &serde_json::Value| -> Vec<serde_json::Value> {
        let start = |slot: &serde_json::Value| {
            let slot = usize::try_from(slot.as_u64().expect("a slot")).expect("small");
            rota["slots"][slot]["start"].as_u64().expect("minutes")
        };
        let all =
            [&rota["visits"], &rota["duties"]].into_iter().flat_map(|all| all.as_array().expect("a list"));
        all.filter(|one| start(&one["slot"]) < from).cloned().collect()
    };
    assert!(past(&before).len() > 20);
    assert_eq!(past(&before), past(&after), "what is past stays");
    assert_ne!(before["duties"], after["duties"], "somebody stands in for the marshal");
}
