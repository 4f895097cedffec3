//! Where figures come from, as pages print it: a mark and plain words.
//!
//! Texts of the program, of items and of courses name a source by its mark alone (`T1, low end`). The full reference
//! of each mark stands in `tests/published/sources.csv`; a test holds the two lists to each other.
//!
//! T textbook, B handbook, N standard, R law, E published tests, D open data.

use serde::Serializer;

/// Every source: its mark, and what a page calls it.
pub const SOURCES: &[(&str, &str)] = &[
    ("T1", "vehicle-dynamics textbook"),
    ("T2", "engine textbook"),
    ("T3", "physics textbook"),
    ("T4", "brake-design textbook"),
    ("T5", "vehicle-control textbook"),
    ("T6", "tyre textbook"),
    ("T7", "accident-reconstruction textbook"),
    ("T8", "statistics textbook"),
    ("B1", "mechanical engineers’ handbook"),
    ("B2", "mechanical engineers’ data book"),
    ("B3", "field manual of 1917 on maps and slopes"),
    ("B4", "accident-investigation handbook"),
    ("B5", "earthmoving handbook"),
    ("B6", "highway design handbook"),
    ("B7", "steelworkers’ training manual"),
    ("B8", "rigging training manual"),
    ("B9", "rigging field manual"),
    ("B10", "recovery field manual"),
    ("B11", "operator’s manual of a truck with winch"),
    ("B12", "operator’s manual on anchorage"),
    ("B13", "recovery bulletin"),
    ("B14", "rescue manual"),
    ("B15", "deck training manual"),
    ("B16", "recovery handbook of a drivers’ club"),
    ("B17", "tyre standards manual"),
    ("B18", "winch makers’ and suppliers’ handbooks"),
    ("B19", "battle-damage repair manual"),
    ("B20", "makers’ off-road handbooks"),
    ("B21", "trail-driving guide"),
    ("B22", "commercial drivers’ manual"),
    ("B23", "drivers’ manual of a truck for snow"),
    ("B24", "course on getting out after a roll-over"),
    ("B25", "emergency services’ handbook on working together"),
    ("B26", "training series on topography"),
    ("N1", "shackle standard ASME B30.26-2010, s. 26-1.2"),
    ("N3", "webbing sling standard EN 1492-1"),
    ("N5", "standard ISO 80000-3"),
    ("N6", "voice procedure of the ACP 125 family"),
    ("N7", "calendar standard RFC 5545"),
    ("N8", "safety-sign standards ANSI Z535 and ISO 3864"),
    ("R1", "Directive 92/58/EEC, Annex IX"),
    ("R2", "rule 29 CFR 1915.112"),
    ("R3", "Consumer Goods (Motor Vehicle Recovery Straps) Safety Standard 2017"),
    ("R4", "Highway Code, rule 91"),
    ("R5", "consumer law notice on recovery straps"),
    ("R6", "rules for signallers SI 1996/341, Schedule 1, Part IX"),
    ("R7", "UN Regulation 13-H, Annex 3"),
    ("E1", "published roll-over statistics"),
    ("E2", "published inertia measurements"),
    ("E3", "published brake tests on loose gravel"),
    ("E4", "published grip tests on snow and ice"),
    ("E5", "published note on winch size, 2015"),
    ("E6", "measured snatch, magazine article of 2017"),
    ("E7", "towing trade article of 2013"),
    ("E8", "published page on winch theory"),
    ("E9", "article on casualty recovery formulae, 2010"),
    ("E10", "lightning advice"),
    ("E11", "published guidance for vehicle trips"),
    ("E12", "published convoy rule"),
    ("E13", "published note on slings, 2021"),
    ("E14", "guidance on vehicles that roll away"),
    ("E15", "guidance on getting out of a vehicle in water"),
    ("E16", "first-aid guidance on heavy bleeding"),
    ("E17", "page of an instrument maker’s agent"),
    ("E18", "measured errors of satellite positions"),
    ("E19", "page on heights by barometer"),
    ("D1", "open data of light vehicles"),
    ("D2", "open data of heavy vehicles"),
    ("D3", "open data of truck engines"),
];

/// The places of marks in a text, with what each is called: a mark stands between characters that are neither letters
/// nor digits.
fn marks(text: &str) -> impl Iterator<Item = (usize, &'static (&'static str, &'static str))> {
    let mut from = 0;
    std::iter::from_fn(move || {
        let rest = &text[from..];
        let start = rest.find(|letter: char| letter.is_alphanumeric())?;
        let word = &rest[start..];
        let length = word.find(|letter: char| !letter.is_alphanumeric()).unwrap_or(word.len());
        let at = from + start;
        from = at + length;
        Some((at, &text[at..from]))
    })
    .filter_map(|(at, word)| SOURCES.iter().find(|(mark, _)| *mark == word).map(|source| (at, source)))
}

/// A source for a page: plain words before each mark.
///
/// ```
/// use slopepack::course::sources::cited;
/// assert_eq!(cited("T2 and judgement"), "engine textbook, T2 and judgement");
/// ```
pub fn cited(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut done = 0;
    for (at, (mark, plain)) in marks(text) {
        out.push_str(&text[done..at]);
        out.push_str(plain);
        out.push_str(", ");
        out.push_str(mark);
        done = at + mark.len();
    }
    out.push_str(&text[done..]);
    out
}

/// A field of a page that is printed as [`cited`].
///
/// # Errors
/// Only what the writer of the page gives.
pub fn as_cited<S: Serializer>(text: &impl AsRef<str>, page: S) -> Result<S::Ok, S::Error> {
    page.serialize_str(&cited(text.as_ref()))
}

/// What some texts name, each once, in the order of the list: mark and plain words.
pub fn named<'a>(texts: impl IntoIterator<Item = &'a str>) -> Vec<(&'static str, &'static str)> {
    let mut found = vec![false; SOURCES.len()];
    for text in texts {
        for (_, (mark, _)) in marks(text) {
            if let Some(place) = SOURCES.iter().position(|(known, _)| known == mark) {
                found[place] = true;
            }
        }
    }
    SOURCES.iter().zip(found).filter_map(|(source, named)| named.then_some(*source)).collect()
}

#[cfg(test)]
mod tests {
    use super::{cited, named};

    #[test]
    fn a_mark_within_a_word_is_none() {
        assert_eq!(cited("H1, T11b, XT1; T1."), "H1, T11b, XT1; vehicle-dynamics textbook, T1.");
        assert_eq!(named(["E3 and T1", "T1"]).len(), 2);
    }
}
