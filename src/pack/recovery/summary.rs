//! Who can be fetched back from where, at one glance, and the warning where nobody can.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::engine::Standing;
use crate::pack::book::Book;
use crate::pack::recovery::words;
use crate::recovery::Recovery;

/// Slopes across, vehicles down.
#[derive(Serialize)]
pub struct Summary {
    slopes: Vec<String>,
    unit: String,
    rows: Vec<Row>,
}

#[derive(Serialize)]
struct Row {
    id: String,
    name: String,
    cells: Vec<Cell>,
}

#[derive(Serialize)]
struct Cell {
    /// The pull planned for; empty where the vehicle does not drive.
    pull: String,
    /// The rig that does it; none where no rig does.
    rig: Option<&'static str>,
}

/// Whether a vehicle may drive a slope, in gear or with the foot brake.
pub fn may_drive(book: &Book, slope: &Slope, vehicle: &Vehicle) -> bool {
    book.pair(slope, vehicle).standing != Standing::NotHere
}

/// The recovery the day is planned for.
pub fn planned<'a>(book: &'a Book, slope: &Slope, vehicle: &Vehicle) -> Option<&'a Recovery> {
    let here = |told: &&Recovery| told.slope == slope.id && told.vehicle == vehicle.id && told.planned;
    book.recoveries().all.iter().find(here)
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
        unit: words::about(0.0, book.show).u,
        rows: book.course.vehicles.iter().map(row).collect(),
    }
}

fn cell(book: &Book, slope: &Slope, vehicle: &Vehicle) -> Cell {
    let Some(told) = planned(book, slope, vehicle).filter(|_| may_drive(book, slope, vehicle)) else {
        return Cell { pull: String::new(), rig: None };
    };
    Cell {
        pull: words::about(told.pull.high, book.show).v,
        rig: told.rigs.first().map(|rig| rig.layout.short()),
    }
}

/// The warning that some vehicle may drive where no rig of the kit pulls it back; none where every one
/// can be fetched. The plan and the index say it in these words.
pub fn nobody_fetches(book: &Book) -> Option<String> {
    let mut groups: Vec<(Vec<String>, Vec<String>)> = Vec::new();
    let mut all_out = true;
    for vehicle in &book.course.vehicles {
        let driven: Vec<&Slope> =
            book.course.slopes.iter().filter(|slope| may_drive(book, slope, vehicle)).collect();
        let without = |slope: &&&Slope| planned(book, slope, vehicle).is_none_or(|told| told.rigs.is_empty());
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
        "No rig of this kit pulls back {who}. Before the slope is driven, arrange a recovery service or more kit."
    ))
}
