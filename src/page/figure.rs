//! Figures as they stand on a page: digits, unit, and whether they are estimates.

use serde::Serialize;

use crate::quantity::{Digits, Shown, Unit, UnitSystem, units};

/// A figure on a page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fig {
    /// The digits, or a range of two: `2.1–2.9`.
    pub v: String,
    /// The unit.
    pub u: String,
    /// Whether it is an estimate, which the page marks.
    pub e: bool,
}

impl Fig {
    /// Digits with a unit.
    pub fn new(v: impl Into<String>, u: impl Into<String>, e: bool) -> Self {
        Self { v: v.into(), u: u.into(), e }
    }

    /// The same without zeros after the point that say nothing.
    #[must_use]
    pub fn trimmed(self) -> Self {
        let v = if self.v.contains('.') {
            self.v.trim_end_matches('0').trim_end_matches('.').to_owned()
        } else {
            self.v
        };
        Self { v, ..self }
    }

    /// Digits and unit in one text.
    pub fn text(&self) -> String {
        match self.u.as_str() {
            "" | ":1" => self.v.clone(),
            "°" => format!("{}°", self.v),
            "%" => format!("{} %", self.v),
            unit => format!("{} {unit}", self.v),
        }
    }
}

/// How figures are shown in this course: its units, and how many digits each kind deserves.
#[derive(Clone, Copy, Debug)]
pub struct Show {
    system: UnitSystem,
}

/// A unit and digits for each system.
struct Style {
    metric: &'static Unit,
    imperial: &'static Unit,
    digits: Digits,
}

const fn style(metric: &'static Unit, imperial: &'static Unit, digits: Digits) -> Style {
    Style { metric, imperial, digits }
}

static LENGTH: Style = style(&units::METRE, &units::FOOT, Digits::Significant(2));
static BODY: Style = style(&units::METRE, &units::INCH, Digits::Significant(3));
static SPEED: Style = style(&units::KM_PER_HOUR, &units::MILE_PER_HOUR, Digits::Significant(2));
static CREEP: Style = style(&units::KM_PER_HOUR, &units::MILE_PER_HOUR, Digits::Significant(2));
static MASS: Style = style(&units::KILOGRAM, &units::POUND, Digits::Decimals(0));
static FORCE: Style = style(&units::KILONEWTON, &units::POUND_FORCE, Digits::Significant(2));
static FINE_FORCE: Style = style(&units::KILONEWTON, &units::POUND_FORCE, Digits::Significant(3));
static ENERGY: Style = style(&units::KILOJOULE, &units::BTU, Digits::Decimals(0));
static SPIN: Style = style(&units::RPM, &units::RPM, Digits::Decimals(0));
static ANGLE: Style = style(&units::DEGREE, &units::DEGREE, Digits::Decimals(0));
static FINE_ANGLE: Style = style(&units::DEGREE, &units::DEGREE, Digits::Decimals(1));
static RISE: Style = style(&units::KELVIN, &units::FAHRENHEIT_STEP, Digits::Decimals(0));
static TEMPERATURE: Style = style(&units::CELSIUS, &units::FAHRENHEIT, Digits::Decimals(0));
static TIME: Style = style(&units::SECOND, &units::SECOND, Digits::Decimals(0));
static COUNT: Style = style(&units::SECOND, &units::SECOND, Digits::Significant(2));
static RATIO: Style = style(&units::TO_ONE, &units::TO_ONE, Digits::Significant(3));
static PRESSURE: Style = style(&units::BAR, &units::PSI, Digits::Significant(2));
static FRICTION: Style = style(&units::ONE, &units::ONE, Digits::Decimals(2));

