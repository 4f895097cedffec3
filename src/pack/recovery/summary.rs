//! Who can be fetched from where, at one glance, and the warning where nobody can.

use serde::Serialize;

use crate::course::{NotFetched, Slope, Vehicle};
use crate::engine::{Standing, What};
use crate::pack::book::Book;
use crate::pack::recovery::rungs::lacks;
use crate::pack::sheet::fetch::{NEVER, not_fetched};

/// Slopes across, vehicles down.
#[derive(Serialize)]
pub(crate) struct Summary {
    slopes: Vec<String>,
    /// Every vehicle: mark and name.
    names: Vec<String>,
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

#[derive(Default, PartialEq, Serialize)]
struct Cell {
    /// Whether it drives there at all.
    drives: bool,
    /// The ways of being stuck in which the kit does not fetch it.
    not_when: Vec<&'static str>,
    /// Not driven, by the course's own rules for recoveries.
    refused: bool,
    /// What the rigs that fetch it lack of the safety gear: it is fetched with that alone.
    wants: Vec<String>,
}

/// Whether a vehicle may drive a slope, in gear or with the foot brake.
pub(crate) fn may_drive(book: &Book, slope: &Slope, vehicle: &Vehicle) -> bool {
    book.pair(slope, vehicle).standing != Standing::NotHere
}

/// Whether nothing but the course's own rules for recoveries keeps a vehicle from driving a slope.
pub(crate) fn kept_off(book: &Book, slope: &Slope, vehicle: &Vehicle) -> bool {
    let judged = &book.pair(slope, vehicle).judged;
    let mut broken = judged.broken().map(|reason| reason.what).peekable();
    broken.peek().is_some() && broken.all(|what| matches!(what, What::RatedPoint | What::NotFetched))
}

/// A fleet of more vehicles has those that fare alike in one row.
const MANY: usize = 8;

/// The table of the whole course.
pub(crate) fn summary(book: &Book) -> Summary {
    let (slopes, vehicles) = (&book.course.slopes, &book.course.vehicles);
    let mut rows: Vec<Row> = Vec::new();
    for vehicle in vehicles {
        let id = book.vehicle_mark(&vehicle.id);
        let cells: Vec<Cell> = slopes.iter().map(|slope| cell(book, slope, vehicle)).collect();
        let alike = rows.iter_mut().find(|known| vehicles.len() > MANY && known.cells == cells);
        if let Some(known) = alike {
            known.id = format!("{}, {id}", known.id);
            known.name.clear();
        } else {
            rows.push(Row { id, name: vehicle.name.short(), cells });
        }
    }
    Summary {
        slopes: slopes.iter().map(|slope| book.slope_mark(&slope.id)).collect(),
        names: vehicles
            .iter()
            .map(|vehicle| format!("{} {}", book.vehicle_mark(&vehicle.id), vehicle.name))
            .collect(),
        rows,
        rule: match book.course.recovery.not_fetched {
            NotFetched::Say => {
                "By the course’s rule a cross is said beside the verdict; it drives only behind the signed box of the course plan."
            }
            NotFetched::NoGo => "By the course’s rule a cross is a no: the vehicle does not drive there.",
        },
    }
}

fn cell(book: &Book, slope: &Slope, vehicle: &Vehicle) -> Cell {
    let kept_off = kept_off(book, slope, vehicle);
    let told = book
        .recoveries()
        .fetch_of(&slope.id, &vehicle.id)
        .filter(|_| kept_off || may_drive(book, slope, vehicle));
    let Some(told) = told else { return Cell::default() };
    let rungs = book.recoveries().ladders_of(&slope.id, &vehicle.id).filter_map(|ladder| ladder.chosen());
    let mut wants: Vec<String> = rungs.filter_map(lacks).collect();
    wants.sort();
    wants.dedup();
    Cell { drives: true, not_when: told.not_when_short(), refused: kept_off, wants }
}

/// The warning that some vehicle may drive where the kit does not fetch it, and in which case; none where every one
/// is fetched in every case. The plan and the index say it in these words.
pub(crate) fn nobody_fetches(book: &Book) -> Option<String> {
    let mut groups: Vec<(Vec<String>, String)> = Vec::new();
    let mut all_out = true;
    for vehicle in &book.course.vehicles {
        let (said, never) = places(book, vehicle);
        all_out &= never;
        let Some(said) = said else { continue };
        let mark = book.vehicle_mark(&vehicle.id);
        match groups.iter_mut().find(|(_, known)| *known == said) {
            Some((vehicles, _)) => vehicles.push(mark),
            None => groups.push((vec![mark], said)),
        }
    }
    if groups.is_empty() {
        return None;
    }
    let who = if all_out {
        "any vehicle from any slope".to_owned()
    } else {
        let said =
            |(vehicles, places): &(Vec<String>, String)| format!("{} from {places}", vehicles.join(", "));
        groups.iter().map(said).collect::<Vec<_>>().join(" · ")
    };
    Some(format!(
        "This kit does not fetch {who}. Before the slope is driven, arrange a recovery service or more kit."
    ))
}

/// Whether the kit gets no vehicle off any slope it drives, however it is stuck.
pub(crate) fn fetches_nobody(book: &Book) -> bool {
    book.course.vehicles.iter().all(|vehicle| places(book, vehicle).1)
}

/// From which slopes it drives a vehicle is not fetched, by case, and whether that is so of every one in every case.
fn places(book: &Book, vehicle: &Vehicle) -> (Option<String>, bool) {
    let driven = book.course.slopes.iter().filter(|slope| may_drive(book, slope, vehicle));
    let mut cases: Vec<(String, Vec<String>)> = Vec::new();
    let (mut count, mut never) = (0, 0);
    for slope in driven {
        count += 1;
        let Some(when) = not_fetched(book.recoveries().fetch_of(&slope.id, &vehicle.id)) else { continue };
        never += usize::from(when == NEVER);
        let mark = book.slope_mark(&slope.id);
        match cases.iter_mut().find(|(known, _)| *known == when) {
            Some((_, slopes)) => slopes.push(mark),
            None => cases.push((when, vec![mark])),
        }
    }
    if never == count {
        return ((count > 0).then(|| "every slope it drives, however it is stuck".to_owned()), true);
    }
    let said = |(when, slopes): &(String, Vec<String>)| format!("{} {when}", slopes.join(", "));
    let all: Vec<String> = cases.iter().map(said).collect();
    ((!all.is_empty()).then(|| all.join("; ")), false)
}
