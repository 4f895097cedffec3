//! The index of a pack: what is in it, for whom, and how to print it.

mod taken;

use serde::Serialize;

use taken::taken;

use crate::course::{Band, Course, LongText, Paper, Surface, advice};
use crate::pack::book::Book;
use crate::pack::look_at::look_at;
use crate::pack::recovery::summary::nobody_fetches;
use crate::page::meta::Meta;
use crate::print::{Rendered, Templates};
use crate::problem::Failure;

/// A document as the index lists it.
#[derive(Clone, Debug, Serialize)]
pub struct Listed {
    /// Its file.
    pub file: String,
    /// Its title.
    pub title: String,
    /// Whom it is for.
    pub audience: String,
    /// Its pages.
    pub pages: String,
    /// The sheet it is printed on.
    pub sheet: String,
    /// One side or both.
    pub sides: String,
    /// How many copies.
    pub copies: String,
}

/// A document that an earlier run printed into the folder and this one leaves there.
#[derive(Clone, Debug, Serialize)]
pub struct Kept {
    /// Its file.
    pub file: String,
    /// Its title.
    pub title: String,
    /// The data mark in its foot.
    pub mark: String,
    /// Whether that is the mark of what is printed now.
    pub same: bool,
}

/// The index.
#[derive(Serialize)]
pub(super) struct Index<'a> {
    pack: Meta,
    documents: &'a [Listed],
    kept: &'a [Kept],
    notes: Vec<String>,
    made: Vec<Made>,
    estimates: Vec<Estimate>,
    full_texts: Vec<FullText<'a>>,
}

/// A text that was cut to fit its place, in full.
#[derive(Serialize)]
struct FullText<'a> {
    what: &'a str,
    text: &'a str,
}

impl<'a> FullText<'a> {
    fn of(long: &'a LongText) -> Self {
        Self { what: &long.what, text: &long.text }
    }
}

#[derive(Serialize)]
struct Made {
    name: &'static str,
    value: String,
}

#[derive(Serialize)]
struct Estimate {
    /// The vehicle's letter; a dash for the ground.
    id: String,
    name: String,
    /// What was taken as what, one after the other.
    taken: String,
    source: &'static str,
}

impl<'a> Index<'a> {
    /// From the book and what was printed with which typesetter.
    pub(super) fn of(
        book: &'a Book,
        pack: Meta,
        (documents, kept): (&'a [Listed], &'a [Kept]),
        typesetter: &str,
    ) -> Self {
        Self {
            pack,
            documents,
            kept,
            notes: advice(book.course).into_iter().chain(look_at(book)).chain(nobody_fetches(book)).collect(),
            made: made(book, typesetter),
            estimates: estimates(book),
            // After a change they stand in the index of the pack.
            full_texts: if book.change.is_none() { full_texts(book.course) } else { Vec::new() },
        }
    }
}

fn full_texts(course: &Course) -> Vec<FullText<'_>> {
    course.long_texts.iter().map(FullText::of).collect()
}

/// How the pack was made. One seed is the course's, for every random choice of questions; the other is
/// the solver's own and never changes.
fn made(book: &Book, typesetter: &str) -> Vec<Made> {
    let rota = book.rota.as_ref();
    let solver = rota.map(|rota| Made { name: "seed of the rota’s solver", value: rota.seed.to_string() });
    let mut made = vec![
        Made { name: "slopepack", value: env!("CARGO_PKG_VERSION").to_owned() },
        Made { name: "typesetter", value: typesetter.to_owned() },
        Made { name: "course fingerprint", value: book.fingerprint.clone() },
        Made { name: "seed of the questions", value: book.course.seed.to_string() },
    ];
    made.extend(solver);
    made
}

/// Both bands that are reckoned with: of wheels that turn and of wheels that slide.
fn friction(surface: &Surface) -> String {
    let band = |band: Band| format!("{:.2}–{:.2}", band.low, band.high);
    format!("friction {} wheels turning, {} wheels sliding", band(surface.peak), band(surface.sliding))
}

/// What the sheets mark as estimated: a row for each vehicle, then the ground. After a change those alone that the index of
/// the pack does not have.
fn estimates(book: &Book) -> Vec<Estimate> {
    let vehicles = book.course.vehicles[book.new_vehicles()].iter().map(|vehicle| Estimate {
        id: book.vehicle_mark(&vehicle.id),
        name: vehicle.name.short(),
        taken: taken(vehicle, book.show).join("; "),
        source: "class value",
    });
    let ground =
        book.course.surfaces.iter().filter(|surface| surface.estimated && book.change.is_none()).map(
            |surface| Estimate {
                id: "–".to_owned(),
                name: surface.name.short(),
                taken: friction(surface),
                source: "estimate",
            },
        );
    vehicles.filter(|row| !row.taken.is_empty()).chain(ground).collect()
}

/// The paper's name.
pub(super) fn sheet_word(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "A4",
        Paper::Letter => "US Letter",
    }
}

/// The name of half the paper, on which cards are printed.
pub(super) fn half_word(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "A5",
        Paper::Letter => "half letter",
    }
}

/// File of the index.
pub const INDEX: &str = "index.pdf";
/// Title of the index.
pub const INDEX_TITLE: &str = "Index of the pack";

/// The index of what was printed.
pub fn index(
    book: &Book,
    templates: &Templates,
    listed: (&[Listed], &[Kept]),
    typesetter: &str,
) -> Result<Rendered, Failure> {
    let meta = book.meta(INDEX_TITLE, "whoever prints and hands out", "index");
    let filled = templates.render("index.typ.j2", &Index::of(book, meta, listed, typesetter))?;
    Ok(filled.saving_pages())
}
