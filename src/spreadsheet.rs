//! Tables as any spreadsheet saves them: one reader for rosters, keyed answers and observations.
//!
//! UTF-8, UTF-16 or Windows-1252; comma, semicolon, tab or bar; a `sep=` line; quotes and line breaks
//! inside them; title rows above the heads. Every cell knows its place in the text.
//!
//! ```
//! use slopepack::spreadsheet::Table;
//! let bytes = "Entries 2027;;\r\nname;car;note\r\nA. B.;wagon;\"first\r\nsecond\"\r\n".as_bytes();
//! let table = Table::read(bytes, |head| ["name", "car"].contains(&head));
//! assert_eq!(table.head[0].text, "name");
//! assert_eq!(table.rows[0].cells[2].text, "first\r\nsecond");
//! assert_eq!(table.cell_at(table.rows[0].cells[1].span.start).as_deref(), Some("B3"));
//! ```

mod split;

use std::ops::Range;

use crate::problem::Problem;
use split::{SEPARATORS, rows};

/// Rows among which the heads are looked for.
const HEAD_WITHIN: usize = 20;
/// Bytes among which they are looked for.
const HEAD_REACH: usize = 64 * 1024;

/// A cell and where it stands: bytes of the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cell {
    /// As typed, without quotes and blanks around it.
    pub text: String,
    /// Where, quotes left out.
    pub span: Range<usize>,
}

/// One row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Line of the file it begins in, from 1.
    pub line: usize,
    /// Row as a spreadsheet numbers it, from 1: a line break in quotes makes no new row.
    pub number: usize,
    /// The row as it stands.
    pub span: Range<usize>,
    /// Its cells.
    pub cells: Vec<Cell>,
}

/// A table as read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// The text that places refer to.
    pub source: String,
    /// The heads of the columns; none in an empty file.
    pub head: Vec<Cell>,
    /// Row of the heads, as a spreadsheet numbers it.
    pub head_row: usize,
    /// Rows below the heads that could be split into cells and are not empty.
    pub rows: Vec<Row>,
    /// Rows that could not, kept as they are.
    pub broken: Vec<Row>,
    /// What is wrong with the broken ones, or with the whole file.
    pub problems: Vec<Problem>,
}

impl Table {
    /// Reads a table. `known` tells whether a head, as [`plain`] gives it, is one of the reader's
    /// columns: rows above the one that holds most of them are titles, and of two separators the
    /// right one shows more of them.
    pub fn read(bytes: &[u8], known: impl Fn(&str) -> bool) -> Self {
        if let Some(problem) = not_text(bytes) {
            return Self { problems: vec![problem], ..Self::default() };
        }
        let source = decoded(bytes);
        let heads = |row: &Row| row.cells.iter().filter(|cell| known(&plain(&cell.text))).count();
        let (start, separator) = match named_separator(&source) {
            Some(named) => named,
            None => (0, likeliest(&source, heads)),
        };
        let (mut rows, broken, problems) = rows(&source, start, separator, usize::MAX);
        let top = head_place(&rows, heads);
        let below = rows.split_off(rows.len().min(top + 1));
        let (head, head_row) = rows.pop().map(|row| (row.cells, row.number)).unwrap_or_default();
        Self { source, head, head_row, rows: below, broken, problems }
    }

    /// What is wrong with a row whose cells go beyond the heads.
    pub fn too_long(&self, row: &Row) -> Option<Problem> {
        let extra = row.cells.get(self.head.len()..)?.iter().find(|cell| !cell.text.is_empty())?;
        let (cells, heads) = (row.cells.len(), self.head.len());
        let message = format!(
            "this row has {cells} cells, the head row only {heads}: some may stand in the wrong column"
        );
        let help = "a cell that holds the separator needs quotes around it; every column needs a name";
        Some(Problem::new(message).help(help).at(extra.span.clone()))
    }

    /// The cell at a place, as a spreadsheet names it: `C7`.
    pub fn cell_at(&self, place: usize) -> Option<String> {
        let holds = |span: &Range<usize>| (span.start..=span.end).contains(&place);
        let in_row = |number: usize, cells: &[Cell]| {
            let column = cells.iter().position(|cell| holds(&cell.span))?;
            Some(format!("{}{number}", letters(column)))
        };
        in_row(self.head_row, &self.head)
            .or_else(|| self.rows.iter().find_map(|row| in_row(row.number, &row.cells)))
    }

    /// Says in which cell each of the problems is, for whoever has the spreadsheet open.
    #[must_use]
    pub fn with_cells(&self, mut problems: Vec<Problem>) -> Vec<Problem> {
        for problem in &mut problems {
            if let Some(cell) = problem.span.as_ref().and_then(|span| self.cell_at(span.start)) {
                problem.message = format!("cell {cell}: {}", problem.message);
            }
        }
        problems
    }
}

