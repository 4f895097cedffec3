//! Where nobody stands.

use serde::Serialize;

use crate::recovery::facts::CLEAR_LENGTHS;
use crate::recovery::rig::Rig;

/// Ground kept clear round a rig.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Zone {
    /// Distance from every loaded point and line, m.
    pub radius: f64,
    /// Whether the line is bent, so that the inside of the bend is closed as well.
    pub bight: bool,
}

impl Zone {
    /// Round a rig: one and a half times the whole rigged line, which is also more than the longest
    /// line (B19, p. 4-4).
    pub fn of(rig: &Rig) -> Self {
        let longest = rig.rigged_length;
        Self { radius: (CLEAR_LENGTHS * rig.rigged_length).max(longest), bight: rig.layout.turns() }
    }
}
