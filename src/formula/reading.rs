//! Reads a printed line back, as a learner with a pocket calculator set to degrees would.
//!
//! Knows nothing of trees or symbols: it sees the text alone, so it can judge what was printed.

/// The value of a printed expression: `+ − × ÷ ^ ( )`, `√ sin cos tan atan exp ln`, `π`, `°`.
///
/// `°` turns degrees into a plain angle and `atan( )` answers in degrees.
///
/// # Errors
/// Says what could not be read, and where (in characters from 0).
pub fn evaluate(text: &str) -> Result<f64, String> {
    let mut reader = Reader { text: text.chars().collect(), place: 0 };
    let value = reader.sum()?;
    reader.skip_spaces();
    match reader.peek() {
        None => Ok(value),
        Some(other) => Err(format!("`{other}` at {} was not expected", reader.place)),
    }
}

/// Whether the left side of a printed line gives its right side to the last digit printed there.
///
/// # Errors
/// When the line is not `expression = number unit` or `expression ≈ number unit`.
pub fn line_holds(line: &str) -> Result<bool, String> {
    let (left, right) =
        line.split_once(" = ").or_else(|| line.split_once(" ≈ ")).ok_or("the line has no equals sign")?;
    let digits: String = right.chars().take_while(|c| c.is_ascii_digit() || matches!(c, '.' | '−')).collect();
    let decimals = digits.split_once('.').map_or(0, |(_, after)| after.len());
    Ok(format!("{:.decimals$}", evaluate(left)?).replace('-', "−") == digits)
}

struct Reader {
    text: Vec<char>,
    place: usize,
}

impl Reader {
    fn peek(&self) -> Option<char> {
        self.text.get(self.place).copied()
    }

    fn skip_spaces(&mut self) {
        while self.peek().is_some_and(char::is_whitespace) {
            self.place += 1;
        }
    }

    fn take(&mut self, wanted: char) -> bool {
        self.skip_spaces();
        let found = self.peek() == Some(wanted);
        self.place += usize::from(found);
        found
    }

    fn sum(&mut self) -> Result<f64, String> {
        let mut value = if self.take('−') { -self.product()? } else { self.product()? };
        loop {
            if self.take('+') {
                value += self.product()?;
            } else if self.take('−') {
                value -= self.product()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn product(&mut self) -> Result<f64, String> {
        let mut value = self.power()?;
        loop {
            if self.take('×') {
                value *= self.power()?;
            } else if self.take('÷') {
                value /= self.power()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn power(&mut self) -> Result<f64, String> {
        let base = self.atom()?;
        if !self.take('^') {
            return Ok(base);
        }
        let exponent = self.atom()?;
        Ok(libm::pow(base, exponent))
    }

    fn atom(&mut self) -> Result<f64, String> {
        self.skip_spaces();
        if self.take('(') {
            let value = self.sum()?;
            return if self.take(')') { Ok(value) } else { Err(format!("`)` is missing at {}", self.place)) };
        }
        match self.peek() {
            Some('π') => {
                self.place += 1;
                Ok(std::f64::consts::PI)
            }
            Some('√') => self.call(),
            Some(c) if c.is_ascii_digit() => self.number(),
            Some(c) if c.is_ascii_alphabetic() => self.call(),
            other => Err(format!("{other:?} at {} is not a number", self.place)),
        }
    }

    fn number(&mut self) -> Result<f64, String> {
        let start = self.place;
        while self.peek().is_some_and(|c| c.is_ascii_digit() || c == '.') {
            self.place += 1;
        }
        let text: String = self.text[start..self.place].iter().collect();
        let value: f64 = text.parse().map_err(|_| format!("`{text}` at {start} is not a number"))?;
        if self.peek() == Some('°') {
            self.place += 1;
            return Ok(value.to_radians());
        }
        Ok(value)
    }

    fn call(&mut self) -> Result<f64, String> {
        let start = self.place;
        while self.peek().is_some_and(|c| c.is_ascii_alphabetic() || c == '√') {
            self.place += 1;
        }
        let name: String = self.text[start..self.place].iter().collect();
        if self.peek() != Some('(') {
            return Err(format!("`(` is missing after `{name}` at {}", self.place));
        }
        let inner = self.atom()?;
        match name.as_str() {
            "√" => Ok(libm::sqrt(inner)),
            "sin" => Ok(libm::sin(inner)),
            "cos" => Ok(libm::cos(inner)),
            "tan" => Ok(libm::tan(inner)),
            "atan" => Ok(libm::atan(inner).to_degrees()),
            "exp" => Ok(libm::exp(inner)),
            "ln" => Ok(libm::log(inner)),
            _ => Err(format!("`{name}` at {start} is not a function")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_as_a_calculator_in_degrees() {
        assert_eq!(evaluate("2 + 3 × 4 ÷ (1 + 1)"), Ok(8.0));
        assert!((evaluate("sin(30°) × 2").expect("reads") - 1.0).abs() < 1e-12);
        assert!((evaluate("atan(1)").expect("reads") - 45.0).abs() < 1e-12);
        assert!((evaluate("√(2 × π^2)").expect("reads") - 4.442_882_938).abs() < 1e-9);
        assert_eq!(evaluate("−2^2"), Ok(-4.0));
    }

    #[test]
    fn a_line_holds_to_its_last_digit_or_not() {
        assert_eq!(line_holds("4.10 × 2.72 × 3.90 ≈ 43.5"), Ok(true));
        assert_eq!(line_holds("4.10 × 2.72 × 3.90 ≈ 43.4"), Ok(false));
        assert_eq!(line_holds("0.5 × 3 = 1.5 km/h"), Ok(true));
    }

    #[test]
    fn what_cannot_be_read_is_said() {
        assert!(evaluate("2 × ").is_err());
        assert!(evaluate("sin 30°").is_err());
        assert!(evaluate("2 3").is_err());
    }
}
