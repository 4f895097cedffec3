//! How hot the foot brakes get, run after run, and how long they take to cool.

use serde::Serialize;

use super::axle::Axle;
use crate::course::{AxleBrakes, BrakeKind, Vehicle};
use crate::engine::formulas::heat as formula;

/// Part of the braking that enters the iron rather than the lining: 0.95 to 0.99 for organic
/// linings (from memory); the rest is small against what is not known.
pub const IRON_SHARE: f64 = 0.95;
/// Convection of still air, W/(m²·K): assumed.
pub(crate) const STILL_AIR: f64 = 7.0;
/// Conductivity of air, W/(m·K).
pub(crate) const AIR_CONDUCTIVITY: f64 = 0.0263;
/// Kinematic viscosity of air, m²/s.
pub(crate) const AIR_VISCOSITY: f64 = 1.6e-5;
/// Emissivity of a used disc, between bright 0.3 and oxidised 0.8.
pub const EMISSIVITY: f64 = 0.55;
/// Convection of a drum over that of a disc of the same surface: about half (from memory).
pub(crate) const DRUM_COOLING: f64 = 0.5;
/// Speed taken for vehicles that roll between runs, m/s: 10 km/h.
pub(crate) const ROLLING_SPEED: f64 = 10.0 / 3.6;
/// Fade of ordinary linings is reported to begin somewhere in this range, K: 250 to 350 °C for
/// organic car linings (from memory); 260 °C is the limit of the published grade severity rating
/// of trucks. A band, never a promise.
pub const FADE_BAND: (f64, f64) = (523.15, 623.15);
/// Longest cooling time reckoned, s: six hours.
const LONGEST_WAIT: f64 = 6.0 * 3600.0;
/// Step of the cooling calculation, s; an eighteenth of three minutes reaches 1 part in 10⁸.
const STEP: f64 = 10.0;

/// One disc or drum as a lump of iron.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// Mass, kg.
    pub mass: f64,
    /// Specific heat capacity, J/(kg·K).
    pub capacity: f64,
    /// Cooling surface, m².
    pub area: f64,
    /// Outer diameter, m.
    pub diameter: f64,
    /// Emissivity; 0 leaves radiation out.
    pub emissivity: f64,
    /// Factor on convection: 1 for a disc, less for a drum.
    pub cooling: f64,
}

impl Node {
    /// One disc or drum of a vehicle's axle.
    pub fn of(brakes: &AxleBrakes, capacity: f64) -> Self {
        Self {
            mass: brakes.mass.si(),
            capacity,
            area: brakes.area.si(),
            diameter: brakes.diameter.si(),
            emissivity: EMISSIVITY,
            cooling: if brakes.kind == BrakeKind::Drum { DRUM_COOLING } else { 1.0 },
        }
    }

    /// Convection coefficient at a vehicle speed (m/s), W/(m²·K).
    pub fn convection(&self, speed: f64) -> f64 {
        if speed <= 0.0 {
            return STILL_AIR * self.cooling;
        }
        let reynolds = formula::reynolds(speed, self.diameter, AIR_VISCOSITY);
        let forced = formula::forced_convection(AIR_CONDUCTIVITY, self.diameter, reynolds);
        formula::blended_convection(STILL_AIR, forced) * self.cooling
    }

    /// Warming, K/s, at a temperature (K) with this power into it (W), in air (K).
    fn warming(&self, hot: f64, power: f64, air: f64, convection: f64) -> f64 {
        let lost = formula::convection_loss(convection, self.area, hot, air)
            + formula::radiation_loss(self.emissivity, formula::STEFAN_BOLTZMANN, self.area, hot, air);
        (power - lost) / (self.mass * self.capacity)
    }

    /// Temperature, K, after a time (s) with constant power: the classical fourth-order method of
    /// Runge and Kutta in this many steps.
    pub fn after(&self, start: f64, air: &Air, power: f64, time: f64, steps: u32) -> f64 {
        let convection = self.convection(air.speed);
        let h = time / f64::from(steps.max(1));
        (0..steps.max(1)).fold(start, |hot, _| self.step(hot, air, power, h, convection))
    }

