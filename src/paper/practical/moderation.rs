//! How far two assessors agree on what they saw.

use serde::Serialize;

use super::criteria;
use crate::course::Course;
use crate::paper::results::statistics::{Kappa, Weights, kappa, kappa_in_words};
use crate::problem::Problem;
use crate::spreadsheet::{Cell, Row, Table, plain};

/// How far two assessors agree.
#[derive(Clone, Debug, Serialize)]
pub struct Moderation {
    /// All criteria together, then each by itself.
    pub rows: Vec<Agreement>,
    /// Counts: first assessor's grade down, second's across.
    pub counts: Vec<Vec<String>>,
    /// Where they differ: driver, slope, criterion, both grades, what follows.
    pub differences: Vec<[String; 6]>,
    /// Performances that at least one did not see: they count nowhere.
    pub unseen: String,
}

/// Agreement on one criterion.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Agreement {
    /// The criterion.
    pub criterion: String,
    /// Performances both saw.
    pub count: String,
    /// Share on which they agree.
    pub agreed: String,
    /// Cohen's kappa, or why there is none.
    pub kappa: String,
    /// Kappa with squared weights.
    pub weighted: String,
    /// In words.
    pub words: String,
}

/// One performance, seen by two assessors: grades 0 not met, 1 met after a prompt, 2 met.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pair {
    /// Who drove.
    pub driver: String,
    /// Where.
    pub slope: String,
    /// What was observed.
    pub criterion: String,
    /// Whether a run without it is not passed.
    pub must: bool,
    /// The first assessor's grade.
    pub first: usize,
    /// The second's.
    pub second: usize,
}

const COLUMNS: [&str; 5] = ["driver", "slope", "criterion", "first", "second"];

/// What an assessor writes who did not see it.
const UNSEEN: [&str; 3] = ["-", "–", "not seen"];

/// What two assessors saw, as it was read.
#[derive(Clone, Debug, Default)]
pub struct Observed {
    /// What both saw.
    pub pairs: Vec<Pair>,
    /// Rows that at least one of them did not see.
    pub unseen: usize,
    /// Rows that cannot be read, or are of no slope or criterion of this course.
    pub problems: Vec<Problem>,
    /// The text that places of problems refer to.
    pub source: String,
}

/// Reads what two assessors saw: columns driver, slope, criterion, first, second. A slope is named by its mark on the
/// sheets, its short name or its name; a criterion as the sheets name it. Bad rows are told, the others kept.
pub fn read_pairs(bytes: &[u8], course: &Course) -> Observed {
    let table = Table::read(bytes, |head| COLUMNS.contains(&head));
    let mut problems = table.problems.clone();
    let column = |name: &str| table.head.iter().position(|cell| plain(&cell.text) == name);
    let columns: Vec<Option<usize>> = COLUMNS.iter().map(|name| column(name)).collect();
    if let Some(at) = columns.iter().position(Option::is_none) {
        if !table.head.is_empty() || problems.is_empty() {
            problems.push(
                Problem::new(format!("the observations have no column `{}`", COLUMNS[at]))
                    .help("the first line names the columns: driver, slope, criterion, first, second"),
            );
        }
        return Observed { problems, source: table.source, ..Observed::default() };
    }
    let columns: Vec<usize> = columns.into_iter().flatten().collect();
    let (mut pairs, mut unseen) = (Vec::new(), 0);
    for row in &table.rows {
        let read = table.too_long(row).map_or_else(|| pair(row, &columns, course), Err);
        match read {
            Ok(Some(pair)) => pairs.push(pair),
            Ok(None) => unseen += 1,
            Err(problem) => problems.push(problem),
        }
    }
    Observed { pairs, unseen, problems: table.with_cells(problems), source: table.source }
}

