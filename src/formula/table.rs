//! Numbers known while an example is worked: what is given, and the result of each step.

use super::conversion::{Printed, calculated, numbers_in};
use super::digits::result_digits;
use super::worked::Line;
use super::{Expr, Formula, Symbol};
use crate::quantity::{Shown, Unit, UnitSystem};

/// Greatest distance of a printed result from the full-precision one, as a share of it.
const CLOSE: f64 = 0.004;

/// The result of a step, before its line is written.
pub(super) struct StepResult {
    formula: &'static Formula,
    numbers: Expr,
    /// Full value, SI.
    pub(super) si: f64,
    /// As printed.
    pub(super) shown: Shown,
    /// The unit printed.
    pub(super) unit: &'static Unit,
}

impl StepResult {
    /// Its line, `tree` the formula's right-hand side.
    pub(super) fn line(self, tree: &Expr, system: UnitSystem) -> Line {
        Line::new(self.formula, tree, &self.numbers, self.si, self.shown, self.unit, system)
    }
}

/// What is known so far: full value and printed number of each symbol.
#[derive(Default)]
pub(super) struct Table(Vec<(&'static Symbol, f64, Printed)>);

impl Table {
    pub(super) fn put(&mut self, symbol: &'static Symbol, si: f64, shown: &Shown, unit: &'static Unit) {
        self.0.push((symbol, si, Printed::of(shown, unit)));
    }

    fn find(&self, symbol: &Symbol) -> &(&'static Symbol, f64, Printed) {
        self.0
            .iter()
            .rev()
            .find(|(known, ..)| *known == symbol)
            .unwrap_or_else(|| panic!("nothing gives `{}` before it is used", symbol.id))
    }

    /// The result of a formula, `tree` its right-hand side, with so many digits more than usual; none where its line would
    /// not be true.
    pub(super) fn work(
        &self,
        formula: &'static Formula,
        tree: &Expr,
        system: UnitSystem,
        extra: u8,
    ) -> Option<StepResult> {
        let unit = formula.gives.unit(system);
        let si = tree.value(&|symbol| self.find(symbol).1);
        let numbers = self.put_in(tree, unit, system);
        let shown = result_digits(calculated(&numbers, unit), formula.gives.digits.finer(extra))?;
        let close = (unit.to_si(shown.value) - si).abs() <= CLOSE * si.abs();
        close.then_some(StepResult { formula, numbers, si, shown, unit })
    }

    /// The tree with its numbers, giving the result in its unit, by the shortest way to it.
    pub(super) fn put_in(&self, expr: &Expr, unit: &'static Unit, system: UnitSystem) -> Expr {
        numbers_in(expr, unit, system, &|symbol| &self.find(symbol).2)
    }
}
