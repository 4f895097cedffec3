//! Recovery and safety kit.

use crate::quantity::{Length, Mass, Ratio};

/// What a piece of kit is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KitKind {
    /// Winch on a vehicle or portable.
    Winch,
    /// Rope or cable for winching.
    Line,
    /// Stretching strap or rope for a snatch recovery.
    KineticRope,
    /// Strap that hardly stretches, for bridles and anchors.
    Strap,
    /// Block with a sheave.
    SnatchBlock,
    /// Shackle.
    Shackle,
    /// Ground anchor or picket set.
    GroundAnchor,
    /// Wheel chock.
    Chock,
    /// First-aid kit.
    FirstAid,
    /// Fire extinguisher.
    Extinguisher,
    /// Radio.
    Radio,
    /// Anything else.
    Other,
}

/// What a piece of lifting or pulling kit may carry, as its maker rates it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// Working load limit, N, if the maker gives one.
    pub working_load: Option<f64>,
    /// Minimum breaking strength, N, if the maker gives one.
    pub breaking: Option<f64>,
    /// Design factor between the two, if given; never assumed.
    pub design_factor: Option<Ratio>,
}

/// A piece of kit.
#[derive(Clone, Debug, PartialEq)]
pub struct KitItem {
    /// Short name used in references.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// What it is.
    pub kind: KitKind,
    /// How many there are.
    pub count: u16,
    /// What it may carry.
    pub rating: Rating,
    /// Its length.
    pub length: Option<Length>,
    /// Its mass.
    pub mass: Option<Mass>,
    /// Anything worth knowing.
    pub note: Option<String>,
}
