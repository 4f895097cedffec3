//! Why a text is not a course tree, in words for the person who typed it.

use std::ops::Range;

use serde_saphyr::{Error, Location, budget::BudgetBreach};

use super::{DEEPEST, MOST_ALIASES, MOST_VALUES};
use crate::problem::Problem;

/// What the YAML reader says, what we say, and what would be right.
///
/// Longer phrases first: the first that occurs in the reader's message counts.
const SAYINGS: &[(&str, &str, &str)] = &[
    (
        "mapping values are not allowed",
        SECOND_COLON,
        "put text that holds `: ` in quotes, and line the keys of one block up under one another",
    ),
    ("tab", A_TAB, "indent with spaces, two for each level"),
    ("unclosed quote", "a quote is opened here and never closed", "close it with the same quote mark"),
    (
        "trailing content after",
        "text goes on after the closing quote",
        "inside single quotes write '' for an apostrophe; inside double quotes write \\\" for a quote",
    ),
    (
        "did not find expected '-'",
        "a list ends here, but the line is neither an item nor indented less",
        "begin each item of the list with `- `, and indent keys that follow a list less than its items",
    ),
    (
        "simple key expected ':'",
        NO_COLON,
        "write `key: value`; a text of several lines is indented below its key",
    ),
    (
        "simple key",
        "a key that does not fit on one line",
        "write `key: value` on one line, the key at most 128 characters",
    ),
    (
        "illegal placement of ':'",
        "a `:` inside a `[…]` list",
        "close the bracket with `]` before the next key; a mapping inside a list is written `{key: value}`",
    ),
    ("mismatched bracket", "a bracket closed by one of another kind", "close `[` with `]` and `{` with `}`"),
    ("misplaced bracket", "a closing bracket without an opening one", "take it out, or open it before"),
    (
        "did not find expected ',' or",
        "a `[…]` or `{…}` that is not closed, or lacks a comma",
        "put a comma between the items and close the bracket",
    ),
    (
        "unexpected eof",
        "the file ends inside a bracket or a quote",
        "close it with `]`, `}` or the quote mark",
    ),
    (
        "unexpected character",
        "this character cannot begin a value",
        "put the text in quotes: \"@ …\"; a control character must go",
    ),
    (
        "escape",
        "a `\\` that stands for nothing",
        "use single quotes, or write \\\\ for a backslash inside double quotes",
    ),
    (
        "anchor",
        "a name after `&` or `*` that cannot be one",
        "use letters, digits and hyphens: `&base`, then `*base`",
    ),
    ("directive", "a line that begins with `%`", "put the text in quotes; a course needs no directives"),
    (
        "block scalar",
        "a text block after `|` or `>` that is not indented evenly",
        "indent its first line by two spaces, no tab",
    ),
    (
        "indentation",
        "a line indented too little or too far",
        "line the keys of one block up under one another",
    ),
    ("BOM", "an invisible byte-order mark in the middle of the file", "take it out"),
    ("mapping keys are not allowed", "a `?` key where none may stand", "write `key: value`"),
    (
        "block sequence entries are not allowed",
        "a `- ` where no list may begin",
        "put the list on lines of its own below its key",
    ),
];

/// The reader's error as a problem at its place.
pub(super) fn describe(error: &Error, source: &str) -> Problem {
    let (message, help) = words(error);
    let place = error.location();
    if message == A_TAB
        && let Some(tab) = place.and_then(|place| tab_near(place, source))
    {
        return Problem::new(message).help(help).at(tab..tab + 1);
    }
    if BY_A_COLON.contains(&message.as_str())
        && let Some((key, value, at)) = place.and_then(|place| joined_near(place, source))
    {
        return Problem::new(format!("no blank behind the `:` of `{key}`"))
            .help(format!("write `{key}: {value}`"))
            .at(at..at + key.len() + 1);
    }
    Problem::new(message).help(help).at(place.map_or(0..0, |place| span_of(place, source)))
}

/// Said of a tab among the blanks that indent a line.
const A_TAB: &str = "a tab where only spaces may stand";
const NO_COLON: &str = "a key without its `:`";
const SECOND_COLON: &str = "a second `:` on the line, or a line indented too far";
/// What a `:` without a blank behind it may look like to the reader.
const BY_A_COLON: [&str; 2] = [NO_COLON, SECOND_COLON];

/// The first tab that indents a line, from a place's line on: the reader stops before it.
fn tab_near(place: Location, source: &str) -> Option<usize> {
    let from = offset_of(place, source);
    let from = source[..from].rfind('\n').map_or(0, |at| at + 1);
    let indents = |at: usize| source[..at].rsplit('\n').next().is_some_and(|line| line.trim().is_empty());
    let tabs = source[from..].match_indices('\t').map(|(at, _)| from + at);
    tabs.clone().find(|at| indents(*at)).or_else(|| tabs.into_iter().next())
}

