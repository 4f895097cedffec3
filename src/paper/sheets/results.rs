//! Result sheets for the assessor and feedback sheets for each candidate.

use serde::Serialize;

use super::Issue;
use crate::page::Meta;
use crate::paper::form::Form;
use crate::paper::item::{Body, Question};
use crate::paper::marking::answer::{Judged, Outcome};
use crate::paper::marking::judging::possible;
use crate::paper::marking::{Marked, Sitting};
use crate::paper::record::Terms;
use crate::paper::results::whole::{WHOLE, Whole};
use crate::paper::results::{FEWEST, ItemReport, Results, verdict};

/// Candidates listed on paper; more stand in the file for spreadsheets.
const LISTED: usize = 400;

/// Results of a sitting.
#[derive(Serialize)]
pub struct ResultSheet {
    pack: Meta,
    facts: Vec<[String; 2]>,
    pass: String,
    topics: Vec<&'static str>,
    candidates: Vec<CandidateRow>,
    not_listed: String,
    items: Vec<ItemRow>,
    judge: Vec<[String; 6]>,
    /// Theory and practical together; empty where no practical was keyed.
    wholes: Vec<[String; 5]>,
    /// The rule they are put together by.
    rule: &'static str,
}

#[derive(Serialize)]
struct CandidateRow {
    candidate: String,
    name: String,
    code: String,
    total: String,
    result: &'static str,
    topics: Vec<String>,
}

#[derive(Serialize)]
struct ItemRow {
    no: String,
    about: String,
    family: String,
    difficulty: String,
    discrimination: String,
    total: String,
    rest: String,
    without: String,
    flag: String,
    drawn: Vec<[String; 3]>,
}

fn two(value: Option<f64>) -> String {
    value.map_or_else(|| "n/a".to_owned(), |value| format!("{value:.2}").replace('-', "−"))
}

/// What is said of a paper as a whole only where enough have sat it.
fn of_enough(results: &Results, said: impl FnOnce() -> String) -> String {
    if results.count >= FEWEST { said() } else { format!("too few to say (under {FEWEST} candidates)") }
}

impl ResultSheet {
    /// From a marked sitting.
    pub fn of(
        issue: &Issue,
        terms: &Terms,
        (marked, forms): (&Marked, &[Form]),
        results: &Results,
        wholes: &[Whole],
    ) -> Self {
        let (pass, total, topics) = (terms.pass, terms.total, &terms.topics);
        let facts = [
            ("candidates", results.count.to_string()),
            ("passed", format!("{} of {}", results.passed, results.count)),
            ("open until judged", format!("{} of {}", results.open, results.count)),
            ("mean", format!("{} of {total}", two(results.mean))),
            ("standard deviation", two(results.deviation)),
            ("paper holds together (Cronbach’s alpha)", of_enough(results, || two(results.alpha))),
            (
                "the same for one-mark questions (Kuder and Richardson 20)",
                of_enough(results, || {
                    let mixed = || "n/a: some items carry more than one mark".to_owned();
                    results.kr20.map_or_else(mixed, |r| two(Some(r)))
                }),
            ),
            (
                "give or take of a total (standard error of measurement)",
                of_enough(results, || format!("{} marks", two(results.standard_error))),
            ),
            (
                "chance to pass by guessing the choices",
                results.by_guessing.map_or_else(
                    || "n/a".to_owned(),
                    |p| if p < 0.0001 { "under 0.01 %".to_owned() } else { format!("{:.2} %", 100.0 * p) },
                ),
            ),
            ("rows not marked", marked.unmarked.len().to_string()),
        ];
        let candidate = |sitting: &Sitting| {
            let form = &forms[sitting.form];
            CandidateRow {
                candidate: sitting.candidate.clone(),
                name: sitting.name.clone(),
                code: form.code.clone(),
                total: sitting.total().to_string(),
                result: verdict(sitting, form, pass),
                topics: topics
                    .iter()
                    .map(|topic| {
                        let (got, of) = sitting.of_topic(form, *topic);
                        format!("{got}/{of}")
                    })
                    .collect(),
            }
        };
        let more = marked.sittings.len().saturating_sub(LISTED);
        Self {
            pack: issue.meta("Results", "assessor only", "results"),
            facts: facts.into_iter().map(|(name, value)| [name.to_owned(), value]).collect(),
            pass: format!("{pass} of {total}"),
            topics: topics.iter().map(|topic| topic.title()).collect(),
            candidates: marked.sittings.iter().take(LISTED).map(candidate).collect(),
            not_listed: if more > 0 {
                format!("{more} more candidates stand in results.csv.")
            } else {
                String::new()
            },
            items: results.items.iter().map(item_row).collect(),
            judge: judge_rows(terms, marked, forms),
            wholes: wholes.iter().map(whole_row).collect(),
            rule: WHOLE,
        }
    }
}

fn whole_row(one: &Whole) -> [String; 5] {
    let [theory, practical, whole] =
        [one.theory, one.practical, one.result()].map(|part| part.said().to_owned());
    [one.candidate.clone(), one.name.clone(), theory, practical, whole]
}

