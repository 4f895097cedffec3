//! From heights read close together to stretches: a bent line laid through the points.
//!
//! The line is continuous and straight between its bends. For given bends it is the one of least weighted squares;
//! bends are tried on a grid and then refined; there are as many as the criterion of [`super::criterion_of`] asks for.

use super::Point;
use super::ground::{Bend, Found, Ground};
use super::least::Solved;
use super::sure::{criterion_of, factor, number};

/// Times the golden section narrows the place of a bend: to less than a millimetre.
const NARROWED: usize = 24;
/// Times it does for the neighbours of a bend that is held.
const EASED: usize = 8;
/// Times the end of an interval is halved.
const HALVED: usize = 16;
/// Rounds over all bends.
const ROUNDS: usize = 6;
/// Share of a way that the golden section leaves.
const GOLDEN: f64 = 0.618_033_988_749_895;

/// A bent line through points.
#[derive(Clone, Debug)]
pub struct Profile<'a> {
    points: &'a [Point],
    /// Level distances at which it bends, m.
    pub bends: Vec<f64>,
    /// Sum of squared residuals, each over its standard uncertainty.
    pub rest: f64,
}

impl<'a> Profile<'a> {
    /// The line with so many bends at most, none nearer than `least` to another or to an end, that the points ask for.
    /// None of fewer than two points.
    pub fn of(points: &'a [Point], most: usize, least: f64) -> Option<Self> {
        let grid = grid(points);
        let mut line = Self::bent(points, Vec::new(), least)?;
        let mut best = line.clone();
        let mut in_vain = 0;
        while line.bends.len() < most && points.len() >= 2 * line.bends.len() + 6 && in_vain < 2 {
            let Some(more) = line.with_one_more(&grid, least) else { break };
            line = more.refined(&grid, least);
            if line.criterion() < best.criterion() {
                (best, in_vain) = (line.clone(), 0);
            } else {
                in_vain += 1;
            }
        }
        Some(best)
    }

    /// The line that bends at these places, where each part is long enough and has two points.
    fn bent(points: &'a [Point], mut bends: Vec<f64>, least: f64) -> Option<Self> {
        bends.sort_by(f64::total_cmp);
        let line = Self { points, bends, rest: 0.0 };
        let rest = line.stands(least).then(|| line.solved())??.rest;
        Some(Self { rest, ..line })
    }

    /// Whether each part is long enough and has two points.
    fn stands(&self, least: f64) -> bool {
        let part = |ends: &[f64]| {
            let inside = self.points.iter().filter(|point| point.at >= ends[0] && point.at <= ends[1]);
            ends[1] - ends[0] >= least - 1e-9 && inside.count() >= 2
        };
        self.bends.is_empty() || self.ends().is_some_and(|ends| ends.windows(2).all(part))
    }

    /// The numbers that are fitted: a height, a gradient, and two for each bend.
    fn fitted(&self) -> usize {
        2 + 2 * self.bends.len()
    }

    fn criterion(&self) -> f64 {
        criterion_of(self.rest, self.points.len(), self.fitted() + 1)
    }

    /// From the first point over all bends to the last.
    fn ends(&self) -> Option<Vec<f64>> {
        let (first, last) = (self.points.first()?, self.points.last()?);
        Some([&[first.at], &self.bends[..], &[last.at]].concat())
    }

    /// A column of the design: what is multiplied with a number of the fit, over each point's uncertainty.
    fn column(&self, of: impl Fn(f64) -> f64) -> Vec<f64> {
        self.points.iter().map(|point| of(point.at) / point.unsure).collect()
    }

    fn columns(&self) -> Vec<Vec<f64>> {
        let from = self.points.first().map_or(0.0, |point| point.at);
        let mut columns = vec![self.column(|_| 1.0), self.column(|at| at - from)];
        columns.extend(self.bends.iter().map(|bend| self.column(|at| (at - bend).max(0.0))));
        columns
    }

    fn readings(&self) -> Vec<f64> {
        self.points.iter().map(|point| point.height / point.unsure).collect()
    }

    /// Height, first gradient and change at each bend.
    pub fn solved(&self) -> Option<Solved> {
        Solved::of(self.columns(), self.readings())
    }

