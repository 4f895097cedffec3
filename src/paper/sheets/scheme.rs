//! The mark scheme of a form.

use serde::Serialize;

use super::Issue;

use crate::page::{Fig, Meta, StepRow, steps};
use crate::paper::form::Form;
use crate::paper::item::{Body, Number, Opt, Question, every_right_order, letter, right_orders};
use crate::paper::marking::answer::plain_of;
use crate::quantity::{Digits, Shown, UnitSystem};

/// A mark scheme.
#[derive(Serialize)]
pub struct SchemeSheet {
    pack: Meta,
    code: String,
    total: String,
    pass: String,
    rules: Vec<String>,
    items: Vec<Item>,
}

/// The key of a question.
#[derive(Serialize)]
pub(crate) struct Item {
    no: String,
    topic: String,
    text: String,
    marks: String,
    key: String,
    answer: String,
    accept: Option<String>,
    steps: Vec<StepRow>,
    points: Vec<Point>,
    slips: Vec<Slip>,
    feedback: String,
    outcome: String,
    #[serde(serialize_with = "crate::course::sources::as_cited")]
    source: String,
}

#[derive(Serialize)]
struct Point {
    code: String,
    text: String,
}

#[derive(Serialize)]
struct Slip {
    gives: String,
    cause: String,
    earns: String,
}

impl SchemeSheet {
    /// The scheme of a form.
    pub fn of(issue: &Issue, form: &Form) -> Self {
        let title = format!("Mark scheme {}", form.code);
        let file = format!("scheme-{}", form.code.to_lowercase());
        Self {
            pack: issue.meta(&title, "markers only", &file),
            code: form.code.clone(),
            total: form.total().to_string(),
            pass: super::pass_said(&issue.course.papers),
            rules: rules(form.needs_pi(), issue.course.units),
            items: (1..).zip(&form.questions).map(|(no, question)| item(no, question)).collect(),
        }
    }
}

/// The key of the question with this number, from 1.
pub(crate) fn item(no: usize, question: &Question) -> Item {
    let variant = &question.variant;
    let (accept, points, slips) = match &question.body {
        Body::Number(number) => (Some(accepted(number)), points(number), follow_through(question, number)),
        Body::Choice(options) => {
            (None, vec![point("whole 1", "the right letter")], drawn_by(options, "0 of 1"))
        }
        Body::Truth { reasons, .. } => (
            None,
            vec![
                point("whole 1", "true or false"),
                point("whole 1", "the right reason, only with the first mark"),
            ],
            drawn_by(reasons, "1 of 2 with the right T or F, else 0"),
        ),
        Body::Order { .. } => (
            None,
            vec![
                point("whole 2", &orders_said(&question.body)),
                point("whole 1", "instead, when just two steps are the wrong way round"),
            ],
            Vec::new(),
        ),
    };
    Item {
        no: no.to_string(),
        topic: format!("{}, {}", question.topic.title(), question.level.key()),
        text: super::capital(&variant.ask),
        marks: question.marks.to_string(),
        key: key_on_sheet(question),
        answer: if matches!(question.body, Body::Number(_)) { String::new() } else { question.answer_text() },
        accept,
        steps: variant.worked.as_ref().map(plain_steps).unwrap_or_default(),
        points,
        slips,
        feedback: variant.feedback.clone(),
        outcome: variant.outcome.clone(),
        source: variant.source.clone(),
    }
}

/// The worked lines without margin notes: the slips stand in a table of their own.
fn plain_steps(worked: &crate::formula::Worked) -> Vec<StepRow> {
    steps(worked).into_iter().map(|step| StepRow { note: None, ..step }).collect()
}

fn point(code: &str, text: &str) -> Point {
    Point { code: code.to_owned(), text: text.to_owned() }
}

fn points(number: &Number) -> Vec<Point> {
    let methods = number.methods.iter().map(|method| point("way 1", method));
    let unit =
        number.unit_mark.then(|| point("unit 1", "a unit of the right kind, also beside a wrong number"));
    methods.chain([point("value 1", "the value")]).chain(unit).collect()
}

/// What is accepted, in words.
pub(super) fn accepted(number: &Number) -> String {
    let (low, high) = number.accept.text();
    let (wide_low, wide_high) = number.look.text();
    let unit = Fig::new("", number.unit.symbol, false).text();
    let unit = if unit.trim().is_empty() { String::new() } else { unit };
    let unit = format!("{unit}{}", in_the_plain_unit(number));
    let looked = Fig::new("", number.unit.symbol, false).text();
    let looked = if looked.trim().is_empty() { String::new() } else { looked };
    let right = spread(&low, &high);
    format!("{right}{unit}. Look at the working from {wide_low} to {wide_high}{looked}.")
}

