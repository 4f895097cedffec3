//! Numbers on their way into a line: with the conversions a learner has to do, and no other.

use super::{Expr, Literal, Symbol};
use crate::quantity::{Dim, Shown, ToSi, Unit, units};

/// A number as printed, with and without its conversion to SI.
pub struct Printed {
    unit: &'static Unit,
    bare: Expr,
    in_si: Expr,
}

impl Printed {
    /// A number in its unit.
    pub fn of(shown: &Shown, unit: &'static Unit) -> Self {
        Self::written(shown.text.replace('-', "−"), shown.value, unit)
    }

    /// The place of a result still to come, in the unit it will be shown in.
    pub fn place(symbol: &Symbol, unit: &'static Unit) -> Self {
        Self::written(symbol.id.to_owned(), f64::NAN, unit)
    }

    fn written(text: String, value: f64, unit: &'static Unit) -> Self {
        let degrees = unit.to_si == ToSi::Degrees;
        let bare = Expr::Lit(Literal { text, value, degrees });
        let in_si = match unit.to_si {
            ToSi::Same | ToSi::Degrees => bare.clone(),
            ToSi::Times(_, text) => bare.clone() * factor(text),
            ToSi::Over(_, text) => bare.clone() / factor(text),
            ToSi::Scale(..) => panic!("a temperature goes into a formula as a rise, not on a scale"),
        };
        Self { unit, bare, in_si }
    }
}

/// The tree with its numbers, giving the result in its unit. What would be converted and then
/// converted back stays as it is.
pub fn numbers_in<'a>(
    expr: &Expr,
    unit: &'static Unit,
    find: &impl Fn(&'static Symbol) -> &'a Printed,
) -> Expr {
    if let Some(short) = kept(expr, unit, find) {
        return with_ratios(&short, find);
    }
    in_unit(with_ratios(expr, find), unit)
}

/// The tree with the one number in this unit left as it is; none when that is not possible.
fn kept<'a>(
    expr: &Expr,
    unit: &'static Unit,
    find: &impl Fn(&'static Symbol) -> &'a Printed,
) -> Option<Expr> {
    let inside = |part: &Expr| kept(part, unit, find);
    match expr {
        Expr::Sym(symbol) => {
            let printed = find(symbol);
            let converted = matches!(unit.to_si, ToSi::Times(..) | ToSi::Over(..));
            (converted && printed.unit == unit).then(|| printed.bare.clone())
        }
        Expr::Neg(inner) => inside(inner).map(|inner| -inner),
        Expr::Sum(terms) => terms.iter().map(inside).collect::<Option<Vec<_>>>().map(Expr::Sum),
        Expr::Quot(over, under) => inside(over).map(|over| over / (**under).clone()),
        Expr::Prod(parts) => pounds(parts, unit, find).or_else(|| {
            let (at, short) = parts.iter().enumerate().find_map(|(at, part)| Some((at, inside(part)?)))?;
            let mut parts = parts.clone();
            parts[at] = short;
            Some(Expr::Prod(parts))
        }),
        _ => None,
    }
}

/// A mass in pounds under standard gravity is as many pounds of force.
fn pounds<'a>(
    parts: &[Expr],
    unit: &'static Unit,
    find: &impl Fn(&'static Symbol) -> &'a Printed,
) -> Option<Expr> {
    let place = |fits: &dyn Fn(&'static Symbol) -> bool| {
        parts.iter().position(|part| matches!(part, Expr::Sym(symbol) if fits(symbol)))
    };
    if *unit != units::POUND_FORCE {
        return None;
    }
    let mass = place(&|symbol| *find(symbol).unit == units::POUND)?;
    let gravity = place(&|symbol| symbol.dim == Dim::ACCELERATION && symbol.plain == "g")?;
    let Expr::Sym(symbol) = &parts[mass] else { return None };
    let mut parts = parts.to_vec();
    parts[mass] = find(symbol).bare.clone();
    parts.remove(gravity);
    Some(if parts.len() == 1 { parts.remove(0) } else { Expr::Prod(parts) })
}

/// Puts the numbers in; where one unit stands above and below a line, neither is converted.
fn with_ratios<'a>(expr: &Expr, find: &impl Fn(&'static Symbol) -> &'a Printed) -> Expr {
    let unit_of =
        |part: &Expr| part.symbols().into_iter().map(|symbol| find(symbol).unit).collect::<Vec<_>>();
    expr.rewrite(&|part| match part {
        Expr::Sym(symbol) => Some(find(symbol).in_si.clone()),
        Expr::Quot(over, under) => unit_of(over).into_iter().find_map(|unit| {
            let (over, under) = (kept(over, unit, find)?, kept(under, unit, find)?);
            Some(with_ratios(&over, find) / with_ratios(&under, find))
        }),
        _ => None,
    })
}

/// The tree taken from SI to the unit of the result.
fn in_unit(expr: Expr, unit: &Unit) -> Expr {
    match unit.to_si {
        ToSi::Same | ToSi::Degrees | ToSi::Scale(..) => expr,
        ToSi::Times(_, text) => expr / factor(text),
        ToSi::Over(_, text) => expr * factor(text),
    }
}

fn factor(text: &str) -> Expr {
    let value = text.parse().expect("a printed factor is a number");
    Expr::Lit(Literal { text: text.to_owned(), value, degrees: false })
}

/// What a calculator gives, in the unit of the result.
pub fn calculated(numbers: &Expr, unit: &Unit) -> f64 {
    let value = numbers.value(&|symbol| panic!("`{}` has no number", symbol.id));
    if unit.to_si == ToSi::Degrees { value.to_degrees() } else { value }
}
