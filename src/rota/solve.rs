//! The rota as yes-and-no questions for the constraint solver.

mod ahead;
mod steps;
mod ways;

use ahead::Ahead;
pub(super) use steps::{Shared, Steps};

use std::collections::BTreeSet;
use std::sync::atomic::AtomicBool;

use pumpkin_solver::Solver;
use pumpkin_solver::conflict_resolvers::resolvers::ResolutionResolver;
use pumpkin_solver::core::results::{ProblemSolution, SatisfactionResult};
use pumpkin_solver::core::variables::{AffineView, DomainId, TransformableVariable};
use pumpkin_solver::{equals, less_than_or_equals};

use super::Rota;
use super::model::Model;
use super::request::NoFit;

/// A rota of which only a part may change.
pub(super) struct Around<'v> {
    pub(super) visits: &'v BTreeSet<[usize; 3]>,
    /// Slots in which anything may change.
    pub(super) slots: Vec<usize>,
    /// Groups for which anything may change.
    pub(super) groups: Vec<usize>,
}

impl Around<'_> {
    fn is_free(&self, [group, _, slot]: [usize; 3]) -> bool {
        self.slots.contains(&slot) || self.groups.contains(&group)
    }
}

/// What came of a question: group, station, slot of each visit.
pub(super) enum Answer {
    Found(Vec<[usize; 3]>),
    None,
    Unknown,
}

/// What all questions of one day share.
pub(super) struct Looking {
    fits: Shared,
    waits: Shared,
}

impl Default for Looking {
    fn default() -> Self {
        Self { fits: Shared::to_fit(), waits: Shared::to_wait_less() }
    }
}

/// The shortest rota, and of those one in which no group waits long.
///
/// # Errors
/// Why there is none.
pub(super) fn shortest(model: &Model, looking: &mut Looking) -> Result<Rota, NoFit> {
    if let Some(why) = model.hopeless() {
        return Err(why);
    }
    let (mut refuted, mut ahead) = (true, Ahead::default());
    for length in model.bound.slots..=model.usable() {
        let later = looking.fits.later(model);
        let answer = looking.fits.ask(model, |left| ahead.answer(model, length, left, &later));
        match answer.unwrap_or(Answer::Unknown) {
            Answer::Found(visits) => {
                let shorter = |left: &mut u64| waiting_least(model, length, visits.clone(), left);
                let visits = looking.waits.ask(model, shorter).unwrap_or(visits);
                // Staff may not get from slope to slope in time; other visits of that length are not looked for.
                let unstaffed = NoFit::TooLong { refuted: false };
                return model.rota(&visits, None, refuted).map_err(|_| unstaffed);
            }
            Answer::None => {}
            Answer::Unknown => refuted = false,
        }
    }
    Err(NoFit::TooLong { refuted })
}

/// The same length with the shortest longest wait that is found: each answer asks for a shorter one.
fn waiting_least(model: &Model, length: usize, visits: Vec<[usize; 3]>, left: &mut u64) -> Vec<[usize; 3]> {
    let mut best = visits;
    while let Some(shorter) = longest_wait(model, &best).checked_sub(1)
        && let Answer::Found(visits) = solve(model, length, Some(shorter), left)
    {
        best = visits;
    }
    best
}

/// Most slots in a row in which a group is nowhere, between its first visit and its last.
fn longest_wait(model: &Model, visits: &[[usize; 3]]) -> usize {
    let gaps = |group: usize| {
        let mut slots: Vec<usize> =
            visits.iter().filter(|visit| visit[0] == group).map(|visit| visit[2]).collect();
        slots.sort_unstable();
        slots.windows(2).map(|pair| pair[1] - pair[0] - 1).max().unwrap_or(0)
    };
    (0..model.groups.len()).map(gaps).max().unwrap_or(0)
}

