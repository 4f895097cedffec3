//! What hangs lowest under a vehicle, as it stands today.

use crate::quantity::Length;

/// The lowest points of a vehicle on level ground, with its load, at today's pressure.
#[derive(Clone, Debug, PartialEq)]
pub struct Underside {
    /// From the ground to the middle of a wheel's hub: the tyre as it is pressed flat today.
    pub hub: Length,
    /// Ahead of the front axle: bumper, winch, plate. Distances lead forwards from the middle of that axle.
    pub nose: Vec<LowPoint>,
    /// Between the axles. Distances lead backwards from the middle of the front axle.
    pub belly: Vec<LowPoint>,
    /// Behind the rear axle: tow bar, exhaust, spare wheel. Distances lead backwards from the middle of that axle.
    pub tail: Vec<LowPoint>,
}

/// A place under a vehicle that may touch the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LowPoint {
    /// Distance from the middle of its axle; none where a belly is as low from axle to axle.
    pub from_axle: Option<Length>,
    /// Height above level ground.
    pub height: Length,
}