fn item_row(item: &ItemReport) -> ItemRow {
    ItemRow {
        no: (item.slot + 1).to_string(),
        about: item.about.clone(),
        family: item.family.clone(),
        difficulty: two(item.difficulty),
        discrimination: two(item.discrimination),
        total: two(item.item_total),
        rest: two(item.item_rest),
        without: two(item.alpha_without),
        flag: item.flag.clone(),
        drawn: item
            .drawn
            .iter()
            .map(|drawn| {
                [
                    drawn.what.clone(),
                    drawn.count.to_string(),
                    drawn.rest.map_or_else(|| "–".to_owned(), |rest| format!("{rest:.1}")),
                ]
            })
            .collect(),
    }
}

/// What waits for a person, that of candidates who stand open first, as far as a sheet of paper can
/// hold it.
fn judge_rows(terms: &Terms, marked: &Marked, forms: &[Form]) -> Vec<[String; 6]> {
    let mut owners: Vec<&Sitting> = marked.sittings.iter().collect();
    owners.sort_by_key(|sitting| !verdict(sitting, &forms[sitting.form], terms.pass).starts_with("open"));
    let mut rows = Vec::new();
    for sitting in owners {
        let form = &forms[sitting.form];
        let answers = form.questions.iter().zip(sitting.typed.iter().zip(&sitting.judged)).enumerate();
        for (at, (question, (typed, judged))) in answers {
            let possible = possible(question.marks, question.methods(), judged);
            if possible > 0 {
                rows.push([
                    sitting.candidate.clone(),
                    format!("{} q{}", form.code, at + 1),
                    typed.clone(),
                    question.key_text(),
                    format!("{} to {}", judged.marks, judged.marks + possible),
                    judged.why.clone(),
                ]);
            }
        }
    }
    rows.truncate(LISTED);
    rows
}

/// The feedback of a candidate.
#[derive(Serialize)]
pub struct FeedbackSheets {
    pack: Meta,
    sheets: Vec<Feedback>,
}

#[derive(Serialize)]
struct Feedback {
    candidate: String,
    name: String,
    code: String,
    total: String,
    of: String,
    pass: String,
    result: &'static str,
    topics: Vec<[String; 2]>,
    /// How to appeal, and when to sit again.
    rules: [String; 2],
    missed: Vec<Missed>,
}

#[derive(Serialize)]
struct Missed {
    no: String,
    text: String,
    typed: String,
    right: String,
    marks: String,
    why: String,
    steps: Vec<String>,
    feedback: String,
}

impl FeedbackSheets {
    /// The sheet of one candidate, for nobody else.
    pub fn of(issue: &Issue, terms: &Terms, sitting: &Sitting, forms: &[Form]) -> Self {
        let sheets = vec![feedback(terms, sitting, &forms[sitting.form])];
        Self { pack: issue.meta("Feedback", "the candidate", "feedback"), sheets }
    }
}

fn feedback(terms: &Terms, sitting: &Sitting, form: &Form) -> Feedback {
    let pass = terms.pass;
    let missed = form.questions.iter().zip(sitting.typed.iter().zip(&sitting.judged)).enumerate();
    Feedback {
        candidate: sitting.candidate.clone(),
        name: sitting.name.clone(),
        code: form.code.clone(),
        total: sitting.total().to_string(),
        of: form.total().to_string(),
        pass: pass.to_string(),
        result: verdict(sitting, form, pass),
        topics: terms
            .topics
            .iter()
            .map(|topic| {
                let (got, of) = sitting.of_topic(form, *topic);
                [topic.title().to_owned(), format!("{got} of {of}")]
            })
            .collect(),
        rules: [terms.appeal.clone(), terms.resit.clone()],
        missed: missed
            .filter(|(_, (question, (_, judged)))| judged.marks < question.marks)
            .map(|(at, (question, (typed, judged)))| miss(at + 1, question, typed, judged))
            .collect(),
    }
}

fn miss(no: usize, question: &Question, typed: &str, judged: &Judged) -> Missed {
    Missed {
        no: no.to_string(),
        text: super::capital(&question.variant.ask),
        typed: if judged.outcome == Outcome::Blank {
            "not answered".to_owned()
        } else {
            answered(question, typed)
        },
        right: format!(
            "{}{}",
            question.key_text(),
            if matches!(question.body, Body::Number(_)) {
                String::new()
            } else {
                format!(": {}", question.answer_text())
            }
        ),
        marks: format!("{} of {}", judged.marks, question.marks),
        why: if judged.outcome == Outcome::Unclear {
            "This answer could not be read and waits for the assessor.".to_owned()
        } else {
            sentence(&judged.why)
        },
        steps: question.variant.steps(),
        feedback: question.variant.feedback.clone(),
    }
}

/// The answer as keyed; of a choice with the option's words.
fn answered(question: &Question, typed: &str) -> String {
    let Body::Choice(options) = &question.body else { return typed.to_owned() };
    let chosen = options
        .iter()
        .enumerate()
        .find(|(at, _)| typed.trim().eq_ignore_ascii_case(&crate::paper::item::letter(*at).to_string()));
    chosen.map_or_else(
        || typed.to_owned(),
        |(_, option)| format!("{}: {}", typed.trim().to_uppercase(), option.text),
    )
}

/// With a capital and a full stop.
fn sentence(text: &str) -> String {
    let whole = super::capital(text);
    if whole.is_empty() || whole.ends_with('.') { whole } else { format!("{whole}.") }
}