/// A range as it is read: one number where both ends are printed alike.
fn spread(low: &str, high: &str) -> String {
    if low == high { low.to_owned() } else { format!("{low} to {high}") }
}

/// The same in the plain unit of its kind, where the candidate chooses the unit: `, or 3.16 to 3.19 m/s`.
fn in_the_plain_unit(number: &Number) -> String {
    let plain = plain_of(number.unit).filter(|plain| number.unit_mark && plain.symbol != number.unit.symbol);
    plain.map_or_else(String::new, |plain| {
        let text =
            |value: f64| Shown::of(plain.from_si(number.unit.to_si(value)), Digits::Significant(3)).text;
        let right = spread(&text(number.accept.low), &text(number.accept.high));
        format!(", or {right} {}", plain.symbol)
    })
}

/// The rules that marks are given by, as a marker reads them before the first script.
pub(super) fn rules(pi: bool, system: UnitSystem) -> Vec<String> {
    let pi = if pi { ", π by its key or 3.14" } else { "" };
    let figures = format!(
        "Figures: three are asked for. Accept every value in the range printed, both ends included: it holds all that right working reaches when each result on the way is kept, or rounded to three figures or more, in any order of multiplying and dividing, sums as a whole or term by term{pi}. The range is seldom even about the key."
    );
    let plain = match system {
        UnitSystem::Metric => "N, J, m/s",
        UnitSystem::Imperial => "lbf, ft·lbf, ft/s",
    };
    let unit = format!(
        "Unit: one mark for any unit of the right kind, also beside a wrong number, once a question. None where the question names the unit. A value without a unit is read in the unit of the key, or in the plain one ({plain})."
    );
    let others = [
        "Between that range and the wider one, look at the working: full marks if nothing was rounded below three figures. The same for an answer of two figures that is right as far as it goes.",
        "A right value alone earns all the marks, also without working. g is the one given in the question.",
        "Following through: a value that is wrong only through a named slip earns what the table says. Later steps worked rightly from a wrong value keep their marks; not where the result is impossible on its face. One error is charged once.",
        "The pass mark is the share of the marks, rounded up to a whole mark.",
    ];
    let mut all: Vec<String> = std::iter::once(figures).chain(others.map(str::to_owned)).collect();
    // After what is accepted and what is looked at.
    all.insert(3, unit);
    all
}

/// The most right orders that stand side by side in the key.
const SIDE_BY_SIDE: usize = 3;

/// The key as a marker reads it at a glance: of an order, every one that is right, or a sign that there are more.
fn key_on_sheet(question: &Question) -> String {
    let Body::Order { steps, forced, .. } = &question.body else { return question.key_text() };
    let right = every_right_order(steps.len(), forced, SIDE_BY_SIDE + 1);
    if right.len() > SIDE_BY_SIDE {
        return format!("{} …", question.key_text());
    }
    let lettered = |order: &Vec<usize>| order.iter().map(|at| letter(*at)).collect::<String>();
    right.iter().map(lettered).collect::<Vec<_>>().join(" or ")
}

/// How many orders are right.
fn orders_said(body: &Body) -> String {
    let Body::Order { steps, forced, .. } = body else { return String::new() };
    match right_orders(steps.len(), forced) {
        1 => "the one right order".to_owned(),
        many => {
            let pairs: Vec<String> =
                forced.iter().map(|(a, b)| format!("{} before {}", letter(*a), letter(*b))).collect();
            format!("any of the {many} right orders: {}", pairs.join(", "))
        }
    }
}

fn follow_through(question: &Question, number: &Number) -> Vec<Slip> {
    number
        .slips
        .iter()
        .map(|slip| {
            let most = slip.marks + u16::from(number.unit_mark);
            let earns = match (slip.marks, number.unit_mark) {
                (0, true) => format!("unit only: 1 of {}", question.marks),
                (_, true) => format!("{most} of {} with the unit", question.marks),
                _ => format!("{} of {}", slip.marks, question.marks),
            };
            Slip { gives: slip.wrong.text.clone(), cause: slip.wrong.why.clone(), earns }
        })
        .collect()
}

fn drawn_by(options: &[Opt], earns: &str) -> Vec<Slip> {
    options
        .iter()
        .enumerate()
        .filter_map(|(at, option)| {
            let (_, why) = option.slip.as_ref()?;
            Some(Slip {
                gives: format!("{} · {}", letter(at), option.text),
                cause: why.clone(),
                earns: earns.to_owned(),
            })
        })
        .collect()
}
