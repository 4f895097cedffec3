//! Results, answers, what waits for a person and item statistics, as files for spreadsheets.

use super::{Results, verdict, waiting};
use crate::paper::form::Form;
use crate::paper::item::Question;
use crate::paper::marking::answer::Outcome;
use crate::paper::marking::judging::{COLUMNS, Ruling, possible};
use crate::paper::marking::{Marked, Sitting};
use crate::paper::record::Terms;

pub(super) fn csv_text(rows: impl IntoIterator<Item = Vec<String>>) -> String {
    let mut writer =
        csv::WriterBuilder::new().flexible(true).terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    for row in rows {
        writer.write_record(row.iter().map(|field| harmless(field))).expect("memory takes all text");
    }
    String::from_utf8(writer.into_inner().expect("memory takes all text")).expect("text stays text")
}

/// A field that a spreadsheet would run as a formula is kept as text.
fn harmless(field: &str) -> String {
    if field.starts_with(['=', '+', '@', '\t', '\r']) { format!("'{field}") } else { field.to_owned() }
}

/// One row a candidate: marks by topic, total, pass or not.
pub fn results_csv(marked: &Marked, forms: &[Form], terms: &Terms) -> String {
    let (topics, pass) = (&terms.topics, terms.pass);
    let head = [
        "line",
        "paper",
        "candidate",
        "name",
        "marks",
        "of",
        "per cent",
        "result",
        "for a person",
        "marks open",
    ]
    .map(str::to_owned)
    .into_iter()
    .chain(topics.iter().flat_map(|topic| [topic.title().to_owned(), format!("{} of", topic.title())]));
    let rows = marked.sittings.iter().map(|sitting| {
        let form = &forms[sitting.form];
        let (total, of) = (sitting.total(), form.total());
        let row = [
            sitting.line.to_string(),
            form.code.clone(),
            sitting.candidate.clone(),
            sitting.name.clone(),
            total.to_string(),
            of.to_string(),
            format!("{:.1}", 100.0 * f64::from(total) / f64::from(of)),
            verdict(sitting, form, pass).to_owned(),
            waiting(sitting, form).to_string(),
            sitting.open(form).to_string(),
        ];
        row.into_iter()
            .chain(topics.iter().flat_map(|topic| {
                let (got, of) = sitting.of_topic(form, *topic);
                [got.to_string(), of.to_string()]
            }))
            .collect()
    });
    csv_text(std::iter::once(head.collect()).chain(rows))
}

/// Every answer with what became of it: nothing keyed is lost.
pub fn answers_csv(marked: &Marked, forms: &[Form]) -> String {
    let head = ["line", "paper", "candidate", "question", "keyed", "key", "marks", "of", "judged", "why"];
    let rows = marked.sittings.iter().flat_map(|sitting| {
        let form = &forms[sitting.form];
        (1..).zip(&form.questions).zip(sitting.typed.iter().zip(&sitting.judged)).map(
            |((no, question), (typed, judged)): ((usize, &Question), _)| {
                vec![
                    sitting.line.to_string(),
                    form.code.clone(),
                    sitting.candidate.clone(),
                    no.to_string(),
                    typed.clone(),
                    question.key_text(),
                    judged.marks.to_string(),
                    question.marks.to_string(),
                    outcome_word(judged.outcome).to_owned(),
                    judged.why.clone(),
                ]
            },
        )
    });
    csv_text(std::iter::once(head.map(str::to_owned).to_vec()).chain(rows))
}

fn outcome_word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Right => "right",
        Outcome::Slip => "slip",
        Outcome::Wrong => "wrong",
        Outcome::Blank => "blank",
        Outcome::ByPerson => "by a person",
        Outcome::Look => "near the key: for a person",
        Outcome::Unclear => "for a person",
    }
}

/// What a person must judge, with room for the marks, who gave them, when and why; that of candidates
/// who stand open first.
pub fn to_judge_csv(marked: &Marked, forms: &[Form], terms: &Terms, source: &str) -> String {
    let mut owners: Vec<&Sitting> = marked.sittings.iter().collect();
    owners.sort_by_key(|sitting| !verdict(sitting, &forms[sitting.form], terms.pass).starts_with("open"));
    let answers = owners.into_iter().flat_map(|sitting| {
        let form = &forms[sitting.form];
        (1..).zip(&form.questions).zip(sitting.typed.iter().zip(&sitting.judged)).filter_map(
            |((no, question), (typed, judged)): ((usize, &Question), _)| {
                let possible = possible(question.marks, question.methods(), judged);
                (possible > 0).then(|| {
                    let texts = [
                        sitting.line.to_string(),
                        form.code.clone(),
                        sitting.candidate.clone(),
                        no.to_string(),
                        typed.clone(),
                        judged.marks.to_string(),
                        (judged.marks + possible).to_string(),
                        judged.why.clone(),
                    ];
                    texts.into_iter().chain([String::new(), String::new(), String::new()]).collect()
                })
            },
        )
    });
    let rows = marked.unmarked.iter().map(|row| {
        let mut fields = vec![String::new(); COLUMNS.len()];
        fields[0] = row.line.to_string();
        source[row.span.clone()].clone_into(&mut fields[4]);
        "the whole row is not marked".clone_into(&mut fields[7]);
        fields
    });
    csv_text(std::iter::once(COLUMNS.map(str::to_owned).to_vec()).chain(rows).chain(answers))
}

/// The record of marks given by persons: before, after, who, when and why.
pub fn remarked_csv(rulings: &[Ruling]) -> String {
    let head = [
        "paper",
        "candidate",
        "question",
        "keyed",
        "marks before",
        "marks after",
        "judged by",
        "date and reason",
    ];
    let rows = rulings.iter().map(|one| {
        vec![
            one.paper.clone(),
            one.candidate.clone(),
            one.question.to_string(),
            one.keyed.clone(),
            one.before.to_string(),
            one.after.to_string(),
            one.by.clone(),
            one.why.clone(),
        ]
    });
    csv_text(std::iter::once(head.map(str::to_owned).to_vec()).chain(rows))
}

/// Item statistics for a spreadsheet.
pub fn items_csv(results: &Results) -> String {
    let head = [
        "place",
        "topic and level",
        "kind",
        "marks",
        "how much of it was got",
        "best against weakest",
        "goes with all marks",
        "goes with the others",
        "paper holds together without it",
        "blank",
        "look at",
        "drawn",
    ];
    let shown = |value: Option<f64>| value.map_or_else(|| "n/a".to_owned(), |value| format!("{value:.4}"));
    let rows = results.items.iter().map(|item| {
        let drawn: Vec<String> =
            item.drawn.iter().map(|drawn| format!("{}: {}", drawn.what, drawn.count)).collect();
        vec![
            (item.slot + 1).to_string(),
            item.about.clone(),
            item.family.clone(),
            item.marks.to_string(),
            shown(item.difficulty),
            shown(item.discrimination),
            shown(item.item_total),
            shown(item.item_rest),
            shown(item.alpha_without),
            item.blank.to_string(),
            item.flag.clone(),
            drawn.join(" | "),
        ]
    });
    csv_text(std::iter::once(head.map(str::to_owned).to_vec()).chain(rows))
}
