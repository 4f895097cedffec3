//! YAML as a tree in which every word knows its place.
//!
//! The only file that touches the YAML reader. Scalars stay as they were typed (`4.10` keeps its
//! zero, `no` stays a word); what a scalar means is decided by whoever asks for it.

mod fault;

use std::fmt;
use std::ops::Range;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_saphyr::{DuplicateKeyPolicy, Location, MergeKeyPolicy, NonFiniteFloatPolicy, Options, Spanned};

use crate::problem::Problem;

/// Lists and mappings inside one another.
const DEEPEST: usize = 24;
/// Values in a file, aliases written out.
const MOST_VALUES: usize = 50_000;
/// Uses of `*name`.
const MOST_ALIASES: usize = 500;

/// A value and where it was written.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Node {
    /// Where the value was written: bytes of the source. For a list or mapping, where it begins.
    pub span: Range<usize>,
    /// What was written.
    pub value: Value,
}

/// What was written.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Value {
    /// Nothing: a key without a value, `~` or `null`.
    Empty,
    /// A word, number or text as typed.
    Text(String),
    /// A list.
    List(Vec<Node>),
    /// Keys and values in the order written; a key may stand twice.
    Map(Vec<Entry>),
}

/// A key with its value.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Entry {
    /// The key as typed.
    pub key: String,
    /// Where the key was written.
    pub key_span: Range<usize>,
    /// The value.
    pub value: Node,
}

/// Reads YAML into a tree, with the problems of keys that are no words.
///
/// # Errors
/// A problem with its place when the text is not YAML, or is larger or deeper than a course can be.
pub(super) fn parse(source: &str) -> Result<(Node, Vec<Problem>), Problem> {
    let raw: Spanned<Raw> = serde_saphyr::from_str_with_options(source, options())
        .map_err(|error| fault::describe(&error, source))?;
    let mut builder = Builder { source, problems: Vec::new() };
    let root = builder.node(raw);
    Ok((root, builder.problems))
}

fn options() -> Options {
    serde_saphyr::options! {
        budget: serde_saphyr::budget! {
            max_depth: DEEPEST,
            max_nodes: MOST_VALUES,
            max_events: 4 * MOST_VALUES,
            max_aliases: MOST_ALIASES,
            max_anchors: MOST_ALIASES,
            max_merge_keys: MOST_ALIASES,
            max_documents: 1,
        },
        alias_limits: serde_saphyr::alias_limits! {
            max_total_replayed_events: 4 * MOST_VALUES,
            max_replay_stack_depth: 8,
        },
        duplicate_keys: DuplicateKeyPolicy::PassThrough,
        merge_keys: MergeKeyPolicy::Merge,
        strict_booleans: true,
        non_finite_float_policy: NonFiniteFloatPolicy::AsString,
        ignore_binary_tag_for_string: true,
        with_snippet: false,
    }
}

/// The tree as the YAML reader hands it over: scalars already guessed at.
enum Raw {
    Empty,
    /// Text whose value is known.
    Text(String),
    /// A number or truth value whose spelling only the source knows.
    AsTyped,
    List(Vec<Spanned<Raw>>),
    Map(Vec<(Spanned<Raw>, Spanned<Raw>)>),
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(RawVisitor)
    }
}

struct RawVisitor;

