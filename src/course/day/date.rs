//! The day a course is held on: a day of the calendar, words, or both.

use std::fmt;

use chrono::{Datelike, NaiveDate, Weekday};

/// Longest words for a date, characters: they stand in the head of every page.
const LONGEST: usize = 64;
const WEEKDAYS: [&str; 7] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// When a course is held. Words may leave the day open ("first Saturday in April"), never belie it.
///
/// ```
/// use slopepack::course::Date;
/// let date = Date::read("2027-05-08").expect("a day of the calendar");
/// assert_eq!(date.to_string(), "Saturday 8 May 2027");
/// assert!(Date::read("Sunday 8 May 2027").is_err(), "that day is a Saturday");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Date {
    words: String,
    said: Said,
    day: Option<NaiveDate>,
}

impl Date {
    /// Reads `2027-05-08`, `Saturday 8 May 2027`, or words that leave the day open.
    ///
    /// # Errors
    /// What is wrong: no such day, a weekday that is another, digits that can be read in two ways.
    pub fn read(text: &str) -> Result<Self, String> {
        let text = text.trim();
        if let Some(day) = iso(text) {
            return day.map(Self::of).map_err(|_| format!("`{text}` is no day of the calendar"));
        }
        if text.chars().count() > LONGEST {
            return Err(format!("a date is at most {LONGEST} characters long"));
        }
        if text.split_whitespace().any(is_digits_alone) {
            return Err(format!("`{text}`: which is the day and which the month?"));
        }
        let said = Said::of(text);
        let days = said.days_of_the_calendar();
        if said.is_whole() && days.is_empty() {
            return Err(format!("`{text}` is no day of the calendar"));
        }
        let wrong =
            |weekday: &&Weekday| !days.is_empty() && days.iter().all(|day| day.weekday() != **weekday);
        if let Some(weekday) = said.weekdays.iter().find(wrong) {
            let named = capital(WEEKDAYS[weekday.num_days_from_monday() as usize]);
            return Err(format!("that day is a {}, not a {named}", days[0].format("%A")));
        }
        let day = if let [day] = days[..] { Some(day) } else { None };
        Ok(Self { words: text.to_owned(), said, day })
    }

    /// A day of the calendar.
    pub fn of(day: NaiveDate) -> Self {
        let words = format!("{} {} {}", day.format("%A"), day.day(), day.format("%B %Y"));
        Self { said: Said::of(&words), words, day: Some(day) }
    }

    /// Several days in words: `8 and 9 May 2027`; none of no dates.
    pub(crate) fn of_all<'a>(dates: impl Iterator<Item = &'a Self>) -> Option<Self> {
        let all: Vec<&Self> = dates.collect();
        let (last, before) = all.split_last()?;
        let said = |date: &Self| match (date.day, last.day) {
            (Some(day), Some(end)) if (day.month(), day.year()) == (end.month(), end.year()) => {
                day.day().to_string()
            }
            (Some(day), Some(end)) if day.year() == end.year() => day.format("%-d %B").to_string(),
            (Some(day), _) => day.format("%-d %B %Y").to_string(),
            (None, _) => date.words.clone(),
        };
        let end = last.day.map_or_else(|| last.words.clone(), |day| day.format("%-d %B %Y").to_string());
        let words = match before {
            [] => last.words.clone(),
            before => {
                let before: Vec<String> = before.iter().map(|date| said(date)).collect();
                format!("{} and {end}", before.join(", "))
            }
        };
        Some(Self { said: Said::default(), words, day: all[0].day })
    }

    /// The day of the calendar, where it is known.
    pub fn day(&self) -> Option<NaiveDate> {
        self.day
    }

    /// Whether this may be that day.
    pub(crate) fn may_be(&self, day: NaiveDate) -> bool {
        let said = &self.said;
        let among = |days: &[u32]| {
            let (first, last) = (days.iter().min(), days.iter().max());
            first.is_none_or(|first| *first <= day.day()) && last.is_none_or(|last| *last >= day.day())
        };
        (said.weekdays.is_empty() || said.weekdays.contains(&day.weekday()))
            && (said.months.is_empty() || said.months.contains(&day.month()))
            && (said.years.is_empty() || said.years.contains(&day.year()))
            && (said.months.len() > 1 || among(&said.days))
    }

    /// These words for that day.
    pub(crate) fn on(mut self, day: NaiveDate) -> Self {
        self.day = Some(day);
        self
    }
}

impl fmt::Display for Date {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.words)
    }
}

/// What words say of a day. Days count only beside a month.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Said {
    weekdays: Vec<Weekday>,
    days: Vec<u32>,
    months: Vec<u32>,
    years: Vec<i32>,
}

