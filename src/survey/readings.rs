//! Reading a table of heights, or a list of pieces.

use super::Measured;
use crate::problem::Problem;
use crate::quantity::{Angle, Length, Written, parse};
use crate::spreadsheet::{Cell, Row, Table, head_and_unit, plain, with_unit};

/// Most rows that are read.
const MOST_ROWS: usize = 100_000;
/// Longest way that is read, m.
const LONGEST: f64 = 5_000.0;

/// Columns, with other heads they often have.
const COLUMNS: [(&str, &[&str]); 5] = [
    ("along", &["along-the-ground", "distance-along", "slope-distance", "taped"]),
    ("level", &["level-distance", "distance-level", "horizontal", "horizontal-distance", "plan-distance"]),
    ("height", &["elevation", "reduced-level", "rl"]),
    ("angle", &["gradient", "slope", "inclination"]),
    ("drop", &["fall"]),
];

/// A table that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    /// What it holds.
    pub measured: Measured,
    /// Rows it has.
    pub rows: usize,
    /// Whether its lengths are in feet or yards.
    pub imperial: bool,
    /// Heads that are no column of a survey.
    pub unused: Vec<String>,
}

/// Where each column stands, and the unit its head names.
struct Columns {
    places: [Option<(usize, Option<String>)>; COLUMNS.len()],
}

/// Reads a table of distance and height, or a list of pieces with their length and angle, or length and drop.
///
/// # Errors
/// The table cannot be read or is none of these: every mistake with its place in the text that comes with them.
pub fn read(bytes: &[u8]) -> Result<Readings, (Vec<Problem>, String)> {
    let table = Table::read(bytes, |head| column_of(head).is_some() || head_and_unit(head).0 == "distance");
    match of_table(&table) {
        Ok(readings) => Ok(readings),
        Err(problems) => Err((table.with_cells(problems), table.source)),
    }
}

/// The column of a plain head.
fn column_of(head: &str) -> Option<usize> {
    let (bare, _) = head_and_unit(head);
    COLUMNS.iter().position(|(name, others)| *name == bare || others.contains(&bare))
}

fn of_table(table: &Table) -> Result<Readings, Vec<Problem>> {
    let too_long = table.rows.iter().filter_map(|row| table.too_long(row));
    let broken: Vec<Problem> = table.problems.iter().cloned().chain(too_long).collect();
    if !broken.is_empty() {
        return Err(broken);
    }
    let columns = Columns::of(table).map_err(|problem| vec![problem])?;
    if let Some(row) = table.rows.get(MOST_ROWS) {
        let problem =
            Problem::new(format!("more than {MOST_ROWS} rows")).help("keep the part from brow to foot");
        return Err(vec![problem.at(row.span.clone())]);
    }
    let measured = if columns.has(HEIGHT) { heights(table, &columns)? } else { pieces(table, &columns)? };
    let unused =
        table.head.iter().filter(|cell| !cell.text.is_empty() && column_of(&plain(&cell.text)).is_none());
    Ok(Readings {
        measured,
        rows: table.rows.len(),
        imperial: columns.is_imperial(table),
        unused: unused.map(|cell| cell.text.clone()).collect(),
    })
}

const ALONG: usize = 0;
const LEVEL: usize = 1;
const HEIGHT: usize = 2;
const ANGLE: usize = 3;
const DROP: usize = 4;

impl Columns {
    /// # Errors
    /// A column that is missing, is there twice, or does not say what it measures.
    fn of(table: &Table) -> Result<Self, Problem> {
        let place = table.head.first().map_or(0..0, |cell| cell.span.clone());
        let mut places: [Option<(usize, Option<String>)>; COLUMNS.len()] = Default::default();
        for (at, cell) in table.head.iter().enumerate() {
            let head = plain(&cell.text);
            if head_and_unit(&head).0 == "distance" {
                let help = "name the column `along` where the tape lay on the ground, `level` where it was held level or \
                            the distance is that of a plan";
                return Err(Problem::new("`distance` does not say which").help(help).at(cell.span.clone()));
            }
            let Some(column) = column_of(&head) else { continue };
            if places[column].is_some() {
                let problem = Problem::new(format!("a second column `{}`", COLUMNS[column].0));
                return Err(problem.help("keep one of them").at(cell.span.clone()));
            }
            places[column] = Some((at, head_and_unit(cell.text.trim()).1.map(str::to_owned)));
        }
        let columns = Self { places };
        columns
            .wanted()
            .map_or(Ok(columns), |(message, help)| Err(Problem::new(message).help(help).at(place)))
    }

    fn has(&self, column: usize) -> bool {
        self.places[column].is_some()
    }

    /// What is missing or too much: in words, and what would be right.
    fn wanted(&self) -> Option<(&'static str, &'static str)> {
        let example = "a table of heights begins `level (m),height (m)`, with the distance from the first point; a list \
                       of pieces `along (m),angle`, with the length of each";
        match (self.has(ALONG), self.has(LEVEL)) {
            (false, false) => return Some(("no column says how far", example)),
            (true, true) => {
                return Some(("`along` and `level` both say how far", "keep the one that was measured"));
            }
            _ => {}
        }
        match [HEIGHT, ANGLE, DROP].iter().filter(|column| self.has(**column)).count() {
            0 => Some(("no column says how steep or how high", example)),
            1 => None,
            _ => Some(("more than one of `height`, `angle` and `drop`", "keep the one that was measured")),
        }
    }

