//! Snatch recovery with a stretching rope: what the peak would be, and when it is not done at all.

use serde::Serialize;

use super::facing::Facing;
use super::facts::STRAP_BAND;
use super::gear::{Gear, Helper};
use super::pull::{Direction, Pull, Stuck};
use super::rig::{Part, Role, keeps};
use crate::course::{Condition, Course, End, KitItem, KitKind, StretchAt, Surface};
use crate::engine::formulas::{GRAVITY, recovery as r};
use crate::quantity::Length;

/// Speeds a snatch is worked for, m/s.
pub const SPEEDS: [f64; 4] = [4.0 / 3.6, 6.0 / 3.6, 8.0 / 3.6, 10.0 / 3.6];

/// Steepest ground on which a snatch is thought of, degrees. Common practice, no source.
pub const STEEPEST: f64 = 8.0;

/// Part of the breaking strength a peak may reach. The project's own screen, no source.
pub const STRENGTH_SHARE: f64 = 0.5;

/// Why a snatch is not done.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "why", rename_all = "snake_case")]
pub enum NotAllowed {
    /// Sunk to the hubs or deeper, on its belly, locked or on its side: winch or dig.
    Held,
    /// Too steep a pull.
    TooSteep,
    /// The rope is retired.
    Retired,
    /// A figure of the rope is missing.
    Unknown {
        /// Which.
        what: RopeFact,
    },
    /// The strength is outside two to three times the lighter vehicle.
    OutsideBand {
        /// Strength over the lighter vehicle's weight.
        times: f64,
    },
    /// One of the two has no rated point at the end the rope goes to.
    NoPoint {
        /// The vehicle.
        vehicle: String,
    },
    /// Not two rated shackles for the ends.
    NoShackles,
    /// Even the slowest speed worked peaks over the weakest part.
    Exceeds {
        /// The part, with the peak as its load.
        part: Part,
    },
    /// Only the slowest speed worked leaves enough free: the next, which no driver tells from it, breaks something.
    OneSpeed {
        /// The part, with the peak of the next speed as its load.
        part: Part,
        /// That speed, m/s.
        speed: f64,
    },
}

/// A figure that a snatch is worked from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RopeFact {
    /// Breaking strength.
    Strength,
    /// Working load limit.
    WorkingLoad,
    /// Length.
    Length,
    /// Stretch and its load.
    Stretch,
}

impl RopeFact {
    /// In words, before "is not known".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Strength => "breaking strength",
            Self::WorkingLoad => "working load limit",
            Self::Length => "length",
            Self::Stretch => "stretch, and the load it is stated at,",
        }
    }
}

impl NotAllowed {
    /// As a sentence, without figures.
    pub fn words(&self) -> String {
        match self {
            Self::Held => {
                "it is held fast: sunk to the hubs, on its belly, locked or on its side; dig and winch"
                    .to_owned()
            }
            Self::TooSteep => "the pull goes up a slope".to_owned(),
            Self::Retired => "the rope is retired".to_owned(),
            Self::Unknown { what } => format!("the rope's {} is not known", what.words()),
            Self::OutsideBand { .. } => {
                "the rope's strength is not 2 to 3 times the lighter vehicle".to_owned()
            }
            Self::NoPoint { vehicle } => {
                format!("{vehicle} has no rated recovery point at the end the rope goes to")
            }
            Self::NoShackles => "there are not two rated shackles for its ends".to_owned(),
            Self::OneSpeed { part, .. } => {
                format!("a little faster than the slowest speed the {} is exceeded", part.name)
            }
            Self::Exceeds { part } => {
                format!("even the slowest speed leaves too little of what the {} may carry", part.name)
            }
        }
    }
}

