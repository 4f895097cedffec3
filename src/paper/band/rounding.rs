//! What a calculator's user may round a result to.

use std::sync::LazyLock;

/// Figures a learner is asked for, and keeps at least on the way.
const FIGURES: i32 = 3;
/// Figures beyond which rounding no longer shows.
const MOST_FIGURES: i32 = 6;

/// The place of the last of so many figures of a value, as a power of ten.
pub(super) fn unit(value: f64, figures: i32) -> f64 {
    power_of_ten(first_place(value).saturating_sub(figures - 1))
}

/// The place of the first figure: 2 for hundreds, −1 for tenths.
fn first_place(value: f64) -> i32 {
    #[allow(clippy::cast_possible_truncation, reason = "a logarithm of a finite number is below 400")]
    let place = libm::floor(libm::log10(value.abs()) + 1e-12) as i32;
    place
}

/// Greatest power of ten, and least, that is looked up.
const POWERS: i32 = 30;

/// Looked up, for every result on the way asks.
fn power_of_ten(power: i32) -> f64 {
    static KNOWN: LazyLock<Vec<f64>> =
        LazyLock::new(|| (-POWERS..=POWERS).map(|power| libm::pow(10.0, f64::from(power))).collect());
    let known = usize::try_from(power.saturating_add(POWERS)).ok().and_then(|at| KNOWN.get(at)).copied();
    known.unwrap_or_else(|| libm::pow(10.0, f64::from(power)))
}

/// Half of the third figure.
pub(super) fn half_unit(value: f64) -> f64 {
    if value == 0.0 { 0.0 } else { unit(value, FIGURES) / 2.0 }
}

/// The least or greatest of what a value may be kept or rounded to: ties away from zero, at once or figure by
/// figure, and a tie of the value itself to the even figure too. Rounding keeps the order of two values, so the
/// furthest of what was reached before leads to the furthest.
pub(super) fn furthest_rounded(value: f64, further: fn(f64, f64) -> f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let first = first_place(value);
    (FIGURES..=MOST_FIGURES).rev().fold(value, |reached, figures| {
        let to_even = tie_to_even(value, power_of_ten(first - (figures - 1)));
        further(further(reached, tie_away(reached, unit(reached, figures))), to_even)
    })
}

/// A tie is met this near to it, as a part of the unit: calculators carry no more.
const AT_A_TIE: f64 = 1e-9;

fn tie_away(value: f64, unit: f64) -> f64 {
    (libm::floor(value.abs() / unit + 0.5 + AT_A_TIE) * unit).copysign(value)
}

fn tie_to_even(value: f64, unit: f64) -> f64 {
    let whole = libm::floor(value.abs() / unit);
    let tied = (value.abs() / unit - whole - 0.5).abs() <= AT_A_TIE;
    let even = || whole - 2.0 * libm::floor(whole / 2.0) < 0.5;
    if tied && even() { (whole * unit).copysign(value) } else { tie_away(value, unit) }
}
