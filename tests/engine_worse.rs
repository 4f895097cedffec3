//! Worse ground, more load, a faster brow or less room never improve a mark.
//!
//! From the worst: do not drive, not judged, with the foot brake, near a limit, within the limits. What
//! is missing is no better than a go and no worse than a refusal known for sure: a pair refused for a
//! reason that is known stays refused whatever else is missing.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use std::cell::Cell;

use proptest::prelude::*;
use slopepack::course::{Band, Slope, Surface, Vehicle};
use slopepack::engine::{Deciding, Judgement, Mark, Outcome, Pair, Told, Unforgiving, Way, What, reckon};
use slopepack::quantity::{Angle, Length, Mass, Speed};

use crate::engine_corners::{PAIRS, any_place, runner};
use crate::engine_courses::{DEGREE, course};

fn pair(surface: &Surface, slope: &Slope, vehicle: &Vehicle) -> Pair {
    let one = course(vec![surface.clone()], vec![slope.clone()], vec![vehicle.clone()]);
    reckon(&one).pairs.remove(0)
}

fn steeper(slope: &Slope, more: f64) -> Slope {
    let mut steep = slope.clone();
    for stretch in &mut steep.stretches {
        stretch.gradient = Angle::new(stretch.gradient.si() + more * DEGREE);
    }
    steep
}

fn slicker(surface: &Surface, left: f64) -> Surface {
    let less = |band: Band| Band::new(left * band.low, left * band.likely, left * band.high);
    Surface { peak: less(surface.peak), sliding: less(surface.sliding), ..surface.clone() }
}

fn shorter(slope: &Slope, left: f64) -> Option<Slope> {
    let mut short = slope.clone();
    let run_out = short.run_out.as_mut()?;
    run_out.length = Length::new(left * run_out.length.si());
    Some(short)
}

/// A place whose stretches all fall, as a course must have them.
fn falling() -> impl Strategy<Value = (Surface, Slope, Vehicle)> {
    any_place().prop_map(|(surface, mut slope, vehicle)| {
        for stretch in &mut slope.stretches {
            stretch.gradient = Angle::new(stretch.gradient.si().max(0.0));
        }
        (surface, slope, vehicle)
    })
}

/// The place made worse in each way that somebody can measure wrong, by a part from 0 to 1.
fn worse(surface: &Surface, slope: &Slope, vehicle: &Vehicle, part: f64) -> Vec<(&'static str, Pair)> {
    let entry_speed = Speed::new(slope.entry_speed.si() + 0.05 + 3.0 * part);
    let mass = Mass::new((1.01 + 0.5 * part) * vehicle.mass.si());
    let mut all = vec![
        ("steeper", pair(surface, &steeper(slope, 0.2 + 5.0 * part), vehicle)),
        ("slicker", pair(&slicker(surface, 0.5 + 0.49 * part), slope, vehicle)),
        ("heavier", pair(surface, slope, &Vehicle { mass, ..vehicle.clone() })),
        ("faster", pair(surface, &Slope { entry_speed, ..slope.clone() }, vehicle)),
    ];
    all.extend(shorter(slope, 0.2 + 0.75 * part).map(|short| ("shorter", pair(surface, &short, vehicle))));
    all
}

fn in_words(judged: &Judgement) -> String {
    let one =
        |r: &Deciding| format!("{:?} {:.4}/{:.4} {} {:?}", r.what, r.value, r.limit, r.way, r.tolerance);
    let all: Vec<String> = judged.reasons.iter().map(one).collect();
    format!("{:?} {:?}: {}", judged.mark, judged.gear.map(|gear| gear.to_string()), all.join("; "))
}

