//! Keyed answers as any spreadsheet writes them: comma, semicolon or tab, with or without a
//! byte-order mark, UTF-8, UTF-16 or Windows-1252, any line ends. Every field knows its place.

use std::ops::Range;

use crate::problem::Problem;

/// A field and where it stands: bytes of the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cell {
    /// As typed, without quotes and spaces around it.
    pub text: String,
    /// Where.
    pub span: Range<usize>,
}

/// One row below the head.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Line in the file, from 1.
    pub line: usize,
    /// The line as it stands.
    pub span: Range<usize>,
    /// Its fields.
    pub cells: Vec<Cell>,
}

/// A table as read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// The text the places refer to.
    pub source: String,
    /// Names of the columns.
    pub head: Vec<Cell>,
    /// Rows that could be split into fields and are not empty.
    pub rows: Vec<Row>,
    /// Lines that could not: kept as they are.
    pub broken: Vec<Row>,
    /// What is wrong with the lines that are broken.
    pub problems: Vec<Problem>,
}

/// Windows-1252 where it differs from Latin-1: 0x80 to 0x9F.
const WINDOWS: [char; 32] = [
    '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}', '\u{90}',
    '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
];

/// The text of a file in whichever of the usual encodings it is.
pub fn decode(bytes: &[u8]) -> String {
    match bytes {
        [0xFF, 0xFE, rest @ ..] => utf16(rest, u16::from_le_bytes),
        [0xFE, 0xFF, rest @ ..] => utf16(rest, u16::from_be_bytes),
        [0xEF, 0xBB, 0xBF, rest @ ..] => decode(rest),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => text.to_owned(),
            Err(_) => bytes.iter().map(|byte| windows(*byte)).collect(),
        },
    }
}

fn utf16(bytes: &[u8], join: fn([u8; 2]) -> u16) -> String {
    let units: Vec<u16> = bytes.chunks_exact(2).map(|pair| join([pair[0], pair[1]])).collect();
    String::from_utf16_lossy(&units)
}

fn windows(byte: u8) -> char {
    if (0x80..0xA0).contains(&byte) { WINDOWS[usize::from(byte - 0x80)] } else { char::from(byte) }
}

/// Reads a table. Broken lines do not spoil the others.
pub fn read_rows(bytes: &[u8]) -> Table {
    let source = decode(bytes);
    let mut lines = lines(&source).into_iter().enumerate().map(|(at, span)| (at + 1, span)).peekable();
    let mut mark = None;
    // Some spreadsheets name the mark between fields in a line of its own.
    if let Some((_, span)) = lines.peek()
        && let Some(named) = source[span.clone()].strip_prefix("sep=")
    {
        mark = named.chars().next();
        lines.next();
    }
    let head_line = lines.next().map_or(0..0, |(_, span)| span);
    let mark = mark.unwrap_or_else(|| mark_of(&source[head_line.clone()]));
    let head = split(&source, head_line, mark).unwrap_or_default();
    let (mut rows, mut broken, mut problems) = (Vec::new(), Vec::new(), Vec::new());
    for (line, span) in lines {
        match split(&source, span.clone(), mark) {
            Some(cells) if cells.iter().all(|cell| cell.text.is_empty()) => {}
            Some(cells) => rows.push(Row { line, span, cells }),
            None => {
                problems.push(
                    Problem::new("a quotation mark is opened and not closed on this line")
                        .help("close it or take it out; a row stands on one line")
                        .at(span.clone()),
                );
                broken.push(Row { line, span, cells: Vec::new() });
            }
        }
    }
    Table { source, head, rows, broken, problems }
}

