//! Items of judgement as questions.

use crate::course::{BankAnswer, BankItem, WrongChoice};
use crate::paper::item::{Stuff, TURNED, Variant, Wrong};

/// How it is answered, in a word.
pub(crate) fn answer_kind(item: &BankItem) -> &'static str {
    match item.answer {
        BankAnswer::Choice { .. } => "choice",
        BankAnswer::Order { .. } => "order",
        BankAnswer::Truth { .. } => "truth",
    }
}

/// The questions of an item: a claim that can be put the other way round is two.
pub(crate) fn from_bank(item: &BankItem) -> Vec<Variant> {
    let asked = question(item);
    let BankAnswer::Truth { holds, turned: Some(turned), .. } = &item.answer else { return vec![asked] };
    let mut other = Variant { name: format!("{}{TURNED}", asked.name), ask: turned.clone(), ..asked.clone() };
    if let Stuff::Truth { holds: of_other, .. } = &mut other.stuff {
        *of_other = !holds;
    }
    vec![asked, other]
}

fn question(item: &BankItem) -> Variant {
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
        BankAnswer::Truth { holds, because, wrong, .. } => {
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
        works_out: Vec::new(),
        one_of: item.one_of.clone(),
        worked: None,
        told_steps: Vec::new(),
        feedback: item.feedback.clone(),
        source: item.source.clone(),
        stuff,
    }
}
