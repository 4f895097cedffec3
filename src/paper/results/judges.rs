//! A panel that judges the questions (Angoff's method, modified: two rounds, with talk between them): what it says is
//! read, worked out and set beside what candidates did.

use super::standards::Panel;
use super::statistics::{Divisor, mean, variance};
use crate::paper::code;
use crate::paper::form::Form;
use crate::paper::marking::Marked;
use crate::problem::Problem;
use crate::spreadsheet::{Cell, Row, Table, plain};

/// A judge so many deviations of the others away from their mean is talked to. Judgement, no source.
pub const FAR: f64 = 3.0;
/// A question on which panel and candidates differ by so much of its marks is talked over. Judgement, no source.
pub const UNLIKE: f64 = 0.15;

/// One judge's row: the share of its marks that somebody who just passes gets, for each question in the form's order.
#[derive(Clone, Debug, PartialEq)]
pub struct Judgement {
    /// Place of the form.
    pub form: usize,
    /// Who.
    pub judge: String,
    /// Round, from 1.
    pub round: usize,
    /// 0 to 1.
    pub shares: Vec<f64>,
}

/// A file of judgements as read: bad rows are told and count nowhere.
#[derive(Clone, Debug, Default)]
pub struct Judgements {
    /// Every row that could be read.
    pub rows: Vec<Judgement>,
    /// What is wrong with the others.
    pub problems: Vec<Problem>,
    /// The text that places of problems refer to.
    pub source: String,
}

/// The file that judges' sheets are keyed into: a row for each form, to be copied for each judge and round.
pub fn judges_form(forms: &[Form]) -> String {
    let most = forms.iter().map(|form| form.questions.len()).max().unwrap_or(0);
    let head = (1..=most).fold("paper,judge,round".to_owned(), |head, no| format!("{head},q{no}"));
    let row = |form: &Form| format!("{}{}\r\n", form.code, ",".repeat(most + 2));
    forms.iter().fold(format!("{head}\r\n"), |text, form| text + &row(form))
}

/// Reads judgements: columns paper, judge, round, q1, q2, …; a cell is a share of the marks in per cent.
pub fn read_judgements(bytes: &[u8], forms: &[Form]) -> Judgements {
    let number = |head: &str| head.strip_prefix('q').and_then(|no| no.parse::<usize>().ok());
    let table =
        Table::read(bytes, |head| ["paper", "judge", "round"].contains(&head) || number(head).is_some());
    let mut problems = table.problems.clone();
    let column = |name: &str| table.head.iter().position(|cell| plain(&cell.text) == name);
    let places: Vec<Option<usize>> = ["paper", "judge", "round"].map(column).to_vec();
    let mut rows: Vec<Judgement> = Vec::new();
    if let [Some(paper), Some(judge), Some(round)] = places[..] {
        let of_question = |no: usize| column(&format!("q{no}"));
        for row in
            table.rows.iter().filter(|row| row.cells.iter().filter(|cell| !cell.text.is_empty()).count() > 1)
        {
            let read = table.too_long(row).map_or_else(
                || judgement(row, [paper, judge, round], of_question, forms),
                |problem| Err(vec![problem]),
            );
            match read {
                Ok(one) if rows.iter().any(|other| other.is_same_as(&one)) => problems.push(
                    Problem::new(format!(
                        "judge `{}` stands twice in round {} of this paper",
                        one.judge, one.round
                    ))
                    .help("take one row out")
                    .at(row.span.clone()),
                ),
                Ok(one) => rows.push(one),
                Err(mut found) => problems.append(&mut found),
            }
        }
    } else if !table.head.is_empty() || problems.is_empty() {
        problems.push(
            Problem::new("the judgements lack a column")
                .help("the first line is: paper, judge, round, q1, q2, …"),
        );
    }
    Judgements { rows, problems: table.with_cells(problems), source: table.source }
}

impl Judgement {
    fn is_same_as(&self, other: &Self) -> bool {
        (self.form, &self.judge, self.round) == (other.form, &other.judge, other.round)
    }
}

