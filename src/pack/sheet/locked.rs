//! What is said of locked wheels on a slope.

use crate::course::{Course, Ground, Slope};
use crate::engine::{LockedAt, Outcome, Place};
use crate::page::chart::{STRIDE, exception};
use crate::page::figure::Show;

pub(super) fn place_words(slope: &Slope, at: Place, show: Show) -> String {
    match slope.stretches.get(at.stretch) {
        Some(stretch) if slope.stretches.len() > 1 => {
            format!("on the {} stretch", show.sharp_angle(stretch.gradient.si()).text())
        }
        Some(_) => "on the slope".to_owned(),
        None => "on the run-out".to_owned(),
    }
}

/// What becomes of it where locking would be worst, at the low end of the grip.
pub(super) fn locked_words(course: &Course, slope: &Slope, at: &LockedAt, show: Show) -> String {
    let from =
        format!("locked at {} {}", show.speed(at.speed, true).text(), place_words(slope, at.place, show));
    let end = show.speed(at.end_speed, true).text();
    match at.outcome {
        Outcome::StopsOnSlope if at.distance < STRIDE => {
            format!("{from}: stops, {}; does not steer", exception(course, slope))
        }
        Outcome::StopsOnSlope => {
            format!("{from}: slides {}, stops on the slope", show.length(at.distance, true).text())
        }
        Outcome::StopsInRunOut => {
            format!("{from}: slides {}, stops in the run-out", show.length(at.distance, true).text())
        }
        Outcome::LeavesRunOut => format!("{from}: leaves the run-out at {end}"),
        Outcome::SlidesOffSide => format!("{from}: slides off the low side at {end}"),
        _ => format!("{from}: does not stop, {end} at the foot"),
    }
}

/// Whether the steepest stretch is too steep for locked wheels to stop on it at the low end of the grip.
pub(crate) fn slides_on(course: &Course, slope: &Slope) -> bool {
    libm::tan(slope.steepest().gradient.si()) >= course.surface_of(slope).sliding.low
}

/// What is to be said of locked wheels on a slope whatever the vehicle: the steering, and a slide from
/// the brow that ends above a stretch too steep for them.
pub(crate) fn locked_note(course: &Course, slope: &Slope, show: Show) -> String {
    let surface = course.surface_of(slope);
    let steering = match surface.ground {
        Ground::Firm => "Locked wheels do not steer at all here.",
        Ground::Loose => "Locked wheels steer hardly at all here.",
    };
    if !slides_on(course, slope) {
        return steering.to_owned();
    }
    format!(
        "{steering} On the {} stretch they need not stop, at the low end of the grip, wherever they lock.",
        show.sharp_angle(slope.steepest().gradient.si()).text()
    )
}
