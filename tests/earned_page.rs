//! Said against seen: the page after the day.

use slopepack::course::{Course, attach_runs, read_text};
use slopepack::earned::{account, with_figures};
use slopepack::engine::{comparison, reckon};
use slopepack::pack::{Book, KINDS};
use slopepack::print::Templates;

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");

/// The quarry day with a table of runs.
fn with_runs(table: &str) -> Course {
    let mut course = read_text(QUARRY).expect("the example reads");
    attach_runs(&mut course, table.as_bytes()).unwrap_or_else(|(_, problems)| panic!("{problems:#?}"));
    with_figures(&course)
}

/// The source of the page; none where there is no such page.
fn page(course: &Course) -> Option<String> {
    let templates = Templates::embedded().expect("all templates parse");
    let kind = KINDS.iter().find(|kind| kind.name == "said-against-seen").expect("it is a document");
    let book = Book::of(course, "0000-0000");
    kind.fill(&book, &templates).map(|filled| filled.expect("it fills").text)
}

const TABLE: &str = "date,vehicle,slope,gear,between (m),time (s),surface,speed (km/h),slid (m),turns,rolled (m),with\n\
    2026-05-04,wagon,ramp,L1,20,31,,,,,,watch\n\
    2026-05-04,wagon,ramp,L1,20,3.1,,,,,,watch\n\
    2026-05-04,wagon,,,,,clay-wet,15,4.4,,,speedometer\n\
    2026-05-04,wagon,,,,,,,,5,12.12,tape\n";

#[test]
fn every_run_stands_beside_what_was_said_of_it() {
    let course = with_runs(TABLE);
    let source = page(&course).expect("a page of four runs");
    for told in ["peg to peg", "locked slide", "wheel rolled", "12.12 m", "31.0 s", "said-and-seen("] {
        assert!(source.contains(told), "the page does not hold {told}");
    }
    let standings = account(&course).standings;
    assert!(!standings[1].counts(), "3.1 s in the lowest gear: {standings:?}");
    for told in [
        "is on the dangerous side: it ran faster than the others let expect",
        "Check gear, slope, pegs and watch",
    ] {
        assert!(source.contains(told), "the page does not say: {told}");
    }
    assert!(source.contains("rolling circumference") && source.contains("measured, 1 run, 2026-05-04"));
}

#[test]
fn without_runs_there_is_no_such_page() {
    assert_eq!(page(&read_text(QUARRY).expect("the example reads")), None);
}

#[test]
fn what_was_measured_is_said_where_it_stands() {
    let course = with_runs(TABLE);
    let templates = Templates::embedded().expect("all templates parse");
    let book = Book::of(&course, "0000-0000");
    let of = |name: &str| {
        let kind = KINDS.iter().find(|kind| kind.name == name).expect("a document");
        kind.fill(&book, &templates).expect("it is there").expect("it fills").text
    };
    assert!(of("vehicle-cards").contains("Rolling circumference measured, 1 run, 2026-05-04."));
    if course.earned.surface_of("clay-wet").is_some() {
        assert!(of("instructor-notes").contains("grip measured, 1 run, 2026-05-04"));
    }
}

/// The comparison's sheet for the instructor has what was timed there on an earlier day.
#[test]
fn the_comparison_has_what_was_timed_there() {
    let templates = Templates::embedded().expect("all templates parse");
    let kind = KINDS.iter().find(|kind| kind.name == "comparison").expect("it is a document");
    let of = |course: &Course| {
        let book = Book::of(course, "0000-0000");
        kind.fill(&book, &templates).expect("there is one").expect("it fills").text
    };
    let plain = read_text(QUARRY).expect("the example reads");
    assert!(!of(&plain).contains("Timed between pegs"));
    let (at, rows) = comparison(&plain, &reckon(&plain)).expect("two vehicles to compare");
    let row = &rows[0];
    let (slope, vehicle) = (&plain.slopes[at].id, &plain.vehicles[row.vehicle].id);
    let time = 10.0 / row.speed.expect("it settles");
    let table = format!(
        "date,vehicle,slope,gear,between (m),time (s),with\n2026-05-04,{vehicle},{slope},{},10,{time:.1},watch\n",
        row.gear
    );
    let told = of(&with_runs(&table));
    assert!(told.contains("Timed between pegs, last") && told.contains("2026-05-04"), "{vehicle} on {slope}");
    assert!(told.contains("not yet"), "of the others nobody knows");
}
