//! How sure a figure is: factors for 95 %, and which of two descriptions of the ground the readings ask for.

use statrs::distribution::{ContinuousCDF as _, Normal, StudentsT};

/// Share of cases in which a stated interval holds the truth.
pub const SURE: f64 = 0.95;

/// Standard uncertainties that an interval reaches to either side so that, of so many intervals stated together, all
/// hold the truth in 95 of 100 cases (Šidák). `freedom` is the number of readings beyond those that the fit takes up,
/// where the scatter was learned from them; none where it is the instrument's.
///
/// ```
/// use slopepack::survey::factor;
/// assert!((factor(1, None) - 1.96).abs() < 1e-3 && (factor(4, None) - 2.4909).abs() < 1e-4);
/// ```
pub fn factor(together: usize, freedom: Option<f64>) -> f64 {
    let all = f64::from(u32::try_from(together.max(1)).unwrap_or(u32::MAX));
    let each = 1.0 - (1.0 - libm::pow(SURE, 1.0 / all)) / 2.0;
    match freedom.and_then(|freedom| StudentsT::new(0.0, 1.0, freedom).ok()) {
        Some(student) => student.inverse_cdf(each),
        None => Normal::standard().inverse_cdf(each),
    }
}

/// Bayesian information criterion of a fit: of two, the one with less is the better description. `rest` is the sum of
/// squared residuals, each over its standard uncertainty, `readings` their number and `numbers` what was fitted,
/// scatter included. The scatter is learned from the residuals.
pub fn criterion(rest: f64, readings: usize, numbers: usize) -> f64 {
    let count = number(readings);
    count * (libm::log(rest / count) + 1.0 + libm::log(std::f64::consts::TAU))
        + number(numbers) * libm::log(count)
}

/// The same with a scatter that is the instrument's at least: a few readings that happen to lie well don't ask for one
/// more bend.
pub fn criterion_of(rest: f64, readings: usize, numbers: usize) -> f64 {
    let count = number(readings);
    let scatter = (rest / count).max(1.0);
    let fit = count * (libm::log(scatter) + libm::log(std::f64::consts::TAU)) + rest / scatter;
    fit + number(numbers) * libm::log(count)
}

/// A count as a number.
pub(super) fn number(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}
