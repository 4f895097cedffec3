//! A calculation to be asked: what is given, the steps, and what could be misread.

use crate::course::Theme;
use crate::formula::{Formula, Line, Link, Symbol, Worked, Working};
use crate::page::Fig;
use crate::paper::band::{Rounding, reached};
use crate::paper::item::{Number, ScoredSlip, Stuff, Variant, Wrong};
use crate::paper::making::measured::measured;
use crate::quantity::{Shown, UnitSystem};

/// Two values nearer than this share of the greater are one to a learner.
const TOO_NEAR: f64 = 0.05;
/// A number within this share of the answer tells it.
pub(crate) const NEAR_THE_KEY: f64 = 0.02;

/// A calculation to be asked.
#[derive(Clone, Debug)]
pub(crate) struct Recipe {
    ask: String,
    starts: Vec<(&'static Symbol, f64, bool)>,
    steps: Vec<&'static Formula>,
    misreads: Vec<Misread>,
    methods: Option<Vec<&'static str>>,
    theme: Option<Theme>,
}

/// A number taken from the wrong place.
#[derive(Clone, Debug)]
struct Misread {
    id: &'static str,
    why: String,
    symbol: &'static Symbol,
    si: f64,
    /// Whether it is another quantity altogether: then the way is wrong, not only a number.
    other_quantity: bool,
}

impl Recipe {
    /// Begins with what is asked.
    pub(crate) fn new(ask: impl Into<String>) -> Self {
        let (starts, steps, misreads) = (Vec::new(), Vec::new(), Vec::new());
        Self { ask: ask.into(), starts, steps, misreads, methods: None, theme: None }
    }

    /// Gives a number, SI.
    #[must_use]
    pub(crate) fn given(self, symbol: &'static Symbol, si: f64) -> Self {
        self.start(symbol, si, false)
    }

    /// Gives a number, SI, saying whether it is an estimate.
    #[must_use]
    pub(crate) fn start(mut self, symbol: &'static Symbol, si: f64, estimated: bool) -> Self {
        self.starts.push((symbol, si, estimated));
        self
    }

    /// Adds a step.
    #[must_use]
    pub(crate) fn step(mut self, formula: &'static Formula) -> Self {
        self.steps.push(formula);
        self
    }

    /// Another value, SI, that could be taken for what is given.
    #[must_use]
    pub(crate) fn misread(
        mut self,
        id: &'static str,
        why: impl Into<String>,
        symbol: &'static Symbol,
        si: f64,
    ) -> Self {
        self.misreads.push(Misread { id, why: why.into(), symbol, si, other_quantity: false });
        self
    }

    /// Another quantity, SI, that could be taken for what is given: the radius for the circumference.
    #[must_use]
    pub(super) fn mistaken(
        self,
        id: &'static str,
        why: impl Into<String>,
        symbol: &'static Symbol,
        si: f64,
    ) -> Self {
        let mut recipe = self.misread(id, why, symbol, si);
        recipe.misreads.iter_mut().rev().take(1).for_each(|last| last.other_quantity = true);
        recipe
    }

