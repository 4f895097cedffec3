//! Reasons against a way down, cautions about it, and when it is given up.

use serde::Serialize;

/// Why a way down is not within the course's limits.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Reason {
    /// The slope is steeper than the course drives: gradient, limit, rad.
    SteeperThanLimit {
        /// Steepest gradient, rad.
        is: f64,
        /// The course's limit, rad.
        limit: f64,
    },
    /// The side tilt, bumps included, is over the limit.
    SideTiltOverLimit {
        /// Side tilt, rad.
        is: f64,
        /// The limit, rad.
        limit: f64,
    },
    /// The side tilt is more than half of what tips a rigid vehicle standing still.
    SideTiltOverHalfTip {
        /// Side tilt, rad.
        is: f64,
        /// Half the rigid tangent, rad.
        limit: f64,
    },
    /// Faster than the course accepts.
    TooFast {
        /// Highest speed, m/s.
        is: f64,
        /// The course's limit, m/s.
        limit: f64,
    },
    /// The engine cannot hold it at any speed it may turn.
    NoSafeBalance,
    /// The engine is turned faster than allowed.
    EngineTooFast {
        /// Highest engine speed, turns/s.
        is: f64,
        /// Highest allowed, turns/s.
        limit: f64,
    },
    /// The ground cannot give what the wheels need to keep turning.
    WheelsSlide {
        /// Retarding force wanted, N.
        is: f64,
        /// The most there is, N.
        limit: f64,
    },
    /// Less grip would be in hand than the course wants: part of the grip.
    TooLittleGripInHand {
        /// In hand, 0 to 1.
        is: f64,
        /// Needed, 0 to 1.
        limit: f64,
    },
    /// The torque converter is not locked: it is not promised to hold at idle.
    ConverterNotLocked,
    /// The lock-up of the torque converter may open: it is not promised to hold at this speed.
    LockUpOpens,
    /// A disc or drum is hotter than the course accepts by the end of the planned runs.
    BrakesTooHot {
        /// Hottest, K.
        is: f64,
        /// The course's limit, K.
        limit: f64,
    },
    /// It reaches the foot still sliding, and no run-out is known.
    DoesNotStop,
    /// It leaves the run-out moving.
    LeavesRunOut {
        /// Speed at its end, m/s.
        is: f64,
    },
    /// It slides off the low side.
    SlidesOffSide,
    /// Locked wheels do not steer.
    SteeringLost,
    /// The run-out is shorter than a stop from the speed at the foot.
    RunOutTooShort {
        /// Distance needed, m; none where it would never stop.
        is: Option<f64>,
        /// The run-out's length, m.
        limit: f64,
    },
    /// It would roll back off the run-out: the rise as a tangent, the grip that holds there.
    RollsBack {
        /// Tangent of the rise.
        is: f64,
        /// Friction that holds on it.
        limit: f64,
    },
    /// The rear axle would lift: braking force over weight against the rigid limit.
    RearLifts,
    /// The nose touches the ground: height wanted and there, m.
    NoseTouches {
        /// How high the ground comes under it, m.
        is: f64,
        /// How high it hangs, m.
        limit: f64,
    },
    /// The vehicle comes down on its belly: height wanted and there, m.
    BellyTouches {
        /// How high the ground comes between the axles, m.
        is: f64,
        /// How high the belly hangs, m.
        limit: f64,
    },
    /// The tail touches the ground: height wanted and there, m.
    TailTouches {
        /// How high the ground comes under it, m.
        is: f64,
        /// How high it hangs, m.
        limit: f64,
    },
}

impl std::fmt::Display for Reason {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::SteeperThanLimit { .. } => "steeper than the course drives",
            Self::SideTiltOverLimit { .. } => "side tilt over the limit",
            Self::SideTiltOverHalfTip { .. } => "side tilt over half of what tips a rigid vehicle",
            Self::TooFast { .. } => "faster than the course accepts",
            Self::NoSafeBalance => "the engine cannot hold it at any speed it may turn",
            Self::EngineTooFast { .. } => "the engine is turned faster than allowed",
            Self::WheelsSlide { .. } => "the ground cannot give the grip the wheels need",
            Self::TooLittleGripInHand { .. } => "too little grip in hand",
            Self::LockUpOpens => "the converter's lock-up may open: not promised to hold",
            Self::ConverterNotLocked => "the torque converter slips: not promised to hold",
            Self::BrakesTooHot { .. } => "brakes hotter than the course accepts",
            Self::DoesNotStop => "does not stop, and no run-out is known",
            Self::LeavesRunOut { .. } => "leaves the run-out moving",
            Self::SlidesOffSide => "slides off the low side",
            Self::SteeringLost => "locked wheels do not steer",
            Self::RunOutTooShort { .. } => "the run-out is too short to stop in",
            Self::RollsBack { .. } => "it rolls back off the run-out",
            Self::RearLifts => "the rear axle would lift",
            Self::NoseTouches { .. } => "the nose touches the ground",
            Self::BellyTouches { .. } => "it comes down on its belly",
            Self::TailTouches { .. } => "the tail touches the ground",
        })
    }
}

/// What to know although it does not decide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Caution {
    /// Only the front axle is braked.
    FrontBrakesOnly,
    /// Only the rear axle is braked: locked, it lets the vehicle swap ends.
    RearBrakesOnly,
    /// Only one axle is tied to the gearing: half the grip, and it can be turned round.
    OneAxleDriven,
    /// No low range.
    NoLowRange,
    /// What happens depends on which published engine drag is right.
    DependsOnEngineDrag,
    /// Less than a fifth of the grip is in hand.
    LittleGripInHand,
    /// On loose ground locked wheels may stop it sooner; steering is still mostly lost.
    LockedMayStopSooner,
    /// No run-out is known.
    NoRunOut,
    /// Brakes reach the range where ordinary linings are reported to fade.
    FadeBand,
    /// Steeper than parking brakes are type-approved to hold (20 %): chock, gear, never rely on it.
    BeyondParkingBrake,
    /// The path of locked wheels bends down the side slope.
    DriftsSideways,
}

impl std::fmt::Display for Caution {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::FrontBrakesOnly => "only the front axle is braked",
            Self::RearBrakesOnly => "only the rear axle is braked; locked, it lets the vehicle swap ends",
            Self::OneAxleDriven => "only one axle is held by the gearing",
            Self::NoLowRange => "no low range",
            Self::DependsOnEngineDrag => "held or not depends on how hard this engine really is to turn",
            Self::LittleGripInHand => "little grip in hand",
            Self::LockedMayStopSooner => {
                "on loose ground locked wheels may stop it sooner; steering is still mostly lost"
            }
            Self::NoRunOut => "no run-out is known",
            Self::FadeBand => "brakes reach the range where ordinary linings are reported to fade",
            Self::BeyondParkingBrake => "steeper than parking brakes are approved to hold",
            Self::DriftsSideways => "locked, it drifts down the side slope",
        })
    }
}

/// When and how a run is given up. Common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum AbortRule {
    /// Not begun at all.
    DoNotStart,
    /// Given up when the vehicle passes the abort speed.
    BrakeInLine,
    /// What to do when the wheels stop turning.
    LetWheelsTurn,
}

impl std::fmt::Display for AbortRule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::DoNotStart => "do not start: turn back before the brow",
            Self::BrakeInLine => {
                "past this speed: brake gently in a straight line, wheels turning, and end the exercise at the foot"
            }
            Self::LetWheelsTurn => "wheels stop turning: off the brake until they turn, point straight down",
        })
    }
}
