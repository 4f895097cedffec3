//! One vehicle on one slope: what is the same for every way down, and what a way comes to.

use serde::Serialize;

use super::limits::{Seen, Slips};
use super::profiles::{Profiles, room_under};
use super::reason::Caution;
use super::verdict::{Evidence, Verdict};
use crate::course::{Course, Gear, Gearbox, Slope, Vehicle};
use crate::engine::Case;
use crate::engine::chassis::body::{Body, Profile};
use crate::engine::chassis::brakes::{BrakeHeat, Duty, Gap, ROLLING_SPEED, brake_heat};
use crate::engine::chassis::clearance::Room;
use crate::engine::chassis::hold::Wheels;
use crate::engine::chassis::overrun::EngineDrag;
use crate::engine::chassis::stability::Stability;
use crate::engine::descent::{Descent, Ground};
use crate::engine::mark::Corner;
use crate::engine::motion::run::Run;
use crate::engine::motion::stop::Stop;
use crate::engine::way::Way;

/// Slowest entry reckoned with, m/s: a vehicle let roll over the brow.
const SLOWEST_ENTRY: f64 = 0.1;

/// One way down with what it comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Told {
    /// The descent.
    #[serde(flatten)]
    pub descent: Descent,
    /// What it comes to.
    pub verdict: Verdict,
    /// How the brakes fare, where they are used.
    pub heat: Option<BrakeHeat>,
    /// The stop beyond the foot; none where no run-out is given.
    #[serde(skip)]
    pub stop: Option<Stop>,
}

/// What is the same for every way of a pair.
pub(crate) struct Setting<'a> {
    pub(crate) course: &'a Course,
    pub(crate) slope: &'a Slope,
    pub(crate) vehicle: &'a Vehicle,
    pub(crate) ground: Ground<'a>,
    pub(crate) stability: Stability,
    /// Room under it where there is least, every joint of the ground sharper by a step of the instrument.
    pub(crate) rooms: Vec<Room>,
    /// The slope steeper by one step of its instrument, at the unfavourable end.
    pub(crate) steeper: &'a Profile,
    cautions: Vec<Caution>,
    duty: Duty,
}

fn duty(course: &Course) -> Duty {
    let day = &course.day;
    Duty {
        runs: day.runs.max(1),
        gap: Gap {
            time: day.run_gap.si(),
            speed: if day.rolling_between_runs { ROLLING_SPEED } else { 0.0 },
        },
        air: day.air.si(),
        limit: course.limits.brake_temperature.si(),
    }
}

fn vehicle_cautions(vehicle: &Vehicle) -> Vec<Caution> {
    let braked = match Wheels::braked(vehicle) {
        Some(Wheels::Front) => Some(Caution::FrontBrakesOnly),
        Some(Wheels::Rear) => Some(Caution::RearBrakesOnly),
        _ => None,
    };
    let driven =
        (matches!(Wheels::driven(vehicle), Wheels::Front | Wheels::Rear)).then_some(Caution::OneAxleDriven);
    let range = vehicle.transmission.transfer_low.is_none().then_some(Caution::NoLowRange);
    [braked, driven, range].into_iter().flatten().collect()
}

impl<'a> Setting<'a> {
    /// A pair, before anything is driven.
    pub(crate) fn of(
        course: &'a Course,
        slope: &'a Slope,
        ground: &'a Profiles,
        vehicle: &'a Vehicle,
        body: Body,
    ) -> Self {
        let profiles = &ground.cases;
        let bump = slope.bump.map_or(0.0, crate::quantity::Length::si);
        Setting {
            course,
            slope,
            vehicle,
            ground: Ground {
                vehicle,
                body,
                drag: EngineDrag::of(&vehicle.engine),
                profiles,
                entry: slope.entry_speed.si().max(SLOWEST_ENTRY),
                bump,
            },
            stability: Stability::of(vehicle, slope, &profiles[1], course.limits.side_tilt.si()),
            rooms: room_under(course, slope, vehicle),
            steeper: &ground.steeper,
            cautions: vehicle_cautions(vehicle),
            duty: duty(course),
        }
    }
}

