//! Who serves where: seats of a slot filled one by one, as near to what was before as can be.

use std::collections::{BTreeMap, BTreeSet};

use pathfinding::prelude::{Matrix, kuhn_munkres_min};

use super::model::{Model, Pool, SEED, Staff};
use super::{Duty, Post, Rota, Station, Visit};

/// Cost of somebody on a seat they may not take: more than all other costs together.
const NEVER: i64 = 1 << 40;
/// Gain of a duty that stays as it was, post and all.
const AS_BEFORE: i64 = 10_000;
/// Gain of staying at the station when only the post changes.
const SAME_STATION: i64 = 4_000;
/// Gain of staying where one stood in the slot before.
const STAYS: i64 = 30;

/// A place somebody has to take in a slot.
#[derive(Clone, Copy, Debug)]
struct Seat {
    at: usize,
    post: Post,
    teaches: bool,
}

/// Most pools looked at; a roster of staff has a handful.
const MOST_POOLS: usize = 2_000;

impl Model {
    /// Visits with the duties that go with them as a rota.
    ///
    /// # Errors
    /// The first slot that cannot be staffed, or not by people who get there in time.
    pub(super) fn rota(
        &self,
        visits: &[[usize; 3]],
        before: Option<&Rota>,
        proven: bool,
    ) -> Result<Rota, usize> {
        let was = before.map_or(&[][..], |rota| &rota.duties);
        let over = |visit: &&Visit| visit.slot < self.past;
        let visit = |[group, at, slot]: [usize; 3]| Visit {
            group,
            station: self.stations[at].station,
            slot,
            driving: self.driving[group][at].clone(),
        };
        let to_come = visits.iter().filter(|visit| visit[2] >= self.past);
        let done = before.into_iter().flat_map(|rota| rota.visits.iter().filter(over).cloned());
        let given_up = self.wanted.iter().enumerate().flat_map(|(group, row)| {
            let left = move |at: &usize| !visits.iter().any(|visit| (visit[0], visit[1]) == (group, *at));
            let wanted = (0..row.len()).filter(|at| row[*at]);
            wanted.filter(left).map(move |at| (group, self.stations[at].station))
        });
        let mut rota = Rota {
            groups: self.groups.clone(),
            slots: self.slots.clone(),
            spare: self.spare,
            given_up: given_up.collect(),
            visits: done.chain(to_come.map(|key| visit(*key))).collect(),
            duties: duties(self, visits, was)?,
            bound: self.bound.clone(),
            proven,
            seed: SEED,
        };
        rota.sort();
        Ok(rota)
    }
}

/// By slot every pool that can run short: one for each union of the people of single stations. Slots with the
/// same people have the same.
pub(super) fn pools(model: &Model) -> Vec<Vec<Pool>> {
    let mut known: BTreeMap<Vec<bool>, Vec<Pool>> = BTreeMap::new();
    let of = |slot: usize| {
        let there: Vec<bool> = model.staff.iter().map(|one| one.there[slot]).collect();
        let pools = known.entry(there).or_insert_with_key(|there| {
            [false, true].into_iter().flat_map(|teaches| pools_of(model, teaches, there)).collect()
        });
        pools.clone()
    };
    (0..model.slots.len()).map(of).collect()
}

fn pools_of(model: &Model, teaches: bool, there: &[bool]) -> Vec<Pool> {
    let people = |at: usize| -> BTreeSet<usize> {
        let staff = model.staff.iter().enumerate();
        let here = |who: usize, one: &Staff| there[who] && one.teaches == teaches && one.may[at];
        staff.filter(|(who, one)| here(*who, one)).map(|(who, _)| who).collect()
    };
    let own: Vec<BTreeSet<usize>> = (0..model.stations.len()).map(people).collect();
    let mut unions: BTreeSet<BTreeSet<usize>> = BTreeSet::new();
    for one in &own {
        let with: Vec<BTreeSet<usize>> =
            unions.iter().map(|known| known.union(one).copied().collect()).collect();
        unions.extend(with);
        unions.insert(one.clone());
        if unions.len() > MOST_POOLS {
            break;
        }
    }
    let pool = |union: BTreeSet<usize>| Pool {
        teaches,
        stations: (0..own.len()).filter(|at| own[*at].is_subset(&union)).collect(),
        people: union.len(),
    };
    unions.into_iter().map(pool).collect()
}

