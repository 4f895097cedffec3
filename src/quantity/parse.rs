//! Quantities as people write them: `2450 kg`, `5'10"`, `1 h 30 min`, `40 %`, `1:2.5`.

mod form;
mod grade;
mod number;
mod range;

pub use form::range_form;
pub use range::parse_range;

use std::fmt;

use super::unit::catalogue as u;
use super::{
    Angle, Area, Digits, Displacement, Energy, Force, HeatCapacity, Inertia, Length, Mass, Measure, Power,
    Pressure, Ratio, Share, Shown, Speed, SpinRate, Temperature, Time, Torque, Unit,
};
use number::Scan;

/// Standard gravity, m/s²: what a working load limit stamped in tonnes or pounds stands for.
/// Exact by definition (CGPM 1901).
const STANDARD_GRAVITY: f64 = 9.806_65;

/// Why a text is not the quantity wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ParseError {
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub help: String,
}

impl ParseError {
    pub(crate) fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { message: message.into(), help: help.into() }
    }
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for ParseError {}

/// A quantity that can be read from text.
pub trait Written: Measure {
    /// Reads it from tidied text: plain spaces, quotes and hyphens only.
    ///
    /// # Errors
    /// When the text is no such quantity, with what would be right.
    fn read(text: &str) -> Result<Self, ParseError>;

    /// The same as a regular expression (ECMA-262), for editors: what is read always fits it.
    fn form() -> String {
        form::in_one(Self::units())
    }
}

/// Reads a quantity with its unit, metric or imperial.
///
/// Lengths and times may be in parts (`6 ft 2 in`). An [`Angle`] is read as a grade: degrees, per
/// cent (100 tan θ) or 1:n (n horizontal for 1 vertical); down is positive, and `up` after it or
/// a minus before it makes a rise. A [`Force`] may be given in kilograms, tonnes or pounds, as load
/// limits are stamped, and then stands for that weight under standard gravity.
///
/// # Errors
/// When the text is no such quantity, with what would be right.
pub fn parse<T: Written>(text: &str) -> Result<T, ParseError> {
    let tidy = tidy(text);
    if tidy.is_empty() {
        return Err(ParseError::new(
            "nothing is written here",
            format!("write {}, like {}", T::NAME, T::EXAMPLE),
        ));
    }
    T::read(&tidy)
}

/// The text with every kind of space, minus and quote mark made plain.
fn tidy(text: &str) -> String {
    let plain = text.chars().map(|c| match c {
        '\u{2212}' | '\u{2010}'..='\u{2014}' | '\u{FE63}' | '\u{FF0D}' => '-',
        '’' | '‘' | '′' => '\'',
        '”' | '“' | '″' => '"',
        c if c.is_whitespace() || c == '\u{2060}' => ' ',
        c => c,
    });
    let plain: String = plain.collect();
    plain.replace("''", "\"").split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

macro_rules! in_units {
    ($($name:ty),*) => { $(
        impl Written for $name {
            fn read(text: &str) -> Result<Self, ParseError> {
                finite(one(text, Self::units(), &wanted::<Self>())?, text)
            }
        }
    )* };
}

in_units!(Speed, SpinRate, Torque, Energy, Power, Pressure, Area, Displacement, HeatCapacity, Inertia, Mass);

impl Written for Length {
    fn read(text: &str) -> Result<Self, ParseError> {
        finite(in_parts(text, Self::units(), &wanted::<Self>())?, text)
    }

    fn form() -> String {
        form::in_parts(Self::units())
    }
}

impl Written for Time {
    fn read(text: &str) -> Result<Self, ParseError> {
        finite(in_parts(text, Self::units(), &wanted::<Self>())?, text)
    }

    fn form() -> String {
        form::in_parts(Self::units())
    }
}

impl Written for Temperature {
    fn read(text: &str) -> Result<Self, ParseError> {
        let kelvin = one(text, Self::units(), &wanted::<Self>())?;
        if kelvin < 0.0 {
            return Err(ParseError::new(format!("`{text}` is below absolute zero"), "write 20 °C or 68 °F"));
        }
        finite(kelvin, text)
    }
}

impl Written for Force {
    fn read(text: &str) -> Result<Self, ParseError> {
        let mut scan = Scan::new(text);
        let number = scan.number()?;
        let load = find(scan.rest(), Mass::units()).map(|unit| unit.to_si(number) * STANDARD_GRAVITY);
        let force = load.map_or_else(|| one(text, Self::units(), &wanted::<Self>()), Ok);
        finite(force?, text)
    }

    fn form() -> String {
        form::force(Self::units())
    }
}

impl Written for Angle {
    fn read(text: &str) -> Result<Self, ParseError> {
        finite(grade::radians(text)?, text)
    }

    fn form() -> String {
        form::grade()
    }
}

impl Written for Share {
    fn read(text: &str) -> Result<Self, ParseError> {
        let mut scan = Scan::new(text);
        let number = scan.number()?;
        if scan.rest().is_empty() {
            let percent = if number <= 1.0 { number * 100.0 } else { number };
            let percent = Shown::of(percent, Digits::Significant(4)).trimmed().text;
            return Err(ParseError::new(format!("`{text}` has no unit"), format!("write {percent} %")));
        }
        finite(one(text, Self::units(), &wanted::<Self>())?, text)
    }
}

impl Written for Ratio {
    fn read(text: &str) -> Result<Self, ParseError> {
        let mut scan = Scan::new(text);
        let number = scan.number()?;
        let rest = scan.rest().replace(' ', "");
        match rest.as_str() {
            "" | ":1" | "to1" => finite(number, text),
            _ => Err(ParseError::new(
                format!("`{text}` is not a plain number"),
                format!("write {} without a unit", plain(number)),
            )),
        }
    }

    fn form() -> String {
        form::ratio()
    }
}

/// What is wanted, for messages.
struct Wanted {
    name: &'static str,
    example: &'static str,
    units: &'static [&'static Unit],
}

