//! The comparison: the fleet down one slope, lowest gear, feet off, slowest down is best.

use serde::Serialize;

use crate::course::Seen;
use crate::earned::account;
use crate::engine::formulas::GRAVITY;
use crate::engine::{Compared, compare, comparison, slick, whole_minutes};
use crate::lesson::Example;
use crate::pack::book::Book;
use crate::pack::day::page::COMPARED;
use crate::pack::sheet::slope::SlopeSheet;
use crate::page::figure::{Fig, digits};
use crate::page::meta::Meta;
use crate::page::words::steps_in_a_row;
use crate::quantity::{Digits, UnitSystem};
use crate::rota::on_slope;

/// The comparison.
#[derive(Serialize)]
pub(crate) struct Comparison<'a> {
    pack: Meta,
    slope: &'a SlopeSheet,
    /// In fleet order, so that the sheet gives nothing away.
    vehicles: Vec<Entry>,
    /// Marks of the vehicles that watch.
    watching: String,
    /// The unit of what is held.
    per: &'static str,
    /// Slowest first, as the engine expects it.
    expected: Vec<Expected>,
    /// Whether one of them was timed here on an earlier day.
    timed: bool,
    /// The vehicle that should be slowest: its parts are put into the others.
    slowest: String,
    /// The order on other slopes.
    elsewhere: Vec<Elsewhere>,
    /// Slopes where it is not run, their ground too slick for some lowest gear.
    slick: String,
    /// Whether it differs from the order here.
    crosses: bool,
    /// What the slowest holds over what the slope asks, step by step.
    worked: Option<String>,
    /// With a rota, that it stands in no slot of it, and how many vehicles fit in one kept free.
    no_slot: Option<String>,
}

#[derive(Serialize)]
struct Entry {
    mark: String,
    name: String,
    gear: String,
    /// The gear on its card here.
    driven: String,
    ratio: Fig,
    held: Fig,
}

#[derive(Serialize)]
struct Expected {
    mark: String,
    time: Fig,
    speed: Fig,
    by_ratio: String,
    by_held: String,
    /// Speed with one thing of the slowest put in: ratio, drag, tyre, mass.
    exchanged: Vec<Fig>,
    /// The latest run of it here in this gear that fits the others, and its day.
    timed: Option<String>,
}

#[derive(Serialize)]
struct Elsewhere {
    mark: String,
    name: String,
    order: String,
}

impl<'a> Comparison<'a> {
    /// From the book; none where no slope may be driven with feet off by two vehicles.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Option<Self> {
        let course = book.course;
        let (at, rows) = comparison(course, &book.reckoning)?;
        let slope = &course.slopes[at];
        let mark = |row: &Compared| book.vehicle_mark(&course.vehicles[row.vehicle].id);
        let mut entries: Vec<&Compared> = rows.iter().collect();
        entries.sort_by_key(|row| row.vehicle);
        let takes_part = |vehicle: usize| rows.iter().any(|row| row.vehicle == vehicle);
        let watching = (0..course.vehicles.len()).filter(|vehicle| !takes_part(*vehicle));
        let here: Vec<usize> = rows.iter().map(|row| row.vehicle).collect();
        let (elsewhere, crosses) = elsewhere(book, at, &here);
        let worked = rows.first().and_then(|row| {
            book.example(Example::Comparison, Some(&slope.id), Some(&course.vehicles[row.vehicle].id))
        });
        let timed = timed(book, &slope.id, &rows);
        Some(Self {
            pack,
            timed: timed.iter().any(Option::is_some),
            slope: book.slope_sheet_of(&slope.id)?,
            vehicles: entries.into_iter().map(|row| entry(book, &slope.id, row)).collect(),
            watching: watching
                .map(|at| book.vehicle_mark(&course.vehicles[at].id))
                .collect::<Vec<_>>()
                .join(", "),
            per: match course.units {
                UnitSystem::Metric => "kN a tonne",
                UnitSystem::Imperial => "lbf for 100 lb",
            },
            slowest: mark(rows.first()?),
            expected: rows.iter().zip(timed).map(|(row, timed)| expected(book, &rows, row, timed)).collect(),
            elsewhere,
            slick: course
                .slopes
                .iter()
                .filter(|slope| slick(course, &book.reckoning, slope))
                .map(|slope| book.slope_mark(&slope.id))
                .collect::<Vec<_>>()
                .join(", "),
            crosses,
            worked: worked.map(steps_in_a_row),
            no_slot: no_slot(book, at, &here),
        })
    }
}

