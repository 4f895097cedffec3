//! Questions to ask aloud: the same for every candidate of a sitting, none of them on its papers.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::course::{Level, Topic};
use crate::paper::family::Family;
use crate::paper::form::Form;
use crate::paper::item::{Stuff, Variant};
use crate::paper::lot::Lot;

/// The stream of the seed that these are drawn from; forms take theirs from 1 up.
const STREAM: u64 = u64::MAX;

/// What is asked about beside a slope, in this order: what a driver decides there.
const TOPICS: [Topic; 6] =
    [Topic::Gearing, Topic::Grip, Topic::Stability, Topic::SiteSafety, Topic::Signals, Topic::VehicleChecks];

/// A question to ask aloud.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Oral {
    /// In these words.
    pub ask: String,
    /// What the answer must come to.
    pub right: String,
    /// What it is told with afterwards.
    pub feedback: String,
}

/// One question of each topic, none that a form asks; fewer where the items do not reach.
pub fn oral(families: &[Family], forms: &[Form], seed: u64) -> Vec<Oral> {
    let printed: BTreeSet<&str> =
        forms.iter().flat_map(|form| &form.questions).map(|one| one.variant.task()).collect();
    let mut lot = Lot::new(seed, STREAM);
    let drawn = TOPICS.into_iter().filter_map(|topic| {
        let of_topic =
            families.iter().filter(|family| family.topic == topic && family.level == Level::Decide);
        let mut ready: Vec<Oral> = of_topic
            .flat_map(|family| &family.variants)
            .filter(|variant| !printed.contains(variant.task()))
            .filter_map(asked)
            .collect();
        lot.shuffle(&mut ready);
        ready.pop()
    });
    drawn.collect()
}

/// An item that can be asked without its options; none where they, or figures, belong to the question.
fn asked(variant: &Variant) -> Option<Oral> {
    let Stuff::Choice { right, sized: false, .. } = &variant.stuff else { return None };
    let plain = variant.name.starts_with("bank/") && variant.data.is_empty() && variant.drawing.is_none();
    let opens = !variant.ask.starts_with("Which") && !variant.ask.contains("which of");
    (plain && opens).then(|| Oral {
        ask: variant.ask.clone(),
        right: right.text.clone(),
        feedback: variant.feedback.clone(),
    })
}
