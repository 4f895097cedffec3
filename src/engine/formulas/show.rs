//! What a demonstration is sized with, and what carries over from a scale model.

use crate::formula::Algebra;

/// Speed, m/s, from which a slide at this deceleration (m/s²) is this long (m).
pub fn slide_speed<A: Algebra>(deceleration: A, distance: A) -> A {
    (A::num(2.0) * deceleration * distance).sqrt()
}

/// Speed, m/s, of a model that is to full size as 1 is to `scale`, for a full-size speed (m/s): equal
/// Froude numbers.
pub fn model_speed<A: Algebra>(speed: A, scale: A) -> A {
    speed / scale.sqrt()
}

/// Energy, J, of a model of the same mean density for a full-size energy (J).
pub fn model_energy<A: Algebra>(energy: A, scale: A) -> A {
    energy / scale.powi(4)
}

/// Holding force over weight: engine drag torque (N·m), overall ratio, rolling radius (m), mass (kg),
/// gravity (m/s²). Losses are not counted.
pub fn holding_share<A: Algebra>(torque: A, ratio: A, radius: A, mass: A, gravity: A) -> A {
    torque * ratio / (radius * mass * gravity)
}

/// What a slope asks of the gear for each unit of weight: slope angle (rad), rolling resistance coefficient.
/// Air is not counted.
pub fn asked_share<A: Algebra>(slope: A, rolling: A) -> A {
    slope.clone().sin() - rolling * slope.cos()
}

/// What a gear holds over what the slope asks, both for each unit of weight.
pub fn held_over<A: Algebra>(held: A, asked: A) -> A {
    held / asked
}

/// Time, s, from peg to peg (m apart) at a speed (m/s).
pub fn peg_time<A: Algebra>(distance: A, speed: A) -> A {
    distance / speed
}
