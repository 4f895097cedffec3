//! The whole course, worked.

use serde::Serialize;

use super::body::{Body, Profile, circumference_of};
use super::brakes::{BrakeHeat, Duty, Gap, ROLLING_SPEED, brake_heat};
use super::descent::{Descent, Ground, Way, gear_name};
use super::drive::{Drive, Wheels, overall_ratio_of};
use super::formulas::{gearing, grip, slope as slopes};
use super::overrun::EngineDrag;
use super::sensitivity::Sensitivity;
use super::stability::Stability;
use super::verdict::{Caution, Evidence, Verdict};
use super::{Case, Spread};
use crate::course::{Course, Gear, Gearbox, Slope, Surface, Vehicle};

/// Slowest entry reckoned with, m/s: a vehicle let roll over the brow.
const SLOWEST_ENTRY: f64 = 0.1;

/// Speed kept on the brakes over the creep speed of the gear: above it governors cut the fuel
/// (1.1 times idle in the European Commission's light-vehicle model).
const OVER_IDLE: f64 = 1.1;

/// Share of the speed limit up to which a gear alone will do at the unfavourable end: nearer to it the
/// foot brake helps where it can, since the limit is also where a descent is aborted. Judgement.
pub const CLEAR_OF_LIMIT: f64 = 0.9;

/// Everything the engine knows about a course. All values SI.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reckoning {
    /// Figures of each surface.
    pub surfaces: Vec<SurfaceFigures>,
    /// Figures of each vehicle.
    pub vehicles: Vec<VehicleFigures>,
    /// Every slope with every vehicle, slopes outermost.
    pub pairs: Vec<Pair>,
}

/// What a surface holds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SurfaceFigures {
    /// Its identifier.
    pub surface: String,
    /// Steepest slope on which wheels held at small slip hold, rad.
    pub turning_limit: Spread,
    /// Steepest slope on which locked wheels hold, rad. Between the two turning wheels hold and
    /// locked ones do not; on loose ground it may be the other way round.
    pub locked_limit: Spread,
    /// Whether a locked wheel ploughs.
    pub loose: bool,
}

/// A gear's figures.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GearFigures {
    /// Its name.
    #[serde(serialize_with = "gear_name")]
    pub gear: Option<Gear>,
    /// Overall ratio.
    pub overall_ratio: f64,
    /// Speed of the wheels with the gearing at idle, m/s.
    pub creep_speed: f64,
    /// Speed of the wheels at the highest engine speed, m/s.
    pub fastest: f64,
    /// Mass the vehicle seems to have in it, kg.
    pub equivalent_mass: f64,
    /// Retarding force at the tyres at idle speed, N; 0 with an unlocked converter.
    pub holds_at_idle: Spread,
    /// The same at the highest engine speed, N.
    pub holds_at_highest: Spread,
}

/// A vehicle's figures.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct VehicleFigures {
    /// Its identifier.
    pub vehicle: String,
    /// Rolling circumference, m.
    pub circumference: f64,
    /// Rolling radius, m.
    pub rolling_radius: f64,
    /// Motoring torque at idle, N·m.
    pub drag_at_idle: Spread,
    /// Motoring torque at the highest engine speed, N·m.
    pub drag_at_highest: Spread,
    /// Every forward gear, low range first, then reverse in each range if given.
    pub gears: Vec<GearFigures>,
    /// What matters most: in the lowest gear on the course's steepest slope, likely values.
    pub sensitivity: Option<Sensitivity>,
}

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
}

/// One slope with one vehicle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pair {
    /// The slope's identifier.
    pub slope: String,
    /// The vehicle's identifier.
    pub vehicle: String,
    /// Where the vehicle stands.
    pub standing: Standing,
    /// The best gear: of those within the limits the slowest at the unfavourable end; where none
    /// is, the slowest of all.
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
    /// The way down.
    #[serde(flatten)]
    pub told: &'a Told,
}

impl Reckoning {
    /// Every descent, one line each.
    pub fn descents(&self) -> impl Iterator<Item = DescentRecord<'_>> {
        self.pairs.iter().flat_map(|pair| {
            pair.ways.iter().map(|told| DescentRecord { slope: &pair.slope, vehicle: &pair.vehicle, told })
        })
    }

    /// The pair of a slope and a vehicle.
    pub fn pair(&self, slope: &str, vehicle: &str) -> Option<&Pair> {
        self.pairs.iter().find(|pair| pair.slope == slope && pair.vehicle == vehicle)
    }
}

