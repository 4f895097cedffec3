//! Numbers on their way into a line: with the conversions a learner has to do, and no other.

use super::{Expr, Literal, Symbol};
use crate::quantity::{Dim, Shown, ToSi, Unit, UnitSystem, units, way_of};

/// A number as printed, and the unit it stands in.
pub(super) struct Printed {
    unit: &'static Unit,
    bare: Expr,
}

impl Printed {
    /// A number in its unit.
    pub(super) fn of(shown: &Shown, unit: &'static Unit) -> Self {
        Self::written(shown.text.replace('-', "−"), shown.value, unit)
    }

    /// The place of a result still to come, in the unit it will be shown in.
    pub(super) fn place(symbol: &Symbol, unit: &'static Unit) -> Self {
        Self::written(symbol.id.to_owned(), f64::NAN, unit)
    }

    fn written(text: String, value: f64, unit: &'static Unit) -> Self {
        let degrees = unit.to_si == ToSi::Degrees;
        Self { unit, bare: Expr::Lit(Literal { text, value, degrees }) }
    }
}

/// The tree with its numbers, giving the result in its unit. What would be converted and then
/// converted back stays as it is.
pub(super) fn numbers_in<'a>(
    expr: &Expr,
    unit: &'static Unit,
    system: UnitSystem,
    find: &impl Fn(&'static Symbol) -> &'a Printed,
) -> Expr {
    Lines { system, inches: in_inches(expr, unit, find), find }.worked(expr, unit)
}

/// Whether a line is about lengths alone and its result is in inches: then an inch is its measure.
fn in_inches<'a>(expr: &Expr, unit: &'static Unit, find: &impl Fn(&'static Symbol) -> &'a Printed) -> bool {
    let lengths = |symbol: &'static Symbol| matches!(find(symbol).unit.dim, Dim::LENGTH | Dim::NONE);
    *unit == units::INCH && expr.symbols().into_iter().all(lengths)
}

/// How numbers are put into the lines of a system.
struct Lines<'f, F> {
    system: UnitSystem,
    inches: bool,
    find: &'f F,
}

impl<'a, F: Fn(&'static Symbol) -> &'a Printed> Lines<'_, F> {
    fn worked(&self, expr: &Expr, unit: &'static Unit) -> Expr {
        if let Some(short) = self.kept(expr, unit) {
            return self.with_ratios(&short);
        }
        in_unit(self.with_ratios(expr), self.way(unit))
    }

    fn way(&self, unit: &Unit) -> ToSi {
        match unit.symbol {
            "in" if self.inches => ToSi::Same,
            "ft" if self.inches => ToSi::Times(12.0, "12"),
            "mm" if self.inches => ToSi::Over(25.4, "25.4"),
            _ => way_of(unit, self.system),
        }
    }

    fn bare(&self, symbol: &'static Symbol) -> Expr {
        (self.find)(symbol).bare.clone()
    }

    /// A number with its conversion into the system of the line.
    fn converted(&self, symbol: &'static Symbol) -> Expr {
        let printed = (self.find)(symbol);
        match self.way(printed.unit) {
            ToSi::Same | ToSi::Degrees => printed.bare.clone(),
            ToSi::Times(_, text) => printed.bare.clone() * factor(text),
            ToSi::Over(_, text) => printed.bare.clone() / factor(text),
            ToSi::Scale(..) => panic!("a temperature goes into a formula as a rise, not on a scale"),
        }
    }

    /// The tree with the one number in this unit left as it is; none when that is not possible.
    fn kept(&self, expr: &Expr, unit: &'static Unit) -> Option<Expr> {
        let inside = |part: &Expr| self.kept(part, unit);
        match expr {
            Expr::Sym(symbol) => {
                let printed = (self.find)(symbol);
                let converted = matches!(self.way(unit), ToSi::Times(..) | ToSi::Over(..));
                (converted && printed.unit == unit).then(|| printed.bare.clone())
            }
            Expr::Neg(inner) => inside(inner).map(|inner| -inner),
            Expr::Sum(terms) => terms.iter().map(inside).collect::<Option<Vec<_>>>().map(Expr::Sum),
            Expr::Quot(over, under) => inside(over).map(|over| over / (**under).clone()),
            Expr::Prod(parts) => {
                let (at, short) =
                    parts.iter().enumerate().find_map(|(at, part)| Some((at, inside(part)?)))?;
                let mut parts = parts.clone();
                parts[at] = short;
                Some(Expr::Prod(parts))
            }
            _ => None,
        }
    }

