//! What a club's page is given, said where it asks for something else.

use std::collections::BTreeMap;
use std::error::Error as _;
use std::ops::Range;

use minijinja::value::{Value, ValueKind};
use minijinja::{Error, ErrorKind, Template};

use crate::problem::{Failure, Problem, render_problems};

/// Names that are there besides what the page is given.
const ALWAYS: [&str; 2] = ["c", "loop"];

/// Names that a club's template asks for, whether or not this course comes by there, and that nobody gives.
pub(in crate::print) fn strangers(
    template: &Template,
    file: &str,
    text: &str,
    context: &Value,
) -> Result<(), Failure> {
    let given = keys(context);
    let mut strangers: Vec<String> = template.undeclared_variables(false).into_iter().collect();
    strangers.retain(|name| !given.contains(name) && !ALWAYS.contains(&name.as_str()));
    strangers.sort();
    let problems = strangers.iter().map(|name| {
        let problem =
            Problem::new(format!("`{name}` is not given to this page")).help(there_are("this page", &given));
        match place_of(text, name) {
            Some(place) => problem.at(place),
            None => problem,
        }
    });
    let problems: Vec<Problem> = problems.collect();
    if problems.is_empty() {
        return Ok(());
    }
    Err(failure(&render_problems(file, text, &problems, false)))
}

/// An error in filling a page that a club has worded, in its own template, and what is given there.
pub(in crate::print) fn offered(
    error: &Error,
    context: &Value,
    sources: &BTreeMap<String, String>,
) -> Failure {
    let error = innermost(error);
    let Some((name, text)) = error.name().and_then(|name| sources.get_key_value(name)) else {
        return failure(&format!("a club's page cannot be filled: {error}"));
    };
    let detail = error.detail().unwrap_or_default();
    let stranger = error.kind() == ErrorKind::UndefinedError || detail.contains("an undefined value");
    let what = match error.kind() {
        ErrorKind::OutOfFuel => "this page never ends: what is repeated in it?".to_owned(),
        _ if stranger => "nothing of this name is given here".to_owned(),
        kind => error.detail().map_or_else(|| kind.to_string(), str::to_owned),
    };
    let mut problem = Problem::new(what);
    if let Some(range) = error.range() {
        if stranger {
            problem = problem.help(help(asked(text, range.clone()), text, context));
        }
        problem = problem.at(range);
    }
    failure(&render_problems(name, text, &[problem], false))
}

/// The name that was asked for: the place is it, or the filter behind it.
fn asked(text: &str, range: Range<usize>) -> &str {
    let before = text.get(..range.start).unwrap_or_default().trim_end();
    match before.strip_suffix('|') {
        Some(value) => value.rsplit([' ', '{', '(', '%']).next().unwrap_or_default(),
        None => text.get(range).unwrap_or_default(),
    }
}

fn failure(shown: &str) -> Failure {
    Failure::Course(vec![Problem::new(shown.trim_end())])
}

/// The error that others were made of.
fn innermost(error: &Error) -> &Error {
    let mut at = error;
    while let Some(inner) = at.source().and_then(|source| source.downcast_ref::<Error>()) {
        at = inner;
    }
    at
}

/// What there is where an expression looked for something.
fn help(asked: &str, text: &str, context: &Value) -> String {
    let path = asked.trim().split(['|', ' ', '(']).next().unwrap_or_default();
    let (first, rest) = path.split_once('.').unwrap_or((path, ""));
    // A name of `{% for s in slopes %}` stands for the first of them.
    let repeated = text.split_once(&format!("for {first} in ")).map(|(_, over)| {
        let over = over.split([' ', '|', '%']).next().unwrap_or_default();
        format!("{over}.0.{rest}")
    });
    let mut here = context.clone();
    let mut what = String::new();
    for part in repeated.as_deref().unwrap_or(path).split('.') {
        let next = match part.parse::<usize>() {
            Ok(number) => here.get_item(&Value::from(number)),
            Err(_) => here.get_attr(part),
        };
        let Some(next) = next.ok().filter(|next| matches!(next.kind(), ValueKind::Map | ValueKind::Seq))
        else {
            break;
        };
        what = if what.is_empty() { part.to_owned() } else { format!("{what}.{part}") };
        here = next;
    }
    let name = match (what.as_str(), &repeated) {
        ("", _) => "this page".to_owned(),
        (_, Some(_)) => format!("`{first}`"),
        (what, None) => format!("`{what}`"),
    };
    there_are(&name, &keys(&here))
}

fn there_are(what: &str, keys: &[String]) -> String {
    format!("{what} has {}", keys.join(", "))
}

/// Names that a map gives, in order.
fn keys(map: &Value) -> Vec<String> {
    let mut keys: Vec<String> =
        map.try_iter().into_iter().flatten().filter_map(|key| key.as_str().map(str::to_owned)).collect();
    keys.sort();
    keys
}

/// Where a name stands in a tag.
fn place_of(text: &str, name: &str) -> Option<Range<usize>> {
    let word = |c: char| c.is_alphanumeric() || c == '_' || c == '.';
    text.match_indices(name).map(|(at, _)| at..at + name.len()).find(|at| {
        let before = text[..at.start].chars().next_back();
        let after = text[at.end..].chars().next();
        let open = text[..at.start].rfind(['{', '}']).is_some_and(|open| {
            let sign = text[..=open].ends_with('{') && text[..open].ends_with('{');
            sign || text[open..].starts_with("{%")
        });
        open && !before.is_some_and(word) && !after.is_some_and(|c| c != '.' && word(c))
    })
}
