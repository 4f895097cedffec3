//! Names that others refer to.

use std::ops::Range;

use super::words::{id_fault, listed, nearest, start_of};
use super::{Field, Form, Noted, Read};
use crate::course::tree::{Node, Value};
use crate::problem::Problem;

/// Names that others refer to.
pub(in crate::course) struct Names {
    what: &'static str,
    known: Vec<String>,
    /// Whether every entry has a name that can be read; only then is another name unknown.
    complete: bool,
}

impl Names {
    /// Names as they are, none of them in doubt.
    pub(in crate::course) fn new(what: &'static str, known: Vec<String>, complete: bool) -> Self {
        Self { what, known, complete }
    }

    /// The ids of a list, duplicates noted. Entries with other faults still have their name.
    pub(in crate::course) fn in_list(what: &'static str, list: Option<&Field>) -> Self {
        let mut seen: Vec<(&str, Range<usize>)> = Vec::new();
        let mut complete = true;
        let Some(Field { node: Node { value: Value::List(nodes), .. }, log, .. }) = list else {
            return Self::new(what, Vec::new(), list.is_none());
        };
        for node in nodes {
            let Some((id, span)) = id_of(node) else {
                complete = false;
                continue;
            };
            complete &= id_fault(id).is_none();
            match seen.iter().find(|(known, _)| *known == id) {
                Some((_, first)) => {
                    let problem = Problem::new(format!("a second {what} is called `{}`", start_of(id)));
                    let problem = problem.help("give each an `id` of its own").at(span);
                    log.note(problem.related(first.clone(), "the first"));
                }
                None => seen.push((id, span)),
            }
        }
        Self::new(what, seen.into_iter().map(|(id, _)| id.to_owned()).collect(), complete)
    }

    /// A reference to one of them.
    pub(in crate::course) fn refer(&self, field: &Field) -> Read<String> {
        field.form(|| Form::Name(self.what));
        let word = field.word(self.known.first().map_or("a name", String::as_str))?;
        if self.known.iter().any(|known| known == word) {
            return Ok(word.to_owned());
        }
        if !self.complete {
            return Err(Noted);
        }
        let known: Vec<&str> = self.known.iter().map(String::as_str).collect();
        let help = match nearest(word, &known) {
            Some(name) => format!("did you mean `{name}`?"),
            None if known.is_empty() => format!("the course has no {}", self.what),
            None => format!("the course has {}", listed(&known)),
        };
        Err(field.problem(format!("there is no {} called `{}`", self.what, start_of(word)), help))
    }

    /// A reference to one of them; none where this other word stands instead.
    pub(in crate::course) fn refer_or(&self, other: &str, field: &Field) -> Read<Option<String>> {
        let stands = matches!(&field.node.value, Value::Text(word) if word.trim() == other);
        if stands && self.known.iter().all(|known| known != other) {
            field.form(|| Form::Name(self.what));
            return Ok(None);
        }
        self.refer(field).map(Some)
    }
}

fn id_of(node: &Node) -> Option<(&str, Range<usize>)> {
    let Value::Map(entries) = &node.value else { return None };
    let value = &entries.iter().find(|entry| entry.key == "id")?.value;
    let Value::Text(id) = &value.value else { return None };
    (!id.trim().is_empty()).then(|| (id.trim(), value.span.clone()))
}
