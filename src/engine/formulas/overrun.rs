//! Engine braking: how hard an engine is to turn, and what that is worth at the wheels.

use crate::formula::Algebra;

/// Motoring pressure of a petrol engine, Pa: engine speed (turns/s), pressure drop over the shut
/// throttle (Pa).
///
/// Source: Heywood, Internal Combustion Engine Fundamentals, ch. 13: 0.97 + 0.15 (N/1000) +
/// 0.05 (N/1000)² bar with the throttle open, four cylinders, 0.85 to 2.0 L (range from memory);
/// the throttle's own part is judgement, 0.5 to 0.75 bar.
pub fn petrol_pressure<A: Algebra>(spin: A, throttle: A) -> A {
    let thousands = A::num(0.06) * spin;
    A::num(1e5) * (A::num(0.97) + A::num(0.15) * thousands.clone() + A::num(0.05) * thousands.squared())
        + throttle
}

/// Mean piston speed, m/s: stroke (m), engine speed (turns/s).
pub fn piston_speed<A: Algebra>(stroke: A, spin: A) -> A {
    A::num(2.0) * stroke * spin
}

/// Motoring pressure of a diesel engine, Pa: constant of its combustion chamber (75 kPa direct
/// injection, 110 large and 144 small swirl chamber), engine speed (turns/s), mean piston speed (m/s).
///
/// Source: Heywood, ch. 13 (from memory): C + 48 (N/1000) + 0.4 Sp² kPa. A diesel has no throttle.
pub fn diesel_pressure<A: Algebra>(chamber: A, spin: A, piston_speed: A) -> A {
    chamber + A::num(48_000.0) * (A::num(0.06) * spin) + A::num(400.0) * piston_speed.squared()
}

/// Motoring pressure, Pa, by the second published fit: constant (Pa), coefficient of the mean
/// piston speed squared (Pa·s²/m²), mean piston speed (m/s).
///
/// Source: D1, starting values of the fuel-consumption fit:
/// diesel 1.55291 + 0.0076 Sp², petrol 2.39882 + 0.00286 Sp², turbocharged petrol
/// 2.14063 + 0.0025 Sp² bar, warm engine.
pub fn fleet_pressure<A: Algebra>(constant: A, coefficient: A, piston_speed: A) -> A {
    constant + coefficient * piston_speed.squared()
}

/// Torque to turn a four-stroke engine, N·m: mean effective pressure (Pa), displacement (m³).
pub fn motoring_torque<A: Algebra>(pressure: A, displacement: A) -> A {
    pressure * displacement / (A::num(4.0) * A::pi())
}

/// Power to turn an engine, W: torque (N·m), speed (turns/s).
pub fn shaft_power<A: Algebra>(torque: A, spin: A) -> A {
    A::num(2.0) * A::pi() * torque * spin
}

/// Retarding force at the tyres, N: engine torque (N·m), overall ratio, efficiency of the
/// driveline, rolling radius (m). On overrun the losses help, so the efficiency divides.
pub fn engine_braking_force<A: Algebra>(torque: A, ratio: A, efficiency: A, radius: A) -> A {
    torque * ratio / (efficiency * radius)
}

/// Engine torque, N·m, that holds a retarding force (N) at the tyres.
pub fn holding_torque<A: Algebra>(force: A, ratio: A, efficiency: A, radius: A) -> A {
    force * efficiency * radius / ratio
}

/// Slope, rad, that a retarding force holds: the force over the weight, and the coefficient of
/// rolling resistance. Air left out. None is steep enough when the first reaches √(1 + f²).
pub fn held_angle<A: Algebra>(force_over_weight: A, rolling: A) -> A {
    let sine = force_over_weight / (A::num(1.0) + rolling.clone().squared()).sqrt();
    (sine.clone() / (A::num(1.0) - sine.squared()).sqrt()).atan() + rolling.atan()
}

/// Torque a torque converter's pump takes at stall, N·m, at a pump speed (turns/s): its capacity
/// factor in rpm for the root of a lb·ft. The definition of the factor.
pub fn stall_torque<A: Algebra>(spin: A, capacity: A) -> A {
    A::num(1.355_817_948) * (A::num(60.0) * spin / capacity).squared()
}
