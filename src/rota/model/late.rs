//! Who came late to a group misses what was before, and has what comes after: a visit stays on its side of that moment.

use std::ops::Range;

use super::Model;
use crate::rota::Rota;
use crate::rota::missing::Missing;

/// The slots in which a visit of a group to a station stays.
#[derive(Clone, Debug)]
pub(in crate::rota) struct Side {
    group: usize,
    station: usize,
    slots: Range<usize>,
}

impl Model {
    /// For each visit of the rota before, by a group that somebody joined late: from the last who had come by then to the
    /// next who comes.
    pub(super) fn sides(&self, before: &Rota, missing: &Missing) -> Vec<Side> {
        let side = |visit: &crate::rota::Visit| {
            let members = self.groups.get(visit.group)?;
            let arrivals: Vec<u16> = members.iter().filter_map(|at| missing.late.get(at).copied()).collect();
            let start = before.slots.get(visit.slot)?.start;
            let first = |from: u16| self.slots.iter().take_while(|slot| slot.start < from).count();
            let from = arrivals.iter().filter(|from| **from <= start).max().map_or(0, |from| first(*from));
            let next = arrivals.iter().filter(|from| **from > start).min();
            let until = next.map_or(self.slots.len(), |from| first(*from));
            let station = self.place(visit.station)?;
            (!arrivals.is_empty()).then_some(Side { group: visit.group, station, slots: from..until })
        };
        before.visits.iter().filter_map(side).collect()
    }

    /// Whether a visit may be in a slot, for those who came late.
    pub(in crate::rota) fn on_its_side(&self, group: usize, station: usize, slot: usize) -> bool {
        let mine = |side: &&Side| (side.group, side.station) == (group, station);
        self.sides.iter().find(mine).is_none_or(|side| side.slots.contains(&slot))
    }
}
