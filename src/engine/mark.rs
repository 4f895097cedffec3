//! How a vehicle stands with a slope: one vocabulary for every page, program and table.

use super::chassis::axle::Axle;
use serde::Serialize;

use super::way::{Way, gear_name};
use crate::course::Gear;

/// How a vehicle stands with a slope.
///
/// Never "safe": within the course's own limits, at the worst corner of every range. From the best to
/// the worst; [`Mark::NotJudged`] stands below every go.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mark {
    /// In a gear, foot off the brake, and every stated tolerance leaves it so.
    Within,
    /// In a gear, but a stated tolerance breaks it: foot over the brake, instructor beside the driver.
    Near,
    /// In a gear with the foot brake.
    #[serde(rename = "brake")]
    WithBrake,
    /// A value that decides is missing.
    NotJudged,
    /// Do not drive.
    Refused,
}

impl Mark {
    /// Every mark, in the order of the vocabulary.
    pub const ALL: [Self; 5] = [Self::Within, Self::Near, Self::WithBrake, Self::Refused, Self::NotJudged];

    /// Whether the vehicle may go down at all.
    pub fn goes(self) -> bool {
        matches!(self, Self::Within | Self::Near | Self::WithBrake)
    }

    /// What the driver does about it, where the mark itself does not say so.
    pub fn action(self) -> Option<&'static str> {
        match self {
            Self::Near => Some("foot over the brake, instructor beside the driver"),
            Self::NotJudged => Some("a value is missing"),
            _ => None,
        }
    }

    /// The mark as programs read it: `within`, `near`, `brake`, `refused`, `not-judged`.
    pub fn key(self) -> &'static str {
        match self {
            Self::Within => "within",
            Self::Near => "near",
            Self::WithBrake => "brake",
            Self::Refused => "refused",
            Self::NotJudged => "not-judged",
        }
    }
}

impl std::fmt::Display for Mark {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Within => "within the limits",
            Self::Near => "near a limit",
            Self::WithBrake => "with the foot brake",
            Self::Refused => "do not drive",
            Self::NotJudged => "not judged",
        })
    }
}

/// An end of a range.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum End {
    /// The low end.
    Low,
    /// The high end.
    High,
}

/// Which losses of the driveline are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Losses {
    /// None: losses never help to prove a hold.
    None,
    /// The nominal ones, which add to what the engine takes from the wheels.
    Nominal,
}

/// The corner of all ranges at which something was worst.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Corner {
    /// Engine drag.
    pub drag: End,
    /// Grip of the ground.
    pub grip: End,
    /// Rolling resistance.
    pub rolling: End,
    /// Losses of the driveline.
    pub losses: Losses,
}

impl Corner {
    /// Where a vehicle runs fastest: nothing helps to hold it.
    pub const FREE: Self = Self { drag: End::Low, grip: End::Low, rolling: End::Low, losses: Losses::None };
    /// Where engine braking slides the wheels: it takes most, the ground gives least.
    pub const DRAGGED: Self =
        Self { drag: End::High, grip: End::Low, rolling: End::Low, losses: Losses::Nominal };
}

impl std::fmt::Display for Corner {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let end = |end: End| if end == End::Low { "low" } else { "high" };
        write!(f, "engine drag {}, grip {}", end(self.drag), end(self.grip))
    }
}

/// A limit that decides, or nearly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// Steepest gradient against the course's limit, rad.
    Gradient,
    /// Side tilt, bumps included, against the working limit, rad.
    SideTilt,
    /// Side tilt against half of what tips a rigid vehicle, rad.
    HalfTip,
    /// Pitch against what lifts the rear axle, rad.
    RearLifts,
    /// How high the ground comes under the nose against the height it hangs at, m.
    NoseTouches,
    /// How high the ground comes between the axles against the height of the belly, m.
    BellyTouches,
    /// How high the ground comes under the tail against the height it hangs at, m.
    TailTouches,
    /// Highest speed against the course's limit, m/s.
    Speed,
    /// Highest engine speed against the highest allowed, turns/s.
    EngineSpeed,
    /// Force short at the highest engine speed against none, N: the engine cannot hold it.
    Balance,
    /// Grip wanted of the front axle against what the ground gives at the low end.
    FrontGrip,
    /// Grip wanted of the rear axle against what the ground gives at the low end: the tail swings.
    RearGrip,
    /// Part of the grip in hand against the part the course wants in hand.
    GripInHand,
    /// Speed below which an unlocked torque converter pushes against the one above which it holds the
    /// slope at the low end, m/s: between them it holds nothing.
    Converter,
    /// Lowest speed against the one above which a converter's lock-up is known to stay closed, m/s; the
    /// course's own speed limit where nobody knows.
    LockUp,
    /// Hottest brake against the course's limit, K.
    BrakeHeat,
    /// Distance to stop beyond the foot against the run-out's length, m.
    RunOut,
    /// Rise of the run-out, as a tangent, against the grip that holds on it: it rolls back.
    RollsBack,
    /// No run-out is given.
    RunOutMissing,
    /// The line leans to a side, and nobody measured the way out straight down.
    WayOutMissing,
    /// No rated recovery point, where the course wants one: how many there are against one.
    RatedPoint,
    /// Ways of being stuck in which the kit fetches nothing, where the course drives only what it can fetch.
    NotFetched,
    /// In the wet it would go in a higher gear, or with less brake, than in the dry, or it stays up there.
    BolderThanDry,
}

