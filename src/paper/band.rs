//! What right ways of working reach, when results on the way are rounded.
//!
//! An interval is carried through the tree of each step. Products are worked in every order a
//! calculator allows, sums as a whole or term by term, and every result on the way, π too, may be
//! kept or rounded to three figures or more. Rounding never changes the order of two values, so
//! rounding the ends of an interval bounds every rounded value inside it. The outer interval takes
//! any rounding to three figures, whichever way it was done, and so holds the inner one.

mod interval;
mod rounding;

pub use interval::Interval;
use rounding::{furthest_rounded, half_unit};

use crate::formula::{Expr, Function, Link};

/// Factors of a product up to which every order is tried.
const MOST_FACTORS: usize = 9;

/// How far roundings on the way are followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Rounding {
    /// Kept, or rounded to three figures or more, half up or half to even, once or again.
    Attained,
    /// Off by half of the third figure either way: what a marker looks at.
    Outer,
}

impl Rounding {
    /// What may stand where a result lies in this interval.
    pub(super) fn of(self, interval: Interval) -> Interval {
        match self {
            Self::Attained => Interval {
                low: furthest_rounded(interval.low, f64::min),
                high: furthest_rounded(interval.high, f64::max),
            },
            Self::Outer => Interval {
                low: interval.low - half_unit(interval.low),
                high: interval.high + half_unit(interval.high),
            },
        }
    }
}

/// What the last of a chain of steps can come to, in its unit, the answer rounded like all else: step
/// by step, and in one go where that is a product a calculator takes in.
pub(super) fn reached(chain: &[Link], rounding: Rounding) -> Interval {
    let stepwise = worked(chain, rounding);
    match in_one_go(chain) {
        Some(whole) => stepwise.with(worked(&[whole], rounding)).as_printed(),
        None => stepwise.as_printed(),
    }
}

fn worked(chain: &[Link], rounding: Rounding) -> Interval {
    let mut known: Vec<(&'static str, Interval)> = Vec::new();
    let mut last = Interval::exactly(f64::NAN);
    for link in chain {
        let worker = Worker { known: &known, rounding };
        let value = worker.value(&link.tree);
        let in_unit = if link.in_degrees { in_degrees(value) } else { value };
        last = rounding.of(in_unit);
        known.push((link.gives, last));
    }
    last
}

/// The steps put into one another; none of a single step, or of one that is no plain product.
fn in_one_go(chain: &[Link]) -> Option<Link> {
    let (last, before) = chain.split_last()?;
    let is_product = |link: &Link| matches!(link.tree, Expr::Prod(_) | Expr::Quot(..)) && !link.in_degrees;
    if before.is_empty() || !chain.iter().all(is_product) {
        return None;
    }
    let mut trees: Vec<(&'static str, Expr)> = Vec::new();
    let put_in = |tree: &Expr, trees: &[(&'static str, Expr)]| {
        tree.rewrite(&|part| match part {
            Expr::Lit(literal) if literal.value.is_nan() => {
                trees.iter().rev().find(|(id, _)| *id == literal.text).map(|(_, tree)| tree.clone())
            }
            _ => None,
        })
    };
    for link in before {
        let tree = put_in(&link.tree, &trees);
        trees.push((link.gives, tree));
    }
    Some(Link { tree: put_in(&last.tree, &trees), ..last.clone() })
}

fn in_degrees(radians: Interval) -> Interval {
    Interval { low: radians.low.to_degrees(), high: radians.high.to_degrees() }
}

struct Worker<'a> {
    /// Results of the steps before, in the unit they are shown in.
    known: &'a [(&'static str, Interval)],
    rounding: Rounding,
}

