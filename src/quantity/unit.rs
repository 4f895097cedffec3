//! The units the program reads and shows, as a table.

use super::Dim;

/// How a number in a unit becomes a number in coherent SI, as it is written in a worked line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ToSi {
    /// The unit is coherent already.
    Same,
    /// Multiply by the factor, given as printed.
    Times(f64, &'static str),
    /// Divide by the divisor, given as printed.
    Over(f64, &'static str),
    /// Degrees: written with `°` inside a trigonometric function.
    Degrees,
    /// A temperature scale: multiply, then add (kelvin).
    Scale(f64, f64),
}

/// A unit of measure.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// As printed on a page and in the machine's view.
    pub symbol: &'static str,
    /// Other spellings people use, without regard to case.
    pub spellings: &'static [&'static str],
    /// What it measures.
    pub dim: Dim,
    /// The way to SI.
    pub to_si: ToSi,
    /// As read aloud, for one and for many.
    pub spoken: (&'static str, &'static str),
}

impl Unit {
    /// A value in this unit as SI.
    pub fn to_si(&self, value: f64) -> f64 {
        match self.to_si {
            ToSi::Same => value,
            ToSi::Times(factor, _) => value * factor,
            ToSi::Over(divisor, _) => value / divisor,
            ToSi::Degrees => value.to_radians(),
            ToSi::Scale(factor, zero) => value * factor + zero,
        }
    }

    /// An SI value in this unit.
    pub fn from_si(&self, si: f64) -> f64 {
        match self.to_si {
            ToSi::Same => si,
            ToSi::Times(factor, _) => si / factor,
            ToSi::Over(divisor, _) => si * divisor,
            ToSi::Degrees => si.to_degrees(),
            ToSi::Scale(factor, zero) => (si - zero) / factor,
        }
    }

    /// Whether numbers in this unit go into a formula unchanged.
    pub fn is_coherent(&self) -> bool {
        matches!(self.to_si, ToSi::Same)
    }

    /// Whether numbers stand alone in this unit: ratios and pure numbers.
    pub fn is_bare(&self) -> bool {
        self.dim == Dim::NONE && self.is_coherent()
    }

    /// Digits and the symbol behind them as a person reads them: `4.10`, `22°`, `65 %`, `45 m`.
    pub fn behind(&self, digits: &str) -> String {
        match self.to_si {
            _ if self.is_bare() => digits.to_owned(),
            ToSi::Degrees => format!("{digits}{}", self.symbol),
            _ => format!("{digits} {}", self.symbol),
        }
    }

    /// Whether the text names this unit.
    pub fn answers_to(&self, text: &str) -> bool {
        self.symbol == text || self.spellings.iter().any(|known| known.eq_ignore_ascii_case(text))
    }
}

/// Which units the pages show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum UnitSystem {
    /// Metres, kilograms, kilometres an hour.
    #[default]
    Metric,
    /// Feet, pounds, miles an hour.
    Imperial,
}

/// Units of one dimension, in the order a person would think of them.
pub fn units_of(dim: Dim) -> impl Iterator<Item = &'static Unit> {
    catalogue::ALL.iter().copied().filter(move |unit| unit.dim == dim)
}

/// The unit with this exact printed symbol.
pub fn unit_named(symbol: &str) -> Option<&'static Unit> {
    catalogue::ALL.iter().copied().find(|unit| unit.symbol == symbol)
}

/// The table itself.
pub(super) mod catalogue {
    use super::{Dim, ToSi, Unit};
    use ToSi::{Degrees, Over, Same, Scale, Times};

    macro_rules! units {
        ($($name:ident = $symbol:literal, $dim:expr, $to_si:expr, $one:literal, $many:literal, [$($spelling:literal),*];)*) => {
            $(
                #[doc = concat!("`", $symbol, "`: ", $many, ".")]
                pub static $name: Unit = Unit {
                    symbol: $symbol,
                    spellings: &[$($spelling),*],
                    dim: $dim,
                    to_si: $to_si,
                    spoken: ($one, $many),
                };
            )*
            /// Every unit.
            pub static ALL: &[&Unit] = &[$(&$name),*];
        };
    }

