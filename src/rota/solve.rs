//! The rota as yes-and-no questions for the constraint solver.

use pumpkin_solver::Solver;
use pumpkin_solver::conflict_resolvers::resolvers::ResolutionResolver;
use pumpkin_solver::core::results::{ProblemSolution, SatisfactionResult};
use pumpkin_solver::core::termination::TerminationCondition;
use pumpkin_solver::core::variables::{AffineView, DomainId, TransformableVariable};
use pumpkin_solver::{equals, less_than_or_equals};

use super::model::Model;

/// Seed of the solver's draws: its own fixed one.
pub(super) const SEED: u64 = 42;
/// Steps after which a question is given up. A count, not a clock: the same answer everywhere.
const MOST_STEPS: u64 = 400_000;

/// The same for a question about keeping what was: many are asked, and one given up costs only nearness.
const FEWER_STEPS: u64 = 60_000;

/// What is to stay as it was.
#[derive(Clone, Debug, Default)]
pub(super) struct Wish {
    /// Visits to keep, and how many of them may go.
    pub(super) visits: Vec<[usize; 3]>,
    pub(super) visits_lost: Option<usize>,
    /// Duties to keep, and how many of them may go.
    pub(super) duties: Vec<[usize; 3]>,
    pub(super) duties_lost: Option<usize>,
}

/// What came of a question. Visits are group, station, slot; duties are staff, station, slot.
pub(super) enum Answer {
    Found(Vec<[usize; 3]>, Vec<[usize; 3]>),
    None,
    Unknown,
}

struct Steps(u64);

impl TerminationCondition for Steps {
    fn should_stop(&mut self) -> bool {
        self.0 = self.0.saturating_sub(1);
        self.0 == 0
    }
}

type Term = AffineView<DomainId>;

/// A question under way.
struct Asking<'m> {
    model: &'m Model,
    solver: Solver,
    /// A question that no answer can meet, seen before the solver was asked.
    lost: bool,
    visits: Vec<([usize; 3], DomainId)>,
    duties: Vec<([usize; 3], DomainId)>,
}

/// Looks for a rota within so many slots.
pub(super) fn solve(model: &Model, length: usize, wish: &Wish) -> Answer {
    let mut asking =
        Asking { model, solver: Solver::default(), lost: false, visits: Vec::new(), duties: Vec::new() };
    asking.variables(length);
    asking.groups(length);
    for at in 0..model.stations.len() {
        asking.station(at, length);
    }
    asking.one_place_each(length);
    asking.pauses();
    asking.order(length);
    asking.kept(wish);
    let keeping = wish.visits_lost.is_some() || wish.duties_lost.is_some();
    asking.answer(if keeping { FEWER_STEPS } else { MOST_STEPS })
}

