//! What holds on a slope besides its limits: the same words on its card, in the notes and in the briefing.

use crate::course::{Course, Slope};
use crate::engine::leans;

/// What holds besides the limits, which stand large beside it.
///
/// `rolls_out`: who loses contact rolls on, since it may not stop there.
pub(super) fn rules(course: &Course, slope: &Slope, rolls_out: bool) -> Vec<String> {
    let mut rules = if leans(slope) {
        let but = if slope.has_water() { " but whoever holds the throw line" } else { "" };
        vec![format!("One vehicle on it, nobody below{but}; spotters above")]
    } else {
        vec!["One vehicle on it, nobody below; spotters to the side".to_owned()]
    };
    rules.push(if rolls_out {
        "STOP: brake gently; contact lost or no stand: roll out".to_owned()
    } else {
        "STOP, contact lost: brake gently, else roll out".to_owned()
    });
    rules.push("Never the parking brake alone".to_owned());
    // Without a rota the card names who sits there.
    if slope.instructor_beside && course.rota.is_some() {
        rules.push("An instructor beside every learner".to_owned());
    }
    rules.extend(own_rules(slope));
    rules
}

pub(super) fn own_rules(slope: &Slope) -> impl Iterator<Item = String> + '_ {
    slope.rules.iter().map(|rule| rule.short().trim_end_matches('.').to_owned())
}
