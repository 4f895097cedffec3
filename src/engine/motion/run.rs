//! One descent in one case, as it is followed down the slope.

use serde::Serialize;

use super::integrate::{SIZE, State};
use super::ledger::Ledger;
use super::steer;
use crate::engine::chassis::axle::Axle;
use crate::engine::chassis::axle::AxleDemand;
use crate::engine::chassis::drive::Tread;
use crate::engine::way::Place;

/// What became of a vehicle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// The engine holds it at creep speed on every stretch.
    HeldAtIdle,
    /// It runs faster than idle until the engine's drag balances the slope.
    RunsUpAndBalances,
    /// The engine cannot hold it at any speed it may turn.
    NoSafeBalance,
    /// The ground cannot turn the wheels fast enough, or hold the braked wheels: they slide.
    WheelsSlide,
    /// The foot brake holds it at the speed wanted.
    HeldOnBrakes,
    /// It comes to rest on the slope.
    StopsOnSlope,
    /// It comes to rest in the run-out.
    StopsInRunOut,
    /// It comes to rest on a run-out that rises more than locked wheels hold, and slides back.
    SlidesBack,
    /// It reaches the end of the run-out moving.
    LeavesRunOut,
    /// It reaches the foot moving, and no run-out is known.
    DoesNotStop,
    /// It slides off the low side of the slope before its foot.
    SlidesOffSide,
}

impl std::fmt::Display for Outcome {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::HeldAtIdle => "held at idle",
            Self::RunsUpAndBalances => "runs up and balances",
            Self::NoSafeBalance => "no safe balance",
            Self::WheelsSlide => "wheels slide",
            Self::HeldOnBrakes => "held on the foot brake",
            Self::StopsOnSlope => "stops on the slope",
            Self::StopsInRunOut => "stops in the run-out",
            Self::SlidesBack => "stops in the run-out and slides back",
            Self::LeavesRunOut => "leaves the run-out moving",
            Self::DoesNotStop => "does not stop",
            Self::SlidesOffSide => "slides off the side",
        })
    }
}

/// One descent in one case, SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Run {
    /// What became of it.
    pub outcome: Outcome,
    /// Speed over the brow, m/s.
    pub entry_speed: f64,
    /// Highest speed, m/s.
    pub top_speed: f64,
    /// Speed at the foot of the slope, m/s; none when it stopped before.
    pub foot_speed: Option<f64>,
    /// Speed where the account ends, m/s: the foot, or for a locked vehicle where it comes to rest
    /// or leaves the run-out.
    pub end_speed: f64,
    /// Time, s.
    pub time: f64,
    /// Distance along the line driven, m.
    pub distance: f64,
    /// Part of it beyond the foot, m.
    pub run_out_used: f64,
    /// Drift to the low side of the line, m.
    pub drift: f64,
    /// Highest engine speed, turns/s; none out of gear.
    pub top_spin: Option<f64>,
    /// Engine speed at the foot, turns/s; none out of gear.
    #[serde(skip)]
    pub foot_spin: Option<f64>,
    /// Greatest slip of a retarding wheel, 0 to 1.
    pub slip: f64,
    /// Sideways share of full grip left for steering at a steer angle of 15°; 0 when locked on firm
    /// ground, none where no figure can be claimed (locked on loose ground: mostly lost).
    pub steering: Option<f64>,
    /// Greatest retarding force wanted of the wheels, N.
    pub force_wanted: f64,
    /// The most those wheels could have there, N.
    pub force_there: f64,
    /// Friction wanted of the axle nearer to its limit, where it is nearest.
    pub grip_used: f64,
    /// Friction the ground gives there, what a side tilt takes already taken; none wanted, infinite.
    pub grip_there: f64,
    /// That axle; none where nothing is wanted.
    pub axle: Option<Axle>,
    /// Both axles there.
    #[serde(skip)]
    pub axles: AxleDemand,
    /// Where the highest speed is reached.
    pub top_at: Place,
    /// What the foot brakes may have to take, J: no less than the ledger's. Neither what slips between tyre
    /// and ground nor what the air takes is counted off: on better ground and with the wind the brakes get it.
    #[serde(skip)]
    pub braking: f64,
    /// Where the energy went.
    pub ledger: Ledger,
}

impl Run {
    /// Part of the nearer axle's grip that is wanted; none where nothing is.
    pub fn grip_share(&self) -> Option<f64> {
        (self.axle.is_some() && self.grip_there > 0.0).then(|| (self.grip_used / self.grip_there).min(1e6))
    }
}

/// Collects a run as it is followed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Track {
    pub(crate) run: Run,
    /// Least steering share so far.
    pub(crate) steering: f64,
    /// The leg it is on.
    leg: usize,
}

