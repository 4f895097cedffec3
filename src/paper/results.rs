//! What a marked sitting comes to: verdicts and item statistics.

mod by_item;
pub mod equate;
pub mod judges;
pub mod overall;
mod standard_table;
pub mod standards;
pub mod statistics;
mod tables;
pub mod whole;

use std::collections::BTreeMap;

pub use by_item::{by_item_csv, equating_said, forms_csv};
pub use standard_table::standard_csv;
pub use tables::{answers_csv, items_csv, remarked_csv, results_csv, to_judge_csv};
pub use whole::{wholes, wholes_csv};

use super::form::Form;
use super::item::{Body, Question};
use super::marking::answer::Outcome;
use super::marking::judging::possible;
use super::marking::{Marked, Sitting};
use super::record::Terms;
use super::results::statistics::{Divisor, Scores, chance_to_pass, mean, variance};

/// Fewest candidates from which an item is judged; below, only counts are told.
pub const FEWEST: usize = 30;
/// Share of the candidates in the upper and the lower group (Kelley 1939, from memory).
const GROUP: f64 = 0.27;

/// Everything a sitting comes to.
#[derive(Clone, Debug)]
pub struct Results {
    /// Candidates.
    pub count: usize,
    /// How many passed.
    pub passed: usize,
    /// How many could still pass by marks that persons give.
    pub open: usize,
    /// Mean of the totals, marks.
    pub mean: Option<f64>,
    /// Deviation of the totals, marks; divisor n − 1.
    pub deviation: Option<f64>,
    /// Cronbach's alpha.
    pub alpha: Option<f64>,
    /// KR-20; only when every item is scored 0 or 1.
    pub kr20: Option<f64>,
    /// Standard error of measurement, marks.
    pub standard_error: Option<f64>,
    /// Chance to reach the pass mark with the choices alone, guessed; none when there are none.
    pub by_guessing: Option<f64>,
    /// Each place of the plan.
    pub items: Vec<ItemReport>,
}

/// Statistics of one place of the plan, over all forms.
#[derive(Clone, Debug)]
pub struct ItemReport {
    /// The place, from 0.
    pub slot: usize,
    /// Topic and level.
    pub about: String,
    /// Kind of question.
    pub family: String,
    /// Marks.
    pub marks: u16,
    /// Mean share of its marks.
    pub difficulty: Option<f64>,
    /// Upper minus lower group.
    pub discrimination: Option<f64>,
    /// Correlation with the total.
    pub item_total: Option<f64>,
    /// Correlation with the rest.
    pub item_rest: Option<f64>,
    /// Alpha without it.
    pub alpha_without: Option<f64>,
    /// Blank answers.
    pub blank: usize,
    /// What to look at.
    pub flag: String,
    /// What drew whom.
    pub drawn: Vec<Drawn>,
}

/// An option or slip with those who took it.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// How the answers were judged.
    pub outcome: Outcome,
    /// `right`, or what went wrong.
    pub what: String,
    /// How many.
    pub count: usize,
    /// Their mean score on the rest of the test, marks.
    pub rest: Option<f64>,
}

impl Drawn {
    /// Whether it is the right answer.
    fn is_right(&self) -> bool {
        self.outcome == Outcome::Right
    }
}

impl Results {
    /// Works everything out.
    pub fn of(marked: &Marked, forms: &[Form], terms: &Terms) -> Self {
        let scores = scores(marked, forms);
        let totals = scores.totals();
        let pass = terms.pass;
        let first = forms.first().map(by_slot).unwrap_or_default();
        let dichotomous = first.iter().all(|question| question.marks == 1);
        Self {
            count: marked.sittings.len(),
            passed: marked.sittings.iter().filter(|sitting| sitting.total() >= pass).count(),
            open: marked
                .sittings
                .iter()
                .filter(|sitting| verdict(sitting, &forms[sitting.form], pass).starts_with("open"))
                .count(),
            mean: mean(&totals),
            deviation: variance(&totals, Divisor::NLess1).map(libm::sqrt),
            alpha: scores.alpha(),
            kr20: dichotomous.then(|| scores.kr20()).flatten(),
            standard_error: scores.standard_error(),
            by_guessing: by_guessing(&first, pass),
            items: first
                .iter()
                .enumerate()
                .map(|(slot, question)| report(slot, question, marked, forms, &scores))
                .collect(),
        }
    }
}

/// Questions of a form in the order of the plan.
fn by_slot(form: &Form) -> Vec<&Question> {
    let mut questions: Vec<&Question> = form.questions.iter().collect();
    questions.sort_by_key(|question| question.slot);
    questions
}

/// Marks of every candidate by place of the plan, so that parallel questions stand in one column.
fn scores(marked: &Marked, forms: &[Form]) -> Scores {
    let row = |sitting: &Sitting| {
        let form = &forms[sitting.form];
        let mut row = vec![0.0; form.questions.len()];
        for (question, judged) in form.questions.iter().zip(&sitting.judged) {
            row[question.slot] = f64::from(judged.marks);
        }
        row
    };
    Scores(marked.sittings.iter().map(row).collect())
}