/// Works the whole course.
pub fn reckon(course: &Course) -> Reckoning {
    let profiles: Vec<[Profile; 3]> =
        course.slopes.iter().map(|slope| Case::ALL.map(|case| Profile::of(course, slope, case))).collect();
    let steepest = profiles
        .iter()
        .map(|cases| &cases[1])
        .reduce(|a, b| if b.steepest().pitch > a.steepest().pitch { b } else { a });
    let pairs = pairs(course, &profiles);
    Reckoning {
        surfaces: course.surfaces.iter().map(surface_figures).collect(),
        vehicles: course.vehicles.iter().map(|vehicle| vehicle_figures(vehicle, steepest)).collect(),
        pairs,
    }
}

/// Every pair, slopes outermost. The slopes are shared out among the processor's cores; what each
/// finds does not depend on who works it, and the order is the course's.
fn pairs(course: &Course, profiles: &[[Profile; 3]]) -> Vec<Pair> {
    let places: Vec<_> = course.slopes.iter().zip(profiles).collect();
    let workers = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let share = places.len().div_ceil(workers).max(1);
    let work = |places: &[(&Slope, &[Profile; 3])]| -> Vec<Pair> {
        places
            .iter()
            .flat_map(|(slope, cases)| {
                course.vehicles.iter().map(|vehicle| pair(course, slope, cases, vehicle))
            })
            .collect()
    };
    std::thread::scope(|scope| {
        let shares: Vec<_> = places.chunks(share).map(|places| scope.spawn(move || work(places))).collect();
        shares
            .into_iter()
            .flat_map(|worker| worker.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault)))
            .collect()
    })
}

fn surface_figures(surface: &Surface) -> SurfaceFigures {
    SurfaceFigures {
        surface: surface.id.clone(),
        turning_limit: surface.peak.map_rising(grip::friction_limit_angle).into(),
        locked_limit: surface.sliding.map_rising(grip::friction_limit_angle).into(),
        loose: surface.ground == crate::course::Ground::Loose,
    }
}

fn vehicle_figures(vehicle: &Vehicle, steepest: Option<&Profile>) -> VehicleFigures {
    let body = Body::of(vehicle);
    let drag = EngineDrag::of(&vehicle.engine);
    let circumference = circumference_of(vehicle);
    let mut gears = vehicle.gears();
    let ranges: Vec<_> = gears.iter().map(|gear| gear.range).fold(Vec::new(), |mut seen, range| {
        if !seen.contains(&range) {
            seen.push(range);
        }
        seen
    });
    if let Some(ratio) = vehicle.transmission.reverse {
        gears.extend(ranges.into_iter().map(|range| Gear { range, number: 0, ratio }));
    }
    VehicleFigures {
        vehicle: vehicle.id.clone(),
        circumference,
        rolling_radius: gearing::rolling_radius(circumference),
        drag_at_idle: drag.spread(vehicle.engine.idle.si()),
        drag_at_highest: drag.spread(vehicle.engine.highest.si()),
        gears: gears.into_iter().map(|gear| gear_figures(vehicle, &body, gear)).collect(),
        sensitivity: steepest.and_then(|profile| lowest_sensitivity(vehicle, &body, profile)),
    }
}

fn gear_figures(vehicle: &Vehicle, body: &Body, gear: Gear) -> GearFigures {
    let drives = Case::ALL.map(|case| Drive::of(vehicle, gear, case));
    let likely = &drives[1];
    let holds = |speed: f64| Spread::of(drives.each_ref().map(|drive| drive.force(speed)));
    GearFigures {
        gear: Some(gear),
        overall_ratio: overall_ratio_of(vehicle, gear),
        creep_speed: likely.creep(),
        fastest: likely.fastest(),
        equivalent_mass: likely.equivalent_mass(body),
        holds_at_idle: holds(likely.creep()),
        holds_at_highest: holds(likely.fastest()),
    }
}

fn lowest_sensitivity(vehicle: &Vehicle, body: &Body, profile: &Profile) -> Option<Sensitivity> {
    let lowest = lowest_gear(vehicle)?;
    Sensitivity::of(body, profile.steepest(), &Drive::of(vehicle, lowest, Case::Likely))
}

/// The gear with the greatest overall ratio.
fn lowest_gear(vehicle: &Vehicle) -> Option<Gear> {
    vehicle
        .gears()
        .into_iter()
        .max_by(|a, b| overall_ratio_of(vehicle, *a).total_cmp(&overall_ratio_of(vehicle, *b)))
}

/// What is the same for every way of a pair.
struct Setting<'a> {
    course: &'a Course,
    slope: &'a Slope,
    vehicle: &'a Vehicle,
    ground: Ground<'a>,
    stability: Stability,
    cautions: Vec<Caution>,
    duty: Duty,
}

