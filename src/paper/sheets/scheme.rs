//! The mark scheme of a form.

use serde::Serialize;

use super::Issue;
use crate::page::{Fig, Meta, StepRow, steps};
use crate::paper::form::Form;
use crate::paper::item::{Body, Number, Opt, Question, letter};

/// A mark scheme.
#[derive(Serialize)]
pub struct SchemeSheet {
    pack: Meta,
    code: String,
    total: String,
    pass: String,
    items: Vec<Item>,
}

#[derive(Serialize)]
struct Item {
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
            pass: issue.course.papers.pass_marks().to_string(),
            items: (1..).zip(&form.questions).map(|(no, question)| item(no, question)).collect(),
        }
    }
}

fn item(no: usize, question: &Question) -> Item {
    let variant = &question.variant;
    let (accept, points, slips) = match &question.body {
        Body::Number(number) => (Some(accepted(number)), points(number), follow_through(question, number)),
        Body::Choice(options) => (None, vec![point("B1", "the right letter")], drawn_by(options, "0 of 1")),
        Body::Truth { reasons, .. } => (
            None,
            vec![point("B1", "true or false"), point("B1", "the right reason, only with the first mark")],
            drawn_by(reasons, "1 of 2 with the right T or F, else 0"),
        ),
        Body::Order { .. } => (
            None,
            vec![
                point("B2", "all in the right order"),
                point("B1", "instead, when one pair of neighbours is exchanged"),
            ],
            Vec::new(),
        ),
    };
    Item {
        no: no.to_string(),
        topic: format!("{}, {}", question.topic.title(), question.level.key()),
        text: super::capital(&variant.ask),
        marks: question.marks.to_string(),
        key: question.key_text(),
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
    let methods = number.methods.iter().map(|method| point("M1", method));
    let unit =
        number.unit_mark.then(|| point("U1", "a unit of the right kind; lost when it is missing or wrong"));
    methods.chain([point("A1", "the value")]).chain(unit).collect()
}

/// What is accepted, in words.
pub fn accepted(number: &Number) -> String {
    let (low, high) = number.accept.text();
    let unit = if number.unit_mark { Fig::new("", number.unit.symbol, false).text() } else { String::new() };
    let other = if number.unit_mark {
        ", or the same in another unit. Without a unit the value is taken in this one and the unit’s mark is lost"
    } else {
        ""
    };
    format!("{low} to {high}{unit}: three figures kept at each step, π or 3.14{other}.")
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
