//! The convoy from the gate to the first stations.

use serde::Serialize;

use crate::course::Role;
use crate::pack::book::Book;
use crate::pack::weekend::day::{Help, Weekend, help};
use crate::pack::weekend::on_call::free;
use crate::page::meta::Meta;
use crate::rota::{Station, Visit, clock_text, had_before};

/// The convoy from the gate to the first stations.
#[derive(Serialize)]
pub(crate) struct Convoy {
    pack: Meta,
    help: Help,
    parts: Vec<Part>,
    /// Groups that go to no station: none of their vehicles drives a slope.
    parked: Vec<String>,
}

#[derive(Serialize)]
struct Part {
    no: String,
    to: String,
    leader: String,
    rows: Vec<InConvoy>,
    /// Where the group goes afterwards, when, and who takes it over there.
    then: Option<String>,
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
        let goes = |group: usize| weekend.rota.visits.iter().any(|visit| visit.group == group);
        let (going, parked): (Vec<_>, Vec<_>) =
            leading(&weekend, book.missing().from).into_iter().partition(|(group, _)| goes(*group));
        let parts: Vec<Part> = going.into_iter().map(|(group, at)| part(&weekend, group, at)).collect();
        let parked: Vec<String> = parked.into_iter().map(|(group, _)| standing(&weekend, group)).collect();
        if parts.is_empty() && parked.is_empty() {
            return None;
        }
        Some(Self { pack, help: help(book), parts, parked })
    }
}

/// The groups that leave the gate, in the order in which they leave, each with who goes in front. Whoever is under way
/// at a time of the day already leaves no gate.
fn leading(weekend: &Weekend, from: u16) -> Vec<(usize, Option<usize>)> {
    let rota = weekend.rota;
    let first = |group: usize| rota.visits.iter().position(|visit| visit.group == group);
    let starts = |at: usize| rota.slots[rota.visits[at].slot].start;
    let mut groups: Vec<usize> =
        (0..rota.groups.len()).filter(|group| !rota.groups[*group].is_empty()).collect();
    groups.retain(|group| first(*group).is_none_or(|at| starts(at) >= from));
    groups.sort_by_key(|group| (first(*group).is_none(), first(*group)));
    let mut leading = Vec::new();
    let mut led = |group: usize| {
        let at = first(group).and_then(|at| leader(weekend, &rota.visits[at], &mut leading));
        (group, at)
    };
    groups.into_iter().map(&mut led).collect()
}

/// Who goes in front of a group to where it goes first: who teaches there, or, where that one leads another group
/// already or is still at a station, somebody who is free then and on the way. Nobody leads two groups at once.
fn leader(weekend: &Weekend, first: &Visit, leading: &mut Vec<(usize, usize)>) -> Option<usize> {
    let instructs = |at: &usize| weekend.book.course.people[*at].role != Role::Instructor;
    let mut others = free(weekend, first.slot);
    others.sort_by_key(instructs);
    let all = weekend.on_duty(first.station, first.slot, true).into_iter().chain(others);
    let can = |at: &usize| !leading.contains(&(*at, first.slot)) && at_the_gate(weekend, *at, first.slot);
    let at = all.into_iter().find(can)?;
    leading.push((at, first.slot));
    Some(at)
}

