//! The English of a page: what is written in British words in the program is said in American ones on US paper.
//!
//! The course's own words stay as they were typed, names above all: nobody answers on the radio to a slope whose name
//! was put into other words.

use std::borrow::Cow;
use std::ops::Range;

/// Words of the program's pages and what readers in America call the same. Common usage, no source.
pub const WORDS: [(&str, &str); 61] = [
    ("aluminium", "aluminum"),
    ("amongst", "among"),
    ("anticlockwise", "counterclockwise"),
    ("behaviour", "behavior"),
    ("bonnet", "hood"),
    ("cancelled", "canceled"),
    ("catalogue", "catalog"),
    ("centre", "center"),
    ("centred", "centered"),
    ("centres", "centers"),
    ("cheque", "check"),
    ("colour", "color"),
    ("coloured", "colored"),
    ("colours", "colors"),
    ("defence", "defense"),
    ("favour", "favor"),
    ("favourable", "favorable"),
    ("fuelled", "fueled"),
    ("grey", "gray"),
    ("harbour", "harbor"),
    ("kerb", "curb"),
    ("kerbs", "curbs"),
    ("labelled", "labeled"),
    ("labour", "labor"),
    ("levelled", "leveled"),
    ("licence", "license"),
    ("licences", "licenses"),
    ("litre", "liter"),
    ("litres", "liters"),
    ("lorries", "trucks"),
    ("lorry", "truck"),
    ("judgement", "judgment"),
    ("judgements", "judgments"),
    ("manoeuvre", "maneuver"),
    ("manoeuvres", "maneuvers"),
    ("marshalled", "marshaled"),
    ("modelled", "modeled"),
    ("mould", "mold"),
    ("mudguard", "fender"),
    ("neighbour", "neighbor"),
    ("neighbours", "neighbors"),
    ("organise", "organize"),
    ("organised", "organized"),
    ("paraffin", "kerosene"),
    ("petrol", "gasoline"),
    ("plough", "plow"),
    ("practise", "practice"),
    ("practised", "practiced"),
    ("recognise", "recognize"),
    ("rota", "schedule"),
    ("rotas", "schedules"),
    ("signalled", "signaled"),
    ("signaller", "signaler"),
    ("signallers", "signalers"),
    ("signalling", "signaling"),
    ("spanner", "wrench"),
    ("travelled", "traveled"),
    ("tyre", "tire"),
    ("tyres", "tires"),
    ("unfavourable", "unfavorable"),
    ("windscreen", "windshield"),
];

/// How the readers of a course speak.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Dialect {
    american: bool,
    /// What the course and its roster write themselves.
    own: String,
}

impl Dialect {
    /// American English or not; with everything that the course and its roster write themselves.
    pub fn new(american: bool, own: String) -> Self {
        Self { american, own }
    }

    /// A text as its readers say it; the course's own words as they are.
    pub(super) fn said<'t>(&self, text: &'t str) -> Cow<'t, str> {
        self.put(text, |range| self.is_own(text, range))
    }

    /// The words of a document's template, which are all the program's: what stands between its tags.
    pub(super) fn template(&self, source: &str) -> String {
        let mut said = String::with_capacity(source.len());
        let mut rest = source;
        while let Some(tag) = rest.find('{').filter(|_| self.american) {
            let closing = match rest.as_bytes().get(tag + 1) {
                Some(b'{') => "}}",
                Some(b'%') => "%}",
                Some(b'#') => "#}",
                _ => "{",
            };
            let end = rest[tag..].find(closing).map_or(rest.len(), |end| tag + end + closing.len());
            said.push_str(&self.put(&rest[..tag], |_| false));
            said.push_str(&rest[tag..end]);
            rest = &rest[end..];
        }
        said.push_str(&self.put(rest, |_| false));
        said
    }

    fn put<'t>(&self, text: &'t str, stays: impl Fn(Range<usize>) -> bool) -> Cow<'t, str> {
        if !self.american {
            return Cow::Borrowed(text);
        }
        let mut said = String::new();
        let mut done = 0;
        for range in words(text) {
            let Some(other) = american(&text[range.clone()]) else { continue };
            if is_a_name_in_code(text, &range) || stays(range.clone()) {
                continue;
            }
            said.push_str(&text[done..range.start]);
            said.push_str(&other);
            done = range.end;
        }
        if done == 0 { Cow::Borrowed(text) } else { Cow::Owned(said + &text[done..]) }
    }

    /// Whether the course itself wrote a word: with the word before or after it as they stand here, or as a name.
    fn is_own(&self, text: &str, range: Range<usize>) -> bool {
        let all: Vec<Range<usize>> = words(text).collect();
        let Some(at) = all.iter().position(|word| *word == range) else { return false };
        let before = at.checked_sub(1).map(|at| &text[all[at].start..range.end]);
        let after = all.get(at + 1).map(|word| &text[range.start..word.end]);
        let named = text[range.clone()].starts_with(char::is_uppercase) && (at > 0 || all.len() == 1);
        let name = Some(&text[range]).filter(|_| named);
        [before, after, name].into_iter().flatten().any(|words| self.own.contains(words))
    }
}

