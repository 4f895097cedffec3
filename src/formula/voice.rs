//! One printer for formulas, with three voices: typeset mathematics, plain text, words.

use super::{Expr, Function, Literal, Symbol};

/// How tightly a written part holds together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Tie {
    Sum,
    Product,
    Power,
    Atom,
}

/// A way of saying the parts of a formula. The printer adds the brackets.
pub trait Voice {
    /// A letter.
    fn symbol(&self, symbol: &Symbol) -> String;
    /// A number.
    fn literal(&self, literal: &Literal) -> String;
    /// π.
    fn pi(&self) -> String;
    /// Factors multiplied.
    fn product(&self, factors: &[String], numbers: bool) -> String;
    /// One part over another; brackets are there where [`Voice::needs_brackets_in_quotient`] asks.
    fn quotient(&self, over: &str, under: &str) -> String;
    /// A power.
    fn power(&self, base: &str, power: i32) -> String;
    /// A function.
    fn call(&self, function: Function, inner: &str) -> String;
    /// Brackets.
    fn brackets(&self, inner: &str) -> String;
    /// Between two terms added.
    fn plus(&self) -> &'static str;
    /// Between two terms of which the second is taken away.
    fn minus(&self) -> &'static str;
    /// Before a term with its sign changed.
    fn negative(&self) -> &'static str;
    /// Whether a quotient is written on one line.
    fn needs_brackets_in_quotient(&self) -> bool {
        true
    }
}

/// A tree in a voice.
pub fn say(expr: &Expr, voice: &impl Voice) -> String {
    part(expr, voice).0
}

fn part(expr: &Expr, voice: &impl Voice) -> (String, Tie) {
    match expr {
        Expr::Lit(literal) if literal.value < 0.0 => (voice.literal(literal), Tie::Sum),
        Expr::Lit(literal) => (voice.literal(literal), Tie::Atom),
        Expr::Pi => (voice.pi(), Tie::Atom),
        Expr::Sym(symbol) => (voice.symbol(symbol), Tie::Atom),
        Expr::Neg(inner) => (format!("{}{}", voice.negative(), tied(inner, Tie::Product, voice)), Tie::Sum),
        Expr::Sum(terms) => (sum(terms, voice), Tie::Sum),
        Expr::Prod(factors) => (product(factors, voice), Tie::Product),
        Expr::Quot(over, under) => (quotient(over, under, voice), Tie::Product),
        Expr::Pow(base, power) => (voice.power(&tied(base, Tie::Atom, voice), *power), Tie::Power),
        Expr::Call(function, inner) => (voice.call(*function, &say(inner, voice)), Tie::Atom),
    }
}

fn tied(expr: &Expr, at_least: Tie, voice: &impl Voice) -> String {
    let (text, tie) = part(expr, voice);
    if tie < at_least { voice.brackets(&text) } else { text }
}

fn sum(terms: &[Expr], voice: &impl Voice) -> String {
    let mut text = String::new();
    for (place, term) in terms.iter().enumerate() {
        match term {
            Expr::Neg(inner) if place > 0 => {
                text.push_str(voice.minus());
                text.push_str(&tied(inner, Tie::Product, voice));
            }
            _ if place > 0 => {
                text.push_str(voice.plus());
                text.push_str(&tied(term, Tie::Product, voice));
            }
            _ => text.push_str(&part(term, voice).0),
        }
    }
    text
}

fn product(factors: &[Expr], voice: &impl Voice) -> String {
    let said: Vec<String> = factors
        .iter()
        .enumerate()
        .map(|(place, factor)| match factor {
            Expr::Quot(..) if place > 0 && voice.needs_brackets_in_quotient() => {
                voice.brackets(&say(factor, voice))
            }
            _ => tied(factor, Tie::Product, voice),
        })
        .collect();
    voice.product(&said, factors.iter().any(has_number))
}

fn has_number(expr: &Expr) -> bool {
    match expr {
        Expr::Lit(_) => true,
        Expr::Quot(over, under) => has_number(over) || has_number(under),
        Expr::Prod(parts) | Expr::Sum(parts) => parts.iter().any(has_number),
        Expr::Neg(inner) | Expr::Pow(inner, _) | Expr::Call(_, inner) => has_number(inner),
        Expr::Pi | Expr::Sym(_) => false,
    }
}

fn quotient(over: &Expr, under: &Expr, voice: &impl Voice) -> String {
    if voice.needs_brackets_in_quotient() {
        voice.quotient(&tied(over, Tie::Product, voice), &tied(under, Tie::Power, voice))
    } else {
        voice.quotient(&say(over, voice), &say(under, voice))
    }
}

/// Typeset mathematics, as the typesetter reads it.
pub struct Typeset;

impl Voice for Typeset {
    fn symbol(&self, symbol: &Symbol) -> String {
        symbol.math.to_owned()
    }
    fn literal(&self, literal: &Literal) -> String {
        let digits = literal.text.replace('−', "-");
        if literal.degrees { format!("{digits} degree") } else { digits }
    }
    fn pi(&self) -> String {
        "pi".to_owned()
    }
    fn product(&self, factors: &[String], numbers: bool) -> String {
        factors.join(if numbers { " times " } else { " thin " })
    }
    fn quotient(&self, over: &str, under: &str) -> String {
        format!("frac({over}, {under})")
    }
    fn power(&self, base: &str, power: i32) -> String {
        format!("{base}^({power})")
    }
    fn call(&self, function: Function, inner: &str) -> String {
        match function {
            Function::Sqrt => format!("sqrt({inner})"),
            Function::Sin => format!("sin({inner})"),
            Function::Cos => format!("cos({inner})"),
            Function::Tan => format!("tan({inner})"),
            Function::Atan => format!("op(\"atan\")({inner})"),
            Function::Exp => format!("exp({inner})"),
            Function::Ln => format!("ln({inner})"),
        }
    }
    fn brackets(&self, inner: &str) -> String {
        format!("({inner})")
    }
    fn plus(&self) -> &'static str {
        " + "
    }
    fn minus(&self) -> &'static str {
        " - "
    }
    fn negative(&self) -> &'static str {
        "- "
    }
    fn needs_brackets_in_quotient(&self) -> bool {
        false
    }
}

