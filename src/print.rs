//! Filling templates, having them typeset, and putting finished packs in place.
//!
//! [`Templates`] fills a document as [`Rendered`] source; nothing in a course's text can become
//! markup or code on the way ([`escape`]). A [`Workshop`] is the only folder the [`Typesetter`] can
//! see. A [`Publication`] puts the finished pack in place, whole or not at all.

pub mod coverage;
pub mod data;
pub mod escape;
mod folder;
pub mod fonts;
mod lock;
mod manifest;
mod markup;
pub mod picture;
mod place;
mod process;
mod publish;
mod swap;
mod templates;
mod trace;
pub mod typesetter;
pub mod vector;
mod workshop;

pub use manifest::{About, Entry, MANIFEST, Manifest, fingerprint};
pub use markup::Markup;
pub use picture::Picture;
pub use publish::Publication;
pub use templates::Templates;
pub use trace::{Complaint, Edition, Rendered};
pub use typesetter::Typesetter;
pub use workshop::Workshop;
