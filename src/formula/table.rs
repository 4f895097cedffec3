//! Numbers known while an example is worked: what is given, and the result of each step.

use super::conversion::{Printed, calculated, numbers_in};
use super::digits::result_digits;
use super::worked::Line;
use super::{Expr, Formula, Symbol};
use crate::quantity::{Shown, Unit, UnitSystem};

/// Greatest distance of a printed result from the full-precision one, as a share of it.
const CLOSE: f64 = 0.004;

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

    pub(super) fn work(&self, formula: &'static Formula, system: UnitSystem, extra: u8) -> Option<Line> {
        let expr = formula.expr();
        let unit = formula.gives.unit(system);
        let si = expr.value(&|symbol| self.find(symbol).1);
        let numbers = self.put_in(&expr, unit, system);
        let shown = result_digits(calculated(&numbers, unit), formula.gives.digits.finer(extra))?;
        let close = (unit.to_si(shown.value) - si).abs() <= CLOSE * si.abs();
        close.then(|| Line::new(formula, &expr, &numbers, si, shown, unit, system))
    }

    /// The tree with its numbers, giving the result in its unit, by the shortest way to it.
    pub(super) fn put_in(&self, expr: &Expr, unit: &'static Unit, system: UnitSystem) -> Expr {
        numbers_in(expr, unit, system, &|symbol| &self.find(symbol).2)
    }
}