/// Plain text that a pocket calculator in degrees can follow.
pub struct Plain;

impl Voice for Plain {
    fn symbol(&self, symbol: &Symbol) -> String {
        symbol.plain.to_owned()
    }
    fn literal(&self, literal: &Literal) -> String {
        if literal.degrees { format!("{}°", literal.text) } else { literal.text.clone() }
    }
    fn pi(&self) -> String {
        "π".to_owned()
    }
    fn product(&self, factors: &[String], _numbers: bool) -> String {
        factors.join(" × ")
    }
    fn quotient(&self, over: &str, under: &str) -> String {
        format!("{over} ÷ {under}")
    }
    fn power(&self, base: &str, power: i32) -> String {
        if power < 0 { format!("{base}^(−{})", power.unsigned_abs()) } else { format!("{base}^{power}") }
    }
    fn call(&self, function: Function, inner: &str) -> String {
        let name = match function {
            Function::Sqrt => "√",
            Function::Sin => "sin",
            Function::Cos => "cos",
            Function::Tan => "tan",
            Function::Atan => "atan",
            Function::Exp => "exp",
            Function::Ln => "ln",
        };
        format!("{name}({inner})")
    }
    fn brackets(&self, inner: &str) -> String {
        format!("({inner})")
    }
    fn plus(&self) -> &'static str {
        " + "
    }
    fn minus(&self) -> &'static str {
        " − "
    }
    fn negative(&self) -> &'static str {
        "−"
    }
}

/// Words, for a screen reader.
pub struct Words;

impl Voice for Words {
    fn symbol(&self, symbol: &Symbol) -> String {
        symbol.name.to_owned()
    }
    fn literal(&self, literal: &Literal) -> String {
        let digits = literal.text.replace('−', "minus ");
        if literal.degrees { format!("{digits} degrees") } else { digits }
    }
    fn pi(&self) -> String {
        "pi".to_owned()
    }
    fn product(&self, factors: &[String], _numbers: bool) -> String {
        factors.join(" times ")
    }
    fn quotient(&self, over: &str, under: &str) -> String {
        format!("{over} divided by {under}")
    }
    fn power(&self, base: &str, power: i32) -> String {
        match power {
            2 => format!("{base} squared"),
            3 => format!("{base} cubed"),
            _ => format!("{base} to the power {power}"),
        }
    }
    fn call(&self, function: Function, inner: &str) -> String {
        match function {
            Function::Sqrt => format!("the square root of {inner}, end of root"),
            Function::Sin => format!("the sine of {inner}"),
            Function::Cos => format!("the cosine of {inner}"),
            Function::Tan => format!("the tangent of {inner}"),
            Function::Atan => format!("the angle whose tangent is {inner}"),
            Function::Exp => format!("e to the power {inner}"),
            Function::Ln => format!("the natural logarithm of {inner}"),
        }
    }
    fn brackets(&self, inner: &str) -> String {
        format!("open bracket {inner} close bracket")
    }
    fn plus(&self) -> &'static str {
        " plus "
    }
    fn minus(&self) -> &'static str {
        " minus "
    }
    fn negative(&self) -> &'static str {
        "minus "
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::formula::Algebra;

    fn n(value: f64) -> Expr {
        Expr::number(value)
    }

    #[test]
    fn brackets_stand_where_a_calculator_needs_them() {
        assert_eq!(say(&(n(2.0) * (n(3.0) / n(4.0))), &Plain), "2 × (3 ÷ 4)");
        assert_eq!(say(&(n(2.0) / (n(3.0) * n(4.0))), &Plain), "2 ÷ (3 × 4)");
        assert_eq!(say(&((n(2.0) / n(3.0)) * n(4.0)), &Plain), "2 ÷ 3 × 4");
        assert_eq!(say(&((n(2.0) / n(3.0)) / (n(4.0) / n(5.0))), &Plain), "2 ÷ 3 ÷ (4 ÷ 5)");
        assert_eq!(say(&(n(2.0) - (n(3.0) - n(4.0))), &Plain), "2 − (3 − 4)");
        assert_eq!(say(&((n(2.0) + n(3.0)).squared() * n(4.0)), &Plain), "(2 + 3)^2 × 4");
        assert_eq!(say(&(n(2.0) * n(3.0)).squared(), &Plain), "(2 × 3)^2");
        assert_eq!(say(&(-n(2.0) + n(3.0)), &Plain), "−2 + 3");
    }

    #[test]
    fn fractions_stack_when_typeset() {
        assert_eq!(say(&(n(2.0) / (n(3.0) * n(4.0))), &Typeset), "frac(2, 3 times 4)");
        assert_eq!(say(&(n(2.0).sqrt()), &Typeset), "sqrt(2)");
    }

    #[test]
    fn words_say_the_same() {
        assert_eq!(
            say(&(n(2.0) / (n(3.0) + n(4.0))), &Words),
            "2 divided by open bracket 3 plus 4 close bracket"
        );
    }
}
