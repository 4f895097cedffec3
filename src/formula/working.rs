//! A worked example being put together, with as few digits as keep every line true.
//!
//! Every printed line can be redone on a pocket calculator: its left side uses only the numbers
//! printed there, and gives the printed result to its last digit. Digits are added until each
//! printed result is also within 0.4 % of the full-precision one.

use super::conversion::calculated;
use super::digits::{Extra, given_digits, result_digits};
use super::table::{StepResult, Table};
use super::{Expr, Formula, Given, Part, Symbol, Worked};
use crate::quantity::{Shown, UnitSystem};

/// A worked example being put together.
#[derive(Clone, Debug)]
pub struct Working {
    worked: Worked,
    system: UnitSystem,
    starts: Vec<(&'static Symbol, f64, bool)>,
    steps: Vec<&'static Formula>,
    kept: bool,
}

impl Working {
    /// Begins a worked example.
    pub fn new(id: &str, title: impl Into<String>, system: UnitSystem) -> Self {
        let worked = Worked {
            id: id.to_owned(),
            title: title.into(),
            slope: None,
            vehicle: None,
            gear: None,
            part: None,
            given: Vec::new(),
            lines: Vec::new(),
        };
        Self { worked, system, starts: Vec::new(), steps: Vec::new(), kept: false }
    }

    /// Says which slope it is about.
    #[must_use]
    pub fn slope(mut self, id: &str) -> Self {
        self.worked.slope = Some(id.to_owned());
        self
    }

    /// Says which vehicle it is about.
    #[must_use]
    pub fn vehicle(mut self, id: &str) -> Self {
        self.worked.vehicle = Some(id.to_owned());
        self
    }

    /// Says which gear it is about.
    #[must_use]
    pub fn gear(mut self, gear: impl Into<String>) -> Self {
        self.worked.gear = Some(gear.into());
        self
    }

    /// Says where a workbook prints it.
    #[must_use]
    pub fn part(mut self, part: Part) -> Self {
        self.worked.part = Some(part);
        self
    }

    /// Gives a number, SI.
    #[must_use]
    pub fn given(self, symbol: &'static Symbol, si: f64) -> Self {
        self.start(symbol, si, false)
    }

    /// Gives a number, SI, saying whether it is an estimate.
    #[must_use]
    pub fn start(mut self, symbol: &'static Symbol, si: f64, estimated: bool) -> Self {
        self.starts.push((symbol, si, estimated));
        self
    }

    /// Adds a step.
    #[must_use]
    pub fn step(mut self, formula: &'static Formula) -> Self {
        self.steps.push(formula);
        self
    }

    /// Asks for an answer that is also the one of somebody who rounds nothing on the way: digits are added to the
    /// steps before it until it is.
    #[must_use]
    pub fn kept(self) -> Self {
        Self { kept: true, ..self }
    }

    /// Works it out with as few digits as keep every line true.
    ///
    /// None when no sensible number of digits does, as where a result is the small difference of
    /// great numbers; such an example teaches nothing and is left out.
    ///
    /// # Panics
    /// When a step takes a symbol that nothing before it gives: a fault of the program.
    pub fn finish(self) -> Option<Worked> {
        let trees: Vec<Expr> = self.steps.iter().map(|formula| formula.expr()).collect();
        let works = |extra: &Extra| self.results(&trees, extra).is_some();
        let extra = Extra::ways(self.starts.len(), self.steps.len()).find(works)?.pruned(works);
        let results = self.results(&trees, &extra)?;
        let given = self.givens(&extra).collect();
        // Lines are written once the digits are known: most tries only ask whether they hold.
        let lines = results.into_iter().zip(&trees).map(|(result, tree)| result.line(tree, self.system));
        Some(Worked { given, lines: lines.collect(), ..self.worked })
    }

    fn givens(&self, extra: &Extra) -> impl Iterator<Item = Given> {
        self.starts.iter().zip(&extra.given).map(|(&(symbol, si, estimated), &extra)| {
            let unit = symbol.unit(self.system);
            let shown = given_digits(unit.from_si(si), symbol.digits, extra);
            Given { symbol, si, shown, unit, estimated }
        })
    }

