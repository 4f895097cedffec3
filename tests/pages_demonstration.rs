//! The locked stop: at one place, by one sheet, with somebody who teaches at the wheel and nobody beside the line.

use slopepack::course::{Aid, Role};
use slopepack::engine::{Mark, Standing, circumference_of, overall_ratio_of, reckon};

use crate::pages::{Pack, Paper, examples};
use crate::pages_drawings::drawings_of;

fn paper<'p>(pack: &'p Pack, name: &str) -> Option<&'p Paper> {
    pack.papers.iter().find(|paper| paper.name == name)
}

fn text(paper: &Paper) -> String {
    let pieces = paper.sheets.iter().flat_map(|sheet| &sheet.pieces);
    pieces.flat_map(|piece| piece.text.chars()).filter(|c| c.is_alphanumeric() || *c == '?').collect()
}

/// Without what a page breaks lines and words with.
fn close(words: &str) -> String {
    words.chars().filter(|c| c.is_alphanumeric() || *c == '?').collect()
}

#[test]
fn nobody_stands_where_a_locked_vehicle_is_steered_to() {
    let mut seen = 0;
    for pack in examples() {
        let Some(demonstration) = paper(pack, "demonstration") else { continue };
        let plans = drawings_of(&demonstration.source, &["pad-plan"]);
        if plans.is_empty() {
            continue;
        }
        for plan in &plans {
            seen += 1;
            assert!(plan.alt().contains("the class and the spotter stand behind a rope"), "{}", plan.alt());
        }
        let text = text(demonstration);
        assert!(text.contains(&close("Class and spotter behind the rope")));
        for lettered in ["peg A", "peg B", "peg C", "Pegs A"] {
            assert!(!text.contains(&close(lettered)), "vehicles have letters, pegs have numbers: {lettered}");
        }
    }
    assert!(seen >= 2, "{seen}");
}

#[test]
fn somebody_who_teaches_is_at_the_wheel_of_the_locked_stop() {
    for pack in examples() {
        let Some(demonstration) = paper(pack, "demonstration") else { continue };
        let text = text(demonstration);
        let teaches = pack.course.people.iter().find(|person| person.role == Role::Instructor);
        let wheel = teaches.map_or_else(|| "FILL IN: who teaches".to_owned(), |person| person.name.short());
        assert!(text.contains(&close(&format!("At the wheel: {wheel}"))), "{wheel}");
        let locks = !drawings_of(&demonstration.source, &["pad-plan"]).is_empty();
        assert_eq!(text.contains(&close("Anti-lock asked about")), locks);
    }
}

#[test]
fn wheels_are_locked_with_a_vehicle_whose_wheels_lock_where_the_fleet_has_one() {
    let mut chosen = 0;
    for pack in examples() {
        let Some(demonstration) = paper(pack, "demonstration") else { continue };
        let text = text(demonstration);
        let reckoning = reckon(&pack.course);
        let free = |id: &str| {
            let goes = |slope: &slopepack::course::Slope| {
                slope.cross_slope.si() == 0.0
                    && slope.run_out.is_some()
                    && slope.survey.is_some()
                    && reckoning.pair(&slope.id, id).is_some_and(|pair| pair.standing == Standing::InGear)
            };
            pack.course.slopes.iter().any(goes)
        };
        let locks = |vehicle: &&slopepack::course::Vehicle| {
            !vehicle.aids.contains(&Aid::AntiLock) && free(&vehicle.id)
        };
        if pack.course.vehicles.iter().any(|vehicle| locks(&vehicle)) {
            chosen += 1;
            assert!(!text.contains(&close("this vehicle has it, and may not lock")), "{}", pack.course.title);
        }
    }
    assert!(chosen >= 1);
}

#[test]
fn notes_send_whoever_wants_to_lock_to_the_demonstration() {
    for pack in examples() {
        let notes = text(paper(pack, "instructor-notes").expect("has notes"));
        for asked in ["lock the wheels and steer", "locked for the last vehicle", "walking pace: lock"] {
            assert!(!notes.contains(&close(asked)), "{asked}");
        }
    }
}

#[test]
fn the_vehicle_check_times_a_creep_on_the_level() {
    for pack in examples() {
        let Some(check) = paper(pack, "vehicle-check") else { continue };
        let text = text(check);
        let apart = slopepack::course::pegs_apart(pack.course.units);
        let mut timed = 0;
        for vehicle in &pack.course.vehicles {
            let lowest = vehicle.gears().into_iter().map(|gear| overall_ratio_of(vehicle, gear));
            let ratio = lowest.fold(0.0, f64::max);
            let creep = circumference_of(vehicle) * vehicle.engine.idle.si() / ratio;
            timed += usize::from(text.contains(&close(&format!("in {:.1} s", apart / creep))));
        }
        assert!(2 * timed > pack.course.vehicles.len(), "{timed} of {}", pack.course.vehicles.len());
        assert!(text.contains(&close("Anti-lock? yes · no")));
    }
}