/// Whether any rota fits: as [`shortest`], without looking for a short one. None where the steps ran out before anybody
/// could tell.
pub(super) fn fits(model: &Model, steps: &mut Shared) -> Option<bool> {
    if model.bound.slots > model.usable() || model.wanted.is_empty() {
        return Some(false);
    }
    match steps.ask(model, |left| solve(model, model.usable(), None, left))? {
        Answer::Found(..) => Some(true),
        Answer::None => Some(false),
        Answer::Unknown => None,
    }
}

pub(super) type Term = AffineView<DomainId>;

/// A question under way.
pub(super) struct Asking<'m> {
    pub(super) model: &'m Model,
    pub(super) solver: Solver,
    /// A question that no answer can meet, seen before the solver was asked.
    lost: bool,
    pub(super) visits: Vec<([usize; 3], DomainId)>,
}

/// Looks for a rota within so many slots, in which no group waits longer than so many of them, for so many steps.
fn solve(model: &Model, length: usize, wait: Option<usize>, left: &mut u64) -> Answer {
    let mut asking = Asking::of(model, length, None);
    if let Some(most) = wait {
        asking.waits(length, most);
    }
    asking.answer(left, None)
}

/// The same without a word on waiting, until somebody says that the answer is not wanted any more.
fn solve_unless(model: &Model, length: usize, left: &mut u64, unwanted: &AtomicBool) -> Answer {
    Asking::of(model, length, None).answer(left, Some(unwanted))
}

impl<'m> Asking<'m> {
    /// The question with all limits of the model.
    pub(super) fn of(model: &'m Model, length: usize, around: Option<&Around>) -> Self {
        let mut asking = Asking { model, solver: Solver::default(), lost: false, visits: Vec::new() };
        asking.variables(length, around);
        asking.groups(length);
        for slot in model.past..length {
            asking.staffed(slot);
        }
        asking.one_place_each(length);
        asking.pauses();
        asking.ways(length);
        asking.order(length);
        asking
    }

    /// One for each visit that can be: not before what has to come first, not after what has to follow; what
    /// is over is as it was.
    fn variables(&mut self, length: usize, around: Option<&Around>) {
        for (group, row) in self.model.wanted.iter().enumerate() {
            for at in (0..row.len()).filter(|at| row[*at]) {
                let (before, after) = self.model.reach(group, at);
                let last = if self.model.all { length.saturating_sub(after) } else { length };
                let done = self.model.done.iter().find(|visit| (visit[0], visit[1]) == (group, at));
                let slots: Vec<usize> = if let Some(visit) = done {
                    vec![visit[2]]
                } else {
                    let open = before.max(self.model.past)..last;
                    let fits = |slot: &usize| {
                        self.model.there[group][*slot] && self.model.on_its_side(group, at, *slot)
                    };
                    open.filter(fits).collect()
                };
                for slot in slots {
                    let here = [group, at, slot];
                    let stays = around.is_some_and(|around| !around.is_free(here));
                    if stays && !around.is_some_and(|around| around.visits.contains(&here)) {
                        continue;
                    }
                    let variable = self.solver.new_bounded_integer(i32::from(stays || done.is_some()), 1);
                    self.visits.push(([group, at, slot], variable));
                }
            }
        }
    }

    fn visits_where(&self, fits: impl Fn(&[usize; 3]) -> bool) -> Vec<Term> {
        self.visits.iter().filter(|(key, _)| fits(key)).map(|(_, variable)| variable.scaled(1)).collect()
    }

    pub(super) fn at_most(&mut self, terms: Vec<Term>, most: i32) {
        // The solver takes no sums of nothing, and nothing more once it knows that it has lost.
        if terms.is_empty() {
            self.lost |= most < 0;
        }
        if terms.is_empty() || self.lost || self.solver.is_inconsistent() {
            return;
        }
        let tag = self.solver.new_constraint_tag();
        self.solver.add_constraint(less_than_or_equals(terms, most, tag)).post();
    }

