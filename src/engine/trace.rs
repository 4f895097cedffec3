//! Speed along a descent, for drawings.

use super::chassis::body::{Body, Profile};
use super::chassis::drive::Drive;
use super::chassis::hold::{Hold, Wheels};
use super::formulas::GRAVITY;
use super::formulas::slope::{locked_deceleration, speed_after};
use super::motion::braked::{OnBrakes, braked};
use super::motion::geared::geared;
use super::motion::locked::locked;
use super::motion::run::{Outcome, Run};
use super::pair::Pair;
use super::way::Way;
use super::{Case, Told};
use crate::course::{Course, Slope, Vehicle};

/// Places along a slope at which the speed is read.
const PLACES: u32 = 24;

/// Speed of one way down at places along the slope, likely values.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// Which way.
    pub way: Way,
    /// Distance from the brow, m.
    pub distance: Vec<f64>,
    /// Speed there, m/s; the last is 0 where it comes to rest on the slope.
    pub speed: Vec<f64>,
}

/// The traces of a pair: locked, on the foot brake, in its best gear, as far as it has them.
///
/// A vehicle that comes to rest on the slope has no places beyond. Each place is the end of the same descent on the slope cut off there, so the last one is the
/// descent the verdict was given from.
pub fn traces(course: &Course, slope: &Slope, vehicle: &Vehicle, pair: &Pair) -> Vec<Trace> {
    let profile = Profile::of(course, slope, Case::Likely);
    let body = Body::of(vehicle);
    let bump = slope.bump.map_or(0.0, crate::quantity::Length::si);
    [Way::Locked, Way::Braked, Way::Geared]
        .into_iter()
        .filter_map(|way| pair.way(way))
        .map(|told| trace(&profile, &body, vehicle, told, bump))
        .collect()
}

/// Wheels that lock half-way down the steepest stretch, at the course's speed limit and at the low end of the grip, to
/// the end of that stretch. None where sliding grip slows them, and on ground that tilts to the side, where no
/// straight line says where it goes.
pub fn runaway(course: &Course, slope: &Slope) -> Option<Trace> {
    let line = Profile::of(course, slope, Case::Likely);
    let leg = *line.steepest();
    let from = line.legs.iter().take_while(|other| **other != leg).map(|other| other.length).sum::<f64>();
    let (room, limit) = (0.5 * leg.length, course.limits.descent_speed.si());
    let slowing = locked_deceleration(GRAVITY, course.surface_of(slope).sliding.low, leg.pitch);
    if slowing >= 0.0 || leg.roll != 0.0 {
        return None;
    }
    let gone = (0..=PLACES).map(|place| room * f64::from(place) / f64::from(PLACES));
    Some(Trace {
        way: Way::Locked,
        distance: gone.clone().map(|gone| from + room + gone).collect(),
        speed: gone.map(|gone| speed_after(limit, slowing, gone)).collect(),
    })
}

fn trace(profile: &Profile, body: &Body, vehicle: &Vehicle, told: &Told, bump: f64) -> Trace {
    let run = &told.descent.likely;
    let entry = run.entry_speed;
    // A slide of a foot on a long slope has its own scale: the curve ends where the vehicle stands.
    let stands = run.outcome == Outcome::StopsOnSlope;
    let length = if stands { run.distance.min(profile.length()) } else { profile.length() };
    let places = (1..=PLACES).map(|place| length * f64::from(place) / f64::from(PLACES));
    let (mut distance, mut speed) = (vec![0.0], vec![entry]);
    for place in places {
        let end = follow(&profile.cut(place), body, vehicle, told, (entry, bump));
        distance.push(place);
        speed.push(end.foot_speed.unwrap_or(0.0));
    }
    if stands && let Some(last) = speed.last_mut() {
        *last = 0.0;
    }
    Trace { way: told.descent.way, distance, speed }
}

fn follow(profile: &Profile, body: &Body, vehicle: &Vehicle, told: &Told, (entry, bump): (f64, f64)) -> Run {
    let wheels = Wheels::locked(vehicle).unwrap_or(Wheels::All);
    match (told.descent.way, told.descent.gear) {
        (Way::Geared, Some(gear)) => {
            geared(body, profile, &Drive::of(vehicle, gear, Case::Likely).over(vehicle, bump), entry)
        }
        (Way::Locked, _) => locked(body, profile, wheels, entry),
        _ => {
            let target = told.descent.kept.unwrap_or(entry);
            let hold = Hold::braked(vehicle, bump).unwrap_or(Wheels::All.into());
            braked(OnBrakes { body, hold, help: None, strongest: None, target }, profile, entry)
        }
    }
}
