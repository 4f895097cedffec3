//! Choosing a gear for a slope: the highest that holds with something in hand.

use super::Scene;
use crate::course::{Gear, Gearbox, Slope, Theme, Vehicle};
use crate::engine::{Way, hold_at_limit, overall_ratio_of};
use crate::page::Fig;
use crate::paper::item::{Stuff, Variant, Wrong};
use crate::paper::making::recipe::is_apart;
use crate::quantity::{Digits, Shown};

/// What a gear must hold at the speed limit, as a multiple of what the slope asks, to be driven in these
/// questions. Judgement, no source; the marks of the course take its own tolerances.
pub(crate) const IN_HAND: f64 = 1.3;

/// The highest of four gears that holds with enough in hand, for every slope and vehicle that may meet.
pub(crate) fn variants(scene: &Scene) -> Vec<Variant> {
    let tied = |vehicle: &Vehicle| vehicle.transmission.gearbox != Gearbox::AutomaticUnlocked;
    scene
        .pairs()
        .into_iter()
        .filter(|(_, one)| tied(one))
        .filter_map(|(on, with)| of_pair(scene, on, with))
        .collect()
}

fn of_pair(scene: &Scene, slope: &Slope, vehicle: &Vehicle) -> Option<Variant> {
    let mut gears: Vec<Gear> = vehicle.gears();
    gears.sort_by(|a, b| overall_ratio_of(vehicle, *b).total_cmp(&overall_ratio_of(vehicle, *a)));
    let held: Vec<(String, f64)> = gears
        .iter()
        .map(|gear| (gear.to_string(), hold_at_limit(scene.course, slope, vehicle, *gear)))
        .collect();
    let right = held.iter().rposition(|(_, hold)| *hold >= IN_HAND)?;
    // The key is never a gear that this course's own card forbids, or drives with the foot brake on alone.
    let judged = &scene.reckoning.pair(&slope.id, &vehicle.id)?.judged;
    let card = judged.gear.filter(|_| judged.way == Some(Way::Geared))?;
    if gears[right] != card {
        return None;
    }
    let first = right.saturating_sub(1).min(held.len().checked_sub(4)?);
    let shown = &held[first..first + 4];
    let clear = shown.iter().all(|(_, hold)| is_apart(*hold, IN_HAND)) && (right - first) < 3;
    if !clear {
        return None;
    }
    let digits = |value: f64| Shown::of(value, Digits::Significant(3)).text;
    let option = |name: &str, why: String, value: f64| Wrong {
        id: name.to_owned(),
        text: name.to_owned(),
        value,
        why,
        step: 0,
        careless: false,
    };
    let why = |at: usize, hold: f64| {
        if first + at < right {
            format!(
                "It holds {} times what the slope asks, but comes down slower than it need.",
                digits(hold)
            )
        } else {
            format!("It holds only {} times what the slope asks: too high.", digits(hold))
        }
    };
    let wrong = shown.iter().enumerate().filter(|(at, _)| first + at != right);
    let wrong = wrong.map(|(at, (name, hold))| option(name, why(at, *hold), *hold)).collect();
    Some(Variant {
        name: format!("gear-choice/{}/{}", slope.id, vehicle.id),
        theme: Some(Theme::GearChoice),
        ease: 0.55,
        outcome: "Chooses the highest gear that holds with enough in hand.".into(),
        ask: format!(
            "{} on {}: what each gear holds at the speed limit, as a multiple of what the slope asks. At least {IN_HAND} is wanted, and nobody waits longer than need be. Which gear is driven?",
            vehicle.name, slope.name
        ),
        data: shown
            .iter()
            .map(|(name, hold)| (format!("{name} holds"), Fig::new(digits(*hold), "times", false)))
            .collect(),
        drawing: None,
        works_out: Vec::new(),
        one_of: None,
        worked: None,
        told_steps: Vec::new(),
        feedback: "The highest gear that still holds with enough in hand: a lower one is slower than it need be, a higher one runs away.".into(),
        source: "common practice, no source; what each gear holds is worked from the course".into(),
        stuff: Stuff::Choice { right: option(&held[right].0, String::new(), held[right].1), wrong, sized: false },
    })
}
