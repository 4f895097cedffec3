//! What went wrong, said to the person who typed it.
//!
//! A [`Problem`] is one mistake with its place in the course; a [`Failure`] is why a run ended and
//! carries the exit code. [`render_problems`] shows the line itself with a mark under the place.
//!
//! ```
//! use slopepack::problem::{Problem, render_problems};
//! let problem = Problem::new("`4x` is no number").help("write 4").at(9..11);
//! let shown = render_problems("day.yaml", "drivers: 4x\n", &[problem], false);
//! assert!(shown.contains("day.yaml:1:10") && shown.contains("drivers: 4x") && shown.contains("write 4"));
//! ```

use std::borrow::Cow;
use std::fmt;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

/// Width, in columns, that a shown line is trimmed to.
const SHOWN_WIDTH: usize = 120;
/// Longest mark under a place, in characters: more only repeats the line above it.
const LONGEST_MARK: usize = 60;

/// One mistake: what is wrong, what would be right, and where it stands in the course.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What is wrong, as one line.
    pub message: String,
    /// What would be right.
    pub help: Option<String>,
    /// The place, as a byte range of the source. Without it the problem concerns the whole file.
    pub span: Option<Range<usize>>,
    /// Other places that belong to the mistake, as byte ranges, each with a label.
    pub related: Vec<(Range<usize>, String)>,
}

impl Problem {
    /// A problem of the whole file, until [`Problem::at`] gives it a place.
    pub fn new(message: impl Into<String>) -> Self {
        Self { message: message.into(), help: None, span: None, related: Vec::new() }
    }

    /// Puts the mark under a byte range of the source.
    #[must_use]
    pub fn at(mut self, span: Range<usize>) -> Self {
        self.span = Some(span);
        self
    }

    /// Says what would be right.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    /// Points at another place, by byte range, that belongs to the mistake.
    #[must_use]
    pub fn related(mut self, span: Range<usize>, text: impl Into<String>) -> Self {
        self.related.push((span, text.into()));
        self
    }
}

/// Why a run ended without its result. The exit code tells which of four kinds it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Failure {
    /// The course or the answers need mending.
    Course(Vec<Problem>),
    /// The same, and each mistake has been shown where it stands: nothing is left to say.
    Told,
    /// The arguments make no sense together.
    Usage(String),
    /// The typesetter is missing, too old, failed or timed out.
    Typesetter(String),
    /// A template is at fault, which no course can mend.
    Template(String),
    /// What the program made does not hold: a fault of its own, which no course can mend.
    Program(String),
    /// Files could not be read or written.
    Files(String),
}

impl Failure {
    /// The exit code promised by the command line: 1 course, 2 usage, 3 typesetter or program, 4 files.
    pub fn exit_code(&self) -> u8 {
        match self {
            Self::Course(_) | Self::Told => 1,
            Self::Usage(_) => 2,
            Self::Typesetter(_) | Self::Template(_) | Self::Program(_) => 3,
            Self::Files(_) => 4,
        }
    }

    /// A failure with a file, in words: what was being done, with which path, and why it failed.
    pub fn files(doing: &str, path: &std::path::Path, why: &std::io::Error) -> Self {
        Self::Files(format!("cannot {doing} {}: {}", path.display(), in_words(why)))
    }
}

/// The commonest reasons of the operating system, as a person would say them.
fn in_words(why: &std::io::Error) -> String {
    use std::io::ErrorKind as Kind;
    match why.kind() {
        Kind::PermissionDenied => "permission denied; choose a folder you may write to".into(),
        Kind::StorageFull | Kind::QuotaExceeded => "the disk is full; free some space and run again".into(),
        Kind::ReadOnlyFilesystem => "the disk is read-only; choose another folder".into(),
        Kind::NotFound => "it does not exist".into(),
        Kind::NotADirectory => "part of the path is a file, not a folder".into(),
        Kind::IsADirectory => "it is a folder, not a file".into(),
        Kind::InvalidFilename => "the name is too long or holds characters a file name cannot have".into(),
        _ => why.to_string(),
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Course(problems) => {
                let lines: Vec<_> = problems.iter().map(|problem| problem.message.as_str()).collect();
                out.write_str(&printable(&lines.join("\n")))
            }
            Self::Told => Ok(()),
            Self::Usage(text)
            | Self::Typesetter(text)
            | Self::Template(text)
            | Self::Program(text)
            | Self::Files(text) => out.write_str(&printable(text)),
        }
    }
}

impl std::error::Error for Failure {}

/// Whether a character would steer a terminal, or hide or reorder what stands around it.
pub(crate) fn steers(character: char) -> bool {
    character.is_control()
        || matches!(character,
            '\u{061C}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}'
            | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}' | '\u{E0000}'..='\u{E007F}')
}

