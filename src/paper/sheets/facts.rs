//! What a candidate may look up on the paper: how the units of its questions change into one another.

use crate::page::worked::{WEIGHT_AND_MASS, change_of};
use crate::paper::form::Form;
use crate::paper::item::{Body, Question};
use crate::quantity::{ToSi, Unit, UnitSystem, unit_named, units, way_of};

/// `1 m/s = 3.6 km/h`, `1 mph = 1.467 ft/s`: for every unit of a form that is not the one its lines are worked in, or a
/// power of ten of it.
pub(super) fn conversions(form: &Form, system: UnitSystem) -> Vec<String> {
    let mut found: Vec<&'static Unit> = Vec::new();
    for unit in form.questions.iter().flat_map(of_question) {
        if !found.contains(&unit) {
            found.push(unit);
        }
    }
    let pounds = system == UnitSystem::Imperial && found.contains(&&units::POUND);
    let mut said: Vec<String> = found.into_iter().filter_map(|unit| conversion(unit, system)).collect();
    said.sort();
    said.extend(pounds.then(|| WEIGHT_AND_MASS.to_owned()));
    said
}

fn of_question(question: &Question) -> Vec<&'static Unit> {
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

fn conversion(unit: &'static Unit, system: UnitSystem) -> Option<String> {
    let power_of_ten = |text: &str| text.trim_start_matches('1').chars().all(|c| c == '0');
    match way_of(unit, system) {
        ToSi::Times(_, text) | ToSi::Over(_, text) if power_of_ten(text) => None,
        _ => change_of(unit, system),
    }
}
