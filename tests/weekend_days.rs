//! A weekend of two days on paper and for machines: what belongs to a day says which, what does not stands once.

use std::collections::BTreeSet;
use std::fs;

use crate::program::{Bench, squeezed, text_of};

const DAYS: &str = "
days:
  - {date: 2027-05-08, until: 18:15, slopes: [lawn, haul, ramp, tilt, chute]}
  - date: 2027-05-09
    from: 09:30
    until: 15:30
    slopes: [lawn, step, chute]
    sessions:
      - {start: 08:30, title: Sign-on, length: 30 min}
      - {start: 09:00, title: Safety briefing, length: 25 min, once: yes}
      - {start: 15:30, title: Certificates, length: 20 min}

emergency:
";

/// The example on two days: one driver comes late, one on Sunday alone, somebody rides along.
pub(crate) fn weekend() -> Bench {
    let course = include_str!("../courses/six-slope-saturday.yaml").replace("\nemergency:\n", DAYS);
    let bench = Bench::with_course(&course);
    let rows = include_str!("../courses/six-slope-saturday.csv");
    let last = |at: usize| match at {
        0 => ";Arrives;Rides;Days",
        3 => ";11:00;;",
        5 => ";;;2",
        _ => ";;;",
    };
    let mut csv: Vec<String> =
        rows.lines().enumerate().map(|(at, row)| format!("{row}{}", last(at))).collect();
    let columns = csv[0].split(';').count();
    let rider = ["Zora Q."].into_iter().chain(std::iter::repeat_n("", columns - 1)).collect::<Vec<_>>();
    let mut rider: Vec<String> = rider.into_iter().map(str::to_owned).collect();
    let medical = csv[0].split(';').position(|head| head == "First aiders should know").expect("it has it");
    "wasp stings".clone_into(&mut rider[medical]);
    "A. B.".clone_into(&mut rider[columns - 2]);
    csv.push(rider.join(";"));
    fs::write(bench.path("six-slope-saturday.csv"), csv.join("\n")).expect("it is written");
    bench
}

#[test]
fn check_reads_back_both_days_and_machines_get_both() {
    let bench = weekend();
    let checked = bench.run(&["check", "day.yaml", "--quiet"]);
    assert_eq!(checked.code, 0, "{}", checked.err);
    let days: Vec<&str> = checked.out.lines().filter(|line| line.starts_with("day ")).collect();
    assert!(
        days.len() == 2 && days[1].starts_with("day 2 of 2, Sunday 9 May 2027; rota: 09:30 to "),
        "{}",
        checked.out
    );
    let reckoned = bench.run(&["reckon", "day.yaml", "--json", "--quiet"]);
    let json: serde_json::Value = serde_json::from_str(&reckoned.out).expect("it is JSON");
    let rota = &json["rota"];
    let slots = rota["slots"].as_array().expect("slots");
    let mut seen = BTreeSet::new();
    for place in rota["places"].as_array().expect("places") {
        let slot = &slots[usize::try_from(place["slot"].as_u64().expect("a number")).expect("small")];
        assert_eq!(slot["day"], place["day"], "a place's slot is one of its day");
        seen.insert((place["day"].as_u64(), place["what"].as_str().map(str::to_owned)));
    }
    for (day, what, there) in
        [(1, "lesson", true), (1, "demonstration", true), (2, "drive", true), (2, "demonstration", true)]
    {
        assert_eq!(seen.contains(&(Some(day), Some(what.to_owned()))), there, "{what} on day {day}");
    }
    let groups = rota["groups"].as_array().expect("groups");
    let with_new: Vec<u64> = groups
        .iter()
        .filter(|group| group["day"] == 2)
        .filter(|group| group["drivers"].as_array().is_some_and(|all| all.iter().any(|one| one["id"] == "5")))
        .filter_map(|group| group["group"].as_u64())
        .collect();
    let talks: BTreeSet<u64> = rota["places"]
        .as_array()
        .expect("places")
        .iter()
        .filter(|place| place["day"] == 2 && place["what"] != "drive")
        .filter_map(|place| place["group"].as_u64())
        .collect();
    assert_eq!(talks.into_iter().collect::<Vec<_>>(), with_new, "only the group of who is new");
}