    /// The same with the places of the bends as numbers that are fitted: their doubt goes into the gradients'.
    fn solved_with_places(&self, line: &Solved) -> Option<Solved> {
        let mut columns = self.columns();
        for (bend, change) in self.bends.iter().zip(&line.numbers[2..]) {
            columns.push(self.column(|at| if at > *bend { -change } else { 0.0 }));
        }
        Solved::of(columns, self.readings())
    }

    /// The line with one bend more, where it lies nearest.
    fn with_one_more(&self, grid: &[f64], least: f64) -> Option<Self> {
        self.beside(least)?.nearest(grid)
    }

    /// The lines with one bend more than this one.
    fn beside(&self, least: f64) -> Option<Beside<'a>> {
        Some(Beside { solved: self.solved()?, line: self.clone(), least })
    }

    /// The lines with one bend at any place, the others as they are.
    fn without(&self, bend: usize, least: f64) -> Option<Beside<'a>> {
        let mut line = self.clone();
        line.bends.remove(bend);
        line.beside(least)
    }

    /// Every bend moved to where the line lies nearest: over the grid at first, then between its places.
    fn refined(self, grid: &[f64], least: f64) -> Self {
        let step = self.spacing();
        let mut best = self;
        for round in 0..ROUNDS {
            let before = best.rest;
            for bend in 0..best.bends.len() {
                let Some(others) = best.without(bend, least) else { continue };
                if round < 2 {
                    best = nearer(others.nearest(grid), best);
                }
                best = nearer(others.narrowed(best.bends[bend], step, NARROWED), best);
            }
            if before - best.rest < 1e-9 * before.max(1e-12) {
                break;
            }
        }
        best
    }

    /// Mean distance of two points, m.
    fn spacing(&self) -> f64 {
        let whole = self.ends().map_or(0.0, |ends| ends[ends.len() - 1] - ends[0]);
        whole / number(self.points.len())
    }

    /// Readings beyond the numbers fitted.
    fn freedom(&self) -> f64 {
        number(self.points.len().saturating_sub(self.fitted()))
    }

    /// How much more the points scatter than the instrument should; 1 where they don't.
    pub fn scatter(&self) -> f64 {
        if self.freedom() > 0.0 { libm::sqrt(self.rest / self.freedom()).max(1.0) } else { 1.0 }
    }

    /// Reach of a 95 % interval in the points' own standard uncertainties, so many stated together.
    fn reach(&self, together: usize) -> f64 {
        let learned = (self.scatter() > 1.0).then(|| self.freedom());
        self.scatter() * factor(together, learned)
    }

    /// Where a bend may lie: every place for which the line, its neighbours moved along, lies little worse (profile
    /// interval). Not symmetric where few points lie near it.
    fn interval(&self, bend: usize) -> (f64, f64) {
        let most = self.rest + libm::pow(self.reach(self.bends.len()), 2.0);
        let (Some(ends), Some(others)) = (self.ends(), self.without(bend, 0.0)) else { return (0.0, 0.0) };
        let holds = |at: f64| others.at(at).is_some_and(|line| line.rest <= most || line.eased(at) <= most);
        let edge = |to: f64| {
            let (mut inside, mut outside) = (self.bends[bend], to);
            for _ in 0..HALVED {
                let middle = f64::midpoint(inside, outside);
                let end = if holds(middle) { &mut inside } else { &mut outside };
                *end = middle;
            }
            outside
        };
        (edge(ends[bend]), edge(ends[bend + 2]))
    }

    /// How near the line lies with one bend held and its neighbours free.
    fn eased(&self, held: f64) -> f64 {
        let mut best = self.clone();
        let near = |bend: &usize| {
            let next = [bend.checked_sub(1), Some(bend + 1)];
            next.into_iter().flatten().any(|other| self.bends.get(other) == Some(&held))
        };
        for bend in (0..self.bends.len()).filter(near) {
            let others = best.without(bend, 0.0);
            let moved = others.and_then(|others| others.narrowed(best.bends[bend], self.spacing(), EASED));
            best = nearer(moved, best);
        }
        best.rest
    }

    /// What was found: stretches with their gradients, and where they meet. `common` is the standard uncertainty
    /// that all gradients share, rad, for a gradient.
    pub fn ground(&self, common: impl Fn(f64) -> f64) -> Option<Ground> {
        let line = self.solved()?;
        let sure = self.solved_with_places(&line);
        let sure = sure.as_ref().unwrap_or(&line);
        let ends = self.ends()?;
        let together = ends.len() - 1;
        let mut falls = 0.0;
        let stretches = (0..together).map(|at| {
            falls -= line.numbers[1 + at];
            let parts: Vec<f64> = std::iter::once(0.0).chain(std::iter::repeat_n(1.0, at + 1)).collect();
            let own = self.reach(together) * sure.uncertainty(&parts) / (1.0 + falls * falls);
            let gradient = libm::atan(falls);
            let shared = factor(1, None) * common(gradient);
            Found { from: ends[at], to: ends[at + 1], gradient, sure: libm::hypot(own, shared) }
        });
        let stretches: Vec<Found> = stretches.collect();
        let bend = |at: usize| {
            let (low, high) = self.interval(at);
            Bend { at: self.bends[at], low, high }
        };
        let bends = (0..self.bends.len()).map(bend).collect();
        Some(Ground { stretches, bends, scatter: self.scatter(), far: self.far_off(&line) })
    }

    /// Points that lie far off the line: where, and by how much above it, both m.
    fn far_off(&self, line: &Solved) -> Vec<(f64, f64)> {
        let columns = self.columns();
        let height = |at: usize| {
            let parts = columns.iter().zip(&line.numbers).map(|(column, number)| column[at] * number);
            parts.sum::<f64>() * self.points[at].unsure
        };
        let off = |at: usize| self.points[at].height - height(at);
        let middle = middle((0..self.points.len()).map(|at| off(at).abs()).collect());
        let far = |at: &usize| off(*at).abs() > FAR * (self.points[*at].unsure).max(MIDDLE_TO_SIGMA * middle);
        (0..self.points.len()).filter(far).map(|at| (self.points[at].at, off(at))).collect()
    }
}