fn pair(course: &Course, slope: &Slope, profiles: &[Profile; 3], vehicle: &Vehicle) -> Pair {
    let body = Body::of(vehicle);
    let setting = Setting {
        course,
        slope,
        vehicle,
        ground: Ground { vehicle, body, profiles, entry: slope.entry_speed.si().max(SLOWEST_ENTRY) },
        stability: Stability::of(vehicle, slope, &profiles[1], course.limits.side_tilt.si()),
        cautions: vehicle_cautions(vehicle),
        duty: duty(course),
    };
    let mut ways: Vec<Told> =
        vehicle.gears().into_iter().map(|gear| setting.told(setting.ground.geared(gear))).collect();
    let best = best_gear(&ways);
    let gear = best.and_then(|index| ways[index].descent.gear);
    let in_gear = best.map(|index| (ways[index].verdict.within_limits, ways[index].descent.top_speed));
    let limit = course.limits.descent_speed.si();
    let creep = gear.map_or(limit, |gear| Drive::of(vehicle, gear, Case::Likely).creep() * OVER_IDLE);
    ways.extend(setting.ground.braked(creep.min(limit)).map(|descent| setting.told(descent)));
    let assisted = gear.and_then(|gear| setting.ground.assisted(gear, creep));
    ways.extend(assisted.map(|descent| setting.told(descent)));
    ways.extend(setting.ground.locked().map(|descent| setting.told(descent)));
    let helped = ways
        .iter()
        .find(|told| told.descent.way == Way::Assisted)
        .filter(|told| told.verdict.within_limits)
        .map(|told| told.descent.top_speed);
    let (standing, speed) = match (in_gear, helped) {
        (Some((true, speed)), None) => (Standing::InGear, speed),
        (Some((true, speed)), Some(_)) if speed.high <= CLEAR_OF_LIMIT * limit => (Standing::InGear, speed),
        (_, Some(speed)) => (Standing::InGearWithFootBrake, speed),
        (Some((_, speed)), _) => (Standing::NotHere, speed),
        (None, _) => (Standing::NotHere, Spread::of([0.0; 3])),
    };
    let sensitivity = lowest_sensitivity(vehicle, &body, &profiles[1]);
    Pair {
        slope: slope.id.clone(),
        vehicle: vehicle.id.clone(),
        standing,
        gear,
        speed,
        ways,
        stability: setting.stability,
        sensitivity,
    }
}

/// Of the gears within the limits the slowest at the unfavourable end; else the slowest of all.
fn best_gear(ways: &[Told]) -> Option<usize> {
    let slowest = |within: bool| {
        ways.iter()
            .enumerate()
            .filter(|(_, told)| !within || told.verdict.within_limits)
            .min_by(|(_, a), (_, b)| {
                a.descent.unfavourable.top_speed.total_cmp(&b.descent.unfavourable.top_speed)
            })
            .map(|(index, _)| index)
    };
    slowest(true).or_else(|| slowest(false))
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
    let driven = (Wheels::driven(vehicle) != Wheels::All).then_some(Caution::OneAxleDriven);
    let range = vehicle.transmission.transfer_low.is_none().then_some(Caution::NoLowRange);
    [braked, driven, range].into_iter().flatten().collect()
}

impl Setting<'_> {
    fn told(&self, descent: Descent) -> Told {
        let heat = self.heat(&descent);
        let limits = &self.course.limits;
        let verdict = Verdict::of(&Evidence {
            descent: &descent,
            stability: &self.stability,
            heat: heat.as_ref(),
            gradient: self.slope.steepest().gradient.si(),
            gradient_limit: limits.gradient.si(),
            speed_limit: limits.descent_speed.si(),
            brake_limit: limits.brake_temperature.si(),
            highest_spin: self.vehicle.engine.highest.si(),
            converter: self.vehicle.transmission.gearbox == Gearbox::AutomaticUnlocked,
            run_out: self.run_out(&descent),
            cautions: &self.cautions,
        });
        Told { descent, verdict, heat }
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

    /// Run-out length, and the foot-brake stop in it from the foot at the unfavourable end.
    fn run_out(&self, descent: &Descent) -> Option<(f64, Option<f64>)> {
        let run_out = self.ground.profiles[0].run_out.as_ref()?;
        let speed = descent.unfavourable.foot_speed.unwrap_or(0.0);
        let friction = Wheels::braked(self.vehicle).map_or(0.0, |wheels| {
            let curve = run_out.footing.curve;
            wheels.whole(curve.sliding.min(curve.peak), &self.ground.body)
        });
        let slowing = slopes::locked_deceleration(self.ground.body.gravity, friction, run_out.pitch);
        Some((run_out.length, (slowing > 0.0).then(|| slopes::stop_distance(speed, slowing))))
    }
}
