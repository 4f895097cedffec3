//! Tyre markings and the overall diameter they stand for.

use crate::course::{Known, Tyre, TyreBuild};
use crate::quantity::{Length, ParseError};

const MM_PER_INCH: f64 = 25.4;

/// A published overall diameter of a size whose marking names no height.
pub struct NumericSize {
    /// Section width, inches.
    pub width: f64,
    /// Rim, inches.
    pub rim: f64,
    /// Overall diameter, mm.
    pub diameter: f64,
    /// Where the diameter comes from.
    pub source: &'static str,
    /// Whether the value was looked up in its source, or is remembered to about 2 %.
    pub looked_up: bool,
}

const TRUCKS: &str = "D2, table of wheels";
const MANUAL: &str = "B17 (from memory, within 2 %)";

const fn size(width: f64, rim: f64, diameter: f64, source: &'static str, looked_up: bool) -> NumericSize {
    NumericSize { width, rim, diameter, source, looked_up }
}

/// Overall diameters of numeric sizes, which no rule gives exactly.
pub const NUMERIC_SIZES: &[NumericSize] = &[
    size(6.0, 16.0, 728.0, MANUAL, false),
    size(6.5, 16.0, 748.0, MANUAL, false),
    size(7.0, 16.0, 778.0, MANUAL, false),
    size(7.5, 16.0, 802.0, MANUAL, false),
    size(9.0, 16.0, 890.0, MANUAL, false),
    size(11.0, 20.0, 1082.0, TRUCKS, true),
    size(12.0, 20.0, 1122.0, TRUCKS, true),
    size(12.0, 24.0, 1226.0, TRUCKS, true),
    size(14.0, 20.0, 1238.0, TRUCKS, true),
    size(14.5, 20.0, 1092.0, TRUCKS, true),
    size(16.0, 20.0, 1343.0, TRUCKS, true),
];

/// Section height over width of numeric sizes not in the table: light truck rims, then truck rims.
/// Worked from the table above (1.007 to 1.027 on 20-inch rims) and from memory for 16-inch ones;
/// within about 3 %.
const NUMERIC_HEIGHT: [f64; 2] = [1.04, 1.02];
/// Section height over width of a metric size without one, such as 205R16: the older full-height
/// series (B17, from memory: 80 to 82 %).
const FULL_HEIGHT: f64 = 0.80;

impl Tyre {
    /// Reads a marking as it stands on the sidewall, metric (`265/70R17`, `LT265/70R17 121S`),
    /// flotation (`35x12.50R17LT`) or numeric (`7.50R16`, `6.00-16`).
    ///
    /// A metric size gives the diameter by the meaning of its numbers, 2·W·AR/100 + 25.4·rim. A
    /// flotation size names a nominal diameter, which tyres seldom reach, and counts as estimated;
    /// so does a numeric size unless its diameter was looked up.
    ///
    /// # Errors
    /// When the marking is none of these, with what would be right.
    pub fn from_marking(marking: &str) -> Result<Self, ParseError> {
        let marking = marking.trim();
        let plain = marking.to_uppercase().replace(['×', '*'], "X").replace(['–', '‑', '−'], "-");
        if plain.contains(',') {
            let help = format!("write {} with a decimal point", plain.replace(',', "."));
            return Err(ParseError::new(format!("the comma in `{}`", brief(marking)), help));
        }
        let mut rest = plain.trim_start_matches("LT").trim_start_matches('P').trim_start();
        let first = number(&mut rest).ok_or_else(|| unreadable(marking))?;
        let (diameter, build) = match rest.chars().next() {
            Some('/') => metric(first, &mut rest)?,
            Some('X') => flotation(first, &mut rest)?,
            _ => numeric(first, &mut rest)?,
        }
        .ok_or_else(|| unreadable(marking))?;
        if !only_service_marks(rest) {
            let extra = brief(rest.trim());
            let help = "after the rim only marks like LT, C, a load index (121/118S) or 8PR may follow";
            return Err(ParseError::new(format!("`{extra}` after the size `{}`", brief(marking)), help));
        }
        Ok(Self { marking: marking.to_owned(), build, diameter, measured_circumference: None })
    }
}

/// Diameter and build, or nothing when the text is no such size.
type Read = Result<Option<(Known<Length>, TyreBuild)>, ParseError>;