impl Track {
    pub(crate) fn new(entry_speed: f64) -> Self {
        let run = Run {
            outcome: Outcome::HeldAtIdle,
            entry_speed,
            top_speed: entry_speed,
            foot_speed: None,
            end_speed: entry_speed,
            time: 0.0,
            distance: 0.0,
            run_out_used: 0.0,
            drift: 0.0,
            top_spin: None,
            foot_spin: None,
            slip: 0.0,
            steering: None,
            force_wanted: 0.0,
            force_there: f64::INFINITY,
            grip_used: 0.0,
            grip_there: f64::INFINITY,
            axle: None,
            axles: AxleDemand::default(),
            top_at: Place { stretch: 0, from_brow: 0.0 },
            braking: 0.0,
            ledger: Ledger::default(),
        };
        Self { run, steering: 1.0, leg: 0 }
    }

    /// Notes what turning wheels did: slip, stiffness over peak of their curve, whether they grip.
    pub(crate) fn turning(&mut self, slip: f64, brush: f64, gripping: bool) {
        self.run.slip = self.run.slip.max(slip);
        let k = (1.0 - slip).min(1.0);
        let share = if gripping {
            steer::share(k, steer::REFERENCE_STEER, brush)
        } else {
            steer::sliding_share(k, steer::REFERENCE_STEER)
        };
        self.steering = self.steering.min(share);
    }

    /// Notes a retarding force wanted of turning wheels, N; keeps the tightest.
    pub(crate) fn wanted(&mut self, force: f64, tread: &Tread) {
        if force <= 0.0 {
            // Level ground wants nothing of the wheels; what they could have is still a number.
            if self.run.axle.is_none() {
                self.run.force_there = self.run.force_there.min(tread.best());
            }
            return;
        }
        let used = tread.wanted(force);
        let there = tread.curve.peak;
        let run = &mut self.run;
        if run.axle.is_some() && used * run.grip_there <= run.grip_used * there {
            return;
        }
        run.force_wanted = force;
        run.force_there = tread.best();
        run.grip_used = used;
        run.grip_there = there;
        run.axles = tread.axles(force);
        run.axle = run.axles.nearer().map(|(axle, _)| axle);
    }

    /// Notes the force that slides locked wheels and what they give, N.
    pub(crate) fn sliding(&mut self, force: f64, there: f64) {
        if self.run.force_there.is_infinite() || force * self.run.force_there >= self.run.force_wanted * there
        {
            self.run.force_wanted = force;
            self.run.force_there = there;
        }
    }

    /// Begins a leg; the distance so far is where it begins.
    pub(crate) fn begin(&mut self, leg: usize) {
        self.leg = leg;
    }

    /// Notes a speed at a place of the leg, m.
    pub(crate) fn speed(&mut self, speed: f64, place: f64) {
        if speed > self.run.top_speed {
            self.run.top_speed = speed;
            self.run.top_at = Place { stretch: self.leg, from_brow: self.run.distance + place };
        }
    }

    /// Notes an engine speed.
    pub(crate) fn spin(&mut self, spin: f64) {
        self.run.top_spin = Some(self.run.top_spin.map_or(spin, |top| top.max(spin)));
    }

    /// Takes over the sums of a state.
    pub(crate) fn settle(mut self, state: &State, outcome: Outcome, end_speed: f64) -> Run {
        let ledger = &mut self.run.ledger;
        ledger.ground = state[part::GROUND];
        ledger.brakes = state[part::BRAKES];
        ledger.engine = state[part::ENGINE];
        ledger.driveline = state[part::DRIVELINE];
        ledger.rolling = state[part::ROLLING];
        ledger.air = state[part::AIR];
        ledger.fuel = state[part::FUEL];
        ledger.speed = state[part::MOTION];
        self.run.braking = state[part::BRAKING].max(ledger.brakes);
        self.run.time = state[part::TIME];
        self.run.end_speed = end_speed;
        self.run.outcome = outcome;
        if self.run.steering.is_none() && self.steering.is_finite() {
            self.run.steering = Some(self.steering);
        }
        self.run
    }
}

/// The parts of a state.
pub(crate) mod part {
    pub(crate) const MOTION: usize = 0;
    pub(crate) const TIME: usize = 1;
    pub(crate) const GROUND: usize = 2;
    pub(crate) const BRAKES: usize = 3;
    pub(crate) const ENGINE: usize = 4;
    pub(crate) const DRIVELINE: usize = 5;
    pub(crate) const ROLLING: usize = 6;
    pub(crate) const AIR: usize = 7;
    pub(crate) const FUEL: usize = 8;
    /// What the foot brakes may have to take; no part of the ledger.
    pub(crate) const BRAKING: usize = 9;
}

/// A state at a speed (m/s) of a body of this equivalent mass (kg).
pub(crate) fn at_speed(mass: f64, speed: f64) -> State {
    let mut state = [0.0; SIZE];
    state[part::MOTION] = crate::engine::formulas::slope::kinetic_energy(mass, speed);
    state
}

/// Speed (m/s) of a state.
pub(crate) fn speed_of(state: &State, mass: f64) -> f64 {
    speed_at(state[part::MOTION], mass)
}

/// Speed (m/s) at an energy of motion (J).
pub(crate) fn speed_at(energy: f64, mass: f64) -> f64 {
    libm::sqrt(2.0 * energy.max(0.0) / mass)
}
