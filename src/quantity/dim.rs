//! Dimensions: which powers of mass, length, time and temperature a quantity has.

use std::fmt;
use std::ops::{Div, Mul};

/// The dimension of a quantity as powers of the four SI base quantities used here.
///
/// Angles, ratios and coefficients have none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Dim {
    /// Power of mass.
    pub mass: i8,
    /// Power of length.
    pub length: i8,
    /// Power of time.
    pub time: i8,
    /// Power of temperature.
    pub temperature: i8,
}

impl Dim {
    /// A pure number: ratio, coefficient, angle.
    pub const NONE: Self = Self::of(0, 0, 0, 0);
    /// kg.
    pub const MASS: Self = Self::of(1, 0, 0, 0);
    /// m.
    pub const LENGTH: Self = Self::of(0, 1, 0, 0);
    /// s.
    pub const TIME: Self = Self::of(0, 0, 1, 0);
    /// K.
    pub const TEMPERATURE: Self = Self::of(0, 0, 0, 1);
    /// m/s.
    pub const SPEED: Self = Self::of(0, 1, -1, 0);
    /// m/s².
    pub const ACCELERATION: Self = Self::of(0, 1, -2, 0);
    /// 1/s: turns in a time.
    pub const RATE: Self = Self::of(0, 0, -1, 0);
    /// N.
    pub const FORCE: Self = Self::of(1, 1, -2, 0);
    /// J, and N·m.
    pub const ENERGY: Self = Self::of(1, 2, -2, 0);
    /// W.
    pub const POWER: Self = Self::of(1, 2, -3, 0);
    /// Pa.
    pub const PRESSURE: Self = Self::of(1, -1, -2, 0);
    /// m².
    pub const AREA: Self = Self::of(0, 2, 0, 0);
    /// m³.
    pub const VOLUME: Self = Self::of(0, 3, 0, 0);
    /// J/(kg·K).
    pub const HEAT_CAPACITY: Self = Self::of(0, 2, -2, -1);
    /// kg·m².
    pub const INERTIA: Self = Self::of(1, 2, 0, 0);
    /// N/m.
    pub const STIFFNESS: Self = Self::of(1, 0, -2, 0);

    /// A dimension from its four powers.
    pub const fn of(mass: i8, length: i8, time: i8, temperature: i8) -> Self {
        Self { mass, length, time, temperature }
    }

    /// The dimension raised to a whole power.
    #[must_use]
    pub const fn pow(self, n: i8) -> Self {
        Self::of(self.mass * n, self.length * n, self.time * n, self.temperature * n)
    }

    /// The dimension of the square root, if every power is even.
    pub const fn sqrt(self) -> Option<Self> {
        if self.mass % 2 != 0 || self.length % 2 != 0 || self.time % 2 != 0 || self.temperature % 2 != 0 {
            return None;
        }
        Some(Self::of(self.mass / 2, self.length / 2, self.time / 2, self.temperature / 2))
    }
}

impl Mul for Dim {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self::of(
            self.mass + other.mass,
            self.length + other.length,
            self.time + other.time,
            self.temperature + other.temperature,
        )
    }
}

impl Div for Dim {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        self * other.pow(-1)
    }
}

impl fmt::Display for Dim {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let powers = [("kg", self.mass), ("m", self.length), ("s", self.time), ("K", self.temperature)];
        let mut first = true;
        for (name, power) in powers.into_iter().filter(|(_, power)| *power != 0) {
            if !first {
                f.write_str("·")?;
            }
            first = false;
            f.write_str(name)?;
            if power != 1 {
                write!(f, "^{power}")?;
            }
        }
        if first { f.write_str("1") } else { Ok(()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn force_times_distance_is_energy() {
        assert_eq!(Dim::FORCE * Dim::LENGTH, Dim::ENERGY);
        assert_eq!(Dim::ENERGY / Dim::TIME, Dim::POWER);
    }

    #[test]
    fn only_even_powers_have_a_root() {
        assert_eq!((Dim::SPEED.pow(2)).sqrt(), Some(Dim::SPEED));
        assert_eq!(Dim::SPEED.sqrt(), None);
    }

    #[test]
    fn a_dimension_reads_as_base_units() {
        assert_eq!(Dim::FORCE.to_string(), "kg·m·s^-2");
        assert_eq!(Dim::NONE.to_string(), "1");
    }
}
