//! One truth a fact: what a pack says in one place no other of its pages contradicts.

use slopepack::course::{KitKind, Role};
use slopepack::engine::reckon;
use slopepack::pack::Book;

use crate::pages::{Pack, examples};

/// The words of a document, in the order printed, one space between them.
fn text_of(pack: &Pack, name: &str) -> String {
    let paper = pack.papers.iter().find(|paper| paper.name == name);
    let pieces = paper.iter().flat_map(|paper| &paper.sheets).flat_map(|sheet| &sheet.pieces);
    let words: Vec<&str> =
        pieces.filter(|piece| !piece.artifact).flat_map(|piece| piece.text.split_whitespace()).collect();
    words.join(" ")
}

/// Letters and digits alone: line breaks and hyphens do not matter.
fn plain(text: &str) -> String {
    text.chars().filter(|letter| letter.is_alphanumeric()).collect()
}

fn all_text(pack: &Pack) -> Vec<(&'static str, String)> {
    pack.papers.iter().map(|paper| (paper.name, text_of(pack, paper.name))).collect()
}

#[test]
fn who_decides_is_the_same_on_every_page() {
    for pack in examples() {
        for (name, text) in all_text(pack) {
            assert!(!text.contains("table decides"), "{name}: the instructor on the ground decides");
        }
    }
}

#[test]
fn wheels_are_locked_on_flat_ground_alone() {
    for pack in examples() {
        assert!(text_of(pack, "risk-assessment").contains("shown on flat ground only, never on a slope"));
        for slope in &pack.course.slopes {
            let purpose = slope.purpose.full().to_lowercase();
            assert!(!purpose.contains("lock") || purpose.contains("flat"), "{}: {purpose}", slope.name);
        }
        let notes = text_of(pack, "instructor-notes");
        for (at, _) in notes.match_indices(", locked for the last") {
            let told: String = notes[at..].chars().take(90).collect();
            assert!(told.contains("flat"), "{told}");
        }
    }
}

#[test]
fn a_roof_is_empty_where_none_is_loaded() {
    for pack in examples() {
        let loaded = pack.course.vehicles.iter().any(|vehicle| vehicle.roof_load.is_some());
        for (name, text) in all_text(pack) {
            assert!(!loaded || !text.contains("roof empty"), "{name} against a roof load");
        }
    }
}

#[test]
fn feet_are_where_the_table_says() {
    for pack in examples() {
        let notes = text_of(pack, "instructor-notes");
        for told in ["both feet off", "feet off, at idle", "Foot off every pedal", "both feet on the floor"] {
            assert!(!notes.contains(told), "{told}: some go with a foot over the brake");
        }
    }
}

/// The rule of each slope stands on its card, in the notes and, for a slope across, on the cards of the vehicles
/// that drive it.
#[test]
fn an_abort_is_the_same_on_every_card() {
    let mut across = 0;
    for pack in examples() {
        let course = &pack.course;
        let book = Book::of(course, "0000-0000");
        let cards = plain(&text_of(pack, "slope-cards"));
        let (vehicles, notes) =
            (plain(&text_of(pack, "vehicle-cards")), plain(&text_of(pack, "instructor-notes")));
        for (at, slope) in course.slopes.iter().enumerate() {
            let leads_across = slopepack::engine::leans(slope);
            let way = if leads_across {
                "Stay on the line; sideways: nose down the marked way out; past its peg, to the foot."
            } else if course.winds(slope) {
                assert_eq!(slope.id, "haul-road", "two bends, 85° together");
                "Keep to the road, stop on it."
            } else if slope.has_step() {
                "Keep to the fall line, stop before the step, or past it at the foot."
            } else {
                "Keep to the fall line, stop at the foot."
            };
            let driven = |vehicle: &slopepack::course::Vehicle| {
                book.reckoning.pair(&slope.id, &vehicle.id).unwrap().judged.mark.goes()
            };
            // A slope that nobody drives says so, and has no rule for driving.
            let used = course.vehicles.iter().any(driven);
            let told = cards.contains(&plain(way)) && notes.contains(&plain(way));
            assert!(!used || told, "{}: {way}", slope.name);
            if leads_across && used {
                across += 1;
                let mark = format!("S{}", at + 1);
                let told = vehicles.match_indices("downthewayout").filter(|(place, _)| {
                    vehicles[..*place]
                        .rsplit("stopatthefoot")
                        .next()
                        .is_some_and(|marks| marks.contains(&mark))
                });
                let drivers = course.vehicles.iter().filter(|vehicle| driven(vehicle)).count();
                assert!(told.count() >= drivers, "{}: each of {drivers} cards says its way out", slope.name);
            }
        }
    }
    assert!(across > 0, "no example leads across a slope");
}

/// The highest speed is one number in one form.
#[test]
fn the_limit_of_speed_is_one_number() {
    for pack in examples() {
        let unit = if pack.course.units == slopepack::quantity::UnitSystem::Metric { "km/h" } else { "mph" };
        let limit =
            slopepack::quantity::unit_named(unit).unwrap().from_si(pack.course.limits.descent_speed.si());
        let told = format!("{limit:.0} {unit}");
        for name in [
            "course-plan",
            "safety-briefing",
            "slope-cards",
            "vehicle-cards",
            "instructor-notes",
            "risk-assessment",
        ] {
            let text = text_of(pack, name);
            for lead in ["A descent over ", "Over ", "; over "] {
                for (at, _) in text.match_indices(lead) {
                    let behind: String = text[at + lead.len()..].chars().take(24).collect();
                    let speed = behind.starts_with(|c: char| c.is_ascii_digit()) && behind.contains(unit);
                    let same = plain(&behind).starts_with(&plain(&told));
                    // A vehicle whose engine may turn no faster has a limit of its own, and its card says so.
                    let own = behind.split(',').next().map(|own| format!("{}, its own", own.trim()));
                    let own =
                        name == "vehicle-cards" && own.is_some_and(|own| plain(&text).contains(&plain(&own)));
                    assert!(!speed || same || own, "{name}: {lead}{behind}, not {told}");
                }
            }
        }
    }
}

