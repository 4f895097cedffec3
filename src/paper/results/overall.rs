//! The borderline group of the practical: marks of those whom assessors call just passing.

use super::standards::borderline;
use crate::problem::Problem;
use crate::spreadsheet::{Cell, Table, plain};

/// Fewest borderline candidates whose cut is not called provisional: common practice, no source.
pub const FEWEST_BORDERLINE: usize = 10;

/// How one part of an assessment stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Passed by its own rules.
    Passed,
    /// Not passed by its own rules.
    NotPassed,
    /// A person must still judge, or a run is still to be driven.
    Open,
    /// Nothing was keyed of it.
    NotKeyed,
}

impl Part {
    /// As printed.
    pub fn said(self) -> &'static str {
        match self {
            Self::Passed => "passed",
            Self::NotPassed => "not passed",
            Self::Open => "open",
            Self::NotKeyed => "not keyed",
        }
    }

    /// Both parts together.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        match (self, other) {
            (Self::NotPassed, _) | (_, Self::NotPassed) => Self::NotPassed,
            (Self::Passed, Self::Passed) => Self::Passed,
            _ => Self::Open,
        }
    }
}

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
    /// What the rules of the record come to.
    pub result: Part,
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
/// The column of what the record says, which may be missing: then the assessor's word stands for it, and a borderline
/// practical stays open.
const RESULT: &str = "result";

/// What the record says, read; the words are those of the record.
fn result(text: &str, overall: Overall) -> Option<Part> {
    match (text.to_lowercase().as_str(), overall) {
        ("passed" | "pass", _) | ("", Overall::Pass) => Some(Part::Passed),
        ("not passed" | "fail", _) | ("", Overall::Fail) => Some(Part::NotPassed),
        ("open", _) | ("", Overall::Borderline) => Some(Part::Open),
        _ => None,
    }
}

/// Reads practicals: columns candidate, marks, overall, and result where there is one; overall is `pass`, `borderline`
/// or `fail`, result `passed`, `not passed` or `open`.
pub fn read_practicals(bytes: &[u8]) -> Practicals {
    let table = Table::read(bytes, |head| COLUMNS.contains(&head) || head == RESULT);
    let result_at = table.head.iter().position(|cell| plain(&cell.text) == RESULT);
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
        let told = match (&word, result_at) {
            (Ok(overall), Some(at)) => {
                result(text(at), *overall).ok_or_else(|| fault(at, "write passed, not passed or open"))
            }
            (Ok(overall), None) => Ok(result("", *overall).unwrap_or(Part::Open)),
            (Err(_), _) => Ok(Part::Open),
        };
        match (word, told, number) {
            (Ok(overall), Ok(result), Some(marks)) if !text(candidate).is_empty() => {
                rows.push(Practical { candidate: text(candidate).to_owned(), marks, overall, result });
            }
            (Err(problem), ..) | (_, Err(problem), _) => problems.push(problem),
            (.., None) => problems.push(fault(marks, "write the grades of the sheet added up")),
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
