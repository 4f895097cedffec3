//! Values as data in the typesetter's code: numbers for a drawing, rows for a table.

use minijinja::value::{Value, ValueKind};
use minijinja::{Error, ErrorKind};

use super::escape;

/// A value as a literal in code: numbers, truth values, none, text (as [`escape::printed`]),
/// lists as arrays, maps as dictionaries; trusted markup as a content block.
pub fn literal(value: &Value) -> Result<String, Error> {
    if value.is_safe() {
        return Ok(format!("[{value}]"));
    }
    match value.kind() {
        ValueKind::None => Ok("none".into()),
        ValueKind::Bool => Ok(if value.is_true() { "true" } else { "false" }.into()),
        ValueKind::Number => number(value),
        ValueKind::String => Ok(escape::printed(value.as_str().unwrap_or_default())),
        ValueKind::Map => map(value),
        ValueKind::Seq | ValueKind::Iterable => list(value),
        kind => Err(refuse(&format!("{kind} is not data for a page"))),
    }
}

/// A number, never in a form the typesetter would read as two tokens.
fn number(value: &Value) -> Result<String, Error> {
    if value.is_integer() {
        let whole = i64::try_from(value.clone()).map_err(|_| refuse("the number is too large"))?;
        return Ok(whole.to_string());
    }
    let number = f64::try_from(value.clone())?;
    if number.is_finite() { Ok(format!("{number:?}")) } else { Err(refuse("the number is not finite")) }
}

fn list(value: &Value) -> Result<String, Error> {
    let mut out = String::from("(");
    for item in value.try_iter()? {
        out.push_str(&literal(&item)?);
        out.push_str(", ");
    }
    out.push(')');
    Ok(out)
}

fn map(value: &Value) -> Result<String, Error> {
    let mut entries = String::new();
    for key in value.try_iter()? {
        let name = key.as_str().ok_or_else(|| refuse("only text can name an entry"))?;
        entries.push_str(&escape::literal(name));
        entries.push_str(": ");
        entries.push_str(&literal(&value.get_item(&key)?)?);
        entries.push_str(", ");
    }
    Ok(if entries.is_empty() { "(:)".into() } else { format!("({entries})") })
}

fn refuse(why: &str) -> Error {
    Error::new(ErrorKind::InvalidOperation, why.to_owned())
}
