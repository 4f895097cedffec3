//! How hard an engine is to turn: the published fits, their range, and a measured curve.

pub(in crate::engine) mod curves;
mod earned;

use crate::course::{Aspiration, DragEarned, Engine, Fuel};
use crate::engine::formulas::overrun as formula;
use crate::engine::{Case, Spread};

/// Pressure drop over a shut petrol throttle, Pa: low, likely, high. Judgement: no source read.
pub const THROTTLE: [f64; 3] = [0.50e5, 0.65e5, 0.75e5];

/// Chamber constant of a direct-injection diesel, Pa (T2, from memory).
pub const DIRECT_INJECTION: f64 = 75e3;

/// Constant (Pa) and coefficient (Pa·s²/m²) of the second published fit: diesel, petrol, turbocharged
/// petrol (D1).
pub const FLEET: [(f64, f64); 3] = [(1.552_91e5, 760.0), (2.398_82e5, 286.0), (2.140_63e5, 250.0)];

/// How far a measured curve may be off: judgement, ±10 %.
pub const MEASURED_MARGIN: f64 = 0.10;

/// One published fit of motoring pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fit {
    /// [`formula::petrol_pressure`] with this drop over the throttle, Pa.
    Petrol(f64),
    /// [`formula::diesel_pressure`] with this chamber constant, Pa.
    Diesel(f64),
    /// [`formula::fleet_pressure`] with this constant, Pa, and coefficient, Pa·s²/m².
    Fleet(f64, f64),
}

impl Fit {
    /// Motoring pressure, Pa, at a speed (turns/s) of an engine of this stroke (m).
    pub fn pressure(self, spin: f64, stroke: f64) -> f64 {
        match self {
            Self::Petrol(throttle) => formula::petrol_pressure(spin, throttle),
            Self::Diesel(chamber) => {
                formula::diesel_pressure(chamber, spin, formula::piston_speed(stroke, spin))
            }
            Self::Fleet(constant, coefficient) => {
                formula::fleet_pressure(constant, coefficient, formula::piston_speed(stroke, spin))
            }
        }
    }
}

/// The engine's motoring torque over speed.
///
/// Two families of published fits differ by more than a third at creeping speed, and published
/// drag curves of trucks scatter further. The low end is the lowest of fits and curves at each speed,
/// the high end the highest, the likely value half-way between the fits; each curve says which engines
/// it speaks for ([`crate::engine::DragCurve::left_out`]).
#[derive(Clone, Debug, PartialEq)]
pub enum EngineDrag {
    /// From the published fits.
    Fitted {
        /// The first fit at its low, likely and high end.
        first: [Fit; 3],
        /// The second fit.
        second: Fit,
        /// Displacement, m³.
        displacement: f64,
        /// Stroke, m.
        stroke: f64,
        /// Lowest and highest published pressure, Pa, by speed (turns/s), of the curves that speak for it.
        curves: [Vec<(f64, f64)>; 2],
    },
    /// Measured: speed (turns/s) and torque (N·m), rising in speed.
    Measured(Vec<(f64, f64)>),
    /// Where in its range the day's runs have found it.
    Earned {
        /// The range before.
        range: Box<Self>,
        /// Scores in that range at idle and at the highest speed.
        scores: DragEarned,
        /// Those speeds, turns/s.
        speeds: [f64; 2],
    },
}

impl EngineDrag {
    /// For an engine of the course: its own measured curve wins over what is published, and runs narrow either.
    pub fn of(engine: &Engine) -> Self {
        let range = Self::before_runs(engine);
        engine.earned.map_or(range.clone(), |scores| range.earned(scores, engine))
    }

    /// The same without what runs have told.
    pub fn before_runs(engine: &Engine) -> Self {
        if !engine.drag.is_empty() {
            return Self::Measured(engine.drag.iter().map(|p| (p.speed.si(), p.torque.si())).collect());
        }
        let (constant, coefficient) = match (engine.fuel, engine.aspiration) {
            (Fuel::Diesel, _) => FLEET[0],
            (Fuel::Petrol, Aspiration::Natural) => FLEET[1],
            (Fuel::Petrol, Aspiration::Turbo) => FLEET[2],
        };
        // The model the second fit comes from scales it by the number of cylinders over four. A
        // pressure is already a figure for each litre, so more cylinders are not credited with
        // more; fewer are taken as that model takes them.
        let scale = f64::from((*engine.cylinders).min(4)) / 4.0;
        Self::Fitted {
            first: match engine.fuel {
                Fuel::Petrol => THROTTLE.map(Fit::Petrol),
                Fuel::Diesel => [Fit::Diesel(DIRECT_INJECTION); 3],
            },
            second: Fit::Fleet(constant * scale, coefficient * scale),
            displacement: engine.displacement.si(),
            stroke: engine.stroke.si(),
            curves: curves::envelopes(engine),
        }
    }

    /// One published fit alone, in every case: to compare with published values.
    pub fn alone(fit: Fit, displacement: f64, stroke: f64) -> Self {
        Self::Fitted { first: [fit; 3], second: fit, displacement, stroke, curves: [Vec::new(), Vec::new()] }
    }