    /// The result of each step, `trees` their right-hand sides; none where a printed line would not be true.
    fn results(&self, trees: &[Expr], extra: &Extra) -> Option<Vec<StepResult>> {
        let mut table = Table::default();
        let mut unrounded = self.kept.then(Table::default);
        for given in self.givens(extra) {
            for table in std::iter::once(&mut table).chain(&mut unrounded) {
                table.put(given.symbol, given.si, &given.shown, given.unit);
            }
        }
        let (mut last, mut results) = (None, Vec::with_capacity(trees.len()));
        for ((formula, tree), &extra) in self.steps.iter().zip(trees).zip(&extra.results) {
            let result = table.work(formula, tree, self.system, extra)?;
            table.put(formula.gives, result.si, &result.shown, result.unit);
            if let Some(unrounded) = &mut unrounded {
                let value = calculated(&unrounded.put_in(tree, result.unit, self.system), result.unit);
                let shown = Shown { value, ..result.shown.clone() };
                unrounded.put(formula.gives, result.si, &shown, result.unit);
                last = Some(result_digits(value, formula.gives.digits.finer(extra))?.text);
            }
            results.push(result);
        }
        let agrees = results.last().is_none_or(|result| last.as_ref() == Some(&result.shown.text));
        (agrees || !self.kept).then_some(results)
    }
}

#[cfg(test)]
#[expect(unreachable_pub, reason = "the macros make public items")]
mod tests {
    use super::*;
    use crate::formula::{Algebra, Bend, Slip, formula, line_holds, symbols};
    use crate::quantity::Digits::Significant;

    symbols! {
        CIRCUMFERENCE = "C", "C", "C", "rolling circumference", LENGTH, METRE, FOOT, Significant(4);
        SPIN = "n", "n", "n", "engine speed", RATE, RPM, RPM, Significant(3);
        RATIO = "i", "i", "i", "overall ratio", NONE, TO_ONE, TO_ONE, Significant(3);
        SPEED = "v", "v", "v", "creep speed", SPEED, KM_PER_HOUR, MILE_PER_HOUR, Significant(3);
    }

    fn creep<A: Algebra>(circumference: A, spin: A, ratio: A) -> A {
        circumference * spin / ratio
    }

    formula! {
        CREEP = creep as (a: CIRCUMFERENCE, b: SPIN, c: RATIO) => SPEED;
        id: "creep",
        title: "Creep speed",
        why: "One turn of the wheel is one circumference.",
        source: "definition",
        slips: [
            Slip { id: "no-ratio", why: "left the gearing out", bend: Bend::LeftOut(&RATIO) },
            Slip { id: "halved", why: "halved it", bend: Bend::Whole(|right| right / Expr::num(2.0)) },
        ],
    }

    fn worked(system: UnitSystem) -> Worked {
        Working::new("creep", "Creep", system)
            .given(&CIRCUMFERENCE, 2.4485)
            .given(&SPIN, 750.0 / 60.0)
            .given(&RATIO, 44.608)
            .step(&CREEP)
            .finish()
            .expect("plain numbers work out")
    }

    #[test]
    fn a_line_prints_what_a_calculator_gives() {
        let worked = worked(UnitSystem::Metric);
        let line = worked.answer();
        assert_eq!(line.plain, "2.4485 × (750 ÷ 60) ÷ 44.608 × 3.6 ≈ 2.47 km/h");
        assert_eq!(line_holds(&line.plain), Ok(true));
        assert!((line.si - creep(2.4485, 12.5, 44.608)).abs() < 1e-12);
        assert_eq!(line.plain_letters, "C × n ÷ i");
        assert_eq!(line.letters, "frac(C thin n, i)");
    }

    #[test]
    fn every_letter_of_the_example_is_used() {
        assert_eq!(CREEP.expr().symbols().len() + 1, ALL.len());
    }

    #[test]
    fn imperial_lines_hold_too() {
        let line = worked(UnitSystem::Imperial).answer().plain.clone();
        assert_eq!(line_holds(&line), Ok(true), "{line}");
        assert!(line.ends_with("mph"), "{line}");
    }

    #[test]
    fn slips_lead_to_named_wrong_answers() {
        let wrong = worked(UnitSystem::Metric).wrong_options();
        let names: Vec<_> = wrong.iter().map(|slip| slip.id).collect();
        assert_eq!(names, ["no-ratio", "halved"]);
        assert_eq!(wrong[1].answer.text, "1.24");
    }

    #[test]
    fn the_step_is_spoken_with_its_units() {
        let spoken = &worked(UnitSystem::Metric).answer().spoken.clone();
        assert!(
            spoken.starts_with("creep speed is rolling circumference times engine speed divided by"),
            "{spoken}"
        );
        assert!(spoken.ends_with("which is about 2.47 kilometres per hour"), "{spoken}");
    }
}
