//! Which documents exist, whom they are for, and what each is given.

mod book;
mod briefing;
mod plan;
mod risk;
mod workbook;
mod chart;
mod demo;
mod sheets;
mod descent;
mod figure;
mod meta;
mod outline;
mod slope;
mod vehicle;
mod words;
mod worked;

pub use figure::{Fig, Show};
