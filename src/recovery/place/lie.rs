//! How a line lies over the ground, seen from the side: what the drawings show, and the angles that the sums
//! take from it.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::recovery::pull::Direction;

/// Height of what a line is made fast to above its ground, m. Common practice, no source.
pub const HELD_AT: f64 = 0.5;
/// Height of a vehicle's recovery points above its ground, m. Common practice, no source.
pub const POINT_AT: f64 = 0.5;
/// Height of an edge guard, m. Common practice, no source.
pub const GUARD_AT: f64 = 0.1;
/// From the brow or the foot to where line and blocks are made fast, m. Common practice, no source.
pub const BEYOND: f64 = 6.0;
/// From an axle to the recovery points beyond it, m. Common practice, no source.
pub const BEYOND_AXLE: f64 = 0.8;
/// Nearer than this to the brow the line is drawn straight, m.
const EDGE: f64 = 0.5;

/// A point, m: level distance from the brow, down the slope positive; height over the brow.
pub type Spot = [f64; 2];

/// A line between what holds it and a stuck vehicle.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Lie {
    /// Where the far end is made fast.
    pub held: Spot,
    /// Where it bends over the guard at the brow.
    pub guard: Option<Spot>,
    /// The recovery point of the stuck vehicle.
    pub point: Spot,
    /// How much the line rises from the ground at its far end, rad: it lifts what holds it; negative
    /// where it presses it down.
    pub lift: f64,
    /// Angle between the line and the vehicle's own, rad.
    pub askew: f64,
}

impl Lie {
    /// The line of a vehicle in the middle of a slope, its place so far from the brow along the ground, to
    /// what holds it so far away; none for a pull on the level.
    pub fn of(
        slope: &Slope,
        vehicle: &Vehicle,
        direction: Direction,
        stands: f64,
        distance: f64,
    ) -> Option<Self> {
        let reach = vehicle.wheelbase.si() / 2.0 + BEYOND_AXLE;
        let (held_along, point_along) = match direction {
            Direction::Up | Direction::Lower => (stands - distance, stands - reach),
            Direction::Down => (stands + distance, stands + reach),
            Direction::Level => return None,
        };
        let on = |along: f64, height: f64| above(ground(slope, along), tilt(slope, along), height);
        let held = on(held_along, HELD_AT);
        // The vehicle stands on the stretch under its middle: its points lie along that.
        let (middle, own) = (ground(slope, stands), tilt(slope, stands));
        let back = point_along - stands;
        let axis = [middle[0] + back * libm::cos(own), middle[1] - back * libm::sin(own)];
        let point = above(axis, own, POINT_AT);
        let over = held[0] < -EDGE && point[0] > EDGE;
        let guard = over.then(|| above([0.0, 0.0], 0.0, GUARD_AT));
        let rise = |from: Spot, to: Spot| libm::atan2(to[1] - from[1], (to[0] - from[0]).abs());
        let next = guard.unwrap_or(point);
        let last = guard.unwrap_or(held);
        // Towards the vehicle the ground at the far end falls or rises by its own tilt.
        let towards = if held[0] < point[0] { -1.0 } else { 1.0 };
        let lift = rise(held, next) - towards * tilt(slope, held_along);
        let away = if last[0] < point[0] { 1.0 } else { -1.0 };
        let askew = (rise(point, last) - away * own).abs();
        Some(Self { held, guard, point, lift, askew })
    }
}

/// A spot above the ground, square to it.
fn above(on: Spot, tilt: f64, height: f64) -> Spot {
    [on[0] + height * libm::sin(tilt), on[1] + height * libm::cos(tilt)]
}

/// The ground so far along it from the brow: level before it, then the stretches and the run-out.
pub fn ground(slope: &Slope, along: f64) -> Spot {
    if along <= 0.0 {
        return [along, 0.0];
    }
    let (mut left, mut x, mut y) = (along, 0.0, 0.0);
    for (length, angle) in legs(slope) {
        let part = left.min(length);
        x += part * libm::cos(angle);
        y -= part * libm::sin(angle);
        left -= part;
    }
    [x, y]
}

/// From the middle of the steepest stretch up to the brow, m.
pub fn to_brow(slope: &Slope) -> f64 {
    let steepest = slope.steepest();
    let mut above = 0.0;
    for stretch in &slope.stretches {
        if std::ptr::eq(stretch, steepest) {
            break;
        }
        above += stretch.length.si();
    }
    above + steepest.length.si() / 2.0
}

/// How the ground falls there, rad.
fn tilt(slope: &Slope, along: f64) -> f64 {
    if along <= 0.0 {
        return 0.0;
    }
    let mut left = along;
    for (length, angle) in legs(slope) {
        if left <= length {
            return angle;
        }
        left -= length;
    }
    0.0
}

/// Length, m, and fall, rad: stretches, then the run-out, without end.
fn legs(slope: &Slope) -> impl Iterator<Item = (f64, f64)> {
    let stretches = slope.stretches.iter().map(|one| (one.length.si(), one.gradient.si()));
    let out = slope.run_out.as_ref().map_or(0.0, |out| out.gradient.si());
    stretches.chain(std::iter::once((f64::INFINITY, out)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::course::read_text;

    const QUARRY: &str = include_str!("../../../courses/quarry-day.yaml");

    /// By hand: 28 m at 19°, the vehicle in its middle, what holds it 6 m behind the brow.
    #[test]
    fn over_a_brow_the_line_presses_its_anchor_down_and_leaves_the_vehicle_almost_in_line() {
        let course = read_text(QUARRY).expect("the example is right");
        let ramp = course.slopes.iter().find(|slope| slope.id == "ramp").expect("a ramp");
        let lie = Lie::of(ramp, &course.vehicles[0], Direction::Lower, 14.0, 20.0).expect("a line");
        assert!((lie.held[0] + 6.0).abs() < 1e-9 && (lie.held[1] - HELD_AT).abs() < 1e-9);
        assert!((lie.lift - (-0.4_f64 / 6.0).atan()).abs() < 1e-9);
        let (c, s) = (19.0_f64.to_radians().cos(), 19.0_f64.to_radians().sin());
        let along = 14.0 - 2.72 / 2.0 - BEYOND_AXLE;
        let point = [along * c + POINT_AT * s, -along * s + POINT_AT * c];
        assert!((lie.point[0] - point[0]).abs() < 1e-9 && (lie.point[1] - point[1]).abs() < 1e-9);
        let askew = 19.0_f64.to_radians() - ((GUARD_AT - point[1]) / point[0]).atan();
        assert!((lie.askew - askew.abs()).abs() < 1e-9 && lie.askew.to_degrees() < 5.0, "{lie:?}");
    }

    /// From below the slope the line rises: it lifts what holds it.
    #[test]
    fn a_line_to_a_vehicle_higher_up_lifts_its_anchor() {
        let course = read_text(QUARRY).expect("the example is right");
        let ramp = course.slopes.iter().find(|slope| slope.id == "ramp").expect("a ramp");
        let lie = Lie::of(ramp, &course.vehicles[0], Direction::Down, 14.0, 20.0).expect("a line");
        assert!(
            lie.guard.is_none() && lie.lift.to_degrees() > 8.0 && lie.lift.to_degrees() < 19.0,
            "{lie:?}"
        );
    }
}
