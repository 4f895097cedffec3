//! Lengths of a large day asked about ahead of their turn, while the first question still runs: a second core would stand
//! idle. What is answered is what would be answered in turn, step for step.

use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;

use super::{Answer, solve, solve_unless};
use crate::rota::model::Model;

/// An answer before its turn.
struct Early {
    length: usize,
    given: u64,
    left: u64,
    answer: Answer,
}

impl Early {
    /// Whether a question with so many steps has this answer: it came before its own steps ran out, or they are as many.
    fn holds_for(&self, steps: u64) -> bool {
        steps == self.given || (self.left > 0 && self.given - self.left < steps)
    }
}

/// The answers that came before their turn.
#[derive(Default)]
pub(super) struct Ahead {
    early: Vec<Early>,
}

impl Ahead {
    /// Whether a rota fits within a length, for so many steps; those after it are asked about meanwhile with the steps of
    /// `later`, one after the other.
    pub(super) fn answer(&mut self, model: &Model, length: usize, left: &mut u64, later: &[u64]) -> Answer {
        let known = self.early.iter().position(|early| early.length == length && early.holds_for(*left));
        if let Some(at) = known {
            let early = self.early.swap_remove(at);
            *left -= early.given - early.left;
            return early.answer;
        }
        self.early.clear();
        if later.is_empty() {
            return solve(model, length, None, left);
        }
        let unwanted = AtomicBool::new(false);
        thread::scope(|scope| {
            let questions = (length + 1..=model.usable()).zip(later.iter().copied());
            let others = scope.spawn(|| in_turn(model, questions, &unwanted));
            let answer = solve(model, length, None, left);
            if matches!(answer, Answer::Found(_)) {
                unwanted.store(true, Ordering::Relaxed);
            }
            self.early = others.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault));
            answer
        })
    }
}

/// The answers to these lengths, up to the first rota that fits.
fn in_turn(
    model: &Model,
    questions: impl Iterator<Item = (usize, u64)>,
    unwanted: &AtomicBool,
) -> Vec<Early> {
    let mut all = Vec::new();
    for (length, given) in questions {
        let mut left = given;
        let answer = solve_unless(model, length, &mut left, unwanted);
        if unwanted.load(Ordering::Relaxed) {
            break;
        }
        let found = matches!(answer, Answer::Found(_));
        all.push(Early { length, given, left, answer });
        if found {
            break;
        }
    }
    all
}
