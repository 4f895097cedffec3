//! Courses of several days: the papers of each day, and a change on one of them.

use super::Press;
use super::known::Known;
use crate::course::Course;
use crate::pack::{Book, Kind, Listed};
use crate::print::{Publication, Templates};
use crate::problem::Failure;
use crate::rota::Rota;

/// The days of a course as they were planned, each with its rota.
pub(super) type Planned = Vec<(Course, Rota)>;

/// All days as they were planned, and the number of the one on which something changes; none and 1 where the course has
/// a single day.
///
/// # Errors
/// No day, or one that the course does not have, was named; no rota fits the days up to it.
pub(super) fn asked(known: &Known, course: &Course, day: Option<usize>) -> Result<(Planned, usize), Failure> {
    let held = course.days_held();
    let number = match day {
        None | Some(1) if held == 1 => return Ok((Vec::new(), 1)),
        Some(number) if (1..=held).contains(&number) => number,
        Some(number) => {
            return Err(Failure::Usage(format!("--day {number}: the course has {held}, counted from 1")));
        }
        None => {
            return Err(Failure::Usage(format!(
                "the course has {held} days: say on which one something changes, `--day 1`"
            )));
        }
    };
    Ok((known.days()?, number))
}

/// Folder of the changes of one of several days, beside the papers.
pub(super) fn folder_of(day: usize) -> String {
    format!("change-day-{day}")
}

/// Folder of the changes, beside the papers.
pub(super) fn change_folder(course: &Course) -> String {
    course.today.as_ref().map_or_else(|| "change".to_owned(), |today| folder_of(today.number))
}

impl Press<'_> {
    /// What the whole course has once, then what each of several days has for itself.
    pub(super) fn all_days(
        &self,
        book: &Book,
        templates: &Templates,
        kinds: &[&'static Kind],
        publication: &mut Publication,
    ) -> Result<Vec<Listed>, Failure> {
        if book.days.is_empty() {
            return self.documents(book, templates, kinds, publication);
        }
        let (daily, once): (Vec<&'static Kind>, Vec<&'static Kind>) =
            kinds.iter().copied().partition(|kind| kind.is_daily());
        let mut listed = self.documents(book, templates, &once, publication)?;
        for number in 1..=book.days.len() {
            let press = Press { day: Some(number), ..*self };
            listed.extend(press.documents(&book.on_day(number), templates, &daily, publication)?);
        }
        Ok(listed)
    }

    /// A file's name without ending, with the day.
    pub(super) fn named(&self, name: &str) -> String {
        self.day.map_or_else(|| name.to_owned(), |day| format!("{name}-day-{day}"))
    }

    /// A title with the day.
    pub(super) fn titled(&self, title: &str) -> String {
        self.day.map_or_else(|| title.to_owned(), |day| format!("{title}, day {day}"))
    }

    /// A document as the index lists it, with the day.
    pub(super) fn of_day(&self, listed: Listed) -> Listed {
        let bare = listed.file.trim_end_matches(".pdf");
        Listed { file: format!("{}.pdf", self.named(bare)), title: self.titled(&listed.title), ..listed }
    }
}
