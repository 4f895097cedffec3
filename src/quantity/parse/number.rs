//! Numbers as people write them.

use super::ParseError;

/// Fractions that have a character of their own.
const FRACTIONS: &[(char, f64)] = &[
    ('½', 0.5),
    ('¼', 0.25),
    ('¾', 0.75),
    ('⅓', 1.0 / 3.0),
    ('⅔', 2.0 / 3.0),
    ('⅛', 0.125),
    ('⅜', 0.375),
    ('⅝', 0.625),
    ('⅞', 0.875),
];

/// Reads numbers and words from the front of a tidied text.
pub(super) struct Scan<'a> {
    rest: &'a str,
}

impl<'a> Scan<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        Self { rest: text }
    }

    /// What is left, without spaces around it.
    pub(super) fn rest(&self) -> &'a str {
        self.rest.trim()
    }

    /// Whether the text goes on with a word; it is then passed over.
    pub(super) fn passes(&mut self, word: &str) -> bool {
        let Some(rest) = self.rest().strip_prefix(word) else { return false };
        self.rest = rest;
        true
    }

    /// A number with an optional sign.
    pub(super) fn number(&mut self) -> Result<f64, ParseError> {
        let negative = self.passes("-");
        if !negative {
            self.passes("+");
        }
        let value = self.number_without_sign()?;
        Ok(if negative { -value } else { value })
    }

    /// A number: `45`, `4.10`, `.5`, `½`, `1½`, `3/4`, `1 1/2`.
    pub(super) fn number_without_sign(&mut self) -> Result<f64, ParseError> {
        let text = self.rest();
        let digits =
            text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit() || "._,".contains(c)).len();
        let digits = text[..digits].trim_end_matches(',').len();
        let (written, rest) = text.split_at(digits);
        reject_marks(written, rest)?;
        self.rest = rest;
        if written.is_empty() {
            return self.fraction_mark().ok_or_else(|| no_number(text));
        }
        let value: f64 = written.parse().map_err(|_| no_number(text))?;
        if !value.is_finite() {
            return Err(ParseError::new(
                format!("`{}` is too large a number", short(written)),
                "write a smaller one",
            ));
        }
        if let Some(below) = self.passes_slash() {
            return below.map(|below| value / below);
        }
        Ok(value + self.fraction_mark().or_else(|| self.mixed_fraction()).unwrap_or(0.0))
    }

    /// The next word: up to a space before a digit, or to a digit.
    pub(super) fn word(&mut self) -> &'a str {
        let text = self.rest();
        let starts_number = |c: char| c.is_ascii_digit() || FRACTIONS.iter().any(|(mark, _)| *mark == c);
        let end = text.find(starts_number).filter(|end| *end > 0).unwrap_or(text.len());
        let (word, rest) = text.split_at(end);
        self.rest = rest;
        word.trim()
    }

    fn fraction_mark(&mut self) -> Option<f64> {
        let first = self.rest().chars().next()?;
        let (_, value) = FRACTIONS.iter().find(|(mark, _)| *mark == first)?;
        self.rest = &self.rest()[first.len_utf8()..];
        Some(*value)
    }

    /// The lower half of `3/4`, when a slash and digits follow directly.
    fn passes_slash(&mut self) -> Option<Result<f64, ParseError>> {
        let after = self.rest.strip_prefix('/').or_else(|| self.rest.strip_prefix('⁄'))?;
        let digits = after.len() - after.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        let below: f64 = after[..digits].parse().ok()?;
        self.rest = &after[digits..];
        if below == 0.0 {
            return Some(Err(ParseError::new("a fraction with nothing below the line", "write it like 3/4")));
        }
        Some(Ok(below))
    }

    /// The fraction of `1 1/2`.
    fn mixed_fraction(&mut self) -> Option<f64> {
        let text = self.rest.strip_prefix(' ')?;
        let digits = text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        let above: f64 = text[..digits].parse().ok()?;
        let mut ahead = Self { rest: &text[digits..] };
        let below = ahead.passes_slash()?.ok()?;
        self.rest = ahead.rest;
        Some(above / below)
    }
}

/// Marks inside a number that mean different things to different people.
fn reject_marks(written: &str, rest: &str) -> Result<(), ParseError> {
    let shown = short(written);
    if written.contains('_') {
        return Err(ParseError::new(
            format!("`{shown}` is not a number here"),
            format!("write {}", short(&(written.replace('_', "") + rest))),
        ));
    }
    if written.contains(',') {
        let parts: Vec<&str> = written.split(',').collect();
        let thousands =
            parts[1..].iter().all(|part| part.split('.').next().is_some_and(|whole| whole.len() == 3));
        let without = short(&(written.replace(',', "") + rest));
        let decimal = short(&(written.replacen(',', ".", 1) + rest));
        return Err(match (thousands, parts.len()) {
            (true, 2) if !written.contains('.') => ParseError::new(
                format!("the comma in `{shown}` can be read two ways"),
                format!("write {without} if it marks thousands, {decimal} if it marks decimals"),
            ),
            (true, _) => {
                ParseError::new(format!("`{shown}` has commas between thousands"), format!("write {without}"))
            }
            (false, _) => ParseError::new(
                format!("`{shown}` has a comma for a decimal point"),
                format!("write {decimal}"),
            ),
        });
    }
    if written.matches('.').count() > 1 {
        return Err(ParseError::new(
            format!("`{shown}` has more than one decimal point"),
            "write it like 2450 or 2.45",
        ));
    }
    let exponent = rest.strip_prefix(['e', 'E']).map(|after| after.trim_start_matches(['+', '-']));
    if !written.is_empty() && exponent.is_some_and(|after| after.starts_with(|c: char| c.is_ascii_digit())) {
        return Err(ParseError::new("a number with a power of ten", "write it out: 2450 instead of 2.45e3"));
    }
    Ok(())
}

fn no_number(text: &str) -> ParseError {
    let lower = text.to_lowercase();
    if [".nan", ".inf", "nan", "inf", "infinity"].contains(&lower.trim_start_matches(['+', '-'])) {
        return ParseError::new(
            format!("`{}` is not a number one can reckon with", short(text)),
            "write a number",
        );
    }
    ParseError::new(format!("`{}` does not begin with a number", short(text)), "begin with a number, like 45")
}

/// Text cut so that it fits into a message.
pub(super) fn short(text: &str) -> String {
    const LONGEST: usize = 30;
    if text.chars().count() <= LONGEST {
        return text.to_owned();
    }
    let start: String = text.chars().take(LONGEST).collect();
    format!("{start}…")
}
