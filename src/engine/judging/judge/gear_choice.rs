//! Which gear is driven down a slope: neither too low for its ground nor too high for its grade.
//!
//! Where a gear holds with every tolerance to spare, the highest such gear that keeps the pace the slope
//! allows: the class waits less, and the wheels are not forced slower than they need be. The course's own
//! limits of speed and the run-out are in the marks already; across a tilt and over bumps nobody goes faster
//! than somebody walks. Where a gear goes only near a limit, the slowest. Common practice, no source: the
//! trade's own rule is the gear one would climb it in, or one lower.

use crate::course::{Gear, Slope, Vehicle};
use crate::engine::chassis::drive::overall_ratio_of;
use crate::engine::descent::Descent;
use crate::engine::mark::{Deciding, Mark, What};

/// A brisk walk, m/s: a spotter beside the vehicle keeps up. Common practice, no source.
const WALK: f64 = 1.5;

/// Of these gears, each with its mark, the one to drive; the lowest where none goes by itself, since then the foot
/// brake helps.
pub(crate) fn best(slope: &Slope, vehicle: &Vehicle, gears: &[&Descent], marks: &[Mark]) -> Option<usize> {
    let ratio = |at: &usize| gears[*at].gear.map_or(0.0, |gear| overall_ratio_of(vehicle, gear));
    let lowest = |a: &usize, b: &usize| ratio(a).total_cmp(&ratio(b));
    let slowest = |a: &usize, b: &usize| gears[*a].fastest().total_cmp(&gears[*b].fastest());
    let marked = |mark: Mark| (0..gears.len()).filter(move |at| marks[*at] == mark);
    match marks.iter().min().copied() {
        Some(Mark::Within) => marked(Mark::Within)
            .filter(|at| keeps_pace(slope, gears[*at]))
            .min_by(lowest)
            .or_else(|| marked(Mark::Within).min_by(slowest)),
        Some(mark) if mark.goes() => marked(mark).min_by(slowest),
        _ => (0..gears.len()).max_by(lowest),
    }
}

/// Whether a gear keeps to a walk by the foot where the slope tilts or has bumps; anywhere else the marks
/// have seen to its speed.
fn keeps_pace(slope: &Slope, descent: &Descent) -> bool {
    let uneven = slope.bump.is_some() || slope.cross_slope.si() != 0.0 || slope.heading.si() != 0.0;
    !uneven || descent.fastest() <= WALK
}

/// The highest of the gears that are refused for grip while a higher one goes, by itself or helped by the foot brake:
/// each with its mark and the limits it breaks.
pub(crate) fn too_low(
    vehicle: &Vehicle,
    gears: &[(Gear, Mark, &[Deciding])],
    helped: Option<Gear>,
) -> Option<Gear> {
    let ratio = |gear: Gear| overall_ratio_of(vehicle, gear);
    let going = gears.iter().filter(|(_, mark, _)| mark.goes()).map(|(gear, ..)| *gear);
    let lowest = going.chain(helped).map(ratio).fold(0.0, f64::max);
    let of_grip = |one: &Deciding| matches!(one.what, What::FrontGrip | What::RearGrip | What::GripInHand);
    gears
        .iter()
        .filter(|(gear, mark, broken)| {
            !mark.goes() && lowest > 0.0 && ratio(*gear) > lowest && broken.iter().any(of_grip)
        })
        .map(|(gear, ..)| *gear)
        .min_by(|a, b| ratio(*a).total_cmp(&ratio(*b)))
}
