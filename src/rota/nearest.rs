//! The rota nearest to the one before: a first that fits, then bettered part by part.

use std::collections::BTreeSet;

use pumpkin_solver::conflict_resolvers::resolvers::ResolutionResolver;
use pumpkin_solver::core::branching::branchers::dynamic_brancher::DynamicBrancher;
use pumpkin_solver::core::branching::branchers::warm_start::WarmStart;
use pumpkin_solver::core::results::{ProblemSolution, SatisfactionResult};
use pumpkin_solver::core::variables::{DomainId, TransformableVariable};

use super::model::Model;
use super::solve::{Around, Asking, Steps, Term, signed};

/// Steps in which a first rota that fits is looked for.
const FIRST_STEPS: u64 = 200_000;
/// Steps in which a part is bettered: one not bettered costs only nearness.
const PART_STEPS: u64 = 1_500;
/// Steps after which no further part is looked at.
const ALL_STEPS: u64 = 120_000;
/// A visit given up weighs as much as so many moved.
const GIVEN_UP: usize = 40;

type Visits = BTreeSet<[usize; 3]>;

/// The rota nearest to these visits within so many slots, as near as is found in a number of steps. Where visits
/// may be given up, as many as can be are made, before any is kept where it was.
pub(super) fn nearest(
    model: &Model,
    length: usize,
    keep: &[[usize; 3]],
    tell: &dyn Fn(&str),
) -> Option<Vec<[usize; 3]>> {
    let keep: Visits = keep.iter().copied().collect();
    let mut steps = FIRST_STEPS;
    let mut best = asked(model, length, &keep, None, None, &mut steps)?;
    let mut left = ALL_STEPS;
    let moved = |best: &Visits| {
        tell(&format!("a rota fits; {} stations of groups moved", keep.difference(best).count()));
    };
    moved(&best);
    while let Some(better) = bettered(model, length, &keep, &best, &mut left) {
        best = better;
        moved(&best);
    }
    Some(best.into_iter().collect())
}

/// What a rota loses: visits that are not where they were, and those given up many times over.
fn loss(model: &Model, keep: &Visits, visits: &Visits) -> usize {
    let given_up = if model.all { 0 } else { model.visits_wanted().saturating_sub(visits.len()) };
    keep.difference(visits).count() + GIVEN_UP * given_up
}

/// A rota that loses less, in which only a few slots or groups differ; none when no such part is found.
fn bettered(model: &Model, length: usize, keep: &Visits, best: &Visits, left: &mut u64) -> Option<Visits> {
    let now = loss(model, keep, best);
    if now == 0 {
        return None;
    }
    parts(model, length).into_iter().find_map(|(slots, groups)| {
        // Where nothing was moved and nothing is to be made good, there is nothing to better.
        if *left == 0 {
            return None;
        }
        let around = Around { visits: best, slots, groups };
        let mut steps = PART_STEPS.min(*left);
        let before = steps;
        let found = asked(model, length, keep, Some(&around), Some(now), &mut steps);
        *left -= before - steps;
        found
    })
}

/// Parts of a rota that are looked at one by one, small ones first: pairs and triples of slots, pairs of groups.
fn parts(model: &Model, length: usize) -> Vec<(Vec<usize>, Vec<usize>)> {
    let slots: Vec<usize> = (model.past..length).collect();
    let mut parts = Vec::new();
    let groups = model.groups.len();
    for one in 0..groups {
        parts.push((Vec::new(), vec![one]));
    }
    for one in 0..groups {
        parts.extend((one + 1..groups).map(|two| (Vec::new(), vec![one, two])));
    }
    for (at, one) in slots.iter().enumerate() {
        for (next, two) in slots.iter().enumerate().skip(at + 1) {
            parts.extend(slots[next + 1..].iter().map(|three| (vec![*one, *two, *three], Vec::new())));
        }
    }
    parts.extend(slots.windows(5).map(|five| (five.to_vec(), Vec::new())));
    parts
}

/// A rota within the limits that loses less than so much; what was is tried first.
fn asked(
    model: &Model,
    length: usize,
    keep: &Visits,
    around: Option<&Around>,
    less_than: Option<usize>,
    steps: &mut u64,
) -> Option<Visits> {
    let mut asking = Asking::of(model, length, around);
    if let Some(now) = less_than {
        let given_up = if model.all { 0 } else { signed(GIVEN_UP) };
        let weight = |key: &[usize; 3]| i32::from(keep.contains(key)) + given_up;
        let weighed = asking.visits.iter().filter(|(key, _)| weight(key) > 0);
        let terms: Vec<Term> = weighed.map(|(key, one)| one.scaled(-weight(key))).collect();
        let most = keep.len() + if model.all { 0 } else { GIVEN_UP * model.visits_wanted() };
        asking.at_most(terms, signed(now) - 1 - signed(most));
    }
    if asking.is_lost() {
        return None;
    }
    let stay: Vec<DomainId> =
        asking.visits.iter().filter(|(key, _)| keep.contains(key)).map(|(_, one)| *one).collect();
    let kept = Box::new(WarmStart::new(&stay, &vec![1; stay.len()]));
    let mut brancher = DynamicBrancher::new(vec![kept, Box::new(asking.solver.default_brancher())]);
    let mut resolver = ResolutionResolver::default();
    // A first plan that gives up what does not fit is found at once, so it is not stopped by the clock.
    let until = model.until.filter(|_| model.all || less_than.is_some());
    let mut count = Steps { left: *steps, until, unwanted: None };
    let visits = asking.visits;
    let found = asking.solver.satisfy(&mut brancher, &mut count, &mut resolver);
    let found = match found {
        SatisfactionResult::Satisfiable(found) => {
            let solution = found.solution();
            let yes = visits.iter().filter(|(_, one)| solution.get_integer_value(*one) == 1);
            Some(yes.map(|(key, _)| *key).collect())
        }
        SatisfactionResult::Unsatisfiable(..) | SatisfactionResult::Unknown(..) => None,
    };
    *steps = if count.over() { 0 } else { count.left };
    found
}
