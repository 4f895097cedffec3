//! One way to write a number: never more digits than are known, and always what the text says.

use super::Unit;

/// How many digits a number is shown with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Digits {
    /// So many significant digits.
    Significant(u8),
    /// So many decimals.
    Decimals(u8),
    /// So many significant digits and never more: a constant as everybody writes it.
    Fixed(u8),
}

impl Digits {
    /// With so many digits more.
    #[must_use]
    pub fn finer(self, by: u8) -> Self {
        match self {
            Self::Significant(n) => Self::Significant(n + by),
            Self::Decimals(n) => Self::Decimals(n + by),
            Self::Fixed(n) => Self::Fixed(n),
        }
    }

    fn decimals_for(self, value: f64) -> usize {
        match self {
            Self::Decimals(n) => usize::from(n),
            Self::Significant(n) | Self::Fixed(n) => significant_decimals(value, n),
        }
    }
}

/// A number as it stands on the page, and the value that text has.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// The digits: decimal point, `−` for minus, no thousands mark.
    pub text: String,
    /// The value of the text, in the unit shown.
    pub value: f64,
    /// Whether the text gives the value shown without rounding.
    pub exact: bool,
}

impl Shown {
    /// A value written with so many digits. Whole-number digits are never dropped.
    pub fn of(value: f64, digits: Digits) -> Self {
        let decimals = digits.decimals_for(value);
        let mut text = format!("{value:.decimals$}");
        if text.starts_with('-') && text[1..].chars().all(|c| c == '0' || c == '.') {
            text.remove(0);
        }
        let read: f64 = text.parse().expect("a formatted number reads back");
        let exact = (read - value).abs() <= 1e-12 * value.abs();
        Self { text: text.replace('-', "−"), value: read, exact }
    }

    /// The digits without zeros after the decimal point that say nothing.
    #[must_use]
    pub fn trimmed(mut self) -> Self {
        if self.text.contains('.') {
            let short = self.text.trim_end_matches('0').trim_end_matches('.').len();
            self.text.truncate(short);
        }
        self
    }
}

/// An SI value written in a unit.
pub fn show(si: f64, unit: &Unit, digits: Digits) -> Shown {
    Shown::of(unit.from_si(si), digits)
}

fn significant_decimals(value: f64, digits: u8) -> usize {
    if value == 0.0 {
        return usize::from(digits.saturating_sub(1));
    }
    // Rounding can carry into a new leading digit (9.996 → 10.0), so look at the rounded value.
    let scientific = format!("{:.*e}", usize::from(digits.max(1)) - 1, value.abs());
    let exponent: i32 = scientific
        .split_once('e')
        .and_then(|(_, power)| power.parse().ok())
        .expect("scientific notation has a power");
    usize::try_from(i32::from(digits) - 1 - exponent).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(value: f64, digits: u8) -> String {
        Shown::of(value, Digits::Significant(digits)).text
    }

    #[test]
    fn significant_digits_count_from_the_first() {
        assert_eq!(text(43.4928, 3), "43.5");
        assert_eq!(text(0.012_345, 3), "0.0123");
        assert_eq!(text(9.996, 3), "10.0");
        assert_eq!(text(24_504.3, 3), "24504");
    }

    #[test]
    fn the_value_is_that_of_the_text() {
        let shown = Shown::of(2.0 / 3.0, Digits::Significant(3));
        assert_eq!((shown.text.as_str(), shown.value, shown.exact), ("0.667", 0.667, false));
        assert!(Shown::of(4.1, Digits::Significant(3)).exact);
    }

    #[test]
    fn a_minus_is_printed_as_one() {
        let shown = Shown::of(-12.5, Digits::Decimals(1));
        assert_eq!((shown.text.as_str(), shown.value, shown.exact), ("−12.5", -12.5, true));
    }

    #[test]
    fn zero_has_no_sign() {
        assert_eq!(Shown::of(-0.001, Digits::Decimals(1)).text, "0.0");
    }
}
