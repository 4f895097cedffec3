//! Where the pass mark comes from, and whether forms may be compared: judges of items, borderline
//! candidates, linear equating by common items.

use crate::paper::results::statistics::{Divisor, correlation, mean, variance};

/// Fewest candidates a form from which forms are equated: with about 25 no equating at all does better
/// than every method (G. Skaggs, Journal of Educational Measurement 42 (2005) 309-330).
pub const FEWEST_TO_EQUATE: usize = 50;
/// Fewest judges whose cut is not called provisional: common practice, no source.
pub const FEWEST_JUDGES: usize = 5;

/// What a panel of judges comes to (Angoff's method): for each item the share of its marks that
/// somebody who just passes would get.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// Sum over the items of each judge, marks.
    pub sums: Vec<f64>,
    /// Mean of the sums: the cut, marks.
    pub cut: f64,
    /// Deviation of the sums, divisor one less than the judges.
    pub deviation: f64,
    /// Standard error of the cut.
    pub error: f64,
    /// The cut's 95 % interval, by Student's t.
    pub band: (f64, f64),
}

impl Panel {
    /// From a row of shares for each judge and the marks of the items; none with fewer than two judges.
    pub fn of(judges: &[Vec<f64>], marks: &[f64]) -> Option<Self> {
        let sums: Vec<f64> = judges
            .iter()
            .map(|row| row.iter().zip(marks).map(|(share, marks)| share * marks).sum())
            .collect();
        let cut = mean(&sums)?;
        let deviation = libm::sqrt(variance(&sums, Divisor::NLess1)?);
        let count = f64::from(u32::try_from(sums.len()).ok()?);
        let error = deviation / libm::sqrt(count);
        let half = student_95(sums.len() - 1) * error;
        Some(Self { sums, cut, deviation, error, band: (cut - half, cut + half) })
    }

    /// The first whole mark that is not below the cut.
    pub fn pass(&self) -> f64 {
        libm::ceil(self.cut - 1e-9)
    }

    /// Whether too few judged for more than a provisional cut.
    pub fn is_provisional(&self) -> bool {
        self.sums.len() < FEWEST_JUDGES
    }
}

/// Student's t with 2.5 % above it: the usual table (from memory), the normal deviate beyond.
fn student_95(freedom: usize) -> f64 {
    const TABLE: [f64; 30] = [
        12.706, 4.303, 3.182, 2.776_445, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160,
        2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086, 2.080, 2.074, 2.069, 2.064, 2.060, 2.056, 2.052,
        2.048, 2.045, 2.042,
    ];
    freedom.checked_sub(1).and_then(|at| TABLE.get(at)).copied().unwrap_or(1.96)
}

/// The borderline group's cut: median and mean of the scores of those whom assessors call borderline;
/// the median does not mind one odd score.
pub fn borderline(scores: &[f64]) -> Option<(f64, f64)> {
    let mut sorted = scores.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    let median = if sorted.len() % 2 == 1 {
        *sorted.get(middle)?
    } else {
        f64::midpoint(*sorted.get(middle.checked_sub(1)?)?, *sorted.get(middle)?)
    };
    Some((median, mean(scores)?))
}

/// What one group scored: the whole form, and the items that both forms have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Group {
    /// Candidates.
    pub count: f64,
    /// Mean of the form.
    pub mean: f64,
    /// Deviation of the form.
    pub deviation: f64,
    /// Mean of the common items.
    pub common_mean: f64,
    /// Deviation of the common items.
    pub common_deviation: f64,
    /// Covariance of both.
    pub covariance: f64,
}

impl Group {
    /// From totals and scores on the common items; none of fewer than two candidates.
    pub fn of(totals: &[f64], common: &[f64]) -> Option<Self> {
        let spread = |values: &[f64]| variance(values, Divisor::NLess1).map(libm::sqrt);
        let (deviation, common_deviation) = (spread(totals)?, spread(common)?);
        Some(Self {
            count: f64::from(u32::try_from(totals.len()).ok()?),
            mean: mean(totals)?,
            deviation,
            common_mean: mean(common)?,
            common_deviation,
            covariance: correlation(totals, common)? * deviation * common_deviation,
        })
    }
}

/// Slope and intercept that take marks of the first form to marks of the second: linear equating by
/// common items after Tucker, both groups weighted by their size (M. J. Kolen and R. L. Brennan, Test
/// Equating, Scaling, and Linking, ch. 4).
pub fn tucker(first: &Group, second: &Group) -> (f64, f64) {
    let weight = first.count / (first.count + second.count);
    let other = 1.0 - weight;
    let slope = |group: &Group| group.covariance / (group.common_deviation * group.common_deviation);
    let (one, two) = (slope(first), slope(second));
    let apart = first.common_mean - second.common_mean;
    let square = |value: f64| value * value;
    let spread = square(first.common_deviation) - square(second.common_deviation);
    let both = weight * other * square(apart);
    let mean_one = first.mean - other * one * apart;
    let mean_two = second.mean + weight * two * apart;
    let variance_one = square(first.deviation) - other * square(one) * spread + square(one) * both;
    let variance_two = square(second.deviation) + weight * square(two) * spread + square(two) * both;
    let line = libm::sqrt(variance_two / variance_one);
    (line, mean_two - line * mean_one)
}