fn wanted<T: Measure>() -> Wanted {
    Wanted { name: T::NAME, example: T::EXAMPLE, units: T::units() }
}

fn finite<T: Measure>(si: f64, text: &str) -> Result<T, ParseError> {
    if si.is_finite() {
        return Ok(T::from_si(si));
    }
    Err(ParseError::new(
        format!("`{}` is too large a number", number::short(text)),
        format!("write it like {}", T::EXAMPLE),
    ))
}

/// One number and one unit, as SI.
fn one(text: &str, units: &'static [&'static Unit], wanted: &Wanted) -> Result<f64, ParseError> {
    let mut scan = Scan::new(text);
    let number = scan.number()?;
    let unit = unit_or_why(scan.rest(), number, units, wanted)?;
    Ok(unit.to_si(number))
}

/// Numbers with falling units, added up: `5'10"`, `1 h 30 min`.
fn in_parts(text: &str, units: &'static [&'static Unit], wanted: &Wanted) -> Result<f64, ParseError> {
    let mut scan = Scan::new(text);
    let first = scan.number()?;
    let negative = text.starts_with('-');
    let mut sum = 0.0;
    let mut number = first;
    let mut smallest = f64::INFINITY;
    loop {
        let unit = unit_or_why(scan.word(), number, units, wanted)?;
        if unit.to_si(1.0) >= smallest {
            return Err(ParseError::new(
                format!("`{text}` does not go from the larger unit to the smaller"),
                format!("write {}, like {}", wanted.name, wanted.example),
            ));
        }
        smallest = unit.to_si(1.0);
        sum += unit.to_si(number.abs());
        if scan.rest().is_empty() {
            return Ok(if negative { -sum } else { sum });
        }
        number = scan.number_without_sign()?;
    }
}

fn unit_or_why(
    word: &str,
    number: f64,
    units: &'static [&'static Unit],
    wanted: &Wanted,
) -> Result<&'static Unit, ParseError> {
    find(word, units).ok_or_else(|| why_no_unit(word, number, wanted))
}

/// The unit a word names, among those allowed.
fn find(word: &str, units: &'static [&'static Unit]) -> Option<&'static Unit> {
    let word = word.strip_suffix('.').unwrap_or(word);
    let exact = units.iter().find(|unit| unit.symbol == word);
    let spelled = || units.iter().find(|unit| unit.answers_to(word));
    let shouted = || units.iter().find(|unit| differs_in_case_only(unit.symbol, word));
    if word.is_empty() {
        return None;
    }
    exact.or_else(spelled).or_else(shouted).copied()
}

