//! The two axles.

use serde::Serialize;

/// Which axle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Axle {
    /// The front axle: sliding, it goes straight on.
    Front,
    /// The rear axle: sliding, the tail swings.
    Rear,
}

impl Axle {
    /// Its name beside a brake or a load.
    pub fn word(self) -> &'static str {
        if self == Self::Front { "front" } else { "rear" }
    }
}

impl std::fmt::Display for Axle {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} axle", self.word())
    }
}