/// Byte ranges of the lines, without their ends: LF, CR LF or CR alone.
fn lines(source: &str) -> Vec<Range<usize>> {
    let bytes = source.as_bytes();
    let mut found = Vec::new();
    let mut start = 0;
    let mut at = 0;
    while at < bytes.len() {
        let end = match bytes[at] {
            b'\r' if bytes.get(at + 1) == Some(&b'\n') => 2,
            b'\n' | b'\r' => 1,
            _ => 0,
        };
        if end > 0 {
            found.push(start..at);
            start = at + end;
            at = start;
        } else {
            at += 1;
        }
    }
    if start < bytes.len() {
        found.push(start..bytes.len());
    }
    found
}

/// The mark between fields: the one met most often outside quotes.
fn mark_of(line: &str) -> char {
    let mut quoted = false;
    let mut counts = [(',', 0), (';', 0), ('\t', 0)];
    for character in line.chars() {
        quoted ^= character == '"';
        for (mark, times) in &mut counts {
            *times += i32::from(!quoted && *mark == character);
        }
    }
    // The first of equals, so that a single column means a comma.
    counts.iter().rev().max_by_key(|(_, times)| *times).map_or(',', |(mark, _)| *mark)
}

/// The fields of a line; none when a quotation mark is not closed.
fn split(source: &str, line: Range<usize>, mark: char) -> Option<Vec<Cell>> {
    let mut cells = Vec::new();
    let mut start = line.start;
    let mut quoted = false;
    for (at, character) in source[line.clone()].char_indices() {
        quoted ^= character == '"';
        if character == mark && !quoted {
            cells.push(cell(source, start..line.start + at));
            start = line.start + at + mark.len_utf8();
        }
    }
    cells.push(cell(source, start..line.end));
    (!quoted).then_some(cells)
}

fn cell(source: &str, span: Range<usize>) -> Cell {
    let raw = source[span.clone()].trim();
    let inner = raw.strip_prefix('"').and_then(|raw| raw.strip_suffix('"'));
    let text = inner.map_or_else(|| raw.to_owned(), |inner| inner.replace("\"\"", "\"").trim().to_owned());
    Cell { text, span }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(bytes: &[u8]) -> Vec<Vec<String>> {
        let table = read_rows(bytes);
        table.rows.iter().map(|row| row.cells.iter().map(|cell| cell.text.clone()).collect()).collect()
    }

    #[test]
    fn every_spreadsheets_file_reads_the_same() {
        let plain = texts(b"paper,candidate,q1\nAB,Jo,2.5\n");
        assert_eq!(plain, [["AB", "Jo", "2.5"]]);
        assert_eq!(plain, texts(b"\xEF\xBB\xBFpaper;candidate;q1\r\nAB;Jo;2.5\r\n"));
        assert_eq!(plain, texts(b"paper\tcandidate\tq1\rAB\tJo\t2.5"));
        assert_eq!(plain, texts(b"sep=;\r\npaper;candidate;q1\r\n\"AB\";\" Jo \";2.5"));
        let wide: Vec<u8> =
            "paper\tcandidate\tq1\r\nAB\tJo\t2.5\r\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert_eq!(plain, texts(&[&[0xFF, 0xFE], wide.as_slice()].concat()));
    }

    #[test]
    fn old_encodings_keep_their_letters() {
        assert_eq!(texts(b"a,b\nJos\xE9,5 \x96 6"), [["José", "5 – 6"]]);
    }

    #[test]
    fn a_broken_line_does_not_swallow_the_next() {
        let table = read_rows(b"a,b\n\"x,1\ny,2\n");
        assert_eq!(table.rows.len(), 1);
        assert_eq!((table.broken.len(), table.problems.len()), (1, 1));
        assert_eq!(table.broken[0].line, 2);
    }

    #[test]
    fn a_comma_in_quotes_is_part_of_the_field() {
        let table = read_rows(b"a,b\n\"2,47 km/h\",\"say \"\"go\"\"\"\n");
        assert_eq!(table.rows[0].cells[0].text, "2,47 km/h");
        assert_eq!(table.rows[0].cells[1].text, "say \"go\"");
        assert_eq!(&table.source[table.rows[0].cells[0].span.clone()], "\"2,47 km/h\"");
    }
}
