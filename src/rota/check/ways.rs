//! Nobody is asked to be somewhere sooner than they get there. The ways are read from the course.

use std::collections::BTreeSet;

use super::Look;
use super::fault::Fault;
use crate::rota::Station;

impl Look<'_> {
    /// Along the day of each group and of everybody who serves.
    pub(super) fn ways(&self, faults: &mut BTreeSet<Fault>) {
        for (at, _) in self.rota.groups.iter().enumerate() {
            let visits = self.rota.visits.iter().filter(|visit| visit.group == at);
            let day = visits.map(|visit| (visit.slot, visit.station)).collect();
            self.along(&format!("group {}", at + 1), day, faults);
        }
        for at in 0..self.course.people.len() {
            let duties = self.rota.duties.iter().filter(|duty| duty.person == at);
            let day = duties.map(|duty| (duty.slot, duty.station)).collect();
            self.along(&self.person(at), day, faults);
        }
    }

    fn along(&self, who: &str, mut day: Vec<(usize, Station)>, faults: &mut BTreeSet<Fault>) {
        let slope = |station: Station| match station {
            Station::Slope(slope) | Station::Demonstration(slope) => Some(slope),
            Station::Theory => None,
        };
        day.sort_unstable();
        for pair in day.windows(2) {
            let [(first, from), (second, to)] = *pair else { continue };
            let time = self.rota.slots[second].start.saturating_sub(self.rota.slots[first].end);
            let way = self.course.way(slope(from), slope(to));
            if second > first && self.to_come(second) && way > time {
                faults.insert(Fault::TooFar(who.to_owned(), self.place(to), self.at(second)));
            }
        }
    }
}
