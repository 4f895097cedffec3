//! What an instructor asks on a slope, answered from the worked examples.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::formula::Worked;
use crate::lesson::Example;
use crate::pack::facts::Facts;
use crate::pack::sheet::descent::slides_on;
use crate::page::words::{line_on_page, named};

/// A question to ask, with its answer.
#[derive(Clone, Debug, Serialize)]
pub struct Question {
    pub ask: String,
    pub answer: String,
}

/// The questions of a slope, about the vehicle that shows it.
pub(super) fn questions(facts: &Facts, slope: &Slope, lead: &Vehicle) -> Vec<Question> {
    let (slope_id, vehicle_id) = (Some(slope.id.as_str()), Some(lead.id.as_str()));
    let plain = |worked: &Worked| line_on_page(&worked.answer().plain);
    let pull = facts.example(Example::ForceDown, slope_id, vehicle_id).map(|worked| Question {
        ask: format!("What pulls {}, down the steepest stretch?", named(facts.course, lead)),
        answer: format!("{}.", plain(worked)),
    });
    let stop = facts.example(Example::LockedStop, slope_id, vehicle_id).map(|worked| Question {
        ask: "All wheels lock at the brow. How far does it slide, at the likely friction?".to_owned(),
        answer: format!(
            "{}. The mass does not matter; steering is gone all the way.{}",
            plain(worked),
            if slides_on(facts.course, slope) {
                " At the low end of the grip it does not stop here."
            } else {
                ""
            }
        ),
    });
    let runaway = facts.example(Example::LockedRunaway, slope_id, vehicle_id).map(|worked| Question {
        ask: "All wheels lock at the brow. Why does it not stop, and how fast is it after the first stretch?"
            .to_owned(),
        answer: format!("Friction is less than the slope’s tangent, so it gains speed: {}.", plain(worked)),
    });
    let limit = facts.example(Example::LimitSlopeTurning, slope_id, None).map(|worked| Question {
        ask: "How steep could this ground be before turning wheels no longer hold?".to_owned(),
        answer: format!("At the likely friction {}; at the low end less.", plain(worked)),
    });
    [pull, stop, runaway, limit].into_iter().flatten().collect()
}
