//! A rig: every part with what it carries, what it may carry, and what is left.

use serde::Serialize;

use super::facing::Facing;
pub use super::joins::Joins;
use super::layout::Layout;
use crate::engine::formulas::recovery as r;

/// What a part does in a rig.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// The winch, on the fullest layer of the work where it has a drum.
    Winch,
    /// The line on its drum.
    WinchLine,
    /// A block.
    Block,
    /// A shackle.
    Shackle,
    /// A strap round an anchor, or tying a helper back.
    Strap,
    /// A bridle, each leg.
    Bridle,
    /// A line that lengthens the rig.
    Extension,
    /// A recovery point of the stuck vehicle.
    CasualtyPoint,
    /// A recovery point of a helper.
    HelperPoint,
    /// A ground anchor, with its margin.
    Anchor,
    /// A braked vehicle as anchor, with its margin.
    Braked,
    /// A line or strap between two vehicles.
    TowLine,
    /// A rigid bar between two vehicles.
    TowBar,
    /// What a tug's wheels can pull with on this ground.
    Grip,
    /// What a tug's foot brake holds on this ground: itself and what it tows.
    TugBrake,
}

impl Role {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Winch => "winch",
            Self::WinchLine => "winch line",
            Self::Block => "block",
            Self::Shackle => "shackle",
            Self::Strap => "strap",
            Self::Bridle => "bridle, each leg",
            Self::Extension => "extension line",
            Self::CasualtyPoint => "point of the stuck vehicle",
            Self::HelperPoint => "point of the helping vehicle",
            Self::Anchor => "ground anchor",
            Self::Braked => "braked vehicle",
            Self::TowLine => "tow line",
            Self::TowBar => "tow bar",
            Self::Grip => "grip of the tug's wheels",
            Self::TugBrake => "the tug's foot brake, holding both",
        }
    }
}

/// A part of a rig.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Part {
    /// What it does.
    pub role: Role,
    /// Kit or vehicle identifier.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// What it carries, N, at the high end of the pull.
    pub load: f64,
    /// What it may carry here, N.
    pub rating: f64,
    /// The share of its own limit that counts here: less than 1 where it is pulled off its line.
    pub counts: f64,
    /// Share of the rating that is left; negative when it is exceeded.
    pub margin: f64,
    /// What it joins, of a shackle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub joins: Option<Joins>,
}

impl Part {
    /// A part with its margin.
    pub fn new(role: Role, id: &str, name: &str, load: f64, rating: f64) -> Self {
        let margin = r::margin_left(rating, load);
        Self {
            role,
            id: id.to_owned(),
            name: name.to_owned(),
            load,
            rating,
            counts: 1.0,
            margin,
            joins: None,
        }
    }

    /// Whether so much of its rating stays free.
    pub fn keeps(&self, margin: f64) -> bool {
        keeps(self.load, self.rating, margin)
    }

    /// With another load, N, of a rating, N.
    pub(super) fn carry(&mut self, load: f64, rating: f64) {
        (self.load, self.rating, self.margin) = (load, rating, r::margin_left(rating, load));
    }
}

/// What of a rig is made fast to something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fastened {
    /// The end of the line.
    End,
    /// A block.
    Block,
    /// The block that turns the line.
    Turn,
    /// The winch, or the vehicle that carries it.
    Winch,
}

/// What it is made fast to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HeldBy {
    /// A ground anchor of the kit.
    Anchor {
        /// Its identifier.
        id: String,
    },
    /// Another vehicle, braked.
    Vehicle {
        /// Its identifier.
        id: String,
    },
    /// The vehicle that carries the winch.
    Host,
    /// The brakes of the vehicle that carries the winch.
    Brakes,
}

