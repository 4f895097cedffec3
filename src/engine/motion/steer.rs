//! What steering is left to a wheel that turns slower than the ground passes.

use crate::engine::formulas::grip;

/// Steer angle the pages quote steering shares at, rad: 15°, an easy correction.
pub const REFERENCE_STEER: f64 = 15.0 * std::f64::consts::PI / 180.0;

/// Sideways share of full grip of a wholly sliding wheel; 0 for a locked one at any steer angle.
pub fn sliding_share(k: f64, steer: f64) -> f64 {
    if k <= 0.0 || grip::slide_rate(k, steer) <= 0.0 { 0.0 } else { grip::sliding_sideways(k, steer) }
}

/// Retarding share of full grip of a wholly sliding wheel.
pub fn sliding_retarding_share(k: f64, steer: f64) -> f64 {
    if grip::slide_rate(k, steer) <= 0.0 { 0.0 } else { grip::sliding_retarding(k, steer) }
}

/// Part of full grip in use by a wheel whose patch partly grips: wheel over ground speed, steer
/// angle (rad), brush parameter (stiffness over three times the friction).
pub fn brush_use(k: f64, steer: f64, parameter: f64) -> f64 {
    if k <= 0.0 {
        return 1.0;
    }
    let z = parameter * grip::slide_rate(k, steer) / k;
    if z >= 1.0 { 1.0 } else { grip::brush_share(z) }
}

/// Sideways share of full grip of a turning wheel, grip near k = 1 included.
pub fn share(k: f64, steer: f64, parameter: f64) -> f64 {
    sliding_share(k, steer) * brush_use(k, steer, parameter)
}