/// The chance to pass when every choice is guessed and nothing else is answered.
fn by_guessing(questions: &[&Question], pass: u16) -> Option<f64> {
    let counts: Vec<usize> = questions
        .iter()
        .filter_map(|question| match &question.body {
            Body::Choice(options) => Some(options.len()),
            _ => None,
        })
        .collect();
    let items = u32::try_from(counts.len()).ok().filter(|items| *items > 0)?;
    let each =
        counts.iter().map(|options| 1.0 / f64::from(u32::try_from(*options).unwrap_or(4))).sum::<f64>()
            / f64::from(items);
    Some(if u32::from(pass) > items { 0.0 } else { chance_to_pass(items, u32::from(pass), each) })
}

fn report(slot: usize, question: &Question, marked: &Marked, forms: &[Form], scores: &Scores) -> ItemReport {
    let marks = f64::from(question.marks);
    let rest = scores.rest_or_empty(slot);
    let drawn = drawn(slot, marked, forms, &rest);
    let judged = marked.sittings.iter().filter_map(|sitting| {
        let at = forms[sitting.form].questions.iter().position(|question| question.slot == slot)?;
        sitting.judged.get(at)
    });
    let mut report = ItemReport {
        slot,
        about: format!("{}, {}", question.topic.title(), question.level.key()),
        family: question.variant.name.split('/').take(2).collect::<Vec<_>>().join("/"),
        marks: question.marks,
        difficulty: if scores.0.is_empty() { None } else { scores.difficulty(slot, marks) },
        discrimination: scores.discrimination(slot, marks, GROUP),
        item_total: scores.item_total(slot),
        item_rest: scores.item_rest(slot),
        alpha_without: scores.alpha_without(slot),
        blank: judged.filter(|judged| judged.outcome == Outcome::Blank).count(),
        flag: String::new(),
        drawn,
    };
    report.flag = flag(&report, scores.0.len());
    report
}

impl Scores {
    fn rest_or_empty(&self, item: usize) -> Vec<f64> {
        if self.0.is_empty() { Vec::new() } else { self.rest(item) }
    }
}

/// Who took which option or made which slip.
fn drawn(slot: usize, marked: &Marked, forms: &[Form], rest: &[f64]) -> Vec<Drawn> {
    let mut found: BTreeMap<String, (Outcome, Vec<f64>)> = BTreeMap::new();
    for (sitting, rest) in marked.sittings.iter().zip(rest) {
        let form = &forms[sitting.form];
        let Some(at) = form.questions.iter().position(|question| question.slot == slot) else { continue };
        let judged = &sitting.judged[at];
        let what = match judged.outcome {
            Outcome::Right => "right".to_owned(),
            Outcome::Blank => "not answered".to_owned(),
            Outcome::Look => "near the key".to_owned(),
            Outcome::Unclear => "cannot be read".to_owned(),
            Outcome::ByPerson => "judged by a person".to_owned(),
            Outcome::Wrong => "another value".to_owned(),
            Outcome::Slip => judged.why.clone(),
        };
        found.entry(what).or_insert_with(|| (judged.outcome, Vec::new())).1.push(*rest);
    }
    let mut all: Vec<Drawn> = found
        .into_iter()
        .map(|(what, (outcome, rests))| Drawn { outcome, what, count: rests.len(), rest: mean(&rests) })
        .collect();
    all.sort_by(|a, b| {
        (b.is_right()).cmp(&a.is_right()).then(b.count.cmp(&a.count)).then(a.what.cmp(&b.what))
    });
    all
}

/// What deserves a look. A test of mastery wants easy items: an easy one is no fault.
fn flag(report: &ItemReport, count: usize) -> String {
    if count < FEWEST {
        return format!("too few to judge (under {FEWEST})");
    }
    if report.item_rest.is_some_and(|r| r < 0.0) {
        return "check the key: weaker candidates do better".to_owned();
    }
    let right = report.drawn.iter().find(|drawn| drawn.is_right()).and_then(|drawn| drawn.rest);
    let stronger = report.drawn.iter().find(|drawn| {
        !drawn.is_right() && drawn.count * 10 >= count && drawn.rest.zip(right).is_some_and(|(a, b)| a > b)
    });
    if let Some(drawn) = stronger {
        return format!("drew the stronger: {}", drawn.what);
    }
    match report.difficulty {
        Some(p) if p > 0.95 => "nearly all right: not enough spread to tell".to_owned(),
        Some(p) if p < 0.20 => "very hard".to_owned(),
        _ if report.discrimination.is_some_and(|d| d < 0.20) => "tells little between candidates".to_owned(),
        _ => String::new(),
    }
}

/// Answers that wait for a person.
pub fn waiting(sitting: &Sitting, form: &Form) -> usize {
    form.questions
        .iter()
        .zip(&sitting.judged)
        .filter(|(question, judged)| possible(question.marks, question.methods(), judged) > 0)
        .count()
}

/// Pass or not; open while marks that persons could still give would pass the candidate.
pub fn verdict(sitting: &Sitting, form: &Form, pass: u16) -> &'static str {
    match sitting.total() {
        total if total >= pass => "pass",
        total if total + sitting.open(form) >= pass => "open: a person must judge",
        _ => "not passed",
    }
}
