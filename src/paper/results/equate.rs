//! Forms compared by the questions they share.

use std::collections::BTreeSet;

use super::standards::{FEWEST_TO_EQUATE, Group, tucker};
use crate::paper::form::Form;
use crate::paper::marking::Marked;
use crate::paper::record::Terms;

/// Fewest questions that forms must share to be equated by them. Judgement, no source.
const FEWEST_COMMON: usize = 5;

/// How a form compares with the first one.
#[derive(Clone, Debug, PartialEq)]
pub enum Equated {
    /// Marks of this form as marks of the first: slope and intercept, by so many common questions.
    Line {
        /// Slope.
        slope: f64,
        /// Intercept, marks.
        intercept: f64,
        /// Common questions.
        common: usize,
    },
    /// Not done, and why.
    Not(String),
}

impl Equated {
    /// In words.
    pub fn said(&self, terms: &Terms, forms: &[Form]) -> String {
        match self {
            Self::Not(why) => why.clone(),
            Self::Line { slope, intercept, common } => {
                let pass = (f64::from(terms.pass) - intercept) / slope;
                format!(
                    "marks of {} = {slope:.3} × marks here {} {:.2}, by {common} questions in common (linear, Tucker); \
                     its pass mark of {} is {pass:.1} here. No mark is changed by this: decide, and write it down.",
                    forms[0].code,
                    if *intercept < 0.0 { "−" } else { "+" },
                    intercept.abs(),
                    terms.pass
                )
            }
        }
    }
}

/// How a form compares with the first one; none for the first.
pub fn equated(marked: &Marked, forms: &[Form], form: usize) -> Option<Equated> {
    if form == 0 {
        return None;
    }
    let tasks = |form: &Form| -> BTreeSet<String> {
        form.questions.iter().map(|question| question.variant.task().to_owned()).collect()
    };
    let common: BTreeSet<String> = tasks(&forms[0]).intersection(&tasks(&forms[form])).cloned().collect();
    let group = |at: usize| {
        let sittings = marked.sittings.iter().filter(|sitting| sitting.form == at);
        let marks = sittings.map(|sitting| {
            let questions = forms[at].questions.iter().zip(&sitting.judged);
            let of_common = questions.filter(|(question, _)| common.contains(question.variant.task()));
            (f64::from(sitting.total()), of_common.map(|(_, judged)| f64::from(judged.marks)).sum::<f64>())
        });
        marks.unzip::<f64, f64, Vec<f64>, Vec<f64>>()
    };
    let (first, this) = (group(0), group(form));
    let fewest = first.0.len().min(this.0.len());
    if fewest < FEWEST_TO_EQUATE {
        return Some(Equated::Not(format!(
            "no adjustment made: {fewest} candidates, and below {FEWEST_TO_EQUATE} a form equating adds more error than \
             it takes away"
        )));
    }
    if common.len() < FEWEST_COMMON {
        return Some(Equated::Not(format!(
            "no adjustment made: {} questions in common, and fewer than {FEWEST_COMMON} do not tell groups apart",
            common.len()
        )));
    }
    let groups = Group::of(&this.0, &this.1).zip(Group::of(&first.0, &first.1));
    Some(match groups.map(|(this, first)| tucker(&this, &first)) {
        Some((slope, intercept)) if slope.is_finite() => {
            Equated::Line { slope, intercept, common: common.len() }
        }
        _ => Equated::Not("no adjustment made: the marks of a group do not vary".to_owned()),
    })
}
