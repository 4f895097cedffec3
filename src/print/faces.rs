//! Faces of other scripts: those carried in the program, in a folder that the user names, or on the machine.
//!
//! Each script is printed with one family, by name; nothing is left to the typesetter's choice. The typesetter
//! itself puts only the letters used into a PDF.

mod found;
mod single;

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::Path;

use super::script::{Hand, is_of_another};
use found::Shelf;

/// The letters that a pack needs, by the hand they are printed in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Needed(BTreeMap<Hand, BTreeSet<char>>);

impl Needed {
    /// The letters of these texts that the main face lacks.
    pub fn of<'a>(texts: impl IntoIterator<Item = &'a str>) -> Self {
        let mut needed = Self::default();
        for text in texts.into_iter().filter(|text| !text.is_ascii()) {
            for letter in text.chars() {
                if let Some(hand) = Hand::of(letter, text) {
                    needed.0.entry(hand).or_default().insert(letter);
                }
            }
        }
        needed
    }
}

/// Letters that no face has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lacking {
    /// What they are written in.
    pub hand: Hand,
    /// The letters.
    pub letters: BTreeSet<char>,
}

/// Where a face comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Origin {
    Carried,
    Folder,
    Machine,
}

impl Origin {
    fn words(self) -> &'static str {
        match self {
            Self::Carried => "carried in the program",
            Self::Folder => "from the folder named",
            Self::Machine => "of this machine",
        }
    }
}

/// A family for one hand: the upright face, and the bold one if there is one.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Family {
    name: String,
    origin: Origin,
    /// Content and version of each face.
    faces: Vec<(Vec<u8>, String)>,
}

/// The faces of a pack beside the main one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Faces(Vec<(Hand, BTreeSet<char>, Family)>);

impl Faces {
    /// Finds a family for each hand: carried in the program, else in the folder if one is named, else on the
    /// machine. A folder that is named is all that is looked into, so that one folder means one pack everywhere.
    ///
    /// # Errors
    /// The letters for which there is none.
    pub fn find(needed: &Needed, folder: Option<&Path>) -> Result<Self, Vec<Lacking>> {
        let mut shelf = Shelf::of(folder);
        let (mut found, mut lacking) = (Vec::new(), Vec::new());
        for (hand, letters) in &needed.0 {
            match shelf.family(*hand, letters) {
                Some(family) => found.push((*hand, letters.clone(), family)),
                None => lacking.push(Lacking { hand: *hand, letters: letters.clone() }),
            }
        }
        if lacking.is_empty() { Ok(Self(found)) } else { Err(lacking) }
    }

    /// Whether none is needed.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The text with every letter shown by name, such as `[U+5B57]`, that has no face.
    pub(super) fn shown<'a>(&self, text: &'a str, before: &str) -> Cow<'a, str> {
        let lacks = |letter: char| {
            is_of_another(letter) && !self.0.iter().any(|(_, letters, _)| letters.contains(&letter))
        };
        if text.is_ascii() || !text.chars().any(lacks) {
            return Cow::Borrowed(text);
        }
        let mut shown = String::with_capacity(text.len());
        for letter in text.chars() {
            if lacks(letter) {
                write!(shown, "{before}[U+{:04X}]", u32::from(letter)).expect("a string takes all text");
            } else {
                shown.push(letter);
            }
        }
        Cow::Owned(shown)
    }

    /// What was used, for the manifest: family, version, where it came from.
    pub fn told(&self) -> Vec<String> {
        let mut told: Vec<String> = self
            .0
            .iter()
            .flat_map(|(_, _, family)| {
                let weights = ["Regular", "Bold"].into_iter().zip(&family.faces);
                weights.map(move |(weight, (_, version))| {
                    format!("{} {weight}, {version}, {}", family.name, family.origin.words())
                })
            })
            .collect();
        told.sort();
        told.dedup();
        told
    }

    /// File name and content of each face.
    pub fn files(&self) -> impl Iterator<Item = (String, &[u8])> {
        self.0.iter().flat_map(|(_, _, family)| {
            let stem = family.name.replace(' ', "");
            let weights = ["Regular", "Bold"].into_iter().zip(&family.faces);
            weights.map(move |(weight, (bytes, _))| (format!("{stem}-{weight}.otf"), bytes.as_slice()))
        })
    }

    /// The style that prints each script with its family, in the typesetter's language.
    pub(super) fn style(&self) -> String {
        let mut style = String::from("#let in-other-scripts(body) = {\n");
        let shared = [Hand::Chinese, Hand::Japanese, Hand::Korean];
        for (hand, letters, family) in self.0.iter().filter(|(hand, ..)| !shared.contains(hand)) {
            let class = class(letters);
            writeln!(
                style,
                "  show regex(\"[{class}](?:[{class}{JOINERS}]*[{class}])?\"): set text({})",
                set(*hand, family)
            )
            .expect("a string takes all text");
        }
        style.push_str(&self.east_asia());
        style.push_str("  body\n}\n");
        style
    }

    /// Chinese letters take the shapes of what stands beside them in the same words.
    fn east_asia(&self) -> String {
        let of = |wanted: Hand| self.0.iter().find(|(hand, ..)| *hand == wanted);
        let all: BTreeSet<char> = [Hand::Chinese, Hand::Japanese, Hand::Korean]
            .into_iter()
            .filter_map(of)
            .flat_map(|(_, letters, _)| letters.iter().copied())
            .collect();
        if all.is_empty() {
            return String::new();
        }
        let mut choice = String::new();
        let signs = |hand: Hand, letters: &BTreeSet<char>| -> BTreeSet<char> {
            letters.iter().copied().filter(|letter| Hand::of(*letter, "") == Some(hand)).collect()
        };
        for hand in [Hand::Japanese, Hand::Korean] {
            if let Some((_, letters, family)) = of(hand) {
                let own = class(&signs(hand, letters));
                write!(
                    choice,
                    "if it.text.contains(regex(\"[{own}]\")) {{ text({}, it) }} else ",
                    set(hand, family)
                )
                .expect("a string takes all text");
            }
        }
        let rest = of(Hand::Chinese).or_else(|| of(Hand::Japanese)).or_else(|| of(Hand::Korean));
        let (hand, _, family) = rest.expect("one of them has letters");
        let class = class(&all);
        format!(
            "  show regex(\"[{class}](?:[{class} ]*[{class}])?\"): it => {choice}{{ text({}, it) }}\n",
            set(*hand, family)
        )
    }
}

/// What may stand between two letters of a word: marks that join them or keep them apart.
const JOINERS: &str = "\\\\x{200C}\\\\x{200D}";

/// The arguments that print with a family. Words of a script that runs from the right stand in lines that run
/// from the left.
fn set(hand: Hand, family: &Family) -> String {
    let language = hand.language().map_or_else(String::new, |language| format!(", lang: \"{language}\""));
    format!("font: {}{language}, region: none, dir: ltr", super::escape::literal(&family.name))
}

/// Letters as a class of a regular expression, in plain ASCII.
fn class(letters: &BTreeSet<char>) -> String {
    letters.iter().fold(String::new(), |mut class, letter| {
        write!(class, "\\\\x{{{:X}}}", u32::from(*letter)).expect("a string takes all text");
        class
    })
}
