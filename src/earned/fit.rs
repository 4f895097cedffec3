//! Scores that fit the runs best, and how sure they are.

use super::doubt::{self, Standing};
use super::figures::{SPREAD, THERE};
use super::key::{Key, Scores};
use super::model::Prepared;
use crate::survey::Solved;

/// Most rounds of the iteration; a round that moves no score by more than `STILL` is the last.
const ROUNDS: usize = 8;
const STILL: f64 = 0.01;
/// Most that a round moves a score: beyond it the line is no good guide to the curve.
const STRIDE: f64 = 1.5;
/// The step over which the engine is differentiated, in scores.
const STEP: f64 = 0.3;
/// Scores of the drag that are tried first.
const TRIED: [f64; 7] = [0.0, -1.0, 1.0, -2.0, 2.0, -3.0, 3.0];
/// Most that one run counts there, so that a wrong one does not lead.
const COUNTS: f64 = 9.0;

/// A run, straightened about the scores so far: what it says of each score, over its own uncertainty.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// How it changes with each score.
    pub slopes: Vec<f64>,
    /// What it would be with all scores 0.
    pub reading: f64,
}

/// The scores, with what is needed to say how sure each is.
pub(super) struct Fit {
    pub keys: Vec<Key>,
    pub at: Vec<f64>,
    pub solved: Solved,
    pub standings: Vec<Standing>,
}

impl Fit {
    /// Of runs; those held at idle say nothing here.
    pub(super) fn of(runs: &[Prepared]) -> Self {
        let mut keys: Vec<Key> = runs.iter().flat_map(|run| run.keys.clone()).collect();
        keys.sort();
        keys.dedup();
        let mut at = begun(runs, &keys);
        let mut round = straightened(runs, keys, &at);
        for _ in 0..ROUNDS {
            let moved = round.at.iter().zip(&at).map(|(new, old)| (new - old).abs()).fold(0.0, f64::max);
            if moved < STILL {
                break;
            }
            let share = (STRIDE / moved).min(1.0);
            at = at.iter().zip(&round.at).map(|(old, new)| old + share * (new - old)).collect();
            round = straightened(runs, round.keys, &at);
        }
        round
    }

    /// The score of a sum of keys, each with its share, and its standard deviation; that of a key no run knows is 0 ± 1.
    pub(super) fn sum(&self, parts: &[(Key, f64)]) -> (f64, f64) {
        let mut shares = vec![0.0; self.keys.len()];
        let mut apart = 0.0;
        for (key, share) in parts {
            match self.keys.binary_search(key) {
                Ok(place) => shares[place] += share,
                Err(_) => apart += share * share,
            }
        }
        let mean = shares.iter().zip(&self.at).map(|(share, at)| share * at).sum();
        (mean, libm::hypot(self.solved.uncertainty(&shares), libm::sqrt(apart)))
    }

    /// How far a run, that has no part in it, lies from what it lets expect, over the standard deviation of that.
    pub(super) fn surprise(&self, run: &Prepared) -> f64 {
        let local: Vec<f64> = run.keys.iter().map(|key| self.sum(&[(key.clone(), 1.0)]).0).collect();
        let (expected, slopes) = differentiated(run, &local);
        let parts: Vec<(Key, f64)> = run.keys.iter().cloned().zip(slopes).collect();
        let (_, spread) = self.sum(&parts);
        (run.read() - expected) / libm::hypot(run.unsure(), spread)
    }

    /// The scores with one more run like this: how much less sure each sum of keys would be left, as a standard deviation.
    pub(super) fn after(&self, run: &Prepared, parts: &[(Key, f64)]) -> f64 {
        let local: Vec<f64> = run.keys.iter().map(|key| self.sum(&[(key.clone(), 1.0)]).0).collect();
        let (_, slopes) = differentiated(run, &local);
        let told: Vec<(Key, f64)> = run.keys.iter().cloned().zip(slopes).collect();
        let both: Vec<(Key, f64)> = parts.iter().cloned().chain(told.iter().cloned()).collect();
        let (before, spread, joint) = (self.sum(parts).1, self.sum(&told).1, self.sum(&both).1);
        // var(a + b) = var a + var b + 2 cov.
        let shared = (joint * joint - before * before - spread * spread) / 2.0;
        let whole = spread * spread + run.unsure() * run.unsure();
        libm::sqrt((before * before - shared * shared / whole).max(0.0))
    }
}

