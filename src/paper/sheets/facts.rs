//! What a candidate may look up on the paper: how the units of its questions change into one another.

use crate::paper::form::Form;
use crate::paper::item::{Body, Question};
use crate::quantity::{ToSi, Unit, unit_named, units_of};

/// `1 mph = 0.44704 m/s` for every unit of a form that is not its plain unit or a power of ten of it.
pub fn conversions(form: &Form) -> Vec<String> {
    let mut found: Vec<&'static Unit> = Vec::new();
    for unit in form.questions.iter().flat_map(units) {
        if !found.contains(&unit) {
            found.push(unit);
        }
    }
    let mut said: Vec<String> = found.into_iter().filter_map(conversion).collect();
    said.sort();
    said
}

fn units(question: &Question) -> Vec<&'static Unit> {
    let variant = &question.variant;
    let given = variant.data.iter().filter_map(|(_, value)| unit_named(&value.u));
    let lines = variant.worked.iter().flat_map(|worked| worked.lines.iter().map(|line| line.unit));
    let asked = match &question.body {
        Body::Number(number) => Some(number.unit),
        _ => None,
    };
    // A gear is chosen by a speed that stands in the sentence alone.
    let said = variant
        .ask
        .split([' ', ','])
        .filter_map(unit_named)
        .filter(|unit| unit.symbol.contains("/h") || unit.symbol == "mph");
    given.chain(lines).chain(asked).chain(said).collect()
}

fn conversion(unit: &'static Unit) -> Option<String> {
    let plain = units_of(unit.dim).find(|plain| plain.is_coherent())?;
    let power_of_ten = |text: &str| text.trim_start_matches('1').chars().all(|c| c == '0');
    match unit.to_si {
        ToSi::Times(_, text) if !power_of_ten(text) => {
            Some(format!("1 {} = {text} {}", unit.symbol, plain.symbol))
        }
        ToSi::Over(_, text) if !power_of_ten(text) => {
            Some(format!("1 {} = {text} {}", plain.symbol, unit.symbol))
        }
        _ => None,
    }
}
