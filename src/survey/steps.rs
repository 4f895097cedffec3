//! From pieces measured one by one to stretches: neighbours that do not differ are one.
//!
//! Stretches end where pieces do. Among all ways to part the row of pieces, the one of least weighted squares for each
//! number of stretches is found exactly, and the number is the one the criterion asks for.

use super::Piece;
use super::ground::{Bend, Found, Ground};
use super::sure::{factor, number};

/// Most places where pieces are parted: more stretches no table of a slope has needed.
const MOST_PARTED: usize = 40;

/// Where to part a row of values: the place of the first value of every part but the first.
///
/// Each value has its standard uncertainty; no part is shorter than `least` values.
#[derive(Clone, Debug, PartialEq)]
pub struct Parted {
    /// Places of the first values of the second part and on.
    pub at: Vec<usize>,
    /// Sum of squared residuals about the parts' weighted means, each over its standard uncertainty.
    pub rest: f64,
}

/// The best way to part values for each number of breaks up to `most`.
pub fn parted(values: &[(f64, f64)], most: usize, least: usize) -> Vec<Parted> {
    let count = values.len();
    let rest = |from: usize, to: usize| rest(&values[from..to]);
    let first = |to: usize| (to >= least).then(|| Parted { at: Vec::new(), rest: rest(0, to) });
    let mut row: Vec<Option<Parted>> = (0..=count).map(first).collect();
    let mut all: Vec<Parted> = row[count].iter().cloned().collect();
    for _ in 0..most {
        let next = |to: usize| {
            let ways = (least..=to.saturating_sub(least)).filter_map(|from| {
                let before = row[from].as_ref()?;
                Some(Parted { at: [&before.at[..], &[from]].concat(), rest: before.rest + rest(from, to) })
            });
            ways.min_by(|a, b| a.rest.total_cmp(&b.rest))
        };
        row = (0..=count).map(next).collect();
        let Some(best) = row[count].clone() else { break };
        all.push(best);
    }
    all
}

/// Sum of squared residuals about the weighted mean.
fn rest(values: &[(f64, f64)]) -> f64 {
    let weight = |unsure: f64| 1.0 / (unsure * unsure);
    let sum: f64 = values.iter().map(|(_, unsure)| weight(*unsure)).sum();
    let mean = values.iter().map(|(value, unsure)| value * weight(*unsure)).sum::<f64>() / sum;
    values.iter().map(|(value, unsure)| (value - mean) * (value - mean) * weight(*unsure)).sum()
}

/// The stretches of a row of pieces. `common` is the standard uncertainty that all gradients share, rad, for the length
/// of a sight and a gradient.
pub(super) fn ground(pieces: &[Piece], common: impl Fn(f64, f64) -> f64) -> Ground {
    let values: Vec<(f64, f64)> = pieces.iter().map(|piece| (piece.gradient, piece.unsure)).collect();
    // The scatter is the instrument's and the ground's own: learned from the pieces, a short steep one would pass for it.
    let asked =
        |parted: &Parted| parted.rest + number(2 * parted.at.len() + 1) * libm::log(number(pieces.len()));
    let ways = parted(&values, MOST_PARTED, 1);
    let best = ways.into_iter().min_by(|a, b| asked(a).total_cmp(&asked(b)));
    let at = best.map(|best| best.at).unwrap_or_default();
    let ends = [&[0], &at[..], &[pieces.len()]].concat();
    let reach = factor(ends.len() - 1, None);
    let mut stretches: Vec<Found> = Vec::new();
    for part in ends.windows(2) {
        let part = &pieces[part[0]..part[1]];
        let (level, fall) = (sum(part, Piece::level), sum(part, Piece::fall));
        let gradient = libm::atan2(fall, level);
        let sight = sum(part, |piece| piece.length) / number(part.len());
        let sure = libm::hypot(reach * joined(part, level), factor(1, None) * common(sight, gradient));
        let from = stretches.last().map_or(0.0, |before| before.to);
        stretches.push(Found { from, to: from + level, gradient, sure });
    }
    let bends = stretches.iter().skip(1).map(|next| Bend { at: next.from, low: next.from, high: next.from });
    let bends = bends.collect();
    Ground { stretches, bends, scatter: 1.0, far: Vec::new() }
}

/// Standard uncertainty of the mean gradient of pieces that follow one another, rad: of heights from one stand only
/// the first and the last count, of angles every one.
fn joined(part: &[Piece], level: f64) -> f64 {
    let ends = part.first().and_then(|first| first.ends).zip(part.last().and_then(|last| last.ends));
    if let Some(([above, _], [_, below])) = ends {
        let fall = sum(part, Piece::fall);
        return libm::hypot(above, below) * level / (level * level + fall * fall);
    }
    let squares = sum(part, |piece| libm::pow(piece.length * piece.unsure, 2.0));
    libm::sqrt(squares) / sum(part, |piece| piece.length)
}

fn sum(pieces: &[Piece], of: impl Fn(&Piece) -> f64) -> f64 {
    pieces.iter().map(of).sum()
}
