//! Runs that do not fit: laid aside and shown, never averaged away.

use super::model::Prepared;
use super::row::{Row, solved};
use crate::survey::Solved;

/// A run that lies further than this from what all others let expect, in standard deviations of that, is not used:
/// 99 of 100 right ones lie within.
pub const LIMIT: f64 = 2.576;
/// A score beyond this contradicts its range, however well the runs agree among themselves.
const BEYOND: f64 = 3.0;
/// Two runs of which either could be the wrong one differ by no more than this in squared surprise.
const EITHER: f64 = 4.0;
/// Up to this multiple of the creep speed the governor may still help (1.1 times idle in D1).
const OVER_IDLE: f64 = 1.1;

/// What became of a run.
#[derive(Clone, Debug, PartialEq)]
pub enum Standing {
    /// It counts.
    Used,
    /// Held at idle: it says only that the drag is no less.
    Bound,
    /// It does not fit: so many standard deviations from what the others let expect.
    Contradicts(f64),
    /// It and another, by its place, contradict one another, and nothing says which is wrong.
    OneOfTwo(usize),
    /// It agrees with others of its kind that together contradict what is published or written.
    AgainstTheRange,
}

impl Standing {
    /// Whether figures take it into account.
    pub fn counts(&self) -> bool {
        matches!(self, Self::Used | Self::Bound)
    }
}

/// Whether a run was at idle, where the governor holds the speed.
pub(super) fn is_held(run: &Prepared) -> bool {
    run.over_creep().is_some_and(|share| share <= OVER_IDLE.max(1.0 + LIMIT * run.unsure_of_creep()))
}

/// Lays doubtful runs aside, one by one, the most surprising first, and takes back what then fits.
pub(super) fn judged(rows: &[Row], held: &[bool], count: usize) -> (Vec<Standing>, Solved) {
    let of = |held: &bool| if *held { Standing::Bound } else { Standing::Used };
    let mut state = Judging { rows, count, standings: held.iter().map(of).collect() };
    let mut now = state.solve();
    while let Some(next) = state.lay_aside(&now) {
        now = next;
    }
    for _ in 0..rows.len() {
        let Some(next) = state.take_back(&now) else { break };
        now = next;
    }
    while let Some(next) = state.against(&now) {
        now = next;
    }
    (state.standings, now)
}

struct Judging<'a> {
    rows: &'a [Row],
    count: usize,
    standings: Vec<Standing>,
}

impl Judging<'_> {
    fn solve(&self) -> Solved {
        let used = self.rows.iter().zip(&self.standings).filter(|(_, standing)| **standing == Standing::Used);
        let rows: Vec<&Row> = used.map(|(row, _)| row).collect();
        solved(&rows, self.count)
    }

    /// Surprise of a run given all others: exact for straight runs (leverage).
    fn surprise(&self, now: &Solved, place: usize) -> f64 {
        let row = &self.rows[place];
        let expected: f64 = row.slopes.iter().zip(&now.numbers).map(|(slope, at)| slope * at).sum();
        let leverage = now.uncertainty(&row.slopes);
        let square = leverage * leverage;
        let rest = row.reading - expected;
        if self.standings[place] == Standing::Used {
            rest / libm::sqrt((1.0 - square).max(1e-9))
        } else {
            rest / libm::sqrt(1.0 + square)
        }
    }

    fn used(&self) -> impl Iterator<Item = usize> {
        (0..self.rows.len()).filter(|place| self.standings[*place] == Standing::Used)
    }

    /// Lays the most surprising run aside, and its rival where either could be the wrong one.
    fn lay_aside(&mut self, now: &Solved) -> Option<Solved> {
        let seen: Vec<(usize, f64)> = self.used().map(|place| (place, self.surprise(now, place))).collect();
        let (worst, by) = *seen.iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
        if by.abs() <= LIMIT {
            return None;
        }
        let near = |other: &&(usize, f64)| {
            other.0 != worst && other.1.abs() > LIMIT && by * by - other.1 * other.1 < EITHER
        };
        let rival =
            seen.iter().filter(near).max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())).map(|(place, _)| *place);
        self.standings[worst] = Standing::Contradicts(by);
        let without = self.solve();
        // With one of them gone the other may fit badly still, or well; well, and nothing says which is wrong.
        if let Some(rival) = rival.filter(|rival| self.surprise(&without, *rival).abs() <= LIMIT) {
            self.standings[rival] = Standing::OneOfTwo(worst);
            self.standings[worst] = Standing::Used;
            let other_way = self.solve();
            if self.surprise(&other_way, worst).abs() <= LIMIT {
                self.standings[worst] = Standing::OneOfTwo(rival);
                return Some(self.solve());
            }
            (self.standings[worst], self.standings[rival]) = (Standing::Contradicts(by), Standing::Used);
        }
        Some(without)
    }

    /// Takes the least surprising of the runs that were laid aside back, where it fits after all.
    fn take_back(&mut self, now: &Solved) -> Option<Solved> {
        let aside =
            (0..self.rows.len()).filter(|place| matches!(self.standings[*place], Standing::Contradicts(_)));
        let seen: Vec<(usize, f64)> = aside.map(|place| (place, self.surprise(now, place))).collect();
        for (place, by) in &seen {
            self.standings[*place] = Standing::Contradicts(*by);
        }
        let (best, by) = seen.into_iter().min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
        if by.abs() > 0.9 * LIMIT {
            return None;
        }
        self.standings[best] = Standing::Used;
        Some(self.solve())
    }

    /// Lays aside all runs that drive a score further from its range than is possible.
    fn against(&mut self, now: &Solved) -> Option<Solved> {
        let far = now.numbers.iter().enumerate().filter(|(_, score)| score.abs() > BEYOND);
        let (key, _) = far.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
        let drives: Vec<usize> =
            self.used().filter(|place| self.rows[*place].slopes[key].abs() > 0.5).collect();
        if drives.is_empty() {
            return None;
        }
        for place in drives {
            self.standings[place] = Standing::AgainstTheRange;
        }
        Some(self.solve())
    }
}
