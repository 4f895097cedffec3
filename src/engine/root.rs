//! One root in a bracket.

/// Where a rising function passes zero between `low` and `high`, to the resolution of the numbers.
///
/// The ITP method (Oliveira & Takahashi, ACM Transactions on Mathematical Software 47, 2021):
/// never more than one step slower than halving, and far faster on smooth functions. `f(low)` must
/// not be above zero and `f(high)` not below; the caller checks that there is a root at all.
pub(crate) fn rising(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut below, mut above) = (f(low), f(high));
    if below >= 0.0 {
        return low;
    }
    if above <= 0.0 {
        return high;
    }
    let width = high - low;
    let tolerance = 4.0 * f64::EPSILON * (low.abs().max(high.abs()));
    let truncation = 0.2 / width;
    let mut radius = width;
    while high - low > 2.0 * tolerance {
        let middle = 0.5 * (low + high);
        let falsi = (above * low - below * high) / (above - below);
        let toward = (middle - falsi).signum();
        let delta = (truncation * (high - low) * (high - low)).min((middle - falsi).abs());
        let truncated = falsi + toward * delta;
        // Never farther from the middle than halving with one spare step would allow.
        let slack = (radius - 0.5 * (high - low)).max(0.0);
        let guess = if (truncated - middle).abs() <= slack { truncated } else { middle - toward * slack };
        let guess = guess.clamp(low, high);
        let value = f(guess);
        if value > 0.0 {
            (high, above) = (guess, value);
        } else if value < 0.0 {
            (low, below) = (guess, value);
        } else {
            return guess;
        }
        radius *= 0.5;
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::rising;

    #[test]
    fn finds_roots_to_the_last_digits_in_few_steps() {
        let calls = std::cell::Cell::new(0);
        let root = rising(0.0, 2.0, |x| {
            calls.set(calls.get() + 1);
            x * x * x - 2.0
        });
        assert!((root - libm::cbrt(2.0)).abs() < 1e-14);
        assert!(calls.get() < 30, "{} calls", calls.get());
        // A step function has no slope to follow; halving alone must carry it.
        let step = rising(0.0, 1.0, |x| if x < 0.3 { -1.0 } else { 1.0 });
        assert!((step - 0.3).abs() < 1e-14);
    }
}
