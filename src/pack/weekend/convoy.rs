//! The convoy from the gate to the first stations.

use serde::Serialize;

use crate::course::Role;
use crate::pack::book::Book;
use crate::pack::weekend::day::{Help, Weekend, help};
use crate::pack::weekend::on_call::free;
use crate::page::meta::Meta;
use crate::rota::{Station, Visit, clock_text};

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
        let mut leading = Vec::new();
        let parts: Vec<Part> = groups.into_iter().map(|group| part(&weekend, group, &mut leading)).collect();
        Some(Self { pack, help: help(book), parts })
    }
}

/// Who goes in front of a group to where it goes first: who teaches there, or, where that one leads another group
/// already, somebody who is free in that slot. Nobody leads two groups at once.
fn leader(weekend: &Weekend, first: &Visit, leading: &mut Vec<(usize, usize)>) -> String {
    let instructs = |at: &usize| weekend.book.course.people[*at].role != Role::Instructor;
    let mut others = free(weekend, first.slot);
    others.sort_by_key(instructs);
    let all = weekend.on_duty(first.station, first.slot, true).into_iter().chain(others);
    let Some(at) = all.into_iter().find(|at| !leading.contains(&(*at, first.slot))) else {
        return String::new();
    };
    leading.push((at, first.slot));
    weekend.book.course.people[at].name.short()
}

/// Where a vehicle is shown while its group begins elsewhere: it goes there first.
fn shown_first(weekend: &Weekend, vehicle: &str, first: Option<&Visit>) -> Option<String> {
    let slot = first?.slot;
    let shown = weekend.book.shown()?;
    let here = |visit: &&Visit| visit.slot == slot && matches!(visit.station, Station::Demonstration(_));
    weekend.rota.visits.iter().find(here)?;
    let is_it = weekend.book.course.vehicles[shown.vehicle].id == vehicle;
    let slope = weekend.book.slope_mark(&weekend.book.course.slopes[shown.slope].id);
    is_it.then(|| format!("first to {slope}, handed over there for the show; then on foot to the group"))
}

/// A group's vehicles in the order of the roster, shared ones once.
fn part(weekend: &Weekend, group: usize, leading: &mut Vec<(usize, usize)>) -> Part {
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
    for (id, row) in &mut rows {
        if let Some(told) = shown_first(weekend, id, first) {
            row.who = format!("{}: {told}", row.who);
        }
    }
    Part {
        no: (group + 1).to_string(),
        to: first.map_or_else(String::new, |visit| {
            let there = clock_text(weekend.rota.slots[visit.slot].start);
            format!("{} {}, there at {there}", weekend.mark(visit.station), weekend.place(visit.station))
        }),
        leader: first.map_or_else(String::new, |visit| leader(weekend, visit, leading)),
        rows: rows.into_iter().map(|(_, row)| row).collect(),
    }
}
