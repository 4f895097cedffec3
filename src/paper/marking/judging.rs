//! What persons judged: marks for answers that the program cannot settle, with who, when and why.

use crate::paper::form::Form;
use crate::paper::marking::answer::{Judged, Outcome};
use crate::paper::marking::{Marked, Sitting};
use crate::problem::Problem;
use crate::spreadsheet::{Row, Table, plain};

/// Columns of the list, as `to-judge.csv` has them: fill in the last three and give the file to `--judged`.
pub(crate) const COLUMNS: [&str; 11] = [
    "line",
    "paper",
    "candidate",
    "question",
    "keyed",
    "marks so far",
    "marks possible",
    "what to look at",
    "marks given",
    "judged by",
    "date and reason",
];

/// One judgement, for the record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ruling {
    /// Paper code.
    pub paper: String,
    /// Candidate.
    pub candidate: String,
    /// Number of the question on that paper.
    pub question: usize,
    /// What was keyed.
    pub keyed: String,
    /// Marks before.
    pub before: u16,
    /// Marks after.
    pub after: u16,
    /// Who judged.
    pub by: String,
    /// When and why.
    pub why: String,
}

/// Marks that a person could still add to an answer.
pub fn possible(marks: u16, methods: usize, judged: &Judged) -> u16 {
    match judged.outcome {
        Outcome::Unclear | Outcome::Look => marks - judged.marks,
        Outcome::Wrong => u16::try_from(methods).unwrap_or(0).min(marks - judged.marks),
        _ => 0,
    }
}

impl Sitting {
    /// Marks that persons could still add.
    pub fn open(&self, form: &Form) -> u16 {
        form.questions
            .iter()
            .zip(&self.judged)
            .map(|(question, judged)| possible(question.marks, question.methods(), judged))
            .sum()
    }
}

/// Reads a list of judgements.
pub fn read_rulings(bytes: &[u8]) -> Table {
    Table::read(bytes, |head| COLUMNS.iter().any(|name| plain(name) == head))
}

/// Puts judgements into marked answers. Rows without marks given still wait.
///
/// # Errors
/// Every row that fits no answer, or lacks marks, name or reason; then nothing is changed.
pub fn rule(marked: &mut Marked, forms: &[Form], table: &Table) -> Result<Vec<Ruling>, Vec<Problem>> {
    let column = |name: &str| table.head.iter().position(|cell| plain(&cell.text) == plain(name));
    let wanted = ["paper", "candidate", "question", "marks given", "judged by", "date and reason"];
    let places: Vec<Option<usize>> = wanted.iter().map(|name| column(name)).collect();
    if let Some(at) = places.iter().position(Option::is_none) {
        let problem = Problem::new(format!("the judgements have no column `{}`", wanted[at]))
            .help("fill in to-judge.csv and leave its first line as it is");
        return Err(table.problems.iter().cloned().chain([problem]).collect());
    }
    let places: Vec<usize> = places.into_iter().flatten().collect();
    let mut problems = table.problems.clone();
    let mut found: Vec<(usize, usize, Ruling)> = Vec::new();
    for row in &table.rows {
        match ruling(row, &places, marked, forms) {
            Ok(Some(one)) if found.iter().any(|(sitting, at, _)| (*sitting, *at) == (one.0, one.1)) => {
                problems.push(
                    Problem::new("this answer is judged twice").help("leave one row").at(row.span.clone()),
                );
            }
            Ok(one) => found.extend(one),
            Err(problem) => problems.push(problem),
        }
    }
    if !problems.is_empty() {
        return Err(table.with_cells(problems));
    }
    for (sitting, at, ruling) in &found {
        marked.sittings[*sitting].judged[*at] = Judged::by_person(ruling.after, &ruling.by);
    }
    Ok(found.into_iter().map(|(.., ruling)| ruling).collect())
}

fn ruling(
    row: &Row,
    places: &[usize],
    marked: &Marked,
    forms: &[Form],
) -> Result<Option<(usize, usize, Ruling)>, Problem> {
    let text = |at: usize| row.cells.get(places[at]).map_or("", |cell| cell.text.as_str());
    let fault = |at: usize, message: String, help: &str| {
        let span = row.cells.get(places[at]).map_or(row.span.clone(), |cell| cell.span.clone());
        Problem::new(message).help(help).at(span)
    };
    if text(3).is_empty() {
        return Ok(None);
    }
    let sitting = marked
        .sittings
        .iter()
        .position(|one| one.candidate == text(1) && forms[one.form].code == text(0))
        .ok_or_else(|| {
            fault(
                1,
                format!("`{}` with paper `{}` is not among the answers", text(1), text(0)),
                "copy both from to-judge.csv",
            )
        })?;
    let form = &forms[marked.sittings[sitting].form];
    let at = text(2).parse::<usize>().ok().filter(|no| (1..=form.questions.len()).contains(no)).ok_or_else(
        || {
            fault(
                2,
                format!("`{}` is not a question of this paper", text(2)),
                "write its number on the paper",
            )
        },
    )? - 1;
    let most = form.questions[at].marks;
    let after = text(3).parse::<u16>().ok().filter(|marks| *marks <= most).ok_or_else(|| {
        fault(
            3,
            format!("`{}` is not a whole number of marks from 0 to {most}", text(3)),
            "write whole marks",
        )
    })?;
    for (column, what) in [(4, "who judged"), (5, "when and why")] {
        if text(column).is_empty() {
            return Err(fault(
                column,
                format!("{what} is missing"),
                "every judgement is signed, dated and gives its reason",
            ));
        }
    }
    let owner = &marked.sittings[sitting];
    let ruling = Ruling {
        paper: form.code.clone(),
        candidate: owner.candidate.clone(),
        question: at + 1,
        keyed: owner.typed[at].clone(),
        before: owner.judged[at].marks,
        after,
        by: text(4).to_owned(),
        why: text(5).to_owned(),
    };
    Ok(Some((sitting, at, ruling)))
}