impl Said {
    fn of(text: &str) -> Self {
        let mut said = Self::default();
        for word in text.split(|c: char| c.is_whitespace() || ",;–—-/()&".contains(c)) {
            let word = word.trim_end_matches('.');
            if let Some(at) = named(word, &WEEKDAYS) {
                said.weekdays.push(Weekday::try_from(at).expect("one of seven"));
            } else if let Some(at) = named(word, &MONTHS) {
                said.months.push(u32::from(at) + 1);
            } else if word.len() == 4
                && let Ok(year @ 1900..=2999) = word.parse::<i32>()
            {
                said.years.push(year);
            } else if let Some(day) = day_of_month(word) {
                said.days.push(day);
            }
        }
        if said.months.is_empty() {
            said.days.clear();
        }
        said
    }

    fn is_whole(&self) -> bool {
        !self.days.is_empty() && !self.years.is_empty()
    }

    fn days_of_the_calendar(&self) -> Vec<NaiveDate> {
        let mut all = Vec::new();
        for (year, month) in
            self.years.iter().flat_map(|year| self.months.iter().map(move |month| (year, month)))
        {
            all.extend(self.days.iter().filter_map(|day| NaiveDate::from_ymd_opt(*year, *month, *day)));
        }
        all
    }
}

/// The place of a name that a word, written with a capital, stands for: `Saturday`, `Sat`, `SAT`.
fn named(word: &str, names: &[&str]) -> Option<u8> {
    let capital = word.starts_with(|c: char| c.is_ascii_uppercase()) && word.len() >= 3;
    let small = word.to_ascii_lowercase();
    let at = names.iter().position(|name| capital && name.starts_with(&small))?;
    u8::try_from(at).ok()
}

/// `8`, `08`, `8th`.
fn day_of_month(word: &str) -> Option<u32> {
    let digits = ["st", "nd", "rd", "th"].iter().find_map(|end| word.strip_suffix(end)).unwrap_or(word);
    let short = digits.len() <= 2 && digits.bytes().all(|byte| byte.is_ascii_digit());
    digits.parse().ok().filter(|day| short && (1..=31).contains(day))
}

/// A day written year first, if it is written so.
fn iso(text: &str) -> Option<chrono::ParseResult<NaiveDate>> {
    let parts: Vec<&str> = text.split('-').collect();
    let digits = |part: &&str| part.bytes().all(|byte| byte.is_ascii_digit());
    let like = parts.len() == 3 && parts[0].len() == 4 && parts.iter().all(digits);
    like.then(|| NaiveDate::parse_from_str(text, "%Y-%m-%d"))
}

/// `8/5/2027`, `08.05.2027`.
fn is_digits_alone(word: &str) -> bool {
    let parts: Vec<&str> = word.trim_end_matches(',').split(['/', '.', '-']).collect();
    let number = |part: &&str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    parts.len() == 3 && parts.iter().all(number)
}

fn capital(word: &str) -> String {
    word[..1].to_ascii_uppercase() + &word[1..]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().expect("a day")
    }

    #[test]
    fn words_and_days_of_the_calendar_are_read() {
        for text in
            ["Saturday 8 May 2027", "Sat 8th May 2027", "8 May, 2027", "SAT. 08 MAY 2027", "2027-05-08"]
        {
            let date = Date::read(text).unwrap_or_else(|why| panic!("{text}: {why}"));
            assert_eq!(date.day(), Some(day("2027-05-08")), "{text}");
        }
        for text in [
            "first Saturday in April",
            "Saturday after the hay is in",
            "8 and 9 May 2027",
            "may move",
            "12 March",
        ] {
            let date = Date::read(text).unwrap_or_else(|why| panic!("{text}: {why}"));
            assert_eq!((date.day(), date.to_string()), (None, text.to_owned()));
        }
        assert_eq!(
            Date::read("2027-05-08").map(|date| date.to_string()).as_deref(),
            Ok("Saturday 8 May 2027")
        );
    }

    #[test]
    fn a_day_that_cannot_be_is_told() {
        for (text, part) in [
            ("Sunday 8 May 2027", "is a Saturday, not a Sunday"),
            ("31 June 2027", "no day of the calendar"),
            ("2027-02-29", "no day of the calendar"),
            ("8/5/2027", "which is the day"),
            ("Saturday 08.05.2027", "which is the day"),
        ] {
            let why = Date::read(text).expect_err(text);
            assert!(why.contains(part), "{text}: {why}");
        }
    }

    #[test]
    fn words_are_held_to_the_day() {
        let may = |words: &str, iso: &str| Date::read(words).expect(words).may_be(day(iso));
        assert!(may("8 and 9 May 2027", "2027-05-08") && may("8 to 10 May", "2027-05-09"));
        assert!(
            may("Saturday after the hay is in", "2027-07-03") && may("first Saturday in April", "2027-04-03")
        );
        assert!(may("30 April to 2 May", "2027-05-01"));
        for (words, iso) in [
            ("Saturday 8 May 2027", "2027-06-13"),
            ("Saturday 8 May", "2027-05-09"),
            ("first Saturday in April", "2027-05-08"),
            ("Saturday after the hay is in", "2027-07-04"),
            ("8 to 10 May", "2027-05-11"),
            ("8 May 2026", "2027-05-08"),
        ] {
            assert!(!may(words, iso), "{words} is not {iso}");
        }
    }
}
