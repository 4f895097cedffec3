//! What was measured on the day, run by run.

pub(in crate::course) mod meter;

use chrono::NaiveDate;

use super::super::{EarnedFrom, End, Gear, Known, Surface, SurfaceEarned};
use crate::quantity::{Force, HeatCapacity, Length, Speed, SpinRate, Temperature, Time};
use meter::Meter;

/// The runs of a course: written in it, or in a table beside it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Runs {
    /// The table's file, beside the course file.
    pub file: Option<String>,
    /// The runs in the order they were written.
    pub list: Vec<MeasuredRun>,
}

/// One thing that was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredRun {
    /// Its place among the runs, from 1.
    pub number: usize,
    /// The day.
    pub date: NaiveDate,
    /// The vehicle's identifier.
    pub vehicle: String,
    /// What was seen.
    pub seen: Seen,
    /// What it was measured with.
    pub meter: &'static Meter,
    /// How far off it is at most in 19 of 20 cases, in SI of what the instrument reads; none where the instrument's
    /// own figures count.
    pub sure: Option<f64>,
}

/// Where it was measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RunGround {
    /// The slope's identifier; none on level ground.
    pub slope: Option<String>,
    /// The surface's identifier, as it was that day.
    pub surface: String,
}

/// Which way a vehicle was pulled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Towed {
    /// Up the slope.
    Up,
    /// Down the slope.
    Down,
    /// On level ground.
    Level,
}

/// What was measured.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// Time from peg to peg in gear, foot off the brake.
    Timed {
        /// Where.
        ground: RunGround,
        /// In which gear.
        gear: Gear,
        /// First peg below the brow.
        from: Length,
        /// From peg to peg.
        between: Length,
        /// What the watch said.
        time: Time,
    },
    /// Engine speed at the foot in gear, foot off the brake.
    Spun {
        /// Where.
        ground: RunGround,
        /// In which gear.
        gear: Gear,
        /// What was read.
        spin: SpinRate,
    },
    /// Length of a slide with every braked wheel locked.
    Slid {
        /// Where.
        ground: RunGround,
        /// Where it began, below the brow; none on the steepest stretch.
        from: Option<Length>,
        /// Speed at which the wheels locked.
        speed: Speed,
        /// From there to rest, along the ground.
        length: Length,
    },
    /// Rolled out in neutral, foot off the brake, to rest.
    Coasted {
        /// Where.
        ground: RunGround,
        /// Speed at which the gear was let go.
        speed: Speed,
        /// From there to rest, along the ground.
        length: Length,
    },
    /// Pulled in neutral at a walk.
    Pulled {
        /// Where.
        ground: RunGround,
        /// Which way.
        towed: Towed,
        /// Force in the line.
        force: Force,
    },
    /// A disc or drum after descents on the foot brake.
    Heated {
        /// Where.
        ground: RunGround,
        /// How it was heated and read.
        heat: Heated,
    },
    /// So many turns of a wheel.
    Rolled {
        /// Turns.
        turns: u32,
        /// From mark to mark.
        length: Length,
    },
}

/// How a disc or drum was heated, and what it read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heated {
    /// Which axle's.
    pub end: End,
    /// Descents in a row, brow to foot.
    pub descents: u16,
    /// From the end of one to the start of the next.
    pub every: Time,
    /// Mean speed of a descent.
    pub speed: Speed,
    /// What it read before the first.
    pub before: Temperature,
    /// From the end of the last until it was read.
    pub waited: Time,
    /// What it read.
    pub hot: Temperature,
}

impl Seen {
    /// Where it was; nowhere in particular for a tyre that was rolled.
    pub fn ground(&self) -> Option<&RunGround> {
        match self {
            Self::Timed { ground, .. }
            | Self::Spun { ground, .. }
            | Self::Slid { ground, .. }
            | Self::Coasted { ground, .. }
            | Self::Heated { ground, .. }
            | Self::Pulled { ground, .. } => Some(ground),
            Self::Rolled { .. } => None,
        }
    }

    /// The gear, where one was engaged.
    pub fn gear(&self) -> Option<Gear> {
        match self {
            Self::Timed { gear, .. } | Self::Spun { gear, .. } => Some(*gear),
            _ => None,
        }
    }

    /// What was read, SI: time, engine speed, length of the slide or the roll, force, distance rolled,
    /// temperature.
    pub fn value(&self) -> f64 {
        match self {
            Self::Timed { time, .. } => time.si(),
            Self::Spun { spin, .. } => spin.si(),
            Self::Slid { length, .. } | Self::Coasted { length, .. } | Self::Rolled { length, .. } => {
                length.si()
            }
            Self::Pulled { force, .. } => force.si(),
            Self::Heated { heat, .. } => heat.hot.si(),
        }
    }
}

/// Figures of a course that runs have narrowed, each with what it was before.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Earned {
    /// Surfaces as they were.
    pub surfaces: Vec<(Surface, SurfaceEarned)>,
    /// Vehicles whose engine drag was narrowed.
    pub drags: Vec<(String, EarnedFrom)>,
    /// Vehicles whose rolling circumference was measured, with what the course gave.
    pub tyres: Vec<(String, Option<Length>, EarnedFrom)>,
    /// Vehicles whose brakes were found to take less heat for each kelvin, with what was reckoned before.
    pub brakes: Vec<(String, Known<HeatCapacity>, EarnedFrom)>,
}

impl Earned {
    /// Whether nothing was narrowed.
    pub fn is_empty(&self) -> bool {
        self.surfaces.is_empty() && self.drags.is_empty() && self.tyres.is_empty() && self.brakes.is_empty()
    }

    /// What a vehicle's engine drag was earned from.
    pub fn drag_of(&self, vehicle: &str) -> Option<EarnedFrom> {
        self.drags.iter().find(|(id, _)| id == vehicle).map(|(_, from)| *from)
    }

    /// What a vehicle's rolling circumference was earned from.
    pub fn tyre_of(&self, vehicle: &str) -> Option<EarnedFrom> {
        self.tyres.iter().find(|(id, ..)| id == vehicle).map(|(.., from)| *from)
    }

    /// What the heat that a vehicle's brakes take was earned from.
    pub fn brakes_of(&self, vehicle: &str) -> Option<EarnedFrom> {
        self.brakes.iter().find(|(id, ..)| id == vehicle).map(|(.., from)| *from)
    }

    /// What the figures of a surface were earned from.
    pub fn surface_of(&self, surface: &str) -> Option<SurfaceEarned> {
        self.surfaces.iter().find(|(was, _)| was.id == surface).map(|(_, from)| *from)
    }
}

impl super::super::Course {
    /// The course with its figures as they were before its runs narrowed them.
    #[must_use]
    pub fn before_runs(&self) -> Self {
        let mut course = self.clone();
        let earned = std::mem::take(&mut course.earned);
        for (was, _) in earned.surfaces {
            if let Some(surface) = course.surfaces.iter_mut().find(|surface| surface.id == was.id) {
                *surface = was;
            }
        }
        for vehicle in &mut course.vehicles {
            vehicle.engine.earned = None;
            if let Some((_, was, _)) = earned.tyres.iter().find(|(id, ..)| *id == vehicle.id) {
                vehicle.tyre.measured_circumference = *was;
            }
            if let Some((_, was, _)) = earned.brakes.iter().find(|(id, ..)| *id == vehicle.id) {
                vehicle.brakes.heat_capacity = *was;
            }
        }
        course
    }
}
