//! An interval of values, as accepted and as printed.

use super::rounding::unit;
use crate::quantity::{Digits, Shown};

/// Figures of the ends of an interval as printed.
const PRINTED_FIGURES: i32 = 5;
const PRINTED: Digits = Digits::Significant(5);

/// From the least to the greatest value accepted, both included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Least.
    pub low: f64,
    /// Greatest.
    pub high: f64,
}

impl Interval {
    /// One value.
    pub fn exactly(value: f64) -> Self {
        Self { low: value, high: value }
    }

    /// Whether a value lies in it.
    pub fn holds(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// Whether two share a value.
    pub fn meets(self, other: Self) -> bool {
        self.low <= other.high && other.low <= self.high
    }

    /// The least interval that holds both.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// With its ends as they are printed: five figures, rounded outwards.
    #[must_use]
    pub fn as_printed(self) -> Self {
        let end = |value: f64| {
            let unit = unit(value, PRINTED_FIGURES);
            Shown::of(libm::ceil(value / unit - 1e-9) * unit, PRINTED).value
        };
        if self.low <= 0.0 { self } else { Self { low: -end(-self.low), high: end(self.high) } }
    }

    /// Its ends as printed.
    pub fn text(self) -> (String, String) {
        let plain = |value| Shown::of(value, PRINTED).trimmed().text.replace('-', "−");
        (plain(self.low), plain(self.high))
    }

    /// Every value of a function of two that rises or falls in each.
    pub(super) fn corners(self, other: Self, of: impl Fn(f64, f64) -> f64) -> Self {
        let all = [
            of(self.low, other.low),
            of(self.low, other.high),
            of(self.high, other.low),
            of(self.high, other.high),
        ];
        Self {
            low: all.iter().copied().fold(f64::INFINITY, f64::min),
            high: all.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        }
    }
}
