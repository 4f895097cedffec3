//! Scripts beyond those of the main face: which a letter belongs to, and with what it is printed.
//!
//! ```
//! use slopepack::print::script::Hand;
//! assert_eq!(Hand::of('ش', "شیما").unwrap().name(), "Arabic");
//! assert_eq!(Hand::of('健', "佐藤 さくら").unwrap().name(), "Japanese");
//! assert_eq!(Hand::of('ж', "Джип"), None, "the main face has it");
//! ```

use std::cmp::Ordering;

use unicode_script::{Script, UnicodeScript as _};

use super::coverage::covered;

/// With which faces the letters of a script are printed. Of the letters that China, Japan and Korea share, each
/// country has shapes of its own: what stands beside them in the same text decides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// Chinese letters by themselves.
    Chinese,
    /// Kana, and Chinese letters beside them.
    Japanese,
    /// Hangul, and Chinese letters beside them.
    Korean,
    /// Every other script.
    Of(Script),
}

/// What is known of a script: the language that is most often written in it, and faces to print it with, those
/// carried in the program and those looked for, the best first.
type Known = (Script, &'static str, &'static [&'static str]);

const KNOWN: &[Known] = &[
    (Script::Arabic, "ar", &["Noto Sans Arabic", "Noto Naskh Arabic", "DejaVu Sans"]),
    (Script::Hebrew, "he", &["Noto Sans Hebrew", "DejaVu Sans"]),
    (Script::Devanagari, "hi", &["Noto Sans Devanagari"]),
    (Script::Thai, "th", &["Noto Sans Thai"]),
    (Script::Armenian, "hy", &["Noto Sans Armenian", "DejaVu Sans"]),
    (Script::Georgian, "ka", &["Noto Sans Georgian", "DejaVu Sans"]),
    (Script::Bengali, "bn", &["Noto Sans Bengali"]),
    (Script::Tamil, "ta", &["Noto Sans Tamil"]),
    (Script::Telugu, "te", &["Noto Sans Telugu"]),
    (Script::Gujarati, "gu", &["Noto Sans Gujarati"]),
    (Script::Gurmukhi, "pa", &["Noto Sans Gurmukhi"]),
    (Script::Kannada, "kn", &["Noto Sans Kannada"]),
    (Script::Malayalam, "ml", &["Noto Sans Malayalam"]),
    (Script::Sinhala, "si", &["Noto Sans Sinhala"]),
    (Script::Khmer, "km", &["Noto Sans Khmer"]),
    (Script::Lao, "lo", &["Noto Sans Lao"]),
    (Script::Myanmar, "my", &["Noto Sans Myanmar"]),
    (Script::Ethiopic, "am", &["Noto Sans Ethiopic"]),
];

/// Faces that hold the letters of all of East Asia, each in the shapes of one country.
const CHINESE: &[&str] = &["Noto Sans CJK SC", "Noto Sans SC", "Source Han Sans SC", "Droid Sans Fallback"];
const JAPANESE: &[&str] = &["Noto Sans CJK JP", "Noto Sans JP", "Source Han Sans", "Droid Sans Fallback"];
const KOREAN: &[&str] = &["Noto Sans CJK KR", "Noto Sans KR", "Source Han Sans K", "Droid Sans Fallback"];

impl Ord for Hand {
    /// By name.
    fn cmp(&self, other: &Self) -> Ordering {
        self.name().cmp(other.name())
    }
}

impl PartialOrd for Hand {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Hand {
    /// The hand of a letter in a text; none for what the main face has and for what belongs to no script.
    pub fn of(letter: char, text: &str) -> Option<Self> {
        let script = script_of(letter)?;
        if script != Script::Han {
            return Some(Self::of_script(script));
        }
        let beside =
            |wanted: Self| text.chars().filter_map(script_of).any(|script| Self::of_script(script) == wanted);
        Some([Self::Japanese, Self::Korean].into_iter().find(|hand| beside(*hand)).unwrap_or(Self::Chinese))
    }

    fn of_script(script: Script) -> Self {
        match script {
            Script::Han | Script::Bopomofo => Self::Chinese,
            Script::Hiragana | Script::Katakana => Self::Japanese,
            Script::Hangul => Self::Korean,
            other => Self::Of(other),
        }
    }

    /// Its name in words.
    pub fn name(self) -> &'static str {
        match self {
            Self::Chinese => "Chinese",
            Self::Japanese => "Japanese",
            Self::Korean => "Korean",
            Self::Of(script) => script.full_name(),
        }
    }

    /// The language that a screen reader is told: the one most often written so.
    pub(super) fn language(self) -> Option<&'static str> {
        match self {
            Self::Chinese => Some("zh"),
            Self::Japanese => Some("ja"),
            Self::Korean => Some("ko"),
            Self::Of(script) => known(script).map(|(_, language, _)| *language),
        }
    }

    /// Families of faces to print it with, the best first.
    pub(super) fn families(self) -> Vec<String> {
        let named = match self {
            Self::Chinese => CHINESE,
            Self::Japanese => JAPANESE,
            Self::Korean => KOREAN,
            Self::Of(script) => match known(script) {
                Some((.., families)) => families,
                None => return vec![format!("Noto Sans {}", script.full_name().replace('_', " "))],
            },
        };
        named.iter().map(|family| (*family).to_owned()).collect()
    }

    /// The Debian package that holds its best face.
    pub fn package(self) -> &'static str {
        match self {
            Self::Chinese | Self::Japanese | Self::Korean => "fonts-noto-cjk",
            Self::Of(_) => "fonts-noto-core",
        }
    }
}

fn known(script: Script) -> Option<&'static Known> {
    KNOWN.iter().find(|(known, ..)| *known == script)
}

/// Whether a page can show the letter if it has a face for its script.
pub(super) fn is_of_another(letter: char) -> bool {
    script_of(letter).is_some()
}

/// The script of a letter that the main face lacks; signs that several scripts share count as those of one.
fn script_of(letter: char) -> Option<Script> {
    if letter.is_ascii() || covered(letter) {
        return None;
    }
    match letter.script() {
        Script::Unknown => None,
        Script::Common | Script::Inherited => shared(letter),
        script => Some(script),
    }
}

/// The script of a sign that several share: commas, vowel signs, length marks.
fn shared(letter: char) -> Option<Script> {
    // Wide forms and brackets of East Asia.
    if matches!(letter, '\u{3000}'..='\u{303F}' | '\u{FF01}'..='\u{FFEF}') {
        return Some(Script::Han);
    }
    let scripts = letter.script_extension();
    let first = [Script::Katakana, Script::Han, Script::Arabic, Script::Devanagari];
    first
        .into_iter()
        .find(|script| scripts.contains_script(*script) && !scripts.is_common() && !scripts.is_inherited())
        .or_else(|| scripts.iter().find(|script| !matches!(script, Script::Common | Script::Inherited)))
}
