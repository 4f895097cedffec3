//! Which documents exist, whom they are for, and what each is given.

mod book;
mod briefing;
mod chart;
mod demo;
mod descent;
mod documents;
mod figure;
mod index;
mod meta;
mod outline;
mod plan;
mod quiz;
mod recovery;
mod recovery_drawing;
mod recovery_kit;
mod recovery_lesson;
mod recovery_words;
mod risk;
mod sheets;
mod slope;
mod vehicle;
mod words;
mod workbook;
mod worked;

pub use book::Book;
pub use documents::{INDEX, INDEX_TITLE, KINDS, Kind, index};
pub use figure::{Fig, Show};
pub use index::Listed;
