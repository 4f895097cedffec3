//! Every text of a course and its roster with the place it was written at.

use std::ops::Range;
use std::path::Path;

use super::roster::Written as InRoster;
use super::{Loaded, private_hidden, roster};
use crate::course::tree::{self, Node, Value};
use crate::problem::Problem;

/// Keys of a driver in the course file that only the person in charge reads.
pub(super) const PRIVATE: [&str; 3] = ["medical", "emergency-contact", "needs"];

/// A text as it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// The words.
    pub text: String,
    /// Whether they stand in the roster's file rather than in the course file.
    pub in_roster: bool,
    /// Where: bytes of that file's text.
    pub span: Range<usize>,
    /// Whether no message may show them.
    pub private: bool,
}

/// All texts of a course and of its roster's file; remarks and columns that are passed over are none.
pub fn written(loaded: &Loaded) -> Vec<Written> {
    let mut all = Vec::new();
    if let Ok((root, _)) = tree::parse(&loaded.source) {
        collect(&root, false, &mut all);
    }
    let rows = roster::written(&loaded.course, &loaded.roster).into_iter();
    all.extend(rows.map(|InRoster { cell, private }| Written {
        text: cell.text,
        in_roster: true,
        span: cell.span,
        private,
    }));
    all
}

/// The name of the file in which problems lie, its text with what is private in it hidden, and the problems with
/// the cell that each is in.
pub fn to_show(loaded: &Loaded, in_roster: bool, problems: Vec<Problem>) -> (String, String, Vec<Problem>) {
    if !in_roster {
        return (loaded.name.clone(), private_hidden(&loaded.source), problems);
    }
    let file = loaded.course.roster.file.as_deref().unwrap_or_default();
    let name = Path::new(&loaded.name).with_file_name(file).display().to_string();
    let (source, problems) = roster::to_show(&loaded.course, &loaded.roster, problems);
    (name, source, problems)
}

fn collect(node: &Node, private: bool, all: &mut Vec<Written>) {
    match &node.value {
        Value::Empty => {}
        Value::Text(text) => {
            all.push(Written { text: text.clone(), in_roster: false, span: node.span.clone(), private });
        }
        Value::List(items) => items.iter().for_each(|item| collect(item, private, all)),
        Value::Map(entries) => {
            for entry in entries {
                collect(&entry.value, private || PRIVATE.contains(&entry.key.as_str()), all);
            }
        }
    }
}
