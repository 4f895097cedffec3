//! Which axle carries what, and when a vehicle tips.

use crate::formula::Algebra;

/// Load of the front axle nose-down, N: force on the ground (N), centre of mass to rear axle (m),
/// centre height (m), braking force (N), wheelbase (m).
///
/// The slope enters only through the force on the ground and the braking force: a vehicle that
/// rolls free shifts no load, however steep.
pub fn front_load<A: Algebra>(normal: A, to_rear: A, height: A, braking: A, wheelbase: A) -> A {
    (normal * to_rear + height * braking) / wheelbase
}

/// Load of the rear axle nose-down, N; same symbols with the centre of mass to the front axle (m).
pub fn rear_load<A: Algebra>(normal: A, to_front: A, height: A, braking: A, wheelbase: A) -> A {
    (normal * to_front - height * braking) / wheelbase
}

/// Front axle's share while all wheels slide: the slope does not enter.
pub fn sliding_front_share<A: Algebra>(to_rear: A, height: A, wheelbase: A, friction: A) -> A {
    (to_rear + friction * height) / wheelbase
}

/// Static stability factor: half the track over the centre's height.
///
/// Source: the definition in E1.
pub fn stability_factor<A: Algebra>(track: A, height: A) -> A {
    track / (A::num(2.0) * height)
}

/// Side tilt, rad, at which a rigid vehicle standing still tips: theoretical, never a target.
pub fn side_tip_angle<A: Algebra>(track: A, height: A) -> A {
    stability_factor(track, height).atan()
}

/// Slope, rad, at which the rear axle of a rigid vehicle held nose-down lifts: centre of mass to
/// front axle (m), its height (m). Theoretical.
pub fn nose_tip_angle<A: Algebra>(to_front: A, height: A) -> A {
    (to_front / height).atan()
}

/// Height of the centre of mass with a load on the roof, m: masses (kg), heights (m).
pub fn loaded_height<A: Algebra>(mass: A, height: A, roof_mass: A, roof_height: A) -> A {
    (mass.clone() * height + roof_mass.clone() * roof_height) / (mass + roof_mass)
}

/// Extra roll, rad, from a bump or rut of this height (m) under one side, over the track (m).
pub fn bump_roll<A: Algebra>(bump: A, track: A) -> A {
    (bump.clone() / (track.squared() - bump.squared()).sqrt()).atan()
}

/// Roll inertia about the lower wheels, kg·m²: about the centre of mass (kg·m²), mass (kg), track (m), height (m).
pub fn trip_inertia<A: Algebra>(roll_inertia: A, mass: A, track: A, height: A) -> A {
    roll_inertia + mass * (height.squared() + (track / A::num(2.0)).squared())
}

/// Sideways speed, m/s, at which a rigid vehicle trips over its lower wheels on level ground:
/// inertia about them (kg·m²), mass (kg), track (m), height (m), gravity (m/s²).
///
/// From angular momentum, then energy; the US road-safety administration used this form (from
/// memory). On a cross slope the speed is lower.
pub fn tripping_speed<A: Algebra>(inertia: A, mass: A, track: A, height: A, gravity: A) -> A {
    let arm = (height.clone().squared() + (track / A::num(2.0)).squared()).sqrt();
    (A::num(2.0) * gravity * inertia * (arm - height.clone()) / (mass * height.squared())).sqrt()
}

/// Tilt threshold with suspension roll over the rigid one: roll for each g of side pull (rad),
/// roll-axis height over centre height.
///
/// Source: Gillespie, Fundamentals of Vehicle Dynamics, rollover chapter (from memory).
pub fn suspension_factor<A: Algebra>(roll_rate: A, axis_share: A) -> A {
    A::num(1.0) / (A::num(1.0) + roll_rate * (A::num(1.0) - axis_share))
}

/// Height of the centre of mass by axle lift, m: loaded wheel radius (m), wheelbase (m), mass
/// gained by the level axle (kg), vehicle mass (kg), lift angle (rad).
///
/// Source: the method of ISO 10392, form re-derived.
pub fn lifted_axle_height<A: Algebra>(radius: A, wheelbase: A, gained: A, mass: A, angle: A) -> A {
    radius + wheelbase * gained / (mass * angle.tan())
}
