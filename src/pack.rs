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
mod risk;
mod sheets;
mod slope;
mod vehicle;
mod weekend;
mod weekend_calendar;
mod weekend_cards;
mod weekend_forms;
mod weekend_sheets;
mod words;
mod workbook;
mod worked;

pub use book::Book;
pub use documents::{INDEX, INDEX_TITLE, KINDS, Kind, index};
pub use figure::{Fig, Show};
pub use index::Listed;
pub use weekend_calendar::{CALENDAR, CALENDAR_TITLE, calendar};
