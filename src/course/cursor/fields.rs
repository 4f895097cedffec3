//! The keys of a mapping, asked for one by one.

use std::ops::Range;

use super::asked::{Ask, entries_at};
use super::words::{listed, nearest, start_of};
use super::{Field, Log, Noted, Read};
use crate::course::tree::Entry;
use crate::problem::Problem;

/// The keys of a mapping, asked for one by one.
pub(in crate::course) struct Fields<'a> {
    what: &'a str,
    place: Range<usize>,
    entries: &'a [Entry],
    asked: Vec<&'static str>,
    missing: Vec<(&'static str, &'static str)>,
    log: &'a Log,
}

impl<'a> Fields<'a> {
    /// The mapping in a field; `what` says what it describes: "a slope".
    pub(in crate::course) fn of(field: &Field<'a>, what: &'a str) -> Read<Self> {
        let entries = field.entries(what)?;
        if !what.is_empty() {
            field.log.ask(entries_at(entries), || Ask::What(what.to_owned()));
        }
        note_duplicates(entries, field.log);
        Ok(Self { what, place: field.place.clone(), entries, asked: vec![], missing: vec![], log: field.log })
    }

    /// The mapping under a key; where it is left out, one without keys.
    pub(in crate::course) fn inner(&mut self, key: &'static str, what: &'a str) -> Read<Self> {
        match self.field(key) {
            Some(field) => Self::of(&field, what),
            None => Ok(Self {
                what,
                place: self.place.clone(),
                entries: &[],
                asked: vec![],
                missing: vec![],
                log: self.log,
            }),
        }
    }

    /// The value under a key, if the key is there.
    pub(in crate::course) fn field(&mut self, key: &'static str) -> Option<Field<'a>> {
        self.asked.push(key);
        self.ask(|| Ask::Key(key));
        self.peek(key)
    }

    /// Writes down what is asked; a mapping without keys has no place of its own.
    fn ask(&self, ask: impl FnOnce() -> Ask) {
        if !self.entries.is_empty() {
            self.log.ask(entries_at(self.entries), ask);
        }
    }

    /// One of these sets of keys is needed; that the reader sees to it stands beside this.
    pub(in crate::course) fn one_of(&self, sets: &'static [&'static [&'static str]]) {
        self.ask(|| Ask::OneOf(sets));
    }

    /// None of these keys is there without the others; that the reader sees to it stands beside this.
    pub(in crate::course) fn together(&self, keys: &'static [&'static str]) {
        self.ask(|| Ask::Together(keys));
    }

    /// As [`Self::field`], for a key asked for elsewhere.
    pub(in crate::course) fn peek(&self, key: &str) -> Option<Field<'a>> {
        self.entries.iter().find(|entry| entry.key == key).map(|entry| of_entry(entry, self.what, self.log))
    }

    /// A value that must be there.
    pub(in crate::course) fn required<T>(
        &mut self,
        key: &'static str,
        example: &'static str,
        read: impl FnOnce(Field<'a>) -> Read<T>,
    ) -> Read<T> {
        self.ask(|| Ask::Needed(key));
        let Some(field) = self.field(key) else {
            self.missing.push((key, example));
            return Err(Noted);
        };
        read(field)
    }

    /// Notes a key as missing that was asked for as one that may be there.
    pub(in crate::course) fn lacking(&mut self, key: &'static str, example: &'static str) -> Noted {
        self.missing.push((key, example));
        Noted
    }

    /// A value that may be there.
    pub(in crate::course) fn optional<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(Field<'a>) -> Read<T>,
    ) -> Read<Option<T>> {
        self.field(key).map(read).transpose()
    }

    /// A list that may be left out, and is then empty.
    pub(in crate::course) fn optional_list<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(Field<'a>) -> Read<Vec<T>>,
    ) -> Read<Vec<T>> {
        Ok(self.optional(key, read)?.unwrap_or_default())
    }

    /// Notes a problem with the value of a key, or with the whole when the key is not there.
    pub(in crate::course) fn problem(
        &self,
        key: &str,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Noted {
        match self.peek(key) {
            Some(field) => field.problem(message, help),
            None => self.log.note(Problem::new(message).help(help).at(self.place.clone())),
        }
    }

    /// Notes a problem that concerns more than this mapping.
    pub(in crate::course) fn note(&self, problem: Problem) -> Noted {
        self.log.note(problem)
    }

    /// As [`Self::problem`], pointing at a second key too.
    pub(in crate::course) fn conflict(
        &self,
        key: &str,
        other: &str,
        label: &str,
        message: String,
        help: &str,
    ) -> Noted {
        let span = |key| self.peek(key).map_or_else(|| self.place.clone(), |field: Field| field.span());
        self.log.note(Problem::new(message).help(help).at(span(key)).related(span(other), label))
    }

    /// Notes the keys nobody asked for and those that are missing. An unknown key that looks like
    /// a missing one is one mistake, not two.
    pub(in crate::course) fn finish(mut self) {
        for entry in self.entries.iter().filter(|entry| !self.asked.contains(&entry.key.as_str())) {
            let absent: Vec<&str> = self.missing.iter().map(|(key, _)| *key).collect();
            let meant = nearest(&entry.key, &absent).or_else(|| nearest(&entry.key, &self.asked));
            let help = match meant {
                Some(key) => format!("did you mean `{key}`?"),
                None => format!("{} may have {}", self.what, listed(&self.asked)),
            };
            self.missing.retain(|(key, _)| Some(*key) != meant);
            let message = format!("`{}` is not a key of {}", start_of(&entry.key), self.what);
            self.log.note(Problem::new(message).help(help).at(entry.key_span.clone()));
        }
        for (key, example) in &self.missing {
            let message = format!("{} needs `{key}`", self.what);
            self.log.note(
                Problem::new(message).help(format!("add a line like `{example}`")).at(self.place.clone()),
            );
        }
    }
}

/// The value of an entry under its key.
pub(super) fn of_entry<'a>(entry: &'a Entry, what: &'a str, log: &'a Log) -> Field<'a> {
    Field { name: &entry.key, of: (&entry.key, what), place: entry.key_span.clone(), node: &entry.value, log }
}

/// Notes keys that stand twice.
pub(super) fn note_duplicates(entries: &[Entry], log: &Log) {
    for (place, entry) in entries.iter().enumerate() {
        if let Some(first) = entries[..place].iter().find(|other| other.key == entry.key) {
            let problem = Problem::new(format!("`{}` is written twice", start_of(&entry.key)));
            let problem = problem.help("keep one of the two").at(entry.key_span.clone());
            log.note(problem.related(first.key_span.clone(), "the first"));
        }
    }
}
