//! A worked example: what is given, each step with its numbers, the answer.
//!
//! Every printed line can be redone on a pocket calculator: its left side uses only the numbers
//! printed there, and gives the printed result to its last digit. Digits are added until each
//! printed result is also within [`CLOSE`] of the full-precision one.

use super::conversion::{Printed, calculated, numbers_in};
use super::digits::{Extra, given_digits, result_digits};
use super::{Expr, Formula, Part, Plain, Slip, Symbol, Typeset, Words, say};
use crate::quantity::{Shown, Unit, UnitSystem};

/// Greatest distance of a printed result from the full-precision one, as a share of it.
pub(super) const CLOSE: f64 = 0.004;
/// A slip this near the right answer, or another slip's, teaches nothing: as a share.
const TOO_NEAR: f64 = 0.05;
/// A number given to start from.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// What it is.
    pub symbol: &'static Symbol,
    /// Full value, SI.
    pub si: f64,
    /// As printed.
    pub shown: Shown,
    /// The unit printed.
    pub unit: &'static Unit,
    /// Whether it is an estimate.
    pub estimated: bool,
}

/// One step: a formula with its numbers put in.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The formula.
    pub formula: &'static Formula,
    /// Right-hand side with letters, as typeset mathematics.
    pub letters: String,
    /// Right-hand side with numbers, as typeset mathematics.
    pub numbers: String,
    /// Right-hand side with letters, as plain text.
    pub plain_letters: String,
    /// `numbers = result unit`, as plain text.
    pub plain: String,
    /// The whole step in words.
    pub spoken: String,
    /// Full value, SI.
    pub si: f64,
    /// The result as printed.
    pub shown: Shown,
    /// The unit printed.
    pub unit: &'static Unit,
    numbers_put_in: Expr,
    /// The units it is worked in.
    pub(super) system: UnitSystem,
}

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

/// A worked example.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// Name in the machine's view.
    pub id: String,
    /// Name on a page.
    pub title: String,
    /// The slope it is about.
    pub slope: Option<String>,
    /// The vehicle it is about.
    pub vehicle: Option<String>,
    /// The gear it is about.
    pub gear: Option<String>,
    /// Where a workbook prints it unasked.
    pub part: Option<Part>,
    /// What is given.
    pub given: Vec<Given>,
    /// The steps.
    pub lines: Vec<Line>,
}

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
        let works = |extra: &Extra| self.with_extra(extra).is_some();
        let extra = Extra::ways(self.starts.len(), self.steps.len()).find(works)?;
        self.with_extra(&extra.pruned(works))
    }

    fn with_extra(&self, extra: &Extra) -> Option<Worked> {
        let mut worked = self.worked.clone();
        let (mut table, mut unrounded) = (Table::default(), Table::default());
        let mut last = None;
        for (&(symbol, si, estimated), &extra) in self.starts.iter().zip(&extra.given) {
            let unit = symbol.unit(self.system);
            let shown = given_digits(unit.from_si(si), symbol.digits, extra);
            table.put(symbol, si, &shown, unit);
            unrounded.put(symbol, si, &shown, unit);
            worked.given.push(Given { symbol, si, shown, unit, estimated });
        }
        for (formula, &extra) in self.steps.iter().zip(&extra.results) {
            let line = table.work(formula, self.system, extra)?;
            let value = calculated(&unrounded.put_in(&formula.expr(), line.unit, self.system), line.unit);
            table.put(formula.gives, line.si, &line.shown, line.unit);
            unrounded.put(formula.gives, line.si, &Shown { value, ..line.shown.clone() }, line.unit);
            last = Some(result_digits(value, formula.gives.digits.finer(extra))?.text);
            worked.lines.push(line);
        }
        let agrees = worked.lines.last().is_none_or(|line| last.as_ref() == Some(&line.shown.text));
        (agrees || !self.kept).then_some(worked)
    }
}

