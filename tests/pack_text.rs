//! Text of a course reaches every page as text: whatever it holds, the source of each document has
//! the same shape, and what was typed can be read back.

use std::sync::LazyLock;

use slopepack::course::Course;
use slopepack::engine::{Reckoning, reckon};
use slopepack::pack::{Book, Facts, KINDS, index};
use slopepack::print::escape::visible;
use slopepack::print::{Templates, Typesetter, Workshop};

use crate::course_texts::with_texts;
use crate::print_shape::{leaves, shape};
use crate::print_text::hostile_texts;
use crate::program::{squeezed, text_of};

/// What the engine knows of the quarry day. There is no text in it but the short names of ground, slopes and vehicles,
/// which stay: whatever its texts say, the day is reckoned once.
static KNOWN: LazyLock<Reckoning> =
    LazyLock::new(|| reckon(&with_texts(|| "text".to_owned()).expect("it reads")));

/// The book of the quarry day with other texts.
fn book_of(course: &Course) -> Book<'_> {
    Book::from_facts(Facts::reckoned(course, KNOWN.clone()), "0000-0000")
}

/// Name and source of every document.
fn sources_of(book: &Book) -> Vec<(&'static str, String)> {
    let templates = Templates::embedded().expect("all templates parse");
    KINDS
        .iter()
        .filter_map(|kind| Some((kind.name, kind.fill(book, &templates)?.expect("it fills").text)))
        .collect()
}

/// As long as the text, with gaps, letters and figures in the same places, and harmless: papers look at the figures of
/// what they ask.
fn harmless(text: &str) -> String {
    text.chars().map(|c| if c.is_whitespace() || c.is_ascii_alphanumeric() { c } else { 'x' }).collect()
}

/// The course without its plan from above: a drawing makes room for its names by what their letters take, and that is no
/// change of shape by what they say. That its names are texts is seen where they are read back.
fn unplanned(course: Course) -> Course {
    Course { site_plan: None, ..course }
}

/// What two documents last have alike before their shapes differ.
fn until_they_differ(expected: &str, found: &str) -> String {
    let (a, b) = (shape(expected), shape(found));
    let alike = a.iter().zip(&b).take_while(|(a, b)| a == b).count();
    let mut nodes = leaves(found);
    nodes.truncate(alike);
    nodes.iter().rev().take(40).rev().map(|(_, text)| text.as_str()).collect()
}

#[test]
fn no_text_changes_the_shape_of_a_document() {
    for text in hostile_texts(8) {
        // An empty text leaves out what is empty; that is no change of shape by what it says.
        if text.trim().is_empty() {
            continue;
        }
        let Some(hostile) = with_texts(|| text.clone()).map(unplanned) else { continue };
        let plain = with_texts(|| harmless(&text)).map(unplanned).expect("it reads as well");
        let expected = sources_of(&book_of(&plain));
        for ((name, expected), (_, found)) in expected.iter().zip(sources_of(&book_of(&hostile))) {
            assert!(
                shape(expected) == shape(&found),
                "{name} changes its shape with {text:?} after {:?}",
                until_they_differ(expected, &found)
            );
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
    let book = book_of(course);
    let (mut names, mut filled): (Vec<_>, Vec<_>) = KINDS
        .iter()
        .filter_map(|kind| Some((kind.name, kind.fill(&book, &templates)?.expect("it fills"))))
        .unzip();
    names.push("index");
    filled.push(index(&book, &templates, (&[], &[]), "0").expect("it fills"));
    let pdfs = typesetter.pdfs(&workshop, &filled, 0, |_| {}).expect("it typesets without a warning");
    names.into_iter().zip(pdfs.iter().map(|pdf| pdf.to_vec())).collect()
}

#[test]
fn hostile_texts_are_printed_as_typed() {
    // Each begins with what means something at the beginning of a line, and is short enough to be cut nowhere.
    for text in
        ["#panic(\"no\") *bold* _slanted_ `raw` $x$", "= heading http://x.org/[a](b) ] ) } {{ x }} {% raw %}"]
    {
        let expected = squeezed(text);
        for (name, pdf) in typeset(&with_texts(|| text.to_owned()).expect("it reads")) {
            assert!(text_of(&pdf).contains(&expected), "{name} does not print {text:?} as typed");
        }
    }
}

#[test]
fn a_text_too_long_for_its_place_is_printed_in_full_in_the_index() {
    let hostile: String = hostile_texts(0).join(" ");
    for text in [hostile, "x".repeat(10_000), "words of a sentence ".repeat(500)] {
        let printed = typeset(&with_texts(|| text.clone()).expect("it reads"));
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