impl What {
    /// The SI unit of value and limit.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Gradient | Self::SideTilt | Self::HalfTip | Self::RearLifts => "rad",
            Self::Speed | Self::Converter | Self::LockUp => "m/s",
            Self::EngineSpeed => "1/s",
            Self::Balance => "N",
            Self::BrakeHeat => "K",
            Self::RunOut
            | Self::RunOutMissing
            | Self::WayOutMissing
            | Self::NoseTouches
            | Self::BellyTouches
            | Self::TailTouches => "m",
            Self::FrontGrip
            | Self::RearGrip
            | Self::GripInHand
            | Self::RollsBack
            | Self::RatedPoint
            | Self::NotFetched
            | Self::BolderThanDry => "",
        }
    }
}

/// A stated tolerance that breaks a verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tolerance {
    /// More mass than written.
    Mass,
    /// Less mass than written: the engine takes as much of less grip.
    Lighter,
    /// One step of the instrument the gradient was measured with.
    Gradient,
    /// More speed.
    Speed,
    /// More engine speed.
    EngineSpeed,
    /// The outer band of engine drag.
    Drag,
}

impl std::fmt::Display for Tolerance {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Mass => "more load",
            Self::Lighter => "less load",
            Self::Gradient => "one step of the instrument steeper",
            Self::Speed => "more speed",
            Self::EngineSpeed => "more engine speed",
            Self::Drag => "engine off the published band",
        })
    }
}

/// A limit that decides or nearly decides, with its figures.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Deciding {
    /// Which limit.
    pub what: What,
    /// What it comes to, SI.
    pub value: f64,
    /// What it is held against, SI.
    pub limit: f64,
    /// The SI unit of both.
    pub unit: &'static str,
    /// The corner of the ranges that decided.
    pub corner: Corner,
    /// The axle, where one decides.
    pub axle: Option<Axle>,
    /// The way down it was found on.
    pub way: Way,
    /// The gear, when one is engaged.
    #[serde(serialize_with = "gear_name")]
    pub gear: Option<Gear>,
    /// Whether it is broken, by itself or by a tolerance that the ground does not forgive; false where only a
    /// tolerance breaks it and the mark leaves that to the foot over the brake.
    pub decides: bool,
    /// The tolerance that breaks it, where it is not broken by itself; `value` is then what it comes
    /// to with that tolerance.
    pub tolerance: Option<Tolerance>,
    /// Whether it was found on the way out of a line that leans, rather than on the line.
    pub on_way_out: bool,
}

impl Deciding {
    /// The worst first; what differs by a hair in the order of the kinds.
    pub(crate) fn by_excess(&self, other: &Self) -> std::cmp::Ordering {
        let hairs = |one: &Self| (1e6 * one.excess()).round();
        hairs(other).total_cmp(&hairs(self)).then_with(|| (self.what as u8).cmp(&(other.what as u8)))
    }

    /// By how much it is broken, as a part of the limit; negative while it holds.
    pub fn excess(&self) -> f64 {
        let over = match self.what {
            What::GripInHand | What::Converter | What::LockUp => self.limit - self.value,
            _ => self.value - self.limit,
        };
        let size = if self.limit.abs() > 1e-9 { self.limit.abs() } else { 1.0 };
        (over / size).clamp(-1e6, 1e6)
    }
}
