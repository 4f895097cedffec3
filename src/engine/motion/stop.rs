//! The stop beyond the foot: reaction, then braking that keeps the wheels turning.

use crate::engine::chassis::body::{Body, Leg};
use crate::engine::formulas::slope as slopes;

/// How much of a run-out a stop from the foot takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// Distance until it stands, reaction included, m; none where it never would.
    pub distance: Option<f64>,
    /// The run-out's length, m.
    pub length: f64,
    /// Its rise as a tangent; 0 where it is level or falls.
    pub rise: f64,
    /// Friction of the whole vehicle that holds it there.
    pub grip: f64,
}

impl Stop {
    /// From a speed at the foot (m/s), with a reaction time (s) in which the drive may be lost, and the
    /// friction of the whole vehicle with every wheel turning; `holding` is what it stands with.
    pub(crate) fn of(
        body: &Body,
        run_out: &Leg,
        speed: f64,
        reaction: f64,
        braking: f64,
        holding: f64,
    ) -> Self {
        // Until the brakes bite nothing is counted on to slow it; on a falling run-out it gains speed.
        let gains = body.gravity * (run_out.down() - run_out.footing.rolling * run_out.press()).max(0.0);
        let rolled = speed * reaction + 0.5 * gains * reaction * reaction;
        let then = speed + gains * reaction;
        let slowing = slopes::locked_deceleration(body.gravity, braking, run_out.pitch);
        Self {
            distance: (slowing > 0.0).then(|| rolled + slopes::stop_distance(then, slowing)),
            length: run_out.length,
            rise: libm::tan((-run_out.pitch).max(0.0)),
            grip: holding,
        }
    }
}
