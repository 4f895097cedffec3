//! Said against seen: the page after the day.

use slopepack::course::{Course, attach_runs, read_text};
use slopepack::earned::{account, with_figures};
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