/// A rig with every part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rig {
    /// How the line runs.
    pub layout: &'static Layout,
    /// In words.
    pub words: &'static str,
    /// The helper that carries the winch, if one does.
    pub host: Option<String>,
    /// Parts of line at the load.
    pub parts_of_line: u8,
    /// Force in the line to the winch, N.
    pub fall_line: f64,
    /// Force in the end made fast, N.
    pub dead_line: f64,
    /// What is made fast to what: the joints of the layout in their order, then the winch.
    pub made_fast: Vec<(Fastened, HeldBy)>,
    /// Every part.
    pub parts: Vec<Part>,
    /// Place in `parts` of the weakest.
    pub weakest: usize,
    /// Least margin of all parts.
    pub margin: f64,
    /// How far the stuck vehicle travels, m.
    pub travel: f64,
    /// Line drawn off the drum at the start of the first pull, m.
    pub line_out: f64,
    /// Whole length of line rigged, extension included, m.
    pub rigged_length: f64,
    /// How often the rig is set: more than once where the line is short.
    pub pulls: u32,
    /// Winch layer at the end of the pull, where the drum is known.
    pub layer: Option<usize>,
    /// How far the line leaves the stuck vehicle off its own at most, rad: from the side and from above together.
    pub off: f64,
    /// Half the angle between bridle legs, rad, where there is a bridle.
    pub bridle_half_angle: Option<f64>,
    /// Whether the winch is worked by hand.
    pub by_hand: bool,
    /// Rigging and winching, s, where the line speed is known. Times for rigging: common practice, no
    /// source.
    pub time: Option<f64>,
}

impl Rig {
    /// The part with the least margin.
    pub fn weakest_part(&self) -> &Part {
        &self.parts[self.weakest]
    }

    /// Finds its weakest part again, after a load of one has changed.
    pub(super) fn weigh(&mut self) {
        let margin = |place: &usize| self.parts[*place].margin;
        self.weakest = (0..self.parts.len()).min_by(|a, b| margin(a).total_cmp(&margin(b))).unwrap_or(0);
        self.margin = self.parts[self.weakest].margin;
    }

    /// Whether so much of its rating stays free on every part.
    pub fn keeps(&self, margin: f64) -> bool {
        self.parts.iter().all(|part| part.keeps(margin))
    }

    /// What rigs are ranked by, least first.
    pub fn rank(&self) -> Rank {
        rank(self.by_hand, self.margin, self.rigged_length, self.parts.len(), self.time)
    }
}

/// Whether a part that carries so much keeps a share of its rating free.
pub(super) fn keeps(load: f64, rating: f64, margin: f64) -> bool {
    load <= rating * (1.0 - margin) * (1.0 + 1e-12)
}

/// By hand or not; margin; line under load; parts; time; exact margin.
pub type Rank = (bool, i32, u64, usize, u64, i64);

/// A powered winch before a hand winch; then margin in steps of a tenth up to a half, where more brings
/// nothing; then metres of line under load; then parts, time, and the exact margin. So no rig is passed
/// over for one with less margin and more line.
pub(super) fn rank(by_hand: bool, margin: f64, line: f64, parts: usize, time: Option<f64>) -> Rank {
    #[expect(clippy::cast_possible_truncation, reason = "a margin is at most 1")]
    let step = libm::floor(10.0 * margin.clamp(-10.0, 0.5)) as i32;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "metres of line")]
    let line = libm::round(1e3 * line) as u64;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "seconds of a day")]
    let time = time.map_or(u64::MAX, |time| time as u64);
    #[expect(clippy::cast_possible_truncation, reason = "a margin is at most 1")]
    let exact = (-1e9 * margin.max(-1e6)) as i64;
    (by_hand, -step, line, parts, time, exact)
}

/// A layout that no pieces of the kit make good.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Refusal {
    /// How the line would run.
    pub layout: &'static Layout,
    /// In words.
    pub words: &'static str,
    /// Why not.
    pub reason: Refused,
}

/// What a rig lacks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Lacking {
    /// A rated block.
    Block,
    /// A rated shackle.
    Shackle,
    /// A rated strap.
    Strap,
    /// A bridle with legs of stated length.
    BridleLength,
    /// A bridle whose legs stand 120° or less apart.
    NarrowBridle,
    /// A bridle that reaches from the front point of a vehicle to the rear one.
    LongBridle,
    /// A rated point of the stuck vehicle at the end that faces the pull.
    CasualtysPoint(Facing),
    /// A rated point at the end of the helping vehicle that the line leaves from.
    HelpersPoint,
    /// Rated points of the helping vehicle at both ends.
    HelpersPoints,
    /// A rated point of the vehicle used as anchor.
    AnchorsPoint,
    /// A rated winch with a rated line on the stuck vehicle.
    OwnWinch,
    /// The same on another vehicle, or portable.
    HelpersWinch,
    /// An anchor or vehicle to make fast to.
    Hold,
}

