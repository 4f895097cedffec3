//! The speed at which a gear and a slope balance.

use serde::Serialize;

use super::run::Outcome;
use crate::engine::chassis::body::{Body, Leg};
use crate::engine::chassis::drive::{Drive, Resistances, Tread, demand};
use crate::engine::root;

/// Where a gear settles on a slope long enough.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Balance {
    /// The engine holds the wheels at idle speed.
    HeldAtIdle {
        /// Ground speed, m/s.
        speed: f64,
        /// Slip, negative when the engine has to drive.
        slip: f64,
        /// Engine torque needed, N·m.
        needed: f64,
        /// Motoring torque there is at idle, N·m.
        there: f64,
    },
    /// The vehicle pulls the engine up until they balance.
    RunsUp {
        /// Ground speed, m/s.
        speed: f64,
        /// Engine speed, turns/s.
        spin: f64,
        /// Slip.
        slip: f64,
        /// Retarding force at the tyres, N.
        force: f64,
        /// Engine torque, N·m.
        torque: f64,
    },
    /// No balance up to the highest engine speed.
    TooSteepForGear {
        /// Ground speed at the highest engine speed, m/s.
        speed: f64,
        /// What the foot brake would have to add there, N.
        short: f64,
    },
    /// The ground cannot turn the wheels: they slide at idle speed.
    GripLost {
        /// Force needed to hold, N.
        needed: f64,
        /// The most the driven wheels can have, N.
        there: f64,
    },
}

impl Balance {
    /// Of a gear on a leg taken as endless.
    pub fn of(body: &Body, leg: &Leg, drive: &Drive) -> Self {
        let scales = Scales::new(body, leg, drive);
        match scales.tips() {
            Tips::Grip { needed, there } => Self::GripLost { needed, there },
            Tips::Idle => Self::held(body, leg, drive, &scales.tread),
            Tips::Short(short) => Self::TooSteepForGear { speed: scales.ground(drive.fastest()).0, short },
            Tips::Between => {
                let wheel = root::rising(drive.creep(), drive.fastest(), |wheel| scales.excess(wheel));
                let (speed, slip) = scales.ground(wheel);
                let (spin, torque) = drive.engine_at(wheel);
                Self::RunsUp { speed, spin, slip, force: drive.force(wheel), torque }
            }
        }
    }

    /// What that comes to, without its figures.
    pub(crate) fn outcome(body: &Body, leg: &Leg, drive: &Drive) -> Outcome {
        match Scales::new(body, leg, drive).tips() {
            Tips::Grip { .. } => Outcome::WheelsSlide,
            Tips::Idle if drive.converter.is_none() => Outcome::HeldAtIdle,
            Tips::Short(_) => Outcome::NoSafeBalance,
            Tips::Idle | Tips::Between => Outcome::RunsUpAndBalances,
        }
    }

    /// What the foot brake would have to add at the highest engine speed, N, where there is no balance up to it.
    pub(crate) fn short(body: &Body, leg: &Leg, drive: &Drive) -> Option<f64> {
        match Scales::new(body, leg, drive).tips() {
            Tips::Short(short) => Some(short),
            _ => None,
        }
    }

    fn held(body: &Body, leg: &Leg, drive: &Drive, tread: &Tread) -> Self {
        let (speed, slip) = held_speed(body, leg, drive, tread);
        let force = demand(body, leg, speed).to_hold();
        let needed = crate::engine::formulas::overrun::holding_torque(
            force,
            drive.ratio,
            drive.efficiency,
            drive.radius(),
        );
        let there = drive.engine_at(drive.creep()).1;
        if drive.converter.is_some() {
            // A converter at idle holds nothing; it is only pushed, and is never called held.
            return Self::RunsUp { speed, spin: drive.idle, slip, force, torque: 0.0 };
        }
        Self::HeldAtIdle { speed, slip, needed, there }
    }

    /// Ground speed it settles at, m/s, where it settles.
    pub fn speed(&self) -> Option<f64> {
        match *self {
            Self::HeldAtIdle { speed, .. } | Self::RunsUp { speed, .. } => Some(speed),
            _ => None,
        }
    }
}

/// A gear on one side, a leg on the other.
struct Scales<'a> {
    drive: &'a Drive,
    tread: Tread<'a>,
    resistances: Resistances,
}

/// On which side they come down.
enum Tips {
    /// The ground cannot turn the wheels: force needed and the most there is, N.
    Grip { needed: f64, there: f64 },
    /// The engine holds the wheels at idle speed.
    Idle,
    /// The slope, at every speed the engine may turn: so much is short at the highest, N.
    Short(f64),
    /// They balance between idle and highest engine speed.
    Between,
}

impl<'a> Scales<'a> {
    fn new(body: &'a Body, leg: &Leg, drive: &'a Drive) -> Self {
        let (tread, resistances) = (Tread::new(body, leg, &drive.hold), Resistances::new(body, leg));
        Self { drive, tread, resistances }
    }

    fn tips(&self) -> Tips {
        let creep = self.drive.creep();
        let (needed, there) = (self.resistances.at(creep).to_hold(), self.tread.best());
        if needed > there {
            return Tips::Grip { needed, there };
        }
        if needed <= self.drive.force(creep) {
            return Tips::Idle;
        }
        let short = -self.excess(self.drive.fastest());
        if short > 0.0 { Tips::Short(short) } else { Tips::Between }
    }

    /// Ground speed, m/s, and slip at a wheel speed, m/s.
    ///
    /// At a balance the ground gives what the slope needs, which it can: so the wheels grip, and only the wheel
    /// speed at which the engine takes as much is left to find.
    fn ground(&self, wheel: f64) -> (f64, f64) {
        let slip = |speed: f64| self.tread.slip_for(self.resistances.at(speed).to_hold()).unwrap_or(0.0);
        let slip = slip(wheel / (1.0 - slip(wheel)));
        (wheel / (1.0 - slip), slip)
    }

    /// How much more the engine takes at a wheel speed (m/s) than is to be held, N: the engine takes more the
    /// faster it turns, and air leaves it less to take.
    fn excess(&self, wheel: f64) -> f64 {
        self.drive.force(wheel) - self.resistances.at(self.ground(wheel).0).to_hold()
    }
}

/// Most slip of wheels held at idle speed: beyond it they stand.
const MOST_SLIP: f64 = 0.95;

/// Ground speed (m/s) and slip of wheels held at idle speed; negative slip when they drive.
pub(crate) fn held_speed(body: &Body, leg: &Leg, drive: &Drive, tread: &Tread) -> (f64, f64) {
    let creep = drive.creep();
    let most = tread.curve.peak_slip().min(MOST_SLIP);
    let resistances = Resistances::new(body, leg);
    // More slip gives more force, and at the higher speed air leaves less of it to hold.
    let excess =
        |slip: f64| slip.signum() * tread.force(slip.abs()) - resistances.at(creep / (1.0 - slip)).to_hold();
    let slip = root::rising(-most, most, excess);
    (creep / (1.0 - slip), slip)
}
