//! A roster as any spreadsheet saves it: cells with their places.

use std::ops::Range;

use crate::problem::Problem;

/// Separators looked for, the likeliest first.
const SEPARATORS: [u8; 4] = *b",;\t|";
/// Most rows a roster may have.
const MOST_ROWS: usize = 500;

/// A cell with its place in the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Cell {
    pub(crate) text: String,
    pub(crate) span: Range<usize>,
}

/// The head row and those below it that are not empty.
#[derive(Debug)]
pub(crate) struct Table {
    pub(crate) head: Vec<Cell>,
    pub(crate) rows: Vec<Vec<Cell>>,
}

/// The text of a file: UTF-8 or UTF-16 by its byte-order mark, else UTF-8, else as old spreadsheets
/// of Western Europe save it (Windows-1252, which holds Latin-1).
pub(crate) fn decoded(bytes: &[u8]) -> String {
    if let Some((encoding, _)) = encoding_rs::Encoding::for_bom(bytes) {
        return encoding.decode_without_bom_handling(bytes).0.into_owned();
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => encoding_rs::WINDOWS_1252.decode_without_bom_handling(bytes).0.into_owned(),
    }
}

/// Reads the cells of a text.
///
/// # Errors
/// Quotes left open, rows longer than the head, no rows, each with its place.
pub(crate) fn table(source: &str) -> Result<Table, Vec<Problem>> {
    let (start, separator) = layout(source);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .flexible(true)
        .has_headers(false)
        .from_reader(&source.as_bytes()[start..]);
    let (mut rows, mut problems) = (Vec::new(), Vec::new());
    for record in reader.byte_records() {
        let record = record.expect("a flexible reader of bytes in memory does not fail");
        let at = record.position().map_or(0, csv::Position::byte);
        let begin = start + usize::try_from(at).expect("a place in memory");
        match row(source, begin, separator, &record) {
            Ok(cells) if cells.iter().any(|cell| !cell.text.is_empty()) => rows.push(cells),
            Ok(_) => {}
            Err(problem) => problems.push(problem),
        }
    }
    if rows.is_empty() && problems.is_empty() {
        let help = "the first row names the columns, each further row is one driver";
        return Err(vec![Problem::new("the roster is empty").help(help).at(0..0)]);
    }
    if rows.len() > MOST_ROWS {
        let place = rows[MOST_ROWS][0].span.clone();
        return Err(vec![
            Problem::new(format!("more than {MOST_ROWS} rows")).help("split the day").at(place),
        ]);
    }
    let head = if rows.is_empty() { Vec::new() } else { rows.remove(0) };
    problems.extend(rows.iter().filter_map(|row| too_long(row, &head)));
    if problems.is_empty() { Ok(Table { head, rows }) } else { Err(problems) }
}

/// Where the rows begin and what separates cells: behind the byte-order mark and a `sep=;` line.
fn layout(source: &str) -> (usize, u8) {
    let start = if source.starts_with('\u{FEFF}') { '\u{FEFF}'.len_utf8() } else { 0 };
    let line = source[start..].lines().next().unwrap_or("");
    if let Some(named) = line.to_ascii_lowercase().strip_prefix("sep=")
        && named.len() == 1
    {
        let next = source[start..].find('\n').map_or(source.len(), |at| start + at + 1);
        return (next, named.as_bytes()[0]);
    }
    let mut quoted = false;
    let mut counts = [0_usize; SEPARATORS.len()];
    for byte in source[start..].trim_start_matches(['\n', '\r']).bytes() {
        match byte {
            b'"' => quoted = !quoted,
            b'\n' if !quoted => break,
            _ if quoted => {}
            _ => {
                for (count, _) in counts.iter_mut().zip(SEPARATORS).filter(|(_, known)| *known == byte) {
                    *count += 1;
                }
            }
        }
    }
    let most = counts.iter().max().copied().unwrap_or(0);
    let place = counts.iter().position(|count| *count == most).unwrap_or(0);
    (start, SEPARATORS[place])
}

/// The cells of a record, each where it stands.
fn row(source: &str, begin: usize, separator: u8, record: &csv::ByteRecord) -> Result<Vec<Cell>, Problem> {
    let blank = source[begin..].bytes().take_while(|byte| matches!(byte, b'\n' | b'\r')).count();
    let places = places(source, begin + blank, separator)?;
    Ok(record
        .iter()
        .enumerate()
        .map(|(at, bytes)| {
            let text = String::from_utf8_lossy(bytes).trim().to_owned();
            Cell { text, span: places.get(at).cloned().unwrap_or(begin..begin) }
        })
        .collect())
}

/// Where each cell of a record stands, quotes left out.
fn places(source: &str, begin: usize, separator: u8) -> Result<Vec<Range<usize>>, Problem> {
    let bytes = source.as_bytes();
    let (mut at, mut places) = (begin, Vec::new());
    loop {
        let start = at;
        if bytes.get(at) == Some(&b'"') {
            at += 1;
            loop {
                match bytes.get(at) {
                    Some(b'"') if bytes.get(at + 1) == Some(&b'"') => at += 2,
                    Some(b'"') => break,
                    Some(_) => at += 1,
                    None => {
                        let help = "close it with the same mark before the next separator";
                        let problem = Problem::new("a quote is opened here and never closed");
                        return Err(problem.help(help).at(start..start + 1));
                    }
                }
            }
            places.push(start + 1..at);
        }
        let quoted = at > start;
        while bytes.get(at).is_some_and(|byte| *byte != separator && !matches!(byte, b'\n' | b'\r')) {
            at += 1;
        }
        if !quoted {
            places.push(start..at);
        }
        if bytes.get(at) != Some(&separator) {
            return Ok(places);
        }
        at += 1;
    }
}

fn too_long(row: &[Cell], head: &[Cell]) -> Option<Problem> {
    let extra = row.get(head.len()..)?.iter().find(|cell| !cell.text.is_empty())?;
    let message = format!("this row has {} cells, the head row only {}", row.len(), head.len());
    let help = "a cell that holds the separator needs quotes around it; every column needs a name";
    Some(Problem::new(message).help(help).at(extra.span.clone()))
}
