//! What matters most: how the descent speed answers to a change of ten per cent.

use serde::Serialize;

use crate::course::{Gear, Vehicle};
use crate::engine::case::Case;
use crate::engine::chassis::body::{Body, Leg, Profile};
use crate::engine::chassis::drive::{Drive, overall_ratio_of};
use crate::engine::motion::balance::Balance;

/// Change of the settled speed, as a part of it, for ten per cent more of one thing alone.
///
/// None where the changed vehicle finds no balance.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Sensitivity {
    /// Settled speed unchanged, m/s.
    pub speed: f64,
    /// Ten per cent more overall ratio (lower gearing).
    pub gearing: Option<f64>,
    /// Ten per cent more tyre radius.
    pub tyre_radius: Option<f64>,
    /// Ten per cent more mass.
    pub mass: Option<f64>,
    /// Ten per cent more engine displacement.
    pub displacement: Option<f64>,
}

/// More by a tenth.
const MORE: f64 = 1.1;

impl Sensitivity {
    /// Of a gear on a leg; none where it finds no balance.
    pub fn of(body: &Body, leg: &Leg, drive: &Drive) -> Option<Self> {
        let speed = Balance::of(body, leg, drive).speed()?;
        let change = |body: &Body, drive: &Drive| {
            Balance::of(body, leg, drive).speed().map(|changed| changed / speed - 1.0)
        };
        Some(Self {
            speed,
            gearing: change(body, &Drive { ratio: drive.ratio * MORE, ..drive.clone() }),
            tyre_radius: change(body, &Drive { circumference: drive.circumference * MORE, ..drive.clone() }),
            mass: change(&Body { mass: body.mass * MORE, ..*body }, drive),
            displacement: change(body, &Drive { drag: drive.drag.scaled(MORE), ..drive.clone() }),
        })
    }
}

/// The sensitivity of a vehicle in its lowest gear on the steepest stretch; none without a balance.
pub(crate) fn lowest_sensitivity(vehicle: &Vehicle, body: &Body, profile: &Profile) -> Option<Sensitivity> {
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