impl Lacking {
    /// In words, for one of it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Block => "rated block",
            Self::Shackle => "rated shackle",
            Self::Strap => "rated strap",
            Self::BridleLength => "bridle with legs of stated length",
            Self::NarrowBridle => "bridle whose legs stand 120° or less apart",
            Self::LongBridle => "two-leg bridle that reaches from its front point to its rear one",
            Self::CasualtysPoint(Facing::Front) => {
                "rated recovery point at the front of the stuck vehicle, the end that faces the pull"
            }
            Self::CasualtysPoint(Facing::Rear) => {
                "rated recovery point at the rear of the stuck vehicle, the end that faces the pull"
            }
            Self::CasualtysPoint(Facing::Side) => "rated recovery point at one end of the stuck vehicle",
            Self::HelpersPoint => "rated recovery point at one end of the helping vehicle",
            Self::HelpersPoints => "rated recovery points on the helping vehicle, front and rear",
            Self::AnchorsPoint => "rated recovery point on the vehicle used as anchor",
            Self::OwnWinch => "rated winch with a rated line on the stuck vehicle",
            Self::HelpersWinch => "rated winch with a rated line on another vehicle",
            Self::Hold => "ground anchor or other vehicle to make it fast to",
        }
    }

    /// Whether a recovery point is what is missing.
    pub const fn is_point(self) -> bool {
        matches!(
            self,
            Self::CasualtysPoint(_) | Self::HelpersPoint | Self::HelpersPoints | Self::AnchorsPoint
        )
    }
}

impl Refusal {
    /// The one that is nearest to success: a part, else a length, else a point, else another piece.
    pub fn nearest(all: Vec<Self>) -> Option<Self> {
        let short = |reason: &Refused| match reason {
            Refused::Exceeds(part) => -part.margin,
            Refused::TooShort { needs, has } => needs - has,
            Refused::TooOften { settings, .. } => f64::from(*settings),
            Refused::Lacks { .. } | Refused::FacesAway | Refused::NotForThis => 0.0,
        };
        all.into_iter().min_by(|a, b| {
            let nearer = b.reason.nearness().cmp(&a.reason.nearness());
            nearer.then(short(&a.reason).total_cmp(&short(&b.reason)))
        })
    }
}

/// Why a rig is refused.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "why", rename_all = "snake_case")]
pub enum Refused {
    /// A part would keep less of its rating free than the course asks, in the best choice of pieces there is.
    Exceeds(Part),
    /// Pieces are missing.
    Lacks {
        /// What.
        what: Lacking,
        /// How many it needs.
        needs: usize,
        /// How many rated ones there are.
        has: usize,
    },
    /// The line does not reach.
    TooShort {
        /// Line it needs, m.
        needs: f64,
        /// Line there is, m.
        has: f64,
    },
    /// It would be set anew more often than it may be.
    TooOften {
        /// How often.
        settings: u32,
        /// How often it may be.
        most: u32,
    },
    /// The stuck vehicle's own winch looks the other way.
    FacesAway,
    /// This way to run a line is not used for such work.
    NotForThis,
}

impl Refused {
    /// How near to success: a part that fails is nearer than a line too short, that than a missing
    /// point, and that than other pieces.
    pub const fn nearness(&self) -> u8 {
        match self {
            Self::Exceeds(_) => 5,
            Self::TooOften { .. } => 4,
            Self::TooShort { .. } => 3,
            Self::Lacks { what, .. } if what.is_point() => 2,
            Self::Lacks { what: Lacking::OwnWinch, .. } | Self::FacesAway | Self::NotForThis => 0,
            Self::Lacks { .. } => 1,
        }
    }
}
