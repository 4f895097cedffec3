//! The formulas that pages print, described: letters, reasons, sources, usual slips.

pub mod day;
pub mod energy;
pub mod gearing;
pub mod grip;
pub mod lowering;
pub mod overrun;
pub mod recovery;
pub mod show;
pub mod slope;
pub mod stability;
mod units;

use crate::formula::Formula;

/// Every described formula.
pub fn all() -> impl Iterator<Item = &'static Formula> {
    [
        day::ALL,
        energy::ALL,
        gearing::ALL,
        grip::ALL,
        lowering::ALL,
        overrun::ALL,
        recovery::ALL,
        show::ALL,
        slope::ALL,
        stability::ALL,
    ]
    .into_iter()
    .flatten()
    .copied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::symbols;
    use crate::formula::{Expr, Function, dimension};
    use crate::quantity::{Dim, units};

    #[test]
    fn both_sides_of_every_formula_measure_the_same() {
        for formula in all() {
            assert_eq!(dimension(&formula.expr()), Ok(formula.gives.dim), "{}", formula.id);
        }
    }

    #[test]
    fn a_wrong_dimension_would_be_found() {
        let wrong = Expr::Sym(&symbols::MASS) + Expr::Sym(&symbols::SPEED);
        assert_eq!(dimension(&wrong), Err("adds m·s^-1 to kg".to_owned()));
    }

    #[test]
    fn every_formula_has_its_own_name_a_reason_and_a_source() {
        let mut names: Vec<_> = all().map(|formula| formula.id).collect();
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count, "a name is used twice");
        for formula in all() {
            assert!(!formula.why.is_empty() && !formula.source.is_empty(), "{}", formula.id);
            assert!(!formula.slips.is_empty(), "{} has no usual slip", formula.id);
        }
    }

    #[test]
    fn every_slip_changes_its_formula() {
        for formula in all() {
            for slip in formula.slips {
                assert!(formula.bent(slip).is_some(), "{}: {} changes nothing", formula.id, slip.id);
            }
        }
    }

    #[test]
    fn angles_stand_only_inside_sine_cosine_and_tangent() {
        for formula in all() {
            assert!(angles_in_place(&formula.expr()), "{}", formula.id);
            if *formula.gives.metric == units::DEGREE {
                assert!(matches!(formula.expr(), Expr::Call(Function::Atan, _)), "{}", formula.id);
            }
        }
    }

    fn angles_in_place(expr: &Expr) -> bool {
        match expr {
            Expr::Sym(symbol) => *symbol.metric != units::DEGREE,
            Expr::Call(function, inner) if function.takes_angle() => {
                matches!(**inner, Expr::Sym(symbol) if *symbol.metric == units::DEGREE)
            }
            Expr::Call(_, inner) | Expr::Neg(inner) | Expr::Pow(inner, _) => angles_in_place(inner),
            Expr::Sum(parts) | Expr::Prod(parts) => parts.iter().all(angles_in_place),
            Expr::Quot(over, under) => angles_in_place(over) && angles_in_place(under),
            Expr::Lit(_) | Expr::Pi => true,
        }
    }

    #[test]
    fn letters_are_told_apart_and_match_their_units() {
        let mut ids: Vec<_> = symbols::ALL.iter().map(|symbol| symbol.id).collect();
        let count = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), count, "a letter's name is used twice");
        for symbol in symbols::ALL {
            assert_eq!(symbol.metric.dim, symbol.dim, "{}", symbol.id);
            assert_eq!(symbol.imperial.dim, symbol.dim, "{}", symbol.id);
            assert!(symbol.dim != Dim::TEMPERATURE || symbol.metric.is_coherent(), "{}", symbol.id);
        }
    }
}
