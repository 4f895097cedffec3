//! Families: questions of one kind, topic, level and number of marks.

use std::collections::BTreeSet;

use super::item::{Stuff, Variant};
use crate::course::{Level, Topic};

/// Different answers a family of numbers needs, so that neighbours on both sides never share one, even
/// when it is asked as a number and as a choice.
const FEWEST_ANSWERS: usize = 6;

/// Questions of one kind.
#[derive(Clone, Debug)]
pub struct Family {
    /// Its name.
    pub id: String,
    /// What about.
    pub topic: Topic,
    /// How deep.
    pub level: Level,
    /// Marks of each of its questions.
    pub marks: u16,
    /// How many of its questions one paper may hold.
    pub most: usize,
    /// The questions.
    pub variants: Vec<Variant>,
}

impl Family {
    /// From variants that carry the same marks; `in_words` when its options need no working.
    pub fn of(id: String, topic: Topic, level: Level, in_words: bool, variants: Vec<Variant>) -> Self {
        let marks = variants.first().map_or(1, Variant::marks);
        let most = if in_words { 2.min(variants.len()) } else { 1 };
        Self { id, topic, level, marks, most, variants }
    }

    /// How many tasks it holds: items, or calculations about one vehicle, slope or ground. The same one with another
    /// gear, speed or angle is the same task with other numbers.
    pub fn tasks(&self) -> usize {
        self.variants.iter().map(Variant::subject).collect::<BTreeSet<_>>().len()
    }

    /// Whether it has different answers enough for neighbours to differ.
    pub fn is_rich(&self) -> bool {
        let numeric: Vec<Option<String>> = self.variants.iter().map(Variant::numeric_key).collect();
        if numeric.iter().any(Option::is_none) {
            return !self.variants.is_empty();
        }
        numeric.into_iter().flatten().collect::<BTreeSet<_>>().len() >= FEWEST_ANSWERS
    }
}

impl Variant {
    /// What it is about, to count tasks: the item, or the vehicle, slope or ground that its sentence begins with.
    fn subject(&self) -> &str {
        if self.worked.is_none() {
            return self.task();
        }
        self.ask.split([',', ':']).next().unwrap_or(&self.ask)
    }

    /// Marks it carries: a choice 1, an order or a truth 2; a number one for each method, one for
    /// the answer and one for the unit.
    pub fn marks(&self) -> u16 {
        match &self.stuff {
            Stuff::Number(number) => {
                u16::try_from(number.methods.len()).expect("few methods") + 1 + u16::from(number.unit_mark)
            }
            Stuff::Choice { .. } => 1,
            Stuff::Order { .. } | Stuff::Truth { .. } => 2,
        }
    }
}