/// The places of the words of a text.
fn words(text: &str) -> impl Iterator<Item = Range<usize>> {
    let letters = text.char_indices().chain([(text.len(), ' ')]);
    letters
        .scan(None, |from: &mut Option<usize>, (at, letter)| {
            let begun = if letter.is_alphabetic() {
                from.get_or_insert(at);
                None
            } else {
                from.take()
            };
            Some(begun.map(|from| from..at))
        })
        .flatten()
}

/// Whether a word is part of a longer name of the typesetter's language, or a key of data.
fn is_a_name_in_code(text: &str, range: &Range<usize>) -> bool {
    let joins = |letter: char| matches!(letter, '_' | '-') || letter.is_ascii_digit();
    let before = text[..range.start].chars().next_back();
    let mut after = text[range.end..].chars();
    let next = after.next();
    before.is_some_and(|letter| joins(letter) || letter == '.' || letter == '#')
        || next.is_some_and(joins)
        || (next == Some('"') && after.next() == Some(':'))
}

/// The other word, with the capitals of the one that is written.
fn american(word: &str) -> Option<String> {
    let small = word.to_lowercase();
    let (_, other) = WORDS.iter().find(|(british, _)| *british == small)?;
    let mut letters = other.chars();
    let first = letters.next()?;
    Some(if word.chars().all(char::is_uppercase) {
        other.to_uppercase()
    } else if word.starts_with(char::is_uppercase) {
        first.to_uppercase().chain(letters).collect()
    } else {
        (*other).to_owned()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn letter(own: &str) -> Dialect {
        Dialect { american: true, own: own.to_owned() }
    }

    #[test]
    fn the_programs_words_are_put_and_the_courses_own_are_not() {
        let dialect =
            letter("name: petrol van, rear wheels\n  name: Bonnet hill\n engine: {fuel: petrol, idle: 700}");
        let said = |text: &str| dialect.said(text).into_owned();
        assert_eq!(said("Petrol engine: tyres, TYRES, Tyre"), "Gasoline engine: tires, TIRES, Tire");
        assert_eq!(
            said("A petrol van, rear wheels: 3.2 L petrol, 6 cylinders"),
            "A petrol van, rear wheels: 3.2 L gasoline, 6 cylinders"
        );
        assert_eq!(said("S1 Bonnet hill"), "S1 Bonnet hill");
        assert_eq!(said("petrol"), "gasoline");
        assert_eq!(Dialect::default().said("a tyre"), "a tyre", "on A4 nothing is put");
    }

    #[test]
    fn names_in_code_and_tags_stay() {
        let dialect = letter("");
        assert_eq!(
            dialect.said("rule-colour tyre_width v.tyre (\"tyre\": 1)"),
            "rule-colour tyre_width v.tyre (\"tyre\": 1)"
        );
        let source = "{# tyre #}[*Tyres:* {{ v.sheet.tyre }}, {% if tyre %}grey{% endif %} { tyre }]";
        assert_eq!(
            dialect.template(source),
            "{# tyre #}[*Tires:* {{ v.sheet.tyre }}, {% if tyre %}gray{% endif %} { tire }]"
        );
    }

    #[test]
    fn every_word_is_listed_once_and_in_small_letters() {
        for (at, (word, other)) in WORDS.iter().enumerate() {
            assert!(word.chars().all(char::is_lowercase) && other.chars().all(char::is_lowercase), "{word}");
            assert!(WORDS[..at].iter().all(|(known, _)| known != word), "{word}");
        }
    }
}
