//! Both example courses, typeset once for all tests that look at pages.

use std::path::Path;
use std::sync::OnceLock;

use slopepack::course::{Course, read};
use slopepack::pack::{Book, KINDS, Kind};
use slopepack::print::{Dialect, Edition, Templates, Typesetter, Workshop};
use slopepack::problem::render_problems;
use slopepack::rota::Missing;

use crate::pages_read::{Sheet, sheets};

/// Date in the documents' data, seconds since 1970.
const STAMP: i64 = 1_767_225_600;

/// The example courses.
const NAMES: [&str; 3] = ["quarry-day.yaml", "hill-club-weekend.yaml", "six-slope-saturday.yaml"];

/// Documents that a rota makes, or makes otherwise.
const OF_A_ROTA: [&str; 14] = [
    "joining-notes",
    "vehicle-questions",
    "attendance",
    "run-sheets",
    "driver-cards",
    "driver-cards-large",
    "marshal-cards",
    "radio-plan",
    "convoy",
    "certificate",
    "leader-sheet",
    "after-day",
    "demonstration",
    "comparison",
];

/// A document of a course: its source and its pages.
pub(crate) struct Paper {
    /// Name of its kind.
    pub name: &'static str,
    /// What the typesetter was given.
    pub source: String,
    /// What it made.
    pub pdf: lopdf::Document,
    /// Its pages, read back.
    pub sheets: Vec<Sheet>,
}

/// A course with all its documents.
pub(crate) struct Pack {
    /// The course.
    pub course: Course,
    /// Every document.
    pub papers: Vec<Paper>,
}

/// The example courses.
pub(crate) fn examples() -> &'static [Pack] {
    static PACKS: OnceLock<Vec<Pack>> = OnceLock::new();
    PACKS.get_or_init(|| NAMES.into_iter().map(|name| typeset(example(name))).collect())
}

fn example(name: &str) -> Course {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses").join(name);
    read(&path).map_or_else(
        |unread| match unread.failure {
            slopepack::problem::Failure::Course(problems) => {
                panic!("{}", render_problems(name, &unread.source, &problems, false))
            }
            failure => panic!("{failure}"),
        },
        |loaded| loaded.course,
    )
}

/// The example courses in large print.
pub(crate) fn large_examples() -> &'static [Pack] {
    static PACKS: OnceLock<Vec<Pack>> = OnceLock::new();
    PACKS.get_or_init(|| {
        ["quarry-day.yaml", "hill-club-weekend.yaml"]
            .into_iter()
            .map(|name| printed(example(name), Edition::LargePrint))
            .collect()
    })
}

/// The pocket cards of the example courses.
pub(crate) fn pocket_examples() -> &'static [Pack] {
    static PACKS: OnceLock<Vec<Pack>> = OnceLock::new();
    PACKS.get_or_init(|| NAMES.into_iter().map(|name| printed(example(name), Edition::Pocket)).collect())
}

/// The course with a rota, rota and all: the sheets of the weekend.
pub(crate) fn with_rota() -> &'static Pack {
    static PACK: OnceLock<Pack> = OnceLock::new();
    PACK.get_or_init(|| {
        let course = example(NAMES[2]);
        let mut book = Book::of(&course, "0000-0000");
        book.rotate(&Missing::default()).expect("a rota");
        let papers = papers(&book, |kind| OF_A_ROTA.contains(&kind.name), Edition::Standard);
        drop(book);
        Pack { course, papers }
    })
}

/// Every document of a course, typeset.
pub(crate) fn typeset(course: Course) -> Pack {
    printed(course, Edition::Standard)
}

/// Whether a kind of document comes in an edition.
fn comes_in(kind: &Kind, edition: Edition) -> bool {
    match edition {
        Edition::Standard => true,
        Edition::LargePrint => kind.in_large_print(),
        Edition::Pocket => kind.layouts.iter().any(|layout| layout.edition() == edition),
    }
}

/// Every document of a course that comes in this edition, typeset.
pub(crate) fn printed(course: Course, edition: Edition) -> Pack {
    let book = Book::of(&course, "0000-0000");
    let papers = papers(&book, |kind| comes_in(kind, edition), edition);
    drop(book);
    Pack { course, papers }
}

/// The English of a course's readers, with what the course writes itself: its file, where it is an example, and its names.
pub(crate) fn spoken(course: &Course) -> Dialect {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses");
    let texts = NAMES.iter().map(|name| std::fs::read_to_string(folder.join(name)).expect("an example"));
    let texts = texts.filter(|text| text.contains(course.title.full()));
    let names = course.vehicles.iter().map(|one| &one.name).chain(course.slopes.iter().map(|one| &one.name));
    let own: String = texts.chain(names.map(|name| format!("{}\n", name.full()))).collect();
    Dialect::new(course.paper == slopepack::course::Paper::Letter, own)
}

/// Documents of a book, typeset.
fn papers(book: &Book, wanted: impl Fn(&Kind) -> bool, edition: Edition) -> Vec<Paper> {
    let templates = Templates::embedded().and_then(|all| all.in_dialect(spoken(book.course)));
    let templates = templates.expect("all templates parse");
    let folder = tempfile::tempdir().expect("a folder");
    let workshop = Workshop::inside(folder.path(), "pages-", &templates).expect("a work folder");
    let typesetter = Typesetter::find(None).expect("the typesetter");
    let filled: Vec<_> = KINDS
        .iter()
        .filter(|kind| wanted(kind))
        .filter_map(|kind| Some((kind.name, kind.fill(book, &templates)?.expect("it fills"))))
        .collect();
    let (names, rendered): (Vec<_>, Vec<_>) =
        filled.into_iter().map(|(name, rendered)| (name, rendered.in_edition(edition))).unzip();
    let pdfs =
        typesetter.pdfs(&workshop, &rendered, STAMP, |_| {}).unwrap_or_else(|failure| panic!("{failure}"));
    names
        .into_iter()
        .zip(rendered)
        .zip(pdfs)
        .map(|((name, rendered), pdf)| {
            let pdf = lopdf::Document::load_mem(&pdf).expect("a PDF");
            Paper { name, source: rendered.text, sheets: sheets(&pdf), pdf }
        })
        .collect()
}
