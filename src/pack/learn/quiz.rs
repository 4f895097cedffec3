//! A short quiz on this ground and fleet, and its answers on a file of their own.

use serde::Serialize;

use crate::formula::{SlipAnswer, Worked};
use crate::pack::book::Book;
use crate::pack::learn::workbook::{Datum, data, used};
use crate::page::figure::Fig;
use crate::page::meta::Meta;
use crate::page::worked::{FormulaSheet, StepRow, answer, ask, formula_sheet, steps, with_unit};
use crate::quantity::{Digits, Shown};

/// The question paper. Nothing of the key is in it.
#[derive(Serialize)]
pub struct Quiz {
    pack: Meta,
    paper: Paper,
    items: Vec<QuizItem>,
    sheet: FormulaSheet,
}

/// The answers, with working and what usual slips give.
#[derive(Serialize)]
pub struct QuizAnswers {
    pack: Meta,
    paper: Paper,
    items: Vec<AnswerItem>,
}

#[derive(Serialize)]
struct Paper {
    code: String,
    minutes: String,
    total: String,
    allowed: Vec<&'static str>,
}

#[derive(Serialize)]
struct QuizItem {
    no: String,
    kind: &'static str,
    text: String,
    data: Vec<Datum>,
    options: Vec<QuizOption>,
    lines: usize,
    unit: String,
    marks: String,
}

#[derive(Clone, Serialize)]
struct QuizOption {
    letter: String,
    text: String,
}

#[derive(Serialize)]
struct AnswerItem {
    no: String,
    kind: &'static str,
    text: String,
    marks: String,
    answer: Option<Fig>,
    answer_text: String,
    accept: Option<String>,
    key: Option<String>,
    steps: Vec<StepRow>,
    points: Vec<Point>,
    slips: Vec<SlipRow>,
}

#[derive(Serialize)]
struct Point {
    code: &'static str,
    text: String,
}

#[derive(Serialize)]
struct SlipRow {
    cause: &'static str,
    marks: String,
    value: Fig,
    choice: Option<String>,
}

/// A question about a worked example, or one to answer in words.
enum Item {
    /// Work out a number.
    Number(Worked),
    /// Choose among the right number and what slips give, in order of size.
    Choice(Worked, Vec<SlipAnswer>),
    /// Say what to do.
    Words(&'static Words),
}

/// A question of judgement. Common practice, no source.
struct Words {
    ask: &'static str,
    marks: usize,
    answer: &'static str,
    points: &'static [&'static str],
}

static JUDGEMENT: [Words; 3] = [
    Words {
        ask: "Half way down, in low first, the back end begins to step out. What do you do, in which order?",
        marks: 3,
        answer: "Off the brake; let the wheels turn, a touch of throttle if they turn too slowly; steer where the nose should go, down the fall line.",
        points: &["foot off the brake", "wheels turning again before steering", "steers down the fall line"],
    },
    Words {
        ask: "You are at the brow and have not yet driven over it. Name two things, either of which makes you turn back.",
        marks: 2,
        answer: "Any two: the fleet table says no for this vehicle; the spotter is not in sight or the foot is not clear; the ground has changed since it was walked; the wrong range or gear is engaged; the brake pedal is soft.",
        points: &["first sound reason", "second sound reason"],
    },
    Words {
        ask: "A locked wheel may stop the vehicle sooner on deep loose stone. Why is it still not taught? Give two reasons.",
        marks: 2,
        answer: "Steering is lost while it slides; the next ground may be firm or wet, where the same foot makes the slide longer.",
        points: &["steering lost", "does not hold on firm or wet ground"],
    },
];

/// Wrong options beside the right one.
const WRONG: usize = 3;
/// Share of the answer accepted either way: rounding on the way.
const ACCEPT: f64 = 0.02;
/// Below this first figure a step of 5 in the third would be too coarse.
const COARSE_FROM: f64 = 2.0;
/// Kinds of examples whose formulas the quiz has no use for.
const UNASKED: [&str; 5] = ["side-tip", "energy", "left-to-hold", "engine-holds", "locked-runaway"];
/// Minutes allowed for each mark.
const MINUTES_A_MARK: usize = 2;

impl Quiz {
    /// The paper of the book's seed.
    pub fn of(book: &Book, pack: Meta) -> Self {
        let items = items(book);
        let paper = paper(book, &items);
        let items = (1..).zip(&items).map(|(no, item)| question(book, no, item)).collect();
        Self { pack, paper, items, sheet: sheet(book) }
    }
}

impl QuizAnswers {
    /// The answers to the same paper.
    pub fn of(book: &Book, pack: Meta) -> Self {
        let items = items(book);
        let paper = paper(book, &items);
        let items = (1..).zip(&items).map(|(no, item)| reply(book, no, item)).collect();
        Self { pack, paper, items }
    }
}

