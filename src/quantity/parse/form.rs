//! What a quantity looks like as a regular expression, from the same units its reader knows: for editors, which
//! mark what cannot be read while it is typed.
//!
//! Only what regular expressions of ECMA-262 and of Rust have in common is written. A text that is read always
//! fits its form; a few that fit it are not read (a falling range, a fraction over nothing).

use crate::quantity::{Mass, Measure, Unit, units as u};

/// Signs, with every kind of dash that is read as one.
const SIGN: &str = "[-+\u{2212}\u{2010}-\u{2014}\u{FE63}\u{FF0D}]?\\s*";
const DASH: &str = "[-\u{2212}\u{2010}-\u{2014}\u{FE63}\u{FF0D}]";
const MARKS: &str = "[½¼¾⅓⅔⅛⅜⅝⅞]";

/// A number without a sign.
fn number() -> String {
    format!("(?:(?:[0-9]+\\.?[0-9]*|\\.[0-9]+)(?:[/⁄][0-9]+|\\s*{MARKS}|\\s+[0-9]+[/⁄][0-9]+)?|{MARKS})")
}

/// A whole text that is a number and one of the units.
pub(super) fn in_one(units: &[&Unit]) -> String {
    format!("^\\s*{SIGN}{}\\s*{}\\s*$", number(), any_unit(units))
}

/// A whole text of numbers with units, one behind another: `5'10"`.
pub(super) fn in_parts(units: &[&Unit]) -> String {
    let part = format!("{}\\s*{}\\s*", number(), any_unit(units));
    format!("^\\s*{SIGN}(?:{part})+$")
}

/// A force, or the mass whose weight it is.
pub(super) fn force(units: &[&'static Unit]) -> String {
    let units: Vec<&Unit> = units.iter().chain(Mass::units()).copied().collect();
    in_one(&units)
}

/// A grade: degrees, per cent, one to n or one in n, up or down.
pub(super) fn grade() -> String {
    let n = number();
    let way = "(?:\\s*(?:downhill|down|uphill|up))?\\s*$";
    let plain = format!("{n}\\s*{}", any_unit(&[&u::DEGREE, &u::PERCENT]));
    format!("^\\s*{SIGN}(?:{plain}|1(?:\\.0*)?\\s*(?::|in\\s|{DASH}in{DASH})\\s*{n}){way}")
}

/// A pure number, or one to one: `4.10`, `4.10:1`.
pub(super) fn ratio() -> String {
    format!("^\\s*{SIGN}{}\\s*(?::\\s*1|to\\s*1)?\\s*$", number())
}

/// A pure number, or two as a range.
pub fn range_form() -> String {
    let n = number();
    format!("^\\s*{SIGN}{n}\\s*(?:(?:{DASH}|…|\\.\\.\\.?|to\\s)\\s*{SIGN}{n})?\\s*$")
}

fn any_unit(units: &[&Unit]) -> String {
    let mut words: Vec<String> = Vec::new();
    for unit in units.iter().filter(|unit| !unit.symbol.is_empty()) {
        words.push(symbol(unit.symbol));
        words.extend(unit.spellings.iter().map(|word| any_case(word)));
    }
    words.dedup();
    format!("(?:{})\\.?", words.join("|"))
}

/// A symbol in any case, but `M` and `m` in front of another letter are a million and a thousandth.
fn symbol(symbol: &str) -> String {
    match symbol.strip_prefix(['m', 'M']).filter(|_| symbol.len() <= 2) {
        Some(rest) => format!("{}{}", &symbol[..1], any_case(rest)),
        None => any_case(symbol),
    }
}

/// A word in any case, with every kind of space, dash and quote mark that is read as one.
fn any_case(word: &str) -> String {
    word.chars().map(letter).collect()
}

fn letter(letter: char) -> String {
    match letter {
        ' ' => "\\s+".to_owned(),
        '-' => DASH.to_owned(),
        '\'' => "['’‘′]".to_owned(),
        '"' => "(?:[\"”“″]|['’‘′]['’‘′])".to_owned(),
        letter if letter.is_ascii_alphabetic() => {
            format!("[{}{}]", letter.to_ascii_lowercase(), letter.to_ascii_uppercase())
        }
        letter if "^$\\.*+?()[]{}|/".contains(letter) => format!("\\{letter}"),
        letter => letter.to_string(),
    }
}
