//! What one question tells of another: a number near its answer, or the very words of its answer.
//!
//! Numbers are compared by what they measure and how much it is, not by their digits: 7.77 km/h is told by
//! 7.8 km/h. Degrees and per cent are both slopes. A number without a unit in a sentence could be anything and is
//! compared with every answer; a ratio or a coefficient among the data is only one.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use crate::page::Fig;
use crate::paper::item::{Drawing, Stuff, Variant};
use crate::quantity::{Dim, Unit, unit_named, units};

/// A number within this share of an answer tells it.
pub(super) const NEAR: f64 = 0.02;
/// Share of the words of an answer that tell it, and how many there must be.
const OF_AN_ANSWER: (f64, usize) = (0.6, 2);
/// The same of a claim, which a sentence about the same matter settles.
const OF_A_CLAIM: (f64, usize) = (0.65, 3);

/// What a number measures.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Measure {
    /// A number in a sentence, without a unit.
    Unknown,
    /// A ratio or a coefficient.
    Plain,
    /// Degrees or per cent, as a tangent.
    Slope,
    /// Anything else with a unit.
    Of(Dim),
}

/// A number as printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Amount {
    printed: f64,
    si: f64,
    measure: Measure,
}

impl Amount {
    fn of(printed: f64, unit: Option<&Unit>, without: Measure) -> Self {
        let Some(unit) = unit.filter(|unit| !unit.is_bare()) else {
            return Self { printed, si: printed, measure: without };
        };
        let si = unit.to_si(printed);
        let (si, measure) = match unit {
            one if *one == units::DEGREE => (libm::tan(si), Measure::Slope),
            one if *one == units::PERCENT => (si, Measure::Slope),
            one => (si, Measure::Of(one.dim)),
        };
        Self { printed, si, measure }
    }

    /// The numbers of a sentence.
    pub(super) fn in_text(text: &str) -> Vec<Self> {
        read(text, Measure::Unknown)
    }

    /// The numbers of a value given: without a unit it is a ratio or a coefficient.
    pub(super) fn in_value(value: &Fig) -> Vec<Self> {
        read(&value.text(), Measure::Plain)
    }

    /// Whether this number, printed with another question, tells an answer.
    pub(super) fn tells(&self, answer: &Self) -> bool {
        let near = |one: f64, other: f64| (one - other).abs() <= NEAR * other.abs();
        if self.measure == Measure::Unknown {
            return near(self.printed, answer.printed);
        }
        // A slope is near by its tangent or by its angle: the two part company as it gets steep.
        let alike = near(self.si, answer.si)
            || self.measure == Measure::Slope && near(libm::atan(self.si), libm::atan(answer.si));
        self.measure == answer.measure && alike
    }
}

/// Numbers with the unit that follows each.
fn read(text: &str, without: Measure) -> Vec<Amount> {
    let mut all = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        rest = &rest[at..];
        let end = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
        let digits = rest[..end].trim_end_matches('.');
        rest = &rest[end..];
        let word: &str = rest
            .trim_start_matches([' ', '\u{a0}', '\u{202f}'])
            .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '?' | '"' | ')' | ':'))
            .next()
            .unwrap_or_default();
        let unit = unit_named(word).or_else(|| unit_named(word.trim_end_matches('.')));
        if let Ok(printed) = digits.parse() {
            all.push(Amount::of(printed, unit, without));
        }
    }
    all
}

/// What a question shows and what it asks, ready to be compared.
#[derive(Clone, Debug)]
pub(super) struct Told {
    /// Numbers in sentence, data and drawing.
    pub shown: Vec<Amount>,
    /// The answer, and what is worked out on the way.
    pub secret: Vec<Amount>,
    /// Digits of every number printed with it.
    pub digits: BTreeSet<String>,
    /// Digits of the answer that a candidate writes as a number: they stand nowhere on the form, whatever the unit.
    pub written: Option<String>,
    /// What it says of a vehicle by its printed name, with the value: two of one name must not differ on a form.
    pub(super) facts: Vec<(String, String)>,
    /// Words of the sentence, and of the steps of an order.
    words: BTreeSet<String>,
    /// Words of the answer; none of numbers.
    answer: BTreeSet<String>,
    /// Words of the claim to be judged; none of other questions.
    claim: BTreeSet<String>,
}

impl Told {
    /// Of a question, without its options.
    pub(super) fn of(variant: &Variant) -> Self {
        let mut shown = Amount::in_text(&variant.ask);
        shown.extend(variant.data.iter().flat_map(|(_, value)| Amount::in_value(value)));
        shown.extend(variant.drawing.iter().flat_map(drawn));
        let mut told = Self {
            shown,
            secret: variant.works_out.iter().flat_map(Amount::in_value).collect(),
            digits: variant.printed_numbers().into_iter().collect(),
            written: None,
            facts: facts(variant),
            words: words(&variant.ask),
            answer: BTreeSet::new(),
            claim: BTreeSet::new(),
        };
        match &variant.stuff {
            Stuff::Number(number) => {
                let key = Fig::new(number.key.text.clone(), number.unit.symbol, false);
                told.secret.extend(Amount::in_value(&key));
                told.written = Some(number.key.text.clone());
            }
            Stuff::Choice { right, sized: true, .. } => told.secret.extend(read(&right.text, Measure::Plain)),
            Stuff::Choice { right, .. } => told.answer = words(&right.text),
            Stuff::Truth { right, .. } => {
                told.answer = words(&right.text);
                told.claim = words(&variant.ask);
            }
            Stuff::Order { steps, .. } => told.words.extend(steps.iter().flat_map(|step| words(step))),
        }
        told
    }

