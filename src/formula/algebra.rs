//! What a formula needs of its numbers.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// Something formulas can be written in: numbers to run, trees to print.
pub trait Algebra:
    Clone + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self> + Neg<Output = Self>
{
    /// A constant of the formula: the half of a kinetic energy.
    fn num(value: f64) -> Self;
    /// π.
    fn pi() -> Self;
    /// Sine of an angle in radians.
    #[must_use]
    fn sin(self) -> Self;
    /// Cosine of an angle in radians.
    #[must_use]
    fn cos(self) -> Self;
    /// Tangent of an angle in radians.
    #[must_use]
    fn tan(self) -> Self;
    /// The angle, in radians, that has this tangent.
    #[must_use]
    fn atan(self) -> Self;
    /// Square root.
    #[must_use]
    fn sqrt(self) -> Self;
    /// e to this power.
    #[must_use]
    fn exp(self) -> Self;
    /// Natural logarithm.
    #[must_use]
    fn ln(self) -> Self;
    /// A whole power.
    #[must_use]
    fn powi(self, power: i32) -> Self;
    /// Two times itself multiplied: the square.
    #[must_use]
    fn squared(self) -> Self {
        self.powi(2)
    }
}

impl Algebra for f64 {
    fn num(value: f64) -> Self {
        value
    }
    fn pi() -> Self {
        std::f64::consts::PI
    }
    fn sin(self) -> Self {
        libm::sin(self)
    }
    fn cos(self) -> Self {
        libm::cos(self)
    }
    fn tan(self) -> Self {
        libm::tan(self)
    }
    fn atan(self) -> Self {
        libm::atan(self)
    }
    fn sqrt(self) -> Self {
        libm::sqrt(self)
    }
    fn exp(self) -> Self {
        libm::exp(self)
    }
    fn ln(self) -> Self {
        libm::log(self)
    }
    fn powi(self, power: i32) -> Self {
        let whole = (0..power.unsigned_abs()).fold(1.0, |product, _| product * self);
        if power < 0 { 1.0 / whole } else { whole }
    }
}
