//! Recovery and safety kit.

pub(super) mod recovery;

use super::{End, Name, Remark};
use crate::quantity::{Length, Mass, Ratio, Share, Speed};

/// What a piece of kit is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KitKind {
    /// Winch on a vehicle or portable.
    Winch,
    /// Rope or cable for winching.
    Line,
    /// Rigid bar between two vehicles: it pulls and it holds back.
    TowBar,
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
    /// Weight or blanket on a loaded line.
    Damper,
    /// Rounded board or log under a line that runs over an edge.
    EdgeGuard,
    /// Pair of gloves.
    Gloves,
    /// Shovel.
    Shovel,
    /// Pair of boards to drive out on.
    Boards,
    /// Wheel chock.
    Chock,
    /// First-aid kit.
    FirstAid,
    /// Fire extinguisher.
    Extinguisher,
    /// Radio.
    Radio,
    /// Line with a weight or a bag, thrown to somebody in the water.
    ThrowLine,
    /// Bright vest.
    Vest,
    /// Rope or tape that keeps people back, with its stakes.
    Barrier,
    /// Set of pegs or cones that mark a line.
    Pegs,
    /// Watch that stops, for the time between two pegs.
    Watch,
    /// Measuring tape.
    Tape,
    /// Tyre pressure gauge.
    Gauge,
    /// Rake for loose stones.
    Rake,
    /// Anything else.
    Other,
}

/// What a piece of lifting or pulling kit may carry, as its maker rates it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rating {
    /// Working load limit, N, if the maker gives one.
    pub working_load: Option<f64>,
    /// Minimum breaking strength, N, if the maker gives one.
    pub breaking: Option<f64>,
    /// Design factor between the two, if given; never assumed.
    pub design_factor: Option<Ratio>,
}

impl Rating {
    /// What it may carry, N: the limit on the label, or the strength over the factor stated with it. A
    /// strength alone is not converted.
    pub fn limit(&self) -> Option<f64> {
        let from_strength = || Some(self.breaking? / self.design_factor?.si());
        self.working_load.or_else(from_strength)
    }
}

/// The state it was found in at the last inspection.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Condition {
    /// Fit for use.
    #[default]
    Good,
    /// Worn within its maker's discard rules; fit for use.
    Worn,
    /// Out of use.
    Retired,
}

/// What a rope is made of: how many turns stay on the drum.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RopeMaterial {
    /// Steel wire.
    Steel,
    /// Synthetic fibre.
    #[default]
    Synthetic,
}

/// The drum of a winch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drum {
    /// Of the barrel, without rope.
    pub barrel: Length,
    /// Between the flanges.
    pub width: Length,
    /// Of the rope wound on it.
    pub rope: Length,
}

/// At which load a rope's stretch is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StretchAt {
    /// At the breaking strength.
    Breaking,
    /// At the working load limit.
    WorkingLoad,
}

/// How far a rope gives, and at which load. Sellers rarely say at which; it is never assumed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RopeStretch {
    /// Share of its length.
    pub share: Share,
    /// The load it is stated at.
    pub at: StretchAt,
}

/// What a ground anchor is, where a published holding power may be known for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnchorSort {
    /// One picket.
    Picket,
    /// Three pickets in line, lashed one to the next.
    Pickets111,
    /// Three, two and one pickets, lashed.
    Pickets321,
    /// Buried log or beam.
    Buried,
    /// Living tree.
    Tree,
    /// Rock.
    Rock,
}

/// A place on a slope where something is made fast.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnchorPlace {
    /// Above the slope, within working room of its brow.
    Brow,
    /// On it, beside the track, above where a vehicle is stuck half-way.
    HalfWay,
    /// Below it, beside the run-out.
    Foot,
}

impl AnchorPlace {
    /// As pages say it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Brow => "brow",
            Self::HalfWay => "half-way",
            Self::Foot => "foot",
        }
    }
}

/// Where an anchor stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stand {
    /// The slope.
    pub slope: String,
    /// Where on it.
    pub place: AnchorPlace,
}

/// A log or beam buried as an anchor, the pull square to its face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Buried {
    /// Its length.
    pub length: Length,
    /// Height of the face that presses on the ground: its thickness.
    pub face: Length,
    /// Depth of its middle under the ground.
    pub depth: Length,
    /// The line climbs out of the ground 1 in this many, 1 to 4.
    pub one_in: usize,
    /// Whether the ground is fine-grained or sandy and wet.
    pub wet: bool,
}

/// What rigs need to know of a piece of kit beyond its rating.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RigData {
    /// The standard its rating follows, as on the label.
    pub standard: Option<Name>,
    /// State at the last inspection.
    pub condition: Condition,
    /// When it was last inspected, as written.
    pub inspected: Option<Name>,
    /// Winch: pull on each layer, N, first layer first, as the maker gives it; empty when not given.
    pub layers: Vec<f64>,
    /// Winch: its drum.
    pub drum: Option<Drum>,
    /// Winch: the kit identifier of the line wound on it.
    pub line: Option<String>,
    /// Winch: the vehicle it is fixed to; none for a portable one.
    pub on: Option<String>,
    /// Winch: the end of its vehicle it is mounted at; none for a portable one.
    pub mounted: Option<End>,
    /// Winch: worked by hand.
    pub by_hand: bool,
    /// Winch: the rope passes through it, so that it has no drum and no layers.
    pub rope_through: bool,
    /// Winch: speed of the line under load.
    pub line_speed: Option<Speed>,
    /// Line: what it is made of.
    pub material: RopeMaterial,
    /// Block: its sheaves; 1 when not given.
    pub sheaves: Option<u8>,
    /// Strap: its legs when it is a bridle; `length` is that of one leg.
    pub legs: Option<u8>,
    /// Kinetic rope: how far it gives.
    pub stretch: Option<RopeStretch>,
    /// Ground anchor: what it is.
    pub anchor: Option<AnchorSort>,
    /// Ground anchor: what it was tested to hold in this ground, N.
    pub holds: Option<f64>,
    /// Ground anchor: a buried log's measures, for which a holding power is published.
    pub buried: Option<Buried>,
    /// Ground anchor: where it stands; empty for one that is set where it is wanted.
    pub stands: Vec<Stand>,
}

impl RigData {
    /// Whether a ground anchor's holding power was tested, or is published for its sort.
    pub fn holding_power_known(&self) -> bool {
        use AnchorSort::{Picket, Pickets111, Pickets321};
        let pickets = matches!(self.anchor, Some(Picket | Pickets111 | Pickets321));
        self.holds.is_some() || pickets || self.buried.is_some()
    }
}

/// A piece of kit.
#[derive(Clone, Debug, PartialEq)]
pub struct KitItem {
    /// Short name used in references.
    pub id: String,
    /// What it is called.
    pub name: Name,
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
    pub note: Option<Remark>,
    /// What rigs need to know.
    pub rig: RigData,
}
