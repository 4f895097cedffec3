//! An imperial pack is worked in feet, pounds and seconds alone, and a pocket calculator follows every line
//! printed on it.

use slopepack::course::Course;
use slopepack::engine::reckon;
use slopepack::lesson::worked_examples;
use slopepack::quantity::UnitSystem;

use crate::pages::{Pack, Paper, examples};

/// A pocket calculator: what it reads and where it stands.
struct Calculator<'a> {
    keys: std::iter::Peekable<std::str::Chars<'a>>,
}

impl Calculator<'_> {
    /// The value of a line; none when it is no line.
    fn of(line: &str) -> Option<f64> {
        let line: String = line.chars().filter(|key| !key.is_whitespace()).collect();
        let mut calculator = Calculator { keys: line.chars().peekable() };
        let value = calculator.sum()?;
        calculator.keys.next().is_none().then_some(value)
    }

    fn takes(&mut self, key: char) -> bool {
        self.keys.next_if_eq(&key).is_some()
    }

    fn sum(&mut self) -> Option<f64> {
        let mut value = self.product()?;
        loop {
            if self.takes('+') {
                value += self.product()?;
            } else if self.takes('−') {
                value -= self.product()?;
            } else {
                return Some(value);
            }
        }
    }

    fn product(&mut self) -> Option<f64> {
        let mut value = self.power()?;
        loop {
            if self.takes('×') {
                value *= self.power()?;
            } else if self.takes('÷') {
                value /= self.power()?;
            } else {
                return Some(value);
            }
        }
    }

    fn power(&mut self) -> Option<f64> {
        let mut value = self.single()?;
        if self.takes('²') {
            value *= value;
        } else if self.takes('^') {
            value = value.powf(self.single()?);
        }
        Some(value)
    }

    fn single(&mut self) -> Option<f64> {
        if self.takes('−') {
            return Some(-self.power()?);
        }
        if self.takes('√') {
            return Some(self.single()?.sqrt());
        }
        if self.takes('π') {
            return Some(std::f64::consts::PI);
        }
        if self.takes('(') {
            let inside = self.sum()?;
            return self.takes(')').then_some(inside);
        }
        let mut word = String::new();
        while let Some(letter) = self.keys.next_if(char::is_ascii_alphabetic) {
            word.push(letter);
        }
        if word.is_empty() {
            return self.number();
        }
        let value = self.single()?;
        Some(match word.as_str() {
            "sin" => value.sin(),
            "cos" => value.cos(),
            "tan" => value.tan(),
            "atan" => value.atan().to_degrees(),
            "exp" => value.exp(),
            "ln" => value.ln(),
            _ => return None,
        })
    }

    fn number(&mut self) -> Option<f64> {
        let mut digits = String::new();
        while let Some(digit) = self.keys.next_if(|key| key.is_ascii_digit() || *key == '.') {
            digits.push(digit);
        }
        let value: f64 = digits.parse().ok()?;
        Some(if self.takes('°') { value.to_radians() } else { value })
    }
}

fn text_of(paper: &Paper) -> String {
    let pieces =
        paper.sheets.iter().flat_map(|sheet| &sheet.pieces).filter(|piece| !piece.artifact && !piece.formula);
    let words: Vec<&str> = pieces.map(|piece| piece.text.trim()).filter(|text| !text.is_empty()).collect();
    words.join(" ")
}

/// Whether a word can stand on the left of a worked line.
fn is_of_a_line(word: &str) -> bool {
    let mut bare = word.to_owned();
    for name in ["atan", "sin", "cos", "tan", "exp", "ln"] {
        bare = bare.replace(name, "");
    }
    !bare.is_empty() && bare.chars().all(|key| key.is_ascii_digit() || ".+−×÷^()√°π²".contains(key))
}

/// The worked lines printed in a text: left side and result.
fn lines_in(text: &str) -> Vec<(String, String)> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut found = Vec::new();
    for (at, _) in words.iter().enumerate().filter(|(_, word)| matches!(**word, "≈" | "=")) {
        let from = words[..at].iter().rposition(|word| !is_of_a_line(word)).map_or(0, |before| before + 1);
        // Numbers of rows and answers may stand before a line: the longest that a calculator reads is it.
        let left =
            (from..at).map(|start| words[start..at].join(" ")).find(|left| Calculator::of(left).is_some());
        let left = left.unwrap_or_else(|| words[from..at].join(" "));
        let Some(result) = words.get(at + 1).map(|word| word.trim_end_matches(['.', ',', ';', '°'])) else {
            continue;
        };
        if left.contains(['×', '÷', '(']) && result.replace('−', "-").parse::<f64>().is_ok() {
            found.push((left, result.to_owned()));
        }
    }
    found
}

/// Whether a calculator gives what is printed, to its last digit.
fn holds(left: &str, result: &str) -> bool {
    let printed: f64 = result.replace('−', "-").parse().unwrap();
    let places = result.split('.').nth(1).map_or(0, str::len);
    let last = if places > 0 || result.len() < 4 {
        10f64.powi(-(places as i32))
    } else {
        10f64.powi(result.trim_end_matches('0').len() as i32 - result.len() as i32).recip()
    };
    Calculator::of(left).is_some_and(|value| (value - printed).abs() <= 0.5001 * last)
}

