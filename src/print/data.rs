//! Values as data in the typesetter's code: numbers for a drawing, rows for a table.

use std::fmt::Write as _;

use minijinja::value::{Value, ValueKind};
use minijinja::{Error, ErrorKind};

use super::escape;

/// Most that one value may be written as, bytes: lists within lists that hold the same ones again grow fast.
const MOST: usize = 4 << 20;

/// A value as a literal in code: numbers, truth values, none, text (as [`escape::printed`]),
/// lists as arrays, maps as dictionaries; trusted markup as a content block.
pub fn literal(value: &Value) -> Result<String, Error> {
    let mut out = String::new();
    write(value, &mut out)?;
    Ok(out)
}

fn write(value: &Value, out: &mut String) -> Result<(), Error> {
    if out.len() > MOST {
        return Err(refuse("this is more data than a page can hold"));
    }
    match value.kind() {
        _ if value.is_safe() => write!(out, "[{value}]").map_err(|_| refuse("no room"))?,
        ValueKind::None => out.push_str("none"),
        ValueKind::Bool => out.push_str(if value.is_true() { "true" } else { "false" }),
        ValueKind::Number => out.push_str(&number(value)?),
        ValueKind::String => out.push_str(&escape::printed(value.as_str().unwrap_or_default())),
        ValueKind::Map => map(value, out)?,
        ValueKind::Seq | ValueKind::Iterable => list(value, out)?,
        kind => return Err(refuse(&format!("{kind} is not data for a page"))),
    }
    Ok(())
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

fn list(value: &Value, out: &mut String) -> Result<(), Error> {
    out.push('(');
    for item in value.try_iter()? {
        write(&item, out)?;
        out.push_str(", ");
    }
    out.push(')');
    Ok(())
}

fn map(value: &Value, out: &mut String) -> Result<(), Error> {
    out.push('(');
    let mut empty = true;
    for key in value.try_iter()? {
        empty = false;
        let name = key.as_str().ok_or_else(|| refuse("only text can name an entry"))?;
        out.push_str(&escape::literal(name));
        out.push_str(": ");
        write(&value.get_item(&key)?, out)?;
        out.push_str(", ");
    }
    out.push_str(if empty { ":)" } else { ")" });
    Ok(())
}

fn refuse(why: &str) -> Error {
    Error::new(ErrorKind::InvalidOperation, why.to_owned())
}