/// Whether somebody can be at the gate before a slot: at no station in the slot before, unless a longer pause lies
/// between.
fn at_the_gate(weekend: &Weekend, person: usize, slot: usize) -> bool {
    let Some(before) = slot.checked_sub(1) else { return true };
    let slots = &weekend.rota.slots;
    let pause = slots[slot].start.saturating_sub(slots[before].end);
    pause > weekend.rota.pause() || weekend.rota.duty(person, before).is_none()
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

/// A group's vehicles in the order of the roster, shared ones once; behind them those whose drivers all had what the
/// group begins with on an earlier day, and who join it where it goes next.
fn part(weekend: &Weekend, group: usize, leader: Option<usize>) -> Part {
    let mut visits = weekend.rota.visits.iter().filter(|visit| visit.group == group);
    let (first, next) = (visits.next(), visits.next());
    let had = |at: &usize| first.is_some_and(|visit| had_before(weekend.book.course, *at, visit.station));
    let members = &weekend.rota.groups[group];
    let vehicle = |at: usize| &weekend.drivers()[at].vehicle;
    let goes = |id: &String| members.iter().any(|at| vehicle(*at) == id && !had(at));
    let mut ids: Vec<&String> = Vec::new();
    for at in members {
        if !ids.contains(&vehicle(*at)) {
            ids.push(vehicle(*at));
        }
    }
    let (go, stay): (Vec<&String>, Vec<&String>) = ids.into_iter().partition(|id| goes(id));
    let mut rows: Vec<InConvoy> = Vec::new();
    for id in go {
        let mut row = in_convoy(weekend, members, id, (rows.len() + 1).to_string());
        if let Some(told) = shown_first(weekend, id, first) {
            row.who = format!("{}: {told}", row.who);
        }
        rows.push(row);
    }
    let joins = next.map_or_else(
        || "free, had this on an earlier day".to_owned(),
        |visit| format!("had this on an earlier day; {}", going_to(weekend, visit)),
    );
    rows.extend(stay.into_iter().map(|id| {
        let row = in_convoy(weekend, members, id, "later".to_owned());
        InConvoy { who: format!("{}: {joins}", row.who), ..row }
    }));
    Part {
        no: (group + 1).to_string(),
        to: first.map_or_else(String::new, |visit| going_to(weekend, visit)),
        leader: leader.map_or_else(String::new, |at| weekend.book.course.people[at].name.short()),
        rows,
        then: afterwards(weekend, group),
    }
}

/// A group that goes nowhere, with its vehicles and who comes in them.
fn standing(weekend: &Weekend, group: usize) -> String {
    let members = &weekend.rota.groups[group];
    let mut ids: Vec<&String> = members.iter().map(|at| &weekend.drivers()[*at].vehicle).collect();
    ids.dedup();
    let who: Vec<String> = ids
        .into_iter()
        .map(|id| in_convoy(weekend, members, id, String::new()))
        .map(|row| format!("{} {} ({})", row.vehicle_id, row.vehicle, row.who))
        .collect();
    format!("Group {}: {}", group + 1, who.join("; "))
}

/// The stations of a group after its first, with who takes it over there; none where it has one alone.
fn afterwards(weekend: &Weekend, group: usize) -> Option<String> {
    let visits = weekend.rota.visits.iter().filter(|visit| visit.group == group).skip(1);
    let said = visits.map(|visit| {
        let (there, who) =
            (clock_text(weekend.rota.slots[visit.slot].start), weekend.teaching(visit.station, visit.slot));
        let who = if who.is_empty() { who } else { format!(" to {who}") };
        format!("{there} {}{who}", weekend.mark(visit.station))
    });
    let said: Vec<String> = said.collect();
    (!said.is_empty()).then(|| said.join("; "))
}

impl Weekend<'_> {
    /// The groups that somebody goes in front of from the gate, and where to, for their own card, from a time of the day on;
    /// none for who leads none.
    pub(crate) fn leads(&self, person: usize, from: u16) -> Option<String> {
        let led = |(group, at): (usize, Option<usize>)| {
            let visit = self.rota.visits.iter().find(|visit| visit.group == group)?;
            let (mark, there) = (self.mark(visit.station), clock_text(self.rota.slots[visit.slot].start));
            let said = || format!("group\u{a0}{} from the gate to {mark}, there at {there}", group + 1);
            (at == Some(person)).then(said)
        };
        let said: Vec<String> = leading(self, from).into_iter().filter_map(led).collect();
        (!said.is_empty()).then(|| said.join("; "))
    }
}

/// `S2 Loading ramp, there at 10:36`.
fn going_to(weekend: &Weekend, visit: &Visit) -> String {
    let there = clock_text(weekend.rota.slots[visit.slot].start);
    format!("{} {}, there at {there}", weekend.mark(visit.station), weekend.place_with_ground(visit.station))
}

/// A vehicle with those of a group who are in it.
fn in_convoy(weekend: &Weekend, members: &[usize], vehicle: &str, place: String) -> InConvoy {
    let drivers = members.iter().filter(|at| weekend.drivers()[**at].vehicle == vehicle);
    let drivers = drivers.map(|at| weekend.called(*at));
    let sheet = weekend.book.vehicle_sheet_of(vehicle);
    InConvoy {
        place,
        vehicle_id: weekend.book.vehicle_mark(vehicle),
        vehicle: sheet.map_or_else(String::new, |sheet| sheet.name.clone()),
        who: drivers.chain(weekend.riders(vehicle)).collect::<Vec<_>>().join(", "),
    }
}
