//! A run in gear, which tells of the drag of an engine.

use super::{Ask, Known, Next, differing};
use crate::course::{Course, DragEarned, Gear, MeasuredRun, Meter, RunGround, Seen, Slope, Vehicle};
use crate::earned::doubt::is_held;
use crate::earned::figures::{at_highest, at_idle, drag_at_idle, scores};
use crate::earned::fit::Fit;
use crate::earned::held::bound;
use crate::earned::key::Key;
use crate::earned::model::Prepared;
use crate::earned::score::SURE;
use crate::engine::{Case, Mark, Pair, pairs_where};
use crate::quantity::{Length, Time};

/// Shortest way between pegs that is worth timing, m.
const LEAST: f64 = 8.0;
/// Longest that is asked for, m.
const MOST: f64 = 30.0;

/// Pairs of a vehicle whose verdict differs between the ends of its drag.
fn decides(course: &Course, vehicle: &Vehicle) -> Vec<(String, String)> {
    let at = |end: usize| -> Vec<Pair> {
        let mut course = course.clone();
        for one in course.vehicles.iter_mut().filter(|one| one.id == vehicle.id) {
            let usual = DragEarned { at_idle: [-2.0, 0.0, 2.0], at_highest: [-2.0, 0.0, 2.0] };
            let known = one.engine.earned.unwrap_or(usual);
            one.engine.earned =
                Some(DragEarned { at_idle: [known.at_idle[end]; 3], at_highest: [known.at_highest[end]; 3] });
        }
        pairs_where(&course, |_, one| one.id == vehicle.id)
    };
    differing(&at(0), &at(2))
}

/// The run in gear that leaves least doubt, among those that the pack lets be driven with feet off; none where no verdict
/// hangs on the drag.
pub(super) fn run(known: &Known, vehicle: &Vehicle) -> Option<Next> {
    let decides = decides(known.course, vehicle);
    if decides.is_empty() {
        return None;
    }
    let mut best: Option<Next> = None;
    for slope in known.course.slopes.iter().filter(|slope| slope.survey.is_some()) {
        let pairs = pairs_where(known.course, |one, other| one.id == slope.id && other.id == vehicle.id);
        let allowed = pairs.iter().filter(|pair| pair.judged.mark.goes()).flat_map(|pair| &pair.judged.gears);
        for (gear, _) in allowed.filter(|(_, mark)| matches!(mark, Mark::Within | Mark::Near)) {
            let Some(leaves) = leaves(known.before, vehicle, slope, *gear, known.fit) else { continue };
            if best.as_ref().is_none_or(|best| leaves < best.leaves) {
                let measure = Ask::Time { slope: slope.id.clone(), gear: *gear };
                best = Some(Next { vehicle: vehicle.id.clone(), measure, decides: decides.clone(), leaves });
            }
        }
    }
    best
}

/// What a run leaves of the uncertainty of the drag, at idle or at the highest speed, whichever it lessens more; none
/// where the slope is too short. One that the engine is to hold at idle cuts the range from below.
fn leaves(before: &Course, vehicle: &Vehicle, slope: &Slope, gear: Gear, fit: &Fit) -> Option<f64> {
    let length = slope.length().si();
    let between = (length / 2.0).min(MOST);
    if between < LEAST {
        return None;
    }
    let mut run = MeasuredRun {
        number: 0,
        date: before.runs.list.iter().map(|run| run.date).max().unwrap_or_default(),
        vehicle: vehicle.id.clone(),
        seen: Seen::Timed {
            ground: RunGround { slope: Some(slope.id.clone()), surface: slope.surface.clone() },
            gear,
            from: Length::new(length - between),
            between: Length::new(between),
            // A walk, until it is known what to expect.
            time: Time::new(between / 2.0),
        },
        meter: Meter::named("watch")?,
        sure: None,
    };
    let expected = fit.expected_value(&Prepared::of(before, &run, Case::Likely));
    if let Seen::Timed { time, .. } = &mut run.seen {
        *time = Time::new(expected);
    }
    let prepared = Prepared::of(before, &run, Case::Likely);
    if is_held(&prepared) {
        let [low, _, high] = scores(drag_at_idle(fit, &vehicle.id));
        let least = bound(&prepared, SURE)?;
        return Some((high - least.clamp(low, high)) / (high - low));
    }
    let part = |keys: Vec<(Key, f64)>| fit.after(&prepared, &keys) / fit.sum(&keys).spread;
    Some(part(at_idle(&vehicle.id)).min(part(at_highest(&vehicle.id))))
}