/// Where the iteration begins: the drag of each vehicle that its runs like best, all else 0.
fn begun(runs: &[Prepared], keys: &[Key]) -> Vec<f64> {
    let mut at = vec![0.0; keys.len()];
    for (place, key) in keys.iter().enumerate() {
        let Key::DragAtIdle(vehicle) = key else { continue };
        let own: Vec<&Prepared> =
            runs.iter().filter(|run| run.run.vehicle == *vehicle && !doubt::is_held(run) && run.drive.is_some()).collect();
        let beyond = keys.binary_search(&Key::DragBeyond(vehicle.clone())).unwrap_or(place);
        let misfit = |score: &f64| -> f64 {
            let values = [*score, beyond_for(*score)];
            let pair = [key.clone(), keys[beyond].clone()];
            let scores = Scores { keys: &pair, values: &values };
            let of = |run: &&Prepared| (run.read() - run.expected(&scores)) / run.unsure();
            own.iter().map(|run| (of(run) * of(run)).min(COUNTS)).sum::<f64>() + score * score
        };
        let tried = TRIED.iter().map(|score| (misfit(score), *score));
        let best = tried.min_by(|a, b| a.0.total_cmp(&b.0)).map_or(0.0, |(_, score)| score);
        at[place] = best;
        at[beyond] = beyond_for(best);
    }
    at
}

/// What the second score of a drag is where it lies as high at the highest speed as at idle.
fn beyond_for(score: f64) -> f64 {
    let alike = super::figures::ALIKE;
    score * (1.0 - alike) / libm::sqrt(1.0 - alike * alike)
}

/// A round: every run straightened about the scores, doubtful ones laid aside, and the scores that fit the rest.
fn straightened(runs: &[Prepared], keys: Vec<Key>, at: &[f64]) -> Fit {
    let rows: Vec<Row> = runs.iter().map(|run| row(run, &keys, at)).collect();
    let held: Vec<bool> = runs.iter().map(doubt::is_held).collect();
    let (standings, solved) = doubt::judged(&rows, &held, keys.len());
    Fit { at: solved.numbers.clone(), keys, solved, standings }
}

fn row(run: &Prepared, keys: &[Key], at: &[f64]) -> Row {
    let places: Vec<usize> =
        run.keys.iter().map(|key| keys.binary_search(key).expect("every key of a run is among them")).collect();
    let local: Vec<f64> = places.iter().map(|place| at[*place]).collect();
    let (expected, own) = differentiated(run, &local);
    let unsure = run.unsure();
    let mut slopes = vec![0.0; keys.len()];
    let mut told = 0.0;
    for ((place, slope), value) in places.iter().zip(&own).zip(&local) {
        slopes[*place] = slope / unsure;
        told += slope * value;
    }
    Row { slopes, reading: (run.read() - expected + told) / unsure }
}

/// What is expected at scores, and how it changes with each.
fn differentiated(run: &Prepared, local: &[f64]) -> (f64, Vec<f64>) {
    let mut values = local.to_vec();
    let expected = run.expected(&Scores { keys: &run.keys, values: &values });
    let mut slopes = Vec::with_capacity(local.len());
    for (place, key) in run.keys.iter().enumerate() {
        // What the ground does there that day, it does as it would everywhere.
        if let Some(whole) = key.whole().and_then(|whole| run.keys.iter().position(|key| *key == whole)) {
            slopes.push(slopes[whole] * THERE / SPREAD);
            continue;
        }
        if matches!(key, Key::Shared(..)) {
            slopes.push(run.shared());
            continue;
        }
        values[place] = local[place] + STEP;
        slopes.push((run.expected(&Scores { keys: &run.keys, values: &values }) - expected) / STEP);
        values[place] = local[place];
    }
    (expected, slopes)
}

/// The scores that fit these rows best, all scores 0 ± 1 before.
pub(super) fn solved(rows: &[&Row], count: usize) -> Solved {
    let column = |place: usize| -> Vec<f64> {
        let prior = (0..count).map(|other| if other == place { 1.0 } else { 0.0 });
        rows.iter().map(|row| row.slopes[place]).chain(prior).collect()
    };
    let columns = (0..count).map(column).collect();
    let readings = rows.iter().map(|row| row.reading).chain((0..count).map(|_| 0.0)).collect();
    Solved::of(columns, readings).expect("with a prior of its own no score is made up of others")
}
