//! Text from a course reaches the page as text.
//!
//! Three steps, each usable alone: [`visible`] replaces what a page cannot show by a mark that
//! names it, [`breakable`] lets very long words end at the margin, [`literal`] writes the result
//! as a string literal of the typesetter, in which nothing is code and nothing is markup.

use std::borrow::Cow;
use std::fmt::Write as _;

use unicode_segmentation::UnicodeSegmentation as _;

use super::coverage::covered;
use super::script::is_of_another;
use crate::problem::isolated;

/// Longest word, in characters as people see them, that is left to the typesetter to place.
pub const LONGEST_WORD: usize = 30;

/// Characters between two places to break in a longer word: as many as the narrowest column holds.
const PIECE: usize = 10;

/// Most accents on one letter: more would climb over the lines above.
const MOST_ACCENTS: usize = 4;

/// A place where a line may end, without a mark of its own.
pub(super) const BREAK: &str = "\u{200B}";

/// The text with every character a page cannot carry shown by name, such as `[U+202E]`.
///
/// That concerns control characters, marks that reorder the text around them, private characters
/// without an agreed meaning, and signs the printed faces lack. Nothing is lost, and nothing can hide. All ways
/// of ending a line become one, and a tab becomes a space. Letters of other scripts stay: whether there is a face
/// for them is known where the page is filled. So does a pair of isolates around words, which keeps words that
/// run from the right from changing places with what stands around them.
pub fn visible(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    let mut characters = text.chars().peekable();
    let mut accents = 0;
    let mut isolated = Isolated::default();
    while let Some(character) = characters.next() {
        accents = if is_accent(character) { accents + 1 } else { 0 };
        if isolated.pairs(character, characters.clone()) {
            shown.push(character);
            continue;
        }
        match character {
            '\r' => {
                characters.next_if_eq(&'\n');
                shown.push('\n');
            }
            '\n' => shown.push('\n'),
            // The typesetter gives a tab no width.
            '\t' => shown.push(' '),
            _ if is_plain(character) && accents <= MOST_ACCENTS => shown.push(character),
            _ => write!(shown, "[U+{:04X}]", u32::from(character)).expect("a string takes all text"),
        }
    }
    shown
}

/// Whether words are between two isolates.
#[derive(Default)]
struct Isolated(bool);

impl Isolated {
    /// Whether the character is one of a pair of isolates; `after` is what follows it.
    fn pairs(&mut self, character: char, mut after: impl Iterator<Item = char>) -> bool {
        let pairs = match character {
            FIRST_STRONG => !self.0 && after.find(|next| matches!(*next, FIRST_STRONG | END)) == Some(END),
            END => self.0,
            _ => return false,
        };
        self.0 = pairs && character == FIRST_STRONG;
        pairs
    }
}

/// Begins words whose first letter says from which side they run.
const FIRST_STRONG: char = '\u{2068}';
/// Ends them.
const END: char = '\u{2069}';

/// Whether the character is set on the one before it (the blocks of combining diacritical marks, and the marks of
/// Hebrew, Arabic and Thai).
fn is_accent(character: char) -> bool {
    matches!(character, '\u{300}'..='\u{36F}' | '\u{1AB0}'..='\u{1AFF}' | '\u{1DC0}'..='\u{1DFF}'
        | '\u{20D0}'..='\u{20FF}' | '\u{FE20}'..='\u{FE2F}' | '\u{591}'..='\u{5BD}' | '\u{64B}'..='\u{65F}'
        | '\u{E34}'..='\u{E3A}' | '\u{E47}'..='\u{E4E}')
}

/// Whether a page can carry the character as it is.
fn is_plain(character: char) -> bool {
    let reorders = matches!(character,
        '\u{061C}' | '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
    let separates = matches!(character, '\u{2028}' | '\u{2029}');
    let private = matches!(character,
        '\u{E000}'..='\u{F8FF}' | '\u{F0000}'..='\u{FFFFD}' | '\u{100000}'..='\u{10FFFD}');
    let forbidden = matches!(character, '\u{FEFF}' | '\u{FFFE}' | '\u{FFFF}');
    !(character.is_control() || reorders || separates || private || forbidden)
        && (covered(character) || is_of_another(character))
}

/// The text with places to break in every word longer than [`LONGEST_WORD`].
pub fn breakable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for piece in text.split_inclusive(ends_word) {
        let word = piece.trim_end_matches(ends_word);
        if word.graphemes(true).nth(LONGEST_WORD).is_none() {
            out.push_str(word);
        } else {
            push_broken(&mut out, word);
        }
        out.push_str(&piece[word.len()..]);
    }
    out
}

/// A word in pieces of at most [`PIECE`]; a bracket begins a new one, so that `[U+202E]` stays whole.
fn push_broken(out: &mut String, word: &str) {
    let mut length = 0;
    for part in word.graphemes(true) {
        if length == PIECE || (length > 0 && part == "[") {
            out.push_str(BREAK);
            length = 0;
        }
        out.push_str(part);
        length += 1;
    }
}

/// Whether a line may end at this space. No-break spaces hold words together.
fn ends_word(character: char) -> bool {
    character.is_whitespace() && !matches!(character, '\u{A0}' | '\u{2007}' | '\u{202F}')
}

/// The text as a string literal of the typesetter, with its quotes.
///
/// Besides what a literal must escape, the backtick and the asterisk are escaped, so that a value
/// put by mistake into verbatim text or a comment cannot end it, and so are control characters and
/// those that would reorder the source in an editor.
pub fn literal(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for character in text.chars() {
        match character {
            '\\' => out.push_str("\\\\"),
            '"' => out.push_str("\\\""),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            '`' | '*' => push_code(&mut out, character),
            _ if crate::problem::steers(character) => push_code(&mut out, character),
            _ => out.push(character),
        }
    }
    out.push('"');
    out
}

fn push_code(out: &mut String, character: char) {
    write!(out, "\\u{{{:x}}}", u32::from(character)).expect("a string takes all text");
}

/// Text for the page, as a literal in code: made visible and breakable.
pub fn printed(text: &str) -> String {
    literal(&breakable(&apart(&visible(text))))
}

/// Words that run from the right kept apart from what stands around them on the page, where nobody did before.
fn apart(text: &str) -> Cow<'_, str> {
    if text.contains(FIRST_STRONG) { Cow::Borrowed(text) } else { isolated(text) }
}

/// Text for a reader's ear or a document's properties, as a literal in code: made visible only.
pub fn spoken(text: &str) -> String {
    literal(&visible(text))
}

/// Text for the page, in markup: the literal of [`printed`] as a closed expression of its own.
///
/// The semicolon ends the expression, so that text after it, such as `(` or `.`, is not taken for
/// a call; it is not printed.
pub fn embedded(text: &str) -> String {
    format!("#{};", printed(text))
}