    /// Torque that turns the engine at a speed (turns/s), N·m.
    pub fn torque(&self, spin: f64, case: Case) -> f64 {
        match self {
            Self::Fitted { first, second, displacement, stroke, curves: [lowest, highest] } => {
                let second = second.pressure(spin, *stroke);
                let [low, likely, high] = first;
                let pressure = match case {
                    Case::Unfavourable => {
                        let fits = low.pressure(spin, *stroke).min(second);
                        // Beyond a curve's last speed nothing is published.
                        let within = lowest.last().is_some_and(|(last, _)| spin <= *last);
                        if within { fits.min(interpolated(lowest, spin)) } else { fits }
                    }
                    Case::Likely => f64::midpoint(likely.pressure(spin, *stroke), second),
                    Case::Favourable | Case::Dragged => {
                        let fits = high.pressure(spin, *stroke).max(second);
                        if highest.is_empty() { fits } else { fits.max(interpolated(highest, spin)) }
                    }
                };
                formula::motoring_torque(pressure, *displacement)
            }
            Self::Measured(points) => {
                let torque = interpolated(points, spin);
                match case {
                    Case::Unfavourable => torque * (1.0 - MEASURED_MARGIN),
                    Case::Likely => torque,
                    Case::Favourable | Case::Dragged => torque * (1.0 + MEASURED_MARGIN),
                }
            }
            Self::Earned { range, scores, speeds } => {
                range.scored(earned::between(scores, *speeds, spin, case), spin)
            }
        }
    }

    /// Low, likely and high torque at a speed, N·m.
    pub fn spread(&self, spin: f64) -> Spread {
        Spread::of(Case::ALL.map(|case| self.torque(spin, case)))
    }

    /// How far beyond its range it may still lie, as a part of it: the course's tolerance, or once more the
    /// margin of a measured curve.
    pub fn beyond(&self, tolerance: f64) -> f64 {
        match self {
            Self::Measured(_) => MEASURED_MARGIN,
            Self::Fitted { .. } => tolerance,
            Self::Earned { range, .. } => range.beyond(tolerance),
        }
    }

    /// The same engine with its displacement changed by a factor, all else equal.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        match self {
            Self::Fitted { first, second, displacement, stroke, curves } => Self::Fitted {
                first: *first,
                second: *second,
                displacement: displacement * factor,
                stroke: *stroke,
                curves: curves.clone(),
            },
            Self::Measured(points) => Self::Measured(points.iter().map(|(n, t)| (*n, t * factor)).collect()),
            Self::Earned { range, scores, speeds } => {
                Self::Earned { range: Box::new(range.scaled(factor)), scores: *scores, speeds: *speeds }
            }
        }
    }
}

/// Between the points a straight line, outside them the end values: nothing is credited that was
/// not measured.
pub(crate) fn interpolated(points: &[(f64, f64)], at: f64) -> f64 {
    // The tables are short and mostly read near their beginning: walking is quicker than halving.
    let after = points.iter().position(|(x, _)| *x > at).unwrap_or(points.len());
    match (after.checked_sub(1).and_then(|i| points.get(i)), points.get(after)) {
        (Some((x0, y0)), Some((x1, y1))) => y0 + (y1 - y0) * (at - x0) / (x1 - x0),
        (Some((_, y)), None) | (None, Some((_, y))) => *y,
        (None, None) => 0.0,
    }
}

/// Overrun torque over stall torque at equal pump speed, by speed ratio: normalised curve of the
/// open data of light vehicles, D1. The torque ratio on overrun is 1: a converter
/// multiplies only when it drives.
const CONVERTER: [(f64, f64); 13] = [
    (1.0, 0.0),
    (1.1, 0.099),
    (1.222, 0.198),
    (1.375, 0.336),
    (1.571, 0.535),
    (1.833, 0.828),
    (2.2, 1.306),
    (2.5, 1.781),
    (3.0, 2.772),
    (3.5, 4.071),
    (4.0, 5.746),
    (4.5, 7.861),
    (5.0, 10.480),
];

/// A torque converter that is not locked.
///
/// Its overrun curve is a truck's, scaled by stall torque as its source does; its shape for light
/// converters is not verified. With the turbine at idle speed it holds nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Converter {
    /// Capacity factor, rpm for the root of a lb·ft. Usual 120 to 200 (from memory): the higher,
    /// the looser.
    pub capacity: f64,
}

impl Converter {
    /// The converter a course's automatic is taken to have in each case.
    pub fn of(case: Case) -> Self {
        let capacity = match case {
            Case::Unfavourable => 200.0,
            Case::Likely => 150.0,
            Case::Favourable | Case::Dragged => 120.0,
        };
        Self { capacity }
    }

    /// Overrun torque over stall torque at equal pump speed, at a speed ratio of 1 or more; beyond
    /// the published points it grows with the square of the turbine speed.
    pub fn share(ratio: f64) -> f64 {
        let last = CONVERTER[CONVERTER.len() - 1];
        if ratio > last.0 {
            last.1 * (ratio / last.0) * (ratio / last.0)
        } else {
            interpolated(&CONVERTER, ratio.max(1.0))
        }
    }

    /// Torque it passes to an engine, N·m, at a pump speed (turns/s) and speed ratio.
    fn passes(self, pump: f64, ratio: f64) -> f64 {
        Self::share(ratio) * formula::stall_torque(pump, self.capacity)
    }

    /// Engine speed (turns/s) and torque (N·m) at a turbine speed (turns/s): the engine stays at
    /// its fuelled idle until the converter passes more than it takes to turn it there.
    pub fn overrun(self, turbine: f64, idle: f64, drag: impl Fn(f64) -> f64) -> (f64, f64) {
        if turbine <= idle {
            return (idle, 0.0);
        }
        let at_idle = self.passes(idle, turbine / idle);
        if at_idle <= drag(idle) {
            return (idle, at_idle);
        }
        let engine =
            crate::engine::root::rising(idle, turbine, |pump| drag(pump) - self.passes(pump, turbine / pump));
        (engine, drag(engine))
    }
}
