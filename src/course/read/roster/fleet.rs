//! Rows that mean what the course has already: a vehicle of its fleet, or somebody of its people.

use super::Row;
use super::heads::Heads;
use super::walk_in::ROLES;
use crate::course::Vehicle;
use crate::course::cursor::{Log, Read, start_of};
use crate::problem::Problem;
use crate::spreadsheet::{self, plain};

/// What a row says of a vehicle of its own.
const OWN: [&str; 12] = [
    "class",
    "mass",
    "wheelbase",
    "tyres",
    "fuel",
    "displacement",
    "idle",
    "gearbox",
    "ratios",
    "transfer-low",
    "axle",
    "drive",
];

/// The vehicle of the fleet that these words name: by its short name, or as pages call it.
fn named_by<'f>(words: &str, fleet: &'f [Vehicle]) -> Option<&'f Vehicle> {
    let called = |name: &str| plain(name) == plain(words);
    let by_id = fleet.iter().find(|vehicle| called(&vehicle.id));
    by_id.or_else(|| fleet.iter().find(|vehicle| called(vehicle.name.full())))
}

/// The short name of the fleet's vehicle that a row comes with; none where it is the driver's own.
///
/// # Errors
/// It is called as one of the fleet is, and the row describes a vehicle: one, or two of a name?
pub(super) fn of_the_fleet(row: &Row, fleet: &[Vehicle], log: &Log) -> Read<Option<String>> {
    let Some(cell) = row.cell("vehicle") else { return Ok(None) };
    let Some(known) = named_by(&cell.text, fleet) else { return Ok(None) };
    let described = OWN.iter().any(|column| row.cell(column).is_some());
    if cell.text == known.id || !described {
        return Ok(Some(known.id.clone()));
    }
    let said = start_of(&cell.text);
    let message = format!("`{said}` is also what the course calls its vehicle `{}`", known.id);
    let help = format!(
        "if it is that one, write `{}` here and leave empty what the row says of it; if it is another, call it \
         otherwise: `{said}, blue`",
        known.id
    );
    Err(log.note(Problem::new(message).help(help).at(cell.span.clone())))
}

/// Rows that come with the same vehicle, word for word, and say the same of it: one car, or two alike? A
/// vehicle named as the course names it is one, whoever drives it.
pub(super) fn note_same_vehicle(rows: &[Row], fleet: &[Vehicle], notes: &mut Vec<String>) {
    let said = |row: &Row| -> Option<Vec<String>> {
        let own = row.text("vehicle").filter(|_| row.cell("shares").is_none())?;
        if named_by(&own, fleet).is_some() {
            return None;
        }
        let more = ["class", "mass", "wheelbase", "tyres", "fuel", "displacement", "idle", "ratios", "axle"];
        Some(std::iter::once(own).chain(more.map(|name| row.text(name).unwrap_or_default())).collect())
    };
    for (at, row) in rows.iter().enumerate() {
        let Some(this) = said(row) else { continue };
        let Some(twin) = rows[..at].iter().find(|other| said(other).as_ref() == Some(&this)) else {
            continue;
        };
        let name = |row: &Row| row.text("driver").unwrap_or_default();
        notes.push(format!(
            "roster: {} and {} both come with `{}` and are read as two vehicles alike. If they share one, put \
             the other's name under `shares`.",
            name(twin),
            name(row),
            start_of(&this[0]),
        ));
    }
}

/// Rows of a table that say, under a head that is no column, that somebody is of the staff: they would be drivers.
pub(super) fn staff_among(heads: &Heads, rows: &[spreadsheet::Row]) -> Vec<Problem> {
    let passed_over = |at: usize| heads.names.get(at).is_some_and(Option::is_none);
    let cells = rows.iter().flat_map(|row| row.cells.iter().enumerate());
    let staff = cells.filter(|(at, _)| passed_over(*at)).filter_map(|(_, cell)| {
        let word = plain(&cell.text);
        let (role, _) = ROLES.iter().find(|(role, _)| *role == word.trim_end_matches('s'))?;
        let help = format!(
            "take the row out, and write under `people:` in the course `- {{name: …, role: {role}}}`; who drives as well \
             stays, without `{role}`"
        );
        let message = format!("a roster holds who drives, and this row says `{role}`");
        Some(Problem::new(message).help(help).at(cell.span.clone()))
    });
    staff.collect()
}
