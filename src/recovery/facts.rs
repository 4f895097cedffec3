//! Published figures of the recovery trade, as data with their sources.

use crate::quantity::{ToSi, units};

/// How deep a vehicle has sunk. Books that agree on the words do not agree on the number: always say
/// the mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mark {
    /// Tyres in, the hubs free.
    Sidewall,
    /// To the hubs.
    Hub,
    /// To the wings (fenders).
    Wing,
    /// To the frame and higher: cab or turret.
    Cab,
}

impl Mark {
    /// All, shallow first.
    pub const ALL: [Self; 4] = [Self::Sidewall, Self::Hub, Self::Wing, Self::Cab];

    /// Multiple of the weight by the depth rule of B10 (from memory; repeated in B18: hub 1, fender 2, cab 3).
    pub const fn hub_once(self) -> f64 {
        match self {
            Self::Sidewall | Self::Hub => 1.0,
            Self::Wing => 2.0,
            Self::Cab => 3.0,
        }
    }

    /// Multiple by E5: sidewall 1, hubs 2, frame 3.
    pub const fn hub_twice(self) -> f64 {
        match self {
            Self::Sidewall => 1.0,
            Self::Hub => 2.0,
            Self::Wing | Self::Cab => 3.0,
        }
    }
}

/// Ground in the words of the older four-wheel-drive system.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OldGround {
    /// Metalled road.
    HardRoad,
    /// Grass.
    Grass,
    /// Hard wet sand.
    WetSand,
    /// Gravel.
    Gravel,
    /// Soft dry sand.
    DrySand,
    /// Shallow mud.
    ShallowMud,
    /// Bog, marsh, clinging clay.
    Bog,
}

impl OldGround {
    /// Fraction of the weight. Hard road, hard wet sand and bog were read (E8); the
    /// rest of the list is from memory.
    pub const fn fraction(self) -> f64 {
        match self {
            Self::HardRoad => 1.0 / 25.0,
            Self::Grass => 1.0 / 7.0,
            Self::WetSand => 1.0 / 6.0,
            Self::Gravel => 1.0 / 5.0,
            Self::DrySand => 1.0 / 4.0,
            Self::ShallowMud => 1.0 / 3.0,
            Self::Bog => 1.0 / 2.0,
        }
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::HardRoad => "metalled road, 1/25",
            Self::Grass => "grass, 1/7",
            Self::WetSand => "hard wet sand, 1/6",
            Self::Gravel => "gravel, 1/5",
            Self::DrySand => "soft dry sand, 1/4",
            Self::ShallowMud => "shallow mud, 1/3",
            Self::Bog => "bog or clinging clay, 1/2",
        }
    }

    /// Whether the fraction could not be read in a source.
    pub const fn from_memory(self) -> bool {
        !matches!(self, Self::HardRoad | Self::WetSand | Self::Bog)
    }
}

/// Towing trade: hard level ground (E7).
pub const TRADE_HARD: f64 = 1.0 / 10.0;
/// Towing trade: grass, gravel or sand (B18; E7 prints 33 %).
pub const TRADE_SOFT: f64 = 1.0 / 3.0;

/// Smallest number of turns that stay on the drum, steel rope (B11, p. 2-660).
pub const WRAPS_STEEL: f64 = 5.0;
/// The same for synthetic rope (drivers' network, secondary).
pub const WRAPS_SYNTHETIC: f64 = 10.0;
/// Greatest loss of pull named for the last layer (B15, ch. 13): used where nothing is
/// known of a drum.
pub const LAST_LAYER_LOSS: f64 = 0.5;
/// Fleet angle on a smooth drum, degrees (B18).
pub const FLEET_SMOOTH: f64 = 1.5;
/// Fleet angle on a grooved drum, degrees.
pub const FLEET_GROOVED: f64 = 2.0;

/// Widest angle between two legs at which a shackle keeps its whole limit, degrees (B18).
pub const WIDEST_BRIDLE: f64 = 120.0;

/// Off its line by up to so much a piece still counts as pulled in line, degrees. Common practice, no
/// source.
pub const IN_LINE: f64 = 5.0;

/// Share of a shackle's limit that is left with a side load at an angle in degrees (B18):
/// whole in line, 70 % to 45°, 50 % to 90°. For recovery points no maker's figure is published; the same
/// share is taken (common practice, no source).
pub fn side_share(degrees: f64) -> f64 {
    if degrees <= IN_LINE {
        1.0
    } else if degrees <= 45.0 {
        0.7
    } else {
        0.5
    }
}

/// A design factor with the standard that asks for it. Shown beside the kit; never used to turn a
/// strength into a limit, since only the label says which factor its maker used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UsualFactor {
    /// Short name.
    pub id: &'static str,
    /// Of what.
    pub what: &'static str,
    /// The factor.
    pub factor: f64,
    /// The standard.
    pub source: &'static str,
}

/// Usual design factors.
pub const USUAL_FACTORS: &[UsualFactor] = &[
    UsualFactor { id: "shackle", what: "shackle to 150 short tons", factor: 5.0, source: "N1" },
    UsualFactor { id: "rope", what: "wire or manila rope where no table applies", factor: 5.0, source: "R2" },
    UsualFactor { id: "chain", what: "chain by rule", factor: 6.0, source: "B9, p. 3-2" },
    UsualFactor { id: "webbing-en", what: "webbing sling", factor: 7.0, source: "N3, by E13" },
    UsualFactor { id: "shackle-en", what: "shackle", factor: 5.0, source: "common practice, no source" },
    UsualFactor { id: "webbing-us", what: "webbing sling, United States", factor: 5.0, source: "E13" },
];

