//! What packs and papers both print with: figures, marks, worked lines, charts, little words.

pub(crate) mod chart;
pub(crate) mod figure;
pub(crate) mod gallery;
pub(crate) mod meta;
pub(crate) mod outline;
pub(crate) mod section;
pub(crate) mod words;
pub(crate) mod worked;

pub use figure::{Fig, Show};
pub use gallery::{Gallery, Shot};
pub(crate) use meta::Meta;
pub(crate) use worked::{StepRow, steps};
