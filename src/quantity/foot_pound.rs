//! Feet, pounds of force and seconds as a coherent system: what imperial pages are worked in.
//!
//! A weight of 1 lbf has the mass 1 ÷ 32.2 in it, so that weights and forces are pounds alike and no factor of
//! another system is ever needed.

use super::unit::{ToSi, Unit, UnitSystem};
use ToSi::{Degrees, Over, Same, Times};

/// How a number in a unit goes into a line worked in a system; as into SI where the system has no place for it.
pub fn way_of(unit: &Unit, system: UnitSystem) -> ToSi {
    match system {
        UnitSystem::Metric => unit.to_si,
        UnitSystem::Imperial => way(unit).unwrap_or(unit.to_si),
    }
}

/// The way of a unit into feet, pounds of force, seconds and Fahrenheit degrees; none for a unit that has no
/// place on an imperial page.
fn way(unit: &Unit) -> Option<ToSi> {
    Some(match unit.symbol {
        "" | ":1" | "ft" | "ft/s" | "ft/s²" | "ft²" | "lbf" | "ft·lbf" | "lb·ft" | "lbf/ft" | "F°" | "s"
        | "rev/s" => Same,
        "°" => Degrees,
        "%" => Over(100.0, "100"),
        "in" => Over(12.0, "12"),
        // The width of a tyre is marked in millimetres everywhere.
        "mm" => Over(304.8, "304.8"),
        "yd" => Times(3.0, "3"),
        "mile" => Times(5280.0, "5280"),
        "mph" => Times(22.0 / 15.0, "1.467"),
        "rpm" => Over(60.0, "60"),
        "min" => Times(60.0, "60"),
        "h" => Times(3600.0, "3600"),
        "lb" => Over(STANDARD_GRAVITY, "32.2"),
        "psi" => Times(144.0, "144"),
        "in³" => Over(1728.0, "1728"),
        "BTU" => Times(778.169, "778"),
        _ => return None,
    })
}

/// Standard gravity, ft/s².
const STANDARD_GRAVITY: f64 = 32.174_05;

#[cfg(test)]
mod tests {
    use super::way;
    use crate::quantity::{ToSi, units};

    fn into(unit: &'static crate::quantity::Unit, value: f64) -> f64 {
        match way(unit) {
            Some(ToSi::Same) => value,
            Some(ToSi::Times(factor, _)) => value * factor,
            Some(ToSi::Over(divisor, _)) => value / divisor,
            Some(ToSi::Degrees) => value.to_radians(),
            _ => panic!("{} has no way", unit.symbol),
        }
    }

    /// Both systems measure the same thing: the ways of two units differ by one factor for each dimension.
    #[test]
    fn units_of_one_dimension_agree_with_si() {
        for unit in units::ALL.iter().filter(|unit| way(unit).is_some()) {
            for other in units::ALL.iter().filter(|other| other.dim == unit.dim && way(other).is_some()) {
                let here = into(unit, 1.0) / into(other, 1.0);
                let si = unit.to_si(1.0) / other.to_si(1.0);
                assert!((here / si - 1.0).abs() < 1e-5, "{} {}", unit.symbol, other.symbol);
            }
        }
    }

    #[test]
    fn printed_factors_are_near_the_factors() {
        for unit in units::ALL {
            if let Some(ToSi::Times(factor, text) | ToSi::Over(factor, text)) = way(unit) {
                let printed: f64 = text.parse().expect("a number");
                assert!((printed / factor - 1.0).abs() < 1e-3, "{}", unit.symbol);
            }
        }
    }

    #[test]
    fn a_weight_under_gravity_is_itself() {
        let mass = into(&units::POUND, 4780.0);
        assert!((mass * into(&units::FOOT_PER_SECOND_2, 32.174_05) - 4780.0).abs() < 1e-6);
    }
}
