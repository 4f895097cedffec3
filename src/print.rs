//! Filling templates, having them typeset, and putting finished packs in place.
//!
//! [`Templates`] fills a document as [`Rendered`] source; nothing in a course's text can become
//! markup or code on the way ([`escape`]). A [`Workshop`] is the only folder the [`Typesetter`] can
//! see.

pub mod coverage;
pub mod data;
pub mod escape;
pub mod fonts;
mod markup;
pub mod picture;
mod process;
mod templates;
mod trace;
pub mod typesetter;
mod workshop;

pub use markup::Markup;
pub use picture::Picture;
pub use templates::Templates;
pub use trace::{Complaint, Rendered};
pub use typesetter::Typesetter;
pub use workshop::Workshop;
