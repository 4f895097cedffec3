//! Proof that both sides of a formula measure the same thing.

use super::{Expr, Function};
use crate::quantity::Dim;

/// The dimension of a tree.
///
/// # Errors
/// Says which part adds, or takes a function of, things that do not go together.
pub fn dimension(expr: &Expr) -> Result<Dim, String> {
    match expr {
        Expr::Lit(_) | Expr::Pi => Ok(Dim::NONE),
        Expr::Sym(symbol) => Ok(symbol.dim),
        Expr::Neg(inner) => dimension(inner),
        Expr::Sum(terms) => same(terms),
        Expr::Prod(factors) => {
            factors.iter().try_fold(Dim::NONE, |product, factor| Ok(product * dimension(factor)?))
        }
        Expr::Quot(over, under) => Ok(dimension(over)? / dimension(under)?),
        Expr::Pow(base, power) => {
            let power = i8::try_from(*power).map_err(|_| format!("the power {power} is too great"))?;
            Ok(dimension(base)?.pow(power))
        }
        Expr::Call(Function::Sqrt, inner) => {
            let dim = dimension(inner)?;
            dim.sqrt().ok_or_else(|| format!("takes the square root of {dim}"))
        }
        Expr::Call(function, inner) => match dimension(inner)? {
            Dim::NONE => Ok(Dim::NONE),
            dim => Err(format!("takes {function:?} of {dim}")),
        },
    }
}

fn same(terms: &[Expr]) -> Result<Dim, String> {
    let mut dims = terms.iter().map(dimension);
    let first = dims.next().unwrap_or(Ok(Dim::NONE))?;
    for dim in dims {
        let dim = dim?;
        if dim != first {
            return Err(format!("adds {dim} to {first}"));
        }
    }
    Ok(first)
}