/// What an imperial page never shows: other units, and factors of them.
const STRANGE: [&str; 12] =
    [" m/s²", "kJ", "J/(kg", "kN", "°C", " kg", " N·m", "0.44704", "14.594", "4.448", "0.3048", "0.4536"];

fn imperial() -> impl Iterator<Item = &'static Pack> {
    examples().iter().filter(|pack| pack.course.units == UnitSystem::Imperial)
}

#[test]
fn imperial_pages_show_no_unit_and_no_factor_of_another_system() {
    let mut faults = Vec::new();
    for paper in imperial().flat_map(|pack| &pack.papers) {
        let text = text_of(paper);
        for strange in STRANGE {
            for (at, _) in text.match_indices(strange) {
                let from = text[..at].char_indices().rev().nth(30).map_or(0, |(from, _)| from);
                faults.push(format!("{}: …{}{strange}…", paper.name, &text[from..at]));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_line_printed_in_a_running_text_is_what_a_calculator_gives() {
    let (mut looked_at, mut faults) = (0, Vec::new());
    for pack in examples() {
        for paper in &pack.papers {
            for (left, result) in lines_in(&text_of(paper)) {
                looked_at += 1;
                if !holds(&left, &result) {
                    faults.push(format!(
                        "{}: {left} = {result}, not {:?}",
                        paper.name,
                        Calculator::of(&left)
                    ));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(looked_at > 100, "{looked_at} lines were looked at");
}

/// Lines of the worked examples in the course's units: left side and result.
fn worked(course: &Course) -> Vec<(String, String)> {
    let all = worked_examples(course, &reckon(course));
    let lines = all.iter().flat_map(|one| &one.lines);
    lines
        .map(|line| {
            let (left, _) = line.plain.split_once(" ≈ ").or_else(|| line.plain.split_once(" = ")).unwrap();
            (left.to_owned(), line.shown.text.clone())
        })
        .collect()
}

#[test]
fn every_worked_line_of_an_imperial_course_is_of_one_system() {
    let mut looked_at = 0;
    for pack in imperial() {
        for (left, result) in worked(&pack.course) {
            looked_at += 1;
            assert!(holds(&left, &result), "{left} = {result}, not {:?}", Calculator::of(&left));
            // The factors a page of that system gives beside its formulas.
            for strange in
                STRANGE.iter().filter(|strange| strange.starts_with(|key: char| key.is_ascii_digit()))
            {
                assert!(!left.contains(strange), "{left}");
            }
        }
    }
    assert!(looked_at > 200, "{looked_at} lines");
}

#[test]
fn no_word_of_an_imperial_page_is_a_metre() {
    let hill = examples().iter().find(|pack| pack.course.units == UnitSystem::Imperial).expect("is shipped");
    for paper in &hill.papers {
        let text = text_of(paper);
        let said: Vec<&str> = text.split_whitespace().filter(|word| word.starts_with("metre")).collect();
        assert!(said.is_empty(), "{}: {said:?}", paper.name);
    }
    let board = text_of(hill.papers.iter().find(|paper| paper.name == "table-top").expect("has one"));
    assert!(!board.replace('\u{a0}', " ").contains("1.2 m"), "the plank is in inches");
}

/// A page on US paper says hood, tire and gasoline. What the course itself wrote stands as it was typed: a radio call to
/// a slope in other words than its own reaches nobody.
#[test]
fn no_british_word_stands_on_us_paper_but_the_courses_own() {
    let hill = examples().iter().find(|pack| pack.course.paper == slopepack::course::Paper::Letter);
    let hill = hill.expect("is shipped");
    let mut own: Vec<String> = hill.course.vehicles.iter().map(|one| one.name.full().to_owned()).collect();
    own.extend(hill.course.slopes.iter().map(|one| one.name.full().to_owned()));
    own.sort_by_key(|name| std::cmp::Reverse(name.len()));
    let mut found = Vec::new();
    let mut american = 0;
    for paper in &hill.papers {
        let mut text = text_of(paper).replace(['\u{a0}', '\u{200b}', '\n'], " ");
        text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        text = text.to_lowercase();
        for name in &own {
            text = text.replace(&name.to_lowercase(), "");
        }
        let words = text.split(|letter: char| !letter.is_alphabetic()).map(str::to_lowercase);
        let words: Vec<String> = words.collect();
        found.extend(
            slopepack::print::WORDS
                .iter()
                .filter(|(british, _)| words.iter().any(|word| word == british))
                .map(|(british, _)| format!("{}: {british}", paper.name)),
        );
        american += words
            .iter()
            .filter(|word| ["tire", "tires", "gasoline", "hood", "license"].contains(&word.as_str()))
            .count();
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
    assert!(american > 40, "{american}");
    let cards = text_of(hill.papers.iter().find(|paper| paper.name == "vehicle-cards").expect("has them"));
    assert!(cards.contains("petrol van"), "its own name: {cards}");
}