/// A head as it is compared: small letters, words joined by hyphens.
pub fn plain(head: &str) -> String {
    head.trim().to_lowercase().replace([' ', '_', '.'], "-").trim_matches('-').to_owned()
}

/// A head without its unit, and the unit: `mass-(kg)` is `mass`, in `kg`.
pub fn head_and_unit(head: &str) -> (&str, Option<&str>) {
    let parted = head.strip_suffix([')', ']']).and_then(|rest| rest.rsplit_once(['(', '[']));
    match parted {
        Some((name, unit)) if !unit.is_empty() => (name.trim_end_matches(['-', ' ']), Some(unit)),
        _ => (head, None),
    }
}

/// A bare number with the unit its head names.
pub fn with_unit(cell: &Cell, unit: Option<&str>) -> Cell {
    let digits = cell.text.strip_prefix(['-', '−', '+']).unwrap_or(&cell.text);
    let bare = !digits.is_empty() && digits.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
    match unit.filter(|_| bare) {
        Some(unit) => Cell { text: format!("{} {unit}", cell.text), span: cell.span.clone() },
        None => cell.clone(),
    }
}

/// Letters of a column from 0: A to Z, then AA.
fn letters(column: usize) -> String {
    let last = char::from(b'A' + u8::try_from(column % 26).expect("less than 26"));
    match column / 26 {
        0 => last.to_string(),
        before => format!("{}{last}", letters(before - 1)),
    }
}

/// The text of a file: by its byte-order mark, else UTF-8, else as old spreadsheets of Western
/// Europe save it (Windows-1252, which holds Latin-1). Lines end in a line feed, alone or behind a
/// carriage return.
fn decoded(bytes: &[u8]) -> String {
    let encoding = match encoding_rs::Encoding::for_bom(bytes) {
        Some((encoding, _)) => encoding,
        None if std::str::from_utf8(bytes).is_ok() => encoding_rs::UTF_8,
        None => encoding_rs::WINDOWS_1252,
    };
    let text = encoding.decode_with_bom_removal(bytes).0;
    let text = text.trim_start_matches('\u{FEFF}');
    if text.contains('\n') { text.to_owned() } else { text.replace('\r', "\n") }
}

/// A spreadsheet's own file, or another that holds no text.
fn not_text(bytes: &[u8]) -> Option<Problem> {
    let own = bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]);
    let marked = encoding_rs::Encoding::for_bom(bytes).is_some();
    let message = if own {
        "this is a spreadsheet's own file, not a table saved as text"
    } else if !marked && bytes.contains(&0) {
        "this file is not text"
    } else {
        return None;
    };
    let help = "in the spreadsheet, choose “Save as” and the type CSV (or “Unicode text”)";
    Some(Problem::new(message).help(help).at(0..0))
}

/// What a `sep=;` line names: where the rows begin and what separates their cells.
fn named_separator(source: &str) -> Option<(usize, u8)> {
    let line = source.lines().next()?.trim();
    let line = line.strip_prefix('"').and_then(|line| line.strip_suffix('"')).unwrap_or(line);
    let mark = line.get(..4).filter(|word| word.eq_ignore_ascii_case("sep=")).map(|_| &line[4..])?;
    let separator = match mark.as_bytes() {
        [one] if one.is_ascii() && !matches!(one, b'"' | b'\r') => *one,
        // `sep=` and a tab, which trimming took away.
        [] => b'\t',
        _ => return None,
    };
    Some((source.find('\n').map_or(source.len(), |at| at + 1), separator))
}

/// The separator that shows most known heads; of equals the one that splits their row most.
fn likeliest(source: &str, heads: impl Fn(&Row) -> usize + Copy) -> u8 {
    let top = &source[..source.floor_char_boundary(HEAD_REACH)];
    let score = |separator: u8| {
        let (rows, ..) = rows(top, 0, separator, HEAD_WITHIN);
        rows.get(head_place(&rows, heads)).map_or((0, 0), |row| (heads(row), row.cells.len()))
    };
    // The last of equals counts: so that a single column means a comma, the comma comes last.
    SEPARATORS.into_iter().rev().max_by_key(|separator| score(*separator)).unwrap_or(b',')
}

/// The first row with the most known heads; the first of all when none has any.
fn head_place(rows: &[Row], heads: impl Fn(&Row) -> usize) -> usize {
    let counts = rows.iter().take(HEAD_WITHIN).map(heads).enumerate();
    counts.rev().max_by_key(|(_, count)| *count).map_or(0, |(at, _)| at)
}

#[cfg(test)]
mod tests;
