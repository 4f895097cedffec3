//! The example courses read without a problem and show what they are meant to show.

use std::path::Path;

use slopepack::course::{
    Course, Fuel, Gearbox, Ground, KitKind, Paper, Role, TyreBuild, Vehicle, advice, read, read_text,
};
use slopepack::problem::{Failure, render_problems};
use slopepack::quantity::UnitSystem;

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");

fn example(name: &str) -> Course {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses").join(name);
    match read(&path) {
        Ok(loaded) => loaded.course,
        Err(unread) => match unread.failure {
            Failure::Course(problems) => {
                panic!("{}", render_problems(name, &unread.source, &problems, false))
            }
            failure => panic!("{failure}"),
        },
    }
}

fn vehicle<'c>(course: &'c Course, id: &str) -> &'c Vehicle {
    course.vehicles.iter().find(|vehicle| vehicle.id == id).expect("a vehicle of the example")
}

/// How many values of a vehicle are estimated.
fn estimates(vehicle: &Vehicle) -> usize {
    format!("{vehicle:?}").matches("estimated: true").count()
}

#[test]
fn the_quarry_day_has_slopes_that_teach_different_things() {
    let course = example("quarry-day.yaml");
    assert_eq!((course.units, course.paper), (UnitSystem::Metric, Paper::A4));
    assert_eq!(course.accent, Some([0x2f, 0x6b, 0x4f]));
    let steep =
        |id: &str| course.slopes.iter().find(|slope| slope.id == id).expect("a slope").steepest().gradient;
    assert!(steep("nursery").si().to_degrees() < 10.0);
    assert!((steep("ramp").si().to_degrees() - 19.0).abs() < 1e-9);
    assert!(steep("old-incline") > steep("ramp"));
    let goes = |vehicle: &str| {
        let reckoning = slopepack::engine::reckon(&course);
        let pair =
            reckoning.pair("old-incline", vehicle).expect("every slope is reckoned with every vehicle");
        pair.standing != slopepack::engine::Standing::NotHere
    };
    assert!(goes("wagon") && !goes("guest"), "too steep for some, not for all");
    assert!(course.slopes.iter().any(|slope| slope.cross_slope.si() > 0.1 && slope.bump.is_some()));
    assert!(course.slopes.iter().any(|slope| slope.stretches.len() == 3));
    assert!(course.slopes.iter().any(|slope| course.surface_of(slope).ground == Ground::Loose));
    // The clay cannot hold anything: even the best friction is below the slope at its likely value.
    let clay = course.slopes.iter().find(|slope| slope.id == "clay-slide").expect("a slope");
    assert!(course.surface_of(clay).sliding.likely < libm::tan(clay.steepest().gradient.si()));
    for slope in &course.slopes {
        let beyond = slope.run_out.as_ref().and_then(|run_out| run_out.surface.as_ref());
        assert!(beyond.is_none_or(|id| course.surface(id).is_some()));
    }
}

#[test]
fn the_quarry_fleet_differs() {
    let course = example("quarry-day.yaml");
    let fuels = |fuel| course.vehicles.iter().filter(|vehicle| vehicle.engine.fuel == fuel).count();
    assert_eq!((fuels(Fuel::Petrol), fuels(Fuel::Diesel)), (2, 3));
    assert_eq!(vehicle(&course, "pickup").transmission.gearbox, Gearbox::AutomaticUnlocked);
    assert!(vehicle(&course, "hub-truck").transmission.hub.si() > 1.5);
    assert!(vehicle(&course, "shorty").wheelbase.si() < 2.4);
    assert_eq!(vehicle(&course, "pickup").engine.drag.len(), 4);
    // 1160 of 2290 kg on the front axle: a = 2.72·(1 − 1160/2290) = 1.3422 m, worked here.
    assert!((vehicle(&course, "wagon").centre_behind_front.si() - 1.3422).abs() < 1e-4);
}

#[test]
fn what_is_given_is_given_and_gaps_are_marked() {
    let course = example("quarry-day.yaml");
    assert_eq!(estimates(vehicle(&course, "wagon")), 0);
    let guest = vehicle(&course, "guest");
    assert!(estimates(guest) >= 17, "{}", estimates(guest));
    assert!(guest.track.estimated && guest.tyre.diameter.estimated && guest.engine.stroke.estimated);
    // Square four-cylinder of 3.25 L: cube root of 4·0.0008125/π = 0.10114 m, worked here.
    assert!((guest.engine.stroke.si() - 0.101_14).abs() < 1e-5);
    assert!(guest.engine.drag.is_empty());
}

#[test]
fn the_quarry_day_is_staffed_and_equipped() {
    let course = example("quarry-day.yaml");
    for role in [Role::Lead, Role::Instructor, Role::Assessor, Role::Marshal, Role::Spotter, Role::FirstAider]
    {
        assert!(course.people.iter().any(|person| person.role == role), "{role:?}");
    }
    let rating = |kind| course.kit.iter().find(|item| item.kind == kind).expect("kit").rating;
    assert!((rating(KitKind::Shackle).working_load.expect("rated") - 4.75 * 9806.65).abs() < 1e-6);
    assert!(rating(KitKind::GroundAnchor).working_load.is_none());
    assert!(course.day.sessions.len() >= 6);
    assert!(!course.day.air_estimated && course.day.rolling_between_runs);
}

