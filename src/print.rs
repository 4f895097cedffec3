//! Filling templates, having them typeset, and putting finished packs in place.
//!
//! [`Templates`] fills a document as [`Rendered`] source; nothing in a course's text can become
//! markup or code on the way ([`escape`]). A [`Workshop`] is the only folder the [`Typesetter`] can
//! see. A [`Publication`] puts the finished pack in place, whole or not at all.

mod cache;
pub mod coverage;
pub mod data;
mod desk;
pub mod ending;
pub mod escape;
pub mod fonts;
mod group;
mod manifest;
mod markup;
mod pdf;
pub mod picture;
mod placing;
mod pool;
mod process;
mod publish;
mod templates;
mod trace;
pub mod typesetter;
pub mod vector;
mod workshop;

pub use cache::Cache;
pub use manifest::{About, CONFIDENTIAL, Entry, Kind, MANIFEST, Manifest, fingerprint};
pub use markup::Markup;
pub use pdf::Pdf;
pub use picture::Picture;
pub use publish::Publication;
pub use templates::Templates;
pub use trace::{Complaint, Edition, Rendered};
pub use typesetter::Typesetter;
pub use workshop::Workshop;
