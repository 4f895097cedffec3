//! Every verdict says its reason with the number and the limit, and no digit more than is known.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use std::cell::Cell;

use proptest::prelude::*;
use slopepack::engine::{Deciding, What, reckon};
use slopepack::page::Show;
use slopepack::page::words::deciding_words;
use slopepack::quantity::UnitSystem;

use crate::engine_corners::{PAIRS, any_place, runner};
use crate::engine_courses::course;

/// The numbers of a text; the digit of a gear's name and what stands in brackets are none.
fn numbers(text: &str) -> Vec<String> {
    let text = text.split(" (").next().unwrap();
    text.split(|c: char| c.is_whitespace() || ",;:°".contains(c))
        .map(|word| word.replace('−', "-"))
        .filter(|word| word.parse::<f64>().is_ok())
        .collect()
}

fn significant(number: &str) -> usize {
    let number = number.trim_start_matches(['-', '0', '.']);
    let number = if number.contains('.') { number } else { number.trim_end_matches('0') };
    number.chars().filter(char::is_ascii_digit).count()
}

/// What is wrong with the words of a reason.
fn wrong(one: &Deciding, text: &str, system: UnitSystem) -> Option<String> {
    let found = numbers(text);
    let just = text.contains("just ") || text.contains("above more");
    let wanted = match one.what {
        What::RunOutMissing | What::WayOutMissing => 0,
        What::RunOut if one.value.is_infinite() => 1,
        _ if just => 1,
        _ => 2,
    };
    if found.len() < wanted {
        return Some(format!("{wanted} numbers are wanted"));
    }
    let as_number = |at: usize| found[at].parse::<f64>().unwrap();
    if wanted == 2 {
        let upward = !matches!(one.what, What::GripInHand | What::Converter | What::LockUp);
        let breaks = if upward { as_number(0) > as_number(1) } else { as_number(0) < as_number(1) };
        if !breaks {
            return Some("what is printed does not break the limit".to_owned());
        }
    }
    // Forces in pounds, engine speeds and angles to a tenth have their own digits.
    let most = match one.what {
        What::EngineSpeed | What::Balance => 5,
        What::Gradient | What::SideTilt | What::BrakeHeat => 4,
        _ => 3,
    };
    if let Some(long) = found.iter().find(|number| significant(number) > most) {
        return Some(format!("{long} is surer than anybody knows"));
    }
    let speed = matches!(one.what, What::Speed | What::Converter | What::LockUp);
    let unit = if system == UnitSystem::Metric { "km/h" } else { "mph" };
    (speed && !text.contains(unit)).then(|| format!("{unit} is wanted"))
}

#[test]
fn every_reason_says_its_number_and_its_limit_in_the_courses_units() {
    let seen = Cell::new(0);
    runner(PAIRS)
        .run(&any_place(), |(surface, slope, vehicle)| {
            let one = course(vec![surface], vec![slope], vec![vehicle]);
            for reason in &reckon(&one).pairs[0].judged.reasons {
                for system in [UnitSystem::Metric, UnitSystem::Imperial] {
                    let text = deciding_words(reason, Show::new(system));
                    let wrong = wrong(reason, &text, system);
                    prop_assert!(wrong.is_none(), "{text}: {wrong:?} {reason:?}");
                    seen.set(seen.get() + 1);
                }
            }
            Ok(())
        })
        .unwrap();
    assert!(seen.get() > 4 * PAIRS, "{} reasons", seen.get());
}

/// What prints like its limit is said to be just beyond it, in either unit and for either side.
#[test]
fn what_prints_like_its_limit_is_just_beyond_it() {
    let (surface, slope, vehicle) = crate::engine_courses::steep();
    let one = course(vec![surface], vec![slope], vec![vehicle]);
    let mut reason = reckon(&one).pairs[0].judged.reasons[0];
    reason.tolerance = None;
    for (what, value, limit, expected) in [
        (What::Speed, 8.03 / 3.6, 8.0 / 3.6, "just over the 8 km/h allowed"),
        (What::GripInHand, 0.199, 0.2, "just under the 20 % of the grip in hand"),
        (What::FrontGrip, 0.4001, 0.4, "just over the 0.40 there"),
        (What::RunOut, 15.02, 15.0, "just over the 15 m of run-out"),
        (What::BrakeHeat, 523.2, 523.15, "just over the 250 °C allowed"),
    ] {
        (reason.what, reason.value, reason.limit) = (what, value, limit);
        let text = deciding_words(&reason, Show::new(UnitSystem::Metric));
        assert!(text.contains(expected), "{text}");
    }
}