#[test]
fn each_day_has_its_own_sheets_and_they_say_which() {
    let bench = weekend();
    let only = ["run-sheets", "driver-cards", "attendance", "vehicle-check", "certificate", "leader-sheet"];
    let asked: Vec<&str> = only.iter().flat_map(|name| ["--only", name]).collect();
    let mut arguments = vec!["pack", "day.yaml", "--into", "out", "--quiet"];
    arguments.extend(asked);
    let ran = bench.run(&arguments);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let text = |file: &str| text_of(&fs::read(bench.path("out").join(file)).expect(file));
    for (day, other) in [(1, 2), (2, 1)] {
        for name in ["run-sheets", "driver-cards", "attendance", "confidential/leader-sheet"] {
            let sheet = text(&format!("{name}-day-{day}.pdf"));
            assert!(sheet.contains(&format!("day{day}of2")), "{name}: {sheet}");
            assert!(!sheet.contains(&format!("day{other}of2")), "{name} of day {day}");
        }
    }
    let pages =
        |file: &str| lopdf::Document::load(bench.path("out").join(file)).expect(file).get_pages().len();
    assert_eq!((pages("driver-cards-day-1.pdf"), pages("driver-cards-day-2.pdf")), (23, 24));
    // Who comes on Sunday alone: checked, briefed and taught then, and no vehicle is checked twice.
    let check = |day: usize| text(&format!("vehicle-check-day-{day}.pdf"));
    assert!(check(2).contains("DrivenbyI.J.") && !check(1).contains("DrivenbyI.J."), "{}", check(2));
    assert!(!check(2).contains("DrivenbyA.B."));
    assert!(text("attendance-day-2.pdf").contains("newtoday"));
    let sunday = text("driver-cards-day-2.pdf");
    assert_eq!(sunday.matches("Newtoday:sign-on").count(), 1);
    assert!(sunday.contains("youhadthisonanearlierday"), "the others of the group are free meanwhile");
    // Who comes late, and who rides along.
    let saturday = text("driver-cards-day-1.pdf");
    assert!(saturday.contains("from11:00:signonfirst") && saturday.contains("Withyou:ZoraQ."));
    assert!(text("attendance-day-1.pdf").contains("ZoraQ.(ridesalong)"));
    assert!(text("confidential/leader-sheet-day-1.pdf").contains("waspstings"));
    for file in ["attendance-day-1.pdf", "driver-cards-day-1.pdf", "run-sheets-day-1.pdf"] {
        assert!(!text(file).contains("waspstings"), "{file}");
    }
    let certificates = text("certificate.pdf");
    assert!(
        certificates.contains("8and9May2027")
            && certificates.matches("Certificateofattendance").count() >= 24
    );
    assert!(squeezed(&certificates).contains("Hillstep"), "what was driven on Sunday stands on it");
}

#[test]
fn a_change_names_its_day_and_has_a_folder_of_its_own() {
    let bench = weekend();
    let only = ["--only", "run-sheets", "--into", "out", "--printed", "08:10", "--quiet"];
    let run =
        |more: &[&str]| bench.run(&[&["pack", "day.yaml", "--without", "Marshal 5"], more, &only].concat());
    let unsaid = run(&[]);
    assert!(unsaid.code == 2 && unsaid.err.contains("the course has 2 days"), "{}", unsaid.err);
    let third = run(&["--day", "3"]);
    assert!(third.code == 2 && third.err.contains("--day 3"), "{}", third.err);
    let sunday = run(&["--day", "2"]);
    assert_eq!(sunday.code, 0, "{}", sunday.err);
    let sheet = text_of(&fs::read(bench.path("out/change-day-2/run-sheets.pdf")).expect("it is printed"));
    assert!(sheet.contains("day2of2") && sheet.contains("Marshal5missing"), "{sheet}");
}

/// What nobody has written as a session, the rota of the day, is no break: the letter says when people drive.
#[test]
fn the_hours_of_the_rota_are_no_break() {
    let bench = Bench::with_example("two-day-camp.yaml");
    let ran = bench.run(&["pack", "day.yaml", "--into", "out", "--only", "joining-notes", "--quiet"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let letter = text_of(&fs::read(bench.path("out/joining-notes.pdf")).expect("a letter"));
    assert_eq!(letter.matches("Stations,astherunsheetssay").count(), 2, "{letter}");
    assert!(!letter.contains("09:55–16:00Break"), "{letter}");
}
