//! A run as a row of least squares.

use crate::survey::Solved;

/// A run, straightened about the scores so far: what it says of each score, over its own uncertainty.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// How it changes with each score.
    pub slopes: Vec<f64>,
    /// What it would be with all scores 0.
    pub reading: f64,
    /// How the run itself changes with each of its own keys.
    pub own: Vec<f64>,
}

/// The scores that fit these rows best, all scores 0 ± 1 before.
pub(super) fn solved(rows: &[&Row], count: usize) -> Solved {
    let column = |place: usize| -> Vec<f64> {
        let prior = (0..count).map(|other| if other == place { 1.0 } else { 0.0 });
        rows.iter().map(|row| row.slopes[place]).chain(prior).collect()
    };
    let columns = (0..count).map(column).collect();
    let readings = rows.iter().map(|row| row.reading).chain((0..count).map(|_| 0.0)).collect();
    Solved::of(columns, readings).expect("with a prior of its own no score is made up of others")
}
