//! A single value as a schema, and in words.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use crate::course::cursor::Form;
use crate::quantity::range_form;

/// What several places refer to.
#[derive(Default)]
pub(super) struct Defs(BTreeMap<String, Value>);

impl Defs {
    /// A reference to what is called this.
    fn refer(&mut self, name: &str, body: Value) -> Value {
        let name = name.trim_start_matches("an ").trim_start_matches("a ").replace([' ', '\''], "-");
        let to = json!({"$ref": format!("#/$defs/{name}")});
        self.0.entry(name).or_insert(body);
        to
    }

    /// All of them.
    pub(super) fn written(self) -> Value {
        json!(self.0)
    }
}

/// The schema of a single value.
pub(super) fn scalar(form: &Form, defs: &mut Defs) -> Value {
    match form {
        Form::Words | Form::Name(_) | Form::List => {
            defs.refer("words", json!({"type": ["string", "number", "boolean"], "pattern": "\\S"}))
        }
        Form::Shaped(shape) => json!({"type": ["string", "number"], "pattern": shape}),
        Form::Id => {
            let shape = "^\\s*[\\p{Alphabetic}\\p{N}][\\p{Alphabetic}\\p{N}_.-]{0,39}\\s*$";
            defs.refer("short-name", json!({"type": ["string", "number", "boolean"], "pattern": shape}))
        }
        Form::File => {
            let shape = "^\\s*[^/~:\\\\\\s][^:\\\\]*$";
            defs.refer("file", json!({"type": ["string", "number", "boolean"], "pattern": shape}))
        }
        Form::Clock => {
            let shape = "^\\s*(?:[01]?[0-9]|2[0-3]):[0-5][0-9]\\s*$";
            defs.refer("clock", json!({"type": "string", "pattern": shape}))
        }
        Form::Range => {
            let text = json!({"type": "string", "pattern": range_form()});
            defs.refer("range", json!({"anyOf": [{"type": "number"}, text]}))
        }
        Form::Whole(low, high) => json!({"anyOf": [
            {"type": "integer", "minimum": low, "maximum": high},
            {"type": "string", "pattern": "^\\s*\\+?[0-9]+\\s*$"},
        ]}),
        Form::Quantity(quantity) => {
            let text = json!({"type": "string", "pattern": quantity.form});
            let text = defs.refer(quantity.name, text);
            match quantity.plain {
                None => text,
                Some((low, high)) => {
                    json!({"anyOf": [{"type": "number", "minimum": low, "maximum": high}, text]})
                }
            }
        }
        Form::Choice(words) => choice(words),
    }
}

/// The words for whoever completes them, and the same however they are written.
fn choice(words: &[String]) -> Value {
    let truth = |word: &&String| ["true", "false"].contains(&word.as_str());
    let mut told: Vec<Value> = words.iter().filter(|word| !truth(word)).map(|word| json!(word)).collect();
    if words.iter().any(|word| truth(&word)) {
        told.extend([json!(true), json!(false)]);
    }
    let letter = |letter: char| match letter {
        '-' => "[-_ ]".to_owned(),
        letter if letter.is_ascii_alphabetic() => {
            format!("[{}{}]", letter, letter.to_ascii_uppercase())
        }
        letter => letter.to_string(),
    };
    let any: Vec<String> = words.iter().map(|word| word.chars().map(letter).collect()).collect();
    let shape = format!("^\\s*(?:{})\\s*$", any.join("|"));
    json!({"anyOf": [{"enum": told}, {"type": "string", "pattern": shape}]})
}

/// What a value is, in words.
pub(super) fn meant(form: &Form) -> Option<String> {
    Some(match form {
        Form::Words | Form::List => return None,
        Form::Shaped(_) => "Six hexadecimal digits in quotes".to_owned(),
        Form::Quantity(quantity) => {
            let (low, high) = &quantity.bounds;
            format!("{}, from {low} to {high}.", large(quantity.name))
        }
        Form::Whole(low, high) => format!("A whole number from {low} to {high}."),
        Form::Range => "A number, or a range: 0.4–0.6.".to_owned(),
        Form::Choice(words) => {
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            format!("One of: {}.", words.join(", "))
        }
        Form::Id => "A short name: letters, digits and hyphens.".to_owned(),
        Form::Name(what) => format!("The short name of a {what}."),
        Form::File => "A file in the course's folder or below it.".to_owned(),
        Form::Clock => "A time of day on the 24-hour clock.".to_owned(),
    })
}

fn large(words: &str) -> String {
    words.replacen('a', "A", 1)
}
