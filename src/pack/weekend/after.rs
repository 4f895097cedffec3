//! The look back after the day: what was planned, beside room for what was.

use serde::Serialize;

use crate::course::Role;
use crate::engine::Standing;
use crate::pack::book::Book;
use crate::pack::ground::plan::drivers_of;
use crate::pack::ground::timetable::timetable;
use crate::pack::weekend::day::Weekend;
use crate::pack::weekend::forms::leader;
use crate::page::meta::Meta;
use crate::rota::{Rota, Station, clock_text, day_sum, runs_planned};

/// After-day review.
#[derive(Serialize)]
pub(crate) struct AfterDay {
    pack: Meta,
    leader: String,
    drivers: String,
    staff: String,
    /// When the day was to start and to end.
    hours: String,
    /// The unit of a speed.
    speed: String,
    stations: Vec<Planned>,
    /// Whether a roster says who comes, and an attendance record is signed.
    rostered: bool,
}

#[derive(Serialize)]
struct Planned {
    mark: String,
    name: String,
    runs: String,
}

impl AfterDay {
    /// From the book.
    pub(crate) fn of(book: &Book, pack: Meta) -> Self {
        let course = book.course;
        let stations = (0..course.slopes.len()).map(|at| Planned {
            mark: book.slope_mark(&course.slopes[at].id),
            name: course.slopes[at].name.short(),
            runs: runs(book, at).to_string(),
        });
        let drivers = Weekend::of(book).map_or_else(|| drivers_of(course), |weekend| weekend.present().len());
        let absent = book.missing().people.len();
        let staff = course.people.iter().filter(|person| person.role != Role::Driver).count();
        Self {
            pack,
            leader: leader(book),
            drivers: known(drivers),
            staff: known(staff.saturating_sub(absent)),
            hours: hours(book),
            speed: book.show.limit(course.limits.descent_speed.si()).u,
            stations: stations.collect(),
            rostered: !course.roster.drivers.is_empty(),
        }
    }
}

/// A count, or a dash where nobody is named.
fn known(count: usize) -> String {
    if count == 0 { "–".to_owned() } else { count.to_string() }
}

/// Runs planned on a slope: those of the rota, of the day's sum, or of every vehicle that may go there.
fn runs(book: &Book, slope: usize) -> usize {
    let course = book.course;
    let sums = day_sum(course, &book.reckoning);
    if !sums.is_empty() {
        return runs_planned(&sums, slope);
    }
    let rotates = |rota: &Rota| -> usize {
        let here = rota.visits.iter().filter(|visit| visit.station == Station::Slope(slope));
        here.map(|visit| visit.driving.len()).sum()
    };
    let may = || {
        let pairs = course.vehicles.iter().map(|vehicle| book.pair(&course.slopes[slope], vehicle));
        pairs.filter(|pair| pair.standing != Standing::NotHere).count()
    };
    let drive = book.rota.as_ref().map_or_else(may, rotates);
    drive * usize::from(course.day.runs)
}

fn hours(book: &Book) -> String {
    let parts = timetable(book);
    let first = parts.iter().filter_map(|part| part.from).min();
    let last = parts.iter().filter_map(|part| part.to.or(part.from)).max();
    match (first, last) {
        (Some(first), Some(last)) => format!("{}, {}", clock_text(first), clock_text(last % (24 * 60))),
        _ => "–".to_owned(),
    }
}