#[test]
fn the_fleet_table_gives_every_reason_and_what_opens_a_slope_first() {
    for pack in examples() {
        let table = text(paper(pack, "fleet-table").expect("has one"));
        for count in 1..9 {
            assert!(!table.contains(&close(&format!("and {count} more. "))), "a reason is left out");
        }
    }
    let hill = examples().iter().find(|pack| pack.course.title.full() == "Novice hill weekend");
    let table = text(paper(hill.expect("is shipped"), "fleet-table").expect("has one"));
    assert!(table.contains(&close(
        "D: S1, S3: a rated recovery point, fitted or its rating found, is all that is missing"
    )));
}

#[test]
fn nobody_is_told_that_feet_have_nothing_to_do_where_one_belongs_over_the_brake() {
    let mut found = 0;
    for pack in examples() {
        let Some(demonstration) = paper(pack, "demonstration") else { continue };
        let text = text(demonstration);
        let reckoning = reckon(&pack.course);
        let mark = |vehicle: &slopepack::course::Vehicle| {
            let place =
                pack.course.vehicles.iter().position(|other| other.id == vehicle.id).expect("of the fleet");
            char::from(b'A' + u8::try_from(place).expect("a small fleet"))
        };
        let shown = |slope: &slopepack::course::Slope, vehicle: &slopepack::course::Vehicle| {
            text.contains(&close(&format!("Vehicle {}, {}: once down", mark(vehicle), vehicle.name)))
                && pack.course.slopes.iter().enumerate().any(|(at, other)| {
                    other.id == slope.id
                        && text.contains(&close(&format!("once down S{} {}", at + 1, slope.name)))
                })
        };
        let pairs = pack
            .course
            .slopes
            .iter()
            .flat_map(|slope| pack.course.vehicles.iter().map(move |vehicle| (slope, vehicle)));
        for (slope, vehicle) in pairs.filter(|(slope, vehicle)| shown(slope, vehicle)) {
            found += 1;
            let near = reckoning.pair(&slope.id, &vehicle.id).expect("a pair").judged.mark == Mark::Near;
            assert_eq!(
                near,
                !text.contains(&close("my feet have nothing to do")),
                "{} {}",
                slope.name,
                vehicle.name
            );
        }
    }
    assert!(found >= 2, "{found}");
}

/// The rev counter that the driver of the locked stop is told belongs to the speed beside it, in the gear it names, and
/// the engine may turn so fast.
#[test]
fn the_rev_counter_of_the_locked_stop_is_that_of_its_speed_and_gear() {
    let mut seen = 0;
    for pack in examples() {
        let Some(demonstration) = paper(pack, "demonstration") else { continue };
        let text = text(demonstration);
        let Some((before, after)) = text.split_once("rpminhighrange") else { continue };
        let revs: f64 = before.rsplit_once("waybefore2").unwrap().1.parse().unwrap();
        let vehicles = pack.course.vehicles.iter();
        let vehicle = vehicles
            .filter_map(|vehicle| Some((text.find(&close(&vehicle.name.short()))?, vehicle)))
            .min_by_key(|(at, _)| *at)
            .unwrap()
            .1;
        let called = |gear: &slopepack::course::Gear| close(&format!("{}is", gear.in_words()));
        let mut gears = vehicle.gears().into_iter();
        let gear = gears.find(|gear| format!("highrange{after}").starts_with(&called(gear))).unwrap();
        // Printed to the tenth, and the point is left out here.
        let told = &after[called(&gear).len() - "highrange".len()..];
        let figures = &told[..told.find(|c: char| !c.is_ascii_digit()).unwrap()];
        let unit = if told[figures.len()..].starts_with("kmh") { 1.0 / 3.6 } else { 0.447_04 };
        let speed = figures.parse::<f64>().unwrap() / 10.0 * unit;
        let spin = 60.0 * speed * overall_ratio_of(vehicle, gear) / circumference_of(vehicle);
        let of = format!("{}: {revs} rpm, {spin:.0} at {speed:.2} m/s in {gear}", vehicle.name);
        // Down to the next fifty, and the tenth of a speed is rounded.
        assert!((-30.0..80.0).contains(&(spin - revs)), "{of}");
        assert!(revs <= 60.0 * vehicle.engine.highest.si() + 1e-9, "{of}");
        seen += 1;
    }
    assert!(seen > 0, "no demonstration names a rev counter");
}
