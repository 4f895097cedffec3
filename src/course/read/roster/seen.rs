//! A roster's cells as a message may show them.

use super::heads::{Heads, is_private, masked};
use super::table_of;
use crate::course::Course;
use crate::problem::Problem;
use crate::spreadsheet::Cell;

/// A cell of a spreadsheet's file, and whether no message may show it.
pub(in crate::course::read) struct Written {
    pub(in crate::course::read) cell: Cell,
    pub(in crate::course::read) private: bool,
}

/// The cells of a roster's file under heads that are columns.
pub(in crate::course::read) fn written(course: &Course, bytes: &[u8]) -> Vec<Written> {
    let table = table_of(course, bytes);
    let Ok(heads) = Heads::of(&table.head, &course.roster.columns) else { return Vec::new() };
    let cells = table.rows.iter().flat_map(|row| heads.names.iter().zip(&row.cells));
    cells
        .filter_map(|(name, cell)| Some(Written { private: is_private((*name)?), cell: cell.clone() }))
        .collect()
}

/// A roster's text with every cell hidden that is nobody's business, and problems in it with their cells.
pub(in crate::course::read) fn to_show(
    course: &Course,
    bytes: &[u8],
    problems: Vec<Problem>,
) -> (String, Vec<Problem>) {
    let table = table_of(course, bytes);
    (masked(&table, &course.roster.columns), table.with_cells(problems))
}
