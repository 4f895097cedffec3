//! The vehicles of one slope in the recovery plan: a row each, those that nothing fetches in one.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::pack::book::Book;
use crate::pack::recovery::summary::{may_drive, planned};
use crate::pack::recovery::words;
use crate::page::figure::Fig;
use crate::recovery::Recovery;
use crate::recovery::pull::Direction;

/// A vehicle, or several that are refused for the same reason.
#[derive(Serialize)]
pub struct VehicleRow {
    id: String,
    name: String,
    case: &'static str,
    spread: Fig,
    by: &'static str,
    memory: bool,
    first: Option<String>,
    second: Option<String>,
    refusal: Option<String>,
    #[serde(skip)]
    range: (f64, f64),
}

/// The rows of the vehicles that may drive a slope, and the marks of those that may not.
pub fn rows(book: &Book, slope: &Slope) -> (Vec<VehicleRow>, Vec<String>) {
    let (drive, stay): (Vec<&Vehicle>, Vec<&Vehicle>) =
        book.course.vehicles.iter().partition(|vehicle| may_drive(book, slope, vehicle));
    let mut rows: Vec<VehicleRow> = Vec::new();
    for row in drive.into_iter().filter_map(|vehicle| row(book, slope, vehicle)) {
        match rows.iter_mut().find(|known| known.alike(&row)) {
            Some(known) => known.take(&row, book),
            None => rows.push(row),
        }
    }
    (rows, stay.into_iter().map(|vehicle| book.vehicle_mark(&vehicle.id)).collect())
}

impl VehicleRow {
    /// Whether both are refused for the same reason.
    fn alike(&self, other: &Self) -> bool {
        self.refusal.is_some()
            && self.refusal == other.refusal
            && self.case == other.case
            && self.by == other.by
            && self.second.is_none()
            && other.second.is_none()
    }

    fn take(&mut self, other: &Self, book: &Book) {
        self.id = format!("{}, {}", self.id, other.id);
        self.name.clear();
        self.range = (self.range.0.min(other.range.0), self.range.1.max(other.range.1));
        self.spread = words::about_range(self.range.0, self.range.1, book.show);
    }
}

fn row(book: &Book, slope: &Slope, vehicle: &Vehicle) -> Option<VehicleRow> {
    let show = book.show;
    let told = planned(book, slope, vehicle)?;
    let first = told.rigs.first().map(|rig| words::rig(rig, show));
    let second = told.rigs.get(1).map(|rig| words::rig_short(rig, show));
    let second = second.or_else(|| if first.is_none() { lighter(book, slope, vehicle) } else { None });
    let refusal = words::nearest(told).map(|refused| words::refusal(refused, show));
    Some(VehicleRow {
        id: book.vehicle_mark(&vehicle.id),
        name: vehicle.name.short(),
        case: told.pull.stuck.words(),
        spread: words::spread(told, show),
        by: words::system_short(told.pull.high_by),
        memory: told.pull.highest().from_memory,
        refusal: if first.is_none() { refusal } else { None },
        first,
        second,
        range: (told.pull.low, told.pull.high),
    })
}

/// The hardest case up the slope that a rig does, where none does the one planned for.
fn lighter(book: &Book, slope: &Slope, vehicle: &Vehicle) -> Option<String> {
    let of = |told: &&Recovery| told.slope == slope.id && told.vehicle == vehicle.id;
    let easier = book
        .recoveries()
        .all
        .iter()
        .filter(of)
        .filter(|other| other.pull.direction == Direction::Up && !other.rigs.is_empty())
        .max_by(|a, b| a.pull.high.total_cmp(&b.pull.high))?;
    Some(format!("only if {}: {}", easier.pull.stuck.words(), words::rig(easier.rigs.first()?, book.show)))
}
