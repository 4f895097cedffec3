//! The two axles, and what is asked of them.

use serde::Serialize;

/// Which axle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Axle {
    /// The front axle: sliding, it goes straight on.
    Front,
    /// The rear axle: sliding, the tail swings.
    Rear,
}

impl Axle {
    /// Its name beside a brake or a load.
    pub fn word(self) -> &'static str {
        if self == Self::Front { "front" } else { "rear" }
    }
}

impl std::fmt::Display for Axle {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} axle", self.word())
    }
}

/// Loads and retarding forces of the axles where their grip is nearest to its limit, N.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct AxleDemand {
    /// Load of the front axle.
    pub front_load: f64,
    /// Load of the rear axle.
    pub rear_load: f64,
    /// Retarding force wanted of the front axle.
    pub front_demand: f64,
    /// Retarding force wanted of the rear axle.
    pub rear_demand: f64,
    /// The most the front axle can have there.
    pub front_grip: f64,
    /// The most the rear axle can have there.
    pub rear_grip: f64,
}

impl AxleDemand {
    /// The axle nearer to its own limit and the part of its grip it uses; none where nothing is wanted.
    pub fn nearer(&self) -> Option<(Axle, f64)> {
        let part = |demand: f64, grip: f64| match (demand > 0.0, grip > 0.0) {
            (false, _) => 0.0,
            (true, false) => f64::INFINITY,
            (true, true) => demand / grip,
        };
        let front = part(self.front_demand, self.front_grip);
        let rear = part(self.rear_demand, self.rear_grip);
        let nearer = if rear >= front { (Axle::Rear, rear) } else { (Axle::Front, front) };
        (nearer.1 > 0.0).then_some(nearer)
    }
}