/// What the whole fleet would take, and what fits in a slot that the rota keeps free; none without a rota.
fn no_slot(book: &Book, slope: usize, fleet: &[usize]) -> Option<String> {
    let rota = book.rota.as_ref()?;
    let on = on_slope(book.course, &book.reckoning, slope, fleet, COMPARED)?;
    let all = whole_minutes(on.time);
    let count = fleet.len();
    let said =
        format!("In no slot of the rota: {count} vehicles, {COMPARED} runs each, take about {all} minutes.");
    let free = rota.slots.get(rota.length()..).filter(|_| rota.spare > 0).and_then(|free| free.first());
    let fits = free.and_then(|slot| {
        let minutes = u32::from(slot.end - slot.start);
        let fits = |few: &usize| {
            on_slope(book.course, &book.reckoning, slope, &fleet[..*few], COMPARED)
                .is_some_and(|on| whole_minutes(on.time) <= minutes)
        };
        Some((minutes, (2..=count).rev().find(fits)?))
    });
    Some(match fits {
        Some((minutes, few)) => format!(
            "{said} In the {minutes} minutes kept free for weather {few} of them can be timed; the others guess. No minutes: left out."
        ),
        None => format!("{said} Only the guess is made; nobody is timed."),
    })
}

fn entry(book: &Book, slope: &str, row: &Compared) -> Entry {
    let vehicle = &book.course.vehicles[row.vehicle];
    let driven = book.reckoning.pair(slope, &vehicle.id).and_then(|pair| pair.judged.gear);
    let held = match book.course.units {
        UnitSystem::Metric => row.held * GRAVITY,
        UnitSystem::Imperial => row.held * 100.0,
    };
    Entry {
        mark: book.vehicle_mark(&vehicle.id),
        name: vehicle.name.short(),
        gear: row.gear.to_string(),
        driven: driven.map_or_else(|| "–".to_owned(), |gear| gear.to_string()),
        ratio: book.show.ratio(row.ratio, false),
        held: Fig::new(digits(held, Digits::Significant(2)), "", true),
    }
}

/// What of each row was timed here in its gear by the runs of earlier days: the latest that fits the others.
fn timed(book: &Book, slope: &str, rows: &[Compared]) -> Vec<Option<String>> {
    let runs = &book.course.runs.list;
    if runs.is_empty() {
        return vec![None; rows.len()];
    }
    let standings = account(book.course).standings;
    let of = |row: &Compared| {
        let vehicle = &book.course.vehicles[row.vehicle].id;
        let here = runs.iter().zip(&standings).filter(|(run, standing)| {
            let at = run.seen.ground().and_then(|ground| ground.slope.as_deref());
            standing.counts()
                && run.vehicle == *vehicle
                && at == Some(slope)
                && run.seen.gear() == Some(row.gear)
        });
        let speeds = here.filter_map(|(run, _)| match &run.seen {
            Seen::Timed { between, time, .. } => Some((run.date, between.si() / time.si())),
            _ => None,
        });
        let (date, speed) = speeds.max_by_key(|(date, _)| *date)?;
        Some(format!("{}, {date}", book.show.speed(speed, false).trimmed().text()))
    };
    rows.iter().map(of).collect()
}

fn expected(book: &Book, rows: &[Compared], row: &Compared, timed: Option<String>) -> Expected {
    let show = book.show;
    let place = |greater: fn(&Compared) -> f64| {
        let before = rows.iter().filter(|other| greater(other) > greater(row)).count();
        (before + 1).to_string()
    };
    let speed = |speed: Option<f64>| {
        speed.map_or_else(|| Fig::new("no balance", "", true), |speed| show.speed(speed, true))
    };
    Expected {
        mark: book.vehicle_mark(&book.course.vehicles[row.vehicle].id),
        time: show.times(row.time.low, row.time.high, true),
        speed: speed(row.speed),
        by_ratio: place(|row| row.ratio),
        by_held: place(|row| row.held),
        exchanged: row.exchanged.iter().map(|one| speed(*one)).collect(),
        timed,
    }
}

/// The order on the other slopes where two may be compared, and whether two vehicles that are compared here
/// change places on one of them.
fn elsewhere(book: &Book, here: usize, order: &[usize]) -> (Vec<Elsewhere>, bool) {
    let course = book.course;
    let mut all = Vec::new();
    let mut crosses = false;
    for (_, slope) in course.slopes.iter().enumerate().filter(|(at, _)| *at != here) {
        let rows = compare(course, &book.reckoning, slope);
        if rows.len() < 2 || slick(course, &book.reckoning, slope) {
            continue;
        }
        let places: Vec<usize> =
            rows.iter().filter_map(|row| order.iter().position(|one| *one == row.vehicle)).collect();
        crosses |= !places.is_sorted();
        let marks: Vec<String> =
            rows.iter().map(|row| book.vehicle_mark(&course.vehicles[row.vehicle].id)).collect();
        all.push(Elsewhere {
            mark: book.slope_mark(&slope.id),
            name: slope.name.short(),
            order: marks.join(", "),
        });
    }
    (all, crosses)
}
