//! Whoever turns up on the day: typed at the gate, on every list, on nobody's slope too early.

use std::path::Path;
use std::time::Duration;

use slopepack::course::{Arrival, Course, walk_in};
use slopepack::engine::reckon;
use slopepack::rota::{Fault, Missing, Patience, Station, check, replan};

use crate::program::{slopepack, text_at};
use crate::rota_plan::SATURDAY;

fn come(course: &mut Course, words: &str) -> Result<Arrival, String> {
    walk_in(course, words)
}

#[test]
fn what_is_typed_at_the_gate_is_understood_or_asked_about_in_words() {
    let mut course = SATURDAY.0.clone();
    let cars = course.vehicles.len();
    assert_eq!(come(&mut course, "T. Late, blue diesel wagon, some"), Ok(Arrival::Driver(24)));
    let one = &course.roster.drivers[24];
    assert_eq!((one.id.as_str(), one.experience.to_string().as_str()), ("25", "some experience"));
    assert!(
        one.own_vehicle
            && course.vehicles.len() == cars + 1
            && course.vehicles[cars].name == "blue diesel wagon"
    );
    assert_eq!(come(&mut course, "R. Rider; with o. p.; hearing"), Ok(Arrival::Driver(25)));
    let (rider, owner) = (&course.roster.drivers[25], &course.roster.drivers[7]);
    assert!(rider.vehicle == owner.vehicle && rider.needs.len() == 1 && course.vehicles.len() == cars + 1);
    assert_eq!(rider.experience.to_string(), "novice", "who says nothing is a novice");
    let staff = course.people.len();
    assert_eq!(come(&mut course, "Helper 9, marshal"), Ok(Arrival::Person(staff)));
    assert_eq!(come(&mut course, "L. Ender, club-pickup, novice"), Ok(Arrival::Driver(26)));
    let before = course.clone();
    for (words, told) in [
        ("a. b., pickup, novice", "who is there already"),
        ("Training Officer, marshal", "who is there already"),
        ("N. N.", "what does N. N. drive?"),
        ("N. N., wagn, novice", "Did you mean `wagon`?"),
        ("N. N., with Nobody Here", "nobody of that name"),
        ("N. N., wagon, novice, some", "said twice"),
        ("  ", "say the name"),
    ] {
        let why = come(&mut course, words).expect_err(words);
        assert!(why.contains(told), "{words}: {why}");
        assert_eq!(course, before, "{words} changes nothing");
    }
}

#[test]
fn whoever_comes_late_drives_nothing_that_builds_on_what_they_missed() {
    let (morning, _, rota) = &*SATURDAY;
    let mut course = morning.clone();
    // One driver is missing, so that a group has room; then a novice comes when the gentle slopes are over.
    let gone = Missing { drivers: [0].into(), ..Missing::default() };
    let reckoning = reckon(&course);
    let first = replan(&course, &reckoning, rota, &gone, Patience::default()).expect("a change").rota;
    come(&mut course, "T. Late, diesel wagon, novice").expect("understood");
    let reckoning = reckon(&course);
    for slot in [2, 4] {
        let from = rota.slots[slot].start;
        let late = Missing { from, late: [(24, from)].into(), ..gone.clone() };
        let change = replan(&course, &reckoning, &first, &late, Patience::default()).expect("a change");
        let mut faults = check(&course, &reckoning, &change.rota, &late);
        faults.retain(|fault| !change.spare_used || !matches!(fault, Fault::SpareUsed(_)));
        assert_eq!(faults, [], "from slot {slot}");
        let group = change.rota.group_of(24).expect("a group");
        assert_eq!(change.rota.groups[group].len(), 6, "the group with room");
        let mine: Vec<_> = change.rota.visits.iter().filter(|visit| visit.group == group).collect();
        assert!(
            mine.iter().all(|visit| visit.slot >= slot || !visit.driving.contains(&24)),
            "not before they came"
        );
        let watched = mine.iter().filter(|visit| {
            visit.slot >= slot && matches!(visit.station, Station::Slope(_)) && !visit.driving.contains(&24)
        });
        assert!(watched.count() > 0, "something builds on what was missed");
        let mut wrong = change.rota.clone();
        for visit in wrong.visits.iter_mut().filter(|visit| visit.group == group && visit.slot >= slot) {
            if matches!(visit.station, Station::Slope(_)) && !visit.driving.contains(&24) {
                visit.driving.push(24);
            }
        }
        let faults = check(&course, &reckoning, &wrong, &late);
        assert!(
            faults.iter().any(|fault| matches!(fault, Fault::TooSoon(..) | Fault::NotTaught(..))),
            "the check sees it: {faults:?}"
        );
    }
}

