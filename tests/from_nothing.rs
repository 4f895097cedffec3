//! What somebody meets who begins a course from nothing: nothing is assumed in a vehicle's favour, and what is said in two
//! places is said alike.

use slopepack::course::{Course, attach_roster, read_text};
use slopepack::engine::reckon;

use crate::program::{Bench, text_at};

/// A course begun with these vehicles, as text.
fn begun(bench: &Bench, vehicles: &[&str]) -> String {
    let slope = ["begin", "first", "--nothing-asked", "--slope", "Lean, 40 m, 6°, 40 m"];
    let vehicles = vehicles.iter().flat_map(|vehicle| ["--vehicle", *vehicle]);
    let arguments: Vec<&str> = slope.into_iter().chain(vehicles).collect();
    assert_eq!(bench.run(&arguments).code, 0);
    std::fs::read_to_string(bench.path("first/course.yaml")).unwrap()
}

fn read(text: &str) -> Course {
    read_text(text).unwrap_or_else(|problems| panic!("{problems:#?}\n{text}"))
}

#[test]
fn a_low_range_that_nobody_told_of_is_not_reckoned_with() {
    let bench = Bench::with_course("");
    let text = begun(&bench, &["white van, van", "blue wagon, wagon, low range"]);
    let course = read(&text);
    let [van, wagon] = course.vehicles.as_slice() else { panic!("two vehicles") };
    assert!(van.transmission.transfer_low.is_none() && van.is_guessed("low-range"));
    assert!(wagon.transmission.transfer_low.is_some() && wagon.is_guessed("transfer-low"));
    // It comes down as one does that has none.
    let told = read(&text.replace("class: van\n", "class: van\n    transfer: 1.0\n"));
    let (untold, none) = (reckon(&course), reckon(&told));
    let gears = |reckoning: &slopepack::engine::Reckoning| {
        let pair = reckoning.pairs.iter().find(|pair| pair.vehicle == "white-van").unwrap();
        (pair.judged.mark, pair.judged.gear.map(|gear| gear.to_string()))
    };
    assert_eq!(gears(&untold), gears(&none));
    assert!(!told.vehicles[0].is_guessed("low-range"), "told that there is none");
}

#[test]
fn pages_say_that_nobody_told_of_a_low_range_before_they_say_any_smaller_guess() {
    let bench = Bench::with_course("");
    begun(&bench, &["white van, van", "blue wagon, wagon, low range"]);
    let pack =
        ["pack", "first/course.yaml", "--into", "pack", "--only", "vehicle-cards", "--only", "fleet-table"];
    let ran = bench.run(&pack);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("Nobody told whether these have a low range") && ran.err.contains("white van"));
    assert!(text_at(&bench.path("pack/vehicle-cards.pdf")).contains("Lowrangenottold"));
    let index = text_at(&bench.path("pack/index.pdf"));
    let order: Vec<usize> = ["nolowrange,asnobodytoldofone", "gears3.70", "mass2500kg", "trackwidth"]
        .iter()
        .filter_map(|words| index.find(&words.replace("trackwidth", "track1.65")))
        .collect();
    assert!(order.len() == 4 && order.is_sorted(), "{order:?}: {index}");
    assert!(index.contains("lowrange2.40:1"), "{index}");
}

#[test]
fn a_roster_says_of_a_low_range_that_it_is_there_and_leaves_its_ratio_open() {
    let text = "driver,vehicle,class,low range\nA. B.,blue one,wagon,Yes\nC. D.,red one,wagon,\nE. F.,old one,wagon,none\n";
    let course = with_roster("", text).expect("it reads");
    let low: Vec<(bool, bool)> = course.vehicles[1..]
        .iter()
        .map(|vehicle| (vehicle.transmission.transfer_low.is_some(), vehicle.is_guessed("low-range")))
        .collect();
    assert_eq!(low, [(true, false), (false, true), (false, false)]);
}

const FLEET: &str = "course: {title: t, club: c, site: s, version: 1, units: metric, paper: A4}\n\
    limits: {gradient: 25°, side-tilt: 12°, descent-speed: 8 km/h, brake-temperature: 250 °C}\n\
    slopes: [{id: bank, name: Bank, purpose: p, surface: earth-dry, length: 40 m, gradient: 9°, entry-speed: 3 km/h, run-out: {length: 40 m, gradient: 0°}}]\n\
    vehicles: [{id: tarn-tourer, name: Tarn tourer, class: wagon, mass: 2.1 t}]\n";

/// The fleet's course with more behind it and a roster; what is wrong, in words.
fn with_roster(more: &str, table: &str) -> Result<Course, String> {
    let day = if more.contains("day:") { "" } else { "day: {runs: 3, run-gap: 10 min}\n" };
    let mut course = read(&format!("{FLEET}{day}{more}roster: {{file: people.csv}}\n"));
    attach_roster(&mut course, table.as_bytes()).map(|()| course).map_err(|(source, problems)| {
        slopepack::problem::render_problems("people.csv", &source, &problems, false)
    })
}

