//! The vehicle and what turns with its wheels: two masses that slip keeps at two speeds.

use crate::engine::formulas::slope::kinetic_energy;

/// A vehicle in gear, as masses at the ground, kg.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Moving {
    /// The vehicle, which moves at the speed of the ground.
    pub(crate) body: f64,
    /// Wheels, driveline and engine, which turn at the speed of the rims.
    pub(crate) turning: f64,
    /// Speed of the rims with the engine at idle, m/s.
    pub(crate) creep: f64,
}

impl Moving {
    /// Energy at these speeds of ground and rim, J.
    pub(crate) fn energy(self, speed: f64, rim: f64) -> f64 {
        kinetic_energy(self.body, speed) + kinetic_energy(self.turning, rim)
    }

    /// Energy of the vehicle alone, J.
    pub(crate) fn own(self, speed: f64) -> f64 {
        kinetic_energy(self.body, speed)
    }

    /// Energy of what turns with the engine at idle, J.
    pub(crate) fn idling(self) -> f64 {
        kinetic_energy(self.turning, self.creep)
    }

    /// Part of what the engine takes that the ground gives while the slip hardly changes: what turns
    /// slows with the vehicle, by a rim's part of it.
    pub(crate) fn share(self, slip: f64) -> f64 {
        self.body / (self.body + self.turning * (1.0 - slip))
    }
}

/// What is known of a motion whose slip is to be found.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Known {
    /// Ground speed, m/s.
    Speed(f64),
    /// Energy of vehicle and turning parts together, J.
    Energy(f64),
    /// Their momentum at the ground, kg·m/s: what no force between tyre and ground changes.
    Momentum(f64),
}

impl Known {
    /// Momentum at these speeds of ground and rim, m/s.
    pub(crate) fn momentum(moving: Moving, speed: f64, rim: f64) -> Self {
        Self::Momentum(moving.body * speed + moving.turning * rim)
    }

    /// Ground speed at a slip, m/s.
    pub(crate) fn speed(self, moving: Moving, slip: f64) -> f64 {
        let rim = 1.0 - slip;
        match self {
            Self::Speed(speed) => speed,
            Self::Energy(energy) => {
                libm::sqrt(2.0 * energy.max(0.0) / (moving.body + moving.turning * rim * rim))
            }
            Self::Momentum(momentum) => momentum / (moving.body + moving.turning * rim),
        }
    }

    /// Slip at which the rims turn at idle speed; 0 when they turn slower without any.
    pub(crate) fn idle_slip(self, moving: Moving) -> f64 {
        let Moving { body, turning, creep } = moving;
        let rim = match self {
            Self::Speed(speed) => creep / speed,
            Self::Energy(energy) => creep / libm::sqrt(2.0 * (energy - moving.idling()).max(1e-12) / body),
            Self::Momentum(momentum) => creep * body / (momentum - turning * creep).max(1e-12),
        };
        (1.0 - rim).max(0.0)
    }
}