impl Worker<'_> {
    /// The value of a tree before the last thing done is rounded.
    fn value(&self, expr: &Expr) -> Interval {
        match expr {
            Expr::Lit(literal) => {
                let shown = self
                    .known
                    .iter()
                    .rev()
                    .find(|(id, _)| literal.value.is_nan() && *id == literal.text)
                    .map_or(Interval::exactly(literal.value), |(_, interval)| *interval);
                if literal.degrees {
                    return Interval { low: shown.low.to_radians(), high: shown.high.to_radians() };
                }
                shown
            }
            Expr::Pi => Interval::exactly(std::f64::consts::PI),
            Expr::Sym(_) => Interval::exactly(f64::NAN),
            Expr::Neg(inner) => {
                let inner = self.value(inner);
                Interval { low: -inner.high, high: -inner.low }
            }
            Expr::Sum(terms) => self.sum(terms),
            Expr::Prod(_) | Expr::Quot(..) => self.product(expr),
            Expr::Pow(base, power) => {
                let whole = self.power(base, *power);
                match &**base {
                    Expr::Quot(over, under) => {
                        let (over, under) = (self.power(over, *power), self.power(under, *power));
                        let parted = self.rounding.of(over).corners(self.rounding.of(under), |a, b| a / b);
                        whole.with(parted)
                    }
                    _ => whole,
                }
            }
            Expr::Call(function, inner) => self.call(*function, inner),
        }
    }

    /// A part as it may be put into what comes next: what was given as it stands, results rounded.
    fn part(&self, expr: &Expr) -> Interval {
        let value = self.value(expr);
        match expr {
            Expr::Lit(_) => value,
            Expr::Neg(inner) if matches!(**inner, Expr::Lit(_)) => value,
            Expr::Call(Function::Atan, _) => {
                let degrees = self.rounding.of(in_degrees(value));
                Interval { low: degrees.low.to_radians(), high: degrees.high.to_radians() }.with(value)
            }
            _ => self.rounding.of(value),
        }
    }

    fn power(&self, base: &Expr, power: i32) -> Interval {
        let base = self.part(base);
        base.corners(base, |value, _| libm::pow(value, f64::from(power)))
    }

    fn call(&self, function: Function, inner: &Expr) -> Interval {
        let inner = self.part(inner);
        inner.corners(inner, |value, _| function.of(value))
    }

    /// Terms added in every order.
    fn sum(&self, terms: &[Expr]) -> Interval {
        let parts: Vec<Interval> = terms.iter().map(|term| self.part(term)).collect();
        let all =
            self.in_every_order(&parts, &|_| true, &|one, _, other, _| one.corners(other, |a, b| a + b));
        all.unwrap_or_else(|| {
            parts.iter().fold(Interval::exactly(0.0), |sum, part| sum.corners(*part, |a, b| a + b))
        })
    }

    /// Factors above and below the line, multiplied and divided in every order; a sum among them
    /// as a whole, and term by term.
    fn product(&self, expr: &Expr) -> Interval {
        let (mut above, mut below) = (Vec::new(), Vec::new());
        factors(expr, false, &mut above, &mut below);
        if above.len() + below.len() > MOST_FACTORS {
            cancel(&mut above, &mut below);
        }
        let whole = self.factors_in_every_order(&above, &below);
        let sums: Vec<usize> = (0..above.len()).filter(|at| matches!(above[*at], Expr::Sum(_))).collect();
        let [at] = sums[..] else { return whole };
        let Expr::Sum(terms) = above[at] else { return whole };
        let spread: Vec<Interval> = terms
            .iter()
            .map(|term| {
                let (sign, term) = match term {
                    Expr::Neg(inner) => (-1.0, &**inner),
                    other => (1.0, other),
                };
                let (mut over, mut under) = (Vec::new(), below.clone());
                over.extend(above.iter().enumerate().filter(|(place, _)| *place != at).map(|(_, one)| *one));
                factors(term, false, &mut over, &mut under);
                let value = self.rounding.of(self.factors_in_every_order(&over, &under));
                value.corners(value, |value, _| sign * value)
            })
            .collect();
        let term_by_term =
            spread.iter().fold(Interval::exactly(0.0), |sum, part| sum.corners(*part, |a, b| a + b));
        whole.with(term_by_term)
    }

    fn factors_in_every_order(&self, above: &[&Expr], below: &[&Expr]) -> Interval {
        let parts: Vec<Interval> = above.iter().chain(below).map(|part| self.part(part)).collect();
        let count = above.len();
        let upper = |set: usize| set & ((1 << count) - 1) != 0;
        let join = |one: Interval, one_set: usize, other: Interval, other_set: usize| match (
            upper(one_set),
            upper(other_set),
        ) {
            (true, false) => one.corners(other, |a, b| a / b),
            (false, true) => other.corners(one, |a, b| a / b),
            _ => one.corners(other, |a, b| a * b),
        };
        let plain = || {
            let over = parts[..count].iter().fold(Interval::exactly(1.0), |a, b| a.corners(*b, |a, b| a * b));
            parts[count..].iter().fold(over, |a, b| a.corners(*b, |a, b| a / b))
        };
        self.in_every_order(&parts, &upper, &join).unwrap_or_else(plain)
    }

    /// The hull over every way to join parts two by two, each result on the way rounded; none when
    /// there are too many parts. A set without an upper part is a divisor by itself.
    fn in_every_order(
        &self,
        parts: &[Interval],
        upper: &dyn Fn(usize) -> bool,
        join: &dyn Fn(Interval, usize, Interval, usize) -> Interval,
    ) -> Option<Interval> {
        if parts.is_empty() || parts.len() > MOST_FACTORS {
            return None;
        }
        let full = (1 << parts.len()) - 1;
        let mut best: Vec<Option<Interval>> = vec![None; full + 1];
        for set in 1..=full {
            let first = set & set.wrapping_neg();
            if set == first {
                best[set] = Some(parts[set.trailing_zeros() as usize]);
                continue;
            }
            let mut found: Option<Interval> = None;
            let mut one = (set - 1) & set;
            while one > 0 {
                let other = set ^ one;
                if one & first != 0
                    && let (Some(a), Some(b)) = (best[one], best[other])
                {
                    let joined = join(a, one, b, other);
                    found = Some(found.map_or(joined, |known| known.with(joined)));
                }
                one = (one - 1) & set;
            }
            best[set] = found.map(|value| if set == full { value } else { self.rounding.of(value) });
        }
        // Nothing above the line: one over all that stands below.
        best[full].map(|value| if upper(full) { value } else { value.corners(value, |value, _| 1.0 / value) })
    }
}