/// Breaking strength of a recovery strap over the laden mass of the lighter vehicle, least and most:
/// R3.
pub const STRAP_BAND: [f64; 2] = [2.0, 3.0];
/// A strap stays below this many times the shackle's limit, so that steel is not the weak link (club
/// magazine).
pub const STRAP_OVER_SHACKLE: f64 = 4.0;
/// Part of a strap's strength lost when wet (a supplier's remark).
pub const WET_LOSS: f64 = 0.2;
/// Stretch of kinetic straps, low and high (sellers' figures; rarely say at what load).
pub const STRAP_STRETCH: [f64; 2] = [0.20, 0.25];
/// Stretch of kinetic ropes, low and high (sellers' figures).
pub const ROPE_STRETCH: [f64; 2] = [0.30, 0.40];

/// Margin asked of an anchor over what it must hold; published holding powers have none. The
/// project's own choice, common practice, no source.
pub const ANCHOR_MARGIN: f64 = 1.5;

const POUND_FORCE: f64 = si_factor(units::POUND_FORCE.to_si);
const FOOT: f64 = si_factor(units::FOOT.to_si);

const fn si_factor(unit: ToSi) -> f64 {
    match unit {
        ToSi::Times(factor, _) => factor,
        _ => 1.0,
    }
}

/// A set of pickets driven in undisturbed loam, leaned 15° away from the pull.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pickets {
    /// One picket.
    One,
    /// Three in line, lashed one to the next.
    OneOneOne,
    /// Three, two and one, lashed.
    ThreeTwoOne,
}

impl Pickets {
    /// What it holds, N: B8, ch. 6, undisturbed loam: 700, 1,800 and 4,000 lb.
    pub const fn holds(self) -> f64 {
        POUND_FORCE
            * match self {
                Self::One => 700.0,
                Self::OneOneOne => 1800.0,
                Self::ThreeTwoOne => 4000.0,
            }
    }
}

impl Pickets {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::One, Self::OneOneOne, Self::ThreeTwoOne];

    /// How many pickets it is made of.
    pub const fn count(self) -> u8 {
        match self {
            Self::One => 1,
            Self::OneOneOne => 3,
            Self::ThreeTwoOne => 6,
        }
    }

    /// What is published for it, N, lowest and highest: B8 for the set, B14 for each steel picket. Both say
    /// about; the lower counts.
    pub fn spread(self) -> [f64; 2] {
        let each = f64::from(self.count()) * STEEL_PICKET;
        [self.holds().min(each), self.holds().max(each)]
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::One => "1 picket",
            Self::OneOneOne => "3 pickets in line, lashed",
            Self::ThreeTwoOne => "6 pickets: 3, 2 and 1, lashed",
        }
    }
}

/// Lean of pickets away from the pull, degrees (B8). B14, s. 8.3, leans them 45°: the two disagree.
pub const PICKET_LEAN: f64 = 15.0;
/// What one steel picket of 1.5 m by 25 mm holds, N, two thirds driven (B14, s. 8.3).
pub const STEEL_PICKET: f64 = 350.0 * 9.806_65;

/// Holding power of a buried log in loam, lb for each square foot of its face, depth 3 to 7 ft by
/// slope of the pull 1 in 1 to 1 in 4 (B12, table 9).
const DEADMAN: [[f64; 4]; 5] = [
    [950.0, 1300.0, 1450.0, 1500.0],
    [1750.0, 2200.0, 2600.0, 2700.0],
    [2800.0, 3600.0, 4000.0, 4100.0],
    [3800.0, 5100.0, 5800.0, 6000.0],
    [5100.0, 7000.0, 8000.0, 8400.0],
];
/// Share of it in fine-grained or sandy wet soil.
pub const DEADMAN_WET: f64 = 0.5;
/// Trench for the line, m, added to a buried log's length (one foot).
pub const DEADMAN_TRENCH: f64 = FOOT;
/// Greatest length of a log for its diameter.
pub const LOG_SLIMMEST: f64 = 5.0;
/// Greatest length of a sawn timber for its thickness.
pub const TIMBER_SLIMMEST: f64 = 9.0;

/// Holding power of a buried log, Pa: depth (m), the pull's slope as 1 in this many (1 to 4). Between
/// the depths of the table in a straight line; none outside it.
pub fn deadman(depth: f64, one_in: usize) -> Option<f64> {
    let place = depth / FOOT - 3.0;
    let column = one_in.checked_sub(1).filter(|column| *column < 4)?;
    if !(-1e-9..=4.0 + 1e-9).contains(&place) {
        return None;
    }
    let place = place.clamp(0.0, 4.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 3 by the clamp")]
    let row = (libm::floor(place) as usize).min(3);
    let part = place - libm::floor(place.min(3.0));
    let (low, high) = (DEADMAN[row][column], DEADMAN[row + 1][column]);
    Some((low + (high - low) * part) * POUND_FORCE / (FOOT * FOOT))
}

/// Safe load of a chain by rule, short tons: 8 D² with the diameter in inches (B9, p. 3-2).
pub fn chain_rule(inches: f64) -> f64 {
    8.0 * inches * inches
}

/// Safe load of an unmarked shackle by rule, short tons: 3 D² (B8). Deliberately low; for
/// judging what lies in a box, never for recovery.
pub fn shackle_rule(inches: f64) -> f64 {
    3.0 * inches * inches
}

/// The metric form, tonnes: 0.417 D² with the diameter in centimetres (B8).
pub fn shackle_rule_metric(centimetres: f64) -> f64 {
    0.417 * centimetres * centimetres
}

/// Bystanders keep this many times the whole rigged line away (R5, B16).
pub const CLEAR_LENGTHS: f64 = 1.5;