/// A `key:value` that lacks its blank, in a place's line or the one before: key, value, and where.
fn joined_near(place: Location, source: &str) -> Option<(&str, &str, usize)> {
    let here = offset_of(place, source);
    let end = source[here..].find('\n').map_or(source.len(), |at| here + at);
    let lines = source[..end].rsplit('\n').filter(|line| !line.trim().is_empty());
    lines.take(2).find_map(|line| {
        let text = line.trim_start_matches([' ', '-']);
        let (key, value) = text.split_once(':')?;
        let word = key.starts_with(|c: char| c.is_ascii_lowercase())
            && key.chars().all(|c| c.is_ascii_alphanumeric() || c == '-');
        let joined = word && !value.starts_with([' ', '/', '\r']) && !value.is_empty();
        joined.then(|| (key, value.trim(), text.as_ptr() as usize - source.as_ptr() as usize))
    })
}

fn words(error: &Error) -> (String, String) {
    let (message, help) = match error {
        Error::Message { msg, .. } | Error::ExternalMessage { msg, .. } => return said(msg),
        Error::AliasError { error, .. } | Error::WithSnippet { error, .. } => return words(error),
        Error::Budget { breach, .. } => return too_much(breach),
        Error::MultipleDocuments { .. } => second_document(),
        Error::Eof { .. } => ("the file ends too early", "close what is open: a bracket, a brace or a quote"),
        Error::UnknownAnchor { .. } => (
            "`*` with a name that nothing has",
            "give the value it stands for that name first: `&base`; or put the text in quotes",
        ),
        Error::RecursiveReferencesRequireWeakTypes { .. } => {
            ("a value that contains itself", "let `*name` stand outside the value that is called `&name`")
        }
        Error::AliasReplayLimitExceeded { .. }
        | Error::AliasExpansionLimitExceeded { .. }
        | Error::AliasReplayStackDepthExceeded { .. } => {
            ("`*` names that blow the file up beyond measure", "write the values out, or share smaller ones")
        }
        Error::MergeValueNotMapOrSeqOfMaps { .. } => (
            "`<<` takes over a mapping, and this is none",
            "write `<<: *base`, where `&base` names a mapping",
        ),
        Error::InvalidScalar { .. }
        | Error::TaggedScalarCannotDeserializeIntoString { .. }
        | Error::InvalidBinaryBase64 { .. }
        | Error::BinaryNotUtf8 { .. } => {
            ("a `!` tag that does not fit its value", "take the tag out; a course needs none")
        }
        Error::InvalidUtf8Input => ("the file is not UTF-8 text", "save it again as UTF-8"),
        _ => general(),
    };
    (message.to_owned(), help.to_owned())
}

fn said(reader: &str) -> (String, String) {
    let known = SAYINGS.iter().find(|(phrase, ..)| reader.contains(phrase));
    let (message, help) = known.map_or_else(general, |(_, message, help)| (*message, *help));
    (message.to_owned(), help.to_owned())
}

fn general() -> (&'static str, &'static str) {
    (
        "the file cannot be read on from here",
        "a course is YAML: `key: value` lines, lists with `- `, two spaces of indent for each level, \
         and quotes around text with special characters",
    )
}

fn second_document() -> (&'static str, &'static str) {
    ("a second document begins here", "a file holds one course: take out the line `---`, or use two files")
}

fn too_much(breach: &BudgetBreach) -> (String, String) {
    let (message, help) = match breach {
        BudgetBreach::Documents { .. } => {
            let (message, help) = second_document();
            return (message.to_owned(), help.to_owned());
        }
        BudgetBreach::Depth { .. } => {
            (format!("lists and mappings lie more than {DEEPEST} deep"), "a course needs six levels at most")
        }
        BudgetBreach::Aliases { .. }
        | BudgetBreach::Anchors { .. }
        | BudgetBreach::MergeKeys { .. }
        | BudgetBreach::AliasAnchorRatio { .. }
        | BudgetBreach::RecordedAnchorEvents { .. }
        | BudgetBreach::RecordedAnchorBytes { .. } => (
            format!("`&` and `*` names are used more than {MOST_ALIASES} times, or for too much"),
            "write some out",
        ),
        BudgetBreach::SequenceUnbalanced => return said(""),
        _ => (format!("the file holds more than {MOST_VALUES} values"), "split the day into several courses"),
    };
    (message, help.to_owned())
}

/// The character at a place, as bytes.
fn span_of(place: Location, source: &str) -> Range<usize> {
    let start = offset_of(place, source);
    let width = source[start..].chars().next().filter(|c| *c != '\n').map_or(0, char::len_utf8);
    start..start + width
}

/// The byte offset of a line and column, cut back to what the source holds.
pub(super) fn offset_of(place: Location, source: &str) -> usize {
    let line = usize::try_from(place.line()).unwrap_or(usize::MAX).saturating_sub(1);
    let column = usize::try_from(place.column()).unwrap_or(usize::MAX).saturating_sub(1);
    let Some(text) = source.split_inclusive('\n').nth(line) else { return source.trim_end().len() };
    let start = text.as_ptr() as usize - source.as_ptr() as usize;
    start + text.char_indices().nth(column).map_or(text.trim_end_matches(['\n', '\r']).len(), |(at, _)| at)
}
