//! What a slope asks of a vehicle, and what a locked slide does on it.

use crate::formula::Algebra;

/// Slope angle, rad, of a grade in per cent: height over plan distance.
pub fn angle_from_percent<A: Algebra>(percent: A) -> A {
    (percent / A::num(100.0)).atan()
}

/// Grade in per cent of a slope angle (rad).
pub fn percent_from_angle<A: Algebra>(angle: A) -> A {
    A::num(100.0) * angle.tan()
}

/// Slope angle, rad, of "1 in n", n plan distances to one of height. Older road signs measured n
/// along the road; under 10° the difference is negligible.
pub fn angle_from_one_in<A: Algebra>(n: A) -> A {
    (A::num(1.0) / n).atan()
}

/// Height lost, m, over a length along the ground (m) at a slope angle (rad).
pub fn height<A: Algebra>(length: A, angle: A) -> A {
    length * angle.sin()
}

/// Part of the weight that pulls down the slope, N: mass (kg), gravity (m/s²), slope angle (rad).
pub fn force_down<A: Algebra>(mass: A, gravity: A, angle: A) -> A {
    mass * gravity * angle.sin()
}

/// Part of the weight that presses on the ground, N.
pub fn normal_force<A: Algebra>(mass: A, gravity: A, angle: A) -> A {
    mass * gravity * angle.cos()
}

/// The same on a line whose ground tilts to the side too: pitch and side tilt (rad).
pub fn normal_on_tilt<A: Algebra>(mass: A, gravity: A, pitch: A, roll: A) -> A {
    mass * gravity * pitch.cos() * roll.cos()
}

/// Rolling resistance, N, from its coefficient and the force on the ground (N). On a descent it helps.
pub fn rolling_force<A: Algebra>(coefficient: A, normal: A) -> A {
    coefficient * normal
}

/// Air drag, N: air density (kg/m³), drag area (m²), speed (m/s). Below 1 N at creeping speed.
pub fn air_force<A: Algebra>(density: A, drag_area: A, speed: A) -> A {
    A::num(0.5) * density * drag_area * speed.squared()
}

/// Energy of height, J.
pub fn potential_energy<A: Algebra>(mass: A, gravity: A, height: A) -> A {
    mass * gravity * height
}

/// Energy of motion, J.
pub fn kinetic_energy<A: Algebra>(mass: A, speed: A) -> A {
    A::num(0.5) * mass * speed.squared()
}

/// Retardation of a vehicle with all wheels locked, m/s²; negative when it gains speed.
///
/// Holds for constant sliding friction, no ploughing, a uniform slope, straight down.
pub fn locked_deceleration<A: Algebra>(gravity: A, friction: A, angle: A) -> A {
    gravity * (friction * angle.clone().cos() - angle.sin())
}

/// Distance along the ground, m, in which a speed (m/s) is lost at a constant retardation (m/s²).
/// Only where the retardation is positive: otherwise the vehicle never stops.
pub fn stop_distance<A: Algebra>(speed: A, deceleration: A) -> A {
    speed.squared() / (A::num(2.0) * deceleration)
}

/// Time, s, in which a speed (m/s) is lost at a constant retardation (m/s²).
pub fn stop_time<A: Algebra>(speed: A, deceleration: A) -> A {
    speed / deceleration
}

/// Speed, m/s, after a distance (m) at a constant retardation (m/s², negative when gaining speed).
pub fn speed_after<A: Algebra>(speed: A, deceleration: A, distance: A) -> A {
    (speed.squared() - A::num(2.0) * deceleration * distance).sqrt()
}

/// Plan distance, m, of a stop: speed (m/s), gravity (m/s²), friction (or retardation over g) and
/// the grade as a tangent, downhill positive.
///
/// The highway engineers' form (B6, stopping sight distance on grades, without the driver's
/// reaction). Equal to the distance along the ground times the cosine of the slope, exactly.
pub fn plan_stop_distance<A: Algebra>(speed: A, gravity: A, friction: A, grade: A) -> A {
    speed.squared() / (A::num(2.0) * gravity * (friction - grade))
}

/// True pitch of the vehicle's long axis, rad: slope angle (rad) and heading off the fall line
/// (rad, in the slope's plane). sin(pitch) = sin(slope) · cos(heading).
pub fn pitch<A: Algebra>(slope: A, heading: A) -> A {
    let sine = slope.sin() * heading.cos();
    (sine.clone() / (A::num(1.0) - sine.squared()).sqrt()).atan()
}

/// Roll about the vehicle's long axis, rad, as a pendulum gauge shows it.
pub fn roll<A: Algebra>(slope: A, heading: A) -> A {
    (slope.tan() * heading.sin()).atan()
}

/// Tilt of the cross axis, rad, as a digital level laid across the floor shows it.
pub fn cross_axis_tilt<A: Algebra>(slope: A, heading: A) -> A {
    let sine = slope.sin() * heading.sin();
    (sine.clone() / (A::num(1.0) - sine.squared()).sqrt()).atan()
}
