//! Vehicles as drawings need them: plain numbers in metres.

use serde::Serialize;

use crate::course::{Vehicle, VehicleClass};
use crate::engine::circumference_of;

/// A vehicle's outline, m. Wheelbase, track, wheels and centre of mass are the course's; the
/// overhangs and the height are those of its class, since they only shape the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub(crate) struct Outline {
    wheelbase: f64,
    front: f64,
    rear: f64,
    height: f64,
    radius: f64,
    track: f64,
    width: f64,
    tyre_width: f64,
    cg_height: f64,
    cg_back: f64,
    body: &'static str,
}

impl Outline {
    /// Length over all, m.
    pub(crate) fn length(&self) -> f64 {
        self.front + self.wheelbase + self.rear
    }

    /// The outline of a vehicle.
    pub(crate) fn of(vehicle: &Vehicle) -> Self {
        let (front, rear, height, body) = match vehicle.class {
            VehicleClass::ShortWheelbase => (0.72, 0.62, 1.85, "short"),
            VehicleClass::Wagon => (0.85, 1.10, 1.90, "wagon"),
            VehicleClass::Pickup => (0.88, 1.20, 1.82, "pickup"),
            VehicleClass::Van => (0.90, 1.05, 2.10, "wagon"),
            VehicleClass::Truck => (0.75, 1.05, 2.55, "truck"),
        };
        let track = vehicle.track.si();
        Self {
            wheelbase: vehicle.wheelbase.si(),
            front,
            rear,
            height: height + roof(vehicle),
            radius: circumference_of(vehicle) / std::f64::consts::TAU,
            track,
            width: track + 0.28,
            tyre_width: 0.26,
            cg_height: vehicle.loaded_centre_height().si(),
            cg_back: vehicle.centre_behind_front.si(),
            body,
        }
    }
}

/// What a load on the roof adds to the drawing's height.
fn roof(vehicle: &Vehicle) -> f64 {
    if vehicle.roof_load.is_some() { 0.15 } else { 0.0 }
}
