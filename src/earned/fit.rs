//! Scores that fit the runs best, and how sure they are.

use super::doubt::{self, Standing};
use super::key::{Key, Scores};
use super::model::Prepared;
use super::row::Row;
use super::score::{ALIKE, SPREAD, THERE};
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
/// So many of its own standard uncertainties a run may lie off before its surprise is not worked out.
const FAR: f64 = 25.0;
/// Most that one run counts there, so that a wrong one does not lead.
const COUNTS: f64 = 9.0;

/// What is known of a sum of scores.
#[derive(Clone, Copy, Debug)]
pub(super) struct Told {
    pub mean: f64,
    /// Standard deviation about the mean.
    pub spread: f64,
    /// The same to the low and to the high side: where a range is lopsided, or an engine held at idle no longer tells
    /// how much more it would take, they differ.
    pub sides: [f64; 2],
}

/// The scores, with what is needed to say how sure each is.
pub(super) struct Fit {
    pub keys: Vec<Key>,
    pub at: Vec<f64>,
    solved: Solved,
    /// The same with every run straightened to the low and to the high side.
    sides: [Solved; 2],
    pub standings: Vec<Standing>,
}

impl Fit {
    /// Of runs; those held at idle say nothing here.
    pub(super) fn of(runs: &[Prepared]) -> Self {
        let mut keys: Vec<Key> = runs.iter().flat_map(|run| run.keys.clone()).collect();
        keys.sort();
        keys.dedup();
        let held: Vec<bool> = runs.iter().map(doubt::is_held).collect();
        let mut at = begun(runs, &keys);
        let mut rows = straightened(runs, &keys, &at, None, |_| STEP);
        let (mut standings, mut solved) = doubt::judged(&rows, &held, keys.len());
        for _ in 0..ROUNDS {
            let moved =
                solved.numbers.iter().zip(&at).map(|(new, old)| (new - old).abs()).fold(0.0, f64::max);
            let share = (STRIDE / moved).min(1.0);
            at = at.iter().zip(&solved.numbers).map(|(old, new)| old + share * (new - old)).collect();
            if moved < STILL {
                break;
            }
            rows = straightened(runs, &keys, &at, Some(&rows), |_| STEP);
            (standings, solved) = doubt::judged(&rows, &held, keys.len());
        }
        let side = |sign: f64| {
            let reach =
                |place: usize| sign * (2.0 * solved.uncertainty(&unit(place, keys.len()))).clamp(STEP, 2.0);
            let rows = straightened(runs, &keys, &at, Some(&rows), reach);
            let used = rows.iter().zip(&standings).filter(|(_, standing)| **standing == Standing::Used);
            crate::earned::row::solved(&used.map(|(row, _)| row).collect::<Vec<_>>(), keys.len())
        };
        let sides = [side(-1.0), side(1.0)];
        Self { keys, at, solved, sides, standings }
    }

    /// A sum of keys, each with its share; a key that no run knows is 0 ± 1.
    pub(super) fn sum(&self, parts: &[(Key, f64)]) -> Told {
        let mut shares = vec![0.0; self.keys.len()];
        let mut apart = 0.0;
        for (key, share) in parts {
            match self.keys.binary_search(key) {
                Ok(place) => shares[place] += share,
                Err(_) => apart += share * share,
            }
        }
        let mean = shares.iter().zip(&self.at).map(|(share, at)| share * at).sum();
        let apart = libm::sqrt(apart);
        let spread = |solved: &Solved| libm::hypot(solved.uncertainty(&shares), apart);
        Told { mean, spread: spread(&self.solved), sides: self.sides.each_ref().map(spread) }
    }

    /// What a run is expected to give, and how that changes with each of its keys.
    fn expects(&self, run: &Prepared) -> (f64, Vec<(Key, f64)>) {
        let local: Vec<f64> = run.keys.iter().map(|key| self.sum(&[(key.clone(), 1.0)]).mean).collect();
        let (expected, slopes) = differentiated(run, &local, None, |_| STEP);
        (expected, run.keys.iter().cloned().zip(slopes).collect())
    }

    /// What a run is expected to give, SI.
    pub(super) fn expected_value(&self, run: &Prepared) -> f64 {
        run.unscaled(self.expects(run).0)
    }

    /// How far a run, that has no part in it, lies from what it lets expect, over the standard deviation of that.
    pub(super) fn surprise(&self, run: &Prepared) -> f64 {
        let local: Vec<f64> = run.keys.iter().map(|key| self.sum(&[(key.clone(), 1.0)]).mean).collect();
        let rough = run.expected(&Scores { keys: &run.keys, values: &local });
        if (run.read() - rough).abs() > FAR * run.unsure(rough) {
            return f64::INFINITY.copysign(run.read() - rough);
        }
        let (expected, parts) = self.expects(run);
        (run.read() - expected) / libm::hypot(run.unsure(expected), self.sum(&parts).spread)
    }

