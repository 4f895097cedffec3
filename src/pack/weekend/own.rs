//! What a club's own page on sheets of its own is given.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::course::own::Own;
use crate::pack::audience::Audience;
use crate::pack::book::Book;
use crate::pack::ground::briefing::{Site, site};
use crate::pack::ground::plan::{role_word, stop_rules};
use crate::pack::index::{Listed, sheet_word};
use crate::page::meta::Meta;
use crate::print::{Rendered, Templates};
use crate::problem::Failure;

/// A first page of a club's own, which tells everything that it is given.
pub const FIRST_PAGE: &str = include_str!("../../../templates/begin/club-page.j2");

/// What a club's page is given; `templates/begin/club-page.j2` tells of it.
#[derive(Serialize)]
struct Given<'a> {
    pack: Meta,
    site: Site,
    slopes: Vec<OfSlope<'a>>,
    vehicles: Vec<OfVehicle<'a>>,
    drivers: Vec<OfDriver>,
    staff: Vec<OfStaff>,
    stop_rules: Vec<String>,
    pictures: &'a BTreeMap<String, String>,
}

#[derive(Serialize)]
struct OfSlope<'a> {
    id: &'a str,
    name: &'a str,
    grade: &'a str,
    surface: &'a str,
    hazards: &'a [String],
    abort: &'a str,
    /// Whether nobody drives it today.
    closed: bool,
}

#[derive(Serialize)]
struct OfVehicle<'a> {
    mark: String,
    name: &'a str,
}

#[derive(Serialize)]
struct OfDriver {
    name: String,
    /// The mark of the vehicle.
    vehicle: String,
}

#[derive(Serialize)]
struct OfStaff {
    name: String,
    role: &'static str,
}

impl<'a> Given<'a> {
    fn of(book: &'a Book, pack: Meta, pictures: &'a BTreeMap<String, String>) -> Self {
        let course = book.course;
        Self {
            pack,
            site: site(book),
            slopes: book
                .slopes
                .iter()
                .map(|slope| OfSlope {
                    id: &slope.id,
                    name: &slope.name,
                    grade: &slope.grade,
                    surface: &slope.surface,
                    hazards: &slope.hazards,
                    abort: &slope.abort,
                    closed: slope.unsurveyed || !slope.closed.is_empty(),
                })
                .collect(),
            vehicles: course
                .vehicles
                .iter()
                .filter_map(|vehicle| {
                    let sheet = book.vehicle_sheet_of(&vehicle.id)?;
                    Some(OfVehicle { mark: book.vehicle_mark(&vehicle.id), name: &sheet.name })
                })
                .collect(),
            drivers: course
                .roster
                .drivers
                .iter()
                .map(|driver| OfDriver {
                    name: driver.name.short(),
                    vehicle: book.vehicle_mark(&driver.vehicle),
                })
                .collect(),
            staff: course
                .people
                .iter()
                .map(|person| OfStaff { name: person.name.to_string(), role: role_word(person.role) })
                .collect(),
            stop_rules: stop_rules(book),
            pictures,
        }
    }
}

/// A club's page filled from a book. `file` is that of its template, `pictures` says where the typesetter finds each.
///
/// # Errors
/// What it asks for and is not given, what it may not hold; with the line.
pub fn own_page(
    book: &Book,
    own: &Own,
    file: &str,
    pictures: &BTreeMap<String, String>,
    templates: &Templates,
) -> Result<Rendered, Failure> {
    let title = own.title.as_deref().unwrap_or(&own.name);
    templates.render_own(file, &Given::of(book, book.meta(title, &own.readers, &own.name), pictures))
}

/// As the index lists it.
pub fn own_listed(book: &Book, own: &Own, file: &str, pages: usize) -> Listed {
    Listed {
        file: file.to_owned(),
        title: format!("{}, the club’s own", own.title.as_deref().unwrap_or(&own.name)),
        audience: own.readers.clone(),
        pages: pages.to_string(),
        sheet: sheet_word(book.course.paper).to_owned(),
        sides: "both sides".to_owned(),
        copies: own.copies.clone(),
    }
}

/// Whether a club's page is printed when papers are asked for by reader.
pub fn is_for(own: &Own, asked: &[Audience]) -> bool {
    let word = |who: &Audience| match who {
        Audience::Instructor => "instructor",
        Audience::Assessor => "assessor",
        Audience::Club => "club",
    };
    asked.is_empty() || own.audience.is_empty() || asked.iter().any(|who| own.audience.contains(&word(who)))
}
