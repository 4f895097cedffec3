//! Certificates of attendance: who was there, on which days, at which stations.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::course::{Course, Date, Driver, Passage};
use crate::pack::book::Book;
use crate::pack::weekend::day::Weekend;
use crate::pack::weekend::forms::leader;
use crate::page::meta::Meta;
use crate::rota::{Rota, had_before};

/// Certificates of attendance.
#[derive(Serialize)]
pub(crate) struct Certificates {
    pack: Meta,
    drivers: Vec<Certificate>,
    outcomes: Vec<String>,
    leader: String,
}

#[derive(Serialize)]
struct Certificate {
    serial: String,
    name: String,
    /// The days on which they came.
    date: String,
    vehicle: String,
    minutes: String,
    driven: String,
    seen: String,
    /// How much of it the attendance record has to show: the day, or each of them.
    shown: &'static str,
    /// The last day on which they are there to take it, where others stay longer.
    handed_over: Option<String>,
}

/// Stands where nothing was seen.
const NONE: &str = "–";

impl Certificates {
    /// From a book with a rota.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        // A paper of no station and no minute certifies nothing.
        let was_there = |one: &Certificate| !one.driven.is_empty() || one.seen != NONE;
        let drivers: Vec<Certificate> =
            certified(&weekend).into_iter().map(|at| certificate(&weekend, at)).filter(was_there).collect();
        if drivers.is_empty() {
            return None;
        }
        let outcomes = book.course.outcomes.iter().map(Passage::short).collect();
        Some(Self { pack, drivers, outcomes, leader: leader(book) })
    }
}

/// Every driver's certificate as it would read, by place in the roster.
pub(crate) fn certificates(book: &Book) -> BTreeMap<usize, String> {
    let Some(weekend) = Weekend::of(book) else { return BTreeMap::new() };
    let leads = leader(book);
    let text = |at: usize| serde_json::to_string(&(&leads, certificate(&weekend, at))).unwrap_or_default();
    weekend.present().into_iter().map(|at| (at, text(at))).collect()
}

/// Who gets a certificate: everybody of all days, or those whose certificate reads otherwise after a change.
fn certified(weekend: &Weekend) -> Vec<usize> {
    let days = &weekend.book.days;
    if days.is_empty() {
        let anew = weekend.book.printed.anew.as_ref();
        let reads_otherwise = |at: &usize| anew.is_none_or(|anew| anew.certificates.contains(at));
        return weekend.present().into_iter().filter(reads_otherwise).collect();
    }
    let comes = |at: &usize| days.iter().any(|(_, rota)| rota.group_of(*at).is_some());
    (0..weekend.drivers().len()).filter(comes).collect()
}

/// The rotas a certificate tells of: those of all days, each with the course as it is then; of one that changed the
/// new one.
fn told<'a>(weekend: &Weekend<'a>) -> Vec<(&'a Course, &'a Rota)> {
    let book = weekend.book;
    let today = || (book.course, weekend.rota);
    let changed = |course: &Course| course.day_number() == book.course.day_number();
    let days = if book.days.is_empty() { &book.others } else { &book.days };
    let as_it_is = |(course, rota): &'a (Course, Rota)| {
        if book.days.is_empty() && changed(course) { today() } else { (course, rota) }
    };
    if days.is_empty() { vec![today()] } else { days.iter().map(as_it_is).collect() }
}

fn certificate(weekend: &Weekend, at: usize) -> Certificate {
    let driver = &weekend.drivers()[at];
    let (mut driven, mut seen, mut minutes) = (Vec::new(), Vec::new(), 0_u32);
    let mut dates: Vec<Option<&Date>> = Vec::new();
    for (course, rota) in told(weekend) {
        // Who turned up has another place in the list of each day.
        let named = |one: &Driver| one.name.full() == driver.name.full();
        let Some(at) = course.roster.drivers.iter().position(named) else { continue };
        let group = rota.group_of(at);
        dates.extend(group.map(|_| course.day.date.as_ref()));
        let visits = rota.visits.iter().filter(|visit| group.is_some_and(|group| visit.group == group));
        for visit in visits.filter(|visit| !had_before(course, at, visit.station)) {
            let slot = rota.slots[visit.slot];
            minutes += u32::from(slot.end - slot.start);
            let place = weekend.place(visit.station);
            let list = if visit.driving.contains(&at) { &mut driven } else { &mut seen };
            if !list.contains(&place) {
                list.push(place);
            }
        }
    }
    let vehicle = weekend.book.vehicle_sheet_of(&driver.vehicle);
    let leaves = dates.last().copied().flatten().filter(|date| last_day(weekend) != Some(date));
    Certificate {
        shown: if dates.len() > 1 { "each of these days, whole" } else { "the whole day" },
        handed_over: leaves.map(Date::to_string),
        serial: format!("{}-{}", weekend.book.fingerprint, driver.id),
        name: driver.name.short(),
        date: held_on(&dates),
        vehicle: vehicle.map_or_else(String::new, |vehicle| vehicle.name.clone()),
        minutes: format!("{} h {:02} min", minutes / 60, minutes % 60),
        driven: driven.join(", "),
        seen: if seen.is_empty() { NONE.to_owned() } else { seen.join(", ") },
    }
}

/// The date of the last of all days.
fn last_day<'a>(weekend: &Weekend<'a>) -> Option<&'a Date> {
    told(weekend).last()?.0.day.date.as_ref()
}

/// These days in words: a frame's hint where one of them has no date yet.
fn held_on(dates: &[Option<&Date>]) -> String {
    let known: Vec<&Date> = dates.iter().copied().flatten().collect();
    let open = known.len() < dates.len();
    Date::of_all(known.into_iter())
        .filter(|_| !open)
        .map_or_else(|| "date to be set".to_owned(), |all| all.to_string())
}
