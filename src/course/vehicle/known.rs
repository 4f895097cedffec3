//! A value and whether somebody gave it or it was estimated.

use std::ops::Deref;

/// A value with its standing: given in the course, or filled in from class values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Known<T> {
    /// The value.
    pub value: T,
    /// Whether it was estimated. Every page that uses it marks it.
    pub estimated: bool,
}

impl<T> Known<T> {
    /// A value the course gives.
    pub const fn given(value: T) -> Self {
        Self { value, estimated: false }
    }

    /// A value filled in from class values.
    pub const fn estimated(value: T) -> Self {
        Self { value, estimated: true }
    }
}

impl<T> Known<T> {
    /// What the course gives, or else what is usual.
    pub fn or(given: Option<T>, usual: T) -> Self {
        given.map_or_else(|| Self::estimated(usual), Self::given)
    }
}

impl<T> Deref for Known<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}
