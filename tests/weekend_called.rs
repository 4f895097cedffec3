//! Who is called on and who goes in front, on a day with a rota: nobody twice at a time, nobody who is on duty, and no
//! frame left open while somebody is free. And what a member is asked, and where the ambulance is met.

use std::collections::BTreeMap;

use slopepack::course::{End, Role};
use slopepack::pack::Book;
use slopepack::rota::{Missing, Rota, clock_text};

use crate::pages::{Pack, examples, with_rota};

fn text(pack: &Pack, name: &str) -> String {
    let paper = pack.papers.iter().find(|paper| paper.name == name).expect("it has one");
    let pieces = paper.sheets.iter().flat_map(|sheet| &sheet.pieces).filter(|piece| !piece.artifact);
    pieces.flat_map(|piece| piece.text.chars()).filter(|c| !c.is_whitespace()).collect()
}

fn close(words: &str) -> String {
    words.chars().filter(|c| !c.is_whitespace()).collect()
}

fn rota() -> Rota {
    let mut book = Book::of(&with_rota().course, "0000-0000");
    book.rotate(&Missing::default()).expect("a rota");
    book.rota.clone().expect("a rota")
}

#[test]
fn nobody_leads_two_groups_at_once_and_a_vehicle_shown_goes_to_where_it_is_shown() {
    let text = text(with_rota(), "convoy");
    let mark = close("In front, on foot or in the lead vehicle:");
    let leaders: Vec<&str> =
        text.split(&mark).skip(1).map(|after| after.split("Place").next().unwrap()).collect();
    let rota = rota();
    let groups = rota.groups.iter().filter(|group| !group.is_empty()).count();
    assert_eq!(leaders.len(), groups, "{text}");
    let mut count: BTreeMap<&str, usize> = BTreeMap::new();
    for leader in &leaders {
        assert!(!leader.contains("named"), "{leader}: somebody is free");
        *count.entry(leader).or_default() += 1;
    }
    // All four leave for the first slot.
    assert!(count.values().all(|times| *times == 1), "{count:?}");
    assert!(text.contains(&close("first to S5, handed over there for the show")), "{text}");
}

#[test]
fn deputy_gate_and_telephone_are_filled_slot_by_slot_by_people_who_hold_no_post() {
    let (pack, rota) = (with_rota(), rota());
    let text = text(pack, "radio-plan");
    let table = text.split(&close("Who is called on, slot by slot")).nth(1).expect("the table");
    let table = table.split(&close("Each holds no post")).next().unwrap();
    let people = &pack.course.people;
    let mut seen = 0;
    for (slot, time) in rota.slots.iter().enumerate().take(rota.length()) {
        // Rows of several slots say the first start alone.
        let Some(row) = table.split(&format!("{}to", clock_text(time.start))).nth(1) else { continue };
        let starts = rota.slots.iter().filter_map(|slot| row.find(&format!("{}to", clock_text(slot.start))));
        let row = &row[5..starts.min().unwrap_or(row.len())];
        let named: Vec<usize> =
            (0..people.len()).filter(|at| row.contains(&close(&people[*at].name.short()))).collect();
        let serves = |at: &usize| {
            matches!(people[*at].role, Role::Instructor | Role::Marshal | Role::Spotter)
                && !rota.duties.iter().any(|duty| (duty.person, duty.slot) == (*at, slot))
        };
        let free: Vec<usize> = (0..people.len()).filter(serves).collect();
        // All who are free; for the rest the lesson stops, or one of two slopes stands.
        let of_those = named.iter().filter(|at| free.contains(at)).count();
        assert_eq!(of_those, free.len().min(3), "{row}");
        assert!(named.len() >= 3 && !row.contains("FILLIN"), "{row}");
        for at in named {
            let busy = rota.duties.iter().any(|duty| (duty.person, duty.slot) == (at, slot));
            assert!(!busy || row.contains("ifitisthere") || row.contains("whichstops"), "{row}");
            assert!(!matches!(people[at].role, Role::Lead | Role::FirstAider), "{row}");
        }
        seen += 1;
    }
    assert!(seen >= 3, "{seen}: {table}");
}

#[test]
fn every_slip_asks_for_rated_points_that_nobody_told_and_says_where_it_goes_back_to() {
    let pack = with_rota();
    let slips = text(pack, "vehicle-questions");
    let rated = |driver: &slopepack::course::Driver| {
        let vehicle = pack.course.vehicles.iter().find(|vehicle| vehicle.id == driver.vehicle).unwrap();
        [End::Front, End::Rear].iter().all(|end| {
            vehicle.recovery_points.iter().any(|point| point.end == *end && point.carries().is_ok())
        })
    };
    let unrated = pack.course.roster.drivers.iter().filter(|driver| !rated(driver)).count();
    assert!(unrated > 15);
    assert_eq!(slips.matches(&close("Recovery points, front and rear")).count(), unrated);
    assert!(slips.matches(&close("FILL IN: back to")).count() >= unrated);
    assert!(text(pack, "joining-notes").contains(&close("FILL IN: questions, and if you cannot come")));
}

#[test]
fn the_ambulance_is_met_at_one_place_on_every_page_of_the_plan() {
    let hill = examples().iter().find(|pack| pack.course.title.full() == "Novice hill weekend").unwrap();
    let text = text(hill, "radio-plan");
    assert!(text.contains(&close("Meet the ambulance Lower field gate")), "{text}");
    assert!(text.contains(&close("Everybody else Pavilion")), "{text}");
    assert!(text.contains(&close("Ambulance met here: Lower field gate")), "{text}");
}

/// Where no ground shows a locked slide nothing of the script speaks of a run that is not made.
#[test]
fn a_demonstration_without_a_locked_run_promises_none() {
    let text = text(with_rota(), "demonstration");
    for words in
        ["One vehicle, two ways", "Why did the vehicle not go left", "locked against geared", "Slide from 2"]
    {
        assert!(!text.contains(&close(words)), "{words}: {text}");
    }
    assert!(text.contains(&close("its turn has 30 minutes")), "{text}");
    let comparison = self::text(with_rota(), "comparison");
    assert!(comparison.contains(&close("In no slot of the rota")), "{comparison}");
}