/// Words as they may stand among others on a page: those that run from the right are put between two marks that
/// print nothing and keep them from changing places with the words, commas and numbers around them (Unicode
/// Standard Annex 9, isolates).
///
/// ```
/// use slopepack::problem::isolated;
/// assert_eq!(isolated("Anna"), "Anna");
/// assert_eq!(isolated("שרה"), "\u{2068}שרה\u{2069}");
/// ```
pub fn isolated(text: &str) -> Cow<'_, str> {
    if text.chars().any(runs_from_the_right) {
        Cow::Owned(format!("\u{2068}{text}\u{2069}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// Whether a letter lies in the blocks that Unicode keeps for scripts that run from the right.
fn runs_from_the_right(letter: char) -> bool {
    matches!(letter, '\u{590}'..='\u{8FF}' | '\u{FB1D}'..='\u{FDFF}' | '\u{FE70}'..='\u{FEFE}'
        | '\u{10800}'..='\u{10FFF}' | '\u{1E800}'..='\u{1EFFF}')
}

/// Text that may go to a terminal: characters that steer it become `�`, line breaks and tabs stay.
pub(crate) fn printable(text: &str) -> String {
    text.chars().map(|c| if steers(c) && c != '\n' && c != '\t' { '\u{FFFD}' } else { c }).collect()
}

/// As [`printable`], in one line.
pub(crate) fn one_line(text: &str) -> String {
    printable(text).replace(['\n', '\t'], " ")
}

/// Shows problems in the order they stand in the source, those without a place first.
///
/// Lines and columns count from 1, columns in characters. Nothing in the message or the source
/// can steer the terminal, and long lines are trimmed around the mark.
pub fn render_problems(file_name: &str, source: &str, problems: &[Problem], colour: bool) -> String {
    let mut sorted: Vec<&Problem> = problems.iter().collect();
    sorted.sort_by_key(|problem| problem.span.as_ref().map(|span| (span.start, span.end)));
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() }.term_width(SHOWN_WIDTH);
    let file = one_line(file_name);
    let mut shown = String::new();
    for problem in sorted {
        shown.push_str(&renderer.render(&[group(&file, source, problem)]));
        shown.push_str("\n\n");
    }
    shown
}

/// One problem, laid out.
fn group<'a>(file: &'a str, source: &str, problem: &'a Problem) -> Group<'a> {
    let mut group = Group::with_title(Level::ERROR.primary_title(one_line(&problem.message)));
    match &problem.span {
        Some(span) => group = group.element(snippet(file, source, span, &problem.related)),
        None => group = group.element(annotate_snippets::Origin::path(file)),
    }
    if let Some(help) = &problem.help {
        group = group.element(Level::HELP.message(printable(help)));
    }
    group
}

/// The lines a problem concerns, with its marks.
fn snippet<'a>(
    file: &'a str,
    source: &str,
    span: &Range<usize>,
    related: &'a [(Range<usize>, String)],
) -> Snippet<'a, annotate_snippets::Annotation<'a>> {
    let marks: Vec<_> = std::iter::once(span)
        .chain(related.iter().map(|(span, _)| span))
        .map(|span| within(source, span))
        .collect();
    let first = marks.iter().map(|mark| mark.start).min().unwrap_or(0);
    let last = marks.iter().map(|mark| mark.end).max().unwrap_or(0);
    let excerpt = Excerpt::of(source, first, last);
    let mut snippet = Snippet::source(excerpt.text.clone())
        .path(file)
        .line_start(excerpt.line)
        .annotation(AnnotationKind::Primary.span(excerpt.place(&marks[0])));
    for ((_, label), mark) in related.iter().zip(&marks[1..]) {
        let place = excerpt.place(mark);
        snippet = snippet.annotation(AnnotationKind::Context.span(place).label(one_line(label)));
    }
    snippet
}

/// A byte range that lies inside the source, on character boundaries, in one line, and not
/// longer than a mark may be.
fn within(source: &str, span: &Range<usize>) -> Range<usize> {
    let start = source.floor_char_boundary(span.start.min(source.len()));
    let end = source.floor_char_boundary(span.end.clamp(start, source.len()));
    let place = source[start..end].lines().next().unwrap_or("");
    let length = place.char_indices().nth(LONGEST_MARK).map_or(place.len(), |(at, _)| at);
    start..start + length
}

/// Whole lines cut from a source, made harmless for a terminal, character for character.
struct Excerpt {
    text: String,
    /// Number of the first line, from 1.
    line: usize,
    /// Where the excerpt begins in the source, in bytes.
    from: usize,
    /// For each replaced character: where it ends in the source, and how many bytes longer the
    /// text has become up to there.
    shifts: Vec<(usize, isize)>,
}

impl Excerpt {
    fn of(source: &str, first: usize, last: usize) -> Self {
        let mut from = source[..first].rfind('\n').map_or(0, |at| at + 1);
        if from == 0 && first >= 3 && source.starts_with('\u{FEFF}') {
            from = 3;
        }
        let to = source[last..].find('\n').map_or(source.len(), |at| last + at);
        let line = 1 + source[..from].matches('\n').count();
        let mut excerpt = Self { text: String::new(), line, from, shifts: Vec::new() };
        let lines = source[from..to].strip_suffix('\r').unwrap_or(&source[from..to]);
        let mut shift = 0;
        for (at, character) in lines.char_indices() {
            let line_end = character == '\r' && lines[at + 1..].starts_with('\n');
            if steers(character) && !matches!(character, '\n' | '\t') && !line_end {
                shift += 3 - character.len_utf8().cast_signed();
                excerpt.shifts.push((from + at + character.len_utf8(), shift));
                excerpt.text.push('\u{FFFD}');
            } else {
                excerpt.text.push(character);
            }
        }
        excerpt
    }

    /// A byte range of the source as one of the excerpt.
    fn place(&self, span: &Range<usize>) -> Range<usize> {
        let moved = |at: usize| {
            let before = self.shifts.partition_point(|(end, _)| *end <= at);
            let shift = before.checked_sub(1).map_or(0, |last| self.shifts[last].1);
            (at - self.from).saturating_add_signed(shift).min(self.text.len())
        };
        moved(span.start)..moved(span.end)
    }
}
