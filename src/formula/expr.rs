//! A formula as a tree.

use std::ops::{Add, Div, Mul, Neg, Sub};

use super::{Algebra, Symbol};

/// A function of one number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Function {
    /// Square root.
    Sqrt,
    /// Sine of an angle.
    Sin,
    /// Cosine of an angle.
    Cos,
    /// Tangent of an angle.
    Tan,
    /// The angle with this tangent.
    Atan,
    /// e to this power.
    Exp,
    /// Natural logarithm.
    Ln,
}

/// A number written out.
#[derive(Clone, Debug, PartialEq)]
pub struct Literal {
    /// As printed.
    pub text: String,
    /// What the text says; an angle in degrees.
    pub value: f64,
    /// Whether a degree mark follows.
    pub degrees: bool,
}

/// A tree of numbers, symbols and what is done with them.
#[derive(Clone, Debug, PartialEq)]
pub enum Expr {
    /// A number.
    Lit(Literal),
    /// π.
    Pi,
    /// A symbol.
    Sym(&'static Symbol),
    /// With the sign changed.
    Neg(Box<Expr>),
    /// All added.
    Sum(Vec<Expr>),
    /// All multiplied.
    Prod(Vec<Expr>),
    /// The first over the second.
    Quot(Box<Expr>, Box<Expr>),
    /// A whole power.
    Pow(Box<Expr>, i32),
    /// A function of it.
    Call(Function, Box<Expr>),
}

impl Expr {
    /// A number with its shortest text.
    pub fn number(value: f64) -> Self {
        Self::Lit(Literal { text: format!("{value}"), value, degrees: false })
    }

    /// The value when each symbol has the SI value that `of` gives.
    pub fn value(&self, of: &impl Fn(&'static Symbol) -> f64) -> f64 {
        match self {
            Self::Lit(literal) if literal.degrees => literal.value.to_radians(),
            Self::Lit(literal) => literal.value,
            Self::Pi => std::f64::consts::PI,
            Self::Sym(symbol) => of(symbol),
            Self::Neg(inner) => -inner.value(of),
            Self::Sum(terms) => terms.iter().map(|term| term.value(of)).sum(),
            Self::Prod(factors) => factors.iter().map(|factor| factor.value(of)).product(),
            Self::Quot(over, under) => over.value(of) / under.value(of),
            Self::Pow(base, power) => Algebra::powi(base.value(of), *power),
            Self::Call(function, inner) => function.of(inner.value(of)),
        }
    }

    /// The same tree with every part for which `change` gives another replaced, outermost first.
    #[must_use]
    pub fn rewrite(&self, change: &impl Fn(&Self) -> Option<Self>) -> Self {
        if let Some(changed) = change(self) {
            return changed;
        }
        let inside = |part: &Self| part.rewrite(change);
        match self {
            Self::Lit(_) | Self::Pi | Self::Sym(_) => self.clone(),
            Self::Neg(inner) => Self::Neg(Box::new(inside(inner))),
            Self::Sum(terms) => Self::Sum(terms.iter().map(inside).collect()),
            Self::Prod(factors) => Self::Prod(factors.iter().map(inside).collect()),
            Self::Quot(over, under) => Self::Quot(Box::new(inside(over)), Box::new(inside(under))),
            Self::Pow(base, power) => Self::Pow(Box::new(inside(base)), *power),
            Self::Call(function, inner) => Self::Call(*function, Box::new(inside(inner))),
        }
    }

    /// The symbols in it, in the order they are met, each once.
    pub fn symbols(&self) -> Vec<&'static Symbol> {
        let mut found = Vec::new();
        self.collect_symbols(&mut found);
        found
    }

    fn collect_symbols(&self, found: &mut Vec<&'static Symbol>) {
        match self {
            Self::Lit(_) | Self::Pi => {}
            Self::Sym(symbol) => {
                if !found.iter().any(|known| known.id == symbol.id) {
                    found.push(symbol);
                }
            }
            Self::Neg(inner) | Self::Pow(inner, _) | Self::Call(_, inner) => inner.collect_symbols(found),
            Self::Sum(parts) | Self::Prod(parts) => parts.iter().for_each(|part| part.collect_symbols(found)),
            Self::Quot(over, under) => {
                over.collect_symbols(found);
                under.collect_symbols(found);
            }
        }
    }
}

impl Function {
    /// Its value at `x`; angles in radians.
    pub fn of(self, x: f64) -> f64 {
        match self {
            Self::Sqrt => Algebra::sqrt(x),
            Self::Sin => Algebra::sin(x),
            Self::Cos => Algebra::cos(x),
            Self::Tan => Algebra::tan(x),
            Self::Atan => Algebra::atan(x),
            Self::Exp => Algebra::exp(x),
            Self::Ln => Algebra::ln(x),
        }
    }

    /// Whether its argument is an angle.
    pub fn takes_angle(self) -> bool {
        matches!(self, Self::Sin | Self::Cos | Self::Tan)
    }
}

impl Add for Expr {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let mut terms = if let Self::Sum(terms) = self { terms } else { vec![self] };
        match other {
            Self::Sum(more) => terms.extend(more),
            one => terms.push(one),
        }
        Self::Sum(terms)
    }
}

impl Sub for Expr {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        // A difference of a sum keeps its brackets: a − (b + c) is how it is written.
        let mut terms = if let Self::Sum(terms) = self { terms } else { vec![self] };
        terms.push(Self::Neg(Box::new(other)));
        Self::Sum(terms)
    }
}

impl Mul for Expr {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let mut factors = if let Self::Prod(factors) = self { factors } else { vec![self] };
        match other {
            Self::Prod(more) => factors.extend(more),
            one => factors.push(one),
        }
        Self::Prod(factors)
    }
}

impl Div for Expr {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        Self::Quot(Box::new(self), Box::new(other))
    }
}

impl Neg for Expr {
    type Output = Self;
    fn neg(self) -> Self {
        Self::Neg(Box::new(self))
    }
}

impl Algebra for Expr {
    fn num(value: f64) -> Self {
        Self::number(value)
    }
    fn pi() -> Self {
        Self::Pi
    }
    fn sin(self) -> Self {
        Self::Call(Function::Sin, Box::new(self))
    }
    fn cos(self) -> Self {
        Self::Call(Function::Cos, Box::new(self))
    }
    fn tan(self) -> Self {
        Self::Call(Function::Tan, Box::new(self))
    }
    fn atan(self) -> Self {
        Self::Call(Function::Atan, Box::new(self))
    }
    fn sqrt(self) -> Self {
        Self::Call(Function::Sqrt, Box::new(self))
    }
    fn exp(self) -> Self {
        Self::Call(Function::Exp, Box::new(self))
    }
    fn ln(self) -> Self {
        Self::Call(Function::Ln, Box::new(self))
    }
    fn powi(self, power: i32) -> Self {
        Self::Pow(Box::new(self), power)
    }
}
