//! The heads of a roster: which column each is, its unit, and what is said of those passed over.

use std::ops::Range;

use crate::course::cursor::{nearest, start_of};
use crate::problem::Problem;
use crate::spreadsheet::{Cell, Table, head_and_unit, plain};

/// Columns by their own name, with other heads they often have.
pub(super) const COLUMNS: &[(&str, &[&str])] = &[
    ("number", &["no", "nr", "id", "start-number"]),
    ("driver", &["name", "full-name", "member", "driver-name"]),
    ("vehicle", &["car", "own-vehicle"]),
    ("shares", &["shares-with", "shared-with", "drives-with", "car-of"]),
    ("class", &["vehicle-class", "body"]),
    ("experience", &["level"]),
    ("rides", &["rides-with", "passenger-of", "passenger-with", "passenger-in-car-of"]),
    ("beside", &["beside-them", "experienced-driver-beside", "accompanied-by"]),
    ("seats", &["seats-in-car", "number-of-seats"]),
    ("arrives", &["arrival", "arrives-at", "comes-at", "arrival-time"]),
    ("leaves", &["leaving", "leaves-at", "departure", "leaving-time"]),
    ("days", &["day", "which-days", "which-day", "comes-on"]),
    ("needs", &["access-needs", "requirements", "special-needs", "dietary", "diet"]),
    ("emergency-contact", &["emergency", "next-of-kin", "contact", "emergency-number"]),
    (
        "medical",
        &[
            "medical-notes",
            "medical-info",
            "medical-information",
            "medical-conditions",
            "health",
            "allergies",
        ],
    ),
    ("mass", &["weight"]),
    ("wheelbase", &["wheel-base"]),
    ("tyres", &["tires", "tyre-size", "tire-size", "tyre"]),
    ("fuel", &[]),
    ("displacement", &["engine", "engine-size"]),
    ("idle", &["idle-speed"]),
    ("gearbox", &["transmission"]),
    ("ratios", &["gear-ratios", "gears"]),
    ("transfer-high", &["high-range"]),
    ("transfer-low", &["low-range"]),
    ("axle", &["final-drive", "axle-ratio"]),
    ("drive", &["driven-wheels"]),
];

/// Columns whose cells no message shows.
const PRIVATE: [&str; 3] = ["needs", "emergency-contact", "medical"];

/// Whether no message shows the cells of a column.
pub(super) fn is_private(column: &str) -> bool {
    PRIVATE.contains(&column)
}

/// Parts of a head that speak of health: such a column is never passed over in silence.
const HEALTH: [&str; 4] = ["medic", "allerg", "health", "illness"];

/// Whether a head, plainly written, is that of a column.
pub(super) fn is_head((name, others): &(&str, &[&str]), own: &[(String, String)], head: &str) -> bool {
    if let Some((_, named)) = own.iter().find(|(column, _)| column == name) {
        return plain(named) == head;
    }
    let (bare, _) = head_and_unit(head);
    bare == *name || others.contains(&bare)
}

/// What a table's heads are.
pub(super) struct Heads {
    /// The column of each head.
    pub(super) names: Vec<Option<&'static str>>,
    /// The unit each head names for its bare numbers.
    pub(super) units: Vec<Option<String>>,
    /// What a person should know of them.
    pub(super) notes: Vec<String>,
}

impl Heads {
    /// Of a row of heads.
    ///
    /// # Errors
    /// A column named by the course that is no head; one without which no roster is read; two heads of one
    /// column; a head that speaks of health and belongs to none.
    pub(super) fn of(head: &[Cell], own: &[(String, String)]) -> Result<Self, Vec<Problem>> {
        let mut problems = Vec::new();
        let names = names_of(head, own, &mut problems);
        let found: Vec<&str> = head.iter().map(|cell| cell.text.as_str()).collect();
        let place = head.first().map_or(0..0, |cell| cell.span.clone());
        for (column, named) in own.iter().filter(|(column, _)| !names.contains(&Some(column.as_str()))) {
            let near =
                nearest(named, &found).map_or_else(String::new, |near| format!("did you mean `{near}`? "));
            let message = format!(
                "the course says that `{column}` stands under `{named}`, and no column has that head"
            );
            let help = format!("{near}The file has: {}", found.join(", "));
            problems.push(Problem::new(message).help(help).at(place.clone()));
        }
        for wanted in ["driver", "vehicle"] {
            let mapped = own.iter().any(|(column, _)| column == wanted);
            let shares = wanted == "vehicle" && names.contains(&Some("shares"));
            if !mapped && !shares && !names.contains(&Some(wanted)) {
                let help = format!(
                    "name the right one in the course, `columns: {{{wanted}: …}}`; the file has: {}",
                    found.join(", ")
                );
                let message = format!("the roster has no column `{wanted}`");
                problems.push(Problem::new(message).help(help).at(place.clone()));
            }
        }
        problems.extend(health_passed_over(head, &names));
        if !problems.is_empty() {
            return Err(problems);
        }
        let units = head.iter().map(|cell| unit_of(&cell.text)).collect();
        let notes = passed_over(head, &names).into_iter().collect();
        Ok(Self { names, units, notes })
    }
}

