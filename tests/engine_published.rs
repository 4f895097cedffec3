//! The engine against the outside world: published values and independent solutions, each row with
//! its source beside it in `tests/published/`.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use std::collections::BTreeMap;

pub(crate) const DEGREE: f64 = std::f64::consts::PI / 180.0;
pub(crate) const MILE: f64 = 1609.344;
pub(crate) const INCH: f64 = 0.0254;
pub(crate) const MPH: f64 = 0.44704;
pub(crate) const KMH: f64 = 1.0 / 3.6;
pub(crate) const RPM: f64 = 1.0 / 60.0;

/// One row: what goes in.
pub(crate) struct Inputs(BTreeMap<String, String>);

impl Inputs {
    /// A number; the row must have it.
    pub(crate) fn num(&self, key: &str) -> f64 {
        let text = self.text(key);
        text.parse().unwrap_or_else(|_| panic!("{key}={text} is not a number"))
    }

    /// A number, or this when the row leaves it out.
    pub(crate) fn or(&self, key: &str, otherwise: f64) -> f64 {
        if self.0.contains_key(key) { self.num(key) } else { otherwise }
    }

    pub(crate) fn text(&self, key: &str) -> &str {
        self.0.get(key).unwrap_or_else(|| panic!("the row has no {key}: {:?}", self.0))
    }
}

/// What a row comes to.
pub(crate) enum Answer {
    Number(f64),
    Words(String),
}

impl From<f64> for Answer {
    fn from(value: f64) -> Self {
        Self::Number(value)
    }
}

pub(crate) fn check(table: &str, rows: usize, answer: impl Fn(&str, &Inputs) -> Answer) {
    let mut failures = Vec::new();
    let mut count = 0;
    for record in csv::Reader::from_reader(table.as_bytes()).records() {
        let record = record.unwrap();
        let [id, quantity, inputs, expected, unit, tolerance, source] =
            [0, 1, 2, 3, 4, 5, 6].map(|index| record[index].to_owned());
        assert!(source.len() > 5, "{id} names no source");
        let pairs = inputs.split(';').filter_map(|pair| pair.split_once('='));
        let inputs = Inputs(pairs.map(|(k, v)| (k.to_owned(), v.to_owned())).collect());
        count += 1;
        match answer(&quantity, &inputs) {
            Answer::Number(value) => {
                let wanted: f64 = expected.parse().unwrap_or(f64::NAN);
                let tolerance: f64 = tolerance.parse().unwrap();
                let fits = (value - wanted).abs() <= tolerance * (1.0 + 1e-9);
                if !fits {
                    failures.push(format!("{id} {quantity}: {value} is not {expected} {unit} ± {tolerance}"));
                }
            }
            Answer::Words(words) if words == expected => {}
            Answer::Words(words) => failures.push(format!("{id} {quantity}: {words:?}, not {expected:?}")),
        }
    }
    assert!(failures.is_empty(), "{} of {count} rows fail:\n{}", failures.len(), failures.join("\n"));
    assert_eq!(count, rows, "rows were lost or added: count them here too");
}

#[test]
fn the_drivetrain_table_holds() {
    check(include_str!("published/drivetrain.csv"), 286, crate::engine_published_drivetrain::answer);
}

#[test]
fn the_grip_table_holds() {
    check(include_str!("published/grip.csv"), 479, crate::engine_published_grip::answer);
}

#[test]
fn the_heat_table_holds() {
    check(include_str!("published/heat.csv"), 186, crate::engine_published_heat::answer);
}
