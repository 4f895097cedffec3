//! Text of a course reaches every page as text: whatever it holds, the source of each document has
//! the same shape, and what was typed can be read back.

use slopepack::course::{Course, read_text};
use slopepack::pack::{Book, KINDS, fitted, index};
use slopepack::print::escape::visible;
use slopepack::print::{Templates, Typesetter, Workshop};

use crate::print_shape::shape;
use crate::print_text::hostile_texts;
use crate::program::{squeezed, text_of};

const EXAMPLE: &str = include_str!("../courses/quarry-day.yaml");

/// The example course with every free text replaced.
pub fn with_texts(mut text: impl FnMut() -> String) -> Course {
    let mut course = read_text(EXAMPLE).expect("the example has no mistakes");
    let mut put = |place: &mut String| *place = text();
    let c = &mut course;
    [&mut c.title, &mut c.club, &mut c.site, &mut c.version].into_iter().for_each(&mut put);
    c.prepared_by.iter_mut().for_each(&mut put);
    c.outcomes.iter_mut().chain(&mut c.entry_requirements).for_each(&mut put);
    for surface in &mut c.surfaces {
        [&mut surface.name, &mut surface.source].into_iter().for_each(&mut put);
    }
    for slope in &mut c.slopes {
        [&mut slope.name, &mut slope.purpose].into_iter().for_each(&mut put);
        slope.hazards.iter_mut().chain(&mut slope.rules).chain(&mut slope.spotter).for_each(&mut put);
        slope.run_out.iter_mut().flat_map(|run_out| &mut run_out.ends_at).for_each(&mut put);
        if let Some(survey) = &mut slope.survey {
            [&mut survey.by, &mut survey.date, &mut survey.instrument]
                .into_iter()
                .flatten()
                .for_each(&mut put);
        }
    }
    for vehicle in &mut c.vehicles {
        [&mut vehicle.name, &mut vehicle.tyre.marking].into_iter().for_each(&mut put);
        vehicle.recovery_points.iter_mut().for_each(|point| put(&mut point.place));
    }
    for item in &mut c.kit {
        put(&mut item.name);
        item.note.iter_mut().for_each(&mut put);
    }
    c.people.iter_mut().for_each(|person| put(&mut person.name));
    c.day.date.iter_mut().chain(&mut c.day.channel).for_each(&mut put);
    for session in &mut c.day.sessions {
        put(&mut session.title);
        session.outcome.iter_mut().for_each(&mut put);
    }
    let e = &mut c.emergency;
    [&mut e.number, &mut e.location, &mut e.access, &mut e.assembly, &mut e.hospital, &mut e.coverage]
        .into_iter()
        .flatten()
        .for_each(&mut put);
    course
}

/// Name and source of every document of a course.
pub fn sources(course: &Course) -> Vec<(&'static str, String)> {
    let templates = Templates::embedded().expect("all templates parse");
    let book = Book::of(course, "0000-0000");
    KINDS
        .iter()
        .filter_map(|kind| Some((kind.name, kind.fill(&book, &templates)?.expect("it fills").text)))
        .collect()
}

/// As long as the text, with gaps in the same places, and harmless.
fn harmless(text: &str) -> String {
    text.chars().map(|c| if c.is_whitespace() { c } else { 'x' }).collect()
}

#[test]
fn no_text_changes_the_shape_of_a_document() {
    for text in hostile_texts(8) {
        // An empty text leaves out what is empty; that is no change of shape by what it says.
        if text.trim().is_empty() {
            continue;
        }
        let expected = sources(&with_texts(|| harmless(&text)));
        for ((name, expected), (_, found)) in expected.iter().zip(sources(&with_texts(|| text.clone()))) {
            assert!(shape(expected) == shape(&found), "{name} changes its shape with {text:?}");
        }
    }
}

/// Every document of a course and the index, typeset as `pack` does.
fn typeset(course: &Course) -> Vec<(&'static str, Vec<u8>)> {
    let templates = Templates::embedded().expect("all templates parse");
    let folder = tempfile::tempdir().expect("a folder");
    let workshop = Workshop::inside(folder.path(), "work-", &templates).expect("a workshop");
    let named = std::env::var_os("SLOPEPACK_TYPST").map(std::path::PathBuf::from);
    let typesetter = Typesetter::find(named.as_deref()).expect("the typesetter is installed");
    let (course, full_texts) = fitted(course);
    let book = Book::of(&course, "0000-0000").with_full_texts(full_texts);
    let (mut names, mut filled): (Vec<_>, Vec<_>) = KINDS
        .iter()
        .filter_map(|kind| Some((kind.name, kind.fill(&book, &templates)?.expect("it fills"))))
        .unzip();
    names.push("index");
    filled.push(index(&book, &templates, &[], "0").expect("it fills"));
    let pdfs = typesetter.pdfs(&workshop, &filled, 0, |_| {}).expect("it typesets without a warning");
    names.into_iter().zip(pdfs.iter().map(|pdf| pdf.to_vec())).collect()
}

#[test]
fn hostile_texts_are_printed_as_typed() {
    for text in [
        "#panic(\"no\")",
        "*bold* _slanted_ `raw` $x$",
        "= heading",
        "http://x.org/[a](b)",
        "] ) } {{ x }} {% raw %}",
    ] {
        let expected = squeezed(text);
        for (name, pdf) in typeset(&with_texts(|| text.to_owned())) {
            assert!(text_of(&pdf).contains(&expected), "{name} does not print {text:?} as typed");
        }
    }
}

#[test]
fn a_text_too_long_for_its_place_is_printed_in_full_in_the_index() {
    let hostile: String = hostile_texts(0).join(" ");
    for text in [hostile, "x".repeat(10_000), "words of a sentence ".repeat(500)] {
        let printed = typeset(&with_texts(|| text.clone()));
        let (_, index) = printed.iter().find(|(name, _)| *name == "index").expect("an index");
        let pages = lopdf::Document::load_mem(index).expect("a document").get_pages().len();
        let found = text_of(index);
        // A piece that runs over a page's end has that page's foot in its middle.
        let pieces: Vec<char> = squeezed(&visible(&text)).chars().collect();
        let missing = pieces.chunks(40).filter(|piece| !found.contains(&String::from_iter(*piece))).count();
        assert!(missing < pages, "{missing} pieces of {} letters are missing", text.len());
        let longest = "x".repeat(40);
        assert!(found.matches(&longest).count() >= text.matches(&longest).count().saturating_sub(pages));
    }
}
