//! A worked example as a calculator meets it: a tree a step, with a place for each earlier result.

use super::conversion::{Printed, numbers_in};
use super::{Expr, Slip, SlipAnswer, Symbol, Worked};
use crate::quantity::ToSi;

/// One step: its tree with the numbers given, in the unit of its result. The place of an earlier
/// result is a number whose text is that result's letter and whose value is not a number.
#[derive(Clone, Debug)]
pub struct Link {
    /// What is worked.
    pub tree: Expr,
    /// Name of what it gives.
    pub gives: &'static str,
    /// Whether the result is an angle, shown in degrees.
    pub in_degrees: bool,
}

impl Worked {
    /// Its steps.
    pub fn chain(&self) -> Vec<Link> {
        self.linked(None).expect("the right formulas are not bent")
    }

    /// Its steps with a slip made on the way; none when the slip cannot be made there.
    pub fn chain_with(&self, made: &SlipAnswer) -> Option<Vec<Link>> {
        let slip = self.lines[made.step].formula.slips.iter().find(|slip| slip.id == made.id)?;
        self.linked(Some((made.step, slip)))
    }

    fn linked(&self, bent: Option<(usize, &Slip)>) -> Option<Vec<Link>> {
        let mut known: Vec<(&'static Symbol, Printed)> =
            self.given.iter().map(|given| (given.symbol, Printed::of(&given.shown, given.unit))).collect();
        let mut links = Vec::new();
        for (place, line) in self.lines.iter().enumerate() {
            let expr = match bent {
                Some((step, slip)) if step == place => line.formula.bent(slip)?,
                _ => line.formula.expr(),
            };
            let find = |symbol: &'static Symbol| {
                let found = known.iter().rev().find(|(one, _)| *one == symbol);
                &found.unwrap_or_else(|| panic!("nothing gives `{}` before it is used", symbol.id)).1
            };
            let tree = numbers_in(&expr, line.unit, line.system, &find);
            let gives = line.formula.gives;
            links.push(Link { tree, gives: gives.id, in_degrees: line.unit.to_si == ToSi::Degrees });
            known.push((gives, Printed::place(gives, line.unit)));
        }
        Some(links)
    }
}
