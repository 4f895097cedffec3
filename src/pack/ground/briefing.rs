//! The safety briefing.

use serde::Serialize;

use crate::course::{AreaOfSite, Name, Remark, Role, beyond_a_parking_brake};
use crate::engine::leans;
use crate::pack::book::Book;
use crate::pack::day::channels;
use crate::pack::day::control::first_at_hand;
use crate::pack::day::posts::{Sort, posts};
use crate::pack::ground::plan::{not_fetched, role_word, stop_rules};
use crate::pack::recovery::summary::fetches_nobody;
use crate::pack::sheet::slope::{SlopeSheet, hazards};
use crate::page::figure::Fig;
use crate::page::meta::Meta;
use crate::page::site::areas;

/// The safety briefing with its sign-on sheet.
#[derive(Serialize)]
pub(crate) struct Briefing<'a> {
    pack: Meta,
    site: Site,
    slopes: &'a [SlopeSheet],
    /// Whom the kit gets off the slopes: `everybody`, `some` (their cards say where not) or `nobody`.
    fetches: &'static str,
    stop_rules: Vec<String>,
    people: Vec<Signed>,
    blank_rows: usize,
    /// How far from a driven line nobody stands.
    beside: Fig,
    /// Whether everybody signs on the attendance record instead of here.
    rostered: bool,
    /// Whether control is in charge at times.
    stands_in: bool,
    /// Slopes on which a parking brake alone does not hold.
    steep: Vec<String>,
    /// Who sits beside drivers, and when.
    seats: Option<String>,
    /// When a run is given up, with the limits of every vehicle that drives.
    abort: String,
}

/// Where the day is, and who answers for it.
#[derive(Serialize)]
pub(crate) struct Site {
    name: String,
    meeting: Option<String>,
    first_aiders: Option<String>,
    kit: Option<String>,
    channel: Option<String>,
    /// Slopes on channels of their own.
    channels: Option<String>,
    limit: Fig,
    leader: String,
    emergency: Option<String>,
    hazards: Vec<String>,
    /// Slopes below which somebody stands with the throw line.
    bank: Vec<String>,
    /// Where nobody goes, by the plan of the site.
    closed: Vec<String>,
}

#[derive(Serialize)]
struct Signed {
    name: String,
    vehicle: String,
}

/// Blank rows after the names: a third as many as there are names and four at least, since a school's
/// learners are rarely all named before.
const fn blank_rows(people: usize) -> usize {
    let third = people.div_ceil(3);
    if third > 4 { third } else { 4 }
}

impl<'a> Briefing<'a> {
    /// From the book.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Self {
        let people: Vec<Signed> = book
            .there()
            .map(|(_, person)| Signed {
                name: format!("{} ({})", person.name, role_word(person.role)),
                vehicle: person.vehicle.as_ref().map_or_else(String::new, |id| vehicle(book, id)),
            })
            .collect();
        let rostered = !book.course.roster.drivers.is_empty();
        Self {
            pack,
            site: site(book),
            slopes: &book.slopes,
            fetches: match () {
                () if not_fetched(book).is_empty() => "everybody",
                () if fetches_nobody(book) => "nobody",
                () => "some",
            },
            stop_rules: stop_rules(book),
            beside: book.show.beside_the_line(),
            blank_rows: blank_rows(people.len()),
            people,
            rostered,
            steep: steep(book),
            seats: seats(book),
            abort: abort(book),
            stands_in: posts(book).iter().any(|posts| posts.stands_in),
        }
    }
}

/// Slopes somebody drives that are steeper than parking brakes are approved to hold.
fn steep(book: &Book) -> Vec<String> {
    let driven = book.course.slopes.iter().zip(&book.slopes).filter(|(_, sheet)| sheet.closed.is_empty());
    let steep = driven.filter(|(slope, _)| beyond_a_parking_brake(slope));
    steep.map(|(_, sheet)| sheet.id.clone()).collect()
}

/// Who sits beside learners, as it is said to them: on their first run, and where the course asks for it.
fn seats(book: &Book) -> Option<String> {
    let all = posts(book);
    let said = all.iter().filter_map(|posts| {
        let when = match posts.sort {
            Sort::First => "first run",
            Sort::Beside => "every run",
            Sort::Turn | Sort::Demonstration => return None,
        };
        Some(format!("{} on {}, {when}", posts.teaches, posts.mark))
    });
    let said: Vec<String> = said.collect();
    (!said.is_empty()).then(|| format!("Beside you sits {}.", said.join("; ")))
}

/// The rule on every card without its last sentence, from the slope with the most limits of their own.
fn abort(book: &Book) -> String {
    let driven = book.slopes.iter().filter(|sheet| sheet.closed.is_empty());
    let starts = driven.filter_map(|sheet| sheet.abort.strip_suffix(sheet.abort_way));
    starts.max_by_key(|start| start.len()).unwrap_or_default().trim().to_owned()
}

/// A vehicle by its letter and name.
fn vehicle(book: &Book, id: &str) -> String {
    let name = book.vehicle_sheet_of(id).map_or("", |sheet| sheet.name.as_str());
    format!("{} {name}", book.vehicle_mark(id))
}

pub(crate) fn site(book: &Book) -> Site {
    let course = book.course;
    let emergency = &course.emergency;
    Site {
        name: course.site.short(),
        meeting: course.assembly(),
        first_aiders: book.who_does(Role::FirstAider),
        kit: first_at_hand(course, true),
        channel: course.day.channel.as_ref().map(Name::short),
        channels: channels::all(book),
        limit: course
            .day
            .site_speed
            .map_or_else(|| Fig::new("walking pace", "", false), |speed| book.show.speed(speed.si(), false)),
        leader: book.who_does(Role::Lead).unwrap_or_else(|| "the instructor".to_owned()),
        emergency: emergency.number.as_ref().map(Remark::short),
        closed: course.site_plan.as_ref().map_or_else(Vec::new, |plan| areas(plan, AreaOfSite::KeepOut)),
        bank: course
            .slopes
            .iter()
            .filter(|slope| leans(slope) && slope.has_water())
            .map(|slope| book.slope_mark(&slope.id))
            .collect(),
        hazards: course
            .slopes
            .iter()
            .flat_map(|slope| {
                let all = hazards(course, slope, book.show);
                all.into_iter().map(|hazard| format!("{}: {hazard}", slope.name))
            })
            .collect(),
    }
}