/// Takes out numbers that stand above and below the line.
fn cancel(above: &mut Vec<&Expr>, below: &mut Vec<&Expr>) {
    let mut at = 0;
    while at < above.len() {
        match below.iter().position(|under| *under == above[at] && matches!(under, Expr::Lit(_))) {
            Some(under) => {
                below.remove(under);
                above.remove(at);
            }
            None => at += 1,
        }
    }
}

/// Takes products and quotients apart.
fn factors<'a>(expr: &'a Expr, under: bool, above: &mut Vec<&'a Expr>, below: &mut Vec<&'a Expr>) {
    match expr {
        Expr::Prod(parts) => parts.iter().for_each(|part| factors(part, under, above, below)),
        Expr::Quot(over, divisor) => {
            factors(over, under, above, below);
            factors(divisor, !under, above, below);
        }
        other if under => below.push(other),
        other => above.push(other),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Workings of "Assessing" check rows: attained and outer interval when each step is rounded to
    /// three figures, worked by interval arithmetic with all corner values of each step (derived,
    /// recomputed independently in Python).
    fn steps(rounding: Rounding, of: impl Fn(&dyn Fn(Interval) -> Interval) -> Interval) -> Interval {
        of(&|value| rounding.of(value))
    }

    fn close(interval: Interval, low: f64, high: f64) {
        let off = |a: f64, b: f64| (a / b - 1.0).abs();
        assert!(
            off(interval.low, low) < 2e-6 && off(interval.high, high) < 2e-6,
            "{interval:?} {low} {high}"
        );
    }

    fn exact(value: f64) -> Interval {
        Interval::exactly(value)
    }

    #[test]
    fn intervals_of_worked_examples_are_those_of_the_check_rows() {
        // BAND-GRADE-3: rise 4.7 in 13, 2350 kg: angle, weight, W sin(angle).
        for (rounding, low, high) in
            [(Rounding::Attained, 7837.0, 7862.77), (Rounding::Outer, 7802.31, 7874.15)]
        {
            let found = steps(rounding, |r| {
                let angle = r(exact(libm::atan(4.7 / 13.0).to_degrees()));
                let weight = r(exact(2350.0 * 9.81));
                weight.corners(angle, |w, a| w * libm::sin(a.to_radians()))
            });
            close(found, low, high);
        }
        // BAND-TIP-3: track over twice the height, tip angle, then 0.6 of it.
        for (rounding, low, high) in
            [(Rounding::Attained, 26.559, 26.58), (Rounding::Outer, 26.5205, 26.5981)]
        {
            let found = steps(rounding, |r| {
                let ratio = r(exact(1.54 / (2.0 * 0.79)));
                let tip = r(ratio.corners(ratio, |ratio, _| libm::atan(ratio).to_degrees()));
                tip.corners(tip, |tip, _| 0.6 * tip)
            });
            close(found, low, high);
        }
        // BAND-CREEP-3: ratio, wheel rpm, rad/s, km/h.
        for (rounding, low, high) in
            [(Rounding::Attained, 2.5022, 2.50809), (Rounding::Outer, 2.48541, 2.51912)]
        {
            let found = steps(rounding, |r| {
                let ratio = r(exact(3.83 * 2.72 * 4.1));
                let wheel = r(ratio.corners(ratio, |i, _| 750.0 / i));
                let spin = r(wheel.corners(wheel, |n, _| n * std::f64::consts::TAU / 60.0));
                spin.corners(spin, |w, _| w * 0.378 * 3.6)
            });
            close(found, low, high);
        }
    }

    #[test]
    fn ties_and_rounding_twice_are_held() {
        let held = |value: f64, rounded: f64| {
            Rounding::Attained.of(exact(value)).with(exact(rounded)) == Rounding::Attained.of(exact(value))
        };
        // RND-HALFUP, RND-HALFEVEN and RND-DOUBLE of the check rows.
        for (value, rounded) in [
            (2.345, 2.35),
            (2.345, 2.34),
            (2.355, 2.36),
            (0.001_234_5, 0.001_23),
            (99.95, 100.0),
            (1.005, 1.01),
            (1.005, 1.00),
            (7.4546, 7.46),
            (7.4546, 7.45),
        ] {
            assert!(
                held(value, rounded - 1e-12 * rounded) || held(value, rounded + 1e-12 * rounded),
                "{value} {rounded}"
            );
        }
    }
}
