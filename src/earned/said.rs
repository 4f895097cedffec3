//! What the pack said of a run.

use super::model::{Prepared, iron_part, mass_part, tyre_part, with_every_surface};
use crate::course::{Course, MeasuredRun, Seen, Vehicle};
use crate::engine::{Case, Spread};

/// The range that a course's figures give for a run, SI of what was read: as its cards have it, from the corners of
/// every range.
pub fn said(course: &Course, run: &MeasuredRun) -> Spread {
    let course = with_every_surface(course.clone());
    let of = |case: Case| Prepared::of(&course, run, case).as_it_stands();
    let spread = Spread::of(Case::ALL.map(of));
    if let Seen::Heated { heat, .. } = &run.seen {
        let vehicle = course.vehicles.iter().find(|one| one.id == run.vehicle);
        let part = super::SURE * vehicle.map_or(0.0, iron_part);
        let before = heat.before.si();
        let [low, high] = [(spread.low, 1.0 + part), (spread.high, 1.0 - part)]
            .map(|(hot, takes)| before + (hot - before) / takes);
        return Spread { low, high, ..spread };
    }
    // Neither tyre nor mass is a range of the course; both are unsure.
    let part: Option<fn(&Vehicle) -> f64> = match run.seen {
        Seen::Rolled { .. } => Some(tyre_part),
        Seen::Pulled { .. } => Some(mass_part),
        _ => None,
    };
    if let Some(part) = part {
        let vehicle = course.vehicles.iter().find(|one| one.id == run.vehicle);
        let part = super::SURE * vehicle.map_or(0.0, part);
        return Spread { low: spread.low * (1.0 - part), high: spread.high * (1.0 + part), ..spread };
    }
    spread
}
