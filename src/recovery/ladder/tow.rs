//! Towing along the track: a tug in front. On a rope only where the towed vehicle does not run by itself; else on a
//! rigid bar, and the tug's foot brake holds both.

use serde::Serialize;

use super::lower::brake_holds;
use crate::course::{Course, End, Slope};
use crate::engine::formulas::{GRAVITY, recovery as r};
use crate::recovery::facts::side_share;
use crate::recovery::gear::{Gear, Helper, Pieces};
use crate::recovery::pull::{Direction, Scene, Stuck, System, SystemPull};
use crate::recovery::rig::{Joins, Part, Role};
use crate::recovery::stance::POINTS_APART;

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
    /// Whether it hangs on a rigid bar: it would run into the tug on a rope.
    pub rigid: bool,
    /// What it pushes the tug with at most, N: twice what its weight pulls down with; nothing on a rope.
    pub pushes: f64,
    /// Every part.
    pub parts: Vec<Part>,
    /// Length of the line or bar, m.
    pub line: f64,
    /// How far it lies off the line of both vehicles at most, rad: points that are not in the middle.
    pub off: f64,
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
    /// It would run into the tug on a rope, and the kit has no rated bar.
    RunsIntoTug {
        /// What its weight pulls down with, N.
        down: f64,
        /// What the ground holds it back with at the least, N.
        ground: f64,
    },
    /// No other vehicle with a rated point at its rear, or none at the front of the towed one.
    NoPoints,
    /// No tug's foot brake holds both on this ground.
    NoBrake {
        /// What it takes, N.
        needs: f64,
        /// What the best tug has with the margin, N.
        has: f64,
    },
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
    let angle = slope.steepest().gradient.si();
    let down = r::grade_pull(weight, angle);
    let ground = r::ground_pull(surface.rolling.low, weight) * libm::cos(angle);
    let link = Link::of(gear, down, ground)?;
    let load = start.max(link.pushes);
    let at = |place: usize, end| gear.helpers[place].points.iter().find(move |point| point.end == end);
    let front = at(casualty, End::Front).ok_or(NoTow::NoPoints)?;
    let stuck = &gear.helpers[casualty];
    let tows = (0..gear.helpers.len()).filter(|place| *place != casualty).filter_map(|place| {
        let rear = at(place, End::Rear)?;
        let (tug, own) = (&gear.helpers[place], &course.vehicles[place]);
        let tug_weight = r::weight(own.mass.si(), GRAVITY);
        let grip = surface.sliding.low * tug_weight;
        let aside = [off_middle(stuck, End::Front), off_middle(tug, End::Rear)];
        let off = libm::atan((aside[0] + aside[1]) / link.piece.length);
        let share = side_share(off.to_degrees());
        let askew = |role, id: &str, name: &str, limit: f64| Part {
            counts: share,
            ..Part::new(role, id, name, load, r::side_limit(limit, share))
        };
        let mut parts = vec![askew(Role::CasualtyPoint, &stuck.id, &front.place, front.limit)];
        parts.extend(link.parts(load, share));
        parts.push(askew(Role::HelperPoint, &tug.id, &rear.place, rear.limit));
        parts.push(Part::new(Role::Grip, &tug.id, &tug.name, start, grip));
        if link.rigid() {
            let both = down + r::grade_pull(tug_weight, angle);
            let brake = brake_holds(slope, surface, own);
            parts.push(Part::new(Role::TugBrake, &tug.id, &tug.name, both, brake));
        }
        let least = parts.iter().map(|part| part.margin).fold(f64::INFINITY, f64::min);
        Some(Tow {
            tug: tug.id.clone(),
            tug_name: tug.name.clone(),
            systems: pull.systems.clone(),
            by: pull.high_by,
            resistance,
            start,
            grip,
            rigid: link.rigid(),
            pushes: link.pushes,
            parts,
            line: link.piece.length,
            off,
            margin: least,
        })
    });
    let best = tows.max_by(|a, b| a.margin.total_cmp(&b.margin)).ok_or(NoTow::NoPoints)?;
    match best.parts.iter().filter(|part| !part.keeps(margin)).min_by(|a, b| a.margin.total_cmp(&b.margin)) {
        None => Ok(best),
        Some(part) => Err(refused(part, margin)),
    }
}

/// How far a point at an end of a vehicle may lie off its middle, m: where it has two, they stand on its rails.
fn off_middle(vehicle: &Helper, end: End) -> f64 {
    let points = vehicle.points.iter().filter(|point| point.end == end).count();
    if points > 1 { POINTS_APART / 2.0 } else { 0.0 }
}

fn refused(part: &Part, margin: f64) -> NoTow {
    let (needs, has) = (part.load, (1.0 - margin) * part.rating);
    match part.role {
        Role::Grip => NoTow::NoGrip { needs, has },
        Role::TugBrake => NoTow::NoBrake { needs, has },
        _ => NoTow::Exceeds { part: part.clone() },
    }
}

/// What joins the two vehicles.
struct Link<'a> {
    piece: &'a Pieces,
    /// The shackles of a rope; a bar has its own pins.
    shackle: Option<&'a Pieces>,
    pushes: f64,
}

impl<'a> Link<'a> {
    /// A rope where the ground holds back what the weight pulls down with (N); else a bar.
    fn of(gear: &'a Gear, down: f64, ground: f64) -> Result<Self, NoTow> {
        let strongest = |a: &&Pieces, b: &&Pieces| a.limit.total_cmp(&b.limit);
        if down > ground {
            let bar = gear.bars.iter().max_by(strongest).ok_or(NoTow::RunsIntoTug { down, ground })?;
            return Ok(Self { piece: bar, shackle: None, pushes: r::sudden_load(down) });
        }
        let ropes = gear.lines.iter().chain(&gear.straps).filter(|piece| piece.length >= SHORTEST);
        let piece = ropes.max_by(strongest).ok_or(NoTow::NoLine)?;
        let single = gear.shackles.iter().flat_map(|piece| std::iter::repeat_n(piece, piece.count));
        let shackle = single.into_iter().nth(1).ok_or(NoTow::NoLine)?;
        Ok(Self { piece, shackle: Some(shackle), pushes: 0.0 })
    }

    const fn rigid(&self) -> bool {
        self.shackle.is_none()
    }

    fn parts(&self, load: f64, share: f64) -> Vec<Part> {
        let of = |role, piece: &Pieces| Part::new(role, &piece.id, &piece.name, load, piece.limit);
        match self.shackle {
            None => vec![of(Role::TowBar, self.piece)],
            Some(piece) => {
                let limit = r::side_limit(piece.limit, share);
                let shackle = |joins| Part {
                    counts: share,
                    joins: Some(joins),
                    ..Part::new(Role::Shackle, &piece.id, &piece.name, load, limit)
                };
                vec![shackle(Joins::Vehicle), of(Role::TowLine, self.piece), shackle(Joins::Tug)]
            }
        }
    }
}
