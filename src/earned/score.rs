//! A range and where in it a figure lies.

use crate::course::Band;

/// Scores of a range's ends: two standard deviations, which hold a normal figure in 95.4 of 100 cases.
pub const SURE: f64 = 2.0;

/// How alike the drag of an engine lies in its range at idle and at its highest speed (correlation): judgement. What is
/// timed at one end says little less of the other.
pub const ALIKE: f64 = 0.8;
/// Part of a surface's score that stays the same from place to place and day to day.
pub const SPREAD: f64 = 0.866_025_403_784_438_6;
/// Part that is the ground's own there that day, and is drawn anew for the next day: judgement. Its square and that of
/// `SPREAD` make 1, so no number of runs halves the range of a surface.
pub const THERE: f64 = 0.5;
/// The value at a score: −2 is the low end, 0 the likely value, 2 the high end; straight between and beyond.
///
/// ```
/// use slopepack::{course::Band, earned::{at_score, score_of}};
/// let band = Band::new(0.2, 0.3, 0.5);
/// assert_eq!([-2.0, -1.0, 0.0, 2.0].map(|score| at_score(band, score)), [0.2, 0.25, 0.3, 0.5]);
/// assert!((score_of(band, 0.4) - 1.0).abs() < 1e-12);
/// ```
pub fn at_score(band: Band, score: f64) -> f64 {
    let end = if score < 0.0 { band.low } else { band.high };
    band.likely + (end - band.likely) * score.abs() / SURE
}

/// The score of a value; 0 in a range without width.
pub fn score_of(band: Band, value: f64) -> f64 {
    let reach = if value < band.likely { band.likely - band.low } else { band.high - band.likely };
    if reach > 0.0 { SURE * (value - band.likely) / reach } else { 0.0 }
}