    /// The cell of a row, with the unit of its head.
    fn cell(&self, row: &Row, column: usize) -> Option<Cell> {
        let (at, unit) = self.places[column].as_ref()?;
        let cell = row.cells.get(*at).filter(|cell| !cell.text.is_empty())?;
        Some(with_unit(cell, unit.as_deref()))
    }

    /// A quantity of a row.
    ///
    /// # Errors
    /// The cell is empty or holds something else.
    fn read<T: Written>(&self, row: &Row, column: usize) -> Result<T, Problem> {
        let name = COLUMNS[column].0;
        let Some(cell) = self.cell(row, column) else {
            let problem = Problem::new(format!("this row has no `{name}`"));
            return Err(problem.help("fill it in, or take the row out").at(row.span.clone()));
        };
        parse::<T>(&cell.text).map_err(|why| {
            let help =
                format!("{}; or name the unit in the head: `{name} ({})`", why.help, T::units()[0].symbol);
            Problem::new(why.message).help(help).at(cell.span)
        })
    }

    /// How far, m.
    fn distance(&self, row: &Row) -> Result<f64, Problem> {
        let column = if self.has(ALONG) { ALONG } else { LEVEL };
        self.read::<Length>(row, column).map(Length::si)
    }

    fn is_imperial(&self, table: &Table) -> bool {
        let column = if self.has(ALONG) { ALONG } else { LEVEL };
        let text = table
            .rows
            .first()
            .and_then(|row| self.cell(row, column))
            .map_or_else(String::new, |cell| cell.text);
        ["ft", "foot", "feet", "yd", "yard", "yards", "in", "'"]
            .iter()
            .any(|unit| text.trim().ends_with(unit))
    }
}

/// Rows read one by one; all mistakes come out together.
fn each<T>(table: &Table, read: impl Fn(&Row) -> Result<T, Problem>) -> Result<Vec<T>, Vec<Problem>> {
    let (good, bad): (Vec<_>, Vec<_>) = table.rows.iter().map(read).partition(Result::is_ok);
    let problems: Vec<Problem> = bad.into_iter().filter_map(Result::err).collect();
    if problems.is_empty() { Ok(good.into_iter().flatten().collect()) } else { Err(problems) }
}

fn too_few(table: &Table, what: &str) -> Vec<Problem> {
    let place = table.head.first().map_or(0..0, |cell| cell.span.clone());
    vec![Problem::new(format!("the table has too few rows: a slope needs {what}")).at(place)]
}

fn heights(table: &Table, columns: &Columns) -> Result<Measured, Vec<Problem>> {
    let rows = each(table, |row| {
        Ok((columns.distance(row)?, columns.read::<Length>(row, HEIGHT)?.si(), row.span.clone()))
    })?;
    if rows.len() < 2 {
        return Err(too_few(table, "two heights at least"));
    }
    let mut found: Vec<(f64, f64)> = Vec::with_capacity(rows.len());
    let mut at = 0.0;
    for (place, (far, height, span)) in rows.iter().enumerate() {
        let before = place.checked_sub(1).map(|before| &rows[before]);
        let step = before.map_or(0.0, |(before, ..)| far - before);
        let change = before.map_or(0.0, |(_, before, _)| height - before);
        if step < 0.0 {
            let help = "distances are counted from the first point; a list of pieces has an `angle` or a `drop` beside each \
                        length";
            let problem = Problem::new("this distance is less than the one before").help(help);
            return Err(vec![problem.at(span.clone())]);
        }
        at += if columns.has(ALONG) {
            let level = step * step - change * change;
            if level < 0.0 {
                let message = format!("{:.2} m of height on {step:.2} m of ground", change.abs());
                let help = "read both again; where the tape was held level, the column is `level`";
                return Err(vec![Problem::new(message).help(help).at(span.clone())]);
            }
            libm::sqrt(level)
        } else {
            step
        };
        found.push((at, *height));
    }
    in_bounds(table, at)?;
    Ok(Measured::Heights(found))
}

fn pieces(table: &Table, columns: &Columns) -> Result<Measured, Vec<Problem>> {
    let found = each(table, |row| {
        let far = columns.distance(row)?;
        if far <= 0.0 {
            return Err(Problem::new("a piece has a length").help("take the row out").at(row.span.clone()));
        }
        let gradient = if columns.has(DROP) {
            let drop = columns.read::<Length>(row, DROP)?.si();
            if columns.has(LEVEL) { libm::atan2(drop, far) } else { libm::asin(drop / far) }
        } else {
            columns.read::<Angle>(row, ANGLE)?.si()
        };
        if gradient.is_nan() || gradient.abs() > 80_f64.to_radians() {
            let help = "read both again; where the tape was held level, the column is `level`";
            return Err(Problem::new("this piece is a wall, not a slope").help(help).at(row.span.clone()));
        }
        Ok((if columns.has(LEVEL) { far / libm::cos(gradient) } else { far }, gradient))
    })?;
    if found.is_empty() {
        return Err(too_few(table, "one piece at least"));
    }
    in_bounds(table, found.iter().map(|(length, _)| length).sum())?;
    Ok(Measured::Pieces(found))
}

/// # Errors
/// The way is no slope's.
fn in_bounds(table: &Table, way: f64) -> Result<(), Vec<Problem>> {
    let place = table.rows.last().map_or(0..0, |row| row.span.clone());
    let help = "look whether the unit in the head is right";
    let problem = |message: String| Err(vec![Problem::new(message).help(help).at(place.clone())]);
    if way > LONGEST {
        return problem(format!("{:.0} km is too long for a slope", way / 1000.0));
    }
    if way < 0.5 {
        return problem(format!("{way:.2} m is too short for a slope"));
    }
    Ok(())
}
