//! The day as groups, stations, staff and slots: what the bound and the solver look at.

mod building;
mod late;
mod ways;

use late::Side;
pub(super) use ways::pauses_to_try;

use std::collections::BTreeSet;
use std::time::Instant;

use super::request::NoFit;
use super::{Bound, Slot, Station};

/// Seed of the solver.
pub(super) const SEED: u64 = 42;

/// A station with what it asks for.
#[derive(Clone, Debug)]
pub(super) struct Place {
    pub(super) station: Station,
    pub(super) name: String,
    /// Groups at a time.
    pub(super) at_once: usize,
    /// Marshals while it is in use.
    pub(super) marshals: usize,
}

impl Place {
    pub(super) fn is_slope(&self) -> bool {
        matches!(self.station, Station::Slope(_))
    }
}

/// Somebody who serves.
#[derive(Clone, Debug)]
pub(super) struct Staff {
    /// Their place among the course's people; none for one who does not exist, to see whether one more
    /// would do.
    pub(super) person: Option<usize>,
    pub(super) teaches: bool,
    /// The stations they may serve.
    pub(super) may: Vec<bool>,
    /// The slots in which they can.
    pub(super) there: Vec<bool>,
}

/// Which stations draw on the same people: a set of stations, and how many people serve any of them.
/// By Hall's theorem a slot can be staffed exactly when no such set asks for more people than it has.
#[derive(Clone, Debug)]
pub(super) struct Pool {
    pub(super) teaches: bool,
    pub(super) stations: Vec<usize>,
    pub(super) people: usize,
}

/// Everything the solver needs.
#[derive(Clone, Debug)]
pub(super) struct Model {
    pub(super) groups: Vec<Vec<usize>>,
    pub(super) slots: Vec<Slot>,
    pub(super) spare: usize,
    pub(super) stations: Vec<Place>,
    pub(super) staff: Vec<Staff>,
    /// Group by station: whether the group is to come.
    pub(super) wanted: Vec<Vec<bool>>,
    /// Instructors each group has on a slope.
    pub(super) teachers: Vec<usize>,
    /// Instructors at a lesson: 1, or 0 when that limit is let go.
    pub(super) ratio: u8,
    /// Group, first station, second station, minutes of pause its brakes need between them.
    pub(super) pauses: Vec<(usize, usize, usize, u16)>,
    /// Station by station: minutes from one to the other.
    pub(super) ways: Vec<Vec<u16>>,
    /// Group, the station that comes first, the station it comes before.
    pub(super) first: Vec<[usize; 3]>,
    /// Group by slot: whether it can be anywhere then.
    pub(super) there: Vec<Vec<bool>>,
    /// By slot: stations that draw on the same people.
    pub(super) pools: Vec<Vec<Pool>>,
    /// Whether every visit is to be made.
    pub(super) all: bool,
    /// Slots that are over: what was done in them stays.
    pub(super) past: usize,
    /// The visits of the slots that are over.
    pub(super) done: Vec<[usize; 3]>,
    /// Visits that stay on one side of the moment at which somebody came late.
    pub(super) sides: Vec<Side>,
    /// Group by station: who drives there, by their place in the roster.
    pub(super) driving: Vec<Vec<Vec<usize>>>,
    /// Drivers of the vehicle that is shown: they cannot drive it while it is.
    pub(super) shown_by: Vec<usize>,
    /// Minutes the slowest group needs on a slope.
    pub(super) needed: u16,
    pub(super) bound: Bound,
    /// The moment after which nothing more is tried, where somebody set one.
    pub(super) until: Option<Instant>,
}

impl Model {
    /// The place of a station in the list.
    pub(super) fn place(&self, station: Station) -> Option<usize> {
        self.stations.iter().position(|place| place.station == station)
    }

    /// Slots a rota may use.
    pub(super) fn usable(&self) -> usize {
        self.slots.len().saturating_sub(self.spare)
    }

    /// The moment at which a rota as short as the lower bound ends, minutes since midnight.
    pub(super) fn earliest_end(&self) -> u16 {
        let last = self.bound.slots.checked_sub(1).and_then(|last| self.slots.get(last));
        last.map_or(u16::MAX, |slot| slot.end)
    }

    /// Visits to make.
    pub(super) fn visits_wanted(&self) -> usize {
        self.wanted.iter().flatten().filter(|wanted| **wanted).count()
    }

    /// How many of a group's stations have to come before one, and how many after it.
    pub(super) fn reach(&self, group: usize, at: usize) -> (usize, usize) {
        let count = |from: usize, to: usize| {
            let (mut found, mut edge) = (BTreeSet::new(), vec![at]);
            while let Some(here) = edge.pop() {
                let next = self.first.iter().filter(|rule| rule[0] == group && rule[to] == here);
                edge.extend(next.map(|rule| rule[from]).filter(|new| found.insert(*new)));
            }
            found.len()
        };
        (count(1, 2), count(2, 1))
    }

    /// Why no rota can be made at all, before any is looked for.
    pub(super) fn hopeless(&self) -> Option<NoFit> {
        if self.groups.iter().all(Vec::is_empty) {
            return Some(NoFit::Nothing);
        }
        let slot = self.slots.first().map(|slot| slot.end - slot.start)?;
        (slot < self.needed).then_some(NoFit::SlotTooShort { slot, needed: self.needed })
    }
}
