//! What every sheet carries.

use serde::Serialize;

use crate::course::{Course, Paper};
use crate::page::figure::Show;
use crate::page::gallery::Shot;
use crate::page::section::Section;

/// The caution of every document.
pub(crate) const CAUTION: &str = "Estimates for teaching. The instructor on the ground decides; makers’ limits, site rules and local law come first.";

/// What every sheet carries.
#[derive(Clone, Debug, Serialize)]
pub struct Meta {
    pub course: String,
    pub document: String,
    pub audience: String,
    pub file: String,
    pub version: String,
    /// What the sheet was made from: a word and the first digits of a checksum.
    pub fingerprint: String,
    pub paper: &'static str,
    pub accent: String,
    pub lang: &'static str,
    pub region: &'static str,
    pub club: Option<String>,
    pub logo: Option<Shot>,
    pub site: String,
    pub date: String,
    /// Which of several days a sheet belongs to: `day 2 of 2`.
    pub day: Option<String>,
    pub caution: &'static str,
    pub estimate_note: &'static str,
    pub skyline: Vec<SkylinePart>,
}

/// One slope in the line at the head of a page.
#[derive(Clone, Debug, Serialize)]
pub struct SkylinePart {
    pub name: String,
    pub x: Vec<f64>,
    pub y: Vec<f64>,
}

impl Meta {
    /// What a document's sheets carry; `fingerprint` is that of the course file and its roster.
    pub fn of(course: &Course, title: &str, audience: &str, file: &str, fingerprint: &str) -> Self {
        Self {
            course: course.title.short(),
            document: title.to_owned(),
            audience: audience.to_owned(),
            file: file.to_owned(),
            version: course.version.short(),
            fingerprint: format!("data {fingerprint}"),
            paper: match course.paper {
                Paper::A4 => "a4",
                Paper::Letter => "us-letter",
            },
            accent: accent(course.accent),
            lang: "en",
            region: match course.paper {
                Paper::A4 => "GB",
                Paper::Letter => "US",
            },
            club: (!course.club.is_empty()).then(|| course.club.short()),
            logo: None,
            site: course.site.short(),
            date: date(course),
            day: course.today.as_ref().map(|today| format!("day {} of {}", today.number, today.of)),
            caution: CAUTION,
            estimate_note: "Italics: estimates",
            skyline: skyline(course),
        }
    }
}

impl Meta {
    /// What a survey's sheet carries, which belongs to no course yet: its table, what it was measured with, the mark of the
    /// table, and whether it is printed on US letter or on A4.
    pub fn alone(table: &str, with: &str, mark: &str, letter: bool) -> Self {
        Self {
            course: table.to_owned(),
            document: "Survey".to_owned(),
            audience: "instructor".to_owned(),
            file: "survey".to_owned(),
            version: "1".to_owned(),
            fingerprint: format!("table {mark}"),
            paper: if letter { "us-letter" } else { "a4" },
            accent: accent(None),
            lang: "en",
            region: if letter { "US" } else { "GB" },
            club: None,
            logo: None,
            site: with.to_owned(),
            date: "measured on ________ by ________".to_owned(),
            day: None,
            caution: CAUTION,
            estimate_note: "Italics: estimates",
            skyline: Vec::new(),
        }
    }

    /// What the sheets of question papers carry: the mark of the record they are marked from, not of the course file.
    pub fn of_record(course: &Course, title: &str, audience: &str, file: &str, record: &str) -> Self {
        Self { fingerprint: format!("record {record}"), ..Self::of(course, title, audience, file, record) }
    }
}

/// When; on a sheet of one of several days with its number.
fn date(course: &Course) -> String {
    let date = course.day.date.as_ref().map_or_else(|| "date to be set".to_owned(), ToString::to_string);
    course
        .today
        .as_ref()
        .map_or(date.clone(), |today| format!("{date}, day {} of {}", today.number, today.of))
}

fn skyline(course: &Course) -> Vec<SkylinePart> {
    course
        .slopes
        .iter()
        .map(|slope| {
            let section = Section::of(slope, Show::new(course.units));
            let inner = 1..section.x.len() - 1;
            SkylinePart {
                name: slope.name.short(),
                x: section.x[inner.clone()].to_vec(),
                y: section.y[inner].to_vec(),
            }
        })
        .collect()
}

/// The club's colour, darkened until it stands at least 4.5 to 1 against white (WCAG 2 contrast).
fn accent(colour: Option<[u8; 3]>) -> String {
    let mut colour = colour.unwrap_or([0x1f, 0x52, 0x61]);
    while contrast_with_white(colour) < 4.5 {
        colour = colour.map(|part| part.saturating_sub(part / 16 + 1));
    }
    format!("#{:02x}{:02x}{:02x}", colour[0], colour[1], colour[2])
}

fn contrast_with_white(colour: [u8; 3]) -> f64 {
    let [red, green, blue] = colour.map(|part| {
        let part = f64::from(part) / 255.0;
        if part <= 0.040_45 { part / 12.92 } else { libm::pow((part + 0.055) / 1.055, 2.4) }
    });
    1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pale_colour_is_darkened_until_it_can_be_read() {
        assert_eq!(accent(Some([0x1f, 0x52, 0x61])), "#1f5261");
        let dark = accent(Some([255, 230, 90]));
        let part = |at: usize| u8::from_str_radix(&dark[at..at + 2], 16).expect("two hex digits");
        assert!(contrast_with_white([part(1), part(3), part(5)]) >= 4.5, "{dark}");
        assert!((contrast_with_white([0, 0, 0]) - 21.0).abs() < 1e-9);
    }
}