/// What is known so far: full value and printed number of each symbol.
#[derive(Default)]
struct Table(Vec<(&'static Symbol, f64, Printed)>);

impl Table {
    fn put(&mut self, symbol: &'static Symbol, si: f64, shown: &Shown, unit: &'static Unit) {
        self.0.push((symbol, si, Printed::of(shown, unit)));
    }

    fn find(&self, symbol: &Symbol) -> &(&'static Symbol, f64, Printed) {
        self.0
            .iter()
            .rev()
            .find(|(known, ..)| *known == symbol)
            .unwrap_or_else(|| panic!("nothing gives `{}` before it is used", symbol.id))
    }

    fn work(&self, formula: &'static Formula, system: UnitSystem, extra: u8) -> Option<Line> {
        let expr = formula.expr();
        let unit = formula.gives.unit(system);
        let si = expr.value(&|symbol| self.find(symbol).1);
        let numbers = self.put_in(&expr, unit, system);
        let shown = result_digits(calculated(&numbers, unit), formula.gives.digits.finer(extra))?;
        let close = (unit.to_si(shown.value) - si).abs() <= CLOSE * si.abs();
        close.then(|| Line::new(formula, &expr, numbers, si, shown, unit, system))
    }

    /// The tree with its numbers, giving the result in its unit, by the shortest way to it.
    fn put_in(&self, expr: &Expr, unit: &'static Unit, system: UnitSystem) -> Expr {
        numbers_in(expr, unit, system, &|symbol| &self.find(symbol).2)
    }
}

impl Line {
    fn new(
        formula: &'static Formula,
        expr: &Expr,
        numbers: Expr,
        si: f64,
        shown: Shown,
        unit: &'static Unit,
        system: UnitSystem,
    ) -> Self {
        let sign = if shown.exact { "=" } else { "≈" };
        let plain = format!("{} {sign} {}", say(&numbers, &Plain), with_unit(&shown, unit));
        let spoken = format!(
            "{} is {}, which is {}, which is {}{}",
            formula.gives.name,
            say(expr, &Words),
            say(&numbers, &Words),
            if shown.exact { "" } else { "about " },
            spoken_result(&shown, unit),
        );
        Self {
            formula,
            letters: say(expr, &Typeset),
            numbers: say(&numbers, &Typeset),
            plain_letters: say(expr, &Plain),
            plain,
            spoken,
            si,
            shown,
            unit,
            numbers_put_in: numbers,
            system,
        }
    }

    /// The unit as it stands after the result; none after a ratio.
    pub fn unit_text(&self) -> &'static str {
        line_unit(self.unit)
    }
}

impl Worked {
    /// The last step, whose result is the answer.
    ///
    /// # Panics
    /// When it has no step: a fault of the program.
    pub fn answer(&self) -> &Line {
        self.lines.last().expect("a worked example has a step")
    }

    /// Only what its answer needs: without steps, and numbers given, that lead elsewhere.
    #[must_use]
    pub fn direct(&self) -> Self {
        let mut direct = self.clone();
        let mut needed: Vec<&'static Symbol> = vec![self.answer().formula.gives];
        direct.lines.clear();
        for line in self.lines.iter().rev() {
            if needed.contains(&line.formula.gives) {
                needed.extend(line.formula.takes);
                direct.lines.insert(0, line.clone());
            }
        }
        direct.given.retain(|given| needed.contains(&given.symbol));
        direct
    }

    /// Whether a number given stands in one of its lines.
    pub fn puts_in(&self, given: &Given) -> bool {
        let digits = &given.shown.text;
        let takes = |line: &&Line| line.formula.takes.contains(&given.symbol);
        self.lines.iter().filter(takes).any(|line| line.plain.contains(digits))
    }

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

fn line_unit(unit: &Unit) -> &'static str {
    if unit.is_bare() { "" } else { unit.symbol }
}

fn with_unit(shown: &Shown, unit: &Unit) -> String {
    unit.behind(&shown.text)
}

fn spoken_result(shown: &Shown, unit: &Unit) -> String {
    let digits = shown.text.replace('−', "minus ");
    let spoken = if shown.text == "1" { unit.spoken.0 } else { unit.spoken.1 };
    if spoken.is_empty() { digits } else { format!("{digits} {spoken}") }
}

#[cfg(test)]
#[expect(unreachable_pub, reason = "the macros make public items")]
mod tests {
    use super::*;
    use crate::formula::{Algebra, Bend, formula, line_holds, symbols};
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
