//! Files of answers as people spoil them: every lost cell is named with its place, nothing is guessed.

use slopepack::paper::{Body, letter, mark, read_answers};
use slopepack::problem::render_problems;

use crate::paper_marking::forms;

/// A whole file of two candidates: heads, and rows of cells.
fn whole() -> (Vec<String>, Vec<Vec<String>>) {
    let form = &forms()[0];
    let head = ["paper", "candidate", "name"].map(str::to_owned).into_iter();
    let head: Vec<String> = head.chain((1..=form.questions.len()).map(|no| format!("q{no}"))).collect();
    let row = |who: &str| -> Vec<String> {
        let cells = [form.code.clone(), who.to_owned(), String::new()].into_iter();
        cells.chain(form.questions.iter().map(slopepack::paper::Question::key_text)).collect()
    };
    (head, vec![row("1"), row("2")])
}

fn text(head: &[String], rows: &[Vec<String>]) -> String {
    std::iter::once(head).chain(rows.iter().map(Vec::as_slice)).fold(String::new(), |mut text, row| {
        text.push_str(&row.join(";"));
        text.push('\n');
        text
    })
}

/// Marks the file; what is said of it, and how many candidates are marked.
fn said(text: &[u8]) -> (String, usize) {
    let table = read_answers(text);
    match mark(&table, forms()) {
        Ok(marked) => {
            let shown = render_problems("answers.csv", &table.source, &marked.problems, false);
            (shown, marked.sittings.len())
        }
        Err(problems) => (render_problems("answers.csv", &table.source, &problems, false), 0),
    }
}

type Spoil = fn(&mut Vec<String>, &mut Vec<Vec<String>>);

#[test]
fn each_broken_file_is_told_of_with_its_place() {
    let cases: [(&str, Spoil, usize, &[&str]); 12] = [
        (
            "a question's column is missing",
            |head, rows| {
                head.remove(10);
                for row in rows {
                    row.remove(10);
                }
            },
            0,
            &["no column `q8`", "answers.csv:1:"],
        ),
        (
            "two questions' columns are missing",
            |head, rows| {
                head.drain(10..12);
                for row in rows {
                    row.drain(10..12);
                }
            },
            0,
            &["no column `q8`", "no column `q9`"],
        ),
        ("a short row", |_, rows| rows[0].truncate(20), 1, &["answers.csv:2:", "ends before question 18"]),
        (
            "a file of one column",
            |head, rows| {
                head.truncate(1);
                for row in rows {
                    row.truncate(1);
                }
            },
            0,
            &["no column `candidate`"],
        ),
        ("heads alone", |_, rows| rows.clear(), 0, &["no row with answers"]),
        (
            "a candidate twice",
            |_, rows| "1".clone_into(&mut rows[1][1]),
            0,
            &["stands in two rows", "answers.csv:2:", "answers.csv:3:"],
        ),
        (
            "a code that does not check",
            |_, rows| "ZZZ-ZZZ".clone_into(&mut rows[1][0]),
            1,
            &["answers.csv:3:1", "is not a paper code"],
        ),
        (
            "a code too many cells away",
            |_, rows| rows[0].insert(3, "B".into()),
            1,
            &["answers.csv:2:", "cells"],
        ),
        ("no candidate", |_, rows| rows[1][1].clear(), 1, &["answers.csv:3:", "no candidate"]),
        (
            "a question with two columns",
            |head, _| "q3".clone_into(&mut head[6]),
            0,
            &["question 3 has two columns", "answers.csv:1:"],
        ),
        (
            "a cell that cannot be read",
            |_, rows| {
                let at = forms()[0].questions.iter().position(|q| matches!(q.body, Body::Choice(_))).unwrap();
                rows[0][3 + at] = format!("{}{}", letter(0), letter(1));
            },
            2,
            &["`AB` cannot be read", "answers.csv:2:"],
        ),
        (
            "a column nobody asked for",
            |head, rows| {
                head.push("q99".into());
                for row in rows {
                    row.push("A".into());
                }
            },
            2,
            &["the column `q99` is not marked", "answers.csv:1:"],
        ),
    ];
    for (what, spoil, marked, words) in cases {
        let (mut head, mut rows) = whole();
        spoil(&mut head, &mut rows);
        let (shown, count) = said(text(&head, &rows).as_bytes());
        assert_eq!(count, marked, "{what}: {shown}");
        for word in words {
            assert!(shown.contains(word), "{what}: {word} in {shown}");
        }
    }
}

#[test]
fn a_whole_file_reads_and_what_is_no_table_is_refused() {
    let (head, rows) = whole();
    let (shown, count) = said(text(&head, &rows).as_bytes());
    assert!(count == 2 && shown.is_empty(), "the whole file reads: {shown}");
    for (what, bytes) in [("nothing", b"".as_slice()), ("no text", b"\x00\x01\x02PK\x03\x04".as_slice())] {
        let (shown, count) = said(bytes);
        assert!(count == 0 && !shown.is_empty(), "{what}");
    }
    let quoted = text(&head, &rows).replacen(";1;", ";\"1;", 1);
    let (shown, count) = said(quoted.as_bytes());
    assert!(count < 2 && shown.contains("quot"), "an open quote: {shown}");
}
