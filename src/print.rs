//! Filling templates, having them typeset, and putting finished packs in place.
//!
//! [`Templates`] fills a document as [`Rendered`] source; nothing in a course's text can become
//! markup or code on the way ([`escape`]). A [`Workshop`] is the only folder the [`Typesetter`] can
//! see. A [`Publication`] puts the finished pack in place, whole or not at all.
//!
//! ```
//! use slopepack::print::escape::literal;
//! assert_eq!(literal("#import \"x\""), r##""#import \"x\"""##);
//! ```

pub mod coverage;
pub mod data;
pub mod ending;
pub mod escape;
mod faces;
mod folder;
pub mod fonts;
mod group;
mod markup;
pub mod own;
pub mod picture;
pub mod script;
mod templates;
mod trace;
pub mod typesetter;
mod workshop;

pub use faces::{Faces, Lacking, Needed};
pub use folder::manifest::{About, CONFIDENTIAL, Entry, Kind, MANIFEST, Manifest, fingerprint};
pub use folder::publish::Publication;
pub use folder::standing::Standing;
pub use markup::Markup;
pub use picture::Picture;
pub use templates::{Dialect, Templates, WORDS};
pub use trace::{Complaint, Edition, Rendered, Spacing};
pub use typesetter::Typesetter;
pub use typesetter::cache::Cache;
pub use typesetter::pdf::Pdf;
pub use workshop::Workshop;
