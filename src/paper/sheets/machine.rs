//! Papers and keys for those who mark on a screen: JSON, versioned; what each key means stands in the README.

use serde::Serialize;

use super::question::{Item, item};
use crate::paper::form::Form;
use crate::paper::item::{Body, Opt, Question, every_right_order, letter};
use crate::paper::record::Terms;

/// The form of these files.
const FORMAT: u32 = 1;
/// Right orders listed.
const MOST_ORDERS: usize = 120;

#[derive(Serialize)]
struct Printed<'a> {
    format: u32,
    paper: &'a str,
    course: &'a str,
    title: &'a str,
    minutes: u16,
    marks: u16,
    pass: u16,
    questions: Vec<Item>,
}

#[derive(Serialize)]
struct Keys<'a> {
    format: u32,
    paper: &'a str,
    questions: Vec<Key<'a>>,
}

#[derive(Serialize)]
struct Key<'a> {
    no: usize,
    item: &'a str,
    marks: u16,
    #[serde(flatten)]
    answer: Answer<'a>,
}

#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
enum Answer<'a> {
    Number {
        key: &'a str,
        unit: &'a str,
        unit_mark: bool,
        accept: [f64; 2],
        look: [f64; 2],
        methods: &'a [String],
        slips: Vec<Slip<'a>>,
    },
    Choice {
        key: String,
        why: Vec<Why<'a>>,
    },
    Order {
        keys: Vec<String>,
    },
    Truth {
        holds: bool,
        key: String,
        why: Vec<Why<'a>>,
    },
}

#[derive(Serialize)]
struct Slip<'a> {
    from: f64,
    to: f64,
    marks: u16,
    why: &'a str,
}

#[derive(Serialize)]
struct Why<'a> {
    letter: char,
    why: &'a str,
}

/// The paper of a form: what its candidates read, and nothing of the key.
pub fn paper_json(form: &Form, terms: &Terms) -> String {
    let paper = Printed {
        format: FORMAT,
        paper: &form.code,
        course: &terms.course,
        title: &terms.title,
        minutes: terms.minutes,
        marks: form.total(),
        pass: terms.pass,
        questions: (1..).zip(&form.questions).map(|(no, question)| item(no, question)).collect(),
    };
    written(&paper)
}

/// The key of a form: for the staff only.
pub fn key_json(form: &Form) -> String {
    let questions = (1..).zip(&form.questions).map(|(no, question)| key(no, question)).collect();
    written(&Keys { format: FORMAT, paper: &form.code, questions })
}

fn written(value: &impl Serialize) -> String {
    serde_json::to_string_pretty(value).expect("text and numbers are JSON") + "\n"
}

fn key(no: usize, question: &Question) -> Key<'_> {
    let place = question.key_place().map(|at| letter(at).to_string()).unwrap_or_default();
    let answer = match &question.body {
        Body::Number(number) => Answer::Number {
            key: &number.key.text,
            unit: number.unit.symbol,
            unit_mark: number.unit_mark,
            accept: [number.accept.low, number.accept.high],
            look: [number.look.low, number.look.high],
            methods: &number.methods,
            slips: number
                .slips
                .iter()
                .map(|slip| Slip {
                    from: slip.accept.low,
                    to: slip.accept.high,
                    marks: slip.marks,
                    why: &slip.wrong.why,
                })
                .collect(),
        },
        Body::Choice(options) => Answer::Choice { key: place, why: whys(options) },
        Body::Truth { holds, reasons } => Answer::Truth { holds: *holds, key: place, why: whys(reasons) },
        Body::Order { steps, forced, .. } => Answer::Order {
            keys: every_right_order(steps.len(), forced, MOST_ORDERS)
                .into_iter()
                .map(|order| order.into_iter().map(letter).collect())
                .collect(),
        },
    };
    Key { no, item: &question.variant.name, marks: question.marks, answer }
}

fn whys(options: &[Opt]) -> Vec<Why<'_>> {
    (0..)
        .zip(options)
        .filter_map(|(at, option)| option.slip.as_ref().map(|(_, why)| Why { letter: letter(at), why }))
        .collect()
}
