//! Markup made by the program itself.

use minijinja::Value;
use serde::{Serialize, Serializer};

/// Typesetter markup that the program wrote, such as a formula or a drawing: printed verbatim.
///
/// Never make one from text of a course without passing that text through
/// [`escape::embedded`](super::escape::embedded).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Markup(String);

impl Markup {
    /// Vouches for the source.
    pub fn trusted(source: impl Into<String>) -> Self {
        Self(source.into())
    }

    /// Text of a course, as markup that prints it literally.
    pub fn text(text: &str) -> Self {
        Self(super::escape::embedded(text))
    }

    /// The source.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Serialize for Markup {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        Value::from_safe_string(self.0.clone()).serialize(to)
    }
}

impl From<Markup> for Value {
    fn from(markup: Markup) -> Self {
        Value::from_safe_string(markup.0)
    }
}