impl Setting<'_> {
    /// Every forward gear, foot off the brake.
    pub(crate) fn in_gears(&self) -> Vec<Told> {
        self.vehicle.gears().into_iter().map(|gear| self.told(self.ground.geared(gear))).collect()
    }

    /// A descent with what it comes to.
    pub(crate) fn told(&self, descent: Descent) -> Told {
        let heat = self.heat(&descent);
        let stop = self.stop(&descent);
        let verdict = Verdict::of(&self.evidence(&descent, heat.as_ref(), stop));
        Told { descent, verdict, heat, stop }
    }

    /// What a verdict on a descent is given from.
    pub(crate) fn evidence<'a>(
        &'a self,
        descent: &'a Descent,
        heat: Option<&'a BrakeHeat>,
        stop: Option<Stop>,
    ) -> Evidence<'a> {
        Evidence {
            descent,
            stability: &self.stability,
            rooms: &self.rooms,
            heat,
            gradient: self.slope.steepest().gradient.si(),
            limits: &self.course.limits,
            highest_spin: self.vehicle.engine.highest.si(),
            engine_force: descent.gear.map(|gear| {
                let drive = self.ground.drive(gear, Case::Unfavourable);
                drive.force(drive.fastest())
            }),
            converter: self.slips(descent.gear),
            stop,
            cautions: &self.cautions,
        }
    }

    fn slips(&self, gear: Option<Gear>) -> Slips {
        match (self.vehicle.transmission.gearbox, gear) {
            (Gearbox::Manual, _) | (_, None) => Slips::No,
            (Gearbox::AutomaticUnlocked, Some(gear)) => {
                Slips::Always { pushes: self.ground.drive(gear, Case::Unfavourable).creep() }
            }
            (Gearbox::AutomaticLocked, Some(_)) => {
                Slips::Below(self.vehicle.transmission.lock_up_from.map(crate::quantity::Speed::si))
            }
        }
    }

    /// The hottest case: the one whose brakes may take most.
    fn heat(&self, descent: &Descent) -> Option<BrakeHeat> {
        if !matches!(descent.way, Way::Braked | Way::Assisted) {
            return None;
        }
        let run = descent.hottest();
        let speed = if run.time > 0.0 { run.distance / run.time } else { 0.0 };
        let front_load = self.stability.steady.front_share();
        Some(brake_heat(self.vehicle, run.braking, run.time, speed, front_load, &self.duty))
    }

    /// The stop beyond the foot from the fastest any corner reaches it; none without a run-out, or with
    /// wheels locked.
    fn stop(&self, descent: &Descent) -> Option<Stop> {
        if descent.way == Way::Locked { None } else { self.stop_from(descent.foot_speed.high) }
    }

    /// The stop beyond the foot from a speed there, m/s; none without a run-out.
    pub(crate) fn stop_from(&self, speed: f64) -> Option<Stop> {
        let run_out = self.ground.profiles[0].run_out.as_ref()?;
        let (peak, body) = (run_out.footing.curve.peak, &self.ground.body);
        let brakes = Wheels::braked(self.vehicle);
        let braking = brakes.map_or(0.0, |wheels| wheels.whole(peak, body));
        let holding = brakes.map_or(0.0, |wheels| wheels.sliding().whole(peak, body));
        Some(Stop::of(body, run_out, speed, self.course.limits.reaction_time.si(), braking, holding))
    }

    /// A corner of a way, with what the engine holds at its highest speed and how much is short there, N.
    pub(crate) fn seen<'a>(
        &'a self,
        way: Way,
        run: &'a Run,
        corner: Corner,
        (engine_force, short): (Option<f64>, Option<f64>),
    ) -> Seen<'a> {
        let limits = &self.course.limits;
        Seen { way, run, corner, limits, highest_spin: self.vehicle.engine.highest.si(), engine_force, short }
    }
}
