//! Every example course is worked, and its figures are such as a person would believe.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use slopepack::course::read_text;
use slopepack::engine::{Reckoning, Standing, Way, reckon};

fn examples() -> Vec<(String, Reckoning)> {
    let mut courses: Vec<_> = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/courses"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
        .collect();
    courses.sort();
    courses
        .into_iter()
        .map(|path| {
            let name = path.display().to_string();
            let text = std::fs::read_to_string(&path).unwrap();
            (name.clone(), reckon(&read_text(&text).unwrap()))
        })
        .collect()
}

#[test]
fn the_account_of_every_descent_in_every_example_closes() {
    let mut counted = 0;
    for (name, reckoning) in examples() {
        for record in reckoning.descents() {
            for run in record.told.descent.runs() {
                let residual = run.ledger.residual();
                assert!(residual.abs() <= 1e-9, "{name}: {record:?}");
                counted += 1;
            }
        }
    }
    assert!(counted > 100);
}

#[test]
fn every_example_has_slopes_its_fleet_can_drive_and_speeds_a_person_can_walk() {
    for (name, reckoning) in examples() {
        let driven = reckoning.pairs.iter().filter(|pair| pair.standing != Standing::NotHere);
        assert!(driven.count() > 0, "{name}");
        for pair in reckoning.pairs.iter().filter(|pair| pair.standing == Standing::InGear) {
            let best = pair.way(Way::Geared).unwrap();
            assert!((0.2..5.0).contains(&best.descent.likely.top_speed), "{name}: {pair:?}");
        }
    }
}
