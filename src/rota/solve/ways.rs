//! Groups on their way from one station to the next.

use pumpkin_solver::core::variables::{DomainId, TransformableVariable};

use super::{Asking, Term};

type Visits = Vec<([usize; 3], DomainId)>;

impl Asking<'_> {
    /// No group is asked to be somewhere sooner than it gets there from where it was last.
    pub(super) fn ways(&mut self, length: usize) {
        let model = self.model;
        let longest = model.ways.iter().flatten().copied().max().unwrap_or(0);
        let pause = |one: usize, two: usize| model.slots[two].start.saturating_sub(model.slots[one].end);
        let later = |one: usize| (one + 1..length).filter(move |two| *two >= model.past);
        for group in 0..model.groups.len() {
            for one in 0..length {
                for two in later(one).filter(|two| pause(one, *two) < longest) {
                    self.one_way(group, one, two);
                }
            }
        }
    }

    /// The same for two slots of a group: who is at a station in the first and at none between is in the second
    /// nowhere that is too far off.
    fn one_way(&mut self, group: usize, one: usize, two: usize) {
        let here = |slot: usize| -> Visits {
            self.visits.iter().filter(|(key, _)| key[0] == group && key[2] == slot).copied().collect()
        };
        let (before, after) = (here(one), here(two));
        let between: Visits = (one + 1..two).flat_map(here).collect();
        for (from, first) in before {
            let far = |key: &[usize; 3]| !self.model.in_reach((from[1], one), (key[1], two));
            let far = after.iter().filter(|(key, _)| far(key));
            let mut terms: Vec<Term> = far.map(|(_, then)| then.scaled(1)).collect();
            if !terms.is_empty() {
                terms.push(first.scaled(1));
                terms.extend(between.iter().map(|(_, stop)| stop.scaled(-1)));
                self.at_most(terms, 1);
            }
        }
    }
}