#[test]
fn the_weekend_is_imperial_and_different() {
    let course = example("hill-club-weekend.yaml");
    assert_eq!((course.units, course.paper), (UnitSystem::Imperial, Paper::Letter));
    assert_eq!((course.slopes.len(), course.vehicles.len()), (3, 4));
    let van = vehicle(&course, "two-wheel-van");
    assert!(van.transmission.driven == slopepack::course::Driven::Rear);
    assert_eq!((van.transmission.transfer_low, van.gears().len()), (None, 5));
    assert_eq!(vehicle(&course, "grandad").tyre.build, TyreBuild::Diagonal);
    let gravel = course.surface("river-gravel").expect("its own surface");
    assert!(gravel.ground == Ground::Loose && gravel.sliding.likely > gravel.peak.likely && gravel.estimated);
    let pasture = &course.slopes[0];
    assert!(pasture.run_out.as_ref().expect("a run-out").gradient.si() < 0.0);
    assert!((pasture.length().si() - 180.0 * 0.3048).abs() < 1e-9);
    assert!((course.day.run_gap.si() - 900.0).abs() < 1e-9);
}

#[test]
fn advice_names_what_a_careful_reader_would_ask_about() {
    let course = example("quarry-day.yaml");
    let all = advice(&course).join("\n");
    for part in ["Loading ramp", "not promised to hold", "tow eye", "Shackle without a stamp", "FILL IN"] {
        let part = if part == "tow eye" { "older diesel wagon" } else { part };
        assert!(all.contains(part), "{part}: {all}");
    }
    assert!(!all.contains("Nursery bank"), "9.5° is below 20 %: {all}");
    assert!(!all.contains("side limit"), "{all}");
    let bold = read_text(&QUARRY.replace("side-limit: 12°", "side-limit: 35°")).expect("a course");
    assert!(
        advice(&bold).iter().any(|line| line.contains("petrol wagon") && line.contains("half the tangent"))
    );
    let alone = read_text(&QUARRY.replace("role: first-aider", "role: spotter")).expect("a course");
    assert!(advice(&alone).iter().any(|line| line.contains("first aid")));
}

/// An unknown key makes the reader list the keys it knows; the commented example shows each of them.
#[test]
fn the_commented_example_shows_every_key() {
    let places = [
        ("\nlimits:\n", "\nzzzzzzzz: 1\nlimits:\n"),
        ("  club: Ninth", "  zzzzzzzz: 1\n  club: Ninth"),
        ("  gradient: 28°\n", "  gradient: 28°\n  zzzzzzzz: 1\n"),
        ("    like: gravel-loose\n", "    like: gravel-loose\n    zzzzzzzz: 1\n"),
        ("    name: Nursery bank\n", "    name: Nursery bank\n    zzzzzzzz: 1\n"),
        ("risk: {ask-first", "risk: {zzzzzzzz: 1, ask-first"),
        ("{length: 28 m,", "{zzzzzzzz: 1, length: 28 m,"),
        ("{length: 30 m,", "{zzzzzzzz: 1, length: 30 m,"),
        ("{by: Instructor 1, date: 12 March,", "{zzzzzzzz: 1, by: Instructor 1, date: 12 March,"),
        ("    wheelbase: 2.72 m\n", "    wheelbase: 2.72 m\n    zzzzzzzz: 1\n"),
        ("      height: 0.72 m\n", "      height: 0.72 m\n      zzzzzzzz: 1\n"),
        ("{mass: 45 kg,", "{zzzzzzzz: 1, mass: 45 kg,"),
        ("      circumference: 2.40 m ", "      zzzzzzzz: 1\n      circumference: 2.40 m "),
        ("      stroke: 78 mm\n", "      stroke: 78 mm\n      zzzzzzzz: 1\n"),
        ("{at: 800 rpm,", "{zzzzzzzz: 1, at: 800 rpm,"),
        ("{kind: manual, ratios: [4.45, 2.52", "{zzzzzzzz: 1, kind: manual, ratios: [4.45, 2.52"),
        ("{high: 1.12,", "{zzzzzzzz: 1, high: 1.12,"),
        ("      front-share: 65 %\n", "      front-share: 65 %\n      zzzzzzzz: 1\n"),
        ("{kind: disc, count: 2, mass: 10 kg,", "{zzzzzzzz: 1, kind: disc, count: 2, mass: 10 kg,"),
        ("{place: rear hitch,", "{zzzzzzzz: 1, place: rear hitch,"),
        ("{id: block,", "{zzzzzzzz: 1, id: block,"),
        ("{name: Assessor 1,", "{zzzzzzzz: 1, name: Assessor 1,"),
        ("  site-speed: 15 km/h\n", "  site-speed: 15 km/h\n  zzzzzzzz: 1\n"),
        ("{start: 09:15,", "{zzzzzzzz: 1, start: 09:15,"),
        ("  access: South", "  zzzzzzzz: 1\n  access: South"),
        ("{name: Site office,", "{zzzzzzzz: 1, name: Site office,"),
        ("{surface: slick-clay, length: 60 m", "{zzzzzzzz: 1, surface: slick-clay, length: 60 m"),
        ("{low: 0.12,", "{zzzzzzzz: 1, low: 0.10,"),
    ];
    for (from, to) in places {
        assert_eq!(QUARRY.matches(from).count(), 1, "{from:?}");
        let problems = read_text(&QUARRY.replace(from, to)).expect_err("an unknown key");
        assert_eq!(problems.len(), 1, "{problems:#?}");
        let help = problems[0].help.clone().expect("help");
        let keys: Vec<&str> = help.split('`').skip(1).step_by(2).collect();
        let keys = if help.starts_with('`') { &keys[1..] } else { &keys[..] };
        assert!(keys.len() >= 2, "{help}");
        for key in keys {
            assert!(QUARRY.contains(&format!("{key}:")), "{key} is not shown: {help}");
        }
    }
}
