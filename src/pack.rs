//! Which documents exist, whom they are for, and what each is given.

mod book;
mod briefing;
mod plan;
mod quiz;
mod risk;
mod workbook;
mod chart;
mod demo;
mod documents;
mod sheets;
mod descent;
mod figure;
mod index;
mod meta;
mod outline;
mod slope;
mod vehicle;
mod words;
mod worked;

pub use book::Book;
pub use documents::{INDEX, INDEX_TITLE, KINDS, Kind, index};
pub use figure::{Fig, Show};
pub use index::Listed;
