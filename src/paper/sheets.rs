//! What the templates of papers, answer sheets, mark schemes and results are given.

mod coverage;
mod facts;
mod invigilation;
mod machine;
mod question;
mod results;
mod scheme;
mod standard;

use serde::Serialize;

pub use coverage::Coverage;
pub use invigilation::{Candidate, InvigilationSheet, read_candidates};
pub use machine::{key_json, paper_json};
pub use question::{AnswerSheet, PaperSheet};
pub use results::{FeedbackSheets, ResultSheet};
pub use scheme::SchemeSheet;
pub use standard::{JudgesSheet, StandardSheet};

pub(super) use question::{Item as QuizItem, item as quiz_item};
pub(super) use scheme::{Item as SchemeItem, item as scheme_item};

use super::form::Form;
use crate::course::{Blueprint, Course};
use crate::page::{Fig, Meta};
use crate::quantity::{Digits, Shown};

/// How a paper is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Edition {
    /// As usual.
    Standard,
    /// Set anew in 18 pt, nothing under 16 pt.
    Large,
    /// On a tinted page, sans-serif, wide lines, nothing grey.
    Coloured,
}

/// What all sheets of a form share.
pub struct Issue<'a> {
    /// The course.
    pub course: &'a Course,
    /// First digits of the course file's checksum.
    pub fingerprint: &'a str,
}

impl Issue<'_> {
    fn meta(&self, title: &str, audience: &str, file: &str) -> Meta {
        Meta::of_record(self.course, title, audience, file, self.fingerprint)
    }
}

/// A value given, by name.
#[derive(Clone, Serialize)]
struct Named {
    name: String,
    value: Fig,
}

/// The pass mark with the share it is: `38 (70 %)`.
fn pass_said(papers: &Blueprint) -> String {
    let share = Fig::new(Shown::of(100.0 * papers.pass, Digits::Significant(3)).trimmed().text, "%", false);
    format!("{} ({})", papers.pass_marks(), share.text())
}

/// With a capital letter first.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn hex(colour: [u8; 3]) -> String {
    let [red, green, blue] = colour;
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// The file to key answers into: one row a candidate, one column a question.
pub fn answer_form(forms: &[Form]) -> String {
    let most = forms.iter().map(|form| form.questions.len()).max().unwrap_or(0);
    let head: Vec<String> = ["paper", "candidate", "name"]
        .map(str::to_owned)
        .into_iter()
        .chain((1..=most).map(|no| format!("q{no}")))
        .collect();
    let mut text = head.join(",");
    text.push_str("\r\n");
    for form in forms {
        text.push_str(&form.code);
        text.push_str(&",".repeat(most + 2));
        text.push_str("\r\n");
    }
    text
}
