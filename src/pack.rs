//! Which documents exist, whom they are for, and what each is given.

mod audience;
mod book;
mod briefing;
mod chart;
mod demo;
mod descent;
mod documents;
mod edition;
mod figure;
mod fit;
mod gallery;
mod index;
mod meta;
mod outline;
mod plan;
mod quiz;
mod risk;
mod sheets;
mod slope;
mod vehicle;
mod words;
mod workbook;
mod worked;

pub use audience::Audience;
pub use book::Book;
pub use documents::{INDEX, INDEX_TITLE, KINDS, Kind, index};
pub use figure::{Fig, Show};
pub use fit::{FullText, fitted};
pub use gallery::{Gallery, Shot};
pub use index::Listed;
pub(crate) use meta::Meta;
pub(crate) use worked::{StepRow, steps};
