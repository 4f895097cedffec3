//! Judging one answer as it was keyed.

mod typed;

use crate::paper::band::Interval;
use crate::paper::item::{Body, Number, Opt, Question, ScoredSlip, letter};
use crate::quantity::{ToSi, Unit, UnitSystem, units_of, way_of};
use typed::{Typed, TypedUnit, read_number};

/// What became of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Full marks.
    Right,
    /// Some marks, or a mistake that has a name.
    Slip,
    /// No name for the mistake: at most the unit's mark, until a person looks at the working.
    Wrong,
    /// Nothing was answered.
    Blank,
    /// Marks given by a person.
    ByPerson,
    /// It lies near the key: a person looks at the working.
    Look,
    /// It cannot be read: a person must judge.
    Unclear,
}

/// A judged answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judged {
    /// Marks.
    pub marks: u16,
    /// What became of it.
    pub outcome: Outcome,
    /// The option or slip it stands for: `right`, a slip's name, or empty.
    pub drawn: String,
    /// Why, as told to the learner.
    pub why: String,
}

impl Judged {
    fn new(marks: u16, outcome: Outcome, drawn: &str, why: impl Into<String>) -> Self {
        Self { marks, outcome, drawn: drawn.to_owned(), why: why.into() }
    }

    /// Marks given by a person.
    pub fn by_person(marks: u16, who: &str) -> Self {
        Self::new(marks, Outcome::ByPerson, "", format!("judged by {who}"))
    }

    fn look(marks: u16, why: impl Into<String>) -> Self {
        Self::new(marks, Outcome::Look, "", why)
    }

    fn unclear(why: impl Into<String>) -> Self {
        Self::new(0, Outcome::Unclear, "", why)
    }

    fn right(marks: u16) -> Self {
        Self::new(marks, Outcome::Right, "right", "")
    }
}

/// Judges an answer. What cannot be read is never guessed.
pub fn judge(question: &Question, typed: &str) -> Judged {
    let text = typed.trim();
    if text.is_empty() || matches!(text, "-" | "–" | "—" | ".") {
        return Judged::new(0, Outcome::Blank, "", "not answered");
    }
    if let Some(marks) = by_person(text) {
        return match marks.parse::<u16>() {
            Ok(marks) if marks <= question.marks => {
                Judged::new(marks, Outcome::ByPerson, "", "judged by a person")
            }
            _ => Judged::unclear(format!(
                "`judged` wants a whole number of marks from 0 to {}",
                question.marks
            )),
        };
    }
    match &question.body {
        Body::Number(number) => judge_number(number, question.marks, text),
        Body::Choice(options) => judge_choice(options, text),
        Body::Order { steps, forced, .. } => judge_order(steps.len(), forced, text),
        Body::Truth { holds, reasons } => judge_truth(*holds, reasons, text),
    }
}

/// `judged 2`.
fn by_person(text: &str) -> Option<&str> {
    let word = text.get(..6)?;
    word.eq_ignore_ascii_case("judged").then(|| text[6..].trim_start_matches([':', '=', ' ']).trim())
}

/// The letters in an answer, capitals; none when it holds anything but letters and marks between.
fn letters(text: &str) -> Option<Vec<char>> {
    let between = |c: char| c.is_whitespace() || ",;.-–/()>→[]".contains(c);
    let found: Vec<char> = text.chars().filter(|c| !between(*c)).map(|c| c.to_ascii_uppercase()).collect();
    found.iter().all(char::is_ascii_uppercase).then_some(found)
}

fn place(letter_typed: char, count: usize) -> Option<usize> {
    (0..count).find(|at| letter(*at) == letter_typed)
}

fn last_letter(count: usize) -> char {
    letter(count.saturating_sub(1))
}

fn judge_choice(options: &[Opt], text: &str) -> Judged {
    let chosen =
        letters(text).filter(|found| found.len() == 1).and_then(|found| place(found[0], options.len()));
    match chosen {
        None => Judged::unclear(format!("not one letter from A to {}", last_letter(options.len()))),
        Some(at) => match &options[at].slip {
            None => Judged::right(1),
            Some((id, why)) => Judged::new(0, Outcome::Slip, id, why.clone()),
        },
    }
}

/// Every order that keeps the forced pairs is right; one forced pair turned round costs a mark.
fn judge_order(count: usize, forced: &[(usize, usize)], text: &str) -> Judged {
    let places: Option<Vec<usize>> =
        letters(text).and_then(|found| found.into_iter().map(|one| place(one, count)).collect());
    let complete = places.filter(|places| {
        places.len() == count && (0..count).all(|at| places.iter().filter(|place| **place == at).count() == 1)
    });
    let Some(places) = complete else {
        return Judged::unclear(format!("not every letter from A to {} once", last_letter(count)));
    };
    let at = |step: usize| places.iter().position(|place| *place == step).unwrap_or(count);
    match forced.iter().filter(|(first, second)| at(*first) > at(*second)).count() {
        0 => Judged::right(2),
        1 => Judged::new(1, Outcome::Slip, "one-pair", "two steps are the wrong way round"),
        _ => Judged::new(0, Outcome::Slip, "other-order", "the order is another"),
    }
}

