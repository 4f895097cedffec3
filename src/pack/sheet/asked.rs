//! What an instructor asks on a slope, answered from the worked examples.

use serde::Serialize;

use crate::course::{Ground, Slope, Vehicle};
use crate::formula::Worked;
use crate::lesson::Example;
use crate::pack::facts::Facts;
use crate::pack::sheet::descent::DescentRow;
use crate::page::words::{line_on_page, named};

/// A question to ask, with its answer.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Question {
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
    let slide = locked(facts, slope, lead);
    let limit = facts.example(Example::LimitSlopeTurning, slope_id, None).map(|worked| Question {
        ask: "How steep could this ground be before turning wheels no longer hold?".to_owned(),
        answer: format!("At the likely friction {}; at the low end less.", plain(worked)),
    });
    [pull, slide, limit].into_iter().flatten().collect()
}

/// The locked slide from half-way down at the limit, with the same metres on turning wheels beside it.
fn locked(facts: &Facts, slope: &Slope, lead: &Vehicle) -> Option<Question> {
    let example = |id| facts.example(id, Some(&slope.id), Some(&lead.id));
    let line = |worked: &Worked| line_on_page(&worked.answer().plain);
    let limit = facts.show.speed(facts.course.limits.descent_speed.si(), false).text();
    let (asked, locked) = if let Some(stop) = example(Example::LockedStop) {
        let exception = match facts.course.surface_of(slope).ground {
            Ground::Firm => "",
            Ground::Loose => {
                " That is the exception of loose ground; where it is firm or wet the same foot slides on."
            }
        };
        ("How far does it slide", format!("Straight ahead, without steering, {}.{exception}", line(stop)))
    } else {
        let runaway = example(Example::LockedRunaway)?;
        let grows = runaway.lines.first().is_some_and(|slowing| slowing.si < 0.0);
        let why = if grows {
            "Friction is less than the slope’s pull, so it gains speed"
        } else {
            "It is still sliding"
        };
        ("How fast is it at the end of the stretch", format!("{why}, without steering: {}.", line(runaway)))
    };
    let braked = example(Example::TurningStop)
        .map(|worked| format!(" Foot brake with the wheels just turning: {}; eased a little it steers.", line(worked)))
        .or_else(|| {
            let worked = example(Example::TurningGoesOn)?;
            Some(format!(" Foot brake with the wheels just turning does not stop it either, {}; eased a little it steers.", line(worked)))
        })
        .unwrap_or_default();
    let row = DescentRow::of(facts, slope, lead);
    let geared = row.gear.map_or_else(String::new, |gear| {
        format!(" In {gear} it is to be expected at {}, steering.", row.speed.text())
    });
    Some(Question {
        ask: format!(
            "At {limit} all wheels lock half-way down the steepest stretch. {asked}, at the low end of the grip?"
        ),
        answer: format!("{locked}{braked}{geared}"),
    })
}