#[test]
fn when_the_time_is_over_there_is_a_plan_that_says_what_it_gives_up() {
    let (course, reckoning, rota) = &*SATURDAY;
    let gone = Missing { people: [6, 10].into(), ..Missing::default() };
    let told = std::cell::RefCell::new(Vec::new());
    let tell = |words: &str| told.borrow_mut().push(words.to_owned());
    let patience = Patience { time: Some(Duration::ZERO), tell: &tell };
    let change = replan(course, reckoning, rota, &gone, patience).expect("something can be done");
    let mut faults = check(course, reckoning, &change.rota, &gone);
    faults.retain(|fault| !matches!(fault, Fault::SpareUsed(_)));
    assert_eq!(faults, []);
    assert!(!change.rota.visits.is_empty() && told.borrow().len() >= 3, "{:?}", told.borrow());
}

fn pack(into: &Path, more: &[&str]) -> (Option<i32>, String) {
    let course = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses/six-slope-saturday.yaml");
    let mut run = slopepack();
    let done = run.arg("pack").arg(course).arg("--into").arg(into).args(more).output().expect("it runs");
    (done.status.code(), String::from_utf8_lossy(&done.stderr).into_owned())
}

#[test]
fn whoever_turns_up_is_on_every_list_and_only_what_changed_is_printed() {
    let folder = tempfile::tempdir().expect("a folder");
    let change = folder.path().join("change");
    let (code, why) = pack(
        folder.path(),
        &["--without", "First-aider 1", "-w", "Nurse Q, first-aider", "--printed", "09:00"],
    );
    assert_eq!(code, Some(0), "{why}");
    for name in ["radio-plan", "attendance", "safety-briefing"] {
        let text = text_at(&change.join(format!("{name}.pdf")));
        assert!(text.contains("NurseQ") && !text.contains("First-aider1"), "{name}: {text}");
    }
    for name in ["driver-cards", "run-sheets", "slope-cards", "vehicle-check", "convoy"] {
        assert!(!change.join(format!("{name}.pdf")).exists(), "{name} is as it was");
    }
    // Whoever gives first aid now has a card of their own, and nobody else a new one.
    let card = lopdf::Document::load(change.join("marshal-cards.pdf")).expect("a card");
    assert_eq!(card.get_pages().len(), 1);
    assert!(text_at(&change.join("marshal-cards.pdf")).contains("firstaid:withthekit"));
    let list = text_at(&change.join("take-back.pdf"));
    assert!(list.contains("First-aider1cardofthepacknothing:notintherotaanymore"), "{list}");
    let late = ["-w", "T. Late, blue diesel wagon, novice", "--from", "10:30", "--printed", "10:20"];
    let (code, why) = pack(folder.path(), &late);
    assert_eq!(code, Some(0), "{why}");
    for name in [
        "driver-cards",
        "attendance",
        "run-sheets",
        "vehicle-check",
        "vehicle-cards",
        "fleet-table",
        "take-back",
    ] {
        let text = text_at(&change.join(format!("{name}.pdf")));
        assert!(
            text.contains(if name.starts_with("vehicle-c") || name == "fleet-table" {
                "bluedieselwagon"
            } else {
                "T.Late"
            }),
            "{name}"
        );
        assert!(text.contains("change2,printed10:20"), "{name}");
    }
    let check = text_at(&change.join("vehicle-check.pdf"));
    assert!(!check.contains("shortpetrol"), "only the new car is checked: {check}");
    let list = text_at(&change.join("take-back.pdf"));
    assert!(list.contains("25T.Late") && list.contains("nothing:newtoday"), "{list}");
    assert!(text_at(&change.join("driver-cards.pdf")).contains("nothereyet"));
    let ledger = std::fs::read_to_string(change.join("changes.json")).expect("a ledger");
    assert!(
        ledger.contains("T. Late, blue diesel wagon, novice") && ledger.contains("\"driver_cards\""),
        "{ledger}"
    );
    let (code, why) = pack(folder.path(), &["-w", "t late, pickup", "--printed", "11:00"]);
    assert!(code == Some(2) && why.contains("who is there already"), "{why}");
    let (code, why) = pack(folder.path(), &["--from", "11:00"]);
    assert!(code == Some(2) && why.contains("goes with --without, --with, --channel or --surface"), "{why}");
}
