//! What values look like, gathered from examples and from what readers asked of them.

use super::told::told;
use crate::course::cursor::{Ask, Asked, Form};
use crate::course::tree::{Entry, Node, Value};

/// Examples shown with a value.
const MOST_EXAMPLES: usize = 3;

/// What a value may be.
#[derive(Debug, Default)]
pub(super) struct Shape {
    /// As what it is read where it is one value or a list.
    pub(super) forms: Vec<Form>,
    /// How it was read each time it had keys of its own.
    pub(super) maps: Vec<Keys>,
    /// Its keys in the order they are asked for, where the reader knows them.
    pub(super) keys: Vec<(String, Shape)>,
    /// An item of a list.
    pub(super) item: Option<Box<Shape>>,
    /// The value under a key that the course chooses itself.
    pub(super) named: Option<Box<Shape>>,
    /// As written in the examples.
    pub(super) examples: Vec<String>,
    /// What it is, in the words of the first example.
    pub(super) told: Option<String>,
    /// What a mapping is called: "a slope".
    pub(super) what: Option<String>,
}

/// What was asked of one mapping.
#[derive(Debug, Default)]
pub(super) struct Keys {
    /// The word under `kind`.
    pub(super) kind: Option<String>,
    pub(super) asked: Vec<&'static str>,
    pub(super) needed: Vec<&'static str>,
    pub(super) one_of: Vec<&'static [&'static [&'static str]]>,
    pub(super) together: Vec<&'static [&'static str]>,
}

impl Shape {
    /// Adds what an example shows; its text, if it tells what its keys mean.
    pub(super) fn add(&mut self, node: &Node, asked: &Asked, words: Option<&str>) {
        let forms = asked.of_node(node).into_iter().filter_map(|ask| match ask {
            Ask::Form(form) => Some(form),
            _ => None,
        });
        let mut forms: Vec<Form> = forms.collect();
        if forms.iter().any(|form| *form != Form::Words) {
            forms.retain(|form| *form != Form::Words);
        }
        for form in forms {
            if !self.forms.contains(&form) {
                self.forms.push(form);
            }
        }
        match &node.value {
            Value::Empty => {}
            Value::Text(text) => self.example(text),
            Value::List(nodes) => {
                for node in nodes {
                    self.item.get_or_insert_default().add(node, asked, words);
                }
            }
            Value::Map(entries) => self.mapping(entries, asked, words),
        }
    }

    fn example(&mut self, text: &str) {
        let new = self.examples.iter().all(|known| known != text);
        if new && self.examples.len() < MOST_EXAMPLES {
            self.examples.push(text.to_owned());
        }
    }

    fn mapping(&mut self, entries: &[Entry], asked: &Asked, words: Option<&str>) {
        let asks = asked.of_entries(entries);
        let keys = Keys::of(&asks, entries);
        if keys.asked.is_empty() {
            if asks.contains(&Ask::Named) {
                let named = self.named.get_or_insert_default();
                for entry in entries {
                    named.add(&entry.value, asked, words);
                }
            }
            return;
        }
        for ask in asks {
            if let Ask::What(what) = ask {
                self.what.get_or_insert(what);
            }
        }
        for key in &keys.asked {
            self.key(key);
        }
        for entry in entries.iter().filter(|entry| keys.asked.contains(&entry.key.as_str())) {
            let shape = self.key(&entry.key);
            shape.add(&entry.value, asked, words);
            if shape.told.is_none() {
                shape.told = words.and_then(|source| told(source, &entry.key_span));
            }
        }
        self.maps.push(keys);
    }

    fn key(&mut self, key: &str) -> &mut Shape {
        let at = self.keys.iter().position(|(known, _)| known == key).unwrap_or_else(|| {
            self.keys.push((key.to_owned(), Shape::default()));
            self.keys.len() - 1
        });
        &mut self.keys[at].1
    }
}

impl Keys {
    fn of(asks: &[Ask], entries: &[Entry]) -> Self {
        let kind =
            entries.iter().find(|entry| entry.key == "kind").and_then(|entry| match &entry.value.value {
                Value::Text(word) => Some(word.clone()),
                _ => None,
            });
        let mut keys = Self { kind, ..Self::default() };
        for ask in asks {
            match ask {
                Ask::Key(key) if !keys.asked.contains(key) => keys.asked.push(key),
                Ask::Needed(key) => keys.needed.push(key),
                Ask::OneOf(sets) => keys.one_of.push(sets),
                Ask::Together(with) => keys.together.push(with),
                _ => {}
            }
        }
        keys
    }
}
