//! What the figures come to, compared with the course's limits.
//!
//! A verdict is never "safe": it is "within the course's limits" or the named reasons why not,
//! always from the unfavourable end of every range.

use serde::Serialize;

use super::brakes::BrakeHeat;
use super::descent::{Descent, Way};
use super::run::{Outcome, Run};
use super::stability::Stability;

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
    /// The foot brake would leave less grip in hand than a foot needs: part of the grip.
    TooLittleGripForBrake {
        /// In hand, 0 to 1.
        is: f64,
        /// Needed, 0 to 1.
        limit: f64,
    },
    /// The torque converter is not locked: it is not promised to hold at idle.
    ConverterNotLocked,
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
    /// The rear axle would lift: braking force over weight against the rigid limit.
    RearLifts,
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
            Self::TooLittleGripForBrake { .. } => "too little grip in hand for a foot brake",
            Self::ConverterNotLocked => "the torque converter slips: not promised to hold",
            Self::BrakesTooHot { .. } => "brakes hotter than the course accepts",
            Self::DoesNotStop => "does not stop, and no run-out is known",
            Self::LeavesRunOut { .. } => "leaves the run-out moving",
            Self::SlidesOffSide => "slides off the low side",
            Self::SteeringLost => "locked wheels do not steer",
            Self::RunOutTooShort { .. } => "the run-out is too short to stop in",
            Self::RearLifts => "the rear axle would lift",
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

/// How much is in hand at the unfavourable end; negative where the limit is passed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Margins {
    /// Limit less steepest gradient, rad.
    pub gradient: f64,
    /// Limit less side tilt, rad.
    pub side_tilt: f64,
    /// Limit less highest speed, m/s.
    pub speed: f64,
    /// Highest allowed less highest engine speed, turns/s.
    pub engine: Option<f64>,
    /// Part of the grip not wanted.
    pub grip: Option<f64>,
    /// Run-out less the stop from the foot, m.
    pub run_out: Option<f64>,
    /// Limit less hottest brake, K.
    pub brakes: Option<f64>,
}

/// What one way down comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Verdict {
    /// Whether everything is within the course's limits.
    pub within_limits: bool,
    /// Why not.
    pub reasons: Vec<Reason>,
    /// What to know besides.
    pub cautions: Vec<Caution>,
    /// What is in hand.
    pub margins: Margins,
    /// Speed at which the run is given up, m/s: the course's limit, or a quarter over the fastest
    /// expected when that is less.
    pub abort_speed: f64,
    /// When and how it is given up.
    pub abort: Vec<AbortRule>,
}

impl std::fmt::Display for Verdict {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.within_limits {
            return f.write_str("within the course's limits");
        }
        for (index, reason) in self.reasons.iter().enumerate() {
            write!(f, "{}{reason}", if index == 0 { "" } else { "; " })?;
        }
        Ok(())
    }
}

/// What a verdict is given from.
#[derive(Clone, Copy, Debug)]
pub struct Evidence<'a> {
    /// The descent.
    pub descent: &'a Descent,
    /// How the vehicle stands.
    pub stability: &'a Stability,
    /// How its brakes fare, where they are used.
    pub heat: Option<&'a BrakeHeat>,
    /// Steepest gradient of the slope, rad.
    pub gradient: f64,
    /// The course's limit for it, rad.
    pub gradient_limit: f64,
    /// The course's limit of speed, m/s.
    pub speed_limit: f64,
    /// The course's limit of brake temperature, K.
    pub brake_limit: f64,
    /// Highest engine speed allowed, turns/s.
    pub highest_spin: f64,
    /// Whether the torque converter is not locked.
    pub converter: bool,
    /// Run-out length and the stop from the foot in it, m; the latter none where it never stops.
    pub run_out: Option<(f64, Option<f64>)>,
    /// Cautions that hold for every way.
    pub cautions: &'a [Caution],
}

/// Part of the low-end grip that a descent on the foot brake must leave in hand: a foot is no fine
/// instrument, and one touch too many locks a wheel. Judgement, no source.
pub const GRIP_FOR_BRAKE: f64 = 0.2;

/// Rounding is not a reason.
const HAIR: f64 = 1e-9;

impl Verdict {
    /// From the evidence.
    pub fn of(evidence: &Evidence) -> Self {
        let mut reasons = place_reasons(evidence);
        reasons.extend(way_reasons(evidence));
        let worst = &evidence.descent.unfavourable;
        let within_limits = reasons.is_empty();
        let expected = 1.25 * worst.top_speed;
        let abort = if within_limits {
            vec![AbortRule::BrakeInLine, AbortRule::LetWheelsTurn]
        } else {
            vec![AbortRule::DoNotStart]
        };
        Self {
            within_limits,
            reasons,
            cautions: cautions(evidence),
            margins: margins(evidence, worst),
            abort_speed: expected.min(evidence.speed_limit),
            abort,
        }
    }
}

