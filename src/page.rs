//! What packs and papers both print with: figures, marks, worked lines, charts, little words.
//!
//! ```
//! use slopepack::page::Show;
//! use slopepack::quantity::UnitSystem;
//! assert_eq!(Show::new(UnitSystem::Metric).speed_unit(), "km/h");
//! assert_eq!(Show::new(UnitSystem::Imperial).speed_unit(), "mph");
//! ```

pub(crate) mod chart;
pub(crate) mod figure;
pub(crate) mod gallery;
pub(crate) mod meta;
pub(crate) mod outline;
pub(crate) mod pace;
pub(crate) mod section;
pub(crate) mod site;
pub mod words;
pub(crate) mod worked;

pub use figure::{Fig, Show};
pub use gallery::{Gallery, Shot};
pub(crate) use meta::Meta;
pub(crate) use worked::{StepRow, steps};