    /// Puts the numbers in; where one unit stands above and below a line, neither is converted.
    fn with_ratios(&self, expr: &Expr) -> Expr {
        let units_of = |part: &Expr| {
            part.symbols().into_iter().map(|symbol| (self.find)(symbol).unit).collect::<Vec<_>>()
        };
        expr.rewrite(&|part| match part {
            Expr::Sym(symbol) => Some(self.converted(symbol)),
            Expr::Prod(parts) => self.together(parts).map(|short| self.with_ratios(&short)),
            Expr::Quot(over, under) => self
                .warmed(over, under)
                .or_else(|| {
                    units_of(over)
                        .into_iter()
                        .find_map(|unit| Some((self.kept(over, unit)?, self.kept(under, unit)?)))
                })
                .map(|(over, under)| self.with_ratios(&over) / self.with_ratios(&under)),
            _ => None,
        })
    }

    /// The first of some parts that is a number in this unit.
    fn place(&self, parts: &[Expr], unit: &'static Unit) -> Option<(usize, &'static Symbol)> {
        parts.iter().enumerate().find_map(|(at, part)| match part {
            Expr::Sym(symbol) if *(self.find)(symbol).unit == *unit => Some((at, *symbol)),
            _ => None,
        })
    }

    /// A product with two numbers that go together without the conversions of each: a weight in pounds, and a
    /// pressure on a volume.
    fn together(&self, parts: &[Expr]) -> Option<Expr> {
        self.weight(parts).or_else(|| self.pressed(parts))
    }

    /// A mass in pounds under standard gravity is as many pounds of force.
    fn weight(&self, parts: &[Expr]) -> Option<Expr> {
        let (at, mass) = self.place(parts, &units::POUND)?;
        let gravity = parts.iter().position(
            |part| matches!(part, Expr::Sym(symbol) if symbol.dim == Dim::ACCELERATION && symbol.plain == "g"),
        )?;
        let mut parts = parts.to_vec();
        parts[at] = self.bare(mass);
        parts.remove(gravity);
        Some(product(parts))
    }

    /// Pounds on the square inch times cubic inches: inch-pounds, a twelfth of foot-pounds.
    fn pressed(&self, parts: &[Expr]) -> Option<Expr> {
        let (pressure, p) = self.place(parts, &units::PSI)?;
        let (volume, v) = self.place(parts, &units::CUBIC_INCH)?;
        let mut parts = parts.to_vec();
        parts[pressure] = self.bare(p);
        parts[volume] = self.bare(v);
        Some(product(parts) / factor("12"))
    }

    /// Heat in BTU over pounds that take BTU for each pound and Fahrenheit degree: nothing is converted.
    fn warmed(&self, over: &Expr, under: &Expr) -> Option<(Expr, Expr)> {
        let (Expr::Sym(heat), Expr::Prod(parts)) = (over, under) else { return None };
        let (mass, m) = self.place(parts, &units::POUND)?;
        let (capacity, c) = self.place(parts, &units::BTU_PER_POUND)?;
        let mut parts = parts.clone();
        parts[mass] = self.bare(m);
        parts[capacity] = self.bare(c);
        (*(self.find)(heat).unit == units::BTU).then(|| (self.bare(heat), product(parts)))
    }
}

fn product(mut parts: Vec<Expr>) -> Expr {
    if parts.len() == 1 { parts.remove(0) } else { Expr::Prod(parts) }
}

/// The tree taken from the system of the line to the unit of the result.
fn in_unit(expr: Expr, way: ToSi) -> Expr {
    match way {
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
pub(super) fn calculated(numbers: &Expr, unit: &Unit) -> f64 {
    let value = numbers.value(&|symbol| panic!("`{}` has no number", symbol.id));
    if unit.to_si == ToSi::Degrees { value.to_degrees() } else { value }
}
