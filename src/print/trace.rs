//! From a place on the page's source back to the template that wrote it.

use std::collections::BTreeMap;
use std::fmt;
use std::ops::Range;
use std::sync::Arc;

use minijinja::{OutputSpan, OutputSpanKind};

use crate::problem::{Problem, render_problems};

/// What a document is set for; the shared style reads its word.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Edition {
    /// For the desk and the clipboard.
    #[default]
    Standard,
    /// Nothing under 18 pt, one column, every drawing also in words.
    LargePrint,
    /// Cards of a quarter of the sheet: the huge facts, the list and the abort rule, nothing under 11 pt.
    Pocket,
}

impl Edition {
    /// The word the style knows it by; none for the standard one.
    pub fn word(self) -> Option<&'static str> {
        match self {
            Self::Standard => None,
            Self::LargePrint => Some("large-print"),
            Self::Pocket => Some("pocket"),
        }
    }
}

/// How much white a document keeps between lines, rows and blocks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Spacing {
    /// As designed.
    #[default]
    Usual,
    /// A little less: where the last page would hold a few lines alone.
    Close,
    /// As little as can be read with ease.
    Closest,
}

impl Spacing {
    /// The word the style and the cache know it by.
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Usual => "usual",
            Self::Close => "close",
            Self::Closest => "closest",
        }
    }

    /// The spacing of a word.
    pub(super) fn of(word: &str) -> Option<Self> {
        [Self::Usual, Self::Close, Self::Closest].into_iter().find(|one| one.word() == word)
    }
}

/// A filled template, and where each part of it came from.
#[derive(Clone)]
pub struct Rendered {
    /// The template's name.
    pub name: String,
    /// The source for the typesetter.
    pub text: String,
    /// Which part of the text each part of the templates wrote.
    pub spans: Vec<OutputSpan>,
    /// The edition it is typeset in.
    pub edition: Edition,
    /// How it is set.
    pub spacing: Spacing,
    /// Whether it is set closer where its last page would hold a few lines alone.
    pub saves_pages: bool,
    /// Whether only its reader may see it; nothing of it is then kept for another run.
    pub confidential: bool,
    /// SHA-256 of the club's own template, where it words this page.
    pub own: Option<String>,
    sources: Arc<BTreeMap<String, String>>,
}

impl Rendered {
    /// The same document in another edition.
    #[must_use]
    pub fn in_edition(self, edition: Edition) -> Self {
        if edition == Edition::Standard {
            return Self { edition, ..self };
        }
        Self { edition, spacing: Spacing::Usual, saves_pages: false, ..self }
    }

    /// The same document, set closer where its last page would hold a few lines alone.
    #[must_use]
    pub fn saving_pages(self) -> Self {
        Self { saves_pages: true, ..self }
    }

    /// The same document, set so and not otherwise.
    #[must_use]
    pub fn set(self, spacing: Spacing) -> Self {
        Self { spacing, saves_pages: false, ..self }
    }

    /// The same document, for its reader alone.
    #[must_use]
    pub fn in_confidence(self) -> Self {
        Self { confidential: true, ..self }
    }

    pub(super) fn new(
        name: &str,
        text: String,
        spans: Vec<OutputSpan>,
        sources: Arc<BTreeMap<String, String>>,
    ) -> Self {
        Self {
            name: name.to_owned(),
            text,
            spans,
            edition: Edition::Standard,
            spacing: Spacing::Usual,
            saves_pages: false,
            confidential: false,
            own: None,
            sources,
        }
    }

    /// Something that is wrong at a place of the text, with the line of the template that wrote it, and what would
    /// be right.
    pub(super) fn shown(&self, offset: usize, message: &str, help: &str) -> String {
        let (name, range) = self.origin(offset).unwrap_or((&self.name, 0..0));
        let text = self.sources.get(name).map_or("", String::as_str);
        let problem = Problem::new(message).help(help).at(range);
        render_problems(name, text, &[problem], false).trim_end().to_owned()
    }

    /// The template and byte range that wrote a place of the text.
    ///
    /// For an expression that is the expression itself.
    fn origin(&self, offset: usize) -> Option<(&str, Range<usize>)> {
        let after = self.spans.partition_point(|span| span.output_range().start <= offset);
        let span = self.spans.get(after.checked_sub(1)?)?;
        let mut range = span.source_range();
        if span.kind() == OutputSpanKind::Raw {
            let at = (range.start + offset - span.output_range().start).min(range.end);
            range = at..at + 1;
        }
        Some((span.name(), range))
    }
}

