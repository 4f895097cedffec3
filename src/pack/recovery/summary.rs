//! Who can be fetched from where, at one glance, and the warning where nobody can.

use serde::Serialize;

use crate::course::{NotFetched, Slope, Vehicle};
use crate::engine::Standing;
use crate::pack::book::Book;
use crate::pack::recovery::rungs;
use crate::recovery::ladder::Fetch;
use crate::recovery::pull::Stuck;

/// Slopes across, vehicles down.
#[derive(Serialize)]
pub struct Summary {
    slopes: Vec<String>,
    rows: Vec<Row>,
    /// What the course's own rule makes of a cross.
    rule: &'static str,
}

#[derive(Serialize)]
struct Row {
    id: String,
    name: String,
    cells: Vec<Cell>,
}

#[derive(Serialize)]
struct Cell {
    /// Whether it drives there at all.
    drives: bool,
    /// The ways of being stuck in which the kit does not fetch it.
    not_when: Vec<&'static str>,
    /// Not driven, by the course's own rules for recoveries.
    refused: bool,
}

/// Whether a vehicle may drive a slope, in gear or with the foot brake.
pub fn may_drive(book: &Book, slope: &Slope, vehicle: &Vehicle) -> bool {
    book.pair(slope, vehicle).standing != Standing::NotHere
}

/// Whether the course's own rule of a rated point keeps a vehicle from driving.
pub fn refused_for_point(book: &Book, vehicle: &Vehicle) -> bool {
    let mut points = vehicle.recovery_points.iter();
    book.course.recovery.rated_point && !points.any(|point| point.carries().is_ok())
}

/// The table of the whole course.
pub fn summary(book: &Book) -> Summary {
    let slopes = &book.course.slopes;
    let row = |vehicle: &Vehicle| Row {
        id: book.vehicle_mark(&vehicle.id),
        name: vehicle.name.short(),
        cells: slopes.iter().map(|slope| cell(book, slope, vehicle)).collect(),
    };
    Summary {
        slopes: slopes.iter().map(|slope| book.slope_mark(&slope.id)).collect(),
        rows: book.course.vehicles.iter().map(row).collect(),
        rule: match book.course.recovery.not_fetched {
            NotFetched::Say => "By the course’s rule a cross is said beside the verdict; the leader decides.",
            NotFetched::NoGo => "By the course’s rule a cross is a no: the vehicle does not drive there.",
        },
    }
}

fn cell(book: &Book, slope: &Slope, vehicle: &Vehicle) -> Cell {
    let told = book.recoveries().fetch_of(&slope.id, &vehicle.id).filter(|_| may_drive(book, slope, vehicle));
    let Some(told) = told else { return Cell { drives: false, not_when: Vec::new(), refused: false } };
    let nothing = book.recoveries().ladders_of(&slope.id, &vehicle.id).all(|ladder| ladder.first.is_none());
    let not_when = if nothing { vec!["never"] } else { not_when(told) };
    Cell { drives: true, not_when, refused: !told.may_drive }
}

/// Sunk once, however deep; on its side is told apart.
fn not_when(told: &Fetch) -> Vec<&'static str> {
    let mut all: Vec<&'static str> = Vec::new();
    for stuck in &told.not_when {
        let word = match stuck {
            Stuck::Mired(_) => "sunk",
            other => rungs::stuck_short(*other),
        };
        if !all.contains(&word) {
            all.push(word);
        }
    }
    all
}

/// The warning that some vehicle may drive where the kit does not fetch it; none where every one can
/// be fetched. The plan and the index say it in these words.
pub fn nobody_fetches(book: &Book) -> Option<String> {
    let mut groups: Vec<(Vec<String>, Vec<String>)> = Vec::new();
    let mut all_out = true;
    for vehicle in &book.course.vehicles {
        let driven: Vec<&Slope> =
            book.course.slopes.iter().filter(|slope| may_drive(book, slope, vehicle)).collect();
        let told = |slope: &Slope| book.recoveries().fetch_of(&slope.id, &vehicle.id);
        let without = |slope: &&&Slope| told(slope).is_none_or(|told| !told.fetched);
        let out: Vec<String> =
            driven.iter().filter(without).map(|slope| book.slope_mark(&slope.id)).collect();
        all_out &= out.len() == driven.len();
        if out.is_empty() {
            continue;
        }
        let places = if out.len() == driven.len() { vec!["every slope it drives".to_owned()] } else { out };
        let mark = book.vehicle_mark(&vehicle.id);
        match groups.iter_mut().find(|(_, known)| *known == places) {
            Some((vehicles, _)) => vehicles.push(mark),
            None => groups.push((vec![mark], places)),
        }
    }
    let who = if groups.is_empty() {
        return None;
    } else if all_out {
        "any vehicle from any slope".to_owned()
    } else {
        let said = |(vehicles, places): &(Vec<String>, Vec<String>)| {
            format!("{} from {}", vehicles.join(", "), places.join(", "))
        };
        groups.iter().map(said).collect::<Vec<_>>().join("; ")
    };
    Some(format!(
        "However it is stuck, this kit does not fetch {who}. Before the slope is driven, arrange a recovery service or more kit."
    ))
}
