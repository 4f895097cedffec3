//! Runs from a table as a spreadsheet saves it: each row becomes the keys and values that the course could hold as well.

use std::ops::Range;

use super::{Known, list};
use crate::course::cursor::{Field, Log, Names, nearest};
use crate::course::tree::{Entry, Node, Value};
use crate::course::{Course, MeasuredRun};
use crate::problem::Problem;
use crate::spreadsheet::{Cell, Row, Table, head_and_unit, plain, with_unit};

/// Columns, with other heads they often have.
const COLUMNS: [(&str, &[&str]); 24] = [
    ("date", &["day"]),
    ("vehicle", &["car"]),
    ("slope", &[]),
    ("surface", &["ground"]),
    ("gear", &[]),
    ("from", &["first-peg", "below-the-brow"]),
    ("between", &["pegs", "peg-to-peg", "pegs-apart"]),
    ("time", &["seconds", "watch"]),
    ("engine-speed", &["rpm"]),
    ("speed", &[]),
    ("slid", &["slide", "length-of-slide"]),
    ("coasted", &["rolled-out"]),
    ("pull", &["force"]),
    ("towed", &["which-way"]),
    ("turns", &[]),
    ("rolled", &["distance-rolled"]),
    ("hot", &["brake", "brake-temperature"]),
    ("axle", &[]),
    ("descents", &["runs"]),
    ("every", &["pause"]),
    ("before", &[]),
    ("waited", &["waited-after"]),
    ("with", &["measured-with", "instrument"]),
    ("sure", &["give-or-take"]),
];

fn column_of(head: &str) -> Option<&'static str> {
    let (bare, _) = head_and_unit(head);
    COLUMNS.iter().find(|(name, others)| *name == bare || others.contains(&bare)).map(|(name, _)| *name)
}

/// Puts the runs of a table into a course that names one.
///
/// # Errors
/// Every mistake of the table; places refer to the text returned with them.
pub(in crate::course::read) fn attach(
    course: &mut Course,
    surfaces: &Names,
    bytes: &[u8],
) -> Result<(), (String, Vec<Problem>)> {
    let table = Table::read(bytes, |head| column_of(head).is_some());
    match of_table(course, surfaces, &table) {
        Ok(list) => {
            course.runs.list = list;
            Ok(())
        }
        Err(problems) => Err((table.source.clone(), table.with_cells(problems))),
    }
}

fn of_table(course: &Course, surfaces: &Names, table: &Table) -> Result<Vec<MeasuredRun>, Vec<Problem>> {
    let too_long = table.rows.iter().filter_map(|row| table.too_long(row));
    let broken: Vec<Problem> =
        table.problems.iter().cloned().chain(too_long).chain(heads(&table.head)).collect();
    if !broken.is_empty() {
        return Err(broken);
    }
    let nodes: Vec<Node> = table.rows.iter().map(|row| node(&table.head, row)).collect();
    let names = |what, ids: Vec<String>| Names::new(what, ids, true);
    let slopes = names("slope", course.slopes.iter().map(|slope| slope.id.clone()).collect());
    let vehicles = names("vehicle", course.vehicles.iter().map(|vehicle| vehicle.id.clone()).collect());
    let read = Some((&course.slopes[..], &course.vehicles[..]));
    let known = Known { surfaces, slopes: &slopes, vehicles: &vehicles, read };
    let log = Log::default();
    let rows = nodes.iter().zip(&table.rows);
    let items: Vec<Field> = rows
        .map(|(node, row)| Field {
            name: "a run",
            of: ("runs", ""),
            place: row.span.clone(),
            node,
            log: &log,
        })
        .collect();
    let list = list(&items, &known);
    let problems = log.into_problems();
    match list {
        Ok(list) if problems.is_empty() => Ok(list),
        _ => Err(problems),
    }
}

/// Heads that no run has, or that stand twice.
fn heads(head: &[Cell]) -> Vec<Problem> {
    let names: Vec<&str> = COLUMNS.iter().map(|(name, _)| *name).collect();
    if head.iter().all(|cell| column_of(&plain(&cell.text)).is_none()) {
        let place = head.first().map_or(0..0, |cell| cell.span.clone());
        let help = format!("the first row names the columns: {}", names.join(", "));
        return vec![Problem::new("no column of this table is one of a run").help(help).at(place)];
    }
    let mut problems = Vec::new();
    for (at, cell) in head.iter().enumerate().filter(|(_, cell)| !cell.text.is_empty()) {
        let own = plain(&cell.text);
        let Some(column) = column_of(&own) else {
            let help = nearest(&own, &names).map_or_else(
                || format!("a run may have {}; take the column out", names.join(", ")),
                |near| format!("did you mean `{near}`?"),
            );
            let message = format!("`{}` is no column of a run", cell.text);
            problems.push(Problem::new(message).help(help).at(cell.span.clone()));
            continue;
        };
        if head[..at].iter().any(|before| column_of(&plain(&before.text)) == Some(column)) {
            let problem = Problem::new(format!("a second column `{column}`"));
            problems.push(problem.help("keep one of them").at(cell.span.clone()));
        }
    }
    problems
}

/// A row as a mapping; empty cells are keys that were left out.
fn node(head: &[Cell], row: &Row) -> Node {
    let entry = |(head, cell): (&Cell, &Cell)| -> Option<Entry> {
        let column = column_of(&plain(&head.text))?;
        if cell.text.is_empty() {
            return None;
        }
        // With its case, as units have it.
        let unit = head_and_unit(head.text.trim()).1;
        let cell = with_unit(cell, unit);
        let key_span: Range<usize> = cell.span.clone();
        let value = Node { span: cell.span.clone(), value: Value::Text(cell.text) };
        Some(Entry { key: column.to_owned(), key_span, value })
    };
    Node {
        span: row.span.clone(),
        value: Value::Map(head.iter().zip(&row.cells).filter_map(entry).collect()),
    }
}
