//! How the grades of a run, of a practical and of the whole come to a result: this course's own rules, common
//! practice, no source.

use serde::Serialize;

use super::criteria;
use crate::course::{Course, Slope};
use crate::paper::results::whole::WHOLE;

/// The rules that hold on every course, before those on which runs are wanted.
const RULES: [&str; 4] = [
    "Grade what you see when you see it: 2 met, 1 met after a prompt, 0 not met, – not seen. What is done at the brow, the marshal there sees and reads to you by radio; write no grade for what neither of you saw.",
    "A run is passed when everything marked ! is 2, and of the rest at most one is 0 and at most two are 1.",
    "Something marked ! not seen: the run is driven again, neither passed nor failed. Two assessors differ on it: no result until both have seen another run.",
    "Anybody in danger: stop the run at once. It is not passed, and the day’s abort rule holds.",
];

/// A line of a candidate's record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct Line {
    /// The slope, as the sheets call it.
    pub(super) run: String,
    /// What sets it apart, with a letter; what is said instead of driving, where nobody drives.
    pub(super) asks: String,
}

/// What a slope asks of a driver: its ground, and what is not asked on every slope.
fn asked(course: &Course, slope: &Slope) -> String {
    let ground = course.surface_of(slope).name.to_string();
    let own = criteria::own(slope).into_iter().map(str::to_lowercase);
    std::iter::once(ground).chain(own).collect::<Vec<_>>().join(", ")
}

/// A slope of the practical: how the sheets call it, the slope, whether somebody drives it, and who must say no.
pub(super) type Asked<'a> = (&'a str, &'a Slope, bool, &'a [String]);

/// Lines of a record and the rules behind them. Slopes with one letter ask the same; two letters are two slopes that
/// ask for different things.
pub(super) fn of(course: &Course, slopes: &[Asked]) -> (Vec<Line>, Vec<String>) {
    let mut kinds: Vec<String> = Vec::new();
    let mut lines = Vec::new();
    for (name, slope, driven, stay) in slopes {
        if *driven {
            let kind = asked(course, slope);
            let at = kinds.iter().position(|known| *known == kind).unwrap_or_else(|| {
                kinds.push(kind.clone());
                kinds.len() - 1
            });
            let letter = crate::paper::item::letter(at).to_ascii_lowercase();
            lines.push(Line { run: (*name).to_owned(), asks: format!("{letter} {kind}") });
        }
        if !stay.is_empty() {
            let asks = format!("says no, with {}", stay.join(", "));
            lines.push(Line { run: (*name).to_owned(), asks });
        }
    }
    let driven = slopes.iter().filter(|(_, _, driven, _)| *driven).count();
    let (wanted, one_kind) = match (kinds.len(), driven) {
        (2.., _) => (
            "on two slopes with different letters",
            " A vehicle that drives one letter only passes with two runs there, and the result says so.",
        ),
        (_, 2..) => ("on two slopes", ""),
        _ => ("twice on the slope", ""),
    };
    let practical = format!(
        "The practical is passed with runs passed {wanted} and with every “says no” of the candidate’s vehicle.\
         {one_kind} One run may be repeated on the same day."
    );
    let rules = RULES.iter().map(|rule| (*rule).to_owned()).chain([practical, WHOLE.to_owned()]).collect();
    (lines, rules)
}
