//! How much of the grip a wheel uses at how much slip.

use crate::engine::formulas::grip;

/// Slip stiffness of a wheel on firm ground: retarding force over load for each unit of slip.
/// Judgement within 8 to 15; no off-road measurement is known.
pub const FIRM_STIFFNESS: f64 = 10.0;

/// Slip stiffness on loose ground, judgement.
pub const LOOSE_STIFFNESS: f64 = 5.0;

/// Friction against slip: a brush tyre up to its peak, then straight to the sliding value at lock.
///
/// For ground without a published set the shape follows from three numbers: the slope at no slip,
/// the peak, and the sliding value, which on loose ground may exceed the peak.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlipCurve {
    /// Best friction at small slip.
    pub peak: f64,
    /// Friction of a locked wheel.
    pub sliding: f64,
    /// Rise of friction with slip at no slip.
    pub stiffness: f64,
}

impl SlipCurve {
    /// Slip at which the peak is reached.
    pub fn peak_slip(&self) -> f64 {
        grip::brush_full_slide(self.peak, 1.0, self.stiffness)
    }

    /// Friction at a slip from 0 to 1.
    pub fn friction(&self, slip: f64) -> f64 {
        let peak_slip = self.peak_slip();
        if slip <= peak_slip {
            return self.peak * grip::brush_share(slip / peak_slip);
        }
        self.peak + (self.sliding - self.peak) * ((slip - peak_slip) / (1.0 - peak_slip)).min(1.0)
    }

    /// Slip at which a turning wheel gives this friction; none beyond the peak.
    pub fn slip_for(&self, friction: f64) -> Option<f64> {
        let share = friction / self.peak;
        if !(0.0..=1.0).contains(&share) {
            return None;
        }
        Some(brush_slip(share) * self.peak_slip())
    }

    /// The curve left for retarding when the ground's side tilt already takes part of the grip.
    ///
    /// The friction circle, as the envelope of what a turning wheel can have; never for steering.
    #[must_use]
    pub fn beside(&self, side: f64) -> Self {
        let left = |friction: f64| libm::sqrt((friction * friction - side * side).max(0.0));
        Self { peak: left(self.peak).max(1e-9), sliding: left(self.sliding), stiffness: self.stiffness }
    }
}

/// Share above which the cube root is taken: towards full slide Newton's method tires.
const NEARLY_ALL: f64 = 0.9;

/// Relative slip z of a brush tyre whose share of full grip is 1 − (1 − z)³.
fn brush_slip(share: f64) -> f64 {
    if share > NEARLY_ALL {
        return 1.0 - libm::cbrt(1.0 - share);
    }
    let mut z = brush_guess(share);
    for _ in 0..10 {
        let step = brush_step(z, share);
        z += step;
        if step.abs() <= 1e-15 * z {
            break;
        }
    }
    z
}

/// The first terms of the series of [`brush_slip`]; exact to a part in a thousand at half the grip.
fn brush_guess(share: f64) -> f64 {
    share * (1.0 / 3.0 + share * (1.0 / 9.0 + share * (5.0 / 81.0 + share * (10.0 / 243.0))))
}

/// A step of Newton's method towards the relative slip of a share. Unlike a cube root it keeps
/// small shares exact.
fn brush_step(z: f64, share: f64) -> f64 {
    let rest = 1.0 - z;
    (share - grip::brush_share(z)) / (3.0 * rest * rest)
}

/// Slip below the peak at which a curve gives what is wanted there, as friction of its wheels.
///
/// What is wanted hardly changes with slip, so both are closed in on together. None where the
/// curve cannot give it.
pub(crate) fn meeting(curve: &SlipCurve, wanted: impl Fn(f64) -> f64) -> Option<f64> {
    let peak_slip = curve.peak_slip();
    let mut slip = 0.0;
    for round in 0..20 {
        let share = wanted(slip) / curve.peak;
        if !(0.0..=1.0).contains(&share) {
            return None;
        }
        let z = slip / peak_slip;
        let next = if share > NEARLY_ALL || z > NEARLY_ALL {
            brush_slip(share)
        } else if round == 0 {
            brush_guess(share)
        } else {
            z + brush_step(z, share)
        };
        let moved = (next - z).abs() * peak_slip;
        slip = next * peak_slip;
        if moved <= 1e-10 {
            return Some(slip);
        }
    }
    None
}

/// A published friction set of a road surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoadSet {
    /// Which surface.
    pub name: &'static str,
    /// c1, c2, c3 of [`grip::burckhardt`].
    pub set: [f64; 3],
}

/// Burckhardt's sets (1993) in Kiencke & Nielsen, Automotive Control Systems; dry and wet asphalt
/// seen in two public programs, the rest from memory. Good road tyres on good roads: check values
/// for the slip curve, not surfaces of a practice ground.
pub const ROAD_SETS: [RoadSet; 7] = [
    RoadSet { name: "dry_asphalt", set: [1.2801, 23.99, 0.52] },
    RoadSet { name: "wet_asphalt", set: [0.857, 33.822, 0.347] },
    RoadSet { name: "dry_concrete", set: [1.1973, 25.168, 0.5373] },
    RoadSet { name: "dry_cobbles", set: [1.3713, 6.4565, 0.6691] },
    RoadSet { name: "wet_cobbles", set: [0.4004, 33.708, 0.1204] },
    RoadSet { name: "snow", set: [0.1946, 94.129, 0.0646] },
    RoadSet { name: "ice", set: [0.05, 306.39, 0.0] },
];

impl RoadSet {
    /// Friction at a slip from 0 to 1.
    pub fn friction(&self, slip: f64) -> f64 {
        let [c1, c2, c3] = self.set;
        grip::burckhardt(c1, c2, c3, slip)
    }

    /// Slip of the peak; none for a set that only saturates.
    pub fn peak_slip(&self) -> Option<f64> {
        let [c1, c2, c3] = self.set;
        (c3 > 0.0).then(|| grip::burckhardt_peak_slip(c1, c2, c3))
    }
}
