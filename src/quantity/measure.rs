//! Typed quantities: a mass cannot be handed where a speed is wanted.

use super::unit::catalogue as u;
use super::{Dim, Unit};

/// A quantity of one kind, held in SI.
pub trait Measure: Copy + Sized {
    /// Its dimension.
    const DIM: Dim;
    /// What it is called in a sentence: "a mass".
    const NAME: &'static str;
    /// An example of how it is written in a course.
    const EXAMPLE: &'static str;
    /// From SI. The value must be finite.
    fn from_si(si: f64) -> Self;
    /// To SI.
    fn si(self) -> f64;
    /// The units it may be written in, likeliest first.
    fn units() -> &'static [&'static Unit];
}

macro_rules! measures {
    ($($(#[$doc:meta])* $name:ident = $dim:expr, $called:literal, $example:literal, [$($unit:ident),*];)*) => {
        $(
            $(#[$doc])*
            #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
            pub struct $name(f64);

            impl $name {
                /// From a value in SI; it must be finite.
                ///
                /// # Panics
                /// When the value is not a finite number: a fault of the program, never of a course.
                #[track_caller]
                pub const fn new(si: f64) -> Self {
                    assert!(si.is_finite(), "a quantity must be a finite number");
                    Self(si)
                }

                /// The value in SI.
                pub const fn si(self) -> f64 {
                    self.0
                }
            }

            impl Measure for $name {
                const DIM: Dim = $dim;
                const NAME: &'static str = $called;
                const EXAMPLE: &'static str = $example;
                fn from_si(si: f64) -> Self { Self::new(si) }
                fn si(self) -> f64 { self.0 }
                fn units() -> &'static [&'static Unit] {
                    static UNITS: &[&Unit] = &[$(&u::$unit),*];
                    UNITS
                }
            }
        )*
    };
}

measures! {
    /// A length, m.
    Length = Dim::LENGTH, "a length", "45 m", [METRE, MILLIMETRE, CENTIMETRE, KILOMETRE, FOOT, INCH, YARD, MILE];
    /// A mass, kg.
    Mass = Dim::MASS, "a mass", "2450 kg", [KILOGRAM, TONNE, POUND, GRAM];
    /// A time, s.
    Time = Dim::TIME, "a time", "15 min", [SECOND, MINUTE, HOUR];
    /// A speed, m/s.
    Speed = Dim::SPEED, "a speed", "5 km/h", [KM_PER_HOUR, MILE_PER_HOUR, METRE_PER_SECOND, FOOT_PER_SECOND];
    /// A rotational speed, turns per second.
    SpinRate = Dim::RATE, "an engine speed", "750 rpm", [RPM, TURN_PER_SECOND];
    /// A force, N.
    Force = Dim::FORCE, "a force", "35 kN", [KILONEWTON, NEWTON, POUND_FORCE, TONNE_FORCE, KILOGRAM_FORCE];
    /// A torque, N·m.
    Torque = Dim::ENERGY, "a torque", "60 N·m", [NEWTON_METRE, POUND_FOOT];
    /// An energy, J.
    Energy = Dim::ENERGY, "an energy", "500 kJ", [KILOJOULE, JOULE, MEGAJOULE];
    /// A power, W.
    Power = Dim::POWER, "a power", "90 kW", [KILOWATT, WATT, HORSEPOWER];
    /// A pressure, Pa.
    Pressure = Dim::PRESSURE, "a pressure", "28 psi", [PSI, BAR, KILOPASCAL, PASCAL];
    /// An area, m².
    Area = Dim::AREA, "an area", "1.2 m²", [SQUARE_METRE, SQUARE_FOOT];
    /// An engine's displacement, m³.
    Displacement = Dim::VOLUME, "a displacement", "2.8 L", [LITRE, CUBIC_CENTIMETRE, CUBIC_INCH];
    /// A temperature, K.
    Temperature = Dim::TEMPERATURE, "a temperature", "20 °C", [CELSIUS, FAHRENHEIT];
    /// A heat capacity for each kilogram, J/(kg·K).
    HeatCapacity = Dim::HEAT_CAPACITY, "a specific heat capacity", "490 J/(kg·K)", [JOULE_PER_KG_KELVIN];
    /// A moment of inertia, kg·m².
    Inertia = Dim::INERTIA, "an inertia", "0.25 kg·m²", [KILOGRAM_SQUARE_METRE];
    /// An angle, rad.
    Angle = Dim::NONE, "an angle", "22°", [DEGREE];
    /// A part of a whole, 0 to 1.
    Share = Dim::NONE, "a share", "65 %", [PERCENT];
    /// A pure number: gear ratio, friction coefficient.
    Ratio = Dim::NONE, "a number", "4.10", [ONE];
}
