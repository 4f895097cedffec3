//! The risk assessment: what can hurt somebody on this ground, and what is done about it.
//!
//! Scores are likelihood times severity, each 1 to 5. Severity falls only where a control takes the
//! hazard away or keeps it from people; rules and training lower the likelihood alone.

use serde::Serialize;

use crate::course::{AreaOfSite, Name, RiskCuts};
use crate::pack::book::Book;
use crate::pack::ground::scored::{Row, row};
use crate::pack::ground::wanted::{missing_to_dig, missing_to_measure};
use crate::pack::ground::{hazards, slope_hazards};
use crate::page::meta::Meta;
use crate::page::site::areas;

/// The risk assessment.
#[derive(Serialize)]
pub(crate) struct RiskAssessment {
    pack: Meta,
    risk: Risk,
    /// Where nobody goes, by the plan of the site.
    closed: Vec<String>,
}

#[derive(Serialize)]
struct Risk {
    assessor: String,
    review: String,
    note: Option<String>,
    bands: Vec<Band>,
    rows: Vec<Row>,
    blank_rows: usize,
}

#[derive(Serialize)]
struct Band {
    range: String,
    name: &'static str,
    action: &'static str,
}

/// What is asked for, least first, and what that means.
const ACTIONS: [(&str, &str); 4] = [
    ("go on", "with the controls that stand here"),
    ("ask first", "the person in charge of the day says yes"),
    ("in writing", "a named person signs for it below"),
    ("not today", "it is not done; find a stronger control"),
];

/// Highest score there is.
const HIGHEST: u8 = 25;

/// Which of the [`ACTIONS`] a score asks for.
fn action(cuts: RiskCuts, score: u8) -> usize {
    [cuts.ask_first, cuts.in_writing, cuts.not_today].iter().filter(|cut| score >= **cut).count()
}

/// The actions with the scores that ask for them.
fn bands(cuts: RiskCuts) -> Vec<Band> {
    let from = [1, cuts.ask_first, cuts.in_writing, cuts.not_today];
    let to = [cuts.ask_first - 1, cuts.in_writing - 1, cuts.not_today - 1, HIGHEST];
    let range = |(low, high)| if low == high { format!("{low}") } else { format!("{low}–{high}") };
    let ranges = from.into_iter().zip(to).map(range);
    ACTIONS.into_iter().zip(ranges).map(|((name, action), range)| Band { range, name, action }).collect()
}

impl RiskAssessment {
    /// From the book.
    pub(crate) fn of(book: &Book, pack: Meta) -> Self {
        let course = book.course;
        let mut rows = rows(book);
        for (no, row) in (1..).zip(&mut rows) {
            row.no = format!("{no}");
            row.look_for(course).for_each(drop);
            for score in [&mut row.before, &mut row.after].into_iter().chain(&mut row.with_kit) {
                score.action = ACTIONS[action(course.limits.risk, score.product)].0;
            }
        }
        let risk = Risk {
            assessor: course.prepared_by.as_ref().map_or_else(|| "the instructor in charge".to_owned(), Name::short),
            review: "before each course, and whenever ground, weather or fleet change".to_owned(),
            note: Some("Scores and controls are proposals to be checked on the ground. A slope’s severity is 5 where it tilts, is 15° or steeper, has an edge or water, or locked wheels need not stop on it, else 4; its likelihood before is 4 where some vehicle stays out, else 3 (judgement). Local law and site rules come first.".to_owned()),
            bands: bands(course.limits.risk),
            rows,
            blank_rows: 3,
        };
        let plan = course.site_plan.as_ref();
        let closed = plan.map_or_else(Vec::new, |plan| areas(plan, AreaOfSite::KeepOut));
        Self { pack, risk, closed }
    }
}

fn rows(book: &Book) -> Vec<Row> {
    let of_slopes = book.course.slopes.iter().flat_map(|slope| slope_hazards::of_slope(book, slope));
    hazards::of_the_day(book).into_iter().map(row).chain(of_slopes).collect()
}

/// Kit that some control stands on and the course does not have; none where all is there.
pub(crate) fn missing_kit(book: &Book) -> Option<String> {
    let mut all: Vec<String> = Vec::new();
    for mut row in rows(book) {
        for what in row.look_for(book.course) {
            if !all.contains(what) {
                all.push(what.clone());
            }
        }
    }
    all.extend(missing_to_dig(book.course));
    all.extend(missing_to_measure(book));
    (!all.is_empty()).then(|| {
        format!(
            "Kit that controls of the risk assessment, the recovery ladder and the measuring stand on and the kit list does not have: {}. Get it before the day.",
            all.join("; ")
        )
    })
}

#[cfg(test)]
mod tests {
    use super::{ACTIONS, action, bands};
    use crate::course::RiskCuts;

    #[test]
    fn a_score_asks_for_what_the_course_cuts_it_to() {
        let own = RiskCuts { ask_first: 3, in_writing: 6, not_today: 12 };
        let asked: Vec<&str> = [1, 2, 3, 5, 6, 10, 12, 25].map(|score| ACTIONS[action(own, score)].0).into();
        let expected = [
            "go on",
            "go on",
            "ask first",
            "ask first",
            "in writing",
            "in writing",
            "not today",
            "not today",
        ];
        assert_eq!(asked, expected);
        let ranges: Vec<String> = bands(own).into_iter().map(|band| band.range).collect();
        assert_eq!(ranges, ["1–2", "3–5", "6–11", "12–25"]);
        let tight = RiskCuts { ask_first: 2, in_writing: 3, not_today: 25 };
        assert_eq!(
            bands(tight).into_iter().map(|band| band.range).collect::<Vec<_>>(),
            ["1", "2", "3–24", "25"]
        );
    }

    #[test]
    fn what_can_kill_is_never_just_gone_on_with() {
        assert_eq!(ACTIONS[action(RiskCuts::default(), 5)].0, "ask first");
    }
}
