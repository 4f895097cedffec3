//! A number with a unit as people key it.

use crate::quantity::units::ALL;
use crate::quantity::{Dim, ToSi, Unit, units_of};

/// Significant figures from which the rounding of a converted number is its own.
const ENOUGH_FIGURES: usize = 3;

/// How the unit was keyed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum TypedUnit {
    /// A unit of the right kind, or none where none belongs.
    Right,
    /// None where one belongs.
    Missing,
    /// A unit of another kind.
    Other,
}

/// A number as keyed, in the unit asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Typed {
    /// Its value in the unit asked for.
    pub value: f64,
    /// Half of its last digit, in the unit asked for.
    pub half_digit: f64,
    /// Whether it was keyed in another unit.
    pub converted: bool,
    /// How the unit was keyed.
    pub unit: TypedUnit,
}

/// Every way to read a number with its unit: two where a comma could mark thousands or decimals.
///
/// # Errors
/// Why it cannot be read.
pub(super) fn read_number(text: &str, asked: &'static Unit) -> Result<Vec<Typed>, String> {
    let plain: String = text
        .chars()
        .map(|c| match c {
            '\u{2212}' | '–' => '-',
            '\u{A0}' | '\u{202F}' | '\u{2009}' => ' ',
            c => c,
        })
        .collect();
    let plain = plain.trim_start_matches(['=', '≈', '~', '+']).trim();
    let digits = |c: char| c.is_ascii_digit() || ".,' ".contains(c);
    let end = plain.find(|c| !digits(c)).unwrap_or(plain.len());
    let (number, unit) = plain.split_at(end);
    if plain.starts_with('-') {
        return Err("a value below zero".to_owned());
    }
    if !number.chars().any(|c| c.is_ascii_digit()) {
        return Err("no number".to_owned());
    }
    let unit = unit_of(unit.trim().trim_end_matches('.'), asked)?;
    Ok(readings(number.trim())?
        .into_iter()
        .map(|(value, step, figures)| in_asked(value, step, figures, unit, asked))
        .collect())
}

