//! The whole course, worked.

mod compare;

use std::sync::atomic::{AtomicUsize, Ordering};

pub use compare::{Compared, Factor, compare, comparison, hold_at_limit, slick};
use serde::Serialize;

use super::chassis::body::{Body, Profile, circumference_of};
use super::chassis::drive::{Drive, overall_ratio_of};
use super::chassis::overrun::EngineDrag;
use super::formulas::{gearing, grip};
use super::judging::profiles::Profiles;
use super::judging::sensitivity::{Sensitivity, lowest_sensitivity};
use super::pair::{DescentRecord, Pair, pair};
use super::way::gear_name;
use super::{Case, Spread};
use crate::course::{Course, Gear, Slope, Surface, Vehicle};

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

impl Reckoning {
    /// Every descent, one line each.
    pub fn descents(&self) -> impl Iterator<Item = DescentRecord<'_>> {
        self.pairs.iter().flat_map(|pair| {
            let (slope, vehicle, judged) = (pair.slope.as_str(), pair.vehicle.as_str(), &pair.judged);
            pair.ways.iter().map(move |told| DescentRecord { slope, vehicle, judged, told })
        })
    }

    /// The same for some of the vehicles: no pair knows of another vehicle.
    #[must_use]
    pub fn of_fleet(&self, vehicles: &[Vehicle]) -> Self {
        let has = |id: &str| vehicles.iter().any(|vehicle| vehicle.id == id);
        Self {
            surfaces: self.surfaces.clone(),
            vehicles: self.vehicles.iter().filter(|one| has(&one.vehicle)).cloned().collect(),
            pairs: self.pairs.iter().filter(|pair| has(&pair.vehicle)).cloned().collect(),
        }
    }

    /// The pair of a slope and a vehicle.
    pub fn pair(&self, slope: &str, vehicle: &str) -> Option<&Pair> {
        self.pairs.iter().find(|pair| pair.slope == slope && pair.vehicle == vehicle)
    }
}

/// Works the whole course.
pub fn reckon(course: &Course) -> Reckoning {
    let profiles: Vec<Profiles> = course.slopes.iter().map(|slope| Profiles::of(course, slope)).collect();
    let steepest = profiles
        .iter()
        .map(|ground| &ground.cases[1])
        .reduce(|a, b| if b.steepest().pitch > a.steepest().pitch { b } else { a });
    let pairs = pairs(course, &profiles, |_, _| true);
    Reckoning {
        surfaces: course.surfaces.iter().map(surface_figures).collect(),
        vehicles: course.vehicles.iter().map(|vehicle| vehicle_figures(vehicle, steepest)).collect(),
        pairs,
    }
}

/// The pairs of a course that somebody asks for, slopes outermost.
pub fn pairs_where(course: &Course, wanted: impl Fn(&Slope, &Vehicle) -> bool) -> Vec<Pair> {
    let profiles: Vec<Profiles> = course.slopes.iter().map(|slope| Profiles::of(course, slope)).collect();
    pairs(course, &profiles, wanted)
}

/// Those of the pairs that are wanted, slopes outermost. They are shared out among the processor's cores one by one, as
/// some take many times as long as others; what each finds does not depend on who works it, and the order is the
/// course's.
fn pairs(course: &Course, profiles: &[Profiles], wanted: impl Fn(&Slope, &Vehicle) -> bool) -> Vec<Pair> {
    let fleet = |slope| course.vehicles.iter().map(move |vehicle| (slope, vehicle));
    let places: Vec<((&Slope, &Profiles), &Vehicle)> =
        course.slopes.iter().zip(profiles).flat_map(fleet).collect();
    let places: Vec<_> = places.into_iter().filter(|((slope, _), vehicle)| wanted(slope, vehicle)).collect();
    let next = AtomicUsize::new(0);
    let work = || {
        let take = || next.fetch_add(1, Ordering::Relaxed);
        let mut worked = Vec::new();
        let mut at = take();
        while let Some(((slope, ground), vehicle)) = places.get(at) {
            worked.push((at, pair(course, slope, ground, vehicle)));
            at = take();
        }
        worked
    };
    let workers = std::thread::available_parallelism().map_or(1, usize::from).min(places.len());
    let mut all: Vec<(usize, Pair)> = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..workers).map(|_| scope.spawn(work)).collect();
        let ended = workers.into_iter().map(std::thread::ScopedJoinHandle::join);
        ended.flat_map(|worked| worked.unwrap_or_else(|fault| std::panic::resume_unwind(fault))).collect()
    });
    all.sort_by_key(|(at, _)| *at);
    all.into_iter().map(|(_, pair)| pair).collect()
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
