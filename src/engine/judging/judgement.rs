//! What a slope and a vehicle come to: the one value every page, program and table prints from.

use serde::Serialize;

use crate::course::Gear;
use crate::engine::Spread;
use crate::engine::chassis::axle::AxleDemand;
use crate::engine::mark::{Corner, Deciding, Mark, What};
use crate::engine::motion::run::Outcome;
use crate::engine::way::{Place, Way, gear_name};

/// A value somebody can measure to win a verdict back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// Weigh the vehicle as driven.
    Mass,
    /// Measure the gradient, with an instrument whose step is known.
    Gradient,
    /// Measure how hard the engine is to turn.
    Overrun,
    /// Find out which wheels are driven and how the differentials are.
    Drive,
    /// Find out how the differentials are; which wheels are driven is known.
    Differentials,
    /// Find out above which speed the converter's lock-up stays closed.
    LockUp,
    /// Measure the run-out.
    RunOut,
    /// Measure the way out straight down, and what lies beyond it.
    WayOut,
    /// Measure over what length the ground bends at brow and foot.
    Bends,
}

impl std::fmt::Display for Measure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Mass => "weigh the vehicle as driven",
            Self::Gradient => "measure the gradient, and write down the step of the instrument",
            Self::Overrun => "measure how hard the engine is to turn",
            Self::Drive => "find out which wheels the gear drives and how the differentials are",
            Self::Differentials => "find out how the differentials are",
            Self::LockUp => "find out above which speed the converter's lock-up stays closed",
            Self::RunOut => "measure the run-out",
            Self::WayOut => "measure the way out straight down, and what lies beyond it",
            Self::Bends => "measure over what length the ground bends at brow and foot",
        })
    }
}

/// Why ground does not forgive a run near a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Unforgiving {
    /// As steep as the course's rule, or steeper.
    Steep,
    /// Less run-out than the course's rule.
    ShortRunOut,
    /// An edge or a drop beside the line or below it.
    Edge,
    /// Water that the ground leans to or the line ends at.
    Water,
    /// Wheels that lock do not stop it on the slope: a foot pressed too hard makes it worse.
    LockedSlides,
    /// A tolerance brings it to more speed than the course's rule: too fast to be caught.
    TooFast,
}

/// What a driver locks or engages.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Differential {
    /// Between the axles.
    Centre,
    /// None between the axles: four-wheel drive must be engaged.
    FourWheelDrive,
    /// Between the front wheels.
    Front,
    /// Between the rear wheels.
    Rear,
}

impl Differential {
    /// What is taken out, as it is called.
    pub fn lock_name(self) -> &'static str {
        match self {
            Self::Centre => "the lock of the centre differential",
            Self::FourWheelDrive => "four-wheel drive",
            Self::Front => "the lock of the front axle",
            Self::Rear => "the lock of the rear axle",
        }
    }
}

impl std::fmt::Display for Differential {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Centre => "lock the centre differential",
            Self::FourWheelDrive => "engage four-wheel drive",
            Self::Front => "lock the front axle differential",
            Self::Rear => "lock the rear axle differential",
        })
    }
}

/// A slide with locked wheels from where it would be worst.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LockedAt {
    /// Where the wheels lock.
    pub place: Place,
    /// Speed there, m/s.
    pub speed: f64,
    /// Whether that is the speed at which a run is given up rather than the one expected.
    pub at_abort_speed: bool,
    /// What becomes of it, at the low end of the grip.
    pub outcome: Outcome,
    /// Distance it slides, m.
    pub distance: f64,
    /// Speed at the foot of the slope, m/s; 0 where it stops before.
    pub foot_speed: f64,
    /// Speed where it comes to rest or leaves the run-out, m/s.
    pub end_speed: f64,
}

/// Why a gear that a driver might take is not driven.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum NotDriven {
    /// It breaks a limit, by itself or by a tolerance that the ground does not forgive: the worst.
    Breaks(What),
    /// A tolerance breaks a limit: the first that was found.
    Nearly(What),
    /// It holds, but faster than somebody walks, across a tilt or over bumps.
    OverAWalk,
    /// With the foot brake only one gear is tried.
    NotTried,
}

/// The gear above the one that is driven.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct NextGear {
    /// The gear.
    #[serde(serialize_with = "gear_said")]
    pub gear: Gear,
    /// Why it is not driven.
    pub why: NotDriven,
}

