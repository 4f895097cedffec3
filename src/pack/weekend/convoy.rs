//! The convoy from the gate to the first stations.

use serde::Serialize;

use crate::pack::book::Book;
use crate::pack::weekend::day::{Help, Weekend, help};
use crate::page::meta::Meta;
use crate::rota::clock_text;

/// The convoy from the gate to the first stations.
#[derive(Serialize)]
pub(crate) struct Convoy {
    pack: Meta,
    help: Help,
    parts: Vec<Part>,
}

#[derive(Serialize)]
struct Part {
    no: String,
    to: String,
    leader: String,
    rows: Vec<InConvoy>,
}

#[derive(Serialize)]
struct InConvoy {
    place: String,
    vehicle_id: String,
    vehicle: String,
    who: String,
}

impl Convoy {
    /// From a book with a rota.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let mut groups: Vec<usize> =
            (0..weekend.rota.groups.len()).filter(|group| !weekend.rota.groups[*group].is_empty()).collect();
        // In the order in which they leave.
        let first = |group: usize| weekend.rota.visits.iter().position(|visit| visit.group == group);
        // Whoever is under way already leaves no gate.
        let from = book.missing().from;
        let starts = |at: usize| weekend.rota.slots[weekend.rota.visits[at].slot].start;
        groups.retain(|group| first(*group).is_none_or(|at| starts(at) >= from));
        if groups.is_empty() {
            return None;
        }
        groups.sort_by_key(|group| (first(*group).is_none(), first(*group)));
        let parts: Vec<Part> = groups.into_iter().map(|group| part(&weekend, group)).collect();
        Some(Self { pack, help: help(book), parts })
    }
}

/// A group's vehicles in the order of the roster, shared ones once.
fn part(weekend: &Weekend, group: usize) -> Part {
    let first = weekend.rota.visits.iter().find(|visit| visit.group == group);
    let mut rows: Vec<(String, InConvoy)> = Vec::new();
    for at in &weekend.rota.groups[group] {
        let driver = &weekend.drivers()[*at];
        if let Some((_, row)) = rows.iter_mut().find(|(id, _)| *id == driver.vehicle) {
            row.who = format!("{}, {}", row.who, weekend.called(*at));
            continue;
        }
        let sheet = weekend.book.vehicle_sheet_of(&driver.vehicle);
        let row = InConvoy {
            place: (rows.len() + 1).to_string(),
            vehicle_id: weekend.book.vehicle_mark(&driver.vehicle),
            vehicle: sheet.map_or_else(String::new, |sheet| sheet.name.clone()),
            who: std::iter::once(weekend.called(*at))
                .chain(weekend.riders(&driver.vehicle))
                .collect::<Vec<_>>()
                .join(", "),
        };
        rows.push((driver.vehicle.clone(), row));
    }
    Part {
        no: (group + 1).to_string(),
        to: first.map_or_else(String::new, |visit| {
            let there = clock_text(weekend.rota.slots[visit.slot].start);
            format!("{} {}, there at {there}", weekend.mark(visit.station), weekend.place(visit.station))
        }),
        leader: first.map_or_else(String::new, |visit| weekend.teaching(visit.station, visit.slot)),
        rows: rows.into_iter().map(|(_, row)| row).collect(),
    }
}
