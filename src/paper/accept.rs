//! What is accepted beside the printed answer.

use crate::formula::{Symbol, Worked};
use crate::quantity::{Digits, Shown};

/// Digits a learner is asked for.
const FIGURES: u8 = 3;
/// π as taken by a learner without the key for it.
const SHORT_PI: f64 = 314.0 / 100.0;

/// From the least to the greatest value accepted, both included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Least.
    pub low: f64,
    /// Greatest.
    pub high: f64,
}

impl Interval {
    /// Whether a value lies in it.
    pub fn holds(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// Whether two share a value.
    pub fn meets(self, other: Self) -> bool {
        self.low <= other.high && other.low <= self.high
    }

    /// Half of the last of three figures either way, for a value without a working of its own.
    pub fn around(value: f64, figures: u8) -> Self {
        let half = half_step(value, figures);
        Self { low: value - half, high: value + half }
    }

    /// As printed, with a digit more than the answer, rounded outwards by that digit.
    pub fn text(self) -> (String, String) {
        let digits = Digits::Significant(FIGURES + 1);
        let plain = |value| Shown::of(value, digits).text.replace('-', "−");
        (plain(self.low), plain(self.high))
    }
}

/// What a learner reaches who works rightly, keeps three figures at each step, takes π as the key
/// or as 3.14, and rounds the answer to three figures: the hull over every corner.
pub fn accepted(worked: &Worked) -> Interval {
    let inner = worked.lines.len() - 1;
    let corners = (0..1_u32 << inner).map(|corner| value_at(worked, corner));
    let (low, high) = corners
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
    let with_pi = uses_pi(worked).then_some(SHORT_PI / std::f64::consts::PI);
    // A factor of π stands at most once in these formulas, above or below the line.
    let pi = with_pi.map_or(0.0, |share| (1.0 - share).abs());
    let (low, high) = (low - pi * low.abs(), high + pi * high.abs());
    Interval { low: low - half_step(low, FIGURES), high: high + half_step(high, FIGURES) }
}

/// Half of the last digit when so many significant figures are written.
fn half_step(value: f64, figures: u8) -> f64 {
    let text = Shown::of(value, Digits::Significant(figures)).text;
    let decimals = text.split_once('.').map_or(0, |(_, after)| after.len());
    if decimals > 0 {
        return 0.5 * libm::pow(10.0, -f64::from(u32::try_from(decimals).unwrap_or(0)));
    }
    let whole = u32::try_from(text.trim_start_matches('-').len()).unwrap_or(1);
    0.5 * libm::pow(10.0, f64::from(whole.saturating_sub(u32::from(figures))))
}

/// The answer in its unit when each inner result is off by half its last figure, up where the
/// corner's bit is set.
fn value_at(worked: &Worked, corner: u32) -> f64 {
    let mut known: Vec<(&'static Symbol, f64)> =
        worked.given.iter().map(|given| (given.symbol, given.unit.to_si(given.shown.value))).collect();
    let mut last = f64::NAN;
    for (place, line) in worked.lines.iter().enumerate() {
        let si = line.formula.expr().value(&|symbol| {
            known.iter().rev().find(|(one, _)| *one == symbol).map_or(f64::NAN, |(_, si)| *si)
        });
        last = line.unit.from_si(si);
        let off = half_step(last, FIGURES);
        let moved = if corner >> place & 1 == 1 { last + off } else { last - off };
        known.push((line.formula.gives, line.unit.to_si(moved)));
    }
    last
}

fn uses_pi(worked: &Worked) -> bool {
    worked.lines.iter().any(|line| line.plain.contains('π'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_a_step_is_half_of_the_third_figure() {
        assert!((half_step(43.4928, 3) - 0.05).abs() < 1e-12);
        assert!((half_step(0.012_345, 3) - 0.000_05).abs() < 1e-12);
        assert!((half_step(24_504.0, 3) - 50.0).abs() < 1e-9);
        assert!((half_step(108.0, 3) - 0.5).abs() < 1e-12);
    }

    #[test]
    fn an_interval_holds_its_ends() {
        let around = Interval::around(2.47, 3);
        assert!(around.holds(2.466) && around.holds(2.474) && !around.holds(2.48));
        assert!(around.meets(Interval { low: 2.474, high: 3.0 }));
    }
}
