//! What a gear holds over a slope, and the comparison: the vehicles of a fleet down one slope, each in its lowest gear, feet off; slowest down is best.
//!
//! The order belongs to the slope: engines differ in how their drag rises with speed, so that two vehicles may
//! change places on a steeper one. There is no table for all slopes.

use super::Reckoning;
use crate::course::{Course, Gear, Slope, Vehicle};
use crate::engine::chassis::body::{Body, Leg, Profile, circumference_of};
use crate::engine::chassis::drive::{Drive, overall_ratio_of};
use crate::engine::chassis::overrun::EngineDrag;
use crate::engine::formulas::GRAVITY;
use crate::engine::formulas::gearing::{engine_spin, rolling_radius};
use crate::engine::formulas::show::{asked_share, held_over, holding_share};
use crate::engine::judging::judgement::Judgement;
use crate::engine::mark::Mark;
use crate::engine::motion::balance::Balance;
use crate::engine::{Case, Spread};

/// What makes one vehicle slower than another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Factor {
    /// Overall ratio.
    Ratio,
    /// Engine drag.
    Drag,
    /// Rolling radius.
    Tyre,
    /// Mass.
    Mass,
}

impl Factor {
    /// Every factor.
    pub const ALL: [Self; 4] = [Self::Ratio, Self::Drag, Self::Tyre, Self::Mass];
}

/// A vehicle of the comparison, likely values, SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Its place in the fleet.
    pub vehicle: usize,
    /// The lowest gear whose verdict allows feet off.
    pub gear: Gear,
    /// Overall ratio in it.
    pub ratio: f64,
    /// What it holds at idle, for each unit of weight; no losses, nothing through an open converter.
    pub held: f64,
    /// What the steepest stretch asks, for each unit of weight.
    pub asked: f64,
    /// Time down the slope, s.
    pub time: Spread,
    /// Speed it settles at on the steepest stretch, m/s.
    pub speed: Option<f64>,
    /// The same with one thing of the slowest vehicle put in and all else kept, m/s, in the order of
    /// [`Factor::ALL`]; none where the exchange leaves no balance.
    pub exchanged: [Option<f64>; 4],
}

/// The vehicles that may come down a slope with feet off, slowest first, in their lowest such gear.
pub fn compare(course: &Course, reckoning: &Reckoning, slope: &Slope) -> Vec<Compared> {
    let line = Profile::of(course, slope, Case::Likely);
    let leg = line.steepest();
    let of_vehicle = |(at, vehicle): (usize, &Vehicle)| {
        let pair = reckoning.pair(&slope.id, &vehicle.id)?;
        let gear = lowest_within(vehicle, &pair.judged)?;
        let told = pair.gears().find(|told| told.descent.gear == Some(gear))?;
        Some(one(at, vehicle, gear, told.descent.time, leg))
    };
    let mut all: Vec<Compared> = course.vehicles.iter().enumerate().filter_map(of_vehicle).collect();
    all.sort_by(|a, b| b.time.likely.total_cmp(&a.time.likely).then(a.vehicle.cmp(&b.vehicle)));
    if let Some((slowest, gear)) = all.first().map(|first| (&course.vehicles[first.vehicle], first.gear)) {
        for row in &mut all {
            row.exchanged = exchanged(&course.vehicles[row.vehicle], row.gear, (slowest, gear), leg);
        }
    }
    all
}

/// The lowest gear whose mark is within the limits; none where the pair is not judged.
fn lowest_within(vehicle: &Vehicle, judged: &Judgement) -> Option<Gear> {
    let ratio = |gear: &Gear| overall_ratio_of(vehicle, *gear);
    let within = judged.gears.iter().filter(|(_, mark)| *mark == Mark::Within).map(|(gear, _)| *gear);
    within.max_by(|a, b| ratio(a).total_cmp(&ratio(b))).filter(|_| judged.mark == Mark::Within)
}

