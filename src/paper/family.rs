//! Families: questions of one kind, topic, level and number of marks.

use std::collections::BTreeSet;

use super::item::{Stuff, Variant, Wrong};
use super::making::{self, Scene};
use crate::course::{BankAnswer, BankItem, Course, Level, Topic};
use crate::engine::Reckoning;

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

/// Every family a course can fill: from its ground and fleet, and from items of judgement.
pub fn families(course: &Course, reckoning: &Reckoning, bank: &[BankItem]) -> Vec<Family> {
    let mut all = making::families(&Scene { course, reckoning });
    all.retain(|family| !family.variants.is_empty());
    for item in bank {
        let id = format!("{}-{}-{}", item.topic.key(), item.level.key(), answer_kind(item));
        let variant = from_bank(item);
        match all.iter_mut().find(|family| family.id == id) {
            Some(family) => {
                family.variants.push(variant);
                family.most = family.variants.len();
            }
            None => all.push(Family {
                id,
                topic: item.topic,
                level: item.level,
                marks: item.marks(),
                most: 1,
                variants: vec![variant],
            }),
        }
    }
    all
}

fn answer_kind(item: &BankItem) -> &'static str {
    match item.answer {
        BankAnswer::Choice { .. } => "choice",
        BankAnswer::Order { .. } => "order",
        BankAnswer::Truth { .. } => "truth",
    }
}

fn from_bank(item: &BankItem) -> Variant {
    let option = |text: &str, why: &str, place: usize| Wrong {
        id: if place == 0 { String::new() } else { format!("{}-{place}", item.id) },
        text: text.to_owned(),
        value: 0.0,
        why: why.to_owned(),
        step: 0,
        careless: false,
    };
    let options = |wrong: &[crate::course::WrongChoice]| {
        (1..).zip(wrong).map(|(place, one)| option(&one.text, &one.why, place)).collect()
    };
    let stuff = match &item.answer {
        BankAnswer::Choice { right, wrong } => {
            Stuff::Choice { right: option(right, "", 0), wrong: options(wrong), sized: false }
        }
        BankAnswer::Order { steps, forced } => Stuff::Order { steps: steps.clone(), forced: forced.clone() },
        BankAnswer::Truth { holds, because, wrong } => {
            Stuff::Truth { holds: *holds, right: option(because, "", 0), wrong: options(wrong) }
        }
    };
    Variant {
        name: format!("bank/{}", item.id),
        ease: item.ease,
        outcome: item.outcome.clone(),
        ask: item.ask.clone(),
        data: Vec::new(),
        drawing: None,
        worked: None,
        told_steps: Vec::new(),
        feedback: item.feedback.clone(),
        source: item.source.clone(),
        stuff,
    }
}