#[test]
fn no_more_spotters_are_asked_for_than_there_are() {
    for pack in examples() {
        let spotters = pack.course.people.iter().filter(|person| person.role == Role::Spotter).count();
        for (name, text) in all_text(pack) {
            assert!(
                spotters > 1 || !text.to_lowercase().contains("two spotters"),
                "{name}: {spotters} listed"
            );
        }
    }
}

/// What a part may carry is printed alike where the kit is listed and where it is recorded.
#[test]
fn kit_has_one_strength() {
    let mut looked_at = 0;
    for pack in examples() {
        let (plan, record) = (text_of(pack, "course-plan"), text_of(pack, "kit-record"));
        for item in pack
            .course
            .kit
            .iter()
            .filter(|item| item.rating.breaking.is_some() && item.rating.limit().is_some())
        {
            let at = plan.find(&*item.name.short()).unwrap_or_else(|| panic!("{} in the plan", item.name));
            let told: String = plan[at..].chars().take(120).collect();
            assert!(!told.contains("not a working load"), "{told}");
            let carries = told.split("may carry ").nth(1).unwrap_or_else(|| panic!("{told}"));
            let figure: Vec<&str> = carries.split(' ').take(2).collect();
            let figure = figure.join(" ").trim_end_matches([';', ',']).to_owned();
            // What nobody has looked at is listed first, by name alone.
            let near = |at: usize| -> String { record[at..].chars().take(200).collect() };
            let told = |at: usize| plain(&near(at)).contains(&plain(&figure));
            assert!(
                record.match_indices(&*item.name.short()).any(|(at, _)| told(at)),
                "{}: {figure} in the plan, not in the record",
                item.name
            );
            looked_at += 1;
        }
    }
    assert!(looked_at > 3, "{looked_at} parts");
}

#[test]
fn a_winch_without_a_drum_has_no_layers() {
    for pack in examples() {
        for item in pack.course.kit.iter().filter(|item| item.kind == KitKind::Winch && item.rig.rope_through)
        {
            for (name, text) in all_text(pack) {
                for (at, _) in text.match_indices(&*item.name.short()) {
                    let told: String = text[at..].chars().take(60).collect();
                    assert!(!told.replace("no layer", "").contains("layer"), "{name}: {told}");
                }
            }
        }
    }
}

/// A slope's purpose asks nothing that no vehicle may do there.
#[test]
fn a_purpose_that_speaks_of_one_gear_is_driven_at_the_speed_of_the_brow() {
    for pack in examples() {
        let reckoning = reckon(&pack.course);
        for slope in &pack.course.slopes {
            for pair in
                reckoning.pairs.iter().filter(|pair| pair.slope == slope.id && pair.judged.mark.goes())
            {
                let low = pair.judged.top_speed.high;
                assert!(
                    slope.entry_speed.si() <= low + 1e-6,
                    "{} {}: over the brow at {:.2}, {low:.2} at most after",
                    slope.name,
                    pair.vehicle,
                    slope.entry_speed.si()
                );
            }
        }
    }
}

/// A brow that is driven over at idle is reckoned no faster than a walk: a card that said another speed than the rows
/// would be two truths.
#[test]
fn the_brow_is_driven_at_idle_and_reckoned_so() {
    for pack in examples() {
        let cards = plain(&text_of(pack, "slope-cards"));
        assert!(
            cards.contains(&plain("brow at idle")) && !cards.contains(&plain("at idle in gear, at most"))
        );
        let notes = plain(&text_of(pack, "instructor-notes"));
        assert!(notes.contains(&plain("Driven over the brow at idle, reckoned with up to")));
    }
    // Two miles an hour: what a vehicle does at idle in its lowest gears.
    for pack in examples() {
        let reckoning = reckon(&pack.course);
        for slope in &pack.course.slopes {
            let driven = reckoning.pairs.iter().any(|pair| pair.slope == slope.id && pair.judged.mark.goes());
            assert!(!driven || slope.entry_speed.si() <= 3.3 / 3.6, "{}", slope.name);
        }
    }
}

/// What to do when the brakes fade is in the driver's hand, not in the office.
#[test]
fn a_driver_has_every_failure_that_leaves_no_time_on_the_card() {
    for pack in examples() {
        let cards = plain(&text_of(pack, "vehicle-cards"));
        for case in ["LOCKED", "TAIL STEPS OUT", "STALLED", "PEDAL SINKS", "GOING OVER", "LEAVE THE VEHICLE"]
        {
            assert_eq!(cards.matches(&plain(case)).count(), 1, "{}: {case}", pack.course.title);
        }
    }
}

/// One slope has one severity: an edge beside it is there whatever else the row is about.
#[test]
fn the_rows_of_a_slope_are_as_grave_as_its_edge() {
    let risk = &examples()[0].papers.iter().find(|paper| paper.name == "risk-assessment").expect("it").source;
    let of_it = |row: &&str| row.split("hazard:").next().is_some_and(|head| head.contains("Scree run"));
    let rows: Vec<&str> = risk.split("(no: ").skip(1).filter(of_it).collect();
    assert!(rows.len() > 1, "stones, and the face beside it");
    for row in rows {
        let before = row.split("before: (").nth(1).expect("its scores");
        assert!(before.starts_with("4, 5, 20"), "{before}");
    }
}
