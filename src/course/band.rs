//! A value known only as a range.

/// A low, a likely and a high value of the same thing, in SI.
///
/// Verdicts use the unfavourable end, worked examples the likely value, pages show the range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// The lowest value to reckon with.
    pub low: f64,
    /// The value in the middle of what is known.
    pub likely: f64,
    /// The highest value to reckon with.
    pub high: f64,
}

impl Band {
    /// A band; the three must not fall.
    ///
    /// # Panics
    /// When `low`, `likely`, `high` are not finite and in order.
    #[track_caller]
    pub fn new(low: f64, likely: f64, high: f64) -> Self {
        assert!(
            low <= likely && likely <= high && low.is_finite() && high.is_finite(),
            "a band rises: {low} {likely} {high}"
        );
        Self { low, likely, high }
    }

    /// A value known exactly.
    ///
    /// # Panics
    /// When the value is not finite.
    #[track_caller]
    pub fn point(value: f64) -> Self {
        Self::new(value, value, value)
    }

    /// Low, likely, high.
    pub fn values(self) -> [f64; 3] {
        [self.low, self.likely, self.high]
    }

    /// Each of the three through a rising function.
    #[must_use]
    pub fn map_rising(self, f: impl Fn(f64) -> f64) -> Self {
        Self::new(f(self.low), f(self.likely), f(self.high))
    }
}
