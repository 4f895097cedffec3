//! What a course was worked to before: its rotas by an earlier run, its figures by an earlier day of this one. A change on
//! the day is printed while people wait.

use std::cell::OnceCell;

use super::unchanged::program;
use crate::commands::rotated::refused;
use crate::course::{Course, Loaded};
use crate::pack::{Book, Facts};
use crate::print::Cache;
use crate::problem::Failure;
use crate::rota::{Rota, days_by, plan_days};

/// A course with what is known of it.
pub(super) struct Known<'a> {
    course: &'a Course,
    facts: OnceCell<Facts<'a>>,
    cache: Option<Cache>,
    parts: Vec<Vec<u8>>,
}

impl<'a> Known<'a> {
    /// Of a course that was read; nothing is kept where there is no cache.
    pub(super) fn of(loaded: &Loaded, course: &'a Course, cache: Option<Cache>) -> Self {
        let parts = ["rotas".to_owned(), program(), loaded.source.clone()].map(String::into_bytes);
        Self {
            course,
            facts: OnceCell::new(),
            cache,
            parts: [&parts[..], &[loaded.roster.clone(), loaded.runs.clone()]].concat(),
        }
    }

    fn facts(&self) -> &Facts<'a> {
        self.facts.get_or_init(|| Facts::of(self.course))
    }

    fn parts(&self) -> Vec<&[u8]> {
        self.parts.iter().map(Vec::as_slice).collect()
    }

    /// The book of the course, of one of its days, or of a day with whoever turned up.
    pub(super) fn book<'d>(&self, course: &'d Course, mark: &str) -> Book<'d> {
        if course.vehicles == self.course.vehicles && course.lies_like(self.course) {
            Book::from_facts(self.facts().on_day(course), mark)
        } else {
            Book::of(course, mark)
        }
    }

    /// The rotas of all days that an earlier run of this program made of the same course; they depend on nothing else.
    pub(super) fn rotas(&self) -> Option<Vec<Rota>> {
        let text = self.cache.as_ref()?.recall(&self.parts())?;
        let rotas: Vec<Rota> = serde_json::from_str(&text).ok()?;
        (rotas.len() == self.course.days_held()).then_some(rotas)
    }

    /// Keeps the rotas of all days for a later run.
    pub(super) fn keep(&self, rotas: &[Rota]) {
        if let (Some(cache), Ok(text)) = (&self.cache, serde_json::to_string(rotas))
            && rotas.len() == self.course.days_held()
        {
            cache.remember(&self.parts(), &text);
        }
    }

    /// All days of the course as they were planned.
    ///
    /// # Errors
    /// No rota fits one of them.
    pub(super) fn days(&self) -> Result<Vec<(Course, Rota)>, Failure> {
        if let Some(rotas) = self.rotas() {
            return Ok(days_by(self.course, rotas));
        }
        plan_days(self.course, &self.facts().reckoning).map_err(|why| refused(&why))
    }
}