/// The duties that go with these visits, each group, station, slot; else the first slot that cannot be staffed.
/// What was done `before` stays as far as it can; otherwise people stay where they stand and share the work.
pub(super) fn duties(model: &Model, visits: &[[usize; 3]], before: &[Duty]) -> Result<Vec<Duty>, usize> {
    let mut duties: Vec<Duty> = Vec::new();
    for slot in 0..model.slots.len() {
        if slot < model.past {
            duties.extend(before.iter().filter(|duty| duty.slot == slot));
            continue;
        }
        let seats = seats(model, visits, slot);
        let filled = filled(model, &seats, slot, before, &duties).ok_or(slot)?;
        for (seat, who) in seats.iter().zip(filled) {
            let Some(person) = model.staff[who].person else { continue };
            duties.push(Duty { person, station: model.stations[seat.at].station, slot, post: seat.post });
        }
    }
    Ok(duties)
}

/// The seats of a slot: of each station in use its marshals from the brow down, then its instructors.
fn seats(model: &Model, visits: &[[usize; 3]], slot: usize) -> Vec<Seat> {
    let mut seats = Vec::new();
    for (at, station) in model.stations.iter().enumerate() {
        let here: Vec<usize> =
            visits.iter().filter(|visit| (visit[1], visit[2]) == (at, slot)).map(|visit| visit[0]).collect();
        if here.is_empty() {
            continue;
        }
        let marshals = station.marshals;
        seats.extend((0..marshals).map(|place| {
            // One alone takes the foot, since the start waits for its word.
            let post = match (place, marshals) {
                (0, 1) | (1, _) => Post::Foot,
                (0, _) => Post::Brow,
                _ => Post::Beside,
            };
            Seat { at, post, teaches: false }
        }));
        let teachers = if station.is_slope() {
            here.iter().map(|group| model.teachers[*group]).sum()
        } else {
            usize::from(model.ratio)
        };
        seats.extend((0..teachers).map(|place| {
            let brow = place == 0 && marshals < 2 && station.station != Station::Theory;
            Seat { at, post: if brow { Post::Brow } else { Post::Group }, teaches: true }
        }));
    }
    seats
}

/// Who takes each seat.
fn filled(
    model: &Model,
    seats: &[Seat],
    slot: usize,
    before: &[Duty],
    so_far: &[Duty],
) -> Option<Vec<usize>> {
    if seats.is_empty() {
        return Some(Vec::new());
    }
    if seats.len() > model.staff.len() {
        return None;
    }
    let cost = |(row, who): (usize, usize)| -> i64 {
        let (seat, one) = (&seats[row], &model.staff[who]);
        if one.teaches != seat.teaches || !one.may[seat.at] || !one.there[slot] {
            return NEVER;
        }
        let Some(person) = one.person else { return AS_BEFORE / 2 };
        if !gets_there(model, person, (seat.at, slot), so_far) {
            return NEVER;
        }
        let station = model.stations[seat.at].station;
        let was = before.iter().find(|duty| (duty.person, duty.slot) == (person, slot));
        let keep = match was {
            Some(duty) if (duty.station, duty.post) == (station, seat.post) => -AS_BEFORE,
            Some(duty) if duty.station == station => -SAME_STATION,
            _ => 0,
        };
        let mine = || so_far.iter().filter(|duty| duty.person == person);
        let stays =
            mine().any(|duty| duty.slot + 1 == slot && (duty.station, duty.post) == (station, seat.post));
        let load = i64::try_from(mine().count()).unwrap_or(i64::MAX);
        keep + load * 10 - if stays { STAYS } else { 0 }
    };
    let weights = Matrix::from_fn(seats.len(), model.staff.len(), cost);
    let (total, who) = kuhn_munkres_min(&weights);
    (total < NEVER / 2).then_some(who)
}

/// Whether somebody gets to a station in time from where they stood last.
fn gets_there(model: &Model, person: usize, then: (usize, usize), so_far: &[Duty]) -> bool {
    let mine = so_far.iter().filter(|duty| duty.person == person);
    mine.max_by_key(|duty| duty.slot)
        .is_none_or(|last| model.place(last.station).is_none_or(|at| model.in_reach((at, last.slot), then)))
}
