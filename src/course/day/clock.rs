//! A time of day.

use std::fmt;
use std::str::FromStr;

/// A time of day on the 24-hour clock, to the minute.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Clock(u16);

impl Clock {
    /// The time so many minutes after midnight; a day later it is the same time again.
    pub const fn at(minutes: u16) -> Self {
        Self(minutes % (24 * 60))
    }

    /// Minutes since midnight, less than 1440.
    pub const fn minutes(self) -> u16 {
        self.0
    }
}

/// The text is no time of day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoClock;

impl FromStr for Clock {
    type Err = NoClock;

    /// Reads `09:00` or `9:00`.
    fn from_str(text: &str) -> Result<Self, NoClock> {
        let (hours, minutes) = text.split_once(':').ok_or(NoClock)?;
        let number = |text: &str, most: u16| -> Result<u16, NoClock> {
            let digits = (1..=2).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
            text.parse().ok().filter(|number: &u16| digits && *number < most).ok_or(NoClock)
        };
        if minutes.len() != 2 {
            return Err(NoClock);
        }
        Ok(Self(number(hours, 24)? * 60 + number(minutes, 60)?))
    }
}

impl fmt::Display for Clock {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_way_to_read_a_time_of_day_and_one_to_say_it() {
        for (typed, shown) in [("09:05", "09:05"), ("9:05", "09:05"), ("00:00", "00:00"), ("23:59", "23:59")]
        {
            assert_eq!(typed.parse::<Clock>().map(|clock| clock.to_string()).as_deref(), Ok(shown));
        }
        for typed in ["", "9", "24:00", "9:60", "9:5", "+9:05", "9.05", "9:05 pm", "123:00", "after lunch"] {
            assert_eq!(typed.parse::<Clock>(), Err(NoClock), "{typed}");
        }
        assert_eq!(Clock::at(25 * 60).minutes(), 60);
    }
}
