//! Towing along the track: a tug in front, the towed vehicle on its own foot brake.

use serde::Serialize;

use crate::course::{Course, End, Slope};
use crate::engine::formulas::{GRAVITY, recovery as r};
use crate::recovery::gear::Gear;
use crate::recovery::pull::{Direction, Scene, Stuck, System, SystemPull};
use crate::recovery::rig::{Part, Role};

/// Steepest ground on which a vehicle is towed, as height over level distance: 25 %
/// (B13, p. 21, "without leave").
pub const STEEPEST_TOW: f64 = 0.25;
/// How fast a tug pulls away, m/s²: walking pace in two to three seconds. Common practice, no source.
pub const PULLS_AWAY: f64 = 0.5;
/// Shortest tow line, m. Common practice, no source.
const SHORTEST: f64 = 4.0;

/// A tow.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tow {
    /// The vehicle in front.
    pub tug: String,
    /// Its name.
    pub tug_name: String,
    /// Resistance on the level by each system.
    pub systems: Vec<SystemPull>,
    /// The system with the highest.
    pub by: System,
    /// The highest, with a rise of the run-out, N.
    pub resistance: f64,
    /// When it is set moving, N: parts are chosen for it.
    pub start: f64,
    /// What the tug's wheels can pull with on this ground, N, at the lowest friction.
    pub grip: f64,
    /// Every part.
    pub parts: Vec<Part>,
    /// Length of the line, m.
    pub line: f64,
    /// Least margin.
    pub margin: f64,
}

/// Why a vehicle is not towed.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "why", rename_all = "snake_case")]
pub enum NoTow {
    /// Steeper than the published limit.
    TooSteep {
        /// Steepest gradient, height over level distance.
        gradient: f64,
    },
    /// No rated line or strap of four metres and more that is not on a winch, or no two shackles.
    NoLine,
    /// No other vehicle with a rated point at its rear, or none at the front of the towed one.
    NoPoints,
    /// No tug has the grip.
    NoGrip {
        /// What it takes, N.
        needs: f64,
        /// What the best tug has with the margin, N.
        has: f64,
    },
    /// A part would keep too little free.
    Exceeds {
        /// The part.
        part: Part,
    },
}

/// The tow of a vehicle down and off a slope with the best tug and line of the course.
///
/// # Errors
/// Why there is none.
pub fn tow(course: &Course, gear: &Gear, slope: &Slope, casualty: usize, margin: f64) -> Result<Tow, NoTow> {
    let gradient = libm::tan(slope.steepest().gradient.si());
    if gradient > STEEPEST_TOW {
        return Err(NoTow::TooSteep { gradient });
    }
    let surface = course.surface_of(slope);
    let vehicle = &course.vehicles[casualty];
    let pull = Scene::of(slope, surface, vehicle).pull(Stuck::Rolls, Direction::Level);
    let rise = slope.run_out.as_ref().map_or(0.0, |out| (-out.gradient.si()).max(0.0));
    let weight = r::weight(vehicle.mass.si(), GRAVITY);
    let resistance = r::whole_pull(pull.high, r::grade_pull(weight, rise));
    let start = r::tow_start(resistance, vehicle.mass.si(), PULLS_AWAY);
    let line = gear
        .lines
        .iter()
        .chain(&gear.straps)
        .filter(|piece| piece.length >= SHORTEST)
        .max_by(|a, b| a.limit.total_cmp(&b.limit))
        .ok_or(NoTow::NoLine)?;
    let shackle = gear
        .shackles
        .iter()
        .flat_map(|piece| std::iter::repeat_n(piece, piece.count))
        .nth(1)
        .ok_or(NoTow::NoLine)?;
    let at = |place: usize, end| gear.helpers[place].points.iter().find(move |point| point.end == end);
    let front = at(casualty, End::Front).ok_or(NoTow::NoPoints)?;
    let stuck = &gear.helpers[casualty];
    let tows = (0..gear.helpers.len()).filter(|place| *place != casualty).filter_map(|place| {
        let rear = at(place, End::Rear)?;
        let tug = &gear.helpers[place];
        let grip = surface.sliding.low * r::weight(course.vehicles[place].mass.si(), GRAVITY);
        let parts = vec![
            Part::new(Role::CasualtyPoint, &stuck.id, &front.place, start, front.limit),
            Part::new(Role::Shackle, &shackle.id, &shackle.name, start, shackle.limit),
            Part::new(Role::TowLine, &line.id, &line.name, start, line.limit),
            Part::new(Role::Shackle, &shackle.id, &shackle.name, start, shackle.limit),
            Part::new(Role::HelperPoint, &tug.id, &rear.place, start, rear.limit),
            Part::new(Role::Grip, &tug.id, &tug.name, start, grip),
        ];
        let least = parts.iter().map(|part| part.margin).fold(f64::INFINITY, f64::min);
        Some(Tow {
            tug: tug.id.clone(),
            tug_name: tug.name.clone(),
            systems: pull.systems.clone(),
            by: pull.high_by,
            resistance,
            start,
            grip,
            parts,
            line: line.length,
            margin: least,
        })
    });
    let best = tows.max_by(|a, b| a.margin.total_cmp(&b.margin)).ok_or(NoTow::NoPoints)?;
    match best.parts.iter().filter(|part| !part.keeps(margin)).min_by(|a, b| a.margin.total_cmp(&b.margin)) {
        None => Ok(best),
        Some(part) if part.role == Role::Grip => {
            Err(NoTow::NoGrip { needs: start, has: (1.0 - margin) * part.rating })
        }
        Some(part) => Err(NoTow::Exceeds { part: part.clone() }),
    }
}