/// A gear by its name.
fn gear_said<S: serde::Serializer>(gear: &Gear, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(gear)
}

/// What a pair comes to on the way out, in the way it is driven.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct OnWayOut {
    /// Its gradient, rad.
    pub gradient: f64,
    /// Its length, m.
    pub length: f64,
    /// Highest speed over all corners, m/s.
    pub top_speed: Spread,
}

/// What a pair comes to: the one value every page, program and table prints from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Judgement {
    /// The mark.
    pub mark: Mark,
    /// The way down it is given for; where none may be driven the one that came nearest.
    pub way: Option<Way>,
    /// The gear it is given for.
    #[serde(serialize_with = "gear_name")]
    pub gear: Option<Gear>,
    /// The lowest gear that may be driven with the foot off the brake.
    #[serde(serialize_with = "gear_name")]
    pub lowest: Option<Gear>,
    /// The gear to drive where one holds with every tolerance to spare: the highest of those that keep the pace
    /// the slope allows.
    #[serde(serialize_with = "gear_name")]
    pub recommended: Option<Gear>,
    /// The first gear too high to hold it within the limits; none where no gear does, foot off the brake.
    #[serde(serialize_with = "gear_name")]
    pub too_high: Option<Gear>,
    /// The next gear above the one that is driven, and why it is not; none where nobody drives or there is none.
    pub next: Option<NextGear>,
    /// The highest gear too low for the ground: it drags the wheels slower than the grip lets them turn, and
    /// a higher one goes.
    #[serde(serialize_with = "gear_name")]
    pub too_low: Option<Gear>,
    /// The mark of every gear, foot off the brake, low range first.
    #[serde(skip)]
    pub gears: Vec<(Gear, Mark)>,
    /// Every limit that decides, then those that nearly do; the worst first.
    pub reasons: Vec<Deciding>,
    /// Why what a tolerance breaks is not left to a foot over the brake; empty where no mark hangs on it.
    pub unforgiving: Vec<Unforgiving>,
    /// Highest speed over all corners, m/s.
    pub top_speed: Spread,
    /// Where the highest speed is reached.
    pub top_at: Option<Place>,
    /// Highest speed of a way that goes where a stated tolerance breaks the limit of speed, m/s: none where no
    /// tolerance does. The reasons say which.
    pub near_speed: Option<f64>,
    /// Speed at the foot, m/s.
    pub foot_speed: Spread,
    /// What to measure to win a better mark back.
    pub measure: Vec<Measure>,
    /// What the driver must lock before the brow; the mark counts on it.
    pub lock: Vec<Differential>,
    /// What the driver must take out before the brow; the mark counts on that as well.
    pub unlock: Vec<Differential>,
    /// The axles where their grip is nearest to its limit, at the corner that decides.
    pub axles: AxleDemand,
    /// The slide with locked wheels from where it would be worst; none without a foot brake.
    pub locked: Option<LockedAt>,
    /// Distance to stop beyond the foot, reaction included, m; none where it would not stop or no
    /// run-out is given.
    pub stop: Option<f64>,
    /// What it comes to on the way out of a line that leans; none where it does not lean, or nobody measured it.
    pub way_out: Option<OnWayOut>,
}

impl Judgement {
    /// The limit that decides, or nearly: the worst.
    pub fn first(&self) -> Option<&Deciding> {
        self.reasons.first()
    }

    /// Refuses what a rule of the course keeps off the slope, whatever the drive itself comes to. `value`
    /// and `limit` as [`What`] says them.
    pub fn refuse(&mut self, what: What, value: f64, limit: f64) {
        let way = self.way.unwrap_or(Way::Geared);
        let reason = Deciding {
            what,
            value,
            limit,
            unit: what.unit(),
            corner: Corner::FREE,
            axle: None,
            way,
            gear: None,
            decides: true,
            tolerance: None,
            on_way_out: false,
        };
        if self.mark == Mark::Refused {
            let broken = self.broken().count();
            self.reasons.insert(broken, reason);
        } else {
            self.mark = Mark::Refused;
            self.reasons.insert(0, reason);
            self.measure.clear();
        }
        (self.lowest, self.recommended, self.near_speed) = (None, None, None);
    }

    /// The limits that are broken.
    pub fn broken(&self) -> impl Iterator<Item = &Deciding> {
        self.reasons.iter().filter(|reason| reason.decides)
    }
}