/// What may be looked up: more than is asked, less than the workbook holds.
fn sheet(book: &Book) -> FormulaSheet {
    let direct: Vec<Worked> = used(book)
        .into_iter()
        .filter(|worked| !UNASKED.contains(&worked.id.as_str()))
        .map(Worked::direct)
        .collect();
    formula_sheet(&direct.iter().collect::<Vec<_>>(), book.course.units)
}

fn paper(book: &Book, items: &[Item]) -> Paper {
    let total: usize = items.iter().map(marks).sum();
    Paper {
        code: format!("{}-{}", &book.fingerprint[..4.min(book.fingerprint.len())], book.course.seed),
        minutes: format!("{} min", MINUTES_A_MARK * total),
        total: total.to_string(),
        allowed: vec![
            "pocket calculator set to degrees",
            "the formula sheet at the end",
            "pencil, ruler; cards and workbook are put away",
        ],
    }
}

/// The items: each kind of question once, about vehicles and slopes that the seed picks.
fn items(book: &Book) -> Vec<Item> {
    let mut pick = Picker(book.course.seed);
    let number =
        |id: &str, pick: &mut Picker| pick.of(&about(book, id)).map(|worked| Item::Number(worked.direct()));
    let choice = |id: &str, pick: &mut Picker| {
        let fit: Vec<(&Worked, Vec<SlipAnswer>)> = about(book, id)
            .into_iter()
            .map(|worked| (worked, worked.wrong_options()))
            .filter(|(_, wrong)| wrong.len() >= 2)
            .collect();
        pick.of(&fit.iter().collect::<Vec<_>>())
            .map(|(worked, wrong)| Item::Choice((*worked).clone(), wrong.clone()))
    };
    [
        choice("grade", &mut pick),
        number("crawl-ratio", &mut pick),
        number("creep-speed", &mut pick),
        choice("force-down", &mut pick),
        number("limit-slope-turning", &mut pick),
        number("locked-stop", &mut pick),
        number("brake-temperature-rise", &mut pick),
    ]
    .into_iter()
    .flatten()
    .chain(JUDGEMENT.iter().map(Item::Words))
    .collect()
}

/// Examples of a kind whose answer the workbook does not print, if there are any.
fn about<'b>(book: &'b Book, id: &str) -> Vec<&'b Worked> {
    let printed: Vec<(&str, &str)> = used(book)
        .into_iter()
        .flat_map(|worked| &worked.lines)
        .map(|line| (line.formula.id, line.shown.text.as_str()))
        .collect();
    let is_new = |worked: &&Worked| {
        let line = worked.answer();
        !printed.contains(&(line.formula.id, line.shown.text.as_str()))
    };
    let all: Vec<&Worked> = book.worked.iter().filter(|worked| worked.id == id).collect();
    let new: Vec<&Worked> = all.iter().copied().filter(is_new).collect();
    if new.is_empty() { all } else { new }
}

/// Picks from lists by the course's seed (a linear congruential step, Knuth's MMIX constants).
struct Picker(u64);

impl Picker {
    fn of<T: Copy>(&mut self, from: &[T]) -> Option<T> {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let count = u64::try_from(from.len()).ok().filter(|count| *count > 0)?;
        let place = usize::try_from((self.0 >> 33) % count).expect("a place in a list");
        from.get(place).copied()
    }
}

fn marks(item: &Item) -> usize {
    match item {
        Item::Number(worked) => worked.lines.len() + 1,
        Item::Choice(..) => 1,
        Item::Words(words) => words.marks,
    }
}

fn kind(item: &Item) -> &'static str {
    match item {
        Item::Number(_) => "number",
        Item::Choice(..) => "choice",
        Item::Words(_) => "words",
    }
}

fn text(book: &Book, item: &Item) -> String {
    match item {
        Item::Number(worked) => ask(book.course, worked),
        Item::Choice(worked, _) => format!("{} Choose the right one.", ask(book.course, worked)),
        Item::Words(words) => words.ask.to_owned(),
    }
}

fn question(book: &Book, no: usize, item: &Item) -> QuizItem {
    let (data, unit, lines) = match item {
        Item::Number(worked) => {
            (data(worked), worked.answer().unit.symbol.to_owned(), 2 + 2 * worked.lines.len())
        }
        Item::Choice(worked, _) => (data(worked), worked.answer().unit.symbol.to_owned(), 3),
        Item::Words(words) => (Vec::new(), String::new(), 1 + 2 * words.marks),
    };
    QuizItem {
        no: no.to_string(),
        kind: kind(item),
        text: text(book, item),
        data,
        options: options(item).into_iter().map(|(option, _)| option).collect(),
        lines,
        unit,
        marks: marks(item).to_string(),
    }
}