/// Whether all that speaks against a pair before and not after is grip.
///
/// The one thing load is good for: the same engine takes a smaller part of more grip, and a smaller part
/// of what one axle must hold. No page counts on it; a weighed vehicle is judged as it is.
fn only_grip_is_won(before: &Pair, after: &Pair) -> bool {
    let is = &after.judged;
    // What spoke against the way that goes now.
    let same = |told: &&Told| Some(told.descent.way) == is.way && told.descent.gear == is.gear;
    let was: Vec<Deciding> = match before.ways.iter().find(same) {
        Some(told) => told.verdict.broken.clone(),
        None => before.judged.broken().copied().collect(),
    };
    was.iter()
        .filter(|one| !is.broken().any(|other| (other.what, other.way) == (one.what, one.way)))
        .all(|one| matches!(one.what, What::FrontGrip | What::RearGrip | What::GripInHand))
}

/// The hottest brake on the foot brake, where it holds in every case.
fn hottest(told: Option<&Told>) -> Option<f64> {
    let told = told?;
    let holds = told.descent.runs().iter().all(|run| run.outcome == Outcome::HeldOnBrakes);
    told.heat.as_ref().filter(|_| holds).map(|heat| heat.hottest)
}

#[test]
fn nothing_worse_improves_a_mark() {
    let (won, heats) = (Cell::new(0), Cell::new(0));
    runner(PAIRS)
        .run(&(falling(), 0.0..1.0f64), |((surface, slope, vehicle), part)| {
            let before = pair(&surface, &slope, &vehicle);
            for (how, after) in worse(&surface, &slope, &vehicle, part) {
                let (was, is) = (&before.judged, &after.judged);
                let by_load = how == "heavier" && is.mark < was.mark && only_grip_is_won(&before, &after);
                won.set(won.get() + u32::from(by_load));
                prop_assert!(
                    is.mark >= was.mark || by_load,
                    "{how} by {part}: {}\nthen {}",
                    in_words(was),
                    in_words(is)
                );
                for way in [Way::Braked, Way::Assisted] {
                    // The speed over the brow is what the engine must not be thanked for.
                    let same = how == "faster" && before.gear == after.gear;
                    if let (Some(cool), Some(hot), true) =
                        (hottest(before.way(way)), hottest(after.way(way)), same)
                    {
                        heats.set(heats.get() + 1);
                        // Braked more gently, ground that hardly falls slows it too: half a kelvin and a hundredth.
                        let slack = 0.5 + 0.01 * (cool - 293.15);
                        prop_assert!(
                            hot >= cool - slack,
                            "{how} by {part}, {way}: brakes at {cool} K, then {hot} K"
                        );
                    }
                }
            }
            Ok(())
        })
        .unwrap();
    assert!(won.get() < PAIRS / 50, "{} by load", won.get());
    assert!(heats.get() > PAIRS / 4, "{} heats", heats.get());
}

#[test]
fn a_missing_run_out_is_no_better_than_a_go_and_no_worse_than_a_known_refusal() {
    let (refused, missing) = (Cell::new(0), Cell::new(0));
    runner(500)
        .run(&falling(), |(surface, slope, vehicle)| {
            let (Some(_), bare) = (&slope.run_out, Slope { run_out: None, ..slope.clone() }) else {
                return Ok(());
            };
            let (with, without) =
                (pair(&surface, &slope, &vehicle).judged, pair(&surface, &bare, &vehicle).judged);
            let room = |one: &Deciding| matches!(one.what, What::RunOut | What::RollsBack);
            if with.mark.goes() {
                missing.set(missing.get() + 1);
                prop_assert_eq!(without.mark, Mark::NotJudged, "{}", in_words(&without));
            } else if !with.broken().any(room) && !with.unforgiving.contains(&Unforgiving::ShortRunOut) {
                refused.set(refused.get() + 1);
                prop_assert_eq!(
                    without.mark,
                    Mark::Refused,
                    "{}\nthen {}",
                    in_words(&with),
                    in_words(&without)
                );
            }
            Ok(())
        })
        .unwrap();
    assert!(refused.get() > 20 && missing.get() > 20, "{} refused, {} missing", refused.get(), missing.get());
}
