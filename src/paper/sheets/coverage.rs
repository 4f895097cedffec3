//! The table that proves that every form meets the blueprint.

use serde::Serialize;

use super::Issue;
use crate::course::{Level, Topic, sources};
use crate::page::Meta;
use crate::paper::family::Family;
use crate::paper::form::{Form, Overlap};
use crate::paper::item::{Body, letter};
use crate::paper::plan::{Plan, too_small};

/// Forms whose places are listed side by side.
const SIDE_BY_SIDE: usize = 8;

/// The coverage of all forms.
#[derive(Serialize)]
pub struct Coverage {
    pack: Meta,
    seed: String,
    total: String,
    pass: String,
    levels: Vec<&'static str>,
    cells: Vec<CellRow>,
    forms: Vec<FormRow>,
    ranks: Vec<RankRow>,
    /// Claims that hold and that do not, all forms together; none without claims.
    claims: Option<[String; 2]>,
    /// Most that two forms may share, that two do share, and the mean of all pairs.
    overlap: [String; 3],
    /// Cells with too few tasks for forms that need not share them.
    small: Vec<String>,
    /// What the usual blueprint asks and this course cannot.
    left_out: Vec<String>,
    listed: Vec<String>,
    places: Vec<PlaceRow>,
    /// The sources the questions name: mark and plain words.
    sources: Vec<(&'static str, &'static str)>,
}

#[derive(Serialize)]
struct CellRow {
    topic: &'static str,
    /// `wanted / found on every form` for each level, then the sum.
    marks: Vec<String>,
    sum: String,
}

#[derive(Serialize)]
struct FormRow {
    code: String,
    questions: String,
    marks: String,
    met: String,
    predicted: String,
}

#[derive(Serialize)]
struct RankRow {
    letter: String,
    times: String,
}

#[derive(Serialize)]
struct PlaceRow {
    no: String,
    topic: String,
    family: String,
    marks: String,
    stands_at: Vec<String>,
}

impl Coverage {
    /// The coverage of these forms.
    pub fn of(
        issue: &Issue,
        (plan, families): (&Plan, &[Family]),
        forms: &[Form],
        seed: u64,
        left_out: &[String],
    ) -> Self {
        let blueprint = &issue.course.papers;
        let overlap = Overlap::of(forms);
        let per_cent = |share: f64| format!("{:.1} %", 100.0 * share);
        let listed: &[Form] = if forms.len() <= SIDE_BY_SIDE { forms } else { &[] };
        Self {
            pack: issue.meta("Coverage of the blueprint", "assessor only", "coverage"),
            seed: seed.to_string(),
            total: blueprint.total().to_string(),
            pass: super::pass_said(blueprint),
            levels: Level::ALL.iter().map(|(key, _)| *key).collect(),
            cells: Topic::ALL.iter().filter_map(|(_, topic, _)| cell_row(issue, *topic, forms)).collect(),
            forms: forms.iter().map(|form| form_row(issue, form)).collect(),
            ranks: ranks(forms),
            claims: claims(forms),
            overlap: [per_cent(blueprint.overlap), per_cent(overlap.most), per_cent(overlap.mean)],
            small: if overlap.most > blueprint.overlap + 1e-9 {
                too_small(plan, families)
            } else {
                Vec::new()
            },
            left_out: left_out.to_vec(),
            listed: listed.iter().map(|form| form.code.clone()).collect(),
            places: plan
                .slots
                .iter()
                .enumerate()
                .map(|(at, slot)| {
                    let family = &families[slot.family];
                    PlaceRow {
                        no: (at + 1).to_string(),
                        topic: format!("{}, {}", family.topic.title(), family.level.key()),
                        family: family.id.clone(),
                        marks: slot.marks.to_string(),
                        stands_at: listed.iter().map(|form| stands_at(form, at)).collect(),
                    }
                })
                .collect(),
            sources: sources::named(
                forms
                    .iter()
                    .flat_map(|form| &form.questions)
                    .map(|question| question.variant.source.as_str()),
            ),
        }
    }
}

fn stands_at(form: &Form, slot: usize) -> String {
    form.questions
        .iter()
        .position(|question| question.slot == slot)
        .map_or_else(|| "–".to_owned(), |place| (place + 1).to_string())
}

fn marks_of(form: &Form, topic: Topic, level: Level) -> u16 {
    form.questions
        .iter()
        .filter(|question| question.topic == topic && question.level == level)
        .map(|question| question.marks)
        .sum()
}

fn wanted(issue: &Issue, topic: Topic, level: Level) -> u16 {
    let cells = &issue.course.papers.cells;
    cells.iter().filter(|cell| cell.topic == topic && cell.level == level).map(|cell| cell.marks).sum()
}

/// Whether a form has exactly the marks of every cell.
pub(super) fn is_met(issue: &Issue, form: &Form) -> bool {
    Topic::ALL.iter().all(|(_, topic, _)| {
        Level::ALL.iter().all(|(_, level)| marks_of(form, *topic, *level) == wanted(issue, *topic, *level))
    })
}

fn cell_row(issue: &Issue, topic: Topic, forms: &[Form]) -> Option<CellRow> {
    let mut sum = 0;
    let marks = Level::ALL
        .iter()
        .map(|(_, level)| {
            let wanted = wanted(issue, topic, *level);
            sum += wanted;
            let found: Vec<u16> = forms.iter().map(|form| marks_of(form, topic, *level)).collect();
            let (low, high) = (found.iter().min().unwrap_or(&0), found.iter().max().unwrap_or(&0));
            match (wanted, low == high) {
                (0, true) if *low == 0 => "–".to_owned(),
                (_, true) => format!("{wanted} / {low}"),
                _ => format!("{wanted} / {low} to {high}"),
            }
        })
        .collect();
    (sum > 0).then(|| CellRow { topic: topic.title(), marks, sum: sum.to_string() })
}

fn form_row(issue: &Issue, form: &Form) -> FormRow {
    FormRow {
        code: form.code.clone(),
        questions: form.questions.len().to_string(),
        marks: form.total().to_string(),
        met: if is_met(issue, form) { "met" } else { "not met" }.to_owned(),
        predicted: format!("{:.1} %", 100.0 * form.predicted()),
    }
}

fn ranks(forms: &[Form]) -> Vec<RankRow> {
    let mut counts = [0_u32; 6];
    for place in forms.iter().flat_map(|form| &form.questions).filter_map(super::super::Question::key_place) {
        counts[place.min(5)] += 1;
    }
    counts
        .iter()
        .enumerate()
        .filter(|(_, count)| **count > 0)
        .map(|(at, count)| RankRow { letter: letter(at).to_string(), times: count.to_string() })
        .collect()
}

fn claims(forms: &[Form]) -> Option<[String; 2]> {
    let holding = |wanted: bool| {
        let questions = forms.iter().flat_map(|form| &form.questions);
        questions.filter(|one| matches!(&one.body, Body::Truth { holds, .. } if *holds == wanted)).count()
    };
    let (yes, no) = (holding(true), holding(false));
    (yes + no > 0).then(|| [yes.to_string(), no.to_string()])
}
