//! Statistics of a test and of agreement, each by its published definition.
//!
//! A score table has a row for each candidate and a column for each item. What cannot be computed,
//! such as a correlation with a constant, is none: never a zero, never not-a-number.

/// Scores: a row for each candidate, a column for each item, rows of equal length.
#[derive(Clone, Debug, PartialEq)]
pub struct Scores(pub Vec<Vec<f64>>);

/// Which divisor a variance has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Divisor {
    /// The number of values: the variance of these very candidates.
    N,
    /// One less: an estimate for others like them.
    NLess1,
}

fn count(length: usize) -> f64 {
    f64::from(u32::try_from(length).expect("fewer than four thousand million"))
}

/// Mean; none of nothing.
pub fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / count(values.len()))
}

/// Variance; none with fewer values than the divisor needs.
pub fn variance(values: &[f64], divisor: Divisor) -> Option<f64> {
    let mean = mean(values)?;
    let below = match divisor {
        Divisor::N => count(values.len()),
        Divisor::NLess1 => count(values.len()) - 1.0,
    };
    (below > 0.0).then(|| values.iter().map(|value| (value - mean) * (value - mean)).sum::<f64>() / below)
}

/// Product-moment correlation; none when either side is constant. For an item scored 0 or 1 it is
/// the point-biserial correlation.
pub fn correlation(one: &[f64], other: &[f64]) -> Option<f64> {
    let (a, b) = (mean(one)?, mean(other)?);
    let sum = |f: &dyn Fn(f64, f64) -> f64| one.iter().zip(other).map(|(x, y)| f(x - a, y - b)).sum::<f64>();
    let (xx, yy, xy) = (sum(&|x, _| x * x), sum(&|_, y| y * y), sum(&|x, y| x * y));
    (xx > 1e-12 && yy > 1e-12).then(|| xy / libm::sqrt(xx * yy))
}

impl Scores {
    /// Number of items.
    pub fn items(&self) -> usize {
        self.0.first().map_or(0, Vec::len)
    }

    /// Scores of one item.
    pub fn item(&self, item: usize) -> Vec<f64> {
        self.0.iter().map(|row| row[item]).collect()
    }

    /// Total of each candidate.
    pub fn totals(&self) -> Vec<f64> {
        self.0.iter().map(|row| row.iter().sum()).collect()
    }

    /// Total of each candidate without one item.
    pub fn rest(&self, item: usize) -> Vec<f64> {
        self.totals().iter().zip(self.item(item)).map(|(total, score)| total - score).collect()
    }

    /// Mean score of an item as a share of its marks: its difficulty, 1 when all get it right.
    pub fn difficulty(&self, item: usize, marks: f64) -> Option<f64> {
        mean(&self.item(item)).map(|mean| mean / marks)
    }

    /// Correlation of an item with the total, the item counted in it.
    pub fn item_total(&self, item: usize) -> Option<f64> {
        correlation(&self.item(item), &self.totals())
    }

    /// Correlation of an item with the rest of the test, the item left out.
    pub fn item_rest(&self, item: usize) -> Option<f64> {
        correlation(&self.item(item), &self.rest(item))
    }

    /// Upper minus lower group's mean score of an item, as a share of its marks.
    ///
    /// The groups hold `share` of the candidates each. Candidates tied at a cut count in part, all
    /// alike, so that the order of the rows never matters (the tie rule).
    pub fn discrimination(&self, item: usize, marks: f64, share: f64) -> Option<f64> {
        let size = libm::round(share * count(self.0.len()));
        if size < 1.0 {
            return None;
        }
        let totals = self.totals();
        let scores = self.item(item);
        let group = |sign: f64| -> f64 {
            let mut order: Vec<(f64, f64)> =
                totals.iter().map(|total| sign * total).zip(scores.iter().copied()).collect();
            order.sort_by(|(a, _), (b, _)| b.total_cmp(a));
            let mut left = size;
            let mut sum = 0.0;
            for tied in order.chunk_by(|(a, _), (b, _)| a.total_cmp(b).is_eq()) {
                let take = left.min(count(tied.len()));
                sum += take * mean(&tied.iter().map(|(_, score)| *score).collect::<Vec<_>>()).unwrap_or(0.0);
                left -= take;
                if left <= 0.0 {
                    break;
                }
            }
            sum / size
        };
        Some((group(1.0) - group(-1.0)) / marks)
    }

    /// Kuder and Richardson's formula 20, for items scored 0 or 1; the variance of the totals has
    /// the divisor n, as p·q has.
    pub fn kr20(&self) -> Option<f64> {
        let pq: f64 = (0..self.items())
            .map(|item| mean(&self.item(item)).map(|p| p * (1.0 - p)))
            .sum::<Option<f64>>()?;
        reliability(self.items(), pq, variance(&self.totals(), Divisor::N)?)
    }

