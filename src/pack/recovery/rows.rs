//! The vehicles of one slope in the recovery plan: a row for each way of being stuck.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::pack::book::Book;
use crate::pack::recovery::rungs;
use crate::pack::recovery::summary::{may_drive, refused_for_point};
use crate::recovery::ladder::{Does, Ladder, Means};

/// A vehicle, or several, stuck one way.
#[derive(Serialize)]
pub struct VehicleRow {
    id: String,
    case: String,
    /// Tried before any line is hooked up.
    tries: Vec<&'static str>,
    /// What the kit does; none where it does nothing.
    does: Option<String>,
    /// Why the means before do not do it.
    not: Vec<String>,
}

/// The vehicles of a slope.
pub struct Rows {
    /// Those that drive it, each way of being stuck.
    pub planned: Vec<VehicleRow>,
    /// Marks of those that the fleet table keeps off it.
    pub stay: Vec<String>,
    /// Marks of those that the course's rule of a rated point keeps off it: not planned.
    pub refused: Vec<String>,
}

/// The rows of the vehicles that may drive a slope, and the marks of those that may not.
pub fn rows(book: &Book, slope: &Slope) -> Rows {
    let (drive, stay): (Vec<&Vehicle>, Vec<&Vehicle>) =
        book.course.vehicles.iter().partition(|vehicle| may_drive(book, slope, vehicle));
    let (refused, drive): (Vec<&Vehicle>, Vec<&Vehicle>) =
        drive.into_iter().partition(|vehicle| refused_for_point(book, vehicle));
    let mut rows: Vec<VehicleRow> = Vec::new();
    for vehicle in drive {
        for ladder in book.recoveries().ladders_of(&slope.id, &vehicle.id) {
            let row = row(book, vehicle, ladder);
            match rows.iter_mut().find(|known| known.alike(&row)) {
                Some(known) => known.take(&row),
                None => rows.push(row),
            }
        }
    }
    let marks = |vehicles: Vec<&Vehicle>| {
        vehicles.into_iter().map(|vehicle| book.vehicle_mark(&vehicle.id)).collect()
    };
    Rows { planned: rows, stay: marks(stay), refused: marks(refused) }
}

impl VehicleRow {
    fn alike(&self, other: &Self) -> bool {
        self.does == other.does
            && self.not == other.not
            && self.tries == other.tries
            && (self.id == other.id || self.case == other.case)
    }

    fn take(&mut self, other: &Self) {
        if self.id == other.id {
            self.case = format!("{}; {}", self.case, other.case);
        } else {
            self.id = format!("{}, {}", self.id, other.id);
        }
    }
}

fn row(book: &Book, vehicle: &Vehicle, ladder: &Ladder) -> VehicleRow {
    let tried = ladder.rungs.iter().filter(|rung| rung.does == Does::Try);
    let tried = tried.filter(|rung| matches!(rung.means, Means::Dig | Means::DriveOut));
    VehicleRow {
        id: book.vehicle_mark(&vehicle.id),
        case: rungs::stuck_short(ladder.stuck).to_owned(),
        tries: tried.map(|rung| rungs::short(rung.means, None)).collect(),
        does: ladder.chosen().map(|rung| rungs::does(rung, book.show)),
        not: rungs::why_not_before(ladder, book.show),
    }
}