    fn step(&self, hot: f64, air: &Air, power: f64, h: f64, convection: f64) -> f64 {
        let rate = |hot: f64| self.warming(hot, power, air.temperature, convection);
        let first = rate(hot);
        let second = rate(hot + 0.5 * h * first);
        let third = rate(hot + 0.5 * h * second);
        let fourth = rate(hot + h * third);
        hot + h / 6.0 * (first + 2.0 * second + 2.0 * third + fourth)
    }

    /// Temperature, K, after a gap without braking (s).
    pub fn cooled(&self, start: f64, air: &Air, time: f64) -> f64 {
        self.after(start, air, 0.0, time, steps_for(time))
    }

    /// Time to cool to a temperature (K), s; none when six hours are not enough.
    pub fn cooling_time(&self, from: f64, to: f64, air: &Air) -> Option<f64> {
        let convection = self.convection(air.speed);
        let (mut hot, mut time) = (from, 0.0);
        while hot > to {
            if time >= LONGEST_WAIT {
                return None;
            }
            let next = self.step(hot, air, 0.0, STEP, convection);
            if next <= to {
                let part =
                    crate::engine::root::rising(0.0, STEP, |h| to - self.step(hot, air, 0.0, h, convection));
                return Some(time + part);
            }
            (hot, time) = (next, time + STEP);
        }
        Some(time)
    }
}

/// Whole steps of [`STEP`] for a time.
fn steps_for(time: f64) -> u32 {
    // A gap is at most some hours, so the count is small; a millionth forgives rounding.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "hours over ten seconds")]
    let steps = libm::ceil(time / STEP - 1e-6).clamp(1.0, 1e6) as u32;
    steps
}

/// The air round the brakes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Temperature, K.
    pub temperature: f64,
    /// Speed of the vehicle, m/s.
    pub speed: f64,
}

/// A run as the brakes of one axle feel it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Power into one disc or drum, W.
    pub power: f64,
    /// For how long, s.
    pub time: f64,
    /// Mean speed of the run, m/s.
    pub speed: f64,
}

/// The pause between runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// From the end of one run to the start of the next, s.
    pub time: f64,
    /// Speed the vehicle rolls at meanwhile, m/s; 0 when it stands.
    pub speed: f64,
}

/// Temperature at the end of each of so many runs from cold, K.
pub fn run_after_run(node: &Node, load: &Load, gap: Gap, air: f64, runs: u16) -> Vec<f64> {
    let rolling = Air { temperature: air, speed: load.speed };
    let between = Air { temperature: air, speed: gap.speed };
    let steps = steps_for(load.time).max(4);
    let mut hot = air;
    (0..runs)
        .map(|run| {
            if run > 0 {
                hot = node.cooled(hot, &between, gap.time);
            }
            hot = node.after(hot, &rolling, load.power, load.time, steps);
            hot
        })
        .collect()
}

/// How the brakes of one axle fare.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AxleHeat {
    /// Which axle.
    pub axle: Axle,
    /// Disc or drum.
    pub kind: BrakeKind,
    /// Heat into one disc or drum in one run, J.
    pub heat: f64,
    /// Rise of one run if nothing were lost, K.
    pub rise: f64,
    /// Temperature at the end of each planned run, K.
    pub ends: Vec<f64>,
    /// Runs in a row from cold within the course's limit, none when not even one is; counted no
    /// further than the runs planned.
    pub runs_allowed: u16,
    /// Minutes to wait, rounded up, before one more run stays within the limit, reckoned after the
    /// last run allowed; 0 when no planned run passes it, none when waiting does not help.
    pub wait_minutes: Option<u32>,
}

/// How the brakes fare over the runs of the day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BrakeHeat {
    /// Braking of one run, J.
    pub braking: f64,
    /// Mean braking power, W.
    pub power: f64,
    /// Part the front axle takes.
    pub front_share: f64,
    /// The braked axles.
    pub axles: Vec<AxleHeat>,
    /// Hottest end of a planned run, K.
    pub hottest: f64,
    /// Fewest runs allowed in a row on any axle.
    pub runs_allowed: u16,
    /// Longest wait, minutes, rounded up; none when waiting does not help.
    pub wait_minutes: Option<u32>,
    /// Whether a planned run reaches the range where ordinary linings are reported to fade.
    pub in_fade_band: bool,
}

