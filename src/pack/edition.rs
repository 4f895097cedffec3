//! Editions of the documents: large print.

use crate::pack::book::Book;
use crate::pack::documents::Kind;
use crate::pack::index::{Listed, sheet_word};

/// Documents that readers hold and read, which also come in large print.
const LARGE_PRINT: &[&str] =
    &["safety-briefing", "instructor-notes", "slope-cards", "vehicle-cards", "workbook", "quiz"];

impl Kind {
    /// Whether it also comes in large print.
    pub fn in_large_print(&self) -> bool {
        LARGE_PRINT.contains(&self.name)
    }

    /// Its large-print edition in the pack.
    pub fn large_file(&self) -> String {
        format!("large-print/{}", self.file())
    }

    /// Title of its large-print edition.
    pub fn large_title(&self) -> String {
        format!("{}, large print", self.title)
    }

    /// Its large-print edition as the index lists it.
    pub fn large_listed(&self, book: &Book, pages: usize) -> Listed {
        Listed {
            file: self.large_file(),
            title: self.large_title(),
            sheet: sheet_word(book.course.paper).to_owned(),
            copies: "as asked for".to_owned(),
            ..self.listed(book, pages)
        }
    }
}
