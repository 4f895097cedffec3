//! A text into rows and cells, each with its place.

use std::ops::Range;

use csv_core::{ReadFieldResult, Reader, ReaderBuilder};

use super::{Cell, Row};
use crate::problem::Problem;

/// Separators looked for, the likeliest first.
pub(super) const SEPARATORS: [u8; 4] = *b",;\t|";

/// Rows that are not empty, rows that cannot be split, and what is wrong with those.
pub(super) fn rows(
    source: &str,
    start: usize,
    separator: u8,
    most: usize,
) -> (Vec<Row>, Vec<Row>, Vec<Problem>) {
    let mut splitter = Splitter::new(source, separator);
    let (mut whole, mut broken, mut problems) = (Vec::new(), Vec::new(), Vec::new());
    let (mut at, mut line, mut number) = (start, 1 + source[..start].matches('\n').count(), 0);
    while at < source.len() && whole.len() < most {
        number += 1;
        let (cells, end) = match splitter.record(at) {
            Ok(read) => read,
            Err(quote) => {
                problems.push(open_quote(quote));
                (Vec::new(), source[at..].find('\n').map_or(source.len(), |end| at + end + 1))
            }
        };
        let row =
            Row { line, number, span: at..at + source[at..end].trim_end_matches(['\n', '\r']).len(), cells };
        line += source[at..end].matches('\n').count();
        at = end;
        if row.cells.is_empty() {
            broken.push(row);
        } else if row.cells.iter().any(|cell| !cell.text.is_empty()) {
            whole.push(row);
        }
    }
    (whole, broken, problems)
}

fn open_quote(quote: usize) -> Problem {
    Problem::new("a quote is opened here and never closed")
        .help("close it with the same mark before the next separator, or take it out")
        .at(quote..quote + 1)
}

/// Takes records out of a text, cell by cell.
struct Splitter<'a> {
    source: &'a str,
    separator: u8,
    reader: Reader,
    cell: Vec<u8>,
}

impl<'a> Splitter<'a> {
    fn new(source: &'a str, separator: u8) -> Self {
        let reader = ReaderBuilder::new().delimiter(separator).build();
        Self { source, separator, reader, cell: vec![0; 256] }
    }

    /// The cells of the record at a place, and where the next one begins.
    ///
    /// # Errors
    /// The place of a quote that is never closed, or closed where text of another cell goes on.
    fn record(&mut self, begin: usize) -> Result<(Vec<Cell>, usize), usize> {
        self.reader.reset();
        let (mut at, mut cells) = (begin, Vec::new());
        // The reader passes over empty lines; here they are rows of their own, without text.
        if let Some(end) = line_end(&self.source[at..]) {
            return Ok((vec![Cell { text: String::new(), span: at..at }], at + end));
        }
        loop {
            at += self.blanks(at);
            let start = at;
            let (text, end, last) = self.field(at);
            let raw = start..end;
            if self.source[raw.clone()].starts_with('"') && !closes(&self.source[raw.clone()]) {
                return Err(start);
            }
            cells.push(Cell { text: text.trim().to_owned(), span: self.inner(raw) });
            if last {
                let next = end + line_end(&self.source[end..]).unwrap_or(0);
                return Ok((cells, next));
            }
            at = end + 1;
        }
    }

    /// Blanks in front of a cell: people type them behind a separator, in front of a quote.
    fn blanks(&self, at: usize) -> usize {
        let blank = |byte: &u8| *byte == b' ' && self.separator != b' ';
        self.source.as_bytes()[at..].iter().take_while(|byte| blank(byte)).count()
    }

    /// A cell's text, where it ends, and whether it is the record's last.
    fn field(&mut self, start: usize) -> (String, usize, bool) {
        let bytes = self.source.as_bytes();
        let (mut at, mut filled) = (start, 0);
        loop {
            let (result, taken, put) = self.reader.read_field(&bytes[at..], &mut self.cell[filled..]);
            at += taken;
            filled += put;
            let last = match result {
                ReadFieldResult::InputEmpty => continue,
                ReadFieldResult::OutputFull => {
                    self.cell.resize(2 * self.cell.len(), 0);
                    continue;
                }
                ReadFieldResult::Field { record_end } => record_end,
                ReadFieldResult::End => true,
            };
            let ended = at > start
                && if last {
                    matches!(bytes[at - 1], b'\n' | b'\r')
                } else {
                    bytes[at - 1] == self.separator
                };
            let text = String::from_utf8_lossy(&self.cell[..filled]).into_owned();
            return (text, at - usize::from(ended), last);
        }
    }

    /// A cell's place without blanks and quotes around it.
    fn inner(&self, raw: Range<usize>) -> Range<usize> {
        let text = self.source[raw.clone()].trim();
        let start = raw.start + self.source[raw].find(text).unwrap_or(0);
        let within = text.strip_prefix('"').and_then(|text| text.strip_suffix('"'));
        match within {
            Some(within) => start + 1..start + 1 + within.len(),
            None => start..start + text.len(),
        }
    }
}

/// Length of the line end a text begins with.
fn line_end(text: &str) -> Option<usize> {
    ["\r\n", "\n", "\r"].iter().find(|end| text.starts_with(**end)).map(|end| end.len())
}

/// Whether a cell that begins with a quote is closed. Text behind the closing one may be somebody's
/// own writing, but not when a line lies between: then it is a quote of another cell.
fn closes(raw: &str) -> bool {
    let mut rest = raw[1..].char_indices();
    while let Some((at, character)) = rest.next() {
        if character == '"' {
            let behind = &raw[at + 2..];
            if behind.starts_with('"') {
                rest.next();
            } else {
                return behind.trim().is_empty() || !raw[..=at].contains('\n');
            }
        }
    }
    false
}