/// The day's runs as far as brakes care.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Duty {
    /// Runs planned in a row.
    pub runs: u16,
    /// The pause between them.
    pub gap: Gap,
    /// Air temperature, K.
    pub air: f64,
    /// The course's limit, K.
    pub limit: f64,
}

/// Part of the braking heat that the front brakes take with this part of the weight on them: as it is given; estimated, not
/// below that part.
pub fn front_part(vehicle: &Vehicle, front_load: f64) -> f64 {
    let brakes = &vehicle.brakes;
    let given = brakes.front_share.si();
    match (brakes.front.is_some(), brakes.rear.is_some()) {
        (true, false) => 1.0,
        (false, _) => 0.0,
        _ if brakes.front_share.estimated => given.max(front_load.clamp(0.0, 1.0)),
        _ => given,
    }
}

/// Brakes of a vehicle that take this much energy (J) in a run of this length (s) and mean speed
/// (m/s). A given front share is used as it is; an estimated one not below the front axle's share
/// of the weight on the slope.
pub(crate) fn brake_heat(
    vehicle: &Vehicle,
    braking: f64,
    time: f64,
    speed: f64,
    front_load: f64,
    duty: &Duty,
) -> BrakeHeat {
    let brakes = &vehicle.brakes;
    let front_share = front_part(vehicle, front_load);
    let capacity = brakes.heat_capacity.si();
    let axle = |axle: Axle, fitted: Option<AxleBrakes>, share: f64| {
        fitted.map(|brakes| {
            let count = f64::from(brakes.count.max(1));
            let heat = formula::axle_heat(braking, share, IRON_SHARE) / count;
            let load = Load { power: if time > 0.0 { heat / time } else { 0.0 }, time, speed };
            axle_heat(axle, &brakes, Node::of(&brakes, capacity), heat, &load, duty)
        })
    };
    let axles: Vec<_> =
        [axle(Axle::Front, brakes.front, front_share), axle(Axle::Rear, brakes.rear, 1.0 - front_share)]
            .into_iter()
            .flatten()
            .collect();
    let hottest = axles.iter().flat_map(|axle| axle.ends.iter().copied()).fold(duty.air, f64::max);
    BrakeHeat {
        braking,
        power: if time > 0.0 { braking / time } else { 0.0 },
        front_share,
        hottest,
        runs_allowed: axles.iter().map(|axle| axle.runs_allowed).min().unwrap_or(duty.runs),
        wait_minutes: axles
            .iter()
            .map(|axle| axle.wait_minutes)
            .try_fold(0, |longest: u32, wait| Some(longest.max(wait?))),
        in_fade_band: hottest >= FADE_BAND.0,
        axles,
    }
}

fn axle_heat(axle: Axle, brakes: &AxleBrakes, node: Node, heat: f64, load: &Load, duty: &Duty) -> AxleHeat {
    let ends = run_after_run(&node, load, duty.gap, duty.air, duty.runs);
    let allowed = ends.iter().take_while(|end| **end <= duty.limit).count();
    let runs_allowed = u16::try_from(allowed).unwrap_or(u16::MAX);
    let rise = formula::temperature_rise(heat, 1.0, node.mass, node.capacity);
    let wait_minutes = if runs_allowed == duty.runs {
        Some(0)
    } else if runs_allowed == 0 {
        None
    } else {
        let between = Air { temperature: duty.air, speed: duty.gap.speed };
        // The rise without losses is more than a warm disc's: the wait errs on the long side.
        node.cooling_time(ends[allowed - 1], duty.limit - rise, &between).map(whole_minutes)
    };
    AxleHeat { axle, kind: brakes.kind, heat, rise, ends, runs_allowed, wait_minutes }
}

/// Whole minutes, rounded up.
pub fn whole_minutes(seconds: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded by six hours")]
    let minutes = libm::ceil(seconds / 60.0 - 1e-9).clamp(0.0, 1e6) as u32;
    minutes
}
