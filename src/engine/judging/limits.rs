//! Every limit of one way down: what it comes to at a corner, and what it is held against.

use crate::course::{Gear, Limits};
use crate::engine::chassis::axle::Axle;
use crate::engine::chassis::brakes::BrakeHeat;
use crate::engine::chassis::clearance::{Room, Under};
use crate::engine::chassis::stability::Stability;
use crate::engine::descent::Descent;
use crate::engine::mark::{Corner, Deciding, Tolerance, What};
use crate::engine::motion::run::{Outcome, Run};
use crate::engine::motion::stop::Stop;
use crate::engine::way::Way;

/// Whether a torque converter may slip on the descent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Slips {
    /// There is none, or it is known to stay locked.
    No,
    /// It is never locked: below this speed, m/s, it pushes.
    Always {
        /// Speed of the wheels with the engine at idle, m/s.
        pushes: f64,
    },
    /// Its lock-up is known to stay closed only above this speed, m/s; none where nobody knows.
    Below(Option<f64>),
}

/// Rounding is not a reason.
const HAIR: f64 = 1e-9;

/// More grip than any wheel wants, where no ground is left to give it.
const MOST_WANTED: f64 = 10.0;

/// One limit, broken or not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Check {
    pub(crate) what: What,
    pub(crate) value: f64,
    pub(crate) limit: f64,
    pub(crate) corner: Corner,
    pub(crate) axle: Option<Axle>,
}

impl Check {
    fn new(what: What, value: f64, limit: f64) -> Self {
        Self { what, value, limit, corner: Corner::FREE, axle: None }
    }

    /// That no run-out is given.
    pub(crate) fn run_out_missing() -> Self {
        Self::new(What::RunOutMissing, 1.0, 0.0)
    }

    /// That no way out is given.
    pub(crate) fn way_out_missing() -> Self {
        Self::new(What::WayOutMissing, 1.0, 0.0)
    }

    /// The same as a page or a program reads it.
    pub(crate) fn deciding(
        &self,
        way: Way,
        gear: Option<Gear>,
        decides: bool,
        tolerance: Option<Tolerance>,
    ) -> Deciding {
        Deciding {
            what: self.what,
            value: self.value,
            limit: self.limit,
            unit: self.what.unit(),
            corner: self.corner,
            axle: self.axle,
            way,
            gear,
            decides,
            tolerance,
            on_way_out: false,
        }
    }

    /// The worst first.
    pub(crate) fn by_excess(&self, other: &Self) -> std::cmp::Ordering {
        let deciding = |one: &Self| one.deciding(Way::Geared, None, true, None);
        deciding(self).by_excess(&deciding(other))
    }

    /// By how much it is broken, as a part of the limit; negative while it holds.
    pub(crate) fn excess(&self) -> f64 {
        self.deciding(Way::Geared, None, true, None).excess()
    }

    /// Whether it is broken.
    pub(crate) fn broken(&self) -> bool {
        let hair = if self.what == What::EngineSpeed { 1e-6 } else { HAIR };
        self.excess() > hair
    }
}

/// Of every kind the worst, the worst kind first.
pub(crate) fn worst_of_each(mut checks: Vec<Check>) -> Vec<Check> {
    checks.sort_by(Check::by_excess);
    let mut worst: Vec<Check> = Vec::new();
    for check in checks {
        if worst.iter().all(|seen| seen.what != check.what) {
            worst.push(check);
        }
    }
    worst
}

/// What the ground alone is held against.
pub(crate) fn of_place(stability: &Stability, rooms: &[Room], gradient: f64, limits: &Limits) -> Vec<Check> {
    let mut checks = vec![
        Check::new(What::Gradient, gradient, limits.gradient.si()),
        Check::new(What::SideTilt, stability.side_tilt, stability.side_limit),
        Check::new(What::HalfTip, stability.side_tilt, stability.side_half_tip),
        Check::new(What::RearLifts, stability.pitch, stability.nose_tip),
    ];
    if stability.steady.rear <= 0.0 {
        let past = stability.pitch.max(stability.nose_tip * (1.0 + 1e-6));
        checks.push(Check::new(What::RearLifts, past, stability.nose_tip));
    }
    checks.extend(rooms.iter().map(of_room));
    checks
}