/// Peaks at one speed, N.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Peak {
    /// Speed when the rope comes tight, m/s.
    pub speed: f64,
    /// Stuck vehicle taken as immovable.
    pub headline: f64,
    /// The same with the drive held on: parts are chosen for it.
    pub upper: f64,
    /// The vehicle comes free at the likely pull.
    pub likely: f64,
    /// Whether the upper one leaves the weakest part the margin of the course; a speed that does not is never driven.
    pub within: bool,
}

/// A snatch with a rope of the kit and a helper.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Snatch {
    /// The rope.
    pub rope: String,
    /// Its name.
    pub rope_name: String,
    /// The helper that pulls.
    pub tug: String,
    /// Why it is not done; empty when it may be, as the last resort.
    pub not_allowed: Vec<NotAllowed>,
    /// Strength over the lighter vehicle's weight.
    pub times_lighter: Option<f64>,
    /// Stiffness, N/m.
    pub stiffness: Option<f64>,
    /// Length, m.
    pub length: Option<f64>,
    /// The weakest part and what it may carry, N.
    pub weakest: Option<Part>,
    /// Peaks at each speed.
    pub peaks: Vec<Peak>,
}

/// Every kinetic rope of the kit with the helper that suits best.
pub fn snatches(
    course: &Course,
    gear: &Gear,
    surface: &Surface,
    casualty: usize,
    pull: &Pull,
    angle: f64,
) -> Vec<Snatch> {
    let ropes = course.kit.iter().filter(|item| item.kind == KitKind::KineticRope);
    let scene = Scene { course, gear, surface, casualty, pull, angle };
    ropes
        .filter_map(|rope| {
            (0..gear.helpers.len())
                .filter(|tug| *tug != casualty)
                .map(|tug| scene.with(rope, tug))
                .min_by_key(|snatch| {
                    let within = snatch.peaks.iter().filter(|peak| peak.within).count();
                    (snatch.not_allowed.len(), usize::MAX - within)
                })
        })
        .collect()
}

struct Scene<'a> {
    course: &'a Course,
    gear: &'a Gear,
    surface: &'a Surface,
    casualty: usize,
    pull: &'a Pull,
    angle: f64,
}

