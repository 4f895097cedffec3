//! Grades: degrees, per cent, 1:n.

use super::number::{Scan, short};
use super::{ParseError, find, plain};
use crate::quantity::{Unit, units as u};

static UNITS: &[&Unit] = &[&u::DEGREE, &u::PERCENT];

const WAYS: &str = "write degrees (22°), per cent (40 %) or 1:n (1:2.5)";

/// A grade as an angle below the horizontal, rad. Per cent is 100 tan θ; 1:n is n horizontal for
/// 1 vertical, the convention of plans (older road signs measured n along the road).
pub(super) fn radians(text: &str) -> Result<f64, ParseError> {
    let mut scan = Scan::new(text);
    let number = scan.number()?;
    let (rest, way) = direction(scan.rest());
    let angle = if rest.is_empty() {
        return Err(bare(number));
    } else if let Some(run) = after_one_to(rest) {
        one_to(number, run, text)?
    } else {
        match find(rest, UNITS) {
            Some(unit) if *unit == u::DEGREE => number.to_radians(),
            Some(_) => libm::atan(number / 100.0),
            None => return Err(ParseError::new(format!("`{}` is not a grade", short(text)), WAYS)),
        }
    };
    Ok(angle * way)
}

/// The text without `up` or `down` at its end, and the sign they stand for.
fn direction(text: &str) -> (&str, f64) {
    for (word, sign) in [("downhill", 1.0), ("down", 1.0), ("uphill", -1.0), ("up", -1.0)] {
        if let Some(rest) = text.strip_suffix(word) {
            return (rest.trim(), sign);
        }
    }
    (text, 1.0)
}

/// What follows `:` or `in` in `1:2.5` and `1 in 2.5`.
fn after_one_to(rest: &str) -> Option<&str> {
    let run =
        rest.strip_prefix(':').or_else(|| rest.strip_prefix("in ")).or_else(|| rest.strip_prefix("-in-"))?;
    Some(run.trim())
}

fn one_to(rise: f64, run: &str, text: &str) -> Result<f64, ParseError> {
    let mut scan = Scan::new(run);
    let run = scan.number_without_sign()?;
    if !scan.rest().is_empty() || run <= 0.0 {
        return Err(ParseError::new(format!("`{}` is not a grade", short(text)), WAYS));
    }
    if (rise.abs() - 1.0).abs() > 1e-9 {
        let n = plain(run / rise.abs().max(1e-9));
        return Err(ParseError::new(
            format!("`{}` does not begin with 1", short(text)),
            format!("write 1:n, n horizontal for 1 vertical: 1:{n} if the height comes first"),
        ));
    }
    Ok(libm::atan(1.0 / run) * rise.signum())
}

fn bare(number: f64) -> ParseError {
    let shown = plain(number);
    ParseError::new(format!("`{shown}` may be degrees or per cent"), format!("write {shown}° or {shown} %"))
}
