//! Numbers as a tape, a scale, a plate or a gauge gives them.

use crate::engine::symbols as s;
use crate::formula::{Symbol, given_digits};
use crate::page::Fig;
use crate::quantity::{Digits, Dim, Shown, UnitSystem, units};

/// The value, SI, of what would be read off: a key worked from it is worked from the printed number.
pub(crate) fn measured(symbol: &Symbol, si: f64, system: UnitSystem) -> f64 {
    let unit = symbol.unit(system);
    let value = unit.from_si(si);
    let to = |step: f64| (libm::round(value / step) * step).max(step);
    let figures = |count: u8| Shown::of(value, Digits::Significant(count)).value;
    let read = if *unit == units::DEGREE {
        to(0.5)
    } else if *unit == units::PERCENT {
        to(1.0)
    } else if *unit == units::RPM || (symbol.dim == Dim::MASS && value >= 200.0) {
        to(10.0)
    } else if *unit == units::TO_ONE && symbol.id != "i" {
        // A plate gives up to three decimals.
        figures(4)
    } else if symbol.id == "C" && *unit == units::METRE {
        to(0.005)
    } else {
        significant(value, 3)
    };
    unit.to_si(Shown::of(read, Digits::Significant(6)).value)
}

/// The same as a question prints it.
pub(super) fn printed(symbol: &Symbol, si: f64, system: UnitSystem) -> Fig {
    let unit = symbol.unit(system);
    let shown = given_digits(unit.from_si(measured(symbol, si, system)), symbol.digits, 0);
    Fig::new(shown.text, unit.symbol, false)
}

/// A slope's angle as an instrument gives it, with the grade that belongs to that very angle: the two never part.
pub(crate) fn angle_and_grade(angle: f64, system: UnitSystem) -> String {
    let read = measured(&s::SLOPE_ANGLE, angle, system);
    let grade = measured(&s::GRADE, libm::tan(read), system);
    let text = |si: f64, symbol: &Symbol| {
        let unit = symbol.unit(system);
        unit.behind(&Shown::of(unit.from_si(si), Digits::Significant(4)).trimmed().text)
    };
    format!("{} · {}", text(read, &s::SLOPE_ANGLE), text(grade, &s::GRADE))
}

/// Rounded to so many figures, whole numbers too.
fn significant(value: f64, count: i32) -> f64 {
    if value == 0.0 {
        return value;
    }
    let step = libm::pow(10.0, libm::floor(libm::log10(value.abs()) + 1e-12) - f64::from(count - 1));
    libm::round(value / step) * step
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(symbol: &Symbol, value: f64) -> f64 {
        let unit = symbol.unit(UnitSystem::Metric);
        let back = unit.from_si(measured(symbol, unit.to_si(value), UnitSystem::Metric));
        (back * 1e6).round() / 1e6
    }

    #[test]
    fn the_grade_beside_an_angle_is_that_of_the_printed_angle() {
        assert_eq!(angle_and_grade((1.0_f64 / 6.0).atan(), UnitSystem::Metric), "9.5° · 17 %");
        for tenth in 20..450 {
            let text = angle_and_grade((f64::from(tenth) / 10.0).to_radians(), UnitSystem::Metric);
            let parts: Vec<f64> = text
                .split(" · ")
                .map(|part| part.trim_end_matches(['°', '%', ' ']).parse().expect("a number"))
                .collect();
            assert!((100.0 * parts[0].to_radians().tan() - parts[1]).abs() <= 0.5 + 1e-9, "{text}");
        }
    }

    #[test]
    fn nobody_is_given_digits_that_nobody_measures() {
        assert!((read(&s::CIRCUMFERENCE, 2.371_07) - 2.37).abs() < 1e-9);
        assert!((read(&s::MASS, 2347.0) - 2350.0).abs() < 1e-9);
        assert!((read(&s::OVERALL_RATIO, 44.608) - 44.6).abs() < 1e-9);
        assert!((read(&s::AXLE_RATIO, 3.909) - 3.909).abs() < 1e-9);
        assert!((read(&s::SLOPE_ANGLE, 21.8) - 22.0).abs() < 1e-9);
        assert!((read(&s::NORMAL, 21.3574) - 21.4).abs() < 1e-9);
    }
}