impl Asking<'_> {
    fn variables(&mut self, length: usize) {
        for (group, row) in self.model.wanted.iter().enumerate() {
            for at in (0..row.len()).filter(|at| row[*at]) {
                for slot in 0..length {
                    let variable = self.solver.new_bounded_integer(0, 1);
                    self.visits.push(([group, at, slot], variable));
                }
            }
        }
        for (who, one) in self.model.staff.iter().enumerate() {
            for at in (0..one.may.len()).filter(|at| one.may[*at]) {
                for slot in 0..length {
                    let variable = self.solver.new_bounded_integer(0, 1);
                    self.duties.push(([who, at, slot], variable));
                }
            }
        }
    }

    fn visits_where(&self, fits: impl Fn(&[usize; 3]) -> bool) -> Vec<Term> {
        self.visits.iter().filter(|(key, _)| fits(key)).map(|(_, variable)| variable.scaled(1)).collect()
    }

    fn at_most(&mut self, terms: Vec<Term>, most: i32) {
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

    fn exactly(&mut self, terms: Vec<Term>, value: i32) {
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
                self.exactly(once, 1);
            }
            for slot in 0..length {
                let here = self.visits_where(|key| key[0] == group && key[2] == slot);
                self.at_most(here, 1);
            }
        }
    }

    /// A station holds so many groups, and has its marshals and instructors while it is in use.
    fn station(&mut self, at: usize, length: usize) {
        let post = &self.model.stations[at];
        let (at_once, marshals, slope) = (post.at_once, post.marshals, post.is_slope());
        let teachers = self.model.teachers.clone();
        for slot in 0..length {
            let groups: Vec<(usize, DomainId)> = self
                .visits
                .iter()
                .filter(|(key, _)| key[1] == at && key[2] == slot)
                .map(|(key, variable)| (key[0], *variable))
                .collect();
            let in_use = self.in_use(&groups, at_once);
            let serving = |teaches: bool| -> Vec<Term> {
                let staff = &self.model.staff;
                let here = self.duties.iter().filter(|(key, _)| key[1] == at && key[2] == slot);
                here.filter(|(key, _)| staff[key[0]].teaches == teaches)
                    .map(|(_, variable)| variable.scaled(1))
                    .collect()
            };
            let (mut marshalling, mut teaching) = (serving(false), serving(true));
            marshalling.extend(in_use.iter().filter_map(|one| less(*one, signed(marshals))));
            if slope {
                teaching
                    .extend(groups.iter().filter_map(|(group, one)| less(*one, signed(teachers[*group]))));
            } else {
                let ratio = i32::from(self.model.ratio);
                teaching.extend(in_use.iter().filter_map(|one| less(*one, ratio)));
            }
            self.exactly(marshalling, 0);
            self.exactly(teaching, 0);
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

    /// Nobody serves two stations at a time; nobody drives a slope or a vehicle while it is shown.
    fn one_place_each(&mut self, length: usize) {
        use super::Station::{Demonstration, Slope};
        for slot in 0..length {
            for who in 0..self.model.staff.len() {
                let here = self.duties.iter().filter(|(key, _)| key[0] == who && key[2] == slot);
                let here: Vec<Term> = here.map(|(_, variable)| variable.scaled(1)).collect();
                self.at_most(here, 1);
            }
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

    /// What is shown is shown before it is driven.
    fn order(&mut self, length: usize) {
        for &(shown, driven) in &self.model.first {
            for group in 0..self.model.groups.len() {
                if !self.model.wanted[group][shown] || !self.model.wanted[group][driven] {
                    continue;
                }
                for slot in 0..length {
                    let mut terms = self.visits_where(|key| *key == [group, driven, slot]);
                    let earlier = self
                        .visits
                        .iter()
                        .filter(|(key, _)| key[0] == group && key[1] == shown && key[2] < slot);
                    terms.extend(earlier.map(|(_, one)| one.scaled(-1)));
                    self.at_most(terms, 0);
                }
            }
        }
    }

    /// At most so many of the visits and duties that were to stay are gone.
    fn kept(&mut self, wish: &Wish) {
        let count = |all: &[([usize; 3], DomainId)], keep: &[[usize; 3]]| -> Vec<Term> {
            all.iter().filter(|(key, _)| keep.contains(key)).map(|(_, one)| one.scaled(-1)).collect()
        };
        if let Some(lost) = wish.visits_lost {
            let terms = count(&self.visits, &wish.visits);
            let least = signed(terms.len()) - signed(lost);
            self.at_most(terms, -least);
        }
        if let Some(lost) = wish.duties_lost {
            let terms = count(&self.duties, &wish.duties);
            let least = signed(terms.len()) - signed(lost);
            self.at_most(terms, -least);
        }
    }

    fn answer(mut self, steps: u64) -> Answer {
        if self.lost || self.solver.is_inconsistent() {
            return Answer::None;
        }
        let mut brancher = self.solver.default_brancher();
        let mut resolver = ResolutionResolver::default();
        let (visits, duties) = (self.visits, self.duties);
        match self.solver.satisfy(&mut brancher, &mut Steps(steps), &mut resolver) {
            SatisfactionResult::Satisfiable(found) => {
                let solution = found.solution();
                let chosen = |all: Vec<([usize; 3], DomainId)>| -> Vec<[usize; 3]> {
                    let yes = all.into_iter().filter(|(_, one)| solution.get_integer_value(*one) == 1);
                    yes.map(|(key, _)| key).collect()
                };
                Answer::Found(chosen(visits), chosen(duties))
            }
            SatisfactionResult::Unsatisfiable(..) => Answer::None,
            SatisfactionResult::Unknown(..) => Answer::Unknown,
        }
    }
}

/// A variable so many times on the other side; the solver takes no zeros.
fn less(variable: DomainId, times: i32) -> Option<Term> {
    (times != 0).then(|| variable.scaled(-times))
}

/// A small count with a sign.
fn signed(count: usize) -> i32 {
    i32::try_from(count).unwrap_or(i32::MAX)
}
