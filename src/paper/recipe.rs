//! A calculation to be asked: what is given, the steps, and what could be misread.

use super::accept::{Interval, accepted};
use super::item::{Number, ScoredSlip, Stuff, Variant, Wrong};
use crate::formula::{Formula, Symbol, Worked, Working};
use crate::page::Fig;
use crate::quantity::{Shown, UnitSystem};

/// Two values nearer than this share of the greater are one to a learner.
const TOO_NEAR: f64 = 0.05;

/// A calculation to be asked.
#[derive(Clone, Debug)]
pub struct Recipe {
    ask: String,
    starts: Vec<(&'static Symbol, f64, bool)>,
    steps: Vec<&'static Formula>,
    misreads: Vec<Misread>,
    methods: Option<Vec<&'static str>>,
}

/// A number taken from the wrong place.
#[derive(Clone, Debug)]
struct Misread {
    id: &'static str,
    why: String,
    symbol: &'static Symbol,
    si: f64,
}

impl Recipe {
    /// Begins with what is asked.
    pub fn new(ask: impl Into<String>) -> Self {
        let (starts, steps, misreads) = (Vec::new(), Vec::new(), Vec::new());
        Self { ask: ask.into(), starts, steps, misreads, methods: None }
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

    /// Another value, SI, that could be taken for what is given.
    #[must_use]
    pub fn misread(
        mut self,
        id: &'static str,
        why: impl Into<String>,
        symbol: &'static Symbol,
        si: f64,
    ) -> Self {
        self.misreads.push(Misread { id, why: why.into(), symbol, si });
        self
    }

    /// What the method marks are for, when not one for each step.
    #[must_use]
    pub fn methods(mut self, methods: &[&'static str]) -> Self {
        self.methods = Some(methods.to_vec());
        self
    }

    /// Worked out; none when it cannot be, or takes more digits than learners are asked for.
    fn work(&self, name: &str, system: UnitSystem) -> Option<Worked> {
        let begun = Working::new(name, "", system);
        let begun = self
            .starts
            .iter()
            .fold(begun, |working, (symbol, si, estimated)| working.start(symbol, *si, *estimated));
        let worked = self.steps.iter().fold(begun, |working, formula| working.step(formula)).finish()?;
        let line = worked.answer();
        let usual = Shown::of(line.shown.value, line.formula.gives.digits);
        (usual.text == line.shown.text && line.shown.value > 0.0).then_some(worked)
    }

    /// As a question answered with a number; none when a slip cannot be told from the answer.
    pub fn number(&self, name: String, system: UnitSystem, about: &About) -> Option<Variant> {
        let worked = self.work(&name, system)?;
        let accept = accepted(&worked);
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
            .map(|wrong| ScoredSlip {
                accept: Interval::around(wrong.value, 3),
                marks: if wrong.careless { count } else { count - 1 },
                wrong,
            })
            .collect();
        if slips.is_empty() || slips.iter().any(|slip| slip.accept.meets(accept)) {
            return None;
        }
        let unit_mark = !matches!(unit.symbol, "" | ":1");
        let number =
            Number { unit, key: line.shown.clone(), accept, look: accept, methods, unit_mark, slips };
        let ask = format!("{} Give it {}.", self.ask, in_unit(unit.symbol));
        Some(Self::variant(name, ask, worked, Stuff::Number(number), about))
    }

    /// As a question answered by one of several numbers.
    pub fn choice(&self, name: String, system: UnitSystem, about: &About) -> Option<Variant> {
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
        let wrong = self.wrong(&worked, system);
        let digits = |text: &str| text.chars().filter(char::is_ascii_digit).count();
        // More digits on one option than on the others would be a clue.
        let alike = wrong.iter().all(|one| digits(&one.text) <= digits(&right.text) + 3);
        if wrong.len() < 2 || !alike {
            return None;
        }
        let stuff = Stuff::Choice { right, wrong, sized: true };
        Some(Self::variant(name, self.ask.clone(), worked, stuff, about))
    }

    fn variant(name: String, ask: String, worked: Worked, stuff: Stuff, about: &About) -> Variant {
        let data = worked
            .given
            .iter()
            .filter(|given| worked.puts_in(given))
            .map(|given| {
                let value = Fig::new(given.shown.text.replace('-', "−"), given.unit.symbol, given.estimated);
                (given.symbol.name.to_owned(), value)
            })
            .collect();
        let formula = worked.answer().formula;
        Variant {
            name,
            ease: about.ease,
            outcome: about.outcome.to_owned(),
            ask,
            data,
            drawing: None,
            feedback: formula.why.to_owned(),
            source: formula.source.to_owned(),
            worked: Some(worked),
            told_steps: Vec::new(),
            stuff,
        }
    }

    /// What slips and misread numbers lead to: none within 5 % of the answer or of another.
    fn wrong(&self, worked: &Worked, system: UnitSystem) -> Vec<Wrong> {
        let line = worked.answer();
        let shown = |value: f64| Shown::of(value, line.formula.gives.digits);
        let slips = worked.slip_answers().into_iter().map(|slip| Wrong {
            id: slip.id.to_owned(),
            text: with_unit(&slip.answer, line.unit.symbol),
            value: slip.answer.value,
            why: slip.why.to_owned(),
            step: slip.step,
            careless: slip.of_unit,
        });
        let misread = self.misreads.iter().filter_map(|misread| {
            let answer = shown(self.misread_value(misread, system)?);
            Some(Wrong {
                id: misread.id.to_owned(),
                text: with_unit(&answer, line.unit.symbol),
                value: answer.value,
                why: misread.why.clone(),
                step: 0,
                careless: true,
            })
        });
        let mut kept: Vec<Wrong> = Vec::new();
        for wrong in slips.chain(misread).filter(|wrong| wrong.value > 0.0 && wrong.value < 1e6) {
            let apart = |other: f64| is_apart(wrong.value, other);
            if apart(line.shown.value) && kept.iter().all(|other| apart(other.value)) {
                kept.push(wrong);
            }
        }
        kept
    }

    fn misread_value(&self, misread: &Misread, system: UnitSystem) -> Option<f64> {
        let mut other = self.clone();
        other.misreads.clear();
        let start = other.starts.iter_mut().find(|(symbol, ..)| *symbol == misread.symbol)?;
        start.1 = misread.si;
        let begun = Working::new("", "", system);
        let begun = other
            .starts
            .iter()
            .fold(begun, |working, (symbol, si, estimated)| working.start(symbol, *si, *estimated));
        let worked = other.steps.iter().fold(begun, |working, formula| working.step(formula)).finish()?;
        Some(worked.answer().shown.value)
    }
}

/// What all questions of a family share.
#[derive(Clone, Copy, Debug)]
pub struct About {
    /// Share of learners expected to get it right: a judgement.
    pub ease: f64,
    /// What somebody who answers it can do.
    pub outcome: &'static str,
}

/// Whether two values are told apart.
pub fn is_apart(one: f64, other: f64) -> bool {
    (one - other).abs() > TOO_NEAR * one.abs().max(other.abs())
}

fn with_unit(shown: &Shown, unit: &str) -> String {
    Fig::new(shown.text.replace('-', "−"), unit, false).text()
}

fn in_unit(symbol: &str) -> String {
    match symbol {
        "" | ":1" => "as a plain number".to_owned(),
        "°" => "in degrees (°)".to_owned(),
        "%" => "in per cent (%)".to_owned(),
        symbol => format!("in {symbol}"),
    }
}
