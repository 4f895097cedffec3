//! Marking a file of keyed answers.

pub(super) mod answer;
pub(super) mod judging;

use std::collections::BTreeMap;

use super::code;
use super::form::Form;
use super::marking::answer::{Judged, Outcome, judge};
use crate::course::Topic;
use crate::problem::Problem;
use crate::spreadsheet::{Cell, Row, Table, plain};

/// One candidate's paper, marked.
#[derive(Clone, Debug)]
pub struct Sitting {
    /// Line in the file of answers.
    pub line: usize,
    /// Candidate as keyed.
    pub candidate: String,
    /// Name as keyed; may be empty.
    pub name: String,
    /// Place of the form in the list.
    pub form: usize,
    /// What was keyed for each question, in the order of the form.
    pub typed: Vec<String>,
    /// What became of each.
    pub judged: Vec<Judged>,
}

/// A file of answers, marked.
#[derive(Clone, Debug)]
pub struct Marked {
    /// Every row that could be marked.
    pub sittings: Vec<Sitting>,
    /// Rows that could not, as they stand: for a person.
    pub unmarked: Vec<Row>,
    /// What is wrong with them, and what else deserves a look.
    pub problems: Vec<Problem>,
}

impl Sitting {
    /// Marks of the whole paper.
    pub fn total(&self) -> u16 {
        self.judged.iter().map(|judged| judged.marks).sum()
    }

    /// Marks, and marks there are, of a topic.
    pub fn of_topic(&self, form: &Form, topic: Topic) -> (u16, u16) {
        form.questions
            .iter()
            .zip(&self.judged)
            .filter(|(question, _)| question.topic == topic)
            .fold((0, 0), |(got, of), (question, judged)| (got + judged.marks, of + question.marks))
    }
}

const PAPER: &[&str] = &["paper", "paper-code", "papercode", "code"];
const CANDIDATE: &[&str] = &["candidate", "number", "candidate-number", "candidatenumber"];
const NAME: &[&str] = &["name", "candidate-name", "candidatename"];

/// Reads a file of keyed answers.
pub fn read_answers(bytes: &[u8]) -> Table {
    let named = |head: &str| [PAPER, CANDIDATE, NAME].iter().any(|names| names.contains(&head));
    Table::read(bytes, |head| named(head) || question_of(head).is_some())
}

/// The question a head stands for: `q7`, `question 7` or `7`.
fn question_of(head: &str) -> Option<usize> {
    let number = head.strip_prefix("question").or_else(|| head.strip_prefix('q')).unwrap_or(head);
    number.trim_start_matches('-').parse().ok()
}

/// Where the columns are.
struct Columns {
    paper: usize,
    candidate: usize,
    name: Option<usize>,
    /// Column of each question, from question 1.
    questions: Vec<Option<usize>>,
}

/// Marks every row it can. The others are kept, with what is wrong.
///
/// # Errors
/// The head lacks a column without which nothing can be marked.
pub fn mark(table: &Table, forms: &[Form]) -> Result<Marked, Vec<Problem>> {
    let longest = forms.iter().map(|form| form.questions.len()).max().unwrap_or(0);
    if table.head.is_empty() && !table.problems.is_empty() {
        return Err(table.problems.clone());
    }
    let mut problems = table.problems.clone();
    let columns = columns(table, longest, &mut problems)?;
    let (mut found, mut unmarked): (Vec<(&Row, Sitting)>, Vec<Row>) = (Vec::new(), table.broken.clone());
    for row in &table.rows {
        if is_only_code(row, &columns) {
            continue;
        }
        match sitting(row, table, &columns, forms) {
            Ok((sitting, unread)) => {
                problems.extend(unread);
                found.push((row, sitting));
            }
            Err(problem) => {
                problems.push(problem);
                unmarked.push(row.clone());
            }
        }
    }
    let mut rows_of: BTreeMap<String, Vec<&Row>> = BTreeMap::new();
    for (row, sitting) in &found {
        rows_of.entry(sitting.candidate.to_lowercase()).or_default().push(row);
    }
    let mut sittings = Vec::new();
    for (row, sitting) in &found {
        let same = &rows_of[&sitting.candidate.to_lowercase()];
        match same.iter().find(|other| other.line != row.line) {
            // Which of them is the candidate's is not guessed: neither is marked.
            Some(other) => {
                problems.push(
                    Problem::new(format!(
                        "candidate `{}` stands in two rows, and neither is marked",
                        sitting.candidate
                    ))
                    .help("take one out, or put the right candidate there, and mark again")
                    .at(row.span.clone())
                    .related(other.span.clone(), "the other"),
                );
                unmarked.push((*row).clone());
            }
            None => sittings.push(sitting.clone()),
        }
    }
    if found.is_empty() && unmarked.is_empty() {
        return Err(vec![
            Problem::new("the file has no row with answers").help("key one row for each candidate"),
        ]);
    }
    unmarked.sort_by_key(|row| row.line);
    Ok(Marked { sittings, unmarked, problems: table.with_cells(problems) })
}

