//! Items of judgement as questions.

use crate::course::{BankAnswer, BankItem, WrongChoice};
use crate::paper::item::{Stuff, Variant, Wrong};

/// How it is answered, in a word.
pub fn answer_kind(item: &BankItem) -> &'static str {
    match item.answer {
        BankAnswer::Choice { .. } => "choice",
        BankAnswer::Order { .. } => "order",
        BankAnswer::Truth { .. } => "truth",
    }
}

/// The question of an item.
pub fn from_bank(item: &BankItem) -> Variant {
    let option = |text: &str, why: &str, place: usize| Wrong {
        id: if place == 0 { String::new() } else { format!("{}-{place}", item.id) },
        text: text.to_owned(),
        value: 0.0,
        why: why.to_owned(),
        step: 0,
        careless: false,
    };
    let options = |wrong: &[WrongChoice]| {
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
        theme: item.theme,
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
