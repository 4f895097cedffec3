//! Worked examples as the templates see them.

use serde::Serialize;

use crate::course::{Course, capital};
use crate::engine::symbols::GRAVITY_ACCELERATION;
use crate::formula::{Given, Line, Symbol, Worked};
use crate::page::figure::Fig;
use crate::page::words::named;
use crate::print::{Markup, escape};
use crate::quantity::{Dim, ToSi, Unit, UnitSystem, units, units_of, way_of};

/// A worked example.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct WorkedSheet {
    pub title: String,
    pub ask: String,
    pub givens: Vec<GivenRow>,
    pub steps: Vec<StepRow>,
    pub answer: Fig,
    pub check: Option<String>,
}

/// A number given.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct GivenRow {
    pub symbol: Markup,
    pub name: String,
    pub value: Fig,
}

/// A step with its margin note.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct StepRow {
    pub line: Markup,
    pub note: Option<String>,
}

/// Everything a learner may look up while working: formulas, their letters, the units.
#[derive(Clone, Debug, Serialize)]
pub struct FormulaSheet {
    pub formulae: Vec<FormulaRow>,
    pub letters: Vec<LetterRow>,
    pub units: Vec<String>,
}

/// What a letter stands for.
#[derive(Clone, Debug, Serialize)]
pub struct LetterRow {
    pub symbol: Markup,
    pub name: String,
    pub unit: String,
}

/// A formula on its own.
#[derive(Clone, Debug, Serialize)]
pub struct FormulaRow {
    pub name: String,
    pub line: Markup,
}

impl WorkedSheet {
    /// The sheet of a worked example.
    pub(crate) fn of(course: &Course, worked: &Worked) -> Self {
        Self {
            title: worked.title.clone(),
            ask: ask(course, worked),
            givens: worked.given.iter().filter(|given| worked.puts_in(given)).map(given_row).collect(),
            steps: steps(worked),
            answer: answer(worked),
            check: None,
        }
    }
}

/// The steps, each with its reason and its likeliest slip.
pub(crate) fn steps(worked: &Worked) -> Vec<StepRow> {
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
            let pounds =
                if in_pounds(line) { " What weighs W lb has m g = W lbf: the number of pounds." } else { "" };
            StepRow { line: step_markup(line), note: Some(format!("{}{pounds}{usual}", line.formula.why)) }
        })
        .collect()
}

/// The answer as a figure.
pub(crate) fn answer(worked: &Worked) -> Fig {
    let line = worked.answer();
    Fig::new(line.shown.text.clone(), line.unit.symbol, worked.given.iter().any(|given| given.estimated))
}

/// What is asked, in one sentence.
pub(crate) fn ask(course: &Course, worked: &Worked) -> String {
    let vehicle =
        worked.vehicle.as_ref().and_then(|id| course.vehicles.iter().find(|vehicle| vehicle.id == *id));
    let slope = worked.slope.as_ref().and_then(|id| course.slopes.iter().find(|slope| slope.id == *id));
    let of = match (vehicle, slope) {
        (Some(vehicle), Some(slope)) => format!("{}, on {}", named(course, vehicle), slope.name),
        (Some(vehicle), None) => named(course, vehicle),
        (None, Some(slope)) => slope.name.short(),
        (None, None) => return format!("Find {}.", asked_for(worked)),
    };
    let gear = worked.gear.as_ref().map_or_else(String::new, |gear| format!(", in {gear}"));
    capital(&format!("{of}{gear}: find {}.", asked_for(worked)))
}

/// What is to be found, in the middle of a sentence: `the creep speed`, `what the gear holds`.
fn asked_for(worked: &Worked) -> String {
    let name = worked.answer().formula.gives.name;
    if name.starts_with("what ") { name.to_owned() } else { format!("the {name}") }
}

/// Whether a line takes a weight in pounds for mass times gravity.
fn in_pounds(line: &Line) -> bool {
    [&units::POUND_FORCE, &units::FOOT_POUND, &units::BTU].contains(&line.unit)
        && line.formula.takes.contains(&&GRAVITY_ACCELERATION)
        && !line.plain.contains("32.2")
}