/// A line, and all those that bend once more.
struct Beside<'a> {
    line: Profile<'a>,
    solved: Solved,
    least: f64,
}

impl<'a> Beside<'a> {
    /// With a bend at a place; none where a part would be too short, or have no two points.
    fn at(&self, place: f64) -> Option<Profile<'a>> {
        let mut bends = self.line.bends.clone();
        bends.push(place);
        bends.sort_by(f64::total_cmp);
        let line = Profile { bends, ..self.line.clone() };
        let column = || self.line.column(|at| (at - place).max(0.0));
        let rest = line.stands(self.least).then(|| self.solved.rest_with(column()))??;
        Some(Profile { rest, ..line })
    }

    /// Of some places the one where the line lies nearest.
    fn nearest(&self, places: &[f64]) -> Option<Profile<'a>> {
        places.iter().filter_map(|at| self.at(*at)).min_by(|a, b| a.rest.total_cmp(&b.rest))
    }

    /// Near a place, a step to either side at most, by so many golden sections.
    fn narrowed(&self, place: f64, step: f64, times: usize) -> Option<Profile<'a>> {
        let rest = |at: f64| self.at(at).map_or(f64::INFINITY, |line| line.rest);
        let (mut low, mut high) = (place - step, place + step);
        let (mut one, mut other) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
        let (mut of_one, mut of_other) = (rest(one), rest(other));
        for _ in 0..times {
            if of_one < of_other {
                (high, other, of_other) = (other, one, of_one);
                one = high - GOLDEN * (high - low);
                of_one = rest(one);
            } else {
                (low, one, of_one) = (one, other, of_other);
                other = low + GOLDEN * (high - low);
                of_other = rest(other);
            }
        }
        self.at(f64::midpoint(low, high))
    }
}

/// Standard uncertainties beyond which a point is worth reading again.
const FAR: f64 = 4.0;
/// Standard deviation of normal scatter, over its middle distance from the mean.
const MIDDLE_TO_SIGMA: f64 = 1.4826;

fn middle(mut of: Vec<f64>) -> f64 {
    of.sort_by(f64::total_cmp);
    of.get(of.len() / 2).copied().unwrap_or(0.0)
}

/// The one that lies nearer.
fn nearer<'a>(one: Option<Profile<'a>>, other: Profile<'a>) -> Profile<'a> {
    match one {
        Some(one) if one.rest < other.rest => one,
        _ => other,
    }
}

/// The points' places and the middles between them.
fn grid(points: &[Point]) -> Vec<f64> {
    let middles = points.windows(2).map(|pair| f64::midpoint(pair[0].at, pair[1].at));
    points.iter().map(|point| point.at).chain(middles).collect()
}