fn judge_truth(holds: bool, reasons: &[Opt], text: &str) -> Judged {
    let unclear =
        || Judged::unclear(format!("not T or F with one letter from A to {}", last_letter(reasons.len())));
    let upper = text.to_uppercase();
    let (said, rest) = [("TRUE", true), ("FALSE", false), ("T", true), ("F", false)]
        .into_iter()
        .find_map(|(word, said)| upper.strip_prefix(word).map(|rest| (Some(said), rest)))
        .unwrap_or((None, ""));
    let Some(said) = said else { return unclear() };
    let reason = match letters(rest) {
        Some(found) if found.is_empty() => None,
        Some(found) if found.len() == 1 => match place(found[0], reasons.len()) {
            Some(at) => Some(at),
            None => return unclear(),
        },
        _ => return unclear(),
    };
    if said != holds {
        return Judged::new(
            0,
            Outcome::Slip,
            "wrong-way",
            if holds { "the claim holds" } else { "the claim does not hold" },
        );
    }
    match reason.map(|at| &reasons[at].slip) {
        None => Judged::new(1, Outcome::Slip, "no-reason", "no reason is given"),
        Some(None) => Judged::right(2),
        Some(Some((id, why))) => Judged::new(1, Outcome::Slip, id, why.clone()),
    }
}

fn judge_number(number: &Number, full: u16, text: &str) -> Judged {
    let readings = match read_number(text, number.unit) {
        Ok(readings) => readings,
        Err(why) => return Judged::unclear(why),
    };
    let mut judged: Vec<Judged> = readings.iter().map(|typed| judge_typed(number, full, typed)).collect();
    judged.dedup();
    match judged.as_slice() {
        [one] => one.clone(),
        _ => Judged::unclear("the comma could mark thousands or decimals"),
    }
}

fn judge_typed(number: &Number, full: u16, typed: &Typed) -> Judged {
    let named = typed.unit == TypedUnit::Right;
    let unit = u16::from(number.unit_mark && named);
    let lost = match typed.unit {
        _ if !number.unit_mark || named => "",
        TypedUnit::Missing => "the unit is missing",
        _ => "the unit is of another kind",
    };
    let read = as_meant(number, typed);
    if meets(number.accept, &read) {
        if lost.is_empty() {
            return Judged::right(full);
        }
        return Judged::new(full - 1, Outcome::Slip, "right-no-unit", lost);
    }
    if let Some(slip) = number.slips.iter().find(|slip: &&ScoredSlip| meets(slip.accept, &read)) {
        let why = [slip.wrong.why.as_str(), lost]
            .iter()
            .filter(|part| !part.is_empty())
            .copied()
            .collect::<Vec<_>>();
        return Judged::new(slip.marks + unit, Outcome::Slip, &slip.wrong.id, why.join("; "));
    }
    if meets(number.look, &read) {
        return Judged::look(
            unit,
            "near the key: right if no result on the way was rounded below three figures",
        );
    }
    if is_coarse(number, &read) {
        return Judged::look(
            unit,
            "right as far as its figures go, but three were asked for: look at the working",
        );
    }
    Judged::new(unit, Outcome::Wrong, "", "no usual slip gives this value; the working may earn method marks")
}

/// A value without a unit in the one the key has, or in the plain one of its kind if it is right there:
/// the paper does not say which it is to be.
fn as_meant(number: &Number, typed: &Typed) -> Typed {
    let plain = plain_of(number.unit);
    let Some(plain) = plain.filter(|_| typed.unit == TypedUnit::Missing) else { return *typed };
    let change = |value: f64| number.unit.from_si(plain.to_si(value));
    let other =
        Typed { value: change(typed.value), half_digit: change(typed.half_digit), converted: true, ..*typed };
    if meets(number.accept, typed) || !meets(number.accept, &other) { *typed } else { other }
}

/// The unit of the same kind that a key's own lines are worked in: newton for kilonewton, foot-pound for BTU.
pub(in crate::paper) fn plain_of(unit: &Unit) -> Option<&'static Unit> {
    let feet = |one: &Unit| way_of(one, UnitSystem::Imperial);
    if feet(unit) == unit.to_si {
        return units_of(unit.dim).find(|one| one.is_coherent());
    }
    units_of(unit.dim).find(|one| feet(one) == ToSi::Same && !one.is_coherent())
}

/// Whether fewer than three figures were keyed, and the key rounds to them.
fn is_coarse(number: &Number, typed: &Typed) -> bool {
    let spread = Interval { low: typed.value - typed.half_digit, high: typed.value + typed.half_digit };
    typed.half_digit > 0.005 * typed.value
        && typed.half_digit < 0.06 * typed.value
        && spread.meets(number.accept)
}

/// Whether the number as typed can be one that is accepted: in the unit asked for as it stands, in
/// another one within half of its own last digit.
fn meets(accept: Interval, typed: &Typed) -> bool {
    let half = if typed.converted { typed.half_digit } else { 0.0 };
    let slack = 1e-9 * typed.value.abs();
    accept.meets(Interval { low: typed.value - half - slack, high: typed.value + half + slack })
}