/// The unit in a head, as typed: `Mass (kg)` has `kg`.
fn unit_of(head: &str) -> Option<String> {
    head_and_unit(head.trim()).1.map(str::to_owned)
}

fn names_of(
    head: &[Cell],
    own: &[(String, String)],
    problems: &mut Vec<Problem>,
) -> Vec<Option<&'static str>> {
    let mut names: Vec<Option<&'static str>> = Vec::new();
    for cell in head {
        let head_of = plain(&cell.text);
        let name = COLUMNS.iter().find(|column| is_head(column, own, &head_of)).map(|(name, _)| *name);
        if let Some(first) = name.and_then(|name| names.iter().position(|known| *known == Some(name))) {
            let message = format!("two columns are the roster's `{}`", name.unwrap_or(""));
            let problem = Problem::new(message).help("rename one, or name the right one under `columns:`");
            problems.push(problem.at(cell.span.clone()).related(head[first].span.clone(), "the first"));
        }
        names.push(name);
    }
    names
}

/// A head that speaks of health and is no column: an allergy would be on no sheet.
fn health_passed_over(head: &[Cell], names: &[Option<&str>]) -> Vec<Problem> {
    if names.contains(&Some("medical")) {
        return Vec::new();
    }
    let speaks = |cell: &&Cell| {
        let plain = plain(&cell.text);
        HEALTH.iter().any(|word| plain.contains(word)) || nearest(&plain, &["medical", "allergies"]).is_some()
    };
    let unknown = head.iter().zip(names).filter(|(_, name)| name.is_none()).map(|(cell, _)| cell);
    unknown
        .filter(speaks)
        .map(|cell| {
            let message = format!(
                "`{}` seems to say what first aid must know, and is no column of a roster",
                cell.text
            );
            let help =
                format!("call it `medical`, or name it in the course: `columns: {{medical: {}}}`", cell.text);
            Problem::new(message).help(help).at(cell.span.clone())
        })
        .collect()
}

/// The heads that are no column.
fn passed_over(head: &[Cell], names: &[Option<&str>]) -> Option<String> {
    let unknown = head.iter().zip(names).filter(|(cell, name)| name.is_none() && !cell.text.is_empty());
    let known: Vec<&str> = COLUMNS.iter().map(|(name, _)| *name).collect();
    let said: Vec<String> = unknown
        .map(|(cell, _)| {
            let near = nearest(&plain(&cell.text), &known).filter(|near| !names.contains(&Some(*near)));
            let near = near.map_or_else(String::new, |near| format!(" (is it `{near}`?)"));
            format!("`{}`{near}", start_of(&cell.text))
        })
        .collect();
    (!said.is_empty()).then(|| format!("roster: columns passed over: {}.", said.join(", ")))
}

/// The table's text with every cell hidden that is nobody's business on a terminal: what is private, what
/// stands under a head that is no column or under none, and rows that could not be split. Places stay.
pub(super) fn masked(table: &Table, own: &[(String, String)]) -> String {
    let column = |cell: &Cell| {
        let head = plain(&cell.text);
        COLUMNS.iter().find(|column| is_head(column, own, &head)).map(|(name, _)| *name)
    };
    let open: Vec<bool> =
        table.head.iter().map(|cell| column(cell).is_some_and(|name| !PRIVATE.contains(&name))).collect();
    let mut hidden: Vec<Range<usize>> = Vec::new();
    for row in &table.rows {
        let private = row.cells.iter().enumerate().filter(|(at, _)| !open.get(*at).copied().unwrap_or(false));
        hidden.extend(private.map(|(_, cell)| cell.span.clone()));
    }
    hidden.extend(table.broken.iter().map(|row| row.span.clone()));
    hide(&table.source, &hidden)
}

/// A text with letters and digits of these places replaced by marks of the same size.
pub(in crate::course::read) fn hide(source: &str, hidden: &[Range<usize>]) -> String {
    let is_hidden = |at: usize| hidden.iter().any(|span| span.contains(&at));
    source
        .char_indices()
        .map(|(at, letter)| match letter.len_utf8() {
            _ if !letter.is_alphanumeric() || !is_hidden(at) => letter,
            1 => '*',
            2 => '·',
            3 => '•',
            _ => '🞄',
        })
        .collect()
}