/// A number given, as a row.
pub(crate) fn given_row(given: &Given) -> GivenRow {
    let name = given.symbol.name;
    GivenRow {
        symbol: maths(name, given.symbol.math),
        name: name.to_owned(),
        value: Fig::new(given.shown.text.clone(), given.unit.symbol, given.estimated),
    }
}

/// The formulas of some worked examples, each once, in the order met.
pub(crate) fn formulas(examples: &[&Worked]) -> Vec<FormulaRow> {
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
            line: maths(said, &format!("{} = {}{}", gives.math, line.letters, to_per_cent(line))),
        });
    }
    rows
}

/// The factor that makes per cent of a share.
fn to_per_cent(line: &Line) -> &'static str {
    if *line.unit == units::PERCENT && line.plain.contains("× 100") { " times 100" } else { "" }
}

/// Formulas, letters and units of some worked examples.
pub(crate) fn formula_sheet(examples: &[&Worked], system: UnitSystem) -> FormulaSheet {
    let lines = || examples.iter().flat_map(|worked| &worked.lines);
    let mut symbols: Vec<&'static Symbol> = Vec::new();
    for symbol in
        lines().flat_map(|line| std::iter::once(line.formula.gives).chain(line.formula.takes.iter().copied()))
    {
        if !symbols.contains(&symbol) {
            symbols.push(symbol);
        }
    }
    let letters = symbols.iter().map(|symbol| LetterRow {
        symbol: maths(symbol.name, symbol.math),
        name: symbol.name.to_owned(),
        unit: symbol.unit(system).symbol.to_owned(),
    });
    FormulaSheet {
        formulae: formulas(examples),
        letters: letters.collect(),
        units: conversions(&symbols, system),
    }
}

/// How the units of these letters are changed, and what else a learner must know of them.
fn conversions(symbols: &[&'static Symbol], system: UnitSystem) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    // What a per cent is stands above the list.
    let units = symbols.iter().map(|symbol| symbol.unit(system)).filter(|unit| **unit != units::PERCENT);
    for text in units.filter_map(|unit| change_of(unit, system)) {
        if !said.contains(&text) {
            said.push(text);
        }
    }
    let more: &[&str] = match system {
        UnitSystem::Metric => &[],
        UnitSystem::Imperial => &[
            WEIGHT_AND_MASS,
            "F° = Fahrenheit degrees by which something gets warmer, not a reading of the scale",
        ],
    };
    said.extend(more.iter().map(|text| (*text).to_owned()));
    said
}

/// What an imperial page says of pounds.
pub(crate) const WEIGHT_AND_MASS: &str =
    "What weighs W lb has m g = W lbf; where m stands without g, m = W ÷ 32.2, with g = 32.2 ft/s²";

/// `1 mph = 1.467 ft/s`: how a unit is changed into the one that lines of this system are worked in; none for a unit
/// that needs no changing, and for pounds, of which [`WEIGHT_AND_MASS`] speaks.
pub(crate) fn change_of(unit: &Unit, system: UnitSystem) -> Option<String> {
    let same = |other: &&Unit| matches!(way_of(other, system), ToSi::Same) && is_of(other, system);
    let coherent =
        units_of(unit.dim).find(same).map(|unit| unit.symbol).filter(|symbol| !symbol.is_empty())?;
    match way_of(unit, system) {
        _ if *unit == units::POUND => None,
        ToSi::Times(_, factor) => Some(format!("1 {} = {factor} {coherent}", unit.symbol)),
        ToSi::Over(_, divisor) => Some(format!("1 {coherent} = {divisor} {}", unit.symbol)),
        _ => None,
    }
}

/// Whether a unit belongs to a system: the coherent units of the other one are not named.
fn is_of(unit: &Unit, system: UnitSystem) -> bool {
    system == UnitSystem::Metric || !matches!(unit.to_si, ToSi::Same) || unit.dim == Dim::RATE
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
    match unit.to_si {
        _ if unit.is_bare() => digits.to_owned(),
        ToSi::Degrees => format!("{digits} degree"),
        _ => format!("{digits} thin upright({})", escape::literal(unit.symbol)),
    }
}

fn maths(alt: &str, body: &str) -> Markup {
    Markup::trusted(format!("#maths(alt: {}, ${body}$)", escape::literal(alt)))
}

/// Digits and unit in one text.
pub(crate) fn with_unit(digits: &str, unit: &Unit) -> String {
    unit.behind(digits)
}
