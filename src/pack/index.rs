//! The index of a pack: what is in it, for whom, and how to print it.

use serde::Serialize;

use super::book::Book;
use super::fit::FullText;
use super::meta::Meta;
use super::recovery_summary::nobody_fetches;
use super::slope::SlopeSheet;
use super::vehicle::VehicleSheet;
use crate::course::{Paper, advice};

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

/// The index.
#[derive(Serialize)]
pub struct Index<'a> {
    pack: Meta,
    documents: &'a [Listed],
    notes: Vec<String>,
    made: Vec<Made>,
    estimates: Vec<Estimate>,
    full_texts: &'a [FullText],
    slopes: &'a [SlopeSheet],
    vehicles: &'a [VehicleSheet],
}

#[derive(Serialize)]
struct Made {
    name: &'static str,
    value: String,
}

#[derive(Serialize)]
struct Estimate {
    what: String,
    value: String,
    source: &'static str,
}

impl<'a> Index<'a> {
    /// From the book and what was printed with which typesetter.
    pub fn of(book: &'a Book, pack: Meta, documents: &'a [Listed], typesetter: &str) -> Self {
        Self {
            pack,
            documents,
            notes: advice(book.course).into_iter().chain(nobody_fetches(book)).collect(),
            made: vec![
                Made { name: "slopepack", value: env!("CARGO_PKG_VERSION").to_owned() },
                Made { name: "typesetter", value: typesetter.to_owned() },
                Made { name: "course fingerprint", value: book.fingerprint.clone() },
                Made { name: "seed", value: book.course.seed.to_string() },
            ],
            estimates: estimates(book),
            full_texts: &book.full_texts,
            slopes: &book.slopes,
            vehicles: &book.vehicles,
        }
    }
}

/// What a vehicle's sheet marks as estimated.
fn estimates(book: &Book) -> Vec<Estimate> {
    let mut all = Vec::new();
    for vehicle in &book.course.vehicles {
        let show = book.show;
        let mut note = |what: &str, value: String| {
            all.push(Estimate { what: format!("{}: {what}", vehicle.name), value, source: "class value" });
        };
        if vehicle.track.estimated {
            note("track", show.body(vehicle.track.si(), false).text());
        }
        if vehicle.centre_height.estimated {
            note("height of the centre of mass", show.body(vehicle.centre_height.si(), false).text());
        }
        if vehicle.centre_behind_front.estimated {
            note(
                "centre of mass behind the front axle",
                show.body(vehicle.centre_behind_front.si(), false).text(),
            );
        }
        if vehicle.tyre.diameter.estimated && vehicle.tyre.measured_circumference.is_none() {
            note("tyre diameter", show.body(vehicle.tyre.diameter.si(), false).text());
        }
        if vehicle.engine.highest.estimated {
            note("highest engine speed allowed", show.spin(vehicle.engine.highest.si(), false).text());
        }
        if let Some(front) = vehicle.brakes.front.filter(|front| front.mass.estimated) {
            note("mass of one front disc or drum", show.mass(front.mass.si(), false).text());
        }
    }
    for surface in book.course.surfaces.iter().filter(|surface| surface.estimated) {
        all.push(Estimate {
            what: format!("friction of {}", surface.name),
            value: format!("{:.2}–{:.2}", surface.sliding.low, surface.peak.high),
            source: "estimate",
        });
    }
    all
}

/// The paper's name.
pub fn sheet_word(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "A4",
        Paper::Letter => "US Letter",
    }
}
