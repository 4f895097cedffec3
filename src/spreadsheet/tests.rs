use super::*;

const HEADS: [&str; 4] = ["paper", "candidate", "q1", "q2"];

fn read(bytes: &[u8]) -> Table {
    Table::read(bytes, |head| HEADS.contains(&head))
}

fn texts(bytes: &[u8]) -> Vec<Vec<String>> {
    let cells = |row: &Row| row.cells.iter().map(|cell| cell.text.clone()).collect();
    read(bytes).rows.iter().map(cells).collect()
}

#[test]
fn every_spreadsheets_file_reads_the_same() {
    let plain = texts(b"paper,candidate,q1\nAB,Jo,2.5\n");
    assert_eq!(plain, [["AB", "Jo", "2.5"]]);
    for bytes in [
        &b"\xEF\xBB\xBFpaper;candidate;q1\r\nAB;Jo;2.5\r\n"[..],
        b"\xEF\xBB\xBF\xEF\xBB\xBFpaper;candidate;q1\r\nAB;Jo;2.5\r\n",
        b"paper\tcandidate\tq1\rAB\tJo\t2.5",
        b"paper|candidate|q1\nAB|Jo|2.5",
        b"sep=;\r\npaper;candidate;q1\r\n\"AB\";\" Jo \";2.5",
        b"SEP=,\npaper,candidate,q1\nAB,Jo,2.5",
        b"sep=\t\npaper\tcandidate\tq1\nAB\tJo\t2.5",
        b"\"sep=|\"\npaper|candidate|q1\nAB|Jo|2.5",
        b"paper, candidate, q1\nAB, \"Jo\" , 2.5\n",
    ] {
        assert_eq!(plain, texts(bytes), "{}", String::from_utf8_lossy(bytes));
    }
    for join in [u16::to_le_bytes, u16::to_be_bytes] {
        let text = "\u{FEFF}paper\tcandidate\tq1\r\nAB\tJo\t2.5\r\n";
        let wide: Vec<u8> = text.encode_utf16().flat_map(join).collect();
        assert_eq!(plain, texts(&wide));
    }
}

#[test]
fn old_encodings_keep_their_letters() {
    assert_eq!(texts(b"paper,q1\nJos\xE9,5 \x96 6"), [["José", "5 – 6"]]);
}

#[test]
fn a_quoted_cell_may_hold_a_line_break_and_the_next_row_knows_its_line() {
    let table = read(b"paper,q1\n\"one\ntwo\",3\n\nAB,4\n");
    assert_eq!(table.rows[0].cells[0].text, "one\ntwo");
    assert_eq!((table.rows[1].line, table.rows[1].number), (5, 4));
    assert_eq!(table.cell_at(table.rows[1].cells[1].span.start).as_deref(), Some("B4"));
}

#[test]
fn an_open_quote_does_not_swallow_the_next_row() {
    for text in ["paper,q1\n\"x,1\ny,2\n", "paper,q1\n\"x,1\ny,\"2\"\n"] {
        let table = read(text.as_bytes());
        assert_eq!(table.rows.len(), 1, "{text:?}");
        assert_eq!(table.rows[0].cells[1].text, "2");
        assert_eq!((table.broken.len(), table.broken[0].line), (1, 2));
        assert_eq!(&table.source[table.broken[0].span.clone()], "\"x,1");
        assert_eq!(table.problems[0].span, Some(9..10));
    }
    assert_eq!(texts(b"paper,q1\n\"blue\" van,1\n"), [["blue van", "1"]]);
}

#[test]
fn a_quoted_cell_may_end_in_any_letter_and_be_followed_by_more() {
    let file = "paper,candidate,q1\nAB,\"José\" the 2nd,2.5\n";
    assert_eq!(texts(file.as_bytes()).len(), 1);
    assert_eq!(texts("paper,candidate,q1\nAB,\"€\"x,2.5\n".as_bytes()).len(), 1);
}

#[test]
fn a_separator_in_quotes_is_part_of_the_cell() {
    let table = read(b"paper,q1\n\"2,47 km/h\",\"say \"\"go\"\"\"\n");
    assert_eq!(table.rows[0].cells[0].text, "2,47 km/h");
    assert_eq!(table.rows[0].cells[1].text, "say \"go\"");
    assert_eq!(&table.source[table.rows[0].cells[0].span.clone()], "2,47 km/h");
}

#[test]
fn heads_are_found_below_titles_with_separators_of_their_own() {
    let table = read(b"Club day, 8 May, gate at 8\n;;\n\nPaper;Candidate;Q1\nAB;Jo;2,5\n");
    assert_eq!(table.head[1].text, "Candidate");
    assert_eq!((table.head_row, table.rows.len()), (4, 1));
    assert_eq!(table.rows[0].cells[2].text, "2,5");
}

#[test]
fn a_row_beyond_the_heads_is_told_with_its_cell() {
    let table = read(b"paper,candidate\nAB,Jo,\nAB,Jo,2,5\n");
    assert_eq!(table.too_long(&table.rows[0]), None);
    let problem = table.too_long(&table.rows[1]).expect("two cells too many");
    let shown = table.with_cells(vec![problem]);
    assert!(shown[0].message.starts_with("cell C3: this row has 4 cells, the head row only 2"), "{shown:?}");
    assert_eq!(letters(701), "ZZ");
}

#[test]
fn a_spreadsheets_own_file_says_how_to_save_it() {
    for bytes in [&b"PK\x03\x04\x14\0"[..], b"\xD0\xCF\x11\xE0\xA1", b"\x01\0\x02"] {
        let table = read(bytes);
        assert!(
            table.head.is_empty() && table.problems[0].help.as_ref().is_some_and(|help| help.contains("CSV"))
        );
    }
    assert_eq!(read(b""), Table::default());
}
