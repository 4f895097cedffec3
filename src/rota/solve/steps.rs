//! How long is looked for a rota: steps of the solver, a count and not a clock, so that the answer is the same everywhere.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use pumpkin_solver::core::termination::TerminationCondition;

use crate::rota::model::Model;

/// Steps after which a question is given up.
const MOST_STEPS: u64 = 400_000;

/// The same for all questions about shorter waits together: one given up costs only waiting.
const FEWER_STEPS: u64 = 60_000;

/// The same for a question that is asked to say why there is no rota.
const STEPS_TO_EXPLAIN: u64 = 100_000;

/// With fewer steps than this a question is not worth the asking.
const LEAST_STEPS: u64 = 500;

/// Visits times slots for which the steps are meant: with more, each takes longer, and there are fewer.
const USUAL_SIZE: u64 = 300;

/// A day is large where a question about it has this part of the usual steps, or fewer.
const LARGE: u64 = 3;

/// Steps of a question about a day of this size.
fn steps_for(model: &Model, most: u64) -> u64 {
    let size = u64::try_from(model.visits_wanted() * model.usable()).unwrap_or(u64::MAX);
    most.saturating_mul(USUAL_SIZE) / size.max(USUAL_SIZE)
}

/// Steps that the questions about one day share, so that however many there are, the answer comes in the end.
pub(in crate::rota) struct Shared {
    left: u64,
    most: u64,
}

impl Shared {
    /// For the questions of a rota that fits: two of the hardest, or many easy ones.
    pub(in crate::rota) const fn to_fit() -> Self {
        Self { left: 2 * MOST_STEPS, most: MOST_STEPS }
    }

    /// For the questions about shorter waits.
    pub(in crate::rota) const fn to_wait_less() -> Self {
        Self { left: 2 * FEWER_STEPS, most: FEWER_STEPS }
    }

    /// For the questions that say why there is no rota.
    pub(in crate::rota) const fn to_explain() -> Self {
        Self { left: 4 * STEPS_TO_EXPLAIN, most: STEPS_TO_EXPLAIN }
    }

    /// The steps that the questions after the next one would have if each used all of its own; none for a day on which the
    /// first answers come at once.
    pub(in crate::rota) fn later(&self, model: &Model) -> Vec<u64> {
        let mut given = Vec::new();
        if steps_for(model, self.most) * LARGE > self.most {
            return given;
        }
        let part_of = |left: u64| self.most.min(left / 2);
        let mut left = self.left - part_of(self.left);
        while part_of(left) >= LEAST_STEPS && steps_for(model, part_of(left)) > 0 {
            given.push(steps_for(model, part_of(left)));
            left -= part_of(left);
        }
        given
    }

    /// Asks with as many steps as one question may have, and no more than half of those left; none when they are too few.
    pub(in crate::rota) fn ask<T>(&mut self, model: &Model, ask: impl FnOnce(&mut u64) -> T) -> Option<T> {
        let part = self.most.min(self.left / 2);
        let given = steps_for(model, part);
        if part < LEAST_STEPS || given == 0 {
            return None;
        }
        let mut left = given;
        let answer = ask(&mut left);
        self.left -= part * (given - left.min(given)) / given;
        Some(answer)
    }
}

/// When a question is given up.
pub(in crate::rota) struct Steps<'f> {
    /// Steps left.
    pub(in crate::rota) left: u64,
    /// The moment after which nothing more is tried, where one is set.
    pub(in crate::rota) until: Option<Instant>,
    /// Set when nobody wants the answer any more.
    pub(in crate::rota) unwanted: Option<&'f AtomicBool>,
}

impl Steps<'_> {
    /// Whether the time is over.
    pub(in crate::rota) fn over(&self) -> bool {
        self.until.is_some_and(|until| Instant::now() >= until)
            || self.unwanted.is_some_and(|unwanted| unwanted.load(Ordering::Relaxed))
    }
}

impl TerminationCondition for Steps<'_> {
    fn should_stop(&mut self) -> bool {
        self.left = self.left.saturating_sub(1);
        self.left == 0 || self.left.is_multiple_of(32) && self.over()
    }
}
