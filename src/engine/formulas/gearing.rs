//! From the engine's turns to the ground's metres.

use crate::formula::Algebra;

/// Rolling circumference of a radial tyre over its overall diameter.
///
/// Source: D1 (dynamic rolling coefficient 3.05/3.14) and
/// truck rim table (3.05 for 15° rims); agrees within 0.5 % with tyre makers' turns per mile.
pub const RADIAL_FACTOR: f64 = 3.05;

/// Rolling circumference of a multipurpose diagonal tyre over its overall diameter.
///
/// Source: D2, rim table.
pub const DIAGONAL_FACTOR: f64 = 2.94;

/// Overall ratio: engine turns for one wheel turn.
///
/// The hub is 1 where there is no hub reduction. Multiply unrounded ratios: two-decimal ratios of
/// one published gear table miss its own total by 0.2 %.
pub fn overall_ratio<A: Algebra>(gearbox: A, transfer: A, axle: A, hub: A) -> A {
    gearbox * transfer * axle * hub
}

/// Overall diameter of a metric tyre, m, from section width (m), height over width (0.70 for
/// `/70`) and rim diameter (m). The definition of the marking; real tyres within 1.6 %.
pub fn tyre_diameter<A: Algebra>(width: A, aspect: A, rim: A) -> A {
    A::num(2.0) * width * aspect + rim
}

/// Rolling circumference, m, from the factor of the tyre's build and its overall diameter (m).
pub fn circumference<A: Algebra>(factor: A, diameter: A) -> A {
    factor * diameter
}

/// Rolling radius, m, from the rolling circumference (m): the radius that turns torque into force.
pub fn rolling_radius<A: Algebra>(circumference: A) -> A {
    circumference / (A::num(2.0) * A::pi())
}

/// Rolling radius of an unbelted tyre, m, from its free and its loaded radius (m): a third of the
/// deflection is lost. An upper bound of what airing down does to a belted one.
pub fn unbelted_radius<A: Algebra>(free: A, loaded: A) -> A {
    (A::num(2.0) * free + loaded) / A::num(3.0)
}

/// Ground speed, m/s, of wheels that do not slip: circumference (m), engine speed (turns/s),
/// overall ratio. At idle speed this is the creep speed.
pub fn creep_speed<A: Algebra>(circumference: A, spin: A, ratio: A) -> A {
    circumference * spin / ratio
}

/// Engine speed, turns/s, at a ground speed (m/s) of wheels that do not slip.
pub fn engine_spin<A: Algebra>(speed: A, ratio: A, circumference: A) -> A {
    speed * ratio / circumference
}

/// Mass the vehicle seems to have when its speed changes in gear, kg: its mass, its wheels'
/// rotating inertia as mass, and the engine's inertia (kg·m²) seen through the gearing.
///
/// In first low the last term can exceed the vehicle's own mass.
pub fn equivalent_mass<A: Algebra>(mass: A, wheels: A, engine_inertia: A, ratio: A, radius: A) -> A {
    mass + wheels + engine_inertia * (ratio / radius).squared()
}
