//! Theory and practical in one result: each is passed by itself, neither makes up for the other.

use super::overall::{Part, Practical};
use super::tables::csv_text;
use super::verdict;
use crate::paper::form::Form;
use crate::paper::marking::Marked;
use crate::paper::record::Terms;

/// How theory and practical come to one result, as the record and the results print it.
pub const WHOLE: &str = "Passed as a whole: theory and practical, each by itself; neither makes up for the other. Not passed as a whole: one of them is not passed. Open: one of them still is.";

/// A candidate with both parts and the whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Whole {
    /// Number.
    pub candidate: String,
    /// Name; empty where only a practical was keyed.
    pub name: String,
    /// The paper.
    pub theory: Part,
    /// The runs.
    pub practical: Part,
}

impl Whole {
    /// Both together.
    pub fn result(&self) -> Part {
        self.theory.with(self.practical)
    }
}

/// Everybody of whom a part was keyed: the sittings in their order, then those of whom only a practical was.
pub fn wholes(marked: &Marked, forms: &[Form], terms: &Terms, practicals: &[Practical]) -> Vec<Whole> {
    let of = |candidate: &str| {
        let mut found = practicals.iter().filter(|one| one.candidate.eq_ignore_ascii_case(candidate));
        found.next_back().map_or(Part::NotKeyed, |one| one.result)
    };
    let sat = marked.sittings.iter().map(|sitting| Whole {
        candidate: sitting.candidate.clone(),
        name: sitting.name.clone(),
        theory: match verdict(sitting, &forms[sitting.form], terms.pass) {
            "pass" => Part::Passed,
            "not passed" => Part::NotPassed,
            _ => Part::Open,
        },
        practical: of(&sitting.candidate),
    });
    let unknown = |one: &&Practical| {
        !marked.sittings.iter().any(|sitting| sitting.candidate.eq_ignore_ascii_case(&one.candidate))
    };
    let mut all: Vec<Whole> = sat.collect();
    for one in practicals.iter().filter(unknown) {
        if all.iter().all(|other| !other.candidate.eq_ignore_ascii_case(&one.candidate)) {
            all.push(Whole {
                candidate: one.candidate.clone(),
                name: String::new(),
                theory: Part::NotKeyed,
                practical: of(&one.candidate),
            });
        }
    }
    all
}

/// The same as a file for spreadsheets.
pub fn wholes_csv(all: &[Whole]) -> String {
    let head = ["candidate", "name", "theory", "practical", "whole"].map(str::to_owned).to_vec();
    let rows = all.iter().map(|one| {
        let parts = [one.theory, one.practical, one.result()].map(|part| part.said().to_owned());
        [one.candidate.clone(), one.name.clone()].into_iter().chain(parts).collect()
    });
    csv_text(std::iter::once(head).chain(rows))
}
