//! What the ground gives, at small slip, sliding, and sideways.

use crate::formula::Algebra;

/// Steepest slope, rad, on which this friction holds a vehicle: its peak for wheels held at small
/// slip, its sliding value for locked ones.
pub fn friction_limit_angle<A: Algebra>(friction: A) -> A {
    friction.atan()
}

/// Greatest force along the ground, N, from friction and the force on the ground (N).
pub fn grip_force<A: Algebra>(friction: A, normal: A) -> A {
    friction * normal
}

/// Part of full grip in use at a brush tyre's relative slip z from 0 to 1.
///
/// Source: Pacejka, Tyre and Vehicle Dynamics, ch. 3, brush model with parabolic pressure (from
/// memory; agrees with numerical integration over the contact patch).
pub fn brush_share<A: Algebra>(z: A) -> A {
    A::num(3.0) * z.clone() - A::num(3.0) * z.clone().squared() + z.powi(3)
}

/// Slip at which a brush tyre slides whole: friction, load (N), stiffness as force a unit of slip (N).
pub fn brush_full_slide<A: Algebra>(friction: A, normal: A, stiffness: A) -> A {
    A::num(3.0) * friction * normal / stiffness
}

/// How fast the tread slides over the ground, over the vehicle's speed: wheel speed over ground
/// speed k, steer angle (rad).
pub fn slide_rate<A: Algebra>(k: A, steer: A) -> A {
    (A::num(1.0) - A::num(2.0) * k.clone() * steer.cos() + k.squared()).sqrt()
}

/// Sideways part of the friction of a sliding wheel: wheel speed over ground speed k, steer angle
/// (rad). Friction opposes the sliding of the tread, so a locked wheel (k = 0) has none at all.
///
/// Exact for dry friction with the whole patch sliding; the direction of the resultant-slip model
/// (Burckhardt, in Kiencke & Nielsen, Automotive Control Systems; from memory). Not at k = 1 with
/// no steer, where nothing slides.
pub fn sliding_sideways<A: Algebra>(k: A, steer: A) -> A {
    k.clone() * steer.clone().sin() / slide_rate(k, steer)
}

/// Retarding part of the friction of a sliding wheel, same symbols and validity.
pub fn sliding_retarding<A: Algebra>(k: A, steer: A) -> A {
    (A::num(1.0) - k.clone() * steer.clone().cos()) / slide_rate(k, steer)
}

/// Friction at a slip, from a published set of three: c1 (1 − e^(−c2 s)) − c3 s.
///
/// Source: Burckhardt 1993, in Kiencke & Nielsen. Paved, snowy and icy roads only; no set is
/// published for gravel, mud, sand or grass.
pub fn burckhardt<A: Algebra>(c1: A, c2: A, c3: A, slip: A) -> A {
    c1 * (A::num(1.0) - (-(c2 * slip.clone())).exp()) - c3 * slip
}

/// Slip of the peak of such a set; undefined when c3 is 0 (ice).
pub fn burckhardt_peak_slip<A: Algebra>(c1: A, c2: A, c3: A) -> A {
    (c1 * c2.clone() / c3).ln() / c2
}

/// Part of the friction a cross slope takes to keep a vehicle from sliding sideways: slope angle
/// (rad), heading off the fall line (rad), friction. At 1 it slides away at any wheel speed.
pub fn side_demand<A: Algebra>(slope: A, heading: A, friction: A) -> A {
    slope.tan() * heading.sin() / friction
}

/// Sideways drift for each unit of forward speed of a sliding vehicle: wheel speed over ground
/// speed k, part of the friction the cross slope takes (under 1).
pub fn sliding_drift<A: Algebra>(k: A, demand: A) -> A {
    (A::num(1.0) - k) * demand.clone() / (A::num(1.0) - demand.squared()).sqrt()
}

/// Distance down the slope, m, of a locked vehicle that started straight across it: speed (m/s),
/// gravity (m/s²), slope angle (rad), friction over the slope's tangent m, greater than 1.
pub fn crossing_drift<A: Algebra>(speed: A, gravity: A, slope: A, m: A) -> A {
    speed.squared() / (A::num(4.0) * gravity * slope.sin() * (m.squared() - A::num(1.0)))
}

/// Distance across the slope, m, of the same slide.
pub fn crossing_travel<A: Algebra>(speed: A, gravity: A, slope: A, m: A) -> A {
    A::num(2.0) * m.clone() * speed.squared()
        / (gravity * slope.sin() * (A::num(4.0) * m.squared() - A::num(1.0)))
}

/// Time, s, of the same slide.
pub fn crossing_time<A: Algebra>(speed: A, gravity: A, slope: A, m: A) -> A {
    m.clone() * speed / (gravity * slope.sin() * (m.squared() - A::num(1.0)))
}

/// Friction of a locked front axle for the whole vehicle: the other axle rolls. Friction,
/// centre of mass to rear axle (m), wheelbase (m), centre height (m). The braked axle gains load.
pub fn front_only_friction<A: Algebra>(friction: A, to_rear: A, wheelbase: A, height: A) -> A {
    friction.clone() * to_rear / (wheelbase - friction * height)
}

/// Friction of a locked rear axle for the whole vehicle; the braked axle loses load.
pub fn rear_only_friction<A: Algebra>(friction: A, to_front: A, wheelbase: A, height: A) -> A {
    friction.clone() * to_front / (wheelbase + friction * height)
}