fn metric(width: f64, rest: &mut &str) -> Read {
    *rest = &rest[1..];
    let Some(aspect) = number(rest) else { return Ok(None) };
    let Some((build, rim)) = build_and_rim(rest) else { return Ok(None) };
    check("section width in mm", width, 100.0, 700.0)?;
    check("height in per cent of the width", aspect, 25.0, 105.0)?;
    let diameter = 2.0 * width * aspect / 100.0 + MM_PER_INCH * rim?;
    Ok(Some((Known::given(millimetres(diameter)), build)))
}

fn flotation(diameter: f64, rest: &mut &str) -> Read {
    *rest = &rest[1..];
    let Some(width) = number(rest) else { return Ok(None) };
    let Some((build, rim)) = build_and_rim(rest) else { return Ok(None) };
    check("diameter in inches", diameter, 20.0, 70.0)?;
    check("width in inches", width, 5.0, 30.0)?;
    let rim = rim?;
    if rim >= diameter {
        return Err(ParseError::new(
            format!("a {rim}-inch rim does not go into a {diameter}-inch tyre"),
            "write diameter x width R rim, like 35x12.50R17",
        ));
    }
    Ok(Some((Known::estimated(millimetres(diameter * MM_PER_INCH)), build)))
}

fn numeric(width: f64, rest: &mut &str) -> Read {
    let Some((build, rim)) = build_and_rim(rest) else { return Ok(None) };
    let rim = rim?;
    if (100.0..400.0).contains(&width) {
        let diameter = 2.0 * width * FULL_HEIGHT + MM_PER_INCH * rim;
        return Ok(Some((Known::estimated(millimetres(diameter)), build)));
    }
    // 750R16 is another way to write 7.50R16.
    let inches = if width >= 400.0 { width / 100.0 } else { width };
    check("section width in inches", inches, 4.0, 20.0)?;
    let same = |a: f64, b: f64| (a - b).abs() < 1e-9;
    if let Some(known) = NUMERIC_SIZES.iter().find(|size| same(size.width, inches) && same(size.rim, rim)) {
        return Ok(Some((Known { value: millimetres(known.diameter), estimated: !known.looked_up }, build)));
    }
    let height = NUMERIC_HEIGHT[usize::from(rim >= 18.0)] * inches;
    Ok(Some((Known::estimated(millimetres((2.0 * height + rim) * MM_PER_INCH)), build)))
}

/// `R17`, `ZR17`, `-16`, `D16`, with spaces.
fn build_and_rim(rest: &mut &str) -> Option<(TyreBuild, Result<f64, ParseError>)> {
    let text = rest.trim_start();
    let text = text.strip_prefix('Z').unwrap_or(text);
    let build = match text.chars().next()? {
        'R' => TyreBuild::Radial,
        '-' | 'D' | 'B' => TyreBuild::Diagonal,
        _ => return None,
    };
    *rest = text[1..].trim_start();
    let rim = number(rest)?;
    Some((build, check("rim in inches", rim, 10.0, 30.0).map(|()| rim)))
}

/// A number without a sign from the front of the text.
fn number(rest: &mut &str) -> Option<f64> {
    let length = rest.len() - rest.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.').len();
    let value = rest[..length].parse().ok()?;
    *rest = &rest[length..];
    Some(value)
}

fn check(what: &str, value: f64, low: f64, high: f64) -> Result<(), ParseError> {
    if (low..=high).contains(&value) {
        return Ok(());
    }
    Err(ParseError::new(
        format!("a {what} of {value} is hardly possible"),
        format!("expected {low} to {high}, as on the sidewall: 265/70R17, 35x12.50R17 or 7.50R16"),
    ))
}

/// Whether only load, speed, ply and use marks follow the rim.
fn only_service_marks(rest: &str) -> bool {
    let Some(attached) = rest.split(' ').next() else { return true };
    let loose = rest[attached.len()..].split_whitespace();
    let known = |mark: &str| ["", "LT", "C", "ST", "TR"].contains(&mark);
    let short = |mark: &str| {
        mark.len() <= 9 && mark.chars().all(|c| c.is_ascii_alphanumeric() || "/+()&-".contains(c))
    };
    known(attached) && loose.into_iter().all(short)
}

fn unreadable(marking: &str) -> ParseError {
    ParseError::new(
        format!("`{}` is not a tyre size", brief(marking)),
        "write it as on the sidewall: 265/70R17, 35x12.50R17 or 7.50R16",
    )
}

fn brief(text: &str) -> String {
    text.chars().take(30).collect()
}

fn millimetres(value: f64) -> Length {
    Length::new(value / 1000.0)
}