    units! {
        ONE = "", Dim::NONE, Same, "", "", [];
        TO_ONE = ":1", Dim::NONE, Same, "to one", "to one", ["to 1"];
        DEGREE = "°", Dim::NONE, Degrees, "degree", "degrees", ["deg", "degree", "degrees", "º", "˚"];
        PERCENT = "%", Dim::NONE, Over(100.0, "100"), "per cent", "per cent", ["percent", "per cent", "pct"];

        METRE = "m", Dim::LENGTH, Same, "metre", "metres", ["metre", "metres", "meter", "meters"];
        MILLIMETRE = "mm", Dim::LENGTH, Over(1000.0, "1000"), "millimetre", "millimetres", ["millimetre", "millimetres", "millimeter", "millimeters"];
        CENTIMETRE = "cm", Dim::LENGTH, Over(100.0, "100"), "centimetre", "centimetres", ["centimetre", "centimetres", "centimeter", "centimeters"];
        KILOMETRE = "km", Dim::LENGTH, Times(1000.0, "1000"), "kilometre", "kilometres", ["kilometre", "kilometres", "kilometer", "kilometers"];
        FOOT = "ft", Dim::LENGTH, Times(0.3048, "0.3048"), "foot", "feet", ["foot", "feet", "'", "′"];
        INCH = "in", Dim::LENGTH, Times(0.0254, "0.0254"), "inch", "inches", ["inch", "inches", "\"", "″"];
        YARD = "yd", Dim::LENGTH, Times(0.9144, "0.9144"), "yard", "yards", ["yard", "yards"];
        MILE = "mile", Dim::LENGTH, Times(1609.344, "1609.344"), "mile", "miles", ["miles", "mi"];

        KILOGRAM = "kg", Dim::MASS, Same, "kilogram", "kilograms", ["kilogram", "kilograms", "kilo", "kilos", "kgs"];
        TONNE = "t", Dim::MASS, Times(1000.0, "1000"), "tonne", "tonnes", ["tonne", "tonnes"];
        POUND = "lb", Dim::MASS, Times(0.453_592_37, "0.4536"), "pound", "pounds", ["lbs", "pound", "pounds"];
        GRAM = "g", Dim::MASS, Over(1000.0, "1000"), "gram", "grams", ["gram", "grams"];

        SECOND = "s", Dim::TIME, Same, "second", "seconds", ["sec", "secs", "second", "seconds"];
        MINUTE = "min", Dim::TIME, Times(60.0, "60"), "minute", "minutes", ["mins", "minute", "minutes"];
        HOUR = "h", Dim::TIME, Times(3600.0, "3600"), "hour", "hours", ["hr", "hrs", "hour", "hours"];

        METRE_PER_SECOND = "m/s", Dim::SPEED, Same, "metre per second", "metres per second", ["mps"];
        KM_PER_HOUR = "km/h", Dim::SPEED, Over(3.6, "3.6"), "kilometre per hour", "kilometres per hour", ["kph", "kmh", "km/hr", "kmph"];
        MILE_PER_HOUR = "mph", Dim::SPEED, Times(0.447_04, "0.44704"), "mile per hour", "miles per hour", ["mi/h", "miles/h"];
        FOOT_PER_SECOND = "ft/s", Dim::SPEED, Times(0.3048, "0.3048"), "foot per second", "feet per second", ["fps"];

        METRE_PER_SECOND_2 = "m/s²", Dim::ACCELERATION, Same, "metre per second squared", "metres per second squared", ["m/s^2", "m/s2"];
        FOOT_PER_SECOND_2 = "ft/s²", Dim::ACCELERATION, Times(0.3048, "0.3048"), "foot per second squared", "feet per second squared", ["ft/s^2", "ft/s2"];

        TURN_PER_SECOND = "rev/s", Dim::RATE, Same, "revolution per second", "revolutions per second", ["rps", "1/s"];
        RPM = "rpm", Dim::RATE, Over(60.0, "60"), "revolution per minute", "revolutions per minute", ["rev/min", "r/min", "1/min", "revs"];

        NEWTON = "N", Dim::FORCE, Same, "newton", "newtons", ["newton", "newtons"];
        KILONEWTON = "kN", Dim::FORCE, Times(1000.0, "1000"), "kilonewton", "kilonewtons", ["kilonewton", "kilonewtons"];
        POUND_FORCE = "lbf", Dim::FORCE, Times(4.448_221_615_260_5, "4.448"), "pound-force", "pounds-force", ["lb-f"];
        TONNE_FORCE = "tf", Dim::FORCE, Times(9806.65, "9807"), "tonne-force", "tonnes-force", ["tonne-force"];
        KILOGRAM_FORCE = "kgf", Dim::FORCE, Times(9.806_65, "9.807"), "kilogram-force", "kilograms-force", ["kg-f"];

        JOULE = "J", Dim::ENERGY, Same, "joule", "joules", ["joule", "joules"];
        KILOJOULE = "kJ", Dim::ENERGY, Times(1000.0, "1000"), "kilojoule", "kilojoules", ["kilojoule", "kilojoules"];
        MEGAJOULE = "MJ", Dim::ENERGY, Times(1e6, "1000000"), "megajoule", "megajoules", ["megajoule", "megajoules"];
        NEWTON_METRE = "N·m", Dim::ENERGY, Same, "newton metre", "newton metres", ["Nm", "N m", "N.m", "N*m"];
        FOOT_POUND = "ft·lbf", Dim::ENERGY, Times(1.355_817_948_331_4, "1.356"), "foot-pound", "foot-pounds", ["ft·lb"];
        POUND_FOOT = "lb·ft", Dim::ENERGY, Times(1.355_817_948_331_4, "1.356"), "pound-foot", "pound-feet", ["lb-ft", "lb ft", "lbf ft", "ft-lb", "ft lb", "lbft"];

        BTU = "BTU", Dim::ENERGY, Times(1_055.055_852_62, "1055"), "British thermal unit", "British thermal units", [];

        WATT = "W", Dim::POWER, Same, "watt", "watts", ["watt", "watts"];
        KILOWATT = "kW", Dim::POWER, Times(1000.0, "1000"), "kilowatt", "kilowatts", ["kilowatt", "kilowatts"];
        HORSEPOWER = "hp", Dim::POWER, Times(745.699_871_582_270_2, "745.7"), "horsepower", "horsepower", ["bhp"];

        PASCAL = "Pa", Dim::PRESSURE, Same, "pascal", "pascals", ["pascal", "pascals"];
        KILOPASCAL = "kPa", Dim::PRESSURE, Times(1000.0, "1000"), "kilopascal", "kilopascals", ["kilopascal", "kilopascals"];
        BAR = "bar", Dim::PRESSURE, Times(1e5, "100000"), "bar", "bar", ["bars"];
        PSI = "psi", Dim::PRESSURE, Times(6_894.757_293_168_361, "6895"), "pound per square inch", "pounds per square inch", ["lb/in2", "lbf/in2"];

        SQUARE_METRE = "m²", Dim::AREA, Same, "square metre", "square metres", ["m2", "m^2", "sq m"];
        SQUARE_FOOT = "ft²", Dim::AREA, Times(0.092_903_04, "0.0929"), "square foot", "square feet", ["ft2", "ft^2", "sq ft"];

        CUBIC_METRE = "m³", Dim::VOLUME, Same, "cubic metre", "cubic metres", ["m3", "m^3"];
        LITRE = "L", Dim::VOLUME, Over(1000.0, "1000"), "litre", "litres", ["l", "litre", "litres", "liter", "liters", "ltr"];
        CUBIC_CENTIMETRE = "cm³", Dim::VOLUME, Over(1e6, "1000000"), "cubic centimetre", "cubic centimetres", ["cc", "cm3", "cm^3", "ccm"];
        CUBIC_INCH = "in³", Dim::VOLUME, Times(1.638_706_4e-5, "0.000016387064"), "cubic inch", "cubic inches", ["ci", "cid", "cu in", "in3"];

        KELVIN = "K", Dim::TEMPERATURE, Same, "kelvin", "kelvins", ["kelvin", "kelvins"];
        CELSIUS = "°C", Dim::TEMPERATURE, Scale(1.0, 273.15), "degree Celsius", "degrees Celsius", ["C", "degC", "deg C", "celsius"];
        FAHRENHEIT = "°F", Dim::TEMPERATURE, Scale(5.0 / 9.0, 273.15 - 32.0 * 5.0 / 9.0), "degree Fahrenheit", "degrees Fahrenheit", ["F", "degF", "deg F", "fahrenheit"];
        FAHRENHEIT_STEP = "F°", Dim::TEMPERATURE, Over(1.8, "1.8"), "Fahrenheit degree", "Fahrenheit degrees", [];

        JOULE_PER_KG_KELVIN = "J/(kg·K)", Dim::HEAT_CAPACITY, Same, "joule per kilogram kelvin", "joules per kilogram kelvin", ["J/kgK", "J/kg/K"];
        BTU_PER_POUND = "BTU/(lb·F°)", Dim::HEAT_CAPACITY, Times(4186.8, "4186.8"), "British thermal unit per pound and Fahrenheit degree", "British thermal units per pound and Fahrenheit degree", ["BTU/(lb·°F)", "BTU/lb°F", "BTU/lb/°F"];

        KILOGRAM_SQUARE_METRE = "kg·m²", Dim::INERTIA, Same, "kilogram square metre", "kilogram square metres", ["kg m²", "kgm²", "kg.m²", "kg*m²", "kg m2", "kgm2", "kg.m2", "kg*m2", "kg·m2", "kg m^2", "kgm^2", "kg.m^2", "kg*m^2", "kg·m^2"];

        KILONEWTON_PER_METRE = "kN/m", Dim::STIFFNESS, Times(1000.0, "1000"), "kilonewton per metre", "kilonewtons per metre", [];
        POUND_FORCE_PER_FOOT = "lbf/ft", Dim::STIFFNESS, Times(14.593_902_937_206_4, "14.594"), "pound-force per foot", "pounds-force per foot", [];
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_unit_decides_how_it_stands_behind_its_digits() {
        let shown = |symbol: &str| unit_named(symbol).expect("a unit").behind("4");
        assert_eq!(["", ":1", "°", "%", "m", "°C"].map(shown), ["4", "4", "4°", "4 %", "4 m", "4 °C"]);
    }

    #[test]
    fn a_value_survives_the_way_to_si_and_back() {
        for unit in catalogue::ALL {
            let back = unit.from_si(unit.to_si(12.5));
            assert!((back - 12.5).abs() < 1e-9, "{}: {back}", unit.symbol);
        }
    }

    #[test]
    fn no_two_units_of_a_dimension_share_a_spelling() {
        for (place, unit) in catalogue::ALL.iter().enumerate() {
            for other in &catalogue::ALL[place + 1..] {
                if unit.dim != other.dim {
                    continue;
                }
                for spelling in unit.spellings.iter().chain([&unit.symbol]) {
                    assert!(
                        !other.answers_to(spelling),
                        "{} and {} both answer to {spelling}",
                        unit.symbol,
                        other.symbol
                    );
                }
            }
        }
    }

    #[test]
    fn printed_factors_are_near_the_factors() {
        for unit in catalogue::ALL {
            if let ToSi::Times(factor, text) | ToSi::Over(factor, text) = unit.to_si {
                let printed: f64 = text.parse().expect("a printed factor is a number");
                assert!((printed / factor - 1.0).abs() < 2e-4, "{}", unit.symbol);
            }
        }
    }
}
