//! Rows of a table as rows of a roster; those that name nobody are passed over and told.

use super::Row;
use super::heads::Heads;
use crate::spreadsheet::{self, plain, with_unit};

/// Rows of a table that name nobody: a sum at the foot, remarks behind the last driver.
const NOBODY: [&str; 9] =
    ["total", "totals", "sum", "subtotal", "grand-total", "count", "average", "entries", "number-of-drivers"];

/// Gives every cell the name of its column. Rows that name nobody are passed over and noted.
pub(super) fn named_rows(heads: &Heads, rows: &[spreadsheet::Row], notes: &mut Vec<String>) -> Vec<Row> {
    let mut named = Vec::new();
    for row in rows {
        let place = row.cells.first().map_or(0..0, |cell| cell.span.clone());
        let cells = heads.names.iter().zip(&heads.units).zip(&row.cells);
        let cells = cells
            .filter_map(|((name, unit), cell)| Some(((*name)?, with_unit(cell, unit.as_deref()))))
            .collect();
        let one = Row { place, cells };
        let first = row.cells.iter().find(|cell| !cell.text.is_empty());
        let word = first.map_or_else(String::new, |cell| plain(cell.text.trim_end_matches(':')));
        let nobody = one.cell("driver").is_none() && one.cell("vehicle").is_none();
        if NOBODY.contains(&word.as_str()) {
            notes.push(format!(
                "roster: row {} is a sum (`{word}`), not a driver; it is passed over.",
                row.number
            ));
        } else if nobody {
            notes.push(format!(
                "roster: row {} names no driver and no vehicle; it is passed over.",
                row.number
            ));
        } else {
            named.push(one);
        }
    }
    named
}
