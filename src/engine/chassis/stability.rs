//! Side and pitch limits, axle loads, tripping.

use serde::Serialize;

use super::body::{Body, Profile, tilt};
use super::hold::Wheels;
use crate::course::{Slope, Vehicle};
use crate::engine::formulas::{GRAVITY, stability as formula};

/// Roll inertia over mass times half track squared, for the tripping speed where nothing is
/// measured: an estimate that gives 750 kg·m² for 2200 kg on a track of 1.55 m.
pub const ROLL_INERTIA_FACTOR: f64 = 0.57;

/// Load on each axle, N.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct AxleLoads {
    /// Front axle.
    pub front: f64,
    /// Rear axle; negative when it would have lifted.
    pub rear: f64,
}

impl AxleLoads {
    /// Front axle's share of the sum.
    pub fn front_share(&self) -> f64 {
        self.front / (self.front + self.rear)
    }
}

/// Axle loads of a body nose-down with this force on the ground and this braking force, N.
pub fn axle_loads(body: &Body, normal: f64, braking: f64) -> AxleLoads {
    AxleLoads {
        front: formula::front_load(normal, body.to_rear(), body.height, braking, body.wheelbase),
        rear: formula::rear_load(normal, body.to_front, body.height, braking, body.wheelbase),
    }
}

/// How a vehicle stands on a slope. Tip angles are theoretical: rigid, standing still.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Stability {
    /// Steepest true pitch, rad.
    pub pitch: f64,
    /// Greatest side tilt of the ground under the vehicle, rad.
    pub roll: f64,
    /// What the highest bump adds, rad.
    pub bump_roll: f64,
    /// Both, rad: what is compared with the working limit.
    pub side_tilt: f64,
    /// Working limit of side tilt: the vehicle's own if the course gives one, else the course's, rad.
    pub side_limit: f64,
    /// Side tilt at which the rigid vehicle tips, rad: theoretical.
    pub side_tip: f64,
    /// Half the rigid tangent, as an angle, rad: a working limit above it needs a reason.
    pub side_half_tip: f64,
    /// Slope at which the rear axle lifts when held nose-down, rad: theoretical.
    pub nose_tip: f64,
    /// Friction at which the rear axle lifts while all wheels slide.
    pub nose_tip_friction: f64,
    /// Centre of mass with the roof load on, m.
    pub centre_height: f64,
    /// Sideways speed at which it trips on level ground, m/s; the roll inertia is estimated.
    pub tripping_speed: f64,
    /// Axle loads rolling free.
    pub free: AxleLoads,
    /// Axle loads at steady speed.
    pub steady: AxleLoads,
    /// Axle loads with all braked wheels sliding, at the likely friction.
    pub sliding: AxleLoads,
}

impl Stability {
    /// Of a vehicle on a slope; `profile` is the likely one.
    pub fn of(vehicle: &Vehicle, slope: &Slope, profile: &Profile, course_limit: f64) -> Self {
        let body = Body::of(vehicle);
        let steep = profile.steepest();
        let weight = body.mass * body.gravity;
        let normal = weight * steep.press();
        let track = vehicle.track.si();
        let roll = slope
            .stretches
            .iter()
            .map(|s| tilt(s.gradient.si(), slope.heading.si().abs(), slope.cross_slope.si()))
            .fold(0.0, f64::max);
        let bump_roll = slope.bump.map_or(0.0, |bump| formula::bump_roll(bump.si().min(0.99 * track), track));
        let inertia = ROLL_INERTIA_FACTOR * body.mass * (track / 2.0) * (track / 2.0);
        let sliding = Wheels::locked(vehicle).unwrap_or(Wheels::All);
        let slide = normal * sliding.whole(steep.footing.curve.sliding, &body);
        Self {
            pitch: steep.pitch,
            roll,
            bump_roll,
            side_tilt: roll + bump_roll,
            side_limit: vehicle.side_limit.map_or(course_limit, crate::quantity::Angle::si),
            side_tip: formula::side_tip_angle(track, body.height),
            side_half_tip: libm::atan(0.5 * formula::stability_factor(track, body.height)),
            nose_tip: formula::nose_tip_angle(body.to_front, body.height),
            nose_tip_friction: body.to_front / body.height,
            centre_height: body.height,
            tripping_speed: formula::tripping_speed(
                formula::trip_inertia(inertia, body.mass, track, body.height),
                body.mass,
                track,
                body.height,
                GRAVITY,
            ),
            free: axle_loads(&body, normal, 0.0),
            steady: axle_loads(&body, normal, weight * steep.down()),
            sliding: axle_loads(&body, normal, slide),
        }
    }
}