/// What stood after the number.
#[derive(Clone, Copy)]
enum After {
    Nothing,
    /// A unit of the quantity asked for.
    Fitting(&'static Unit),
    /// A unit of another kind.
    OtherKind,
}

fn unit_of(text: &str, asked: &'static Unit) -> Result<After, String> {
    if text.is_empty() {
        return Ok(After::Nothing);
    }
    let fits = |unit: &&'static Unit| unit.answers_to(text) || unit.symbol.eq_ignore_ascii_case(text);
    // Degrees, per cent and ratios are all plain numbers, yet none can stand for another.
    if asked.dim == Dim::NONE {
        let same = fits(&asked);
        let known = ALL.iter().copied().any(|unit| fits(&unit));
        return match (same, known) {
            (true, _) => Ok(After::Fitting(asked)),
            (_, true) => Ok(After::OtherKind),
            _ => Err(format!("`{text}` is no unit known here")),
        };
    }
    if let Some(unit) = units_of(asked.dim).find(fits) {
        return Ok(After::Fitting(unit));
    }
    if ALL.iter().copied().any(|unit| fits(&unit)) {
        return Ok(After::OtherKind);
    }
    Err(format!("`{text}` is no unit known here"))
}

fn in_asked(value: f64, step: f64, figures: usize, unit: After, asked: &'static Unit) -> Typed {
    let plain = |typed| Typed { value, half_digit: step / 2.0, converted: false, unit: typed };
    let without = asked.is_bare();
    match unit {
        After::Nothing => plain(if without { TypedUnit::Right } else { TypedUnit::Missing }),
        After::OtherKind => plain(TypedUnit::Other),
        After::Fitting(unit) if unit == asked => plain(TypedUnit::Right),
        After::Fitting(unit) => {
            let change = |value: f64| asked.from_si(step_to_si(unit, value));
            let half = if figures >= ENOUGH_FIGURES { change(step / 2.0) } else { 0.0 };
            Typed { value: change(value), half_digit: half, converted: true, unit: TypedUnit::Right }
        }
    }
}

/// A temperature asked for is a rise: a step of the scale, not a place on it.
fn step_to_si(unit: &Unit, value: f64) -> f64 {
    match unit.to_si {
        ToSi::Scale(factor, _) => value * factor,
        _ => unit.to_si(value),
    }
}

/// Value, last digit's step and number of figures of each way to read the digits.
fn readings(text: &str) -> Result<Vec<(f64, f64, usize)>, String> {
    let commas = text.matches(',').count();
    let dots = text.matches('.').count();
    let spaced = text.contains([' ', '\'']);
    let decimal = |text: &str, mark: Option<char>| parsed(text, mark);
    let found = match (commas, dots) {
        (0, 1) => vec![decimal(text, Some('.'))],
        (1, 0) if !spaced && after(text, ',') == 3 && !text.starts_with('0') => {
            vec![decimal(text, Some(',')), decimal(text, None)]
        }
        (1, 0) => vec![decimal(text, Some(','))],
        (0, _) | (_, 0) => vec![decimal(text, None)],
        _ if text.rfind(',') > text.rfind('.') && commas == 1 => vec![decimal(text, Some(','))],
        _ if dots == 1 => vec![decimal(text, Some('.'))],
        _ => vec![None],
    };
    found.into_iter().collect::<Option<Vec<_>>>().ok_or_else(|| format!("`{text}` is no number"))
}

fn after(text: &str, mark: char) -> usize {
    text.split_once(mark).map_or(0, |(_, after)| after.chars().filter(char::is_ascii_digit).count())
}

/// Digits with this decimal mark; every other mark parts groups of three.
fn parsed(text: &str, mark: Option<char>) -> Option<(f64, f64, usize)> {
    let (whole, part) = mark.and_then(|mark| text.split_once(mark)).unwrap_or((text, ""));
    let groups: Vec<&str> = whole.split([' ', '\'', ',', '.']).collect();
    let grouped = groups.len() == 1
        || (groups.iter().skip(1).all(|group| group.len() == 3) && (1..=3).contains(&groups[0].len()));
    if !grouped || !part.chars().all(|c| c.is_ascii_digit()) {
        return None;
    }
    let digits = groups.concat();
    let value: f64 =
        format!("{digits}.{part}0").parse().ok().or_else(|| format!("0{digits}.{part}0").parse().ok())?;
    let decimals = u32::try_from(part.len()).ok()?;
    let figures = format!("{digits}{part}").trim_start_matches('0').len();
    Some((value, libm::pow(10.0, -f64::from(decimals)), figures))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::units;

    fn values(text: &str, asked: &'static Unit) -> Vec<f64> {
        read_number(text, asked).expect("it reads").into_iter().map(|typed| typed.value).collect()
    }

    #[test]
    fn numbers_read_as_people_key_them() {
        assert_eq!(values("2.47 km/h", &units::KM_PER_HOUR), [2.47]);
        assert_eq!(values("2,47km/h", &units::KM_PER_HOUR), [2.47]);
        assert_eq!(values("1 581 rpm", &units::RPM), [1581.0]);
        assert_eq!(values("1'581", &units::RPM), [1581.0]);
        assert_eq!(values("1.581,5", &units::RPM), [1581.5]);
        assert_eq!(values("1,581.5", &units::RPM), [1581.5]);
        assert_eq!(values("1,581", &units::RPM), [1.581, 1581.0]);
        assert_eq!(values(".5 m", &units::METRE), [0.5]);
    }

    #[test]
    fn other_units_are_converted_and_other_kinds_are_not() {
        let metres = read_number("0.686 m/s", &units::KM_PER_HOUR).expect("it reads")[0];
        assert!((metres.value - 2.4696).abs() < 1e-9 && metres.converted && metres.unit == TypedUnit::Right);
        assert_eq!(read_number("2.47 kg", &units::KM_PER_HOUR).expect("it reads")[0].unit, TypedUnit::Other);
        assert_eq!(read_number("2.47", &units::KM_PER_HOUR).expect("it reads")[0].unit, TypedUnit::Missing);
        assert_eq!(read_number("22 %", &units::DEGREE).expect("it reads")[0].unit, TypedUnit::Other);
        assert!((values("108 °C", &units::KELVIN)[0] - 108.0).abs() < 1e-9);
        assert!((values("194.4 °F", &units::KELVIN)[0] - 108.0).abs() < 1e-9);
    }

    #[test]
    fn what_cannot_be_read_is_said() {
        for text in ["about two", "2.4 or 2.5", "2.4-2.5", "02. Apr", "2.47 blorps", "-3", "1,23,4"] {
            assert!(read_number(text, &units::KM_PER_HOUR).is_err(), "{text}");
        }
    }
}