macro_rules! shows {
    ($($(#[$doc:meta])* $name:ident, $range:ident: $style:ident;)*) => {
        $(
            $(#[$doc])*
            pub fn $name(self, si: f64, estimated: bool) -> Fig {
                self.one(&$style, si, estimated)
            }

            $(#[$doc])*
            ///
            /// As a range; one figure when both ends print alike.
            pub fn $range(self, low: f64, high: f64, estimated: bool) -> Fig {
                self.range(&$style, low, high, estimated)
            }
        )*
    };
}

impl Show {
    /// Figures in these units.
    pub fn new(system: UnitSystem) -> Self {
        Self { system }
    }

    shows! {
        /// A distance on the ground, m.
        length, lengths: LENGTH;
        /// A measure of a vehicle, m.
        body, bodies: BODY;
        /// A speed to expect, m/s.
        speed, speeds: SPEED;
        /// A creep speed, m/s.
        creep, creeps: CREEP;
        /// A mass, kg.
        mass, masses: MASS;
        /// A force, N.
        force, forces: FORCE;
        /// A force beside what is left of it in percent, N.
        fine_force, fine_forces: FINE_FORCE;
        /// An energy, J.
        energy, energies: ENERGY;
        /// An engine speed, turns a second.
        spin, spins: SPIN;
        /// An angle to the nearest degree, rad.
        angle, angles: ANGLE;
        /// An angle to a tenth of a degree, rad.
        fine_angle, fine_angles: FINE_ANGLE;
        /// A temperature rise, K.
        rise, rises: RISE;
        /// A temperature, K.
        temperature, temperatures: TEMPERATURE;
        /// A time, s.
        time, times: TIME;
        /// Seconds somebody counts, s.
        count, counts: COUNT;
        /// A gear ratio.
        ratio, ratios: RATIO;
        /// A tyre pressure, Pa.
        pressure, pressures: PRESSURE;
        /// A friction coefficient.
        friction, frictions: FRICTION;
    }

    /// A speed, m/s, with so many significant digits.
    pub fn fine_speed(self, si: f64, significant: u8) -> Fig {
        let unit = self.unit(&SPEED);
        Fig::new(digits(unit.from_si(si), Digits::Significant(significant)), unit.symbol, false)
    }

    /// A length of something that stands on a table, m: centimetres or inches.
    pub fn hand_length(self, si: f64) -> Fig {
        let (value, unit) = match self.system {
            UnitSystem::Metric => (100.0 * si, "cm"),
            UnitSystem::Imperial => (si / 0.0254, "in"),
        };
        Fig::new(digits(value, Digits::Significant(2)), unit, false)
    }

    /// Room that is left, m: whole centimetres or half inches, never more than there is.
    pub fn room(self, si: f64) -> Fig {
        let (value, unit, digits_of) = match self.system {
            UnitSystem::Metric => ((100.0 * si).floor(), "cm", Digits::Decimals(0)),
            UnitSystem::Imperial => ((2.0 * si / 0.0254).floor() / 2.0, "in", Digits::Decimals(1)),
        };
        Fig::new(digits(value, digits_of), unit, false).trimmed()
    }

    /// How far apart two pegs for the pace stand, m.
    pub fn pegs_apart(self) -> f64 {
        crate::course::pegs_apart(self.system)
    }

    /// A limit of speed, m/s, without zeros that say nothing.
    pub fn limit(self, si: f64) -> Fig {
        let unit = self.unit(&SPEED);
        Fig::new(Shown::of(unit.from_si(si), SPEED.digits).trimmed().text, unit.symbol, false)
    }

    /// A scale bar for a drawing that spans so many metres: its length, m, and what it says.
    pub fn scale_bar(self, span: f64) -> (f64, String) {
        let (metres, feet) = match span {
            span if span > 60.0 => (20.0, 50.0),
            span if span > 24.0 => (10.0, 25.0),
            _ => (5.0, 10.0),
        };
        match self.system {
            UnitSystem::Metric => (metres, format!("{metres} m")),
            UnitSystem::Imperial => (feet * 0.3048, format!("{feet} ft")),
        }
    }

    /// A scale bar of at most so many metres, in round steps: its length, m, and what it says.
    pub fn plan_bar(self, most: f64) -> (f64, String) {
        const STEPS: [f64; 12] =
            [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0];
        let unit = self.unit(&LENGTH);
        let most = unit.from_si(most);
        let step = STEPS.into_iter().rev().find(|step| *step <= most).unwrap_or(STEPS[0]);
        let metre = unit.from_si(1.0);
        (step / metre, format!("{step} {}", unit.symbol))
    }

    /// How far from a driven line nobody stands but the spotter, as it is said aloud: 15 m or 50 ft.
    /// Common practice, no source.
    pub fn beside_the_line(self) -> Fig {
        match self.system {
            UnitSystem::Metric => Fig::new("15", "m", false),
            UnitSystem::Imperial => Fig::new("50", "ft", false),
        }
    }

    /// How far from an unprotected edge wheels and people stay: 2 m or 7 ft, the same on every page. Common practice,
    /// no source.
    pub fn from_an_edge(self) -> Fig {
        match self.system {
            UnitSystem::Metric => Fig::new("2", "m", false),
            UnitSystem::Imperial => Fig::new("7", "ft", false),
        }
    }

    /// Grade in per cent of a slope angle, rad.
    pub fn percent(self, angle: f64, estimated: bool) -> Fig {
        Fig::new(digits(100.0 * libm::tan(angle), Digits::Decimals(0)), "%", estimated)
    }

    /// A slope's grade both ways: `23° · 42 %`.
    pub fn grade(self, angle: f64) -> String {
        format!("{} · {}", self.sharp_angle(angle).text(), self.percent(angle, false).text())
    }

    /// An angle, rad, to a tenth of a degree, without a zero that says nothing.
    pub fn sharp_angle(self, si: f64) -> Fig {
        let unit = self.unit(&FINE_ANGLE);
        Fig::new(Shown::of(unit.from_si(si), FINE_ANGLE.digits).trimmed().text, unit.symbol, false)
    }

    /// A speed as a plain number in the page's unit, for drawings.
    pub fn speed_number(self, si: f64) -> f64 {
        self.unit(&SPEED).from_si(si)
    }

    /// A length as a plain number in the page's unit, for drawings.
    pub fn length_number(self, si: f64) -> f64 {
        self.unit(&LENGTH).from_si(si)
    }

    /// A temperature as a plain number in the page's unit, for drawings.
    pub fn temperature_number(self, si: f64) -> f64 {
        self.unit(&TEMPERATURE).from_si(si)
    }

    /// The unit speeds are shown in.
    pub fn speed_unit(self) -> &'static str {
        self.unit(&SPEED).symbol
    }

    /// The unit lengths are shown in.
    pub fn length_unit(self) -> &'static str {
        self.unit(&LENGTH).symbol
    }

    /// The unit temperatures are shown in.
    pub fn temperature_unit(self) -> &'static str {
        self.unit(&TEMPERATURE).symbol
    }

    fn unit(self, style: &Style) -> &'static Unit {
        match self.system {
            UnitSystem::Metric => style.metric,
            UnitSystem::Imperial => style.imperial,
        }
    }

    fn one(self, style: &Style, si: f64, estimated: bool) -> Fig {
        let unit = self.unit(style);
        Fig::new(digits(known(unit.from_si(si), estimated), style.digits), unit.symbol, estimated)
    }

    fn range(self, style: &Style, low: f64, high: f64, estimated: bool) -> Fig {
        let unit = self.unit(style);
        let text = |si| digits(known(unit.from_si(si), estimated), style.digits);
        let (low, high) = (text(low), text(high));
        let v = if low == high { low } else { format!("{low}–{high}") };
        Fig::new(v, unit.symbol, estimated)
    }
}

/// An estimate with no more than three digits that say something: 8543 is 8540.
fn known(value: f64, estimated: bool) -> f64 {
    if !estimated || value.abs() < 1000.0 {
        return value;
    }
    let step = libm::pow(10.0, libm::floor(libm::log10(value.abs())) - 2.0);
    (value / step).round() * step
}

/// A number as text with a true minus.
pub(crate) fn digits(value: f64, digits: Digits) -> String {
    Shown::of(value, digits).text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_that_prints_alike_is_one_figure() {
        let show = Show::new(UnitSystem::Metric);
        assert_eq!(show.speeds(0.66, 0.72, true), Fig::new("2.4–2.6", "km/h", true));
        assert_eq!(show.speeds(0.66, 0.661, false), Fig::new("2.4", "km/h", false));
    }

    #[test]
    fn imperial_pages_show_feet_and_miles() {
        let show = Show::new(UnitSystem::Imperial);
        assert_eq!(show.length(45.72, false).text(), "150 ft");
        assert_eq!(show.speed(2.2352, false).text(), "5.0 mph");
    }
}