fn one(at: usize, vehicle: &Vehicle, gear: Gear, time: Spread, leg: &Leg) -> Compared {
    let (body, drive) = (Body::of(vehicle), Drive::of(vehicle, gear, Case::Likely));
    let torque = if drive.converter.is_some() { 0.0 } else { drive.drag.torque(drive.idle, Case::Likely) };
    Compared {
        vehicle: at,
        gear,
        ratio: drive.ratio,
        held: holding_share(torque, drive.ratio, drive.radius(), body.mass, body.gravity),
        asked: asked_share(leg.pitch, leg.footing.rolling),
        time,
        speed: Balance::of(&body, leg, &drive).speed(),
        exchanged: [None; 4],
    }
}

fn exchanged(vehicle: &Vehicle, gear: Gear, (slowest, its): (&Vehicle, Gear), leg: &Leg) -> [Option<f64>; 4] {
    let (body, drive) = (Body::of(vehicle), Drive::of(vehicle, gear, Case::Likely));
    let (other, best) = (Body::of(slowest), Drive::of(slowest, its, Case::Likely));
    Factor::ALL.map(|factor| {
        let (mut body, mut drive) = (body, drive.clone());
        match factor {
            Factor::Ratio => drive.ratio = best.ratio,
            Factor::Drag => drive.drag = best.drag.clone(),
            Factor::Tyre => drive.circumference = best.circumference,
            Factor::Mass => body.mass = other.mass,
        }
        Balance::of(&body, leg, &drive).speed()
    })
}

/// Whether the lowest gear of some vehicle is too low for the ground of a slope: there the lowest gear is no measure.
pub fn slick(course: &Course, reckoning: &Reckoning, slope: &Slope) -> bool {
    let too_low = |id: &str| reckoning.pair(&slope.id, id).is_some_and(|pair| pair.judged.too_low.is_some());
    course.vehicles.iter().any(|vehicle| too_low(&vehicle.id))
}

/// The slope to compare on, and its vehicles: two at least, no ground too slick for a lowest gear, and none that nobody
/// measured beside others that somebody did. A straight one before one with a tilt, then the one with most vehicles,
/// then the steepest.
pub fn comparison(course: &Course, reckoning: &Reckoning) -> Option<(usize, Vec<Compared>)> {
    let straight = |slope: &Slope| slope.cross_slope.si() == 0.0 && slope.heading.si() == 0.0;
    let slopes =
        course.slopes.iter().enumerate().map(|(at, slope)| (at, slope, compare(course, reckoning, slope)));
    // Where some slopes are surveyed nobody drives the others before they are.
    let surveyed = |slope: &Slope| slope.survey.is_some();
    let some = course.slopes.iter().any(surveyed);
    let open = slopes.filter(|(_, slope, _)| surveyed(slope) || !some);
    let enough = open.filter(|(_, slope, rows)| rows.len() >= 2 && !slick(course, reckoning, slope));
    let best = enough.max_by(|(a, one, rows), (b, other, more)| {
        let steepness = |slope: &Slope| slope.steepest().gradient.si();
        let by_count = straight(one).cmp(&straight(other)).then(rows.len().cmp(&more.len()));
        by_count.then(steepness(one).total_cmp(&steepness(other))).then(b.cmp(a))
    });
    best.map(|(at, _, rows)| (at, rows))
}

/// What a gear holds at the course's speed limit over what the slope's steepest stretch asks: low end of the
/// engine's drag and of the rolling resistance, nothing of it lost. At the highest engine speed where that comes
/// before the limit. Over 1 it holds there; tolerances come on top.
pub fn hold_at_limit(course: &Course, slope: &Slope, vehicle: &Vehicle, gear: Gear) -> f64 {
    let line = Profile::of(course, slope, Case::Unfavourable);
    let leg = line.steepest();
    let (circumference, ratio) = (circumference_of(vehicle), overall_ratio_of(vehicle, gear));
    let spin = engine_spin(course.limits.descent_speed.si(), ratio, circumference);
    let torque =
        EngineDrag::of(&vehicle.engine).torque(spin.min(vehicle.engine.highest.si()), Case::Unfavourable);
    let held = holding_share(torque, ratio, rolling_radius(circumference), vehicle.mass.si(), GRAVITY);
    held_over(held, asked_share(leg.pitch, leg.footing.rolling))
}
