//! Asking the tree for typed values, every problem noted on the way.
//!
//! A reader never stops at the first mistake: what failed is [`Noted`], the rest is read on, and
//! only what depends on the failed value is left out.

use std::cell::RefCell;
use std::ops::Range;

mod asked;
mod band;
mod fields;
mod names;
mod words;

pub(super) use asked::{Ask, Asked, Form};
pub(super) use fields::Fields;
pub(super) use names::Names;
pub(super) use words::{id_fault, nearest, start_of};

use super::tree::{Entry, Node, Value};
use super::{Clock, Date, LongText, Text};
use crate::problem::Problem;
use crate::quantity::{ParseError, Written, parse};
use asked::{Quantity, entries_at, node_at};
use fields::{note_duplicates, of_entry};
use words::listed;

/// Longest text a course may hold, in characters.
const LONGEST_TEXT: usize = 20_000;

/// A problem was noted; whoever wanted the value goes without.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Noted;

/// A value, or the knowledge that its problem is noted.
pub(super) type Read<T> = Result<T, Noted>;

/// Every problem of a file, and its texts that are too long for their places.
#[derive(Default)]
pub(super) struct Log {
    problems: RefCell<Vec<Problem>>,
    long: RefCell<Vec<LongText>>,
    asked: Option<Asked>,
}

impl Log {
    /// A log in which readers leave what they ask for.
    pub(super) fn asking() -> Self {
        Self { asked: Some(Asked::default()), ..Self::default() }
    }

    /// What readers asked for, if it was to be written down.
    pub(super) fn asked(&self) -> Option<&Asked> {
        self.asked.as_ref()
    }

    /// Writes down what is asked of what lies at a place.
    fn ask(&self, at: usize, ask: impl FnOnce() -> Ask) {
        if let Some(asked) = &self.asked {
            asked.note(at, ask());
        }
    }

    /// Notes a problem; the same one, met again through a shared value, counts once.
    pub(super) fn note(&self, problem: Problem) -> Noted {
        let mut problems = self.problems.borrow_mut();
        if !problems.contains(&problem) {
            problems.push(problem);
        }
        Noted
    }

    /// The problems so far, in the order of the file; the log goes on empty.
    pub(super) fn taken(&self) -> Vec<Problem> {
        Self { problems: RefCell::new(self.problems.take()), ..Self::default() }.into_problems()
    }

    /// A text as pages print it; one too long for its place is noted in full, the same words once.
    pub(super) fn text<const MOST: usize>(&self, words: &str, what: impl FnOnce() -> String) -> Text<MOST> {
        let text: Text<MOST> = words.into();
        let mut long = self.long.borrow_mut();
        if text.is_long() && long.iter().all(|known| known.text != words) {
            long.push(LongText { what: what(), text: words.to_owned() });
        }
        text
    }

    /// The texts too long for their places, in the order they were read; the log goes on without them.
    pub(super) fn long_texts(&self) -> Vec<LongText> {
        self.long.take()
    }

    /// The problems in the order of the file.
    pub(super) fn into_problems(self) -> Vec<Problem> {
        let mut problems = self.problems.into_inner();
        problems.sort_by_key(|problem| problem.span.as_ref().map(|span| (span.start, span.end)));
        problems
    }
}

/// A value under its key, or an item of a list.
#[derive(Clone)]
pub(super) struct Field<'a> {
    /// The key, or what the item is called.
    pub(super) name: &'a str,
    /// The key again, for an item that of its list, and what it is a key of.
    pub(super) of: (&'a str, &'a str),
    /// The key, or the item itself.
    pub(super) place: Range<usize>,
    pub(super) node: &'a Node,
    pub(super) log: &'a Log,
}

impl<'a> Field<'a> {
    /// The whole file.
    pub(super) fn root(node: &'a Node, log: &'a Log) -> Self {
        Self { name: "the course file", of: ("the course file", ""), place: first_key(node), node, log }
    }

    /// Where the value stands, or its key when it begins on a line of its own.
    pub(super) fn span(&self) -> Range<usize> {
        match &self.node.value {
            Value::Text(_) if !self.node.span.is_empty() => self.node.span.clone(),
            _ => self.place.clone(),
        }
    }

    /// Notes a problem with this value.
    pub(super) fn problem(&self, message: impl Into<String>, help: impl Into<String>) -> Noted {
        self.log.note(Problem::new(message).help(help).at(self.span()))
    }

    /// Writes down as what the value is read.
    pub(super) fn form(&self, form: impl FnOnce() -> Form) {
        self.log.ask(node_at(self.node), || Ask::Form(form()));
    }

    fn parse_problem(&self, error: ParseError) -> Noted {
        self.problem(format!("`{}`: {}", self.name, error.message), error.help)
    }

    /// Whether it has keys of its own, and is not one value.
    pub(super) const fn has_keys(&self) -> bool {
        matches!(self.node.value, Value::Map(_))
    }

