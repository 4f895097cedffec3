//! The question paper and its answer sheet. Nothing of the key is in either.

use serde::Serialize;

use super::facts::conversions;
use super::{Edition, Issue, Named, capital, hex};
use crate::formula::Worked;
use crate::page::Meta;
use crate::page::worked::{FormulaSheet, formula_sheet};
use crate::paper::form::Form;
use crate::paper::item::{Body, Drawing, Number, Question, letter};

/// A question paper.
#[derive(Serialize)]
pub struct PaperSheet {
    pack: Meta,
    paper: Front,
    edition: Edition,
    tint: String,
    items: Vec<Item>,
    formulas: Option<FormulaSheet>,
}

#[derive(Serialize)]
struct Front {
    code: String,
    title: String,
    minutes: String,
    total: String,
    pass: String,
    /// Whether a question needs π.
    pi: bool,
    /// Whether a unit earns a mark.
    units: bool,
    count: String,
    allowed: Vec<&'static str>,
    /// How units change into one another.
    facts: Vec<String>,
    /// How to appeal, and when to sit again.
    rules: [String; 2],
}

/// A question as printed.
#[derive(Serialize)]
pub(crate) struct Item {
    no: String,
    kind: &'static str,
    text: String,
    data: Vec<Named>,
    drawing: Option<Drawn>,
    options: Vec<Printed>,
    lines: usize,
    unit: String,
    marks: String,
}

#[derive(Serialize)]
struct Printed {
    letter: String,
    text: String,
}

/// A drawing to read; its alternative text says what is drawn, never what is asked.
#[derive(Serialize)]
struct Drawn {
    kind: &'static str,
    rise: f64,
    run: f64,
    unit: &'static str,
    gears: Vec<Mark>,
    alt: String,
}

#[derive(Serialize)]
struct Mark {
    name: String,
    speed: f64,
}

impl PaperSheet {
    /// The paper of a form.
    pub fn of(issue: &Issue, form: &Form, edition: Edition) -> Self {
        let title = format!("{} {}", issue.course.papers.title, form.code);
        let file = format!("paper-{}", form.code.to_lowercase());
        Self {
            pack: issue.meta(&title, "candidates", &file),
            paper: front(issue, form),
            edition,
            tint: hex(issue.course.papers.tint),
            items: (1..).zip(&form.questions).map(|(no, question)| item(no, question)).collect(),
            formulas: issue.course.papers.formulas.then(|| formulas(issue, form)),
        }
    }
}

/// The formulas of a form's calculations, by name, so that their order tells nothing.
fn formulas(issue: &Issue, form: &Form) -> FormulaSheet {
    let mut worked: Vec<&Worked> =
        form.questions.iter().filter_map(|question| question.variant.worked.as_ref()).collect();
    worked.sort_by_key(|worked| worked.answer().formula.id);
    formula_sheet(&worked, issue.course.units)
}

fn front(issue: &Issue, form: &Form) -> Front {
    let blueprint = &issue.course.papers;
    Front {
        code: form.code.clone(),
        title: blueprint.title.short(),
        minutes: format!("{} min", blueprint.minutes),
        total: form.total().to_string(),
        pass: super::pass_said(blueprint),
        pi: form.needs_pi(),
        units: form
            .questions
            .iter()
            .any(|question| matches!(&question.body, Body::Number(one) if one.unit_mark)),
        count: form.questions.len().to_string(),
        allowed: vec!["pocket calculator set to degrees", "pencil, ruler"],
        facts: conversions(form, issue.course.units),
        rules: [blueprint.appeal.clone(), blueprint.resit.clone()],
    }
}

/// The question with this number, from 1.
pub(crate) fn item(no: usize, question: &Question) -> Item {
    let printed = |texts: Vec<&String>| -> Vec<Printed> {
        (0..)
            .zip(texts)
            .map(|(at, text)| Printed { letter: letter(at).to_string(), text: text.clone() })
            .collect()
    };
    let (kind, options, lines, unit) = match &question.body {
        Body::Number(number) => ("number", Vec::new(), 1 + 2 * number.methods.len(), unit_box(number)),
        Body::Choice(options) => {
            let lines =
                if question.variant.worked.is_some() || !question.variant.data.is_empty() { 3 } else { 0 };
            ("choice", printed(options.iter().map(|option| &option.text).collect()), lines, String::new())
        }
        Body::Order { steps, .. } => ("order", printed(steps.iter().collect()), 0, String::new()),
        Body::Truth { reasons, .. } => {
            ("truth", printed(reasons.iter().map(|option| &option.text).collect()), 0, String::new())
        }
    };
    Item {
        no: no.to_string(),
        kind,
        text: capital(&question.variant.ask),
        data: question
            .variant
            .data
            .iter()
            .map(|(name, value)| Named { name: name.clone(), value: value.clone() })
            .collect(),
        drawing: question.variant.drawing.as_ref().map(drawn),
        options,
        lines,
        unit,
        marks: question.marks.to_string(),
    }
}

/// The unit in an answer box: left to be written where it earns a mark, printed where the question names it.
fn unit_box(number: &Number) -> String {
    match number.unit.symbol {
        _ if number.unit_mark => String::new(),
        "" | ":1" => "no unit".to_owned(),
        symbol => symbol.to_owned(),
    }
}

fn drawn(drawing: &Drawing) -> Drawn {
    match drawing {
        Drawing::Section { rise, run } => Drawn {
            kind: "section",
            rise: *rise,
            run: *run,
            unit: "",
            gears: Vec::new(),
            alt: format!(
                "A slope in section on squared paper. From foot to brow it rises {rise} squares over {run} squares on the level."
            ),
        },
        Drawing::Ladder { unit, gears } => Drawn {
            kind: "ladder",
            rise: 0.0,
            run: 0.0,
            unit,
            gears: gears.iter().map(|(name, speed)| Mark { name: name.clone(), speed: *speed }).collect(),
            alt: format!(
                "A scale of speeds with a mark for the creep speed of each gear: {}.",
                gears
                    .iter()
                    .map(|(name, speed)| format!("{name} at {speed:.1} {unit}"))
                    .collect::<Vec<_>>()
                    .join(", ")
            ),
        },
    }
}

/// An answer sheet for pencil.
#[derive(Serialize)]
pub struct AnswerSheet {
    pack: Meta,
    code: String,
    title: String,
    rows: Vec<AnswerRow>,
}

#[derive(Serialize)]
struct AnswerRow {
    no: String,
    kind: &'static str,
    letters: Vec<String>,
    /// Printed in the box of a number that names its unit.
    unit: String,
}

impl AnswerSheet {
    /// The sheet of a form.
    pub fn of(issue: &Issue, form: &Form) -> Self {
        let title = format!("Answer sheet {}", form.code);
        let file = format!("answers-{}", form.code.to_lowercase());
        let letters = |count: usize| (0..count).map(|at| letter(at).to_string()).collect();
        let row = |(no, question): (usize, &Question)| {
            let (kind, count) = match &question.body {
                Body::Number(_) => ("number", 0),
                Body::Choice(options) => ("choice", options.len()),
                Body::Order { steps, .. } => ("order", steps.len()),
                Body::Truth { reasons, .. } => ("truth", reasons.len()),
            };
            let unit = match &question.body {
                Body::Number(number) => unit_box(number),
                _ => String::new(),
            };
            AnswerRow { no: no.to_string(), kind, letters: letters(count), unit }
        };
        Self {
            pack: issue.meta(&title, "candidates", &file),
            code: form.code.clone(),
            title: issue.course.papers.title.short(),
            rows: (1..).zip(&form.questions).map(row).collect(),
        }
    }
}
