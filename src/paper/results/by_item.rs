//! Statistics of each item over all forms that have it, and of each form.

use std::collections::BTreeMap;

use super::FEWEST;
use super::tables::csv_text;
use crate::paper::form::Form;
use crate::paper::item::Question;
use crate::paper::marking::Marked;
use crate::paper::marking::answer::Judged;
use crate::paper::record::Terms;
use crate::paper::results::equate::equated;
use crate::paper::results::standards::FEWEST_TO_EQUATE;
use crate::paper::results::statistics::{Divisor, Scores, correlation, mean, variance};

/// One answer to an item: share of its marks, marks on the rest of the paper.
struct Answer<'a> {
    question: &'a Question,
    judged: &'a Judged,
    share: f64,
    rest: f64,
}

/// A row for each item, whatever the form and place it stood at.
pub fn by_item_csv(marked: &Marked, forms: &[Form]) -> String {
    let mut items: BTreeMap<&str, Vec<Answer>> = BTreeMap::new();
    for sitting in &marked.sittings {
        let total = f64::from(sitting.total());
        for (question, judged) in forms[sitting.form].questions.iter().zip(&sitting.judged) {
            let marks = f64::from(judged.marks);
            let answer =
                Answer { question, judged, share: marks / f64::from(question.marks), rest: total - marks };
            items.entry(&question.variant.name).or_default().push(answer);
        }
    }
    let head = [
        "item",
        "topic",
        "level",
        "marks",
        "n",
        "how much of it was got",
        "goes with the others",
        "drawn",
        "remark",
    ];
    let rows = items.into_iter().map(|(name, answers)| row(name, &answers));
    csv_text(std::iter::once(head.map(str::to_owned).to_vec()).chain(rows))
}

fn row(name: &str, answers: &[Answer]) -> Vec<String> {
    let question = answers[0].question;
    let shares: Vec<f64> = answers.iter().map(|one| one.share).collect();
    let rests: Vec<f64> = answers.iter().map(|one| one.rest).collect();
    let mut drawn: BTreeMap<&str, usize> = BTreeMap::new();
    for one in answers {
        *drawn.entry(if one.judged.drawn.is_empty() { "other" } else { &one.judged.drawn }).or_default() += 1;
    }
    let enough = answers.len() >= FEWEST;
    let shown = |value: Option<f64>| match value {
        Some(value) if enough => format!("{value:.4}"),
        _ => "n/a".to_owned(),
    };
    vec![
        name.to_owned(),
        question.topic.title().to_owned(),
        question.level.key().to_owned(),
        question.marks.to_string(),
        answers.len().to_string(),
        mean(&shares).map_or_else(String::new, |value| format!("{value:.4}")),
        shown(correlation(&shares, &rests)),
        drawn.into_iter().map(|(what, count)| format!("{what}: {count}")).collect::<Vec<_>>().join(" | "),
        if enough { String::new() } else { format!("too few to say (n under {FEWEST})") },
    ]
}

/// A row for each form: mean, deviation, alpha, error; how it compares with the first one, or why that is not said.
pub fn forms_csv(marked: &Marked, forms: &[Form], terms: &Terms) -> String {
    let head =
        ["paper", "n", "mean", "deviation", "paper holds together", "error of a score", "remark", "equating"];
    let rows = forms.iter().enumerate().map(|(at, form)| {
        let sittings = marked.sittings.iter().filter(|sitting| sitting.form == at);
        let scores = Scores(
            sittings
                .map(|sitting| sitting.judged.iter().map(|judged| f64::from(judged.marks)).collect())
                .collect(),
        );
        let (count, totals) = (scores.0.len(), scores.totals());
        let enough = count >= FEWEST;
        let said = |value: Option<f64>, shown: bool| match value {
            Some(value) if shown => format!("{value:.3}"),
            _ => "n/a".to_owned(),
        };
        let remark = if enough {
            String::new()
        } else {
            format!("whether it holds together, and the error: too few to say (n under {FEWEST})")
        };
        vec![
            form.code.clone(),
            count.to_string(),
            said(mean(&totals), count > 0),
            said(variance(&totals, Divisor::NLess1).map(libm::sqrt), count > 1),
            said(if enough { scores.alpha() } else { None }, enough),
            said(if enough { scores.standard_error() } else { None }, enough),
            remark,
            equated(marked, forms, at).map_or_else(String::new, |one| one.said(terms, forms)),
        ]
    });
    let note = vec![equating_said(marked, forms)];
    csv_text(std::iter::once(head.map(str::to_owned).to_vec()).chain(rows).chain([note]))
}

/// What is said of equating: never done below so many candidates a form.
pub fn equating_said(marked: &Marked, forms: &[Form]) -> String {
    let count = |at: usize| marked.sittings.iter().filter(|sitting| sitting.form == at).count();
    let fewest = (0..forms.len()).map(count).min().unwrap_or(0);
    if fewest < FEWEST_TO_EQUATE {
        return format!(
            "No adjustment made between forms: the smallest was sat by {fewest}, and below {FEWEST_TO_EQUATE} a form \
             equating adds more error than it takes away."
        );
    }
    "The last column compares each form with the first one; no mark was changed by it.".to_owned()
}