    /// Kuder and Richardson's formula 21, which takes all items for equally difficult.
    pub fn kr21(&self) -> Option<f64> {
        let k = count(self.items());
        let m = mean(&self.totals())?;
        reliability(self.items(), m * (k - m) / k, variance(&self.totals(), Divisor::N)?)
    }

    /// Cronbach's alpha, one divisor for items and totals.
    pub fn alpha(&self) -> Option<f64> {
        let sum: f64 =
            (0..self.items()).map(|item| variance(&self.item(item), Divisor::NLess1)).sum::<Option<f64>>()?;
        reliability(self.items(), sum, variance(&self.totals(), Divisor::NLess1)?)
    }

    /// Alpha of the test without one item.
    pub fn alpha_without(&self, item: usize) -> Option<f64> {
        let rest = |row: &Vec<f64>| {
            row.iter().enumerate().filter(|(at, _)| *at != item).map(|(_, score)| *score).collect()
        };
        Self(self.0.iter().map(rest).collect()).alpha()
    }

    /// Standard error of measurement, marks: deviation of the totals (divisor n − 1) times the root
    /// of what alpha leaves.
    pub fn standard_error(&self) -> Option<f64> {
        let deviation = libm::sqrt(variance(&self.totals(), Divisor::NLess1)?);
        Some(standard_error(deviation, self.alpha()?))
    }
}

/// `k/(k−1) · (1 − part/whole)`.
fn reliability(items: usize, part: f64, whole: f64) -> Option<f64> {
    let k = count(items);
    (items > 1 && whole > 1e-12).then(|| k / (k - 1.0) * (1.0 - part / whole))
}

/// Standard error of measurement from a deviation and a reliability.
pub fn standard_error(deviation: f64, reliability: f64) -> f64 {
    deviation * libm::sqrt((1.0 - reliability).max(0.0))
}

/// Reliability of a test made `times` as long (Spearman and Brown).
pub fn spearman_brown(reliability: f64, times: f64) -> f64 {
    times * reliability / (1.0 + (times - 1.0) * reliability)
}

/// How many times longer a test must be for a wanted reliability.
pub fn lengthening(reliability: f64, wanted: f64) -> f64 {
    wanted * (1.0 - reliability) / (reliability * (1.0 - wanted))
}

/// Chance of at least `pass` right answers of `items` when each is right with this chance.
pub fn chance_to_pass(items: u32, pass: u32, each: f64) -> f64 {
    let choose = |k: u32| (1..=k).map(|i| f64::from(items - k + i) / f64::from(i)).product::<f64>();
    let power = |base: f64, exponent: u32| (0..exponent).map(|_| base).product::<f64>();
    (pass..=items).map(|k| choose(k) * power(each, k) * power(1.0 - each, items - k)).sum()
}

/// How disagreements weigh.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weights {
    /// All alike.
    None,
    /// By the number of steps between the grades.
    Linear,
    /// By its square.
    Squared,
}

/// Agreement of two assessors on the same performances.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kappa {
    /// Cohen's kappa; none when chance alone would agree always.
    pub kappa: Option<f64>,
    /// Share of performances on which they agree.
    pub agreed: f64,
    /// Share on which they would agree by chance.
    pub by_chance: f64,
}

/// Cohen's kappa of a square table: rows one assessor's grades, columns the other's.
pub fn kappa(table: &[Vec<f64>], weights: Weights) -> Option<Kappa> {
    let size = table.len();
    let total: f64 = table.iter().flatten().sum();
    if size < 2 || total <= 0.0 {
        return None;
    }
    let row = |i: usize| table[i].iter().sum::<f64>() / total;
    let column = |j: usize| table.iter().map(|row| row[j]).sum::<f64>() / total;
    let steps = count(size - 1);
    let weight = |i: usize, j: usize| {
        let apart = count(i.abs_diff(j)) / steps;
        match weights {
            Weights::None => f64::from(u8::from(i == j)),
            Weights::Linear => 1.0 - apart,
            Weights::Squared => 1.0 - apart * apart,
        }
    };
    let pairs = || (0..size).flat_map(|i| (0..size).map(move |j| (i, j)));
    let agreed: f64 = pairs().map(|(i, j)| weight(i, j) * table[i][j] / total).sum();
    let by_chance: f64 = pairs().map(|(i, j)| weight(i, j) * row(i) * column(j)).sum();
    let kappa = (1.0 - by_chance > 1e-12).then(|| (agreed - by_chance) / (1.0 - by_chance));
    Some(Kappa { kappa, agreed, by_chance })
}

/// The words of a published scale for kappa (T8, from memory): under .40 poor, to .75 fair to good, above excellent.
pub fn kappa_in_words(kappa: f64) -> &'static str {
    match kappa {
        k if k < 0.40 => "poor",
        k if k <= 0.75 => "fair to good",
        _ => "excellent",
    }
}
