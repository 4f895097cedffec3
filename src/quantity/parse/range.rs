//! Ranges of a plain number: `0.4–0.6`, `0.4 to 0.6`.

use super::number::{Scan, short};
use super::{ParseError, plain, tidy};

/// Reads a number, or two with a dash or `to` between, as low and high.
///
/// # Errors
/// When the text is neither, or falls.
pub fn parse_range(text: &str) -> Result<(f64, f64), ParseError> {
    let tidy = tidy(text).replace('…', "-").replace("...", "-").replace("..", "-");
    let mut scan = Scan::new(&tidy);
    let low = scan.number()?;
    if scan.rest().is_empty() {
        return Ok((low, low));
    }
    if !(scan.passes("-") || scan.passes("to ")) {
        return Err(not_a_range(text));
    }
    let high = scan.number()?;
    if !scan.rest().is_empty() {
        return Err(not_a_range(text));
    }
    if low > high {
        let (low, high) = (plain(low), plain(high));
        return Err(ParseError::new(
            format!("the range falls from {low} to {high}"),
            format!("write {high}–{low}"),
        ));
    }
    Ok((low, high))
}

fn not_a_range(text: &str) -> ParseError {
    ParseError::new(
        format!("`{}` is not a number or a range", short(text)),
        "write 0.5 or 0.4–0.6, without a unit",
    )
}
