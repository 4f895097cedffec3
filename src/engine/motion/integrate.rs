//! Integration along the ground.

use crate::engine::root;

/// What grows along the ground: energy of motion, time, and where the energy went.
pub(crate) const SIZE: usize = 10;

/// A state, or its rate for each metre.
pub(crate) type State = [f64; SIZE];

/// Relative error allowed in the energy of motion in one step.
const TOLERANCE: f64 = 5e-7;

/// Shortest step, m: what it is wrong by is nothing.
const SHORTEST: f64 = 1e-9;

/// Coefficients of Dormand and Prince's fifth-order method with its fourth-order companion
/// (Journal of Computational and Applied Mathematics 6, 1980). Sums of a state's parts that the
/// rates keep constant stay constant, so the energy ledger closes whatever the step.
const STAGES: [[f64; 6]; 6] = [
    [1.0 / 5.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
    [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
    [19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0, 0.0, 0.0],
    [9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0, 0.0],
    [35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0],
];
const ERROR: [f64; 7] =
    [71.0 / 57600.0, 0.0, -71.0 / 16695.0, 71.0 / 1920.0, -17253.0 / 339_200.0, 22.0 / 525.0, -1.0 / 40.0];

/// One step: the rates at its places, each of which follows from the energy of motion alone.
struct Step {
    rates: [State; 6],
    length: f64,
    /// The energy of motion it ends with, J.
    motion: f64,
}

impl Step {
    /// From an energy of motion with the rates there.
    fn of(energy: f64, first: &State, length: f64, rate: &impl Fn(f64) -> State) -> Self {
        let (mut rates, mut motions) = ([*first; 6], [first[0]; 6]);
        let mut motion = energy;
        for (stage, weights) in STAGES.iter().enumerate() {
            let sum: f64 = weights[..=stage].iter().zip(&motions).map(|(weight, rate)| weight * rate).sum();
            motion = energy + length * sum;
            if let Some(next) = rates.get_mut(stage + 1) {
                *next = rate(motion);
                motions[stage + 1] = next[0];
            }
        }
        Self { rates, length, motion }
    }

    /// The estimated error of the energy of motion, with the rates at the end.
    fn error(&self, last: &State) -> f64 {
        let rates = self.rates.iter().chain([last]);
        let error: f64 = ERROR.iter().zip(rates).map(|(weight, rate)| weight * rate[0]).sum();
        self.length * error.abs()
    }

    /// The state it ends in.
    fn end(&self, y: &State) -> State {
        let mut sums: State = [0.0; SIZE];
        for (weight, rates) in STAGES[5].iter().zip(&self.rates) {
            for (sum, rate) in sums.iter_mut().zip(rates) {
                *sum += weight * rate;
            }
        }
        let mut end = *y;
        for (part, sum) in end.iter_mut().zip(sums) {
            *part += self.length * sum;
        }
        end
    }
}

/// Whether a sum falls that can only grow: one weight of the method is negative, and where something sets in
/// between its places, such as the brakes, a whole step would take it away. A shorter one does not.
fn falls(before: &State, after: &State) -> bool {
    before.iter().zip(after).skip(1).any(|(before, after)| after < before)
}

/// Where an integration ends early.
#[derive(Clone, Copy)]
pub(crate) enum Until {
    /// At the end of the stretch.
    End,
    /// When the energy of motion falls to this, J.
    FallsTo(f64),
    /// When the energy of motion rises to this, J.
    RisesTo(f64),
}

impl Until {
    /// How far past the stop an energy of motion is; negative before it.
    fn past(self, motion: f64) -> f64 {
        match self {
            Self::End => -1.0,
            Self::FallsTo(energy) => energy - motion,
            Self::RisesTo(energy) => motion - energy,
        }
    }
}

/// Follows the state over a length, showing every step's end and its place to `see`; returns the distance covered.
/// Where `see` says stop, it stops.
///
/// The rates depend on the energy of motion alone, not on the place: one call for each stretch. Only the energy of
/// motion may fall; every other part grows or stays.
pub(crate) fn along(
    y: &mut State,
    length: f64,
    until: Until,
    rate: impl Fn(f64) -> State,
    mut see: impl FnMut(&State, f64) -> bool,
) -> f64 {
    let mut place = 0.0;
    if until.past(y[0]) >= 0.0 {
        return place;
    }
    let mut first = rate(y[0]);
    // A quarter of the length over which the energy would change by itself, to begin with.
    let mut h = (0.25 * y[0] / first[0].abs().max(1e-9)).clamp(1e-4, length.max(1e-4));
    while place < length {
        let last = h >= length - place;
        let trial = if last { length - place } else { h };
        let step = Step::of(y[0], &first, trial, &rate);
        let last_rate = rate(step.motion);
        let error = step.error(&last_rate);
        let allowed = TOLERANCE * y[0].max(step.motion).max(1e-6);
        let shortest = trial <= SHORTEST;
        let rough = error > allowed || step.motion <= 0.0;
        let end = (shortest || !rough).then(|| step.end(y)).filter(|end| shortest || !falls(y, end));
        let Some(end) = end else {
            h = trial * (0.9 * libm::pow(allowed / error.max(allowed * 1e-9), 0.2)).clamp(0.1, 0.5);
            continue;
        };
        if until.past(end[0]) >= 0.0 {
            let part = root::rising(0.0, trial, |h| until.past(Step::of(y[0], &first, h, &rate).motion));
            let end = Step::of(y[0], &first, part, &rate).end(y);
            if falls(y, &end) && part > SHORTEST {
                h = 0.5 * part;
                continue;
            }
            *y = end;
            see(y, place + part);
            return place + part;
        }
        *y = end;
        first = last_rate;
        place = if last { length } else { place + trial };
        if see(y, place) {
            return place;
        }
        h = trial * (0.9 * libm::pow(allowed / error.max(1e-300), 0.2)).clamp(0.5, 5.0);
    }
    length
}

#[cfg(test)]
mod tests {
    use super::{SIZE, State, Step, Until, along};

    /// dE/ds = −2 E / (1 + E): solved by ln E + E = c − 2 s.
    fn rate(energy: f64) -> State {
        let mut out: State = [0.0; SIZE];
        out[0] = -2.0 * energy / (1.0 + energy);
        out
    }

    /// E(1) from E(0) = 2, by halving on the implicit solution.
    fn exact() -> f64 {
        let target = libm::log(2.0) + 2.0 - 2.0;
        super::root::rising(1e-6, 2.0, |e| libm::log(e) + e - target)
    }

    fn fixed(steps: u32) -> f64 {
        let mut y = [0.0; SIZE];
        y[0] = 2.0;
        for _ in 0..steps {
            y = Step::of(y[0], &rate(y[0]), 1.0 / f64::from(steps), &rate).end(&y);
        }
        (y[0] - exact()).abs()
    }

    #[test]
    fn halving_the_step_shows_the_fifth_order() {
        for steps in [4, 8, 16] {
            let order = libm::log2(fixed(steps) / fixed(2 * steps));
            assert!((4.6..5.6).contains(&order), "{steps} steps: order {order}");
        }
    }

    #[test]
    fn the_chosen_steps_keep_the_error_small_and_find_the_stop() {
        let mut y = [0.0; SIZE];
        y[0] = 2.0;
        let mut seen = 0;
        assert!(
            (along(&mut y, 1.0, Until::End, rate, |_, _| {
                seen += 1;
                false
            }) - 1.0)
                .abs()
                < 1e-15
        );
        assert!((y[0] - exact()).abs() < 1e-6, "{}", y[0] - exact());
        assert!(seen < 40, "{seen} steps");
        y[0] = 2.0;
        let place = along(&mut y, 1.0, Until::FallsTo(1.5), rate, |_, _| false);
        let expected = (libm::log(2.0) + 2.0 - libm::log(1.5) - 1.5) / 2.0;
        assert!((place - expected).abs() < 1e-6 && (y[0] - 1.5).abs() < 1e-12);
    }
}