impl<'de> Visitor<'de> for RawVisitor {
    type Value = Raw;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a value")
    }

    fn visit_bool<E>(self, _: bool) -> Result<Raw, E> {
        Ok(Raw::AsTyped)
    }

    fn visit_i64<E>(self, _: i64) -> Result<Raw, E> {
        Ok(Raw::AsTyped)
    }

    fn visit_i128<E>(self, _: i128) -> Result<Raw, E> {
        Ok(Raw::AsTyped)
    }

    fn visit_u64<E>(self, _: u64) -> Result<Raw, E> {
        Ok(Raw::AsTyped)
    }

    fn visit_u128<E>(self, _: u128) -> Result<Raw, E> {
        Ok(Raw::AsTyped)
    }

    fn visit_f64<E>(self, _: f64) -> Result<Raw, E> {
        Ok(Raw::AsTyped)
    }

    fn visit_unit<E>(self) -> Result<Raw, E> {
        Ok(Raw::Empty)
    }

    fn visit_none<E>(self) -> Result<Raw, E> {
        Ok(Raw::Empty)
    }

    fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<Raw, D::Error> {
        Raw::deserialize(deserializer)
    }

    fn visit_newtype_struct<D: Deserializer<'de>>(self, deserializer: D) -> Result<Raw, D::Error> {
        Raw::deserialize(deserializer)
    }

    fn visit_str<E>(self, text: &str) -> Result<Raw, E> {
        Ok(Raw::Text(text.to_owned()))
    }

    fn visit_string<E>(self, text: String) -> Result<Raw, E> {
        Ok(Raw::Text(text))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Raw, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element()? {
            list.push(item);
        }
        Ok(Raw::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Raw, A::Error> {
        let mut map = Vec::new();
        while let Some(entry) = entries.next_entry()? {
            map.push(entry);
        }
        Ok(Raw::Map(map))
    }
}

/// Gives every value its place and its spelling back.
struct Builder<'a> {
    source: &'a str,
    problems: Vec<Problem>,
}

impl Builder<'_> {
    fn node(&mut self, raw: Spanned<Raw>) -> Node {
        let span = self.span(raw.defined);
        let value = match raw.value {
            Raw::Empty => Value::Empty,
            Raw::Text(text) => {
                self.note_lost(&span);
                Value::Text(text)
            }
            Raw::AsTyped => {
                self.note_lost(&span);
                Value::Text(self.source[span.clone()].to_owned())
            }
            Raw::List(list) => Value::List(list.into_iter().map(|item| self.node(item)).collect()),
            Raw::Map(map) => {
                Value::Map(map.into_iter().filter_map(|(key, value)| self.entry(key, value)).collect())
            }
        };
        Node { span, value }
    }

    fn entry(&mut self, key: Spanned<Raw>, value: Spanned<Raw>) -> Option<Entry> {
        let key = self.node(key);
        let Value::Text(text) = key.value else {
            let problem = Problem::new("a key must be a word").at(key.span);
            self.problems.push(problem.help("write `key: value`, the key without brackets or braces"));
            return None;
        };
        Some(Entry { key: text, key_span: key.span, value: self.node(value) })
    }

    /// Notes text behind ` #` that was meant: a comment has a blank behind its mark.
    fn note_lost(&mut self, span: &Range<usize>) {
        let written = &self.source[span.clone()];
        if written.is_empty() || written.starts_with(['"', '\'', '|', '>']) {
            return;
        }
        let line = self.source[span.end..].lines().next().unwrap_or("");
        let lost = line.trim_start();
        let meant = lost.strip_prefix('#').is_some_and(|rest| rest.starts_with(char::is_alphanumeric));
        if !meant || lost.len() == line.len() {
            return;
        }
        let (start, lost) = (span.end + line.len() - lost.len(), lost.trim_end());
        let whole = format!("{}{}", written, self.source[span.end..start + lost.len()].to_owned());
        let help = format!(
            "to keep it, put the text in quotes: \"{}\"; a comment has a blank behind `#`",
            whole.replace('\\', "\\\\").replace('"', "\\\"")
        );
        let problem = Problem::new(format!("`{lost}` is left out: ` #` begins a comment"));
        let problem = problem.help(help).at(start..start + lost.len());
        if !self.problems.contains(&problem) {
            self.problems.push(problem);
        }
    }

    /// The place as bytes, cut back to what the source holds.
    fn span(&self, place: Location) -> Range<usize> {
        let bytes = place.span();
        let at = |offset: Option<u64>| offset.and_then(|offset| usize::try_from(offset).ok());
        let start = at(bytes.byte_offset()).unwrap_or_else(|| fault::offset_of(place, self.source));
        let end = start.saturating_add(at(bytes.byte_len()).unwrap_or(0));
        // A block of text counts its last line break as its own; a mark under it would run over.
        let text = self.source.get(start..end).unwrap_or("").trim_end();
        let start = start.min(self.source.len());
        if self.source.is_char_boundary(start) { start..start + text.len() } else { 0..0 }
    }
}
