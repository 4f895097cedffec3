//! The invigilator's sheet: who sits which paper, with what adjustment, who was absent, what happened.

use serde::Serialize;

use super::Issue;
use crate::course::{Blueprint, Driver, Need};
use crate::page::Meta;
use crate::paper::form::Form;
use crate::problem::Problem;
use crate::spreadsheet::{Cell, Row, Table, plain};

/// Rows for candidates who are on no list.
const SPARE: usize = 4;
/// Rows where there is no list at all.
const BLANK: usize = 10;

/// A candidate with what was agreed for them before the day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Candidate {
    /// Number or short name.
    pub number: String,
    /// Name.
    pub name: String,
    /// Extra time, share of the time allowed, 0 to 1.
    pub extra_time: f64,
    /// Whether somebody reads the paper out.
    pub reader: bool,
    /// Whether the large-print paper is given.
    pub large_print: bool,
    /// Whether the tinted paper is given.
    pub tint: bool,
}

/// A list of candidates as read.
#[derive(Clone, Debug, Default)]
pub struct Candidates {
    /// Every row that could be read.
    pub rows: Vec<Candidate>,
    /// What is wrong with the others.
    pub problems: Vec<Problem>,
    /// The text that places of problems refer to.
    pub source: String,
}

const COLUMNS: [&str; 6] = ["candidate", "name", "extra-time", "reader", "large-print", "tint"];

/// Reads a list: columns candidate, name, extra time (per cent), reader, large print, tint (yes or nothing).
pub fn read_candidates(bytes: &[u8]) -> Candidates {
    let table = Table::read(bytes, |head| COLUMNS.contains(&head));
    let mut problems = table.problems.clone();
    let column = |name: &str| table.head.iter().position(|cell| plain(&cell.text) == name);
    if column("candidate").is_none() && (!table.head.is_empty() || problems.is_empty()) {
        problems.push(
            Problem::new("the list has no column `candidate`")
                .help("the first line is: candidate, name, extra time, reader, large print, tint"),
        );
        return Candidates { problems, source: table.source, ..Candidates::default() };
    }
    let mut rows: Vec<Candidate> = Vec::new();
    for row in &table.rows {
        match candidate(row, &COLUMNS.map(column)) {
            Ok(one) if rows.iter().any(|other| other.number.eq_ignore_ascii_case(&one.number)) => problems
                .push(
                    Problem::new(format!("candidate `{}` stands twice", one.number))
                        .help("take one row out")
                        .at(row.span.clone()),
                ),
            Ok(one) => rows.push(one),
            Err(problem) => problems.push(problem),
        }
    }
    Candidates { rows, problems: table.with_cells(problems), source: table.source }
}

fn candidate(row: &Row, columns: &[Option<usize>; 6]) -> Result<Candidate, Problem> {
    let cell = |at: usize| columns[at].and_then(|at| row.cells.get(at));
    let text = |at: usize| cell(at).map_or("", |cell: &Cell| cell.text.trim());
    let fault = |at: usize, help: &str| {
        let span = cell(at).map_or(row.span.clone(), |cell| cell.span.clone());
        Problem::new(format!("`{}` cannot be read", text(at))).help(help).at(span)
    };
    if text(0).is_empty() {
        return Err(fault(0, "write the candidate's number"));
    }
    let yes = |at: usize| match text(at).to_lowercase().as_str() {
        "" | "no" | "-" => Ok(false),
        "yes" | "x" => Ok(true),
        _ => Err(fault(at, "write yes, or leave it empty")),
    };
    let extra = text(2).trim_end_matches('%').trim();
    let extra_time = if extra.is_empty() { Some(0.0) } else { extra.parse::<f64>().ok() };
    let extra_time = extra_time.filter(|extra| (0.0..=100.0).contains(extra));
    Ok(Candidate {
        number: text(0).to_owned(),
        name: text(1).to_owned(),
        extra_time: extra_time.ok_or_else(|| fault(2, "write per cent of the time, such as 25"))? / 100.0,
        reader: yes(3)?,
        large_print: yes(4)?,
        tint: yes(5)?,
    })
}

/// The sheet of a sitting.
#[derive(Serialize)]
pub struct InvigilationSheet {
    pack: Meta,
    minutes: String,
    codes: Vec<String>,
    rows: Vec<SeatRow>,
}

#[derive(Default, Serialize)]
struct SeatRow {
    number: String,
    name: String,
    paper: String,
    time: String,
    adjustments: String,
}

impl InvigilationSheet {
    /// For a list of candidates, or the roster's drivers where there is none; papers go round in turn, so that
    /// neighbours have different ones.
    pub fn of(issue: &Issue, listed: &[Candidate], forms: &[Form]) -> Self {
        let course = issue.course;
        let roster: Vec<Candidate> = course.roster.drivers.iter().map(of_roster).collect();
        let candidates = if listed.is_empty() { roster.as_slice() } else { listed };
        let seats = candidates.iter().zip(forms.iter().cycle());
        let mut rows: Vec<SeatRow> = seats.map(|(one, form)| seat(one, form, &course.papers)).collect();
        rows.resize_with(if rows.is_empty() { BLANK } else { rows.len() + SPARE }, SeatRow::default);
        Self {
            pack: issue.meta("Invigilator’s sheet", "invigilator", "invigilation"),
            minutes: course.papers.minutes.to_string(),
            codes: forms.iter().map(|form| form.code.clone()).collect(),
            rows,
        }
    }
}

fn of_roster(driver: &Driver) -> Candidate {
    Candidate {
        number: driver.id.clone(),
        name: driver.name.short(),
        large_print: driver.needs.contains(&Need::LargePrint),
        ..Candidate::default()
    }
}

fn seat(one: &Candidate, form: &Form, papers: &Blueprint) -> SeatRow {
    // Rounded up: nobody is stopped before their time.
    let minutes = libm::ceil(f64::from(papers.minutes) * (1.0 + one.extra_time) - 1e-9);
    let agreed = [
        (one.extra_time > 0.0, format!("{:.0} % more time", 100.0 * one.extra_time)),
        (one.reader, "reader".to_owned()),
        (one.large_print, "large print".to_owned()),
        (one.tint, "tinted paper".to_owned()),
    ];
    let said: Vec<String> = agreed.into_iter().filter(|(is, _)| *is).map(|(_, text)| text).collect();
    SeatRow {
        number: one.number.clone(),
        name: one.name.clone(),
        paper: form.code.clone(),
        time: format!("{minutes:.0} min"),
        adjustments: said.join(", "),
    }
}