    pub(super) fn exactly(&mut self, terms: Vec<Term>, value: i32) {
        if terms.is_empty() {
            self.lost |= value != 0;
        }
        if terms.is_empty() || self.lost || self.solver.is_inconsistent() {
            return;
        }
        let tag = self.solver.new_constraint_tag();
        self.solver.add_constraint(equals(terms, value, tag)).post();
    }

    /// Each group comes once to each station it is to visit, and is in one place at a time.
    fn groups(&mut self, length: usize) {
        for (group, row) in self.model.wanted.iter().enumerate() {
            for at in (0..row.len()).filter(|at| row[*at]) {
                let once = self.visits_where(|key| key[0] == group && key[1] == at);
                if self.model.all {
                    self.exactly(once, 1);
                } else {
                    self.at_most(once, 1);
                }
            }
            for slot in self.model.past..length {
                let here = self.visits_where(|key| key[0] == group && key[2] == slot);
                self.at_most(here, 1);
            }
        }
    }

    /// A station holds so many groups; and no stations that draw on the same people ask for more of them
    /// than there are, so that everybody has one place (Hall's theorem: that is enough).
    fn staffed(&mut self, slot: usize) {
        let stations = 0..self.model.stations.len();
        let here = |visits: &[([usize; 3], DomainId)], at: usize| -> Vec<(usize, DomainId)> {
            let here = visits.iter().filter(|(key, _)| key[1] == at && key[2] == slot);
            here.map(|(key, variable)| (key[0], *variable)).collect()
        };
        let mut loads: [Vec<Vec<(DomainId, usize)>>; 2] = [Vec::new(), Vec::new()];
        for at in stations {
            let groups = here(&self.visits, at);
            let place = &self.model.stations[at];
            let (marshals, slope) = (place.marshals, place.is_slope());
            let in_use = self.in_use(&groups, place.at_once);
            loads[0].push(in_use.iter().map(|one| (*one, marshals)).collect());
            loads[1].push(if slope {
                groups.iter().map(|(group, one)| (*one, self.model.teachers[*group])).collect()
            } else {
                in_use.iter().map(|one| (*one, usize::from(self.model.ratio))).collect()
            });
        }
        for pool in &self.model.pools[slot] {
            let load = &loads[usize::from(pool.teaches)];
            let asked = || pool.stations.iter().flat_map(|at| &load[*at]).filter(|(_, times)| *times > 0);
            if asked().map(|(_, times)| times).sum::<usize>() > pool.people {
                let terms = asked().map(|(one, times)| one.scaled(signed(*times))).collect();
                self.at_most(terms, signed(pool.people));
            }
        }
    }

    /// Variables whose sum is 1 while a station is in use and 0 otherwise.
    fn in_use(&mut self, groups: &[(usize, DomainId)], at_once: usize) -> Vec<DomainId> {
        if at_once <= 1 || groups.len() <= 1 {
            let here: Vec<Term> = groups.iter().map(|(_, one)| one.scaled(1)).collect();
            self.at_most(here, 1);
            return groups.iter().map(|(_, one)| *one).collect();
        }
        let open = self.solver.new_bounded_integer(0, 1);
        let mut room: Vec<Term> = groups.iter().map(|(_, one)| one.scaled(1)).collect();
        room.push(open.scaled(-signed(at_once)));
        self.at_most(room, 0);
        let mut idle: Vec<Term> = groups.iter().map(|(_, one)| one.scaled(-1)).collect();
        idle.push(open.scaled(1));
        self.at_most(idle, 0);
        vec![open]
    }