fn judgement(
    row: &Row,
    [paper, judge, round]: [usize; 3],
    of_question: impl Fn(usize) -> Option<usize>,
    forms: &[Form],
) -> Result<Judgement, Vec<Problem>> {
    let text = |at: usize| row.cells.get(at).map_or("", |cell: &Cell| cell.text.as_str());
    let fault = |at: usize, what: String, help: &str| {
        let span = row.cells.get(at).map_or(row.span.end..row.span.end, |cell| cell.span.clone());
        Problem::new(what).help(help).at(span)
    };
    let code = code::holds(text(paper));
    let form = forms.iter().position(|form| Some(&form.code) == code.as_ref()).ok_or_else(|| {
        vec![fault(
            paper,
            format!("`{}` is not one of these papers", text(paper)),
            "copy the code from the sheet",
        )]
    })?;
    if text(judge).is_empty() {
        return Err(vec![fault(judge, "the row names no judge".to_owned(), "write initials or a number")]);
    }
    let number = text(round).parse::<usize>().ok().filter(|no| (1..=9).contains(no)).ok_or_else(|| {
        vec![fault(round, format!("`{}` is no round", text(round)), "write 1, or 2 after the talk")]
    })?;
    let mut problems = Vec::new();
    let mut shares = Vec::new();
    for no in 1..=forms[form].questions.len() {
        let at = of_question(no).unwrap_or(usize::MAX);
        let typed = text(at).trim_end_matches('%').trim().replace(',', ".");
        match typed.parse::<f64>().ok().filter(|share| (0.0..=100.0).contains(share)) {
            Some(share) => shares.push(share / 100.0),
            None => problems.push(fault(
                at,
                format!("question {no}: `{}` is no share of the marks", text(at)),
                "write a number from 0 to 100: per cent",
            )),
        }
    }
    let (judge, round) = (text(judge).to_owned(), number);
    if problems.is_empty() { Ok(Judgement { form, judge, round, shares }) } else { Err(problems) }
}

/// What one round comes to.
#[derive(Clone, Debug)]
pub struct Round {
    /// Which, from 1.
    pub number: usize,
    /// Judge, marks given, and how many deviations of the others away from their mean; none with too few others.
    pub judges: Vec<(String, f64, Option<f64>)>,
    /// Cut and error.
    pub panel: Panel,
}

/// A question as the last round sees it.
#[derive(Clone, Debug)]
pub struct Seen {
    /// Number on the form.
    pub no: usize,
    /// Mean share of the judges.
    pub judged: f64,
    /// Deviation of the judges' shares.
    pub spread: f64,
    /// Share of its marks that candidates got.
    pub got: Option<f64>,
}

/// The standard of one form.
#[derive(Clone, Debug)]
pub struct Standard {
    /// Place of the form.
    pub form: usize,
    /// Every round with two judges or more.
    pub rounds: Vec<Round>,
    /// Every question, by the last round.
    pub items: Vec<Seen>,
    /// Candidates of the form whose marks lie in the cut's 95 % interval: places in the list of sittings.
    pub near: Vec<usize>,
}

impl Standard {
    /// Of every form that at least two judges judged.
    pub fn all(judgements: &[Judgement], forms: &[Form], marked: &Marked) -> Vec<Self> {
        (0..forms.len()).filter_map(|form| Self::of(form, judgements, forms, marked)).collect()
    }

    fn of(form: usize, judgements: &[Judgement], forms: &[Form], marked: &Marked) -> Option<Self> {
        let marks: Vec<f64> =
            forms[form].questions.iter().map(|question| f64::from(question.marks)).collect();
        let of_round = |number: usize| -> Vec<&Judgement> {
            judgements.iter().filter(|one| one.form == form && one.round == number).collect()
        };
        let round = |number: usize| {
            let rows = of_round(number);
            let shares: Vec<Vec<f64>> = rows.iter().map(|one| one.shares.clone()).collect();
            let panel = Panel::of(&shares, &marks)?;
            let judges = rows
                .iter()
                .enumerate()
                .map(|(at, one)| (one.judge.clone(), panel.sums[at], away(&panel.sums, at)))
                .collect();
            Some(Round { number, judges, panel })
        };
        let rounds: Vec<Round> = (1..=9).filter_map(round).collect();
        let last = rounds.last()?;
        let rows = of_round(last.number);
        let sittings: Vec<_> = marked.sittings.iter().filter(|sitting| sitting.form == form).collect();
        let items = (0..marks.len())
            .map(|at| {
                let shares: Vec<f64> = rows.iter().map(|one| one.shares[at]).collect();
                let got: Vec<f64> =
                    sittings.iter().map(|one| f64::from(one.judged[at].marks) / marks[at]).collect();
                Seen {
                    no: at + 1,
                    judged: mean(&shares).unwrap_or(0.0),
                    spread: variance(&shares, Divisor::NLess1).map_or(0.0, libm::sqrt),
                    got: mean(&got),
                }
            })
            .collect();
        let (low, high) = last.panel.band;
        let near = (0..marked.sittings.len())
            .filter(|at| {
                let one = &marked.sittings[*at];
                one.form == form && (low..=high).contains(&f64::from(one.total()))
            })
            .collect();
        Some(Self { form, rounds, items, near })
    }

    /// The last round.
    pub fn last(&self) -> &Round {
        self.rounds.last().expect("a standard has a round")
    }
}

/// How many deviations of the others a judge's sum is away from their mean; none with fewer than three others.
pub fn away(sums: &[f64], at: usize) -> Option<f64> {
    let others: Vec<f64> =
        sums.iter().enumerate().filter(|(other, _)| *other != at).map(|(_, sum)| *sum).collect();
    let deviation = variance(&others, Divisor::NLess1).map(libm::sqrt)?;
    (others.len() >= 3 && deviation > 1e-9).then_some((sums[at] - mean(&others)?) / deviation)
}
