//! Why a vehicle stays off a slope and drives a steeper one: what differs between the two.

use crate::course::{Slope, Vehicle};
use crate::engine::Mark;
use crate::pack::facts::Facts;

/// One sentence for a vehicle that is refused here and drives a steeper slope; none where there is no such slope.
pub(super) fn drives_steeper(facts: &Facts, slope: &Slope, vehicle: &Vehicle) -> Option<String> {
    if facts.pair(slope, vehicle).judged.mark != Mark::Refused {
        return None;
    }
    let grade = |slope: &Slope| slope.steepest().gradient.si();
    let goes = |other: &&Slope| facts.pair(other, vehicle).judged.mark.goes();
    let steeper = facts.course.slopes.iter().filter(|other| grade(other) > grade(slope)).filter(goes);
    let other = steeper.max_by(|a, b| grade(a).total_cmp(&grade(b)))?;
    let differs: Vec<String> =
        [grip(facts, slope, other), brow(facts, slope, other), tilt(facts, slope, other)]
            .into_iter()
            .flatten()
            .collect();
    let why = if differs.is_empty() { String::new() } else { format!(": {}", differs.join(", ")) };
    let brake =
        if facts.pair(other, vehicle).judged.mark == Mark::WithBrake { " with the foot brake" } else { "" };
    Some(format!(
        "it does drive {}, steeper, {}{brake}{why}",
        facts.slope_mark(&other.id),
        facts.show.sharp_angle(grade(other)).text()
    ))
}

/// More grip there.
fn grip(facts: &Facts, slope: &Slope, other: &Slope) -> Option<String> {
    let low = |slope: &Slope| facts.course.surface_of(slope).peak.low;
    let (here, there) = (low(slope), low(other));
    (there > here + 1e-9).then(|| format!("low-end grip {there:.2} there, {here:.2} here"))
}

/// A slower start down.
fn brow(facts: &Facts, slope: &Slope, other: &Slope) -> Option<String> {
    let (here, there) = (slope.entry_speed.si(), other.entry_speed.si());
    let said = |speed: f64| facts.show.speed(speed, false).text();
    (here > there + 1e-9).then(|| format!("over the brow at {} there, {} here", said(there), said(here)))
}

/// No tilt to the side there.
fn tilt(facts: &Facts, slope: &Slope, other: &Slope) -> Option<String> {
    let (here, there) = (slope.cross_slope.si().abs(), other.cross_slope.si().abs());
    (here > there + 1e-9).then(|| format!("side tilt {} here", facts.show.angle(here, false).text()))
}