    /// Whether the words of this question tell the answer of another.
    pub(super) fn says(&self, other: &Self) -> bool {
        let share = |of: &BTreeSet<String>, (share, fewest): (f64, usize)| {
            let count = |set: usize| f64::from(u32::try_from(set).unwrap_or(u32::MAX));
            let met = of.intersection(&self.words).count();
            met >= fewest && count(met) >= share * count(of.len())
        };
        share(&other.answer, OF_AN_ANSWER) || share(&other.claim, OF_A_CLAIM)
    }
}

/// What a vehicle has whatever is asked of it: not its gears, its load on the roof, or how fast it goes.
const OF_A_VEHICLE: [&str; 8] = [
    "rolling circumference",
    "mass",
    "track",
    "wheelbase",
    "axle ratio",
    "overall tyre diameter",
    "centre of mass before the rear axle",
    "mass of one disc or drum",
];

/// Facts of the vehicle that the sentence begins with: whose and what, and the value as printed.
fn facts(variant: &Variant) -> Vec<(String, String)> {
    let begun = variant.ask.split([',', ':']).next().unwrap_or_default();
    let whose = [" on ", " rolls ", " shall "]
        .iter()
        .fold(begun, |text, end| text.split_once(end).map_or(text, |(before, _)| before));
    let own = variant.data.iter().filter(|(name, _)| OF_A_VEHICLE.contains(&name.as_str()));
    own.map(|(name, value)| (format!("{whose}: {name}"), value.text())).collect()
}

/// The numbers that can be read off a drawing.
fn drawn(drawing: &Drawing) -> Vec<Amount> {
    match drawing {
        Drawing::Section { rise, run } => {
            [*rise, *run, rise / run].map(|one| Amount::of(one, None, Measure::Plain)).to_vec()
        }
        Drawing::Ladder { unit, gears } => {
            gears.iter().map(|(_, speed)| Amount::of(*speed, unit_named(unit), Measure::Plain)).collect()
        }
    }
}

/// Words that stand in most questions and tell nothing.
const EVERYWHERE: [&str; 59] = [
    "about", "after", "again", "against", "alike", "all", "and", "another", "any", "are", "before",
    "between", "both", "but", "does", "down", "drive", "each", "every", "false", "first", "for", "from",
    "give", "goes", "ground", "have", "into", "keep", "less", "more", "must", "not", "off", "one", "only",
    "other", "out", "over", "slope", "than", "that", "the", "them", "then", "these", "they", "this", "true",
    "two", "vehicle", "what", "when", "where", "which", "while", "who", "why", "with",
];

/// The words of a text that mean something, without their endings.
fn words(text: &str) -> BTreeSet<String> {
    static NOTHING: LazyLock<BTreeSet<String>> =
        LazyLock::new(|| EVERYWHERE.iter().map(|word| stem(word)).collect());
    text.to_lowercase()
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| word.chars().count() >= 3)
        .map(stem)
        .filter(|word| !NOTHING.contains(word))
        .collect()
}

/// A word without its ending: `locked`, `locking` and `locks` are `lock`.
fn stem(word: &str) -> String {
    let long = |ending: &&&str| word.len() >= ending.len() + 3 && word.ends_with(**ending);
    let ending = ["ing", "est", "ed", "er", "es", "s", "e", "y"].iter().find(|ending| long(ending));
    let stem = &word[..word.len() - ending.map_or(0, |ending| ending.len())];
    let mut letters = stem.chars().rev();
    match (letters.next(), letters.next()) {
        (Some(last), Some(before)) if ending.is_some() && last == before => {
            stem[..stem.len() - last.len_utf8()].to_owned()
        }
        _ => stem.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tells(shown: &str, answer: &str) -> bool {
        let answer = read(answer, Measure::Plain)[0];
        Amount::in_text(shown).iter().any(|one| one.tells(&answer))
    }

    #[test]
    fn a_number_is_told_by_value_and_by_what_it_measures() {
        assert!(tells("L3 at 7.8 km/h", "7.77 km/h"));
        assert!(!tells("L3 at 7.5 km/h", "7.77 km/h"));
        assert!(!tells("a pull of 7.8 kN", "7.77 km/h"), "a pull is no speed");
        assert!(tells("the board shows 40 %", "21.8°"), "both are the same slope");
        assert!(tells("after 30 minutes", "30.2 kN"), "a number without a unit could be anything");
        assert!(tells("0.40 m", "399 mm"), "in another unit");
    }

    /// A word kept in the list with an ending was met by no word of a text, since those had lost theirs.
    #[test]
    fn a_word_that_stands_everywhere_tells_nothing_whatever_its_ending() {
        for word in EVERYWHERE {
            assert!(words(word).is_empty(), "`{word}` tells something");
        }
        assert_eq!(words("She goes back to the slopes, driving over grounds."), words("she back"));
    }

    #[test]
    fn words_meet_whatever_their_endings() {
        assert_eq!(words("Locking, locked and locks: it stopped"), words("lock, stop"));
        assert!(words("True or false, and why?").is_empty());
    }
}