impl Scene<'_> {
    fn mass(&self, place: usize) -> f64 {
        self.course.vehicles[place].mass.si()
    }

    fn with(&self, rope: &KitItem, tug: usize) -> Snatch {
        let mut why = Vec::new();
        if !matches!(self.pull.stuck, Stuck::Rolls | Stuck::Mired(super::facts::Mark::Sidewall)) {
            why.push(NotAllowed::Held);
        }
        if self.pull.direction == Direction::Up && self.angle.to_degrees() > STEEPEST {
            why.push(NotAllowed::TooSteep);
        }
        if rope.rig.condition == Condition::Retired {
            why.push(NotAllowed::Retired);
        }
        let lighter = self.mass(tug).min(self.mass(self.casualty)) * GRAVITY;
        let times = rope.rating.breaking.map(|breaking| breaking / lighter);
        match times {
            None => why.push(NotAllowed::Unknown { what: RopeFact::Strength }),
            Some(times) if !(STRAP_BAND[0]..=STRAP_BAND[1]).contains(&times) => {
                why.push(NotAllowed::OutsideBand { times });
            }
            Some(_) => {}
        }
        let stiffness = stiffness(rope);
        if let Err(what) = stiffness {
            why.push(NotAllowed::Unknown { what });
        }
        let weakest = self.weakest(rope, tug, &mut why);
        let peaks = stiffness.map_or_else(|_| Vec::new(), |k| self.peaks(k, tug, weakest.as_ref()));
        if let (Some(part), Some(slowest)) = (&weakest, peaks.first().filter(|peak| !peak.within)) {
            let part = Part::new(part.role, &part.id, &part.name, slowest.upper, part.rating);
            why.push(NotAllowed::Exceeds { part });
        }
        // Speed is judged by eye: the next one up may cost the margin, never the part.
        let next = peaks.get(1).filter(|next| why.is_empty() && peaks[0].within && !next.within);
        if let (Some(part), Some(next)) = (&weakest, next)
            && next.upper > part.rating
        {
            let part = Part::new(part.role, &part.id, &part.name, next.upper, part.rating);
            why.push(NotAllowed::OneSpeed { part, speed: next.speed });
        }
        Snatch {
            rope: rope.id.clone(),
            rope_name: rope.name.short(),
            tug: self.gear.helpers[tug].id.clone(),
            not_allowed: why,
            times_lighter: times,
            stiffness: stiffness.ok(),
            length: rope.length.map(Length::si),
            weakest,
            peaks,
        }
    }

    /// The weakest rated part: points, shackles at both ends, half the rope's strength. None when one
    /// of them has no rating: then nothing says what the chain of parts may carry.
    fn weakest(&self, rope: &KitItem, tug: usize, why: &mut Vec<NotAllowed>) -> Option<Part> {
        let mut parts = Vec::new();
        // The tug drives off forwards; the stuck vehicle is pulled by the side that faces it.
        let stuck = Facing::of(self.pull.stuck, self.pull.direction).ends();
        let ends: [(usize, Role, &[End]); 2] =
            [(tug, Role::HelperPoint, &[End::Rear]), (self.casualty, Role::CasualtyPoint, stuck)];
        for (place, role, ends) in ends {
            let helper: &Helper = &self.gear.helpers[place];
            match helper.points.iter().find(|point| ends.contains(&point.end)) {
                Some(point) => parts.push(Part::new(role, &helper.id, &point.place, 0.0, point.limit)),
                None => why.push(NotAllowed::NoPoint { vehicle: helper.name.clone() }),
            }
        }
        let mut shackles =
            self.gear.shackles.iter().flat_map(|piece| std::iter::repeat_n(piece, piece.count));
        match shackles.nth(1) {
            Some(second) => parts.push(Part::new(Role::Shackle, &second.id, &second.name, 0.0, second.limit)),
            None => why.push(NotAllowed::NoShackles),
        }
        if let Some(breaking) = rope.rating.breaking {
            parts.push(Part::new(
                Role::Extension,
                &rope.id,
                &rope.name.short(),
                0.0,
                STRENGTH_SHARE * breaking,
            ));
        }
        if parts.len() < 4 {
            return None;
        }
        parts.into_iter().min_by(|a, b| a.rating.total_cmp(&b.rating))
    }

    fn peaks(&self, stiffness: f64, tug: usize, weakest: Option<&Part>) -> Vec<Peak> {
        let (mass, margin) = (self.mass(tug), self.course.recovery.margin);
        let drive = self.surface.peak.high * mass * GRAVITY;
        SPEEDS
            .iter()
            .map(|speed| {
                let headline = r::snatch_peak(*speed, stiffness, mass);
                let upper = r::snatch_driven(drive, headline);
                let stuck = self.mass(self.casualty);
                let likely = r::snatch_breakout(*speed, stiffness, mass, stuck, self.pull.likely);
                let within = weakest.is_some_and(|part| keeps(upper, part.rating, margin));
                Peak { speed: *speed, headline, upper, likely, within }
            })
            .collect()
    }
}

/// Stiffness, N/m, from the load the stretch is stated at.
///
/// # Errors
/// The figure that is missing.
pub fn stiffness(rope: &KitItem) -> Result<f64, RopeFact> {
    let stretch = rope.rig.stretch.ok_or(RopeFact::Stretch)?;
    let length = rope.length.ok_or(RopeFact::Length)?.si();
    let load = match stretch.at {
        StretchAt::Breaking => rope.rating.breaking.ok_or(RopeFact::Strength)?,
        StretchAt::WorkingLoad => rope.rating.limit().ok_or(RopeFact::WorkingLoad)?,
    };
    Ok(r::strap_stiffness(load, stretch.share.si(), length))
}