/// Something the typesetter had to say, led back to the template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Complaint {
    /// The template the place lies in, or the document when the place is unknown.
    pub template: String,
    /// Line in the template, from 1; 0 when the place is unknown.
    pub line: usize,
    /// Column in characters, from 1; 0 when the place is unknown.
    pub column: usize,
    /// What the typesetter said.
    pub message: String,
    /// The line of the template with a mark under the place, headed by message and place.
    pub excerpt: String,
}

impl fmt::Display for Complaint {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.excerpt)
    }
}

/// All errors and warnings in what the typesetter wrote to its error output (short form, one
/// `path:line:column: severity: message` a line, columns from 0 in characters).
pub(super) fn complaints(document: &Rendered, output: &str) -> Vec<Complaint> {
    let mut found: Vec<(Option<Spot>, String)> = Vec::new();
    for line in output.lines() {
        match Spot::split(line) {
            Some(complaint) => found.push(complaint),
            None => {
                if let Some((_, message)) = found.last_mut() {
                    message.push(' ');
                    message.push_str(line.trim());
                }
            }
        }
    }
    found.into_iter().map(|(spot, message)| complaint(document, spot, message)).collect()
}

/// A place as the typesetter names it.
struct Spot {
    path: String,
    line: usize,
    column: usize,
}

impl Spot {
    /// Splits one line into place and message. None: the line goes on from the one before.
    fn split(line: &str) -> Option<(Option<Self>, String)> {
        for severity in ["error: ", "warning: "] {
            if let Some(message) = line.strip_prefix(severity) {
                return Some((None, message.to_owned()));
            }
        }
        let (at, severity) = [": error: ", ": warning: "]
            .into_iter()
            .filter_map(|severity| line.find(severity).map(|at| (at, severity)))
            .min()?;
        let mut parts = line[..at].rsplitn(3, ':');
        let column = parts.next()?.parse().ok()?;
        let line_number = parts.next()?.parse().ok()?;
        let path = parts.next()?.replace('\\', "/");
        let message = line[at + severity.len()..].to_owned();
        Some((Some(Self { path, line: line_number, column }), message))
    }
}

fn complaint(document: &Rendered, spot: Option<Spot>, message: String) -> Complaint {
    let place = spot.and_then(|spot| {
        if spot.path == "<stdin>" {
            let offset = offset_of(&document.text, spot.line, spot.column)?;
            document.origin(offset).map(|(name, range)| (name.to_owned(), range))
        } else {
            let text = document.sources.get(&spot.path)?;
            let at = offset_of(text, spot.line, spot.column)?;
            Some((spot.path, at..at + 1))
        }
    });
    let known = place.and_then(|(name, range)| {
        let text = document.sources.get(&name)?;
        let (line, column) = line_and_column(text, range.start);
        let excerpt = shown_in_template(&name, text, range, &message);
        Some((name, line, column, excerpt))
    });
    let Some((template, line, column, excerpt)) = known else {
        let excerpt = render_problems(&document.name, "", &[Problem::new(&message)], false);
        let excerpt = excerpt.trim_end().to_owned();
        return Complaint { template: document.name.clone(), line: 0, column: 0, message, excerpt };
    };
    Complaint { template, line, column, message, excerpt }
}

/// A message with the line of the template it concerns and a mark under the place.
pub(super) fn shown_in_template(name: &str, text: &str, range: Range<usize>, message: &str) -> String {
    render_problems(name, text, &[Problem::new(message).at(range)], false).trim_end().to_owned()
}

/// The byte offset of a line (from 1) and column (from 0, in characters).
fn offset_of(text: &str, line: usize, column: usize) -> Option<usize> {
    let start: usize = text.split_inclusive('\n').take(line.checked_sub(1)?).map(str::len).sum();
    let rest = text.get(start..)?;
    Some(start + rest.char_indices().nth(column).map_or(rest.len(), |(at, _)| at))
}

/// Line and column, both from 1, the column in characters.
fn line_and_column(text: &str, offset: usize) -> (usize, usize) {
    let before = &text[..text.floor_char_boundary(offset.min(text.len()))];
    let line_start = before.rfind('\n').map_or(0, |at| at + 1);
    (1 + before.matches('\n').count(), 1 + before[line_start..].chars().count())
}