    /// How unsure a sum of keys would be after one more run like this, as a standard deviation.
    pub(super) fn after(&self, run: &Prepared, parts: &[(Key, f64)]) -> f64 {
        let (expected, told) = self.expects(run);
        let both: Vec<(Key, f64)> = parts.iter().cloned().chain(told.iter().cloned()).collect();
        let [before, spread, joint] = [parts, &told, &both].map(|parts| self.sum(parts).spread);
        // var(a + b) = var a + var b + 2 cov.
        let shared = (joint * joint - before * before - spread * spread) / 2.0;
        let unsure = run.unsure(expected);
        libm::sqrt((before * before - shared * shared / (spread * spread + unsure * unsure)).max(0.0))
    }
}

fn unit(place: usize, count: usize) -> Vec<f64> {
    (0..count).map(|other| if other == place { 1.0 } else { 0.0 }).collect()
}

/// Where the iteration begins: the drag of each vehicle that its runs like best, all else 0.
fn begun(runs: &[Prepared], keys: &[Key]) -> Vec<f64> {
    let mut at = vec![0.0; keys.len()];
    for (place, key) in keys.iter().enumerate() {
        let Key::DragAtIdle(vehicle) = key else { continue };
        let own: Vec<&Prepared> = runs
            .iter()
            .filter(|run| run.run.vehicle == *vehicle && !doubt::is_held(run) && run.drive.is_some())
            .collect();
        let beyond = keys.binary_search(&Key::DragBeyond(vehicle.clone())).unwrap_or(place);
        let misfit = |score: &f64| -> f64 {
            let values = [*score, beyond_for(*score)];
            let pair = [key.clone(), keys[beyond].clone()];
            let scores = Scores { keys: &pair, values: &values };
            let of = |run: &&Prepared| {
                let expected = run.expected(&scores);
                (run.read() - expected) / run.unsure(expected)
            };
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
    score * (1.0 - ALIKE) / libm::sqrt(1.0 - ALIKE * ALIKE)
}

/// Every run straightened about the scores, over a step of each key. What `before` told of errors in common is kept:
/// only figures are looked at again.
fn straightened(
    runs: &[Prepared],
    keys: &[Key],
    at: &[f64],
    before: Option<&[Row]>,
    step: impl Fn(usize) -> f64,
) -> Vec<Row> {
    let row = |(number, run): (usize, &Prepared)| {
        let places: Vec<usize> = run
            .keys
            .iter()
            .map(|key| keys.binary_search(key).expect("every key of a run is among them"))
            .collect();
        let local: Vec<f64> = places.iter().map(|place| at[*place]).collect();
        let known = before.map(|rows| &rows[number].own[..]);
        let (expected, own) = differentiated(run, &local, known, |place| step(places[place]));
        let unsure = run.unsure(expected);
        let mut slopes = vec![0.0; keys.len()];
        let mut told = 0.0;
        for ((place, slope), value) in places.iter().zip(&own).zip(&local) {
            slopes[*place] = slope / unsure;
            told += slope * value;
        }
        Row { slopes, reading: (run.read() - expected + told) / unsure, own }
    };
    runs.iter().enumerate().map(row).collect()
}

/// What is expected at scores, and how it changes with each over a step.
fn differentiated(
    run: &Prepared,
    local: &[f64],
    known: Option<&[f64]>,
    step: impl Fn(usize) -> f64,
) -> (f64, Vec<f64>) {
    let mut values = local.to_vec();
    let expected = run.expected(&Scores { keys: &run.keys, values: &values });
    let mut slopes = Vec::with_capacity(local.len());
    for (place, key) in run.keys.iter().enumerate() {
        // What the ground does there that day, it does as it would everywhere.
        if let Some(whole) = key.whole().and_then(|whole| run.keys.iter().position(|key| *key == whole)) {
            slopes.push(slopes[whole] * THERE / SPREAD);
        } else if matches!(key, Key::Shared(..)) {
            slopes.push(run.shared(expected));
        } else if let Some(known) = known.filter(|_| !key.is_figure()) {
            slopes.push(known[place]);
        } else {
            let by = step(place);
            values[place] = local[place] + by;
            slopes.push((run.expected(&Scores { keys: &run.keys, values: &values }) - expected) / by);
            values[place] = local[place];
        }
    }
    (expected, slopes)
}