/// One row; none when one of the two did not see it.
fn pair(row: &Row, columns: &[usize], course: &Course) -> Result<Option<Pair>, Problem> {
    let cell = |at: usize| row.cells.get(columns[at]);
    let text = |at: usize| cell(at).map_or("", |cell: &Cell| cell.text.trim());
    let place = |at: usize| cell(at).map_or(row.span.clone(), |cell| cell.span.clone());
    let slope = slope_named(course, text(1)).ok_or_else(|| {
        let marks: Vec<String> =
            (1..).zip(&course.slopes).map(|(no, slope)| format!("S{no} {}", slope.name)).collect();
        Problem::new(format!("`{}` is no slope of this course", text(1)))
            .help(format!("there is {}", marks.join(", ")))
            .at(place(1))
    })?;
    let criterion =
        criteria::all().into_iter().find(|one| one.name.eq_ignore_ascii_case(text(2))).ok_or_else(|| {
            let names: Vec<&str> = criteria::all().iter().map(|one| one.name).collect();
            Problem::new(format!("`{}` is no criterion of the sheets", text(2)))
                .help(format!("there is {}", names.join(", ")))
                .at(place(2))
        })?;
    let mut grades = [0; 2];
    for (grade, at) in grades.iter_mut().zip([3, 4]) {
        if UNSEEN.contains(&text(at)) {
            return Ok(None);
        }
        *grade = text(at).parse::<usize>().ok().filter(|grade| *grade <= 2).ok_or_else(|| {
            Problem::new(format!("`{}` is not a grade", text(at)))
                .help("grades are 2 met, 1 met after a prompt, 0 not met, - not seen")
                .at(place(at))
        })?;
    }
    Ok(Some(Pair {
        driver: text(0).to_owned(),
        slope,
        criterion: criterion.name.to_owned(),
        must: criterion.must.is_some(),
        first: grades[0],
        second: grades[1],
    }))
}

/// The slope that somebody wrote, as `S1 Nursery bank`.
fn slope_named(course: &Course, typed: &str) -> Option<String> {
    (1..)
        .map(|no| format!("S{no}"))
        .zip(&course.slopes)
        .find(|(mark, slope)| {
            [mark.as_str(), slope.id.as_str(), slope.name.full()]
                .iter()
                .any(|name| name.eq_ignore_ascii_case(typed))
        })
        .map(|(mark, slope)| format!("{mark} {}", slope.name.short()))
}

impl Moderation {
    /// Works the agreement out.
    pub fn of(observed: &Observed) -> Self {
        let pairs = observed.pairs.as_slice();
        let mut names: Vec<&str> = pairs.iter().map(|pair| pair.criterion.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        let all: Vec<&Pair> = pairs.iter().collect();
        let each = names.into_iter().map(|name| {
            agreement(name, &pairs.iter().filter(|pair| pair.criterion == name).collect::<Vec<_>>())
        });
        Self {
            rows: std::iter::once(agreement("all criteria", &all)).chain(each).collect(),
            counts: table(&all)
                .iter()
                .map(|row| row.iter().map(|count| format!("{count:.0}")).collect())
                .collect(),
            differences: pairs
                .iter()
                .filter(|pair| pair.first != pair.second)
                .map(|pair| {
                    let follows = if pair.must { "no result: both see another run" } else { "talk it over" };
                    [
                        pair.driver.clone(),
                        pair.slope.clone(),
                        pair.criterion.clone(),
                        pair.first.to_string(),
                        pair.second.to_string(),
                        follows.to_owned(),
                    ]
                })
                .collect(),
            unseen: observed.unseen.to_string(),
        }
    }
}

fn table(pairs: &[&Pair]) -> Vec<Vec<f64>> {
    let mut table = vec![vec![0.0; 3]; 3];
    for pair in pairs {
        table[pair.first][pair.second] += 1.0;
    }
    table
}

fn agreement(name: &str, pairs: &[&Pair]) -> Agreement {
    let table = table(pairs);
    let told = |kappa: Option<Kappa>| {
        kappa
            .and_then(|kappa| kappa.kappa)
            .map_or_else(|| "n/a".to_owned(), |kappa| format!("{kappa:.2}").replace('-', "−"))
    };
    let plain = kappa(&table, Weights::None);
    Agreement {
        criterion: name.to_owned(),
        count: pairs.len().to_string(),
        agreed: plain.map_or_else(|| "n/a".to_owned(), |kappa| format!("{:.0} %", 100.0 * kappa.agreed)),
        kappa: told(plain),
        weighted: told(kappa(&table, Weights::Squared)),
        words: match plain.and_then(|kappa| kappa.kappa) {
            Some(kappa) => kappa_in_words(kappa).to_owned(),
            None => "no kappa: both gave one grade only".to_owned(),
        },
    }
}
