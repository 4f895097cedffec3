//! What the demonstration shows: which slope, with which vehicle.

use super::missing::Missing;
use crate::course::{Course, Driven, Range, Slope, Vehicle};
use crate::engine::{Reckoning, Standing};

/// The slope and the vehicle of the demonstration, by their places in the course. While it is shown
/// nobody else drives the one or on the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The slope.
    pub slope: usize,
    /// The vehicle.
    pub vehicle: usize,
}

/// What the demonstration of the rota shows: the slope the rules name, with the vehicle they name or
/// else the one that shows that slope best, of those that are there. None without a demonstration.
pub fn shown(course: &Course, reckoning: &Reckoning, missing: &Missing) -> Option<Shown> {
    let session = course.rota.as_ref()?.demonstration.as_ref()?;
    let slope = course.slopes.iter().position(|slope| Some(&slope.id) == session.slope.as_ref())?;
    let there = |at: &usize| !missing.lacks_vehicle(course, *at);
    let named = session.vehicle.as_ref();
    let named = named.and_then(|id| course.vehicles.iter().position(|vehicle| vehicle.id == *id));
    let vehicle = match named.filter(there) {
        Some(named) => named,
        None => best_of((0..course.vehicles.len()).filter(there), course, reckoning, &course.slopes[slope])?,
    };
    Some(Shown { slope, vehicle })
}

/// The vehicle that shows a slope best: one that may go in a low gear which holds all its wheels,
/// else one that may go in gear, else one that may go, else the first. Of equals the first in the
/// order of the course. None only without vehicles.
pub fn best_to_show(course: &Course, reckoning: &Reckoning, slope: &Slope) -> Option<usize> {
    best_of(0..course.vehicles.len(), course, reckoning, slope)
}

fn best_of(
    vehicles: impl Iterator<Item = usize>,
    course: &Course,
    reckoning: &Reckoning,
    slope: &Slope,
) -> Option<usize> {
    let rank = |vehicle: &Vehicle| {
        let Some(pair) = reckoning.pair(&slope.id, &vehicle.id) else { return 4 };
        let in_low = pair.gear.is_some_and(|gear| gear.range == Range::Low);
        match pair.standing {
            Standing::InGear if in_low && vehicle.transmission.driven == Driven::AllWheels => 0,
            Standing::InGear => 1,
            Standing::InGearWithFootBrake => 2,
            Standing::NotHere => 3,
        }
    };
    vehicles.min_by_key(|at| rank(&course.vehicles[*at]))
}

/// Drivers of the roster who drive the vehicle shown.
pub(super) fn drivers_of_shown(course: &Course, shown: Shown) -> Vec<usize> {
    let id = &course.vehicles[shown.vehicle].id;
    (0..course.roster.drivers.len()).filter(|at| course.roster.drivers[*at].vehicle == *id).collect()
}
