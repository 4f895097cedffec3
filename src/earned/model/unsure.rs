//! How sure everything is that a run depends on and nobody measures with it.

use crate::course::{Band, Course, Engine, MeasuredRun, Seen, Slope, Vehicle};

/// Standard uncertainty of a mass on the day, as a part of it, where the course gives it: common practice, no source.
const MASS: f64 = 0.02;
/// The same where it was estimated from the class: judgement.
const MASS_GUESSED: f64 = 0.05;
/// The same of the driveline's efficiency from one range of gears to the other: judgement.
const LOSSES: f64 = 0.03;
/// The same of what a descent in gear takes from run to run (line, bumps, foot), in time: judgement.
const DESCENT: f64 = 0.02;
/// The same of engine speed at the foot: judgement.
const AT_FOOT: f64 = 0.01;
/// The same of a slide's length from place to place: common practice, no source.
const SLIDE: f64 = 0.05;
/// The same of a pull that swings: common practice, no source.
const PULL: f64 = 0.03;
/// The same of what brakes warm by, from wheel to wheel and foot to foot: judgement.
const HEATED: f64 = 0.08;
/// The same of a tyre's turn, as it is led: judgement.
const TURN: f64 = 0.001;
/// Standard uncertainty of a peg's or a mark's place on the ground, m: common practice, no source.
const PEG: f64 = 0.05;
/// Part by which a warm engine's idle differs from its figure at most: from memory.
const IDLE: f64 = 0.06;
/// What a sighting clinometer is askew by at most, rad (E17: ±1/3°).
const ASKEW: f64 = std::f64::consts::PI / 540.0;
const ROOT_OF_3: f64 = 1.732_050_807_568_877_2;

/// Standard uncertainty of what is read that is the run's own, where this is expected, SI: times, speeds and slides in
/// parts, others SI.
pub(super) fn own(run: &MeasuredRun, expected: f64) -> f64 {
    let stated = |reading: f64| run.sure.map_or_else(|| run.meter.own_at(reading), |half| half / 2.0);
    let [a, b, c] = match &run.seen {
        Seen::Timed { between, .. } => {
            [stated(expected) / expected, std::f64::consts::SQRT_2 * PEG / between.si(), DESCENT]
        }
        Seen::Spun { .. } => [stated(expected) / expected, AT_FOOT, 0.0],
        // Twice the part of the speed: the length goes with its square.
        Seen::Slid { speed, .. } | Seen::Coasted { speed, .. } => {
            [2.0 * stated(speed.si()) / speed.si(), std::f64::consts::SQRT_2 * PEG / expected, SLIDE]
        }
        Seen::Pulled { force, .. } => [stated(force.si()), PULL * force.si(), 0.0],
        Seen::Rolled { length, .. } => {
            [std::f64::consts::SQRT_2 * stated(length.si()), TURN * length.si(), 0.0]
        }
        // What it read before is a reading too.
        Seen::Heated { heat, .. } => [
            std::f64::consts::SQRT_2 * stated(expected),
            HEATED * (expected - heat.before.si()).max(0.0),
            0.0,
        ],
    };
    libm::sqrt(a * a + b * b + c * c)
}

/// The same that all readings of the instrument share that day.
pub(super) fn shared(run: &MeasuredRun, expected: f64) -> f64 {
    let of = |reading: f64| run.meter.shared_at(reading);
    match &run.seen {
        Seen::Timed { .. } | Seen::Spun { .. } => of(expected) / expected,
        Seen::Slid { speed, .. } | Seen::Coasted { speed, .. } => 2.0 * of(speed.si()) / speed.si(),
        Seen::Pulled { force, .. } => of(force.si()),
        Seen::Rolled { length, .. } => of(length.si()),
        Seen::Heated { .. } => of(expected),
    }
}

/// Standard uncertainty of a surveyed gradient, rad: the instrument's index error and its step.
pub(super) fn gradient_unsure(course: &Course, slope: &Slope) -> f64 {
    let reads_to = slope.survey.as_ref().and_then(|survey| survey.reads_to);
    let step = reads_to.unwrap_or(course.limits.tolerances.gradient).si();
    libm::hypot(ASKEW / ROOT_OF_3, step / libm::sqrt(12.0))
}

/// Standard uncertainty of a vehicle's mass, as a part of it.
pub(in crate::earned) fn mass_part(vehicle: &Vehicle) -> f64 {
    if vehicle.is_guessed("mass") { MASS_GUESSED } else { MASS }
}

/// Standard uncertainty of a rolling circumference, as a part of it: measured, by its marking, estimated. Judgement,
/// after factors of published tables that differ by 2 %.
pub(in crate::earned) fn tyre_part(vehicle: &Vehicle) -> f64 {
    match (vehicle.tyre.measured_circumference, vehicle.tyre.diameter.estimated) {
        (Some(_), _) => 0.005,
        (None, false) => 0.015,
        (None, true) => 0.03,
    }
}

/// Idle speed, turns/s: the course's own range where it is wider than what any engine does.
pub(super) fn idle_band(engine: &Engine) -> Band {
    let idle = engine.idle.si();
    let (low, high) = engine.idle_range;
    Band::new(low.si().min(idle * (1.0 - IDLE)), idle, high.si().max(idle * (1.0 + IDLE)))
}

/// Efficiency at a score: no driveline gives more than it gets.
pub(super) fn losses(efficiency: f64, score: f64) -> f64 {
    (efficiency * (1.0 + LOSSES * score)).clamp(0.3, 1.0)
}