    /// Nobody drives a slope or a vehicle while it is shown.
    fn one_place_each(&mut self, length: usize) {
        use super::Station::{Demonstration, Slope};
        for slot in self.model.past..length {
            let stations = &self.model.stations;
            let mut clashes = Vec::new();
            for (key, shown) in self.visits.iter().filter(|(key, _)| key[2] == slot) {
                let Demonstration(slope) = stations[key[1]].station else { continue };
                let (driving, taken) = (&self.model.driving, &self.model.shown_by);
                let driven = self.visits.iter().filter(|(other, _)| {
                    let here = stations[other[1]].station == Slope(slope);
                    let with_it = driving[other[0]][other[1]].iter().any(|driver| taken.contains(driver));
                    other[2] == slot && (here || with_it)
                });
                clashes.extend(driven.map(|(_, driven)| vec![shown.scaled(1), driven.scaled(1)]));
            }
            for clash in clashes {
                self.at_most(clash, 1);
            }
        }
    }

    /// Brakes cool between two slopes.
    fn pauses(&mut self) {
        let slots = &self.model.slots;
        let mut clashes = Vec::new();
        for &(group, one, two, need) in &self.model.pauses {
            let of = |at: usize| self.visits.iter().filter(move |(key, _)| key[0] == group && key[1] == at);
            for (before, first) in of(one) {
                for (after, second) in of(two).filter(|(after, _)| after[2] > before[2]) {
                    if slots[after[2]].start.saturating_sub(slots[before[2]].end) < need {
                        clashes.push(vec![first.scaled(1), second.scaled(1)]);
                    }
                }
            }
        }
        for clash in clashes {
            self.at_most(clash, 1);
        }
    }

    /// What comes first has been before what follows.
    fn order(&mut self, length: usize) {
        for &[group, first, then] in &self.model.first {
            for slot in self.model.past..length {
                let mut terms = self.visits_where(|key| *key == [group, then, slot]);
                if terms.is_empty() {
                    continue;
                }
                let earlier =
                    self.visits.iter().filter(|(key, _)| key[..2] == [group, first] && key[2] < slot);
                terms.extend(earlier.map(|(_, one)| one.scaled(-1)));
                self.at_most(terms, 0);
            }
        }
    }

    /// Between two visits of a group there are at most so many slots without one.
    fn waits(&mut self, length: usize, most: usize) {
        for group in 0..self.model.groups.len() {
            let in_slot = |visits: &[([usize; 3], DomainId)], slot: usize, times: i32| -> Vec<Term> {
                let here = visits.iter().filter(|(key, _)| key[0] == group && key[2] == slot);
                here.map(|(_, one)| one.scaled(times)).collect()
            };
            for one in 0..length {
                for two in one + most + 2..length {
                    let mut terms = in_slot(&self.visits, one, 1);
                    terms.extend(in_slot(&self.visits, two, 1));
                    terms.extend((one + 1..two).flat_map(|slot| in_slot(&self.visits, slot, -1)));
                    self.at_most(terms, 1);
                }
            }
        }
    }

    /// Whether no answer can meet the question.
    pub(super) fn is_lost(&self) -> bool {
        self.lost || self.solver.is_inconsistent()
    }

    fn answer(mut self, left: &mut u64, unwanted: Option<&AtomicBool>) -> Answer {
        if self.is_lost() {
            return Answer::None;
        }
        let mut brancher = self.solver.default_brancher();
        let mut resolver = ResolutionResolver::default();
        let visits = self.visits;
        let mut steps = Steps { left: *left, until: self.model.until, unwanted };
        let found = self.solver.satisfy(&mut brancher, &mut steps, &mut resolver);
        *left = steps.left;
        match found {
            SatisfactionResult::Satisfiable(found) => {
                let solution = found.solution();
                let yes = visits.into_iter().filter(|(_, one)| solution.get_integer_value(*one) == 1);
                Answer::Found(yes.map(|(key, _)| key).collect())
            }
            SatisfactionResult::Unsatisfiable(..) => Answer::None,
            SatisfactionResult::Unknown(..) => Answer::Unknown,
        }
    }
}

/// A small count with a sign.
pub(super) fn signed(count: usize) -> i32 {
    i32::try_from(count).unwrap_or(i32::MAX)
}