fn place_reasons(evidence: &Evidence) -> Vec<Reason> {
    let stability = evidence.stability;
    let mut reasons = Vec::new();
    if evidence.gradient > evidence.gradient_limit + HAIR {
        reasons.push(Reason::SteeperThanLimit { is: evidence.gradient, limit: evidence.gradient_limit });
    }
    if stability.side_tilt > stability.side_limit + HAIR {
        reasons.push(Reason::SideTiltOverLimit { is: stability.side_tilt, limit: stability.side_limit });
    }
    if stability.side_tilt > stability.side_half_tip + HAIR {
        reasons.push(Reason::SideTiltOverHalfTip { is: stability.side_tilt, limit: stability.side_half_tip });
    }
    if stability.pitch > stability.nose_tip || stability.steady.rear <= 0.0 {
        reasons.push(Reason::RearLifts);
    }
    reasons
}

fn way_reasons(evidence: &Evidence) -> Vec<Reason> {
    let worst = &evidence.descent.unfavourable;
    let geared = evidence.descent.way == Way::Geared;
    let mut reasons = Vec::new();
    match worst.outcome {
        Outcome::WheelsSlide => {
            reasons.push(Reason::WheelsSlide { is: worst.force_wanted, limit: worst.force_there });
        }
        Outcome::NoSafeBalance => reasons.push(Reason::NoSafeBalance),
        Outcome::DoesNotStop => reasons.push(Reason::DoesNotStop),
        Outcome::LeavesRunOut => reasons.push(Reason::LeavesRunOut { is: worst.end_speed }),
        Outcome::SlidesOffSide => reasons.push(Reason::SlidesOffSide),
        Outcome::StopsOnSlope if evidence.descent.way != Way::Locked => {
            reasons.push(Reason::WheelsSlide { is: worst.force_wanted, limit: worst.force_there });
        }
        _ => {}
    }
    if evidence.descent.way == Way::Locked {
        reasons.push(Reason::SteeringLost);
    }
    if worst.top_speed > evidence.speed_limit + HAIR {
        reasons.push(Reason::TooFast { is: worst.top_speed, limit: evidence.speed_limit });
    }
    if matches!(evidence.descent.way, Way::Braked | Way::Assisted)
        && let Some(in_hand) = grip_margin(worst).filter(|in_hand| (0.0..GRIP_FOR_BRAKE).contains(in_hand))
    {
        reasons.push(Reason::TooLittleGripForBrake { is: in_hand, limit: GRIP_FOR_BRAKE });
    }
    if let Some(spin) = worst.top_spin.filter(|spin| *spin > evidence.highest_spin * (1.0 + 1e-6)) {
        reasons.push(Reason::EngineTooFast { is: spin, limit: evidence.highest_spin });
    }
    if geared && evidence.converter {
        reasons.push(Reason::ConverterNotLocked);
    }
    if let Some(heat) = evidence.heat.filter(|heat| heat.hottest > evidence.brake_limit + HAIR) {
        reasons.push(Reason::BrakesTooHot { is: heat.hottest, limit: evidence.brake_limit });
    }
    if evidence.descent.way != Way::Locked
        && let Some((length, needed)) = evidence.run_out
        && needed.is_none_or(|needed| needed > length + HAIR)
    {
        reasons.push(Reason::RunOutTooShort { is: needed, limit: length });
    }
    reasons
}

fn cautions(evidence: &Evidence) -> Vec<Caution> {
    let descent = evidence.descent;
    let mut cautions = evidence.cautions.to_vec();
    if descent.way == Way::Geared && descent.outcome != descent.favourable_outcome {
        cautions.push(Caution::DependsOnEngineDrag);
    }
    if descent.way != Way::Locked && grip_margin(&descent.unfavourable).is_some_and(|m| m < 0.2) {
        cautions.push(Caution::LittleGripInHand);
    }
    if descent.way == Way::Locked && descent.likely.steering.is_none() {
        cautions.push(Caution::LockedMayStopSooner);
    }
    if descent.way == Way::Locked && descent.unfavourable.drift.abs() > 0.01 {
        cautions.push(Caution::DriftsSideways);
    }
    if evidence.run_out.is_none() {
        cautions.push(Caution::NoRunOut);
    }
    if evidence.heat.is_some_and(|heat| heat.in_fade_band) {
        cautions.push(Caution::FadeBand);
    }
    if evidence.gradient > libm::atan(0.20) {
        cautions.push(Caution::BeyondParkingBrake);
    }
    cautions
}

fn grip_margin(run: &Run) -> Option<f64> {
    (run.force_there.is_finite() && run.force_there > 0.0).then(|| 1.0 - run.force_wanted / run.force_there)
}

fn margins(evidence: &Evidence, worst: &Run) -> Margins {
    Margins {
        gradient: evidence.gradient_limit - evidence.gradient,
        side_tilt: evidence.stability.side_limit - evidence.stability.side_tilt,
        speed: evidence.speed_limit - worst.top_speed,
        engine: worst.top_spin.map(|spin| evidence.highest_spin - spin),
        grip: grip_margin(worst),
        run_out: evidence.run_out.and_then(|(length, needed)| needed.map(|needed| length - needed)),
        brakes: evidence.heat.map(|heat| evidence.brake_limit - heat.hottest),
    }
}
