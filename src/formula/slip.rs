//! Usual slips: a known wrong turn as a change of the formula.

use super::{Expr, Symbol};
use crate::quantity::UnitSystem;

/// How a slip changes a formula.
#[derive(Clone, Copy, Debug)]
pub enum Bend {
    /// A factor, or a term, was left out.
    LeftOut(&'static Symbol),
    /// Something else was put where a symbol stands.
    InPlaceOf(&'static Symbol, fn(Expr) -> Expr),
    /// The whole result was taken differently.
    Whole(fn(Expr) -> Expr),
    /// Another formula altogether, over the same symbols.
    Instead(fn(&[Expr]) -> Expr),
    /// A mistake that only somebody who works in these units can make.
    In(UnitSystem, &'static Bend),
    /// The method is right and only a unit was not changed, or changed wrongly, in these units.
    Unit(UnitSystem, &'static Bend),
}

/// A mistake learners really make.
#[derive(Clone, Copy, Debug)]
pub struct Slip {
    /// Name in the machine's view, unique in its formula.
    pub id: &'static str,
    /// What went wrong, as told to the learner.
    pub why: &'static str,
    /// How it changes the formula.
    pub bend: Bend,
}

impl Slip {
    /// Whether somebody who works in these units can make it.
    pub fn is_made_in(&self, system: UnitSystem) -> bool {
        match self.bend {
            Bend::In(only, _) | Bend::Unit(only, _) => only == system,
            _ => true,
        }
    }

    /// Whether the method is right and only a unit is wrong.
    pub fn is_of_unit(&self) -> bool {
        matches!(self.bend, Bend::Unit(..))
    }
}

impl Bend {
    /// The tree changed so; `takes` are the symbols of the formula.
    pub(super) fn of(&self, right: &Expr, takes: &[&'static Symbol]) -> Option<Expr> {
        Some(match self {
            Self::LeftOut(symbol) => left_out(right, symbol)?,
            Self::InPlaceOf(symbol, with) => right.rewrite(&|part| match part {
                Expr::Sym(found) if found == symbol => Some(with(part.clone())),
                _ => None,
            }),
            Self::Whole(change) => change(right.clone()),
            Self::Instead(other) => {
                let symbols: Vec<Expr> = takes.iter().copied().map(Expr::Sym).collect();
                other(&symbols)
            }
            Self::In(_, bend) | Self::Unit(_, bend) => return bend.of(right, takes),
        })
    }
}

/// The tree without the factor or term that is this symbol.
fn left_out(expr: &Expr, symbol: &'static Symbol) -> Option<Expr> {
    let is_it = |part: &Expr| matches!(part, Expr::Sym(found) if *found == symbol);
    match expr {
        Expr::Sym(_) if is_it(expr) => Some(Expr::number(1.0)),
        Expr::Lit(_) | Expr::Pi | Expr::Sym(_) => None,
        Expr::Prod(parts) => without(parts, &is_it)
            .map(|rest| one_or(rest, Expr::Prod))
            .or_else(|| in_one_part(parts, symbol).map(Expr::Prod)),
        Expr::Sum(parts) => without(parts, &is_it)
            .map(|rest| one_or(rest, Expr::Sum))
            .or_else(|| in_one_part(parts, symbol).map(Expr::Sum)),
        Expr::Quot(over, under) if is_it(under) => Some((**over).clone()),
        Expr::Quot(over, under) => match left_out(over, symbol) {
            Some(shorter) => Some(shorter / (**under).clone()),
            None => left_out(under, symbol).map(|shorter| (**over).clone() / shorter),
        },
        Expr::Neg(inner) => left_out(inner, symbol).map(|shorter| -shorter),
        Expr::Pow(base, power) => left_out(base, symbol).map(|shorter| Expr::Pow(Box::new(shorter), *power)),
        Expr::Call(function, inner) => {
            left_out(inner, symbol).map(|shorter| Expr::Call(*function, Box::new(shorter)))
        }
    }
}

fn without(parts: &[Expr], is_it: &impl Fn(&Expr) -> bool) -> Option<Vec<Expr>> {
    let place = parts.iter().position(is_it)?;
    let mut rest = parts.to_vec();
    rest.remove(place);
    Some(rest)
}

fn in_one_part(parts: &[Expr], symbol: &'static Symbol) -> Option<Vec<Expr>> {
    let (place, shorter) =
        parts.iter().enumerate().find_map(|(place, part)| Some((place, left_out(part, symbol)?)))?;
    let mut rest = parts.to_vec();
    rest[place] = shorter;
    Some(rest)
}

fn one_or(mut parts: Vec<Expr>, many: fn(Vec<Expr>) -> Expr) -> Expr {
    match parts.len() {
        0 => Expr::number(1.0),
        1 => parts.remove(0),
        _ => many(parts),
    }
}
