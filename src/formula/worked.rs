//! A worked example: what is given, each step with its numbers, the answer.

use super::{Expr, Formula, Part, Plain, Symbol, Typeset, Words, say};
use crate::quantity::{Shown, Unit, UnitSystem};

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
    /// The units it is worked in.
    pub(super) system: UnitSystem,
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

impl Line {
    pub(super) fn new(
        formula: &'static Formula,
        expr: &Expr,
        numbers: &Expr,
        si: f64,
        shown: Shown,
        unit: &'static Unit,
        system: UnitSystem,
    ) -> Self {
        let sign = if shown.exact { "=" } else { "≈" };
        let plain = format!("{} {sign} {}", say(numbers, &Plain), with_unit(&shown, unit));
        let spoken = format!(
            "{} is {}, which is {}, which is {}{}",
            formula.gives.name,
            say(expr, &Words),
            say(numbers, &Words),
            if shown.exact { "" } else { "about " },
            spoken_result(&shown, unit),
        );
        Self {
            formula,
            letters: say(expr, &Typeset),
            numbers: say(numbers, &Typeset),
            plain_letters: say(expr, &Plain),
            plain,
            spoken,
            si,
            shown,
            unit,
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