fn columns(table: &Table, longest: usize, problems: &mut Vec<Problem>) -> Result<Columns, Vec<Problem>> {
    let find =
        |names: &[&str]| table.head.iter().position(|cell| names.contains(&plain(&cell.text).as_str()));
    let mut missing = Vec::new();
    let mut wanted = |names: &[&str]| {
        find(names).unwrap_or_else(|| {
            let place = table.head.first().map_or(0..0, |cell| {
                cell.span.start..table.head.last().map_or(cell.span.end, |last| last.span.end)
            });
            missing.push(
                Problem::new(format!("the file has no column `{}`", names[0]))
                    .help("the first line names the columns: paper, candidate, name, q1, q2, …")
                    .at(place),
            );
            0
        })
    };
    let (paper, candidate) = (wanted(PAPER), wanted(CANDIDATE));
    let name = find(NAME);
    let mut questions = vec![None; longest];
    for (at, cell) in table.head.iter().enumerate() {
        if [Some(paper), Some(candidate), name].contains(&Some(at)) || cell.text.is_empty() {
            continue;
        }
        match question_of(&plain(&cell.text)) {
            Some(no) if (1..=longest).contains(&no) && questions[no - 1].is_none() => {
                questions[no - 1] = Some(at);
            }
            Some(no) if (1..=longest).contains(&no) => missing.push(
                Problem::new(format!("question {no} has two columns, so that nobody knows which counts"))
                    .help("take the other one out")
                    .at(cell.span.clone()),
            ),
            _ => problems.push(
                Problem::new(format!("the column `{}` is not marked", cell.text))
                    .help(format!("columns are paper, candidate, name and q1 to q{longest}"))
                    .at(cell.span.clone()),
            ),
        }
    }
    if questions.iter().all(Option::is_none) && missing.is_empty() {
        missing.push(Problem::new("the file has no column with answers").help("name them q1, q2, …"));
    } else if missing.is_empty() {
        let end = table.head.last().map_or(0..0, |cell| cell.span.clone());
        missing.extend((1..).zip(&questions).filter(|(_, column)| column.is_none()).map(|(no, _)| {
            Problem::new(format!("the file has no column `q{no}`: every candidate would lose that question"))
                .help("answers.csv, printed with the papers, has a column for each question")
                .at(end.clone())
        }));
    }
    if missing.is_empty() { Ok(Columns { paper, candidate, name, questions }) } else { Err(missing) }
}

/// A row of the form that nobody has filled in.
fn is_only_code(row: &Row, columns: &Columns) -> bool {
    row.cells.iter().enumerate().all(|(at, cell)| at == columns.paper || cell.text.is_empty())
}

/// The sitting of a row, and what of it cannot be read.
fn sitting(
    row: &Row,
    table: &Table,
    columns: &Columns,
    forms: &[Form],
) -> Result<(Sitting, Vec<Problem>), Problem> {
    let text = |at: usize| row.cells.get(at).map_or("", |cell| cell.text.as_str());
    let place = |at: usize| row.cells.get(at).map_or(row.span.clone(), |cell: &Cell| cell.span.clone());
    if let Some(problem) = table.too_long(row) {
        return Err(problem);
    }
    if text(columns.candidate).is_empty() {
        return Err(Problem::new("the row has answers but no candidate")
            .help("key number or name")
            .at(place(columns.candidate)));
    }
    let form = form_of(text(columns.paper), forms)
        .map_err(|(message, help)| Problem::new(message).help(help).at(place(columns.paper)))?;
    let needed =
        columns.questions[..forms[form].questions.len()].iter().flatten().max().copied().unwrap_or(0);
    if row.cells.len() <= needed {
        let lost = (1..).zip(&columns.questions).find(|(_, at)| at.is_some_and(|at| at >= row.cells.len()));
        return Err(Problem::new(format!(
            "the row ends before question {}: what stood there is lost",
            lost.map_or(0, |(no, _): (usize, _)| no)
        ))
        .help("leave a cell for every question, empty where nothing was answered")
        .at(row.span.end..row.span.end));
    }
    let typed: Vec<String> = (0..forms[form].questions.len())
        .map(|question| columns.questions[question].map_or("", text).to_owned())
        .collect();
    let judged: Vec<Judged> =
        forms[form].questions.iter().zip(&typed).map(|(question, typed)| judge(question, typed)).collect();
    let unread = (0..).zip(&judged).filter(|(_, judged)| judged.outcome == Outcome::Unclear);
    let problems = unread
        .map(|(at, judged): (usize, &Judged)| {
            let column = columns.questions[at].unwrap_or(0);
            Problem::new(format!("question {}: `{}` cannot be read: {}", at + 1, typed[at], judged.why))
                .help("look at the answer sheet and key it again; until then it waits in to-judge.csv")
                .at(place(column))
        })
        .collect();
    let sitting = Sitting {
        line: row.line,
        candidate: text(columns.candidate).to_owned(),
        name: columns.name.map_or("", text).to_owned(),
        form,
        typed,
        judged,
    };
    Ok((sitting, problems))
}

/// The form with a code, or what is wrong with the code.
fn form_of(typed: &str, forms: &[Form]) -> Result<usize, (String, String)> {
    let codes: Vec<&str> = forms.iter().map(|form| form.code.as_str()).collect();
    let listed = || match codes.as_slice() {
        few if few.len() <= 6 => format!("the papers are {}", few.join(", ")),
        many => format!("the papers are {} and {} more", many[..3].join(", "), many.len() - 3),
    };
    if typed.is_empty() {
        return Err(("the paper code is missing".to_owned(), listed()));
    }
    let Some(code) = code::holds(typed) else {
        return Err((format!("`{typed}` is not a paper code: its last character does not check"), listed()));
    };
    forms
        .iter()
        .position(|form| form.code == code)
        .ok_or_else(|| (format!("{code} is not one of these papers"), listed()))
}
