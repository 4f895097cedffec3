//! Where the energy goes, and how hot it makes the brakes.

use crate::formula::Algebra;

/// Stefan–Boltzmann constant, W/(m²·K⁴) (CODATA).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

/// Rise of a disc or drum, K, when nothing is lost: heat (J), number of them, mass of one (kg),
/// specific heat capacity (J/(kg·K)).
pub fn temperature_rise<A: Algebra>(heat: A, count: A, mass: A, capacity: A) -> A {
    heat / (count * mass * capacity)
}

/// Heat, J or W, that goes into the iron of one axle: all the braking, the axle's share, the part
/// that enters the iron rather than the lining (0.95 to 0.99 for organic linings, from memory).
pub fn axle_heat<A: Algebra>(braking: A, axle_share: A, iron_share: A) -> A {
    braking * axle_share * iron_share
}

/// Power spent between tyre and ground, W: force (N), speed (m/s), slip.
pub fn slip_power<A: Algebra>(force: A, speed: A, slip: A) -> A {
    force * speed * slip
}

/// Power that passes into the wheel, W, to brake, driveline and engine. Nothing when it is locked.
pub fn wheel_power<A: Algebra>(force: A, speed: A, slip: A) -> A {
    force * speed * (A::num(1.0) - slip)
}

/// Reynolds number of a disc: air speed (m/s), diameter (m), kinematic viscosity of air (m²/s).
pub fn reynolds<A: Algebra>(speed: A, diameter: A, viscosity: A) -> A {
    speed * diameter / viscosity
}

/// Convection coefficient of a disc in slow forced air, W/(m²·K): conductivity of air (W/(m·K)),
/// diameter (m), Reynolds number above 0 and under 2.4·10⁵.
///
/// Source: Limpert's form for a solid disc, 0.70 (k/D) Re^0.55 (from memory).
pub fn forced_convection<A: Algebra>(conductivity: A, diameter: A, reynolds: A) -> A {
    A::num(0.70) * conductivity / diameter * (A::num(0.55) * reynolds.ln()).exp()
}

/// Convection coefficient at crawling speed, W/(m²·K), between still and forced air: the cube
/// root of the sum of their cubes. An assumption: nothing is published for such speeds.
pub fn blended_convection<A: Algebra>(still: A, forced: A) -> A {
    ((still.powi(3) + forced.powi(3)).ln() / A::num(3.0)).exp()
}

/// Heat lost by convection, W: coefficient (W/(m²·K)), surface (m²), temperatures (K or °C).
pub fn convection_loss<A: Algebra>(coefficient: A, area: A, hot: A, air: A) -> A {
    coefficient * area * (hot - air)
}

/// Heat lost by radiation, W: emissivity, Stefan–Boltzmann constant, surface (m²), temperatures in kelvin.
pub fn radiation_loss<A: Algebra>(emissivity: A, constant: A, area: A, hot: A, air: A) -> A {
    emissivity * constant * area * (hot.powi(4) - air.powi(4))
}

/// Cooling surface of a plain disc, m²: outer and inner diameter, thickness (m); both faces and edges.
pub fn disc_area<A: Algebra>(outer: A, inner: A, thickness: A) -> A {
    A::pi() / A::num(2.0) * (outer.clone().squared() - inner.clone().squared())
        + A::pi() * (outer + inner) * thickness
}

/// Time constant of a disc that loses heat by convection alone, s: mass (kg), capacity (J/(kg·K)),
/// coefficient (W/(m²·K)), surface (m²).
pub fn time_constant<A: Algebra>(mass: A, capacity: A, coefficient: A, area: A) -> A {
    mass * capacity / (coefficient * area)
}

/// Temperature after a time of steady braking: start, air, steady rise over the air (K), time over
/// the time constant. Convection alone; the form of the published grade severity rating of trucks.
pub fn dragging_temperature<A: Algebra>(start: A, air: A, steady_rise: A, times: A) -> A {
    let gap = air + steady_rise - start.clone();
    start + gap * (A::num(1.0) - (-times).exp())
}

/// Time, s, to cool from one temperature to a lower one in air: time constant (s). Convection alone.
pub fn cooling_time<A: Algebra>(time_constant: A, from: A, to: A, air: A) -> A {
    time_constant * ((from - air.clone()) / (to - air)).ln()
}

/// Rise over the air, K, at the end of run n: rise of the first run (K), what of a rise is left
/// after one run and one gap (0 to 1), n. Convection alone.
pub fn repeated_rise<A: Algebra>(first: A, left: A, run: i32) -> A {
    first * (A::num(1.0) - left.clone().powi(run)) / (A::num(1.0) - left)
}