    /// What the method marks are for, when not one for each step.
    #[must_use]
    pub(crate) fn methods(mut self, methods: &[&'static str]) -> Self {
        self.methods = Some(methods.to_vec());
        self
    }

    /// For which place of the learners' quiz it may be drawn.
    #[must_use]
    pub(crate) fn theme(self, theme: impl Into<Option<Theme>>) -> Self {
        Self { theme: theme.into(), ..self }
    }

    /// Whether it has a place in the learners' quiz.
    pub(super) fn has_theme(&self) -> bool {
        self.theme.is_some()
    }

    /// Worked out; none when it cannot be, or takes more digits than learners are asked for.
    fn work(&self, name: &str, system: UnitSystem) -> Option<Worked> {
        let begun = Working::new(name, "", system).kept();
        let begun = self.starts.iter().fold(begun, |working, (symbol, si, estimated)| {
            working.start(symbol, measured(symbol, *si, system), *estimated)
        });
        let worked = self.steps.iter().fold(begun, |working, formula| working.step(formula)).finish()?;
        let line = worked.answer();
        let usual = Shown::of(line.shown.value, line.formula.gives.digits);
        (usual.text == line.shown.text && line.shown.value > 0.0).then_some(worked)
    }

    /// As a question answered with a number; none when a slip cannot be told from the answer.
    pub(crate) fn number(&self, name: String, system: UnitSystem, about: &About) -> Option<Variant> {
        let worked = self.work(&name, system)?;
        let chain = worked.chain();
        let (accept, look) = (reached(&chain, Rounding::Attained), reached(&chain, Rounding::Outer));
        let line = worked.answer();
        let unit = line.unit;
        let methods: Vec<String> = match &self.methods {
            Some(methods) => methods.iter().map(|text| (*text).to_owned()).collect(),
            None => worked.lines.iter().map(|line| line.formula.title.to_lowercase()).collect(),
        };
        let count = u16::try_from(methods.len()).ok()?;
        let slips: Vec<ScoredSlip> = self
            .wrong(&worked, system)
            .into_iter()
            .map(|(wrong, chain)| ScoredSlip {
                accept: reached(&chain, Rounding::Attained),
                marks: if wrong.careless { count } else { count - 1 },
                wrong,
            })
            .collect();
        if slips.is_empty() || slips.iter().any(|slip| slip.accept.meets(look)) || gives_away(&worked) {
            return None;
        }
        let unit_mark = !names_its_unit(unit.symbol);
        let number = Number { unit, key: line.shown.clone(), accept, look, methods, unit_mark, slips };
        let ask = format!("{} {}", self.ask, asked(unit.symbol));
        Some(self.variant(name, ask, worked, Stuff::Number(number), about))
    }

    /// As a question answered by one of several numbers.
    pub(crate) fn choice(&self, name: String, system: UnitSystem, about: &About) -> Option<Variant> {
        let worked = self.work(&name, system)?;
        let line = worked.answer();
        let right = Wrong {
            id: String::new(),
            text: with_unit(&line.shown, line.unit.symbol),
            value: line.shown.value,
            why: String::new(),
            step: 0,
            careless: false,
        };
        let mut wrong: Vec<Wrong> = self.wrong(&worked, system).into_iter().map(|(wrong, _)| wrong).collect();
        let too_steep = line.unit.symbol == "°" && right.value > STEEPEST_CHOSEN;
        if wrong.len() < 2 || too_steep {
            return None;
        }
        widen(&mut wrong, &right, line);
        let digits = |text: &str| text.chars().filter(char::is_ascii_digit).count();
        // More digits on one option than on the others would be a clue.
        let alike = wrong.iter().all(|one| digits(&one.text) <= digits(&right.text) + 3);
        if !alike || gives_away(&worked) {
            return None;
        }
        let stuff = Stuff::Choice { right, wrong, sized: true };
        Some(self.variant(name, self.ask.clone(), worked, stuff, about))
    }

    fn variant(&self, name: String, ask: String, worked: Worked, stuff: Stuff, about: &About) -> Variant {
        let data = worked
            .given
            .iter()
            .filter(|given| worked.puts_in(given))
            .map(|given| {
                let value = Fig::new(given.shown.text.clone(), given.unit.symbol, given.estimated);
                (given.symbol.name.to_owned(), value)
            })
            .collect();
        let formula = worked.answer().formula;
        Variant {
            name,
            theme: self.theme,
            ease: about.ease,
            outcome: about.outcome.to_owned(),
            ask,
            data,
            drawing: None,
            works_out: Vec::new(),
            one_of: None,
            feedback: formula.why.to_owned(),
            source: formula.source.to_owned(),
            worked: Some(worked),
            told_steps: Vec::new(),
            stuff,
        }
    }

    /// What slips and misread numbers lead to, each with its working: none within 5 % of the answer or
    /// of another, none so far off that nobody would believe it.
    fn wrong(&self, worked: &Worked, system: UnitSystem) -> Vec<(Wrong, Vec<Link>)> {
        let line = worked.answer();
        let slips = worked.slip_answers().into_iter().filter_map(|slip| {
            let chain = worked.chain_with(&slip)?;
            let wrong = Wrong {
                id: slip.id.to_owned(),
                text: with_unit(&slip.answer, line.unit.symbol),
                value: slip.answer.value,
                why: slip.why.to_owned(),
                step: slip.step,
                careless: slip.of_unit,
            };
            Some((wrong, chain))
        });
        let misread = self.misreads.iter().filter_map(|misread| {
            let other = self.misread_working(misread, system)?;
            let answer = Shown::of(other.answer().shown.value, line.formula.gives.digits);
            let wrong = Wrong {
                id: misread.id.to_owned(),
                text: with_unit(&answer, line.unit.symbol),
                value: answer.value,
                why: misread.why.clone(),
                step: 0,
                careless: !misread.other_quantity,
            };
            Some((wrong, other.chain()))
        });
        let mut kept: Vec<(Wrong, Vec<Link>)> = Vec::new();
        for (wrong, chain) in slips.chain(misread).filter(|(wrong, _)| wrong.value > 0.0 && wrong.value < 1e6)
        {
            let apart = |other: f64| is_apart(wrong.value, other);
            if apart(line.shown.value) && kept.iter().all(|(other, _)| apart(other.value)) {
                kept.push((wrong, chain));
            }
        }
        kept
    }

    fn misread_working(&self, misread: &Misread, system: UnitSystem) -> Option<Worked> {
        self.starts.iter().find(|(symbol, ..)| *symbol == misread.symbol)?;
        let begun =
            self.starts.iter().fold(Working::new("", "", system), |working, (symbol, si, estimated)| {
                let taken =
                    if *symbol == misread.symbol { misread.si } else { measured(symbol, *si, system) };
                working.start(symbol, taken, *estimated)
            });
        self.steps.iter().fold(begun, |working, formula| working.step(formula)).finish()
    }
}

/// Steepest angle asked as a choice, degrees: nearer to upright three larger ones cannot be told apart.
const STEEPEST_CHOSEN: f64 = 60.0;
/// Wrong options wanted on either side of the right one, so that it can stand at every letter.
const ON_EITHER_SIDE: usize = 4;
/// Ends the name of a wrong option that is another one, or the right one, miscounted.
pub(crate) const AGAIN: &str = "-again";
/// How results are miscounted.
const MISCOUNTS: [(f64, &str); 6] = [
    (0.5, "halved the result"),
    (2.0, "doubled the result"),
    (1.5, "added half as much again"),
    (2.0 / 3.0, "took a third off"),
    (3.0, "counted the result three times"),
    (1.0 / 3.0, "took a third of the result"),
];

/// Adds what the usual slips come to when the result is miscounted as well, until there are enough below and above:
/// options that were all multiples of the right one would point at it.
fn widen(wrong: &mut Vec<Wrong>, right: &Wrong, line: &Line) {
    let bases: Vec<Wrong> = wrong.iter().chain([right]).cloned().collect();
    let most = if line.unit.symbol == "°" { 90.0 } else { 8.0 * right.value };
    for (factor, how) in MISCOUNTS {
        for base in &bases {
            let shown = Shown::of(base.value * factor, line.formula.gives.digits);
            let value = shown.value;
            let side = wrong.iter().filter(|one| (one.value < right.value) == (value < right.value)).count();
            let apart = wrong.iter().chain([right]).all(|one| is_apart(one.value, value));
            if !apart || side >= ON_EITHER_SIDE || value >= most || value <= right.value / 8.0 {
                continue;
            }
            let why = if base.why.is_empty() { how.to_owned() } else { format!("{}, and {how}", base.why) };
            let id = format!("{}{AGAIN}", if base.id.is_empty() { how } else { &base.id });
            let text = with_unit(&shown, line.unit.symbol);
            wrong.push(Wrong { id, text, value, why, step: base.step, careless: false });
        }
    }
}

/// What all questions of a family share.
#[derive(Clone, Copy, Debug)]
pub(crate) struct About {
    /// Share of learners expected to get it right: a judgement.
    pub ease: f64,
    /// What somebody who answers it can do.
    pub outcome: &'static str,
}

/// Whether two values are told apart.
pub(crate) fn is_apart(one: f64, other: f64) -> bool {
    (one - other).abs() > TOO_NEAR * one.abs().max(other.abs())
}

fn with_unit(shown: &Shown, unit: &str) -> String {
    Fig::new(shown.text.clone(), unit, false).text()
}

/// Units that the question names, since they belong to what is asked; naming them earns nothing.
fn names_its_unit(symbol: &str) -> bool {
    matches!(symbol, "" | ":1" | "°" | "%")
}

fn asked(symbol: &str) -> &'static str {
    match symbol {
        "" | ":1" => "Give a plain number, to three figures.",
        "°" => "Give it in degrees (°), to three figures.",
        "%" => "Give it in per cent (%), to three figures.",
        _ => "Give the value, to three figures, and its unit.",
    }
}

/// Whether a number given reads like the answer: then the answer could be copied off.
fn gives_away(worked: &Worked) -> bool {
    let key = worked.answer().shown.value;
    worked.given.iter().any(|given| (given.shown.value - key).abs() <= NEAR_THE_KEY * key.abs())
}