/// `KG` is kilograms, but `M` and `m` in front of another letter are a million and a thousandth.
fn differs_in_case_only(symbol: &str, word: &str) -> bool {
    let prefix_in_doubt =
        symbol.len() <= 2 && symbol.starts_with(['m', 'M']) && !word.starts_with(&symbol[..1]);
    symbol.eq_ignore_ascii_case(word) && !prefix_in_doubt
}

fn why_no_unit(word: &str, number: f64, wanted: &Wanted) -> ParseError {
    let number_text = plain(number);
    if word.is_empty() {
        return ParseError::new(
            format!("`{number_text}` has no unit"),
            format!("write {}", both_ways(number, wanted)),
        );
    }
    let shown = number::short(word);
    if word.starts_with(|c: char| c.is_ascii_digit()) {
        return ParseError::new(
            format!("two numbers where one is wanted: `{number_text} {shown}`"),
            "write thousands without a space: 2450",
        );
    }
    if ["ton", "tons"].iter().any(|ton| word.eq_ignore_ascii_case(ton)) {
        return ParseError::new(
            "a ton may be 1000 kg, 2240 lb or 2000 lb",
            format!("write {number_text} t for 1000 kg each, or give it in kg or lb"),
        );
    }
    if word == "°" && wanted.units.contains(&&u::CELSIUS) {
        return ParseError::new(
            "degrees of which scale?",
            format!("write {number_text} °C or {number_text} °F"),
        );
    }
    let units: Vec<&str> = wanted.units.iter().map(|unit| unit.symbol).collect();
    let choice = any_of(&units);
    if let Some(other) = u::ALL.iter().find(|unit| unit.answers_to(word)) {
        return ParseError::new(
            format!("`{shown}` ({}) cannot measure {}", other.spoken.1, wanted.name),
            format!("use {choice}, like {}", wanted.example),
        );
    }
    match nearest_unit(word, wanted.units) {
        Some(unit) => ParseError::new(
            format!("`{shown}` is not a unit"),
            format!("write {number_text} {}", unit.symbol),
        ),
        None => ParseError::new(
            format!("`{shown}` is not a unit"),
            format!("use {choice}, like {}", wanted.example),
        ),
    }
}

/// The number with its likeliest unit, and the same in the other system: `45 m or 148 ft`.
fn both_ways(number: f64, wanted: &Wanted) -> String {
    let Some(first) = wanted.units.first() else { return wanted.example.to_owned() };
    let metric = format!("{} {}", plain(number), first.symbol);
    let other: &[(&Unit, &Unit)] = &[
        (&u::METRE, &u::FOOT),
        (&u::KILOGRAM, &u::POUND),
        (&u::KM_PER_HOUR, &u::MILE_PER_HOUR),
        (&u::KILONEWTON, &u::POUND_FORCE),
        (&u::NEWTON_METRE, &u::POUND_FOOT),
        (&u::SQUARE_METRE, &u::SQUARE_FOOT),
        (&u::CELSIUS, &u::FAHRENHEIT),
        (&u::PSI, &u::BAR),
        (&u::LITRE, &u::CUBIC_INCH),
        (&u::SECOND, &u::MINUTE),
    ];
    let Some((_, imperial)) = other.iter().find(|(metric, _)| metric == first) else { return metric };
    let same = Shown::of(imperial.from_si(first.to_si(number)), Digits::Significant(3)).trimmed().text;
    format!("{metric} or {same} {}", imperial.symbol)
}

fn nearest_unit(word: &str, units: &'static [&'static Unit]) -> Option<&'static Unit> {
    let lower = word.to_lowercase();
    if lower.chars().count() < 2 || lower.chars().count() > 30 {
        return units.iter().find(|unit| unit.symbol.eq_ignore_ascii_case(word)).copied();
    }
    let spellings =
        units.iter().flat_map(|unit| unit.spellings.iter().chain([&unit.symbol]).map(move |s| (*s, *unit)));
    spellings
        .map(|(spelling, unit)| (strsim::damerau_levenshtein(&spelling.to_lowercase(), &lower), unit))
        .filter(|(distance, _)| {
            *distance <= lower.chars().count() / 3 + usize::from(lower.chars().count() == 2)
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, unit)| unit)
}

/// `kg, t or lb`.
fn any_of(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [init @ .., last] => format!("{} or {last}", init.join(", ")),
    }
}

/// A number as a person would write it.
fn plain(number: f64) -> String {
    Shown::of(number, Digits::Significant(8)).trimmed().text
}
