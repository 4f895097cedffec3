//! One vehicle on one slope, every way down.

use serde::Serialize;

use super::body::{Body, Profile};
use super::brakes::{BrakeHeat, Duty, Gap, ROLLING_SPEED, brake_heat};
use super::descent::{Descent, Ground, Way, gear_name};
use super::drive::Drive;
use super::hold::Wheels;
use super::judge;
use super::judgement::Judgement;
use super::limits::Seen;
use super::mark::{Corner, Mark};
use super::reason::Caution;
use super::reckon::lowest_sensitivity;
use super::run::Run;
use super::sensitivity::Sensitivity;
use super::stability::Stability;
use super::stop::Stop;
use super::verdict::{Evidence, Slips, Verdict};
use super::{Case, Spread};
use crate::course::{Course, Gear, Gearbox, Slope, Vehicle};

/// Slowest entry reckoned with, m/s: a vehicle let roll over the brow.
const SLOWEST_ENTRY: f64 = 0.1;

/// Speed kept on the brakes over the creep speed of the gear: above it governors cut the fuel
/// (1.1 times idle in D1).
const OVER_IDLE: f64 = 1.1;

/// Where a vehicle stands with a slope.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Standing {
    /// In its best gear, foot off the brake.
    InGear,
    /// In a gear with the foot brake helping.
    InGearWithFootBrake,
    /// Not within the course's limits.
    NotHere,
}

impl From<Mark> for Standing {
    fn from(mark: Mark) -> Self {
        match mark {
            Mark::Within | Mark::Near => Self::InGear,
            Mark::WithBrake => Self::InGearWithFootBrake,
            Mark::Refused | Mark::NotJudged => Self::NotHere,
        }
    }
}

impl std::fmt::Display for Standing {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::InGear => "in gear, foot off the brake",
            Self::InGearWithFootBrake => "in gear, foot brake helping",
            Self::NotHere => "not on this slope",
        })
    }
}

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

/// One slope with one vehicle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pair {
    /// The slope's identifier.
    pub slope: String,
    /// The vehicle's identifier.
    pub vehicle: String,
    /// What it comes to: mark, gears, reasons, figures.
    pub judged: Judgement,
    /// Where the vehicle stands, as the mark says.
    pub standing: Standing,
    /// The best gear: of those with the best mark the slowest at the worst corner; where none goes by
    /// itself, the lowest.
    #[serde(serialize_with = "gear_name")]
    pub gear: Option<Gear>,
    /// Highest speed to expect, m/s, in the way of the standing.
    pub speed: Spread,
    /// Every forward gear; then the foot brake alone, the best gear with it, and locked wheels.
    pub ways: Vec<Told>,
    /// How the vehicle stands.
    pub stability: Stability,
    /// What matters most in the lowest gear here, likely values.
    pub sensitivity: Option<Sensitivity>,
}

impl Pair {
    /// The way of this kind; for gears the best one.
    pub fn way(&self, way: Way) -> Option<&Told> {
        self.ways
            .iter()
            .find(|told| told.descent.way == way && (way != Way::Geared || told.descent.gear == self.gear))
    }

    /// Every gear.
    pub fn gears(&self) -> impl Iterator<Item = &Told> {
        self.ways.iter().filter(|told| told.descent.way == Way::Geared)
    }
}

/// One line of the machine's list of descents.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DescentRecord<'a> {
    /// The slope's identifier.
    pub slope: &'a str,
    /// The vehicle's identifier.
    pub vehicle: &'a str,
    /// What the pair comes to.
    #[serde(skip)]
    pub judged: &'a Judgement,
    /// The way down.
    #[serde(flatten)]
    pub told: &'a Told,
}

impl DescentRecord<'_> {
    /// Whether the pair's mark is given for this way down.
    pub fn decides(&self) -> bool {
        let descent = &self.told.descent;
        self.judged.way == Some(descent.way) && self.judged.gear == descent.gear
    }
}

