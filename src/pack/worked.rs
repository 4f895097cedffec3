//! Worked examples as the templates see them.

use serde::Serialize;

use super::figure::Fig;
use crate::course::Course;
use crate::formula::{Given, Line, Worked};
use crate::print::{Markup, escape};
use crate::quantity::Unit;

/// A worked example.
#[derive(Clone, Debug, Serialize)]
pub struct WorkedSheet {
    pub title: String,
    pub ask: String,
    pub givens: Vec<GivenRow>,
    pub steps: Vec<StepRow>,
    pub answer: Fig,
    pub check: Option<String>,
}

/// A number given.
#[derive(Clone, Debug, Serialize)]
pub struct GivenRow {
    pub symbol: Markup,
    pub name: String,
    pub value: Fig,
}

/// A step with its margin note.
#[derive(Clone, Debug, Serialize)]
pub struct StepRow {
    pub line: Markup,
    pub note: Option<String>,
}

/// A formula on its own.
#[derive(Clone, Debug, Serialize)]
pub struct FormulaRow {
    pub name: String,
    pub line: Markup,
}

impl WorkedSheet {
    /// The sheet of a worked example.
    pub fn of(course: &Course, worked: &Worked) -> Self {
        Self {
            title: worked.title.clone(),
            ask: ask(course, worked),
            givens: worked.given.iter().map(given_row).collect(),
            steps: steps(worked),
            answer: answer(worked),
            check: None,
        }
    }
}

/// The steps, each with its reason and its likeliest slip.
pub fn steps(worked: &Worked) -> Vec<StepRow> {
    let slips = worked.slip_answers();
    worked
        .lines
        .iter()
        .enumerate()
        .map(|(place, line)| {
            let slip = slips.iter().find(|slip| slip.step == place);
            let usual = slip.map_or_else(String::new, |slip| {
                format!(" Usual slip: {}; that gives {}.", slip.why, with_unit(&slip.at_step.text, line.unit))
            });
            StepRow { line: step_markup(line), note: Some(format!("{}{usual}", line.formula.why)) }
        })
        .collect()
}

/// The answer as a figure.
pub fn answer(worked: &Worked) -> Fig {
    let line = worked.answer();
    Fig::new(
        line.shown.text.replace('-', "−"),
        line.unit.symbol,
        worked.given.iter().any(|given| given.estimated),
    )
}

/// What is asked, in one sentence.
pub fn ask(course: &Course, worked: &Worked) -> String {
    let vehicle =
        worked.vehicle.as_ref().and_then(|id| course.vehicles.iter().find(|vehicle| vehicle.id == *id));
    let slope = worked.slope.as_ref().and_then(|id| course.slopes.iter().find(|slope| slope.id == *id));
    let of = match (vehicle, slope) {
        (Some(vehicle), Some(slope)) => format!("{} on {}", vehicle.name, slope.name),
        (Some(vehicle), None) => vehicle.name.clone(),
        (None, Some(slope)) => slope.name.clone(),
        (None, None) => return format!("Find the {}.", worked.answer().formula.gives.name),
    };
    let gear = worked.gear.as_ref().map_or_else(String::new, |gear| format!(", in {gear}"));
    format!("{of}{gear}: find the {}.", worked.answer().formula.gives.name)
}

/// A number given, as a row.
pub fn given_row(given: &Given) -> GivenRow {
    let name = given.symbol.name;
    GivenRow {
        symbol: maths(name, given.symbol.math),
        name: name.to_owned(),
        value: Fig::new(given.shown.text.replace('-', "−"), given.unit.symbol, given.estimated),
    }
}

/// The formulas of some worked examples, each once, in the order met.
pub fn formulas(examples: &[&Worked]) -> Vec<FormulaRow> {
    let mut seen: Vec<&str> = Vec::new();
    let mut rows = Vec::new();
    for line in examples.iter().flat_map(|worked| &worked.lines) {
        if seen.contains(&line.formula.id) {
            continue;
        }
        seen.push(line.formula.id);
        let gives = line.formula.gives;
        let said = line.spoken.split(", which is ").next().unwrap_or_default();
        rows.push(FormulaRow {
            name: line.formula.title.to_owned(),
            line: maths(said, &format!("{} = {}", gives.math, line.letters)),
        });
    }
    rows
}

fn step_markup(line: &Line) -> Markup {
    let relation = if line.shown.exact { "=" } else { "approx" };
    Markup::trusted(format!(
        "#worked-line(alt: {}, ${} = {}$, $= {}$, ${relation} {}$)",
        escape::literal(&line.spoken),
        line.formula.gives.math,
        line.letters,
        line.numbers,
        result_markup(&line.shown.text, line.unit),
    ))
}

fn result_markup(digits: &str, unit: &Unit) -> String {
    match unit.symbol {
        "" | ":1" => digits.to_owned(),
        "°" => format!("{digits} degree"),
        symbol => format!("{digits} thin upright({})", escape::literal(symbol)),
    }
}

fn maths(alt: &str, body: &str) -> Markup {
    Markup::trusted(format!("#maths(alt: {}, ${body}$)", escape::literal(alt)))
}

/// Digits and unit in one text.
pub fn with_unit(digits: &str, unit: &Unit) -> String {
    Fig::new(digits.replace('-', "−"), unit.symbol, false).text()
}
