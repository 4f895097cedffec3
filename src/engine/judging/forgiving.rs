//! Whether a failure near a limit is forgiven: seen in time, and ending harmlessly.
//!
//! A verdict near a limit counts on the driver's foot to catch what a tolerance would break. On ground where a
//! failure cannot be seen in time or survived that is no plan: there the foot brake is on from brow to foot, or
//! the vehicle does not drive. Common practice, no source; the course's own rule says the figures.

use super::judgement::{LockedAt, Unforgiving};
use super::setting::Setting;
use crate::course::{Danger, DangerKind};
use crate::engine::mark::{Deciding, What};
use crate::engine::motion::run::Outcome;

/// What the ground of a slope does not forgive, whoever drives it; `locked` is the worst slide with locked wheels
/// of a way down there.
pub(crate) fn of_ground(setting: &Setting, locked: Option<&LockedAt>) -> Vec<Unforgiving> {
    let (slope, rule) = (setting.slope, &setting.course.limits.near);
    let is = |kind| move |danger: &Danger| danger.kind == Some(kind);
    let slides = |at: &LockedAt| at.outcome != Outcome::StopsOnSlope;
    let all = [
        (Unforgiving::Steep, slope.steepest().gradient.si() >= rule.gradient.si() - HAIR),
        (
            Unforgiving::ShortRunOut,
            slope.run_out.as_ref().is_some_and(|run_out| run_out.length.si() < rule.run_out.si() - HAIR),
        ),
        (
            Unforgiving::Edge,
            slope.hazards.iter().any(is(DangerKind::Edge)) || !setting.course.edges_beside(slope).is_empty(),
        ),
        (Unforgiving::Water, slope.has_water()),
        // Without a foot brake nothing catches it either.
        (Unforgiving::LockedSlides, locked.is_none_or(slides)),
    ];
    all.into_iter().filter(|(_, holds)| *holds).map(|(why, _)| why).collect()
}

/// Whether what a tolerance would break brings it to more speed than a foot over the brake catches.
pub(crate) fn too_fast(setting: &Setting, near: &[Deciding]) -> bool {
    let most = 1.0 + setting.course.limits.near.speed.si();
    near.iter().any(|one| one.what == What::Speed && one.value > most * one.limit * (1.0 + HAIR))
}

/// Rounding is not a reason.
const HAIR: f64 = 1e-9;
