//! Every problem is shown with its line, a mark under the place, and what would be right.

use proptest::prelude::*;
use slopepack::problem::{Failure, Problem, render_problems};

const COURSE: &str = "title: Day\nslopes:\n  - grdient: 22°\n    length: 45\n";

fn shown(source: &str, problem: Problem) -> String {
    render_problems("day.yaml", source, &[problem], false)
}

fn place_of(text: &str) -> std::ops::Range<usize> {
    let at = COURSE.find(text).expect("the course holds it");
    at..at + text.len()
}

#[test]
fn a_problem_names_its_line_and_column_and_what_would_be_right() {
    let problem =
        Problem::new("unknown key `grdient`").at(place_of("grdient")).help("did you mean `gradient`?");
    let lines = "\
error: unknown key `grdient`
 --> day.yaml:3:5
  |
3 |   - grdient: 22°
  |     ^^^^^^^
  |
  = help: did you mean `gradient`?
";
    assert_eq!(shown(COURSE, problem).trim(), lines.trim());
}

#[test]
fn a_related_place_is_shown_with_its_label() {
    let problem =
        Problem::new("a length needs a unit").at(place_of("45")).related(place_of("title"), "for this day");
    let text = shown(COURSE, problem);
    assert!(text.contains("day.yaml:4:13"), "{text}");
    assert!(text.contains("----- for this day"), "{text}");
}

#[test]
fn problems_stand_in_the_order_of_the_source() {
    let problems = [
        Problem::new("third").at(place_of("length")),
        Problem::new("second").at(place_of("slopes")),
        Problem::new("first"),
    ];
    let text = render_problems("day.yaml", COURSE, &problems, false);
    let at = |word| text.find(word).expect("each is shown");
    assert!(at("first") < at("second") && at("second") < at("third"), "{text}");
}

#[test]
fn a_long_line_is_trimmed_around_the_mark_and_keeps_its_column() {
    let source = format!("a: {}Z{}\n", "y".repeat(5000), "x".repeat(5000));
    let text = shown(&source, Problem::new("wrong").at(5003..5004));
    assert!(text.contains("day.yaml:1:5004"), "{text}");
    assert!(text.contains("yZx"), "the place itself is shown: {text}");
    assert!(text.lines().all(|line| line.chars().count() <= 140), "{text}");
    let whole = shown(&source, Problem::new("wrong").at(0..10_004));
    assert!(whole.lines().all(|line| line.chars().count() <= 140), "{whole}");
}

#[test]
fn columns_count_characters_and_a_byte_order_mark_is_not_one() {
    let text = shown("\u{FEFF}é字: x\r\nb: 1\r\n", Problem::new("wrong").at(10..11));
    assert!(text.contains("day.yaml:1:5"), "{text}");
}

#[test]
fn colour_is_used_only_when_asked_for() {
    let problems = [Problem::new("wrong").at(0..5)];
    assert!(render_problems("day.yaml", COURSE, &problems, true).contains('\u{1b}'));
    assert!(!render_problems("day.yaml", COURSE, &problems, false).contains('\u{1b}'));
}

#[test]
fn each_kind_of_failure_has_its_exit_code() {
    let codes = [
        Failure::Course(vec![]),
        Failure::Told,
        Failure::Usage(String::new()),
        Failure::Typesetter(String::new()),
        Failure::Template(String::new()),
        Failure::Program(String::new()),
        Failure::Files(String::new()),
    ]
    .map(|failure| failure.exit_code());
    assert_eq!(codes, [1, 1, 2, 3, 3, 3, 4]);
}

proptest! {
    #[test]
    fn nothing_from_a_course_steers_the_terminal(
        source in "[\\x00-\\x7f\u{80}-\u{9f}\u{202a}-\u{202e}\u{2066}-\u{2069}é字\u{FEFF}\r\n]{0,80}",
        message in "\\PC{0,10}\u{1b}\\[2J\u{9b}\u{202e}\r\n\\PC{0,10}",
        start in 0usize..100, length in 0usize..100, other in 0usize..100,
    ) {
        let problem = Problem::new(&message).help(&message).at(start..start + length).related(other..other + 3, &message);
        let text = render_problems(&message, &source, std::slice::from_ref(&problem), false);
        let steering = |c: char| c != '\n' && (c.is_control() || ('\u{202a}'..='\u{202e}').contains(&c)
            || ('\u{2066}'..='\u{2069}').contains(&c));
        prop_assert!(!text.contains(steering), "{text:?}");
        prop_assert!(!Failure::Course(vec![problem]).to_string().contains(steering));
    }

    #[test]
    fn the_column_is_that_of_the_marked_character(before in "[ab\té字\u{1b}\u{202e}]{0,60}") {
        let source = format!("first\r\n{before}X after");
        let at = source.find('X').expect("it is there");
        let text = render_problems("f", &source, &[Problem::new("m").at(at..at + 1)], false);
        let place = format!("f:2:{}", before.chars().count() + 1);
        prop_assert!(text.lines().nth(1).expect("a place").ends_with(&place), "{} in {}", place, text);
    }
}
