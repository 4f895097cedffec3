//! A shape as a schema.

use serde_json::{Map, Value, json};

use super::scalar::{Defs, meant, scalar};
use super::shape::Shape;
use crate::course::cursor::Form;

/// The schema of a value.
pub(super) fn value(shape: &Shape, defs: &mut Defs) -> Value {
    let mut ways: Vec<Value> = Vec::new();
    for form in &shape.forms {
        let way = if *form == Form::List { list(shape, defs) } else { scalar(form, defs) };
        if !ways.contains(&way) {
            ways.push(way);
        }
    }
    if !shape.maps.is_empty() {
        ways.push(object(shape, defs));
    }
    if let Some(named) = &shape.named {
        ways.push(json!({"type": "object", "additionalProperties": value(named, defs)}));
    }
    let mut told = about(shape);
    let body = match ways.len() {
        0 => json!({}),
        1 => ways.remove(0),
        _ => json!({"anyOf": ways}),
    };
    if let Value::Object(body) = body {
        told.extend(body);
    }
    Value::Object(told)
}

/// What a value is, in words, and how it was written in the examples.
fn about(shape: &Shape) -> Map<String, Value> {
    let mut about = Map::new();
    let forms: Vec<String> = shape.forms.iter().filter_map(meant).collect();
    let sort = (!forms.is_empty()).then(|| forms.join("; or "));
    let words: Vec<String> = shape.told.iter().cloned().chain(sort).collect();
    if !words.is_empty() {
        about.insert("description".to_owned(), json!(words.join(" ")));
    } else if let Some(what) = &shape.what {
        about.insert("description".to_owned(), json!(what.trim_matches('`')));
    }
    let chosen = |form: &Form| matches!(form, Form::Choice(_) | Form::Name(_));
    if !shape.examples.is_empty() && !shape.forms.iter().any(chosen) {
        about.insert("examples".to_owned(), json!(shape.examples));
    }
    about
}

fn list(shape: &Shape, defs: &mut Defs) -> Value {
    let items = shape.item.as_ref().map_or(json!(true), |item| value(item, defs));
    json!({"type": "array", "minItems": 1, "items": items})
}

fn object(shape: &Shape, defs: &mut Defs) -> Value {
    let mut body = Map::new();
    body.insert("type".to_owned(), json!("object"));
    let properties: Map<String, Value> =
        shape.keys.iter().map(|(key, inner)| (key.clone(), value(inner, defs))).collect();
    body.insert("properties".to_owned(), Value::Object(properties));
    body.insert("additionalProperties".to_owned(), json!(false));
    let required = required(shape);
    if !required.is_empty() {
        body.insert("required".to_owned(), json!(required));
    }
    let mut all: Vec<Value> = Vec::new();
    for sets in distinct(shape.maps.iter().flat_map(|keys| &keys.one_of)) {
        let sets: Vec<Value> = sets.iter().map(|set| json!({"required": set})).collect();
        all.push(json!({"anyOf": sets}));
    }
    all.extend(of_a_kind(shape));
    if !all.is_empty() {
        body.insert("allOf".to_owned(), json!(all));
    }
    let together = distinct(shape.maps.iter().flat_map(|keys| &keys.together));
    if !together.is_empty() {
        let with =
            |key: &str, keys: &[&str]| json!(keys.iter().filter(|one| **one != key).collect::<Vec<_>>());
        let pairs =
            together.iter().flat_map(|keys| keys.iter().map(move |key| ((*key).to_owned(), with(key, keys))));
        body.insert("dependentRequired".to_owned(), Value::Object(pairs.collect()));
    }
    Value::Object(body)
}

/// Keys that were needed each time, but for those that others may stand for.
fn required(shape: &Shape) -> Vec<&'static str> {
    let Some((first, rest)) = shape.maps.split_first() else { return Vec::new() };
    let replaced = |key: &str| {
        shape.maps.iter().flat_map(|keys| &keys.one_of).any(|sets| sets.iter().any(|set| set.contains(&key)))
    };
    let always = |key: &&&'static str| rest.iter().all(|keys| keys.needed.contains(key)) && !replaced(key);
    first.needed.iter().filter(always).copied().collect()
}

/// Keys that belong to some kinds only are refused to the others.
fn of_a_kind(shape: &Shape) -> Vec<Value> {
    let Some((_, kind)) = shape.keys.iter().find(|(key, _)| key == "kind") else { return Vec::new() };
    let Some(Form::Choice(kinds)) = kind.forms.first() else { return Vec::new() };
    let asks = |kind: &str, key: &str| {
        let mut of_kind = shape.maps.iter().filter(|keys| keys.kind.as_deref() == Some(kind)).peekable();
        // A kind that no example shows may have any key.
        of_kind.peek().is_none() || of_kind.any(|keys| keys.asked.contains(&key))
    };
    let mut rules: Vec<(Vec<&str>, Vec<&str>)> = Vec::new();
    for (key, _) in &shape.keys {
        let without: Vec<&str> = kinds.iter().map(String::as_str).filter(|kind| !asks(kind, key)).collect();
        match rules.iter_mut().find(|(kinds, _)| *kinds == without) {
            _ if without.is_empty() => {}
            Some((_, keys)) => keys.push(key),
            None => rules.push((without, vec![key])),
        }
    }
    let rule = |(kinds, keys): (Vec<&str>, Vec<&str>)| {
        let none: Map<String, Value> = keys.into_iter().map(|key| (key.to_owned(), json!(false))).collect();
        let of_kind = json!({"properties": {"kind": {"enum": kinds}}, "required": ["kind"]});
        json!({"if": of_kind, "then": {"properties": none}})
    };
    rules.into_iter().map(rule).collect()
}

fn distinct<'a, T: PartialEq + 'a>(all: impl Iterator<Item = &'a T>) -> Vec<&'a T> {
    let mut found: Vec<&T> = Vec::new();
    for one in all {
        if !found.contains(&one) {
            found.push(one);
        }
    }
    found
}
