//! Runs held at idle: the engine takes no less than what held them; how much more, the governor hides.

use super::doubt::{LIMIT, Standing, is_held};
use super::figures::{drag_at_idle, scores};
use super::fit::Fit;
use super::key::Scores;
use super::model::Prepared;
use super::score::SURE;
use crate::survey::factor;

/// Half of the step over which what holds is differentiated, in scores.
const STEP: f64 = 0.5;
/// Highest score that is looked for.
const MOST: f64 = 6.0;

/// The least score of the drag at idle that each run proves; none of a run that proves nothing.
///
/// What held the vehicle is taken at its low end, with slope, mass, ground, tyre and losses as unsure as they are; of
/// several runs so that all bounds hold together.
pub(super) fn bounds(runs: &[Prepared], fit: &Fit) -> Vec<Option<f64>> {
    let counted =
        runs.iter().zip(&fit.standings).filter(|(_, standing)| **standing == Standing::Bound).count();
    let sure = factor(counted, None).max(SURE);
    let of = |(run, standing): (&Prepared, &Standing)| {
        (*standing == Standing::Bound && !is_too_slow(run)).then(|| bound(run, sure)).flatten()
    };
    runs.iter().zip(&fit.standings).map(of).collect()
}

/// The least score of the drag at idle that a run held at idle proves.
pub(super) fn bound(run: &Prepared, sure: f64) -> Option<f64> {
    let mut values = vec![0.0; run.keys.len()];
    let needed = |values: &[f64]| run.needed(&Scores { keys: &run.keys, values });
    let likely = needed(&values)?;
    let mut square = 0.0;
    for place in 0..values.len() {
        let mut beside = |by: f64| {
            values[place] = by;
            let found = needed(&values);
            values[place] = 0.0;
            found
        };
        let slope = (beside(STEP)? - beside(-STEP)?) / (2.0 * STEP);
        square += slope * slope;
    }
    let least = likely - sure * libm::sqrt(square);
    let spin = run.held_spin();
    // The published range rises with its score: the score of the bound lies where it passes it.
    let (mut low, mut high) = (-MOST, MOST);
    if run.torque(low, spin) >= least {
        return None;
    }
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if run.torque(middle, spin) < least { low = middle } else { high = middle }
    }
    Some(low)
}

/// Whether a run was slower than its gear lets it be.
fn is_too_slow(run: &Prepared) -> bool {
    is_held(run) && slow_by(run) < -LIMIT
}

/// By how much a run was slower than its creep speed, in standard deviations.
fn slow_by(run: &Prepared) -> f64 {
    run.over_creep().map_or(0.0, |share| (share - 1.0) / run.unsure_of_creep())
}

/// What became of each run, those held at idle among them: one contradicts where it was too slow, or where its bound
/// lies above all that the other runs let expect.
pub(super) fn standings(runs: &[Prepared], fit: &Fit, bounds: &[Option<f64>]) -> Vec<Standing> {
    let of = |((run, standing), bound): ((&Prepared, &Standing), &Option<f64>)| {
        if *standing != Standing::Bound {
            return standing.clone();
        }
        if is_too_slow(run) {
            return Standing::Contradicts(slow_by(run));
        }
        let known = drag_at_idle(fit, &run.run.vehicle);
        match bound {
            Some(bound) if *bound > scores(known)[2] => {
                Standing::Contradicts((bound - known.mean) / known.sides[1])
            }
            _ => Standing::Bound,
        }
    };
    runs.iter().zip(&fit.standings).zip(bounds).map(of).collect()
}
