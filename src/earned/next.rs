//! Which one more run would settle most: asked of the engine.

mod drag;
mod ground;

use super::fit::Fit;
use super::model::{self, Prepared};
use crate::course::{Course, Gear};
use crate::engine::{Case, Pair};

/// A run that leaves more than this of the doubt is not worth an afternoon.
const WORTH: f64 = 0.95;

/// A run to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Next {
    /// The vehicle's identifier.
    pub vehicle: String,
    /// What to measure.
    pub measure: Ask,
    /// Verdicts that differ, in mark or gear, between the low and the high end of what is known: slope and vehicle, by
    /// their identifiers.
    pub decides: Vec<(String, String)>,
    /// What is left of the uncertainty of the figure after it, as a part of what it is.
    pub leaves: f64,
}

/// What to measure.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// Seconds between pegs in gear, which tells of the engine's drag.
    Time {
        /// The slope's identifier.
        slope: String,
        /// The gear.
        gear: Gear,
    },
    /// How far it slides on level ground of a surface, by its identifier, with its wheels locked at 20 km/h.
    Slide(String),
    /// How far it rolls out there in neutral from 15 km/h.
    Coast(String),
}

/// The run that would settle most verdicts of a course whose figures are narrowed; none where no verdict hangs on what a
/// run tells of.
pub fn next(course: &Course) -> Option<Next> {
    let before = model::with_every_surface(course.before_runs());
    let runs: Vec<Prepared> =
        before.runs.list.iter().map(|run| Prepared::of(&before, run, Case::Likely)).collect();
    let fit = Fit::of(&runs);
    let known = Known { course, before: &before, fit: &fit };
    let drags = course.vehicles.iter().filter_map(|vehicle| drag::run(&known, vehicle));
    let grounds = course.surfaces.iter().flat_map(|surface| ground::runs(&known, surface));
    let found = drags.chain(grounds).filter(|one| one.leaves < WORTH);
    found.reduce(|best, other| {
        let better = (other.decides.len(), best.leaves) > (best.decides.len(), other.leaves);
        if better { other } else { best }
    })
}

/// What is known before the run.
struct Known<'a> {
    /// The course with its figures narrowed.
    course: &'a Course,
    /// The same before its runs.
    before: &'a Course,
    fit: &'a Fit,
}

/// Slope and vehicle of pairs that differ in mark or gear.
fn differing(low: &[Pair], high: &[Pair]) -> Vec<(String, String)> {
    let told = |pair: &Pair| (pair.judged.mark, pair.judged.gear.map(|gear| gear.to_string()));
    let differ = low.iter().zip(high).filter(|(low, high)| told(low) != told(high));
    differ.map(|(low, _)| (low.slope.clone(), low.vehicle.clone())).collect()
}
