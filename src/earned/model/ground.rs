//! The ground of a run.

use super::surface_of;
use crate::course::{Course, MeasuredRun, Seen, Slope, Surface};
use crate::engine::{Case, Footing, Leg, Profile};

/// Least friction, and least rolling resistance: the bounds of the course's own reader.
pub(in crate::earned) const LEAST_FRICTION: f64 = 0.02;
pub(in crate::earned) const LEAST_ROLLING: f64 = 0.003;
/// Level ground without an end, m.
const ENDLESS: f64 = 1_000.0;

/// The course with every surface its runs were on: a slope may have been wet that day.
pub(in crate::earned) fn with_every_surface(mut course: Course) -> Course {
    let named: Vec<String> =
        course.runs.list.iter().filter_map(|run| Some(run.seen.ground()?.surface.clone())).collect();
    for id in named {
        if course.surface(&id).is_none() {
            course.surfaces.extend(surface_of(&course, &id));
        }
    }
    course
}

/// The line of a run in a case.
pub(super) fn profile(
    course: &Course,
    run: &MeasuredRun,
    slope: Option<&Slope>,
    surface: Option<&Surface>,
    case: Case,
) -> Profile {
    let Some(surface) = surface else {
        return Profile { legs: Vec::new(), run_out: None, side_room: 0.0 };
    };
    let footing = Footing::of(surface, case);
    let Some(slope) = slope else {
        return straight(Leg::straight(ENDLESS, 0.0, footing));
    };
    let as_it_was = Slope { surface: surface.id.clone(), ..slope.clone() };
    let whole = Profile::of(course, &as_it_was, case);
    match &run.seen {
        Seen::Slid { from: None, .. } | Seen::Pulled { .. } => {
            straight(Leg { length: ENDLESS, ..*whole.steepest() })
        }
        Seen::Slid { from: Some(from), .. } => below(whole, from.si()),
        _ => whole,
    }
}

fn straight(leg: Leg) -> Profile {
    Profile { legs: vec![leg], run_out: None, side_room: 100.0 }
}

/// What of a line lies below a place, m from the brow.
fn below(mut profile: Profile, from: f64) -> Profile {
    let mut left = from;
    for leg in &mut profile.legs {
        let gone = left.min(leg.length);
        leg.length -= gone;
        left -= gone;
    }
    profile.legs.retain(|leg| leg.length > 0.0);
    if profile.legs.is_empty() {
        profile.legs.extend(profile.run_out.take());
    }
    profile
}

/// The steepest leg of which something lies between two places, m from the brow.
pub(super) fn steepest_between(profile: &Profile, from: f64, until: f64) -> Option<Leg> {
    let mut start = 0.0;
    let mut found: Option<Leg> = None;
    for leg in &profile.legs {
        let inside = start + leg.length > from && start < until;
        if inside && found.is_none_or(|best| leg.pitch > best.pitch) {
            found = Some(*leg);
        }
        start += leg.length;
    }
    found
}