#[test]
fn a_vehicle_is_known_by_its_name_as_by_its_short_name() {
    for called in ["tarn-tourer", "Tarn tourer", "TARN TOURER"] {
        let course = with_roster("", &format!("driver,vehicle\nA. B.,{called}\n")).expect("it reads");
        assert_eq!(course.vehicles.len(), 1, "{called} is not made twice");
        assert_eq!(course.roster.drivers[0].vehicle, "tarn-tourer");
    }
    // Whoever describes one of that name is asked which is meant.
    let asked = with_roster("", "driver,vehicle,class\nA. B.,Tarn tourer,pickup\n").unwrap_err();
    assert!(asked.contains("also what the course calls its vehicle `tarn-tourer`"), "{asked}");
    assert!(asked.contains("people.csv:2:7") && asked.contains("write `tarn-tourer` here"), "{asked}");
}

#[test]
fn a_marshal_in_a_roster_is_no_driver_and_is_told_where_to_stand() {
    let asked =
        with_roster("", "Role,driver,vehicle\ndriver,A. B.,blue one\nMarshal,C. D.,red one\n").unwrap_err();
    assert!(asked.contains("this row says `marshal`") && asked.contains("under `people:`"), "{asked}");
    assert!(asked.contains("people.csv:3:1"), "{asked}");
}

#[test]
fn a_roster_tells_every_mistake_of_its_rows_at_once() {
    let table = "driver,vehicle,experience,mass,shares,beside,days\n\
        A. B.,blue one,sometimes,2 t,,,\nC. D.,red one,novice,9 kg,,,\nE. F.,,some,,Nobody,,\nG. H.,old one,some,,,C. D.,\nI. J.,new one,,,,,4\n";
    let told = with_roster("", table).unwrap_err();
    for words in [
        "`sometimes` is not known",
        "9 kg is hardly possible",
        "nobody called `Nobody`",
        "is not experienced",
        "`4` is no day",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
}

#[test]
fn nobody_is_planned_to_drive_while_they_are_briefed() {
    let course = |from: &str, sessions: &str| {
        format!(
            "{FLEET}day:\n  runs: 3\n  run-gap: 10 min\n  sessions:\n{sessions}rota:\n  from: {from}\n  until: 16:00\n  \
             group-size: {{most: 4, source: r}}\n  drivers-per-instructor: {{most: 4, source: r}}\n  \
             marshals-per-slope: {{least: 1, source: r}}\n"
        )
    };
    let briefing = "    - {start: 09:00, title: Sign-on, length: 45 min}\n    - {start: 09:45, title: Briefing, length: 30 min}\n";
    let problems =
        read_text(&course("10:00", briefing)).expect_err("somebody would drive during the briefing");
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(
        problems[0].message.contains("the rota begins at 10:00, and `Briefing` lasts until 10:15"),
        "{problems:?}"
    );
    assert!(problems[0].help.as_ref().unwrap().contains("from: 10:15") && problems[0].span.is_some());
    assert!(read_text(&course("10:15", briefing)).is_ok());
    // What stands for the rota, and what is driven, is no briefing.
    let driven = "    - {start: 09:45, title: First descents, length: 30 min, slopes: [bank]}\n";
    assert!(read_text(&course("10:00", driven)).is_ok());
    // Each of several days is looked at with its own times.
    let days = format!(
        "{}days:\n  - {{date: 2027-05-08}}\n  - {{date: 2027-05-09, from: 10:00}}\n",
        course("10:30", briefing)
    );
    let problems = read_text(&days).expect_err("on the second day");
    assert!(problems[0].message.contains("day 2") && problems[0].message.contains("10:15"), "{problems:?}");
}

#[test]
fn a_part_of_a_pack_leaves_the_rest_of_it_there_and_tells_of_which_data_it_is() {
    let bench = Bench::with_example("hill-club-weekend.yaml");
    let pack = |only: &[&str]| {
        let mut arguments = vec!["pack", "day.yaml", "--into", "pack"];
        arguments.extend(only);
        let ran = bench.run(&arguments);
        assert_eq!(ran.code, 0, "{}", ran.err);
        ran
    };
    pack(&["--only", "quiz", "--only", "fleet-table"]);
    let before = std::fs::read(bench.path("pack/quiz.pdf")).unwrap();
    let text = std::fs::read_to_string(bench.path("day.yaml")).unwrap();
    pack(&["--only", "slope-cards"]);
    assert_eq!(std::fs::read(bench.path("pack/quiz.pdf")).unwrap(), before, "the quiz is there as it was");
    let index = text_at(&bench.path("pack/index.pdf"));
    assert!(index.contains("quiz.pdf") && index.contains("thesame"), "{index}");
    // What was printed from an earlier state of the course says so.
    std::fs::write(bench.path("day.yaml"), text.replace("version: 3", "version: 4")).unwrap();
    let ran = pack(&["--only", "slope-cards"]);
    assert!(ran.err.contains("of an earlier state of the course"), "{}", ran.err);
    assert!(bench.path("pack/quiz.pdf").exists() && bench.path("pack/fleet-table.pdf").exists());
    assert!(text_at(&bench.path("pack/index.pdf")).contains("printanew"));
    // Another course's papers are not mixed with these.
    let other = text.replacen("title: ", "title: Another ", 1);
    std::fs::write(bench.path("day.yaml"), other).unwrap();
    let refused = bench.run(&["pack", "day.yaml", "--into", "pack", "--only", "quiz"]);
    assert!(refused.code == 4 && refused.err.contains("--into"), "{}", refused.err);
}