/// The line down a slope in every case, and steeper by one step of the instrument.
pub(crate) struct Profiles {
    pub(crate) cases: [Profile; 3],
    pub(crate) steeper: Profile,
}

/// What is the same for every way of a pair.
pub(crate) struct Setting<'a> {
    pub(crate) course: &'a Course,
    pub(crate) slope: &'a Slope,
    pub(crate) vehicle: &'a Vehicle,
    pub(crate) ground: Ground<'a>,
    pub(crate) stability: Stability,
    /// The slope steeper by one step of its instrument, at the unfavourable end.
    pub(crate) steeper: &'a Profile,
    cautions: Vec<Caution>,
    duty: Duty,
}

/// Works one pair.
pub(crate) fn pair(course: &Course, slope: &Slope, ground: &Profiles, vehicle: &Vehicle) -> Pair {
    let profiles = &ground.cases;
    let body = Body::of(vehicle);
    let bump = slope.bump.map_or(0.0, crate::quantity::Length::si);
    let setting = Setting {
        course,
        slope,
        vehicle,
        ground: Ground { vehicle, body, profiles, entry: slope.entry_speed.si().max(SLOWEST_ENTRY), bump },
        stability: Stability::of(vehicle, slope, &profiles[1], course.limits.side_tilt.si()),
        steeper: &ground.steeper,
        cautions: vehicle_cautions(vehicle),
        duty: duty(course),
    };
    let mut ways: Vec<Told> =
        vehicle.gears().into_iter().map(|gear| setting.told(setting.ground.geared(gear))).collect();
    let in_gear = judge::in_gear(&setting, &ways);
    let gear = in_gear.best.and_then(|index| ways[index].descent.gear);
    let limit = course.limits.descent_speed.si();
    let creep = gear.map_or(limit, |gear| Drive::of(vehicle, gear, Case::Unfavourable).creep() * OVER_IDLE);
    ways.extend(setting.ground.braked(creep.min(limit)).map(|descent| setting.told(descent)));
    let assisted = gear.and_then(|gear| setting.ground.assisted(gear, creep));
    ways.extend(assisted.map(|descent| setting.told(descent)));
    ways.extend(setting.ground.locked().map(|descent| setting.told(descent)));
    let judged = judge::judge(&setting, &ways, &in_gear);
    let sensitivity = lowest_sensitivity(vehicle, &body, &profiles[1]);
    Pair {
        slope: slope.id.clone(),
        vehicle: vehicle.id.clone(),
        standing: judged.mark.into(),
        gear,
        speed: judged.top_speed,
        judged,
        ways,
        stability: setting.stability,
        sensitivity,
    }
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

impl Setting<'_> {
    fn told(&self, descent: Descent) -> Told {
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
                Slips::Always { pushes: Drive::of(self.vehicle, gear, Case::Unfavourable).creep() }
            }
            (Gearbox::AutomaticLocked, Some(_)) => {
                Slips::Below(self.vehicle.transmission.lock_up_from.map(crate::quantity::Speed::si))
            }
        }
    }

    /// The hottest case: the one whose brakes take most.
    fn heat(&self, descent: &Descent) -> Option<BrakeHeat> {
        if !matches!(descent.way, Way::Braked | Way::Assisted) {
            return None;
        }
        let run = descent
            .runs()
            .into_iter()
            .reduce(|a, b| if b.ledger.brakes > a.ledger.brakes { b } else { a })?;
        let speed = if run.time > 0.0 { run.distance / run.time } else { 0.0 };
        let front_load = self.stability.steady.front_share();
        Some(brake_heat(self.vehicle, run.ledger.brakes, run.time, speed, front_load, &self.duty))
    }

    /// The stop beyond the foot from the fastest any corner reaches it; none without a run-out, or with
    /// wheels locked.
    fn stop(&self, descent: &Descent) -> Option<Stop> {
        if descent.way == Way::Locked { None } else { self.stop_from(descent.foot_speeds().high) }
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
