//! The calculator promise: every printed line can be redone from what is printed, and its answer is
//! within 0.5 % of the full-precision one. And the machine's view keeps its form.

use proptest::prelude::*;
use serde_json::Value;
use slopepack::course::{Course, read_text};
use slopepack::engine::reckon;
use slopepack::formula::{Worked, line_holds};
use slopepack::lesson::worked_examples;
use slopepack::quantity::{Angle, Length, Mass, Ratio, Speed, SpinRate, UnitSystem, unit_named};

use crate::program::Bench;

/// Greatest distance of an answer from the full-precision one.
const CLOSE: f64 = 0.005;

fn number(text: &str) -> f64 {
    text.replace('−', "-").parse().unwrap()
}

#[test]
fn every_line_of_the_machines_view_can_be_redone_from_its_text() {
    for example in ["quarry-day.yaml", "hill-club-weekend.yaml"] {
        let ran = Bench::with_example(example).run(&["reckon", "day.yaml", "--json"]);
        let view: Value = serde_json::from_str(&ran.out).unwrap();
        assert_eq!(view["format"], 2);
        let worked = view["worked"].as_array().unwrap();
        assert!(worked.len() > 40, "{}", worked.len());
        for example in worked {
            let lines = example["lines"].as_array().unwrap();
            for line in lines {
                let plain = line["plain"].as_str().unwrap();
                assert_eq!(line_holds(plain), Ok(true), "{plain}");
                let end = [line["printed"].as_str().unwrap(), line["unit"].as_str().unwrap()];
                let end = end.join(if end[1] == "°" { "" } else { " " });
                assert!(plain.ends_with(end.trim_end()), "{plain} does not end with {end}");
            }
            let answer = &example["answer"];
            let unit = unit_named(answer["unit"].as_str().unwrap()).unwrap();
            let printed = unit.to_si(number(answer["printed"].as_str().unwrap()));
            let full = answer["value"].as_f64().unwrap();
            assert!((printed - full).abs() <= CLOSE * full.abs(), "{example}");
        }
    }
}

#[test]
fn descents_carry_what_design_and_readers_rely_on() {
    let ran = Bench::with_example("quarry-day.yaml").run(&["reckon", "day.yaml", "--json"]);
    let view: Value = serde_json::from_str(&ran.out).unwrap();
    let descents = view["descents"].as_array().unwrap();
    let ways: Vec<&str> = ["locked", "braked", "geared"].to_vec();
    for way in ways {
        assert!(descents.iter().any(|descent| descent["way"] == way), "{way}");
    }
    for descent in descents {
        for key in ["slope", "vehicle", "outcome", "top_speed", "foot_speed", "verdict", "likely"] {
            assert!(!descent[key].is_null(), "{key} is missing: {descent}");
        }
        for key in ["slip", "ledger", "time", "distance"] {
            assert!(!descent["likely"][key].is_null(), "{key} is missing");
        }
        assert!(descent["likely"].get("steering").is_some());
        assert!(descent["verdict"]["reasons"].is_array());
        let hot = descent["way"] == "braked";
        assert!(!hot || !descent["heat"].is_null(), "a braked descent has temperatures");
    }
}

#[test]
fn the_view_narrows_to_a_slope_and_a_vehicle() {
    let bench = Bench::with_example("quarry-day.yaml");
    let ran = bench.run(&["reckon", "day.yaml", "--json", "--slope", "ramp", "--vehicle", "wagon"]);
    let view: Value = serde_json::from_str(&ran.out).unwrap();
    let descents = view["descents"].as_array().unwrap();
    assert!(descents.len() > 3);
    assert!(descents.iter().all(|descent| descent["slope"] == "ramp" && descent["vehicle"] == "wagon"));
}

#[test]
fn the_table_has_a_row_for_each_descent() {
    let bench = Bench::with_example("quarry-day.yaml");
    let view: Value = serde_json::from_str(&bench.run(&["reckon", "day.yaml", "--json"]).out).unwrap();
    let table = bench.run(&["reckon", "day.yaml", "--csv"]).out;
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let heads = reader.headers().unwrap().len();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), view["descents"].as_array().unwrap().len());
    assert!(rows.iter().all(|row| row.len() == heads));
}

/// The example course with other numbers.
fn changed(numbers: &[f64], imperial: bool) -> Course {
    let mut course = read_text(include_str!("../courses/quarry-day.yaml")).unwrap();
    let mut next = numbers.iter().copied().cycle();
    let mut between = |low: f64, high: f64| low + (high - low) * next.next().unwrap();
    course.units = if imperial { UnitSystem::Imperial } else { UnitSystem::Metric };
    for slope in &mut course.slopes {
        slope.entry_speed = Speed::new(between(0.2, 3.0));
        for stretch in &mut slope.stretches {
            stretch.length = Length::new(between(3.0, 120.0));
            stretch.gradient = Angle::new(between(0.5, 40.0).to_radians());
        }
    }
    for vehicle in &mut course.vehicles {
        vehicle.mass = Mass::new(between(900.0, 7000.0));
        vehicle.engine.idle = SpinRate::new(between(550.0, 950.0) / 60.0);
        vehicle.transmission.axle = Ratio::new(between(3.0, 6.8));
        vehicle.wheelbase = Length::new(between(vehicle.centre_behind_front.si() * 1.2, 4.0));
        vehicle.tyre.diameter.value = Length::new(between(0.6, 1.2));
        vehicle.tyre.measured_circumference = None;
    }
    course
}

fn holds(worked: &Worked) -> Result<(), TestCaseError> {
    for line in &worked.lines {
        prop_assert_eq!(line_holds(&line.plain), Ok(true), "{}", line.plain);
        let printed = line.unit.to_si(line.shown.value);
        prop_assert!((printed - line.si).abs() <= CLOSE * line.si.abs(), "{}", line.plain);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn every_line_holds_over_random_courses(
        numbers in prop::collection::vec(0.0..1.0_f64, 61),
        imperial in any::<bool>(),
    ) {
        let course = changed(&numbers, imperial);
        let examples = worked_examples(&course, &reckon(&course));
        prop_assert!(examples.len() > 100);
        for worked in &examples {
            holds(worked)?;
        }
    }
}