/// Options in order of size, each with the slip that leads to it; none at the right one.
fn options(item: &Item) -> Vec<(QuizOption, Option<SlipAnswer>)> {
    let Item::Choice(worked, wrong) = item else { return Vec::new() };
    let line = worked.answer();
    let mut found: Vec<(f64, Option<SlipAnswer>)> = vec![(line.shown.value, None)];
    found.extend(wrong.iter().take(WRONG).map(|slip| (slip.answer.value, Some(slip.clone()))));
    found.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    ('A'..)
        .zip(found)
        .map(|(letter, (_, slip))| {
            let shown = slip.as_ref().map_or(&line.shown, |slip| &slip.answer);
            (QuizOption { letter: letter.to_string(), text: with_unit(&shown.text, line.unit) }, slip)
        })
        .collect()
}

fn reply(book: &Book, no: usize, item: &Item) -> AnswerItem {
    let options = options(item);
    let key = options.iter().find(|(_, slip)| slip.is_none()).map(|(option, _)| option.letter.clone());
    let worked = match item {
        Item::Number(worked) | Item::Choice(worked, _) => Some(worked),
        Item::Words(_) => None,
    };
    AnswerItem {
        no: no.to_string(),
        kind: kind(item),
        text: text(book, item),
        marks: marks(item).to_string(),
        answer: worked.map(answer),
        answer_text: match item {
            Item::Words(words) => words.answer.to_owned(),
            _ => worked.map(|worked| worked.answer().formula.title.to_owned()).unwrap_or_default(),
        },
        accept: matches!(item, Item::Number(_)).then(|| worked.map(accept)).flatten(),
        key,
        steps: worked.map(steps).unwrap_or_default(),
        points: points(item),
        slips: slips(item, &options),
    }
}

fn accept(worked: &Worked) -> String {
    let line = worked.answer();
    let value = line.shown.value;
    let (low, high) = (value - ACCEPT * value.abs(), value + ACCEPT * value.abs());
    let step = step_of(value);
    let low = tidy((low / step).floor() * step);
    let high = with_unit(&tidy((high / step).ceil() * step), line.unit);
    format!("{low} to {high} (rounding on the way)")
}

/// Bounds stand at multiples of this: 5 in the third figure, or 2 where the first figure is 1.
fn step_of(value: f64) -> f64 {
    let third = libm::pow(10.0, libm::floor(libm::log10(value.abs())) - 2.0);
    let leading = value.abs() / (100.0 * third);
    third * if leading < COARSE_FROM { 2.0 } else { 5.0 }
}

fn tidy(value: f64) -> String {
    Shown::of(value, Digits::Significant(3)).trimmed().text
}

fn points(item: &Item) -> Vec<Point> {
    match item {
        Item::Number(worked) => worked
            .lines
            .iter()
            .map(|line| Point { code: "way 1", text: format!("way: {}", line.formula.title.to_lowercase()) })
            .chain([Point { code: "value 1", text: "the answer, with its unit".to_owned() }])
            .collect(),
        Item::Choice(..) => vec![Point { code: "whole 1", text: "the right letter".to_owned() }],
        Item::Words(words) => {
            words.points.iter().map(|text| Point { code: "whole 1", text: (*text).to_owned() }).collect()
        }
    }
}

/// What slips give: method marks of the other steps follow through, the answer's mark is lost.
fn slips(item: &Item, options: &[(QuizOption, Option<SlipAnswer>)]) -> Vec<SlipRow> {
    match item {
        Item::Number(worked) => {
            let (total, methods) = (marks(item), worked.lines.len());
            let unit = worked.answer().unit;
            worked
                .slip_answers()
                .into_iter()
                .map(|slip| {
                    let earned = if slip.of_unit { methods } else { methods - 1 };
                    slip_row(&slip, unit.symbol, format!("{earned} of {total}"), None)
                })
                .collect()
        }
        Item::Choice(worked, _) => options
            .iter()
            .filter_map(|(option, slip)| {
                let slip = slip.as_ref()?;
                Some(slip_row(
                    slip,
                    worked.answer().unit.symbol,
                    "0 of 1".to_owned(),
                    Some(option.letter.clone()),
                ))
            })
            .collect(),
        Item::Words(_) => Vec::new(),
    }
}

fn slip_row(slip: &SlipAnswer, unit: &str, marks: String, choice: Option<String>) -> SlipRow {
    SlipRow { cause: slip.why, marks, value: Fig::new(slip.answer.text.clone(), unit, false), choice }
}
