//! Texts that know their short and their full form.

use std::fmt;

use unicode_segmentation::UnicodeSegmentation as _;

use crate::problem::isolated;

/// A text of the course, as written. Each has a type that says how many letters its place on a page
/// takes; a longer one is cut there, with an ellipsis, and stands in full in the index of the pack. What
/// the program decides, it decides on the full text.
///
/// ```
/// use slopepack::course::Text;
///
/// let bank: Text<8> = "The north bank above the ford".into();
/// assert_eq!(bank.to_string(), "The nort…");
/// assert_eq!(bank.full(), "The north bank above the ford");
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Text<const MOST: usize>(String);

/// The issue of the papers.
pub type Issue = Text<24>;
/// What stands beside a place in a plan.
pub type Label = Text<28>;
/// A name in a heading, a table or a drawing.
pub type Name = Text<64>;
/// A short remark on a card.
pub type Remark = Text<160>;
/// A sentence or two.
pub type Passage = Text<480>;

/// A text too long for its place, in full.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LongText {
    /// Its key, and what that is a key of.
    pub what: String,
    /// All of it.
    pub text: String,
}

/// The same with a capital letter in front.
///
/// ```
/// assert_eq!(slopepack::course::capital("élan"), "Élan");
/// ```
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

impl<const MOST: usize> Text<MOST> {
    /// All of it.
    pub fn full(&self) -> &str {
        &self.0
    }

    /// As pages print it: what its place can take, with an ellipsis where it is cut, and
    /// [`isolated`].
    pub fn short(&self) -> String {
        isolated(&self.to_string()).into_owned()
    }

    /// Whether nothing was written.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether its place cannot take all of it.
    pub fn is_long(&self) -> bool {
        self.end().is_some()
    }

    /// Where the letters end that its place can take, if more follow.
    fn end(&self) -> Option<usize> {
        self.0.grapheme_indices(true).nth(MOST).map(|(end, _)| end)
    }
}

impl<const MOST: usize> fmt::Display for Text<MOST> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.end() {
            Some(end) => write!(f, "{}…", &self.0[..end]),
            None => f.write_str(&self.0),
        }
    }
}

impl<const MOST: usize> From<&str> for Text<MOST> {
    fn from(text: &str) -> Self {
        Self(text.to_owned())
    }
}

impl<const MOST: usize> From<String> for Text<MOST> {
    fn from(text: String) -> Self {
        Self(text)
    }
}

impl<const MOST: usize> PartialEq<str> for Text<MOST> {
    fn eq(&self, other: &str) -> bool {
        self.0 == other
    }
}

impl<const MOST: usize> PartialEq<&str> for Text<MOST> {
    fn eq(&self, other: &&str) -> bool {
        self.0 == *other
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_too_long_is_cut_and_never_inside_a_letter() {
        let (short, long): (Name, Name) = ("Ramp".into(), "é".repeat(100).as_str().into());
        assert_eq!((short.short(), short.is_long()), ("Ramp".to_owned(), false));
        assert_eq!((long.short(), long.is_long()), (format!("{}…", "é".repeat(64)), true));
        assert_eq!(long.full(), "é".repeat(100));
        let stacked: Text<2> = "\u{E01}\u{E31}\u{E49}\u{E01}\u{E31}\u{E49}\u{E01}".into();
        assert_eq!(
            stacked.short(),
            "\u{E01}\u{E31}\u{E49}\u{E01}\u{E31}\u{E49}…",
            "marks stay with their letter"
        );
    }
}
