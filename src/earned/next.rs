//! Which one more run would settle most: asked of the engine.

use super::doubt::is_held;
use super::figures::{at_highest, at_idle, drag_at_idle, scores};
use super::fit::Fit;
use super::held::bound;
use super::key::Key;
use super::model::{self, Prepared};
use super::score::SURE;
use crate::course::{Course, DragEarned, Gear, MeasuredRun, Meter, RunGround, Seen, Slope, Vehicle};
use crate::engine::{Case, Mark, Pair, pairs_where};
use crate::quantity::{Length, Time};

/// Shortest way between pegs that is worth timing, m.
const LEAST: f64 = 8.0;
/// Longest that is asked for, m.
const MOST: f64 = 30.0;

/// A run to time.
#[derive(Clone, Debug, PartialEq)]
pub struct Next {
    /// The vehicle's identifier.
    pub vehicle: String,
    /// The slope's identifier.
    pub slope: String,
    /// The gear.
    pub gear: Gear,
    /// Slopes, by their identifiers, on which mark or gear differ between the low and the high end of what is known of
    /// the drag.
    pub decides: Vec<String>,
    /// What is left of the uncertainty of the drag at idle after it, as a part of what it is.
    pub leaves: f64,
}

/// The run that would settle most verdicts of a course whose figures are narrowed; none where no verdict hangs on the
/// drag of an engine, or no run that the pack allows tells of it.
pub fn next(course: &Course) -> Option<Next> {
    let before = model::with_every_surface(course.before_runs());
    let runs: Vec<Prepared> =
        before.runs.list.iter().map(|run| Prepared::of(&before, run, Case::Likely)).collect();
    let fit = Fit::of(&runs);
    let of = |vehicle: &Vehicle| {
        let decides = decides(course, vehicle);
        (!decides.is_empty()).then(|| best_run(course, &before, vehicle, &fit, &decides)).flatten()
    };
    let found = course.vehicles.iter().filter_map(of);
    found.reduce(|best, other| {
        let better = (other.decides.len(), best.leaves) > (best.decides.len(), other.leaves);
        if better { other } else { best }
    })
}

/// Slopes on which the verdict of a vehicle differs between the ends of its drag.
fn decides(course: &Course, vehicle: &Vehicle) -> Vec<String> {
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
    let differ = |(low, high): (&Pair, &Pair)| {
        (low.judged.mark, low.judged.gear.map(|gear| gear.to_string()))
            != (high.judged.mark, high.judged.gear.map(|gear| gear.to_string()))
    };
    let (low, high) = (at(0), at(2));
    low.iter().zip(&high).filter(|pair| differ(*pair)).map(|(low, _)| low.slope.clone()).collect()
}

/// The run in gear that leaves least doubt, among those that the pack lets be driven with feet off.
fn best_run(
    course: &Course,
    before: &Course,
    vehicle: &Vehicle,
    fit: &Fit,
    decides: &[String],
) -> Option<Next> {
    let mut best: Option<Next> = None;
    for slope in course.slopes.iter().filter(|slope| slope.survey.is_some()) {
        let pairs = pairs_where(course, |one, other| one.id == slope.id && other.id == vehicle.id);
        let allowed = pairs.iter().filter(|pair| pair.judged.mark.goes()).flat_map(|pair| &pair.judged.gears);
        for (gear, _) in allowed.filter(|(_, mark)| matches!(mark, Mark::Within | Mark::Near)) {
            let Some(leaves) = leaves(before, vehicle, slope, *gear, fit) else { continue };
            if best.as_ref().is_none_or(|best| leaves < best.leaves) {
                let (vehicle, slope) = (vehicle.id.clone(), slope.id.clone());
                best = Some(Next { vehicle, slope, gear: *gear, decides: decides.to_vec(), leaves });
            }
        }
    }
    best.filter(|best| best.leaves < 0.95)
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
