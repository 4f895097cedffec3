//! Surfaces and the friction they offer.

mod library;

pub use library::{library_ids, library_surface};

use super::{Band, Name, Passage};

/// How a surface behaves under a sliding wheel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ground {
    /// Wheels slide over it.
    Firm,
    /// A locked wheel ploughs: it can stop shorter, and steering is still lost.
    Loose,
}

/// What an anchor is driven or dug into, as far as published holding powers tell it apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Soil {
    /// Grown earth, firm and dry: what published holding powers are for.
    Dry,
    /// Wet or fine-grained: clay, mud, wet earth or turf.
    Wet,
    /// Loose: sand, scree, loose gravel, snow.
    Loose,
    /// Rolled, paved, frozen or rock: nothing is driven into it.
    Hard,
    /// Nobody told.
    #[default]
    Unknown,
}

/// A surface with its friction, from the library or the course.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    /// Short name used in references.
    pub id: String,
    /// What it is called on a page: "wet grass".
    pub name: Name,
    /// How it behaves.
    pub ground: Ground,
    /// What anchors beside it are driven into.
    pub soil: Soil,
    /// Best friction coefficient at small slip.
    pub peak: Band,
    /// Friction coefficient of a locked, sliding wheel.
    pub sliding: Band,
    /// Rolling resistance coefficient.
    pub rolling: Band,
    /// Where the values come from.
    pub source: Passage,
    /// Whether the values are estimates rather than published or measured here.
    pub estimated: bool,
}
