//! One root in a bracket.

/// Where a rising function passes zero between `low` and `high`, to the resolution of the numbers.
///
/// Chandrupatla's method (Advances in Engineering Software 28, 1997): a parabola through the last three places, turned
/// on its side, where these lie so that it can be trusted, else halving. `f(low)` must not be above zero and `f(high)`
/// not below; the caller checks that there is a root at all.
pub(crate) fn rising(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let [mut far, mut new] = [low, high].map(|at| Place { at, value: f(at) });
    if far.value >= 0.0 {
        return low;
    }
    if new.value <= 0.0 {
        return high;
    }
    let tolerance = 4.0 * f64::EPSILON * (low.abs().max(high.abs()));
    let mut part = 0.5;
    loop {
        let at = new.at + part * (far.at - new.at);
        let next = Place { at, value: f(at) };
        // Between the newest and the far place lies the root; the one that is left over bends the parabola.
        let left =
            if (next.value > 0.0) == (new.value > 0.0) { new } else { std::mem::replace(&mut far, new) };
        new = next;
        let width = (far.at - new.at).abs();
        if new.value == 0.0 || width <= 2.0 * tolerance {
            return if new.value.abs() <= far.value.abs() { new.at } else { far.at };
        }
        let least = tolerance / width;
        part = parabola(new, far, left).unwrap_or(0.5).clamp(least, 1.0 - least);
    }
}

/// A place, and the value there.
#[derive(Clone, Copy)]
struct Place {
    at: f64,
    value: f64,
}

/// Where a parabola over the values passes zero, as a part of the way from the newest place to the far one; none where
/// the three lie so that it may not.
fn parabola(new: Place, far: Place, left: Place) -> Option<f64> {
    let along = (new.at - far.at) / (left.at - far.at);
    let up = (new.value - far.value) / (left.value - far.value);
    if up * up >= along || (1.0 - up) * (1.0 - up) >= 1.0 - along {
        return None;
    }
    let (a, b, c) = (new.value, far.value, left.value);
    let stretch = (left.at - new.at) / (far.at - new.at);
    Some(a / (b - a) * c / (b - c) + stretch * a / (c - a) * b / (c - b))
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
        assert!(calls.get() < 12, "{} calls", calls.get());
        // A step function has no slope to follow; halving alone must carry it.
        let step = rising(0.0, 1.0, |x| if x < 0.3 { -1.0 } else { 1.0 });
        assert!((step - 0.3).abs() < 1e-14);
    }
}
