//! Wrong answers that the usual slips lead to.

use super::conversion::calculated;
use super::table::Table;
use super::{Slip, Worked};
use crate::quantity::Shown;

/// A slip this near the right answer, or another slip's, teaches nothing: as a share.
const TOO_NEAR: f64 = 0.05;

/// A wrong answer and the slip that leads to it.
#[derive(Clone, Debug, PartialEq)]
pub struct SlipAnswer {
    /// The step, from 0, at which the slip is made.
    pub step: usize,
    /// The slip's name.
    pub id: &'static str,
    /// What went wrong.
    pub why: &'static str,
    /// What the step gives with the slip.
    pub at_step: Shown,
    /// What the last step then gives.
    pub answer: Shown,
    /// Whether the method is right and only a unit is wrong.
    pub of_unit: bool,
}

impl Worked {
    /// What the usual slips lead to, slips too near the right answer left out.
    pub fn slip_answers(&self) -> Vec<SlipAnswer> {
        let key = self.answer().shown.value;
        let mut found: Vec<SlipAnswer> = Vec::new();
        for (step, line) in self.lines.iter().enumerate() {
            for slip in line.formula.slips.iter().filter(|slip| slip.is_made_in(line.system)) {
                let wrong = self.with_slip(step, slip);
                found.extend(wrong.filter(|wrong| is_apart(wrong.answer.value, key)));
            }
        }
        found
    }

    /// Wrong answers fit to stand beside the right one: none within 5 % of it or of each other.
    pub fn wrong_options(&self) -> Vec<SlipAnswer> {
        let mut kept: Vec<SlipAnswer> = Vec::new();
        for wrong in self.slip_answers() {
            if kept.iter().all(|other| is_apart(wrong.answer.value, other.answer.value)) {
                kept.push(wrong);
            }
        }
        kept
    }

    fn with_slip(&self, step: usize, slip: &Slip) -> Option<SlipAnswer> {
        let mut table = Table::default();
        for given in &self.given {
            table.put(given.symbol, given.si, &given.shown, given.unit);
        }
        let mut at_step = None;
        let mut answer = None;
        for (place, line) in self.lines.iter().enumerate() {
            let expr = if place == step { line.formula.bent(slip)? } else { line.formula.expr() };
            let numbers = table.put_in(&expr, line.unit, line.system);
            let value = calculated(&numbers, line.unit);
            if !value.is_finite() {
                return None;
            }
            let shown = Shown::of(value, line.formula.gives.digits);
            table.put(line.formula.gives, line.unit.to_si(shown.value), &shown, line.unit);
            if place == step {
                at_step = Some(shown.clone());
            }
            answer = Some(shown);
        }
        Some(SlipAnswer {
            step,
            id: slip.id,
            why: slip.why,
            at_step: at_step?,
            answer: answer?,
            of_unit: slip.is_of_unit(),
        })
    }
}

fn is_apart(one: f64, other: f64) -> bool {
    (one - other).abs() > TOO_NEAR * one.abs().max(other.abs())
}
