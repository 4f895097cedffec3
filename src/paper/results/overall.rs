//! The borderline group of the practical: marks of those whom assessors call just passing.

use crate::paper::results::standards::borderline;
use crate::problem::Problem;
use crate::spreadsheet::{Cell, Table, plain};

/// Fewest borderline candidates whose cut is not called provisional: common practice, no source.
pub const FEWEST_BORDERLINE: usize = 10;

/// What an assessor says of a practical as a whole, beside the marks of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Overall {
    /// Clearly passed.
    Pass,
    /// Just on the line.
    Borderline,
    /// Clearly not passed.
    Fail,
}

/// One practical.
#[derive(Clone, Debug, PartialEq)]
pub struct Practical {
    /// Who.
    pub candidate: String,
    /// Grades of the sheets added up.
    pub marks: f64,
    /// The assessor's word.
    pub overall: Overall,
}

/// A file of practicals as read.
#[derive(Clone, Debug, Default)]
pub struct Practicals {
    /// Every row that could be read.
    pub rows: Vec<Practical>,
    /// What is wrong with the others.
    pub problems: Vec<Problem>,
    /// The text that places of problems refer to.
    pub source: String,
}

const COLUMNS: [&str; 3] = ["candidate", "marks", "overall"];

/// Reads practicals: columns candidate, marks, overall; overall is `pass`, `borderline` or `fail`.
pub fn read_practicals(bytes: &[u8]) -> Practicals {
    let table = Table::read(bytes, |head| COLUMNS.contains(&head));
    let mut problems = table.problems.clone();
    let places: Vec<usize> = COLUMNS
        .iter()
        .filter_map(|name| table.head.iter().position(|cell| plain(&cell.text) == *name))
        .collect();
    let mut rows = Vec::new();
    let [candidate, marks, overall] = places[..] else {
        if !table.head.is_empty() || problems.is_empty() {
            problems.push(
                Problem::new("the practicals lack a column")
                    .help("the first line is: candidate, marks, overall"),
            );
        }
        return Practicals { rows, problems, source: table.source };
    };
    for row in &table.rows {
        let text = |at: usize| row.cells.get(at).map_or("", |cell: &Cell| cell.text.trim());
        let fault = |at: usize, help: &str| {
            let span = row.cells.get(at).map_or(row.span.end..row.span.end, |cell| cell.span.clone());
            Problem::new(format!("`{}` cannot be read", text(at))).help(help).at(span)
        };
        let word = match text(overall).to_lowercase().as_str() {
            "pass" => Ok(Overall::Pass),
            "borderline" => Ok(Overall::Borderline),
            "fail" => Ok(Overall::Fail),
            _ => Err(fault(overall, "write pass, borderline or fail")),
        };
        let number = text(marks)
            .replace(',', ".")
            .parse::<f64>()
            .ok()
            .filter(|marks| marks.is_finite() && *marks >= 0.0);
        match (word, number) {
            (Ok(overall), Some(marks)) if !text(candidate).is_empty() => {
                rows.push(Practical { candidate: text(candidate).to_owned(), marks, overall });
            }
            (Err(problem), _) => problems.push(problem),
            (_, None) => problems.push(fault(marks, "write the grades of the sheet added up")),
            _ => problems.push(fault(candidate, "write who drove")),
        }
    }
    Practicals { rows, problems: table.with_cells(problems), source: table.source }
}

/// Median and mean of the borderline group's marks, and how many they are; none when nobody is borderline.
pub fn cut(rows: &[Practical]) -> Option<(f64, f64, usize)> {
    let group: Vec<f64> =
        rows.iter().filter(|one| one.overall == Overall::Borderline).map(|one| one.marks).collect();
    borderline(&group).map(|(median, mean)| (median, mean, group.len()))
}
