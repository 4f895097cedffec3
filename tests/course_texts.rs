//! Texts of a course: each is found by trying to write words in its place, so a new key is found too.

use std::ops::Range;
use std::sync::LazyLock;

use slopepack::course::{Course, read_text};
use slopepack::pack::Book;

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");
const SATURDAY: &str = include_str!("../courses/six-slope-saturday.yaml");

/// Words that are no number, no name of a file, no short name and none of a few known words.
const PROBE: &str = "Whatever: somebody writes, in words";

/// Letters the date of the day takes: it is one fact, so a longer one is refused, not cut.
const LONGEST_DATE: usize = 64;

/// Whether a place is the date of the day.
fn is_the_date(source: &str, place: &Range<usize>) -> bool {
    source[..place.start].ends_with("\n  date: ")
}

/// Text keys of the quarry day, which hold whatever is written there.
static IN_QUARRY: LazyLock<Vec<Range<usize>>> = LazyLock::new(|| places_of_text(QUARRY));

/// The quarry day with every free text replaced; none when a text cannot stand in a course.
pub(crate) fn with_texts(mut text: impl FnMut() -> String) -> Option<Course> {
    let mut source = QUARRY.to_owned();
    for place in IN_QUARRY.iter().rev() {
        let text = text();
        if text.chars().count() > LONGEST_DATE && is_the_date(&source, place) {
            continue;
        }
        source.replace_range(place.clone(), &quoted(&text));
    }
    read_text(&source).ok()
}

/// A text as a double-quoted scalar.
fn quoted(text: &str) -> String {
    let letter = |c: char| match c {
        ' '..='~' if c != '"' && c != '\\' => c.to_string(),
        other => format!("\\U{:08X}", u32::from(other)),
    };
    format!("\"{}\"", text.chars().map(letter).collect::<String>())
}

/// Where a scalar stands on a line: after a key, in a list, or among braces.
fn scalars(source: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut start = 0;
    for line in source.split_inclusive('\n') {
        let body = line.trim_end();
        let comment =
            if body.trim_start().starts_with('#') { 0 } else { body.find(" #").unwrap_or(body.len()) };
        let body = &body[..comment];
        let after_dash = body.len() - body.trim_start().trim_start_matches("- ").len();
        let openings = body.match_indices([':', ',', '[']).map(|(at, sign)| at + sign.len());
        for from in openings.chain([after_dash]).filter(|from| *from < body.len()) {
            let from = from + body[from..].len() - body[from..].trim_start_matches([' ', '{']).len();
            for to in body[from..].match_indices([',', ']', '}']).map(|(at, _)| from + at).chain([body.len()])
            {
                if !body[from..to].trim().is_empty() {
                    found.push(start + from..start + to);
                }
            }
        }
        start += line.len();
    }
    found
}

fn read_with(source: &str, place: &Range<usize>, text: &str) -> Option<Course> {
    let mut source = source.to_owned();
    source.replace_range(place.clone(), &quoted(text));
    read_text(&source).ok()
}

/// The places of a course where any words can stand, in order, none inside another.
fn places_of_text(source: &str) -> Vec<Range<usize>> {
    let mut places: Vec<Range<usize>> = Vec::new();
    for place in scalars(source) {
        let inside = places.iter().any(|known| place.start < known.end && known.start < place.end);
        let written = &source[place.clone()];
        let words = written.starts_with(|c: char| c.is_alphabetic() || c == '"' || c == '\'');
        if words && !inside && !written.contains(": ") && read_with(source, &place, PROBE).is_some() {
            places.push(place);
        }
    }
    places.sort_by_key(|place| place.start);
    places
}

/// The key a place belongs to.
fn key_of(source: &str, place: &Range<usize>) -> String {
    let before = &source[..place.start];
    let key = |text: &str| {
        text.trim_end()
            .strip_suffix(':')
            .map(|text| text.rsplit([' ', '{', ',', '\n']).next().unwrap_or_default().to_owned())
    };
    let line = before.rsplit('\n').next().unwrap_or_default();
    key(line).or_else(|| before.lines().rev().find_map(key)).unwrap_or_default()
}

/// A course without the part from one mark to the next other one: heads of a spreadsheet's columns are on no page.
fn without(source: &str, from: &str, to: &str) -> String {
    let (before, after) = source.split_once(from).expect("the part is there");
    let (_, rest) = after.split_once(to).expect("the part ends");
    format!("{before}\n{rest}")
}

#[test]
fn every_text_that_is_too_long_for_its_place_is_noted_in_full() {
    let mut keys = std::collections::BTreeSet::new();
    let saturday = without(SATURDAY, "  columns:\n", "\n\n");
    let drivers = "\nroster: {drivers: [{driver: A. B., vehicle: wagon, medical: none known}]}\n";
    let quarry = format!("{QUARRY}{drivers}");
    for source in [&saturday, &quarry] {
        for place in places_of_text(source).into_iter().filter(|place| !is_the_date(source, place)) {
            let key = key_of(source, &place);
            let text = format!("{} {}", key, "and so on ".repeat(100)).trim().to_owned();
            // Where a long text is refused, none is cut.
            let Some(course) = read_with(source, &place, &text) else { continue };
            let noted = course.long_texts.iter().any(|long| long.text == text);
            // What only the person in charge reads never stands where everybody reads it.
            let private = ["emergency-contact", "medical"].contains(&key.as_str());
            assert_eq!(noted, !private, "{key}: {:?}", course.long_texts);
            keys.insert(key);
        }
    }
    for key in ["title", "hazards", "name", "source", "ends-at", "place", "standard", "access", "driver"] {
        assert!(keys.contains(key), "{key} is not tried: {keys:?}");
    }
}

#[test]
fn the_pack_is_worked_from_the_course_as_written() {
    let tail = "left, on the bracket behind the bumper, next to the spare wheel carrier, third from below";
    let source = QUARRY.replacen("name: ", &format!("name: {tail} "), 1);
    let course = read_text(&source).expect("it reads");
    let book = Book::of(&course, "0000-0000");
    assert!(std::ptr::eq(book.course, &raw const course), "no other course than the one read");
    assert_eq!(course.long_texts.len(), 1);
    assert!(book.course.long_texts[0].text.starts_with(tail));
}