    /// Whether it is one value, and neither a list nor a mapping.
    pub(super) const fn is_text(&self) -> bool {
        matches!(self.node.value, Value::Text(_))
    }

    /// The words as typed, without spaces around them.
    pub(super) fn word(&self, example: &str) -> Read<&'a str> {
        let name = self.name;
        self.form(|| Form::Words);
        match &self.node.value {
            Value::Text(text) if !text.trim().is_empty() => {
                let length = text.chars().count();
                if length > LONGEST_TEXT {
                    return Err(self.problem(
                        format!("`{name}` is {length} characters long"),
                        format!("shorten it to {LONGEST_TEXT} characters"),
                    ));
                }
                Ok(text.trim())
            }
            Value::Text(_) | Value::Empty => Err(self.problem(
                format!("`{name}` is empty"),
                format!(
                    "write something like {example}, or take the key out if it is not needed; \
                         text that begins with `#` needs quotes"
                ),
            )),
            Value::List(_) => Err(self.problem(
                format!("`{name}` is a list where one value belongs"),
                format!("write one value, like {example}"),
            )),
            Value::Map(_) => Err(self.problem(
                format!("`{name}` has keys of its own where one value belongs"),
                format!("write one value, like {example}; put text that holds `: ` in quotes"),
            )),
        }
    }

    /// Whether this one word stands there instead of what else could.
    pub(super) fn is(&self, word: &'static str) -> bool {
        let is = matches!(&self.node.value, Value::Text(text) if text.trim() == word);
        if is {
            self.form(|| Form::Choice(vec![word.to_owned()]));
        }
        is
    }

    /// Any text that pages print; one too long for its place is noted in full.
    pub(super) fn text<const MOST: usize>(self) -> Read<Text<MOST>> {
        let words = self.word("a few words")?;
        let (key, whole) = self.of;
        Ok(self.log.text(words, || format!("{key} of {}", whole.trim_matches('`'))))
    }

    /// A text that has a page to itself, or that nobody's page but one may show: never cut, never noted.
    pub(super) fn whole_text(self) -> Read<String> {
        self.word("a few words").map(str::to_owned)
    }

    /// A quantity within plausible bounds, which are written like the quantity itself.
    pub(super) fn within<T: Written + PartialOrd>(&self, low: &str, high: &str) -> Read<T> {
        self.form(|| Form::Quantity(Quantity::of::<T>(low, high)));
        let word = self.word(T::EXAMPLE)?;
        let value: T = parse(word).map_err(|error| self.parse_problem(error))?;
        let bound = |text: &str| parse::<T>(text).expect("the program's own bounds can be read");
        if value < bound(low) || value > bound(high) {
            return Err(self.problem(
                format!("`{}`: {word} is hardly possible", self.name),
                format!("expected between {low} and {high}; check the number and its unit"),
            ));
        }
        Ok(value)
    }

    /// A whole number within bounds.
    pub(super) fn whole<T: TryFrom<u64>>(&self, low: u64, high: u64) -> Read<T> {
        self.form(|| Form::Whole(low, high));
        let word = self.word(&low.to_string())?;
        let value = word.parse::<u64>().ok().filter(|value| (low..=high).contains(value));
        value.and_then(|value| T::try_from(value).ok()).ok_or_else(|| {
            self.problem(
                format!("`{}`: `{}` is not a whole number from {low} to {high}", self.name, start_of(word)),
                format!("write a whole number, like {}", low.max(1)),
            )
        })
    }

    /// `yes` or `no`.
    pub(super) fn truth(self) -> Read<bool> {
        self.choice(&[("yes", true), ("no", false), ("true", true), ("false", false)])
    }

    /// One of a few words.
    pub(super) fn choice<T: Copy>(&self, words: &[(&str, T)]) -> Read<T> {
        self.form(|| Form::Choice(words.iter().map(|(word, _)| (*word).to_owned()).collect()));
        let first = words.first().map_or("", |(word, _)| word);
        let typed = self.word(first)?;
        let plain = typed.to_lowercase().replace(['_', ' '], "-");
        if let Some((_, value)) = words.iter().find(|(word, _)| *word == plain) {
            return Ok(*value);
        }
        let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        let help = match nearest(&plain, &known) {
            Some(word) => format!("did you mean `{word}`? Possible are {}", listed(&known)),
            None => format!("possible are {}", listed(&known)),
        };
        Err(self.problem(format!("`{}`: `{}` is not known", self.name, start_of(typed)), help))
    }

    /// A short name that others refer to.
    pub(super) fn id(self) -> Read<String> {
        self.form(|| Form::Id);
        let word = self.word("north-bank")?;
        match id_fault(word) {
            None => Ok(word.to_owned()),
            Some(fault) => Err(self.problem(
                format!("`{}`: `{}` {fault}", self.name, start_of(word)),
                "use letters, digits and hyphens, beginning with a letter or digit: north-bank",
            )),
        }
    }

    /// A picture file beside the course file.
    pub(super) fn picture(self) -> Read<String> {
        self.form(|| Form::File);
        let word = self.word("pictures/brow.jpg")?;
        let outside = word.starts_with(['/', '~']) || word.contains([':', '\\']) || word.contains("..");
        if outside || word.chars().any(char::is_control) {
            return Err(self.problem(
                format!("`{}`: `{}` does not lie beside the course file", self.name, start_of(word)),
                "name a file in the course's folder or below it, with `/`: pictures/brow.jpg",
            ));
        }
        Ok(word.to_owned())
    }

    /// A time of day.
    pub(super) fn clock(self) -> Read<Clock> {
        self.form(|| Form::Clock);
        let word = self.word("09:00")?;
        word.parse().map_err(|_| {
            self.problem(
                format!("`{}`: `{}` is not a time of day", self.name, start_of(word)),
                "write hours and minutes on the 24-hour clock: 09:00",
            )
        })
    }

    /// A day of the calendar, or words for it.
    pub(super) fn date(self) -> Read<Date> {
        let word = self.word("2027-05-08")?;
        Date::read(word).map_err(|why| {
            self.problem(format!("`{}`: {why}", self.name), "write 2027-05-08, or Saturday 8 May 2027")
        })
    }

    /// Every item of a list that holds at least one.
    pub(super) fn items(&self, what: &'a str) -> Read<Vec<Field<'a>>> {
        let name = self.name;
        self.form(|| Form::List);
        let (nodes, help) = match &self.node.value {
            Value::List(nodes) if !nodes.is_empty() => (nodes, ""),
            Value::List(_) | Value::Empty => {
                return Err(self.problem(format!("`{name}` is empty"), format!("add {what}")));
            }
            Value::Text(_) => {
                (const { &Vec::new() }, "put it in brackets, `[ … ]`, or on a line of its own after `- `")
            }
            Value::Map(_) => (const { &Vec::new() }, "begin each item with `- `"),
        };
        if nodes.is_empty() {
            return Err(self.problem(format!("`{name}` wants a list"), help));
        }
        Ok(nodes
            .iter()
            .map(|node| Field { name: what, of: self.of, place: first_key(node), node, log: self.log })
            .collect())
    }

    /// A list read item by item.
    pub(super) fn list<T>(&self, what: &'a str, read: impl Fn(Field<'a>) -> Read<T>) -> Read<Vec<T>> {
        let results: Vec<Read<T>> = self.items(what)?.into_iter().map(read).collect();
        results.into_iter().collect()
    }

    /// A list of texts.
    pub(super) fn texts<const MOST: usize>(self) -> Read<Vec<Text<MOST>>> {
        self.list("the item", Field::text)
    }

    /// Keys that the course chooses itself, each with its value.
    pub(super) fn named(&self, what: &'a str) -> Read<Vec<Field<'a>>> {
        let entries = self.entries(what)?;
        self.log.ask(entries_at(entries), || Ask::Named);
        note_duplicates(entries, self.log);
        Ok(entries.iter().map(|entry| of_entry(entry, what, self.log)).collect())
    }

    /// As [`Self::named`], for keys that are chosen among these; the reader refuses others.
    pub(super) fn named_among(&self, what: &'a str, known: &[&'static str]) -> Read<Vec<Field<'a>>> {
        let entries = self.entries(what)?;
        self.log.ask(entries_at(entries), || Ask::What(what.to_owned()));
        for key in known {
            self.log.ask(entries_at(entries), || Ask::Key(key));
        }
        self.named(what)
    }

    fn entries(&self, what: &str) -> Read<&'a [Entry]> {
        match &self.node.value {
            Value::Map(entries) => Ok(entries),
            Value::Empty => Err(self.problem(
                format!("`{}` is empty", self.name),
                format!("indent the keys of {what} below it, or take the key out"),
            )),
            Value::Text(_) => Err(self.problem(
                if what.trim_matches('`') == self.name {
                    format!("`{}` is one value, and has keys of its own", self.name)
                } else {
                    format!("`{}` is one value, but {what} has keys of its own", self.name)
                },
                "write them below, indented by two spaces, or as {key: value, key: value}",
            )),
            Value::List(_) => Err(self.problem(
                format!("`{}` is a list, but {what} has keys", self.name),
                "write `key: value` lines without `- `",
            )),
        }
    }
}

/// The first key of a mapping, or where the value begins.
fn first_key(node: &Node) -> Range<usize> {
    match &node.value {
        Value::Map(entries) if node.span.is_empty() => {
            entries.first().map_or_else(|| node.span.clone(), |entry| entry.key_span.clone())
        }
        _ => node.span.clone(),
    }
}
