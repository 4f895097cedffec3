//! What one way down comes to, compared with the course's limits.
//!
//! A verdict is never "safe": it is "within the course's limits" or the named reasons why not,
//! always from the worst corner of every range.

use serde::Serialize;

use super::limits::{self, Seen, Slips};
use super::reason::{AbortRule, Caution, Reason};
use crate::course::Limits;
use crate::engine::chassis::brakes::BrakeHeat;
use crate::engine::chassis::clearance::Room;
use crate::engine::chassis::stability::Stability;
use crate::engine::descent::Descent;
use crate::engine::mark::{Deciding, What};
use crate::engine::motion::run::{Outcome, Run};
use crate::engine::motion::stop::Stop;
use crate::engine::way::Way;

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
    /// Part of the nearer axle's grip not wanted; −1 where it wants twice what there is, or more.
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
    /// Every limit that is broken with its figures, the worst first.
    #[serde(skip)]
    pub broken: Vec<Deciding>,
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
    /// Room under it where there is least.
    pub rooms: &'a [Room],
    /// How its brakes fare, where they are used.
    pub heat: Option<&'a BrakeHeat>,
    /// Steepest gradient of the slope, rad.
    pub gradient: f64,
    /// The course's limits.
    pub limits: &'a Limits,
    /// Highest engine speed allowed, turns/s.
    pub highest_spin: f64,
    /// Retarding force of the engine at that speed at the low end, N; none out of gear.
    pub engine_force: Option<f64>,
    /// What a converter that may slip is not promised to do.
    pub converter: Slips,
    /// The stop beyond the foot; none where no run-out is given.
    pub stop: Option<Stop>,
    /// Cautions that hold for every way.
    pub cautions: &'a [Caution],
}

impl Verdict {
    /// From the evidence.
    pub fn of(evidence: &Evidence) -> Self {
        let broken = broken(evidence);
        let mut reasons: Vec<Reason> =
            broken.iter().filter_map(|one| reason(one, &evidence.descent.unfavourable)).collect();
        if evidence.descent.outcome == Outcome::NoSafeBalance && !reasons.contains(&Reason::NoSafeBalance) {
            // Brought in faster than the gear may turn.
            reasons.push(Reason::NoSafeBalance);
        }
        reasons.extend(locked_reasons(evidence.descent));
        let worst = &evidence.descent.unfavourable;
        let within_limits = reasons.is_empty();
        let expected = 1.25 * evidence.descent.fastest();
        let abort = if within_limits {
            vec![AbortRule::BrakeInLine, AbortRule::LetWheelsTurn]
        } else {
            vec![AbortRule::DoNotStart]
        };
        Self {
            within_limits,
            reasons,
            broken,
            cautions: cautions(evidence),
            margins: margins(evidence, worst),
            abort_speed: expected.min(evidence.limits.descent_speed.si()),
            abort,
        }
    }
}

/// Every limit that is broken at a worst corner, the worst first; of each kind the worst corner.
fn broken(evidence: &Evidence) -> Vec<Deciding> {
    let mut all = limits::of_place(evidence.stability, evidence.rooms, evidence.gradient, evidence.limits);
    for (run, corner) in evidence.descent.corners() {
        all.extend(limits::of_run(&Seen {
            way: evidence.descent.way,
            run,
            corner,
            limits: evidence.limits,
            highest_spin: evidence.highest_spin,
            engine_force: evidence.engine_force,
            short: evidence.descent.short(),
        }));
    }
    all.extend(limits::of_converter(evidence.converter, evidence.descent, evidence.limits));
    all.extend(evidence.heat.map(|heat| limits::of_heat(heat, evidence.limits)));
    if evidence.descent.way != Way::Locked {
        all.extend(evidence.stop.iter().flat_map(limits::of_stop));
    }
    let descent = evidence.descent;
    limits::worst_of_each(all.into_iter().filter(limits::Check::broken).collect())
        .into_iter()
        .map(|check| check.deciding(descent.way, descent.gear, true, None))
        .collect()
}

/// The reason a broken limit is.
fn reason(one: &Deciding, run: &Run) -> Option<Reason> {
    let (is, limit) = (one.value, one.limit);
    Some(match one.what {
        What::Gradient => Reason::SteeperThanLimit { is, limit },
        What::SideTilt => Reason::SideTiltOverLimit { is, limit },
        What::HalfTip => Reason::SideTiltOverHalfTip { is, limit },
        What::RearLifts => Reason::RearLifts,
        What::NoseTouches => Reason::NoseTouches { is, limit },
        What::BellyTouches => Reason::BellyTouches { is, limit },
        What::TailTouches => Reason::TailTouches { is, limit },
        What::Speed => Reason::TooFast { is, limit },
        What::EngineSpeed => Reason::EngineTooFast { is, limit },
        What::Balance => Reason::NoSafeBalance,
        What::FrontGrip | What::RearGrip => {
            Reason::WheelsSlide { is: run.force_wanted, limit: run.force_there.min(run.force_wanted) }
        }
        What::GripInHand => Reason::TooLittleGripInHand { is, limit },
        What::LockUp => Reason::LockUpOpens,
        What::Converter => Reason::ConverterNotLocked,
        What::BrakeHeat => Reason::BrakesTooHot { is, limit },
        What::RunOut => Reason::RunOutTooShort { is: is.is_finite().then_some(is), limit },
        What::RollsBack => Reason::RollsBack { is, limit },
        What::RunOutMissing
        | What::WayOutMissing
        | What::RatedPoint
        | What::NotFetched
        | What::BolderThanDry => return None,
    })
}

/// What speaks against locked wheels besides the limits.
fn locked_reasons(descent: &Descent) -> Vec<Reason> {
    if descent.way != Way::Locked {
        return Vec::new();
    }
    let worst = &descent.unfavourable;
    let mut reasons = match worst.outcome {
        Outcome::DoesNotStop => vec![Reason::DoesNotStop],
        Outcome::SlidesBack => vec![Reason::RollsBack { is: 0.0, limit: 0.0 }],
        Outcome::LeavesRunOut => vec![Reason::LeavesRunOut { is: worst.end_speed }],
        Outcome::SlidesOffSide => vec![Reason::SlidesOffSide],
        _ => Vec::new(),
    };
    reasons.push(Reason::SteeringLost);
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
    if evidence.stop.is_none() {
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
    run.grip_share().map(|share| (1.0 - share).max(-1.0))
}

fn margins(evidence: &Evidence, worst: &Run) -> Margins {
    let tightest = evidence.descent.corners().filter_map(|(run, _)| grip_margin(run)).reduce(f64::min);
    let limits = evidence.limits;
    Margins {
        gradient: limits.gradient.si() - evidence.gradient,
        side_tilt: evidence.stability.side_limit - evidence.stability.side_tilt,
        speed: limits.descent_speed.si() - evidence.descent.fastest(),
        engine: worst.top_spin.map(|spin| evidence.highest_spin - spin),
        grip: tightest,
        run_out: evidence.stop.and_then(|stop| Some(stop.length - stop.distance?)),
        brakes: evidence.heat.map(|heat| limits.brake_temperature.si() - heat.hottest),
    }
}
