//! The ways between the stations of a day, and what they forbid.

use std::collections::BTreeSet;

use super::Model;
use crate::course::Course;
use crate::rota::Station;
use crate::rota::request::{Limit, Relax};

impl Model {
    /// Station by station the minutes from one to the other.
    pub(super) fn ways(&self, course: &Course, relax: &Relax) -> Vec<Vec<u16>> {
        let place = |at: usize| match self.stations[at].station {
            Station::Slope(slope) | Station::Demonstration(slope) => Some(slope),
            Station::Theory => None,
        };
        let stations = || 0..self.stations.len();
        let way = |one: usize, two: usize| {
            if relax.off(Limit::Ways) { 0 } else { course.way(place(one), place(two)) }
        };
        stations().map(|one| stations().map(|two| way(one, two)).collect()).collect()
    }

    /// Whether one gets from a station in one slot to a station in a later one.
    pub(in crate::rota) fn in_reach(&self, one: (usize, usize), two: (usize, usize)) -> bool {
        let pause = self.slots[two.1].start.saturating_sub(self.slots[one.1].end);
        pause >= self.ways[one.0][two.0]
    }

    /// One visit less in a slot that cannot be staffed, and none that builds on it.
    pub(in crate::rota) fn give_up(&self, slot: usize, visits: &mut Vec<[usize; 3]>) {
        let Some(last) = visits.iter().rposition(|visit| visit[2] == slot) else { return visits.clear() };
        visits.remove(last);
        loop {
            let unmet = visits.iter().position(|&[group, at, slot]| {
                slot >= self.past
                    && self.first.iter().filter(|rule| (rule[0], rule[2]) == (group, at)).any(|rule| {
                        let met = |visit: &[usize; 3]| visit[..2] == rule[..2] && visit[2] < slot;
                        !visits.iter().any(met)
                    })
            });
            match unmet {
                Some(at) => visits.remove(at),
                None => return,
            };
        }
    }
}

/// The pauses between two slots to try: the course's changeover, and each longer way. No other can be better, as it lets
/// nobody get further than the next shorter one of these.
pub(in crate::rota) fn pauses_to_try(course: &Course) -> BTreeSet<u16> {
    let changeover = course.rota.as_ref().map_or(0, |rules| rules.changeover);
    let mut pauses = course.lengths_of_ways();
    pauses.retain(|way| *way > changeover);
    pauses.insert(changeover);
    pauses
}
