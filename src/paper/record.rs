//! The sealed record: everything needed to mark, as it was when the papers were printed.
//!
//! `papers` writes it into the staff's folder and puts a digest of it into the code of every paper;
//! `mark` marks from it alone. So a later change of course, items, pass mark or program changes no
//! mark, and a record that was changed, or that belongs to other papers, is refused.
//!
//! The digest is taken over the written form (JSON with the fields in the order of these types). It
//! covers the secret seed, so that a code tells nothing of the key.

mod exposure;
mod written;

use serde::{Deserialize, Serialize};

use super::code::code_from;
use super::form::Form;
use crate::course::{Blueprint, Course, Topic};
use crate::print::fingerprint;
pub use exposure::{exposure_csv, exposure_of};
use written::Written;

/// The form of the record that this program writes and reads.
pub(super) const FORMAT: u32 = 3;

/// What a sitting is marked and judged by.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Terms {
    /// Title of the course.
    pub course: String,
    /// Title of the paper.
    pub title: String,
    /// Time allowed, minutes.
    pub minutes: u16,
    /// Fewest marks that pass.
    pub pass: u16,
    /// Marks of every form.
    pub total: u16,
    /// Topics of the blueprint, in their order.
    pub topics: Vec<Topic>,
    /// How a candidate appeals, as printed.
    pub appeal: String,
    /// When a candidate may sit again, as printed.
    pub resit: String,
}

impl Terms {
    /// The terms a course sets.
    pub fn of(course: &Course) -> Self {
        let blueprint = &course.papers;
        Self {
            course: course.title.full().to_owned(),
            title: blueprint.title.full().to_owned(),
            minutes: blueprint.minutes,
            pass: blueprint.pass_marks(),
            total: blueprint.total(),
            topics: topics(blueprint),
            appeal: blueprint.appeal.clone(),
            resit: blueprint.resit.clone(),
        }
    }
}

/// Topics of the blueprint, each once.
fn topics(blueprint: &Blueprint) -> Vec<Topic> {
    let has = |topic: &Topic| blueprint.cells.iter().any(|cell| cell.topic == *topic);
    Topic::ALL.iter().map(|(_, topic, _)| *topic).filter(has).collect()
}

/// A file that questions were drawn from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Source {
    /// Its name, without folders.
    pub file: String,
    /// SHA-256 of its content.
    pub sha256: String,
}

/// How the papers came to be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Origin {
    /// Version of the program that drew them.
    pub version: String,
    /// The seed, which gives the papers again: for the staff only.
    pub seed: u64,
    /// Whether somebody chose the seed; otherwise it was drawn and is known to nobody.
    pub seed_was_given: bool,
    /// Course file, files of items, the program's own items.
    pub sources: Vec<Source>,
}

/// A form as sealed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Sealed {
    code: String,
    questions: Vec<Written>,
}

/// The record of the papers of a folder.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Record {
    format: u32,
    /// Pass mark, time, topics.
    pub terms: Terms,
    /// Seed, version, sources.
    pub origin: Origin,
    forms: Vec<Sealed>,
    seal: String,
}

/// Why a record is not marked from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unsound {
    /// It is no record of papers, or one of another version of the program.
    Unreadable(String),
    /// What it says is not what was sealed.
    Changed(String),
}

impl Record {
    /// Seals forms: gives each its code and keeps what marking needs.
    pub fn seal(forms: &mut [Form], terms: Terms, origin: Origin) -> Self {
        let mut sealed: Vec<Sealed> = Vec::new();
        for form in forms.iter_mut() {
            let questions: Vec<Written> = form.questions.iter().map(Written::of).collect();
            let digest = digest_of(&terms, &origin, &questions);
            let taken = |code: &str| sealed.iter().any(|other| other.code == code);
            form.code = code_from(&digest, taken);
            sealed.push(Sealed { code: form.code.clone(), questions });
        }
        let mut record = Self { format: FORMAT, terms, origin, forms: sealed, seal: String::new() };
        record.seal = record.digest();
        record
    }

    /// SHA-256 over the whole record; its first digits stand on every sheet.
    pub fn digest_on_sheets(&self) -> &str {
        &self.seal
    }

    /// The forms, ready to mark.
    ///
    /// # Errors
    /// A question that this version of the program cannot mark.
    pub fn forms(&self) -> Result<Vec<Form>, Unsound> {
        self.forms
            .iter()
            .map(|sealed| {
                let questions = sealed.questions.iter().map(Written::question).collect::<Result<_, String>>();
                Ok(Form { code: sealed.code.clone(), questions: questions.map_err(Unsound::Unreadable)? })
            })
            .collect()
    }

    /// Code and number of questions of each form with the tasks on it.
    pub fn tasks(&self) -> impl Iterator<Item = (&str, Vec<&str>)> {
        self.forms.iter().map(|form| (form.code.as_str(), form.questions.iter().map(Written::task).collect()))
    }

    /// As it is written into its file.
    pub fn to_json(&self) -> String {
        let mut json = serde_json::to_string_pretty(self).expect("text and numbers are JSON");
        json.push('\n');
        json
    }

    /// Reads a record and makes sure that it says what was sealed.
    ///
    /// # Errors
    /// What is unsound about it.
    pub fn read(json: &[u8]) -> Result<Self, Unsound> {
        #[derive(Deserialize)]
        struct Head {
            format: u32,
        }
        let unreadable = |why: &dyn std::fmt::Display| Unsound::Unreadable(why.to_string());
        let head: Head = serde_json::from_slice(json).map_err(|why| unreadable(&why))?;
        if head.format != FORMAT {
            return Err(unreadable(&format_args!(
                "it has format {}, this program marks from format {FORMAT}",
                head.format
            )));
        }
        let record: Self = serde_json::from_slice(json).map_err(|why| unreadable(&why))?;
        record.checked()
    }

    fn checked(self) -> Result<Self, Unsound> {
        let mut codes: Vec<&str> = Vec::new();
        for sealed in &self.forms {
            let digest = digest_of(&self.terms, &self.origin, &sealed.questions);
            if code_from(&digest, |code| codes.contains(&code)) != sealed.code {
                return Err(Unsound::Changed(format!(
                    "questions, keys or terms of paper {} are not those it was printed with",
                    sealed.code
                )));
            }
            codes.push(&sealed.code);
        }
        if self.digest() != self.seal {
            return Err(Unsound::Changed("forms were added, taken out or put in another order".to_owned()));
        }
        Ok(self)
    }

    fn digest(&self) -> String {
        fingerprint(&written_bytes(&(self.format, &self.terms, &self.origin, &self.forms)))
    }
}

fn written_bytes(value: &impl Serialize) -> Vec<u8> {
    serde_json::to_vec(value).expect("text and numbers are JSON")
}

fn digest_of(terms: &Terms, origin: &Origin, questions: &[Written]) -> String {
    fingerprint(&written_bytes(&(FORMAT, terms, origin, questions)))
}