fn of_room(room: &Room) -> Check {
    let what = match room.under {
        Under::Nose => What::NoseTouches,
        Under::Belly => What::BellyTouches,
        Under::Tail => What::TailTouches,
    };
    Check::new(what, room.wanted, room.has)
}

/// One corner of one way down.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Seen<'a> {
    pub(crate) way: Way,
    pub(crate) run: &'a Run,
    pub(crate) corner: Corner,
    pub(crate) limits: &'a Limits,
    pub(crate) highest_spin: f64,
    /// What the engine holds at its highest speed, N, and how much is short there.
    pub(crate) engine_force: Option<f64>,
    pub(crate) short: Option<f64>,
}

/// What a run is held against.
pub(crate) fn of_run(seen: &Seen) -> Vec<Check> {
    let (run, limits) = (seen.run, seen.limits);
    let mut checks = vec![Check::new(What::Speed, run.top_speed, limits.descent_speed.si())];
    checks.extend(run.top_spin.map(|spin| Check::new(What::EngineSpeed, spin, seen.highest_spin)));
    if run.outcome == Outcome::NoSafeBalance {
        let there = seen.engine_force.unwrap_or(0.0);
        checks.extend(seen.short.map(|short| Check::new(What::Balance, there + short, there)));
    }
    if seen.way != Way::Locked {
        checks.extend(of_grip(seen));
    }
    for check in &mut checks {
        check.corner = seen.corner;
    }
    checks
}

/// Grip of the axle nearer to its limit, then the grip left in hand.
fn of_grip(seen: &Seen) -> Vec<Check> {
    let run = seen.run;
    let Some(share) = run.grip_share() else { return Vec::new() };
    let axle = run.axle.unwrap_or(Axle::Rear);
    let what = if axle == Axle::Front { What::FrontGrip } else { What::RearGrip };
    let slides = matches!(run.outcome, Outcome::WheelsSlide | Outcome::StopsOnSlope);
    // Past its peak a wheel no longer follows the ground, whatever little more was wanted of it.
    let least = if slides { run.grip_there * (1.0 + 1e-6) } else { 0.0 };
    let used = run.grip_used.max(least).min(MOST_WANTED);
    let of_axle = |what, value, limit| Check { axle: Some(axle), ..Check::new(what, value, limit) };
    let mut checks = vec![of_axle(what, used, run.grip_there)];
    if share <= 1.0 && !slides {
        checks.push(of_axle(What::GripInHand, 1.0 - share, seen.limits.grip_in_hand.si()));
    }
    checks
}

/// What a converter that may slip is not promised to do.
pub(crate) fn of_converter(slips: Slips, descent: &Descent, limits: &Limits) -> Option<Check> {
    let fastest_allowed = limits.descent_speed.si();
    if descent.way != Way::Geared {
        return None;
    }
    let slowest = descent.slowest();
    match slips {
        Slips::No => None,
        Slips::Always { pushes } => {
            let holds = descent.balance.and_then(|[worst, ..]| worst.speed()).unwrap_or(fastest_allowed);
            Some(Check::new(What::Converter, pushes, holds.max(1.001 * pushes)))
        }
        Slips::Below(None) => {
            Some(Check::new(What::LockUp, slowest.min(0.999 * fastest_allowed), fastest_allowed))
        }
        Slips::Below(Some(from)) => Some(Check::new(What::LockUp, slowest, from)),
    }
}

/// What the brakes are held against.
pub(crate) fn of_heat(heat: &BrakeHeat, limits: &Limits) -> Check {
    Check::new(What::BrakeHeat, heat.hottest, limits.brake_temperature.si())
}

/// What the stop beyond the foot is held against.
pub(crate) fn of_stop(stop: &Stop) -> Vec<Check> {
    let distance = stop.distance.unwrap_or(f64::INFINITY);
    let mut checks = vec![Check::new(What::RunOut, distance, stop.length)];
    if stop.rise > 0.0 {
        checks.push(Check::new(What::RollsBack, stop.rise, stop.grip));
    }
    checks
}
