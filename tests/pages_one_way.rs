//! One way of doing a thing, in one wording, on every page that has it; and what a page counts on is true of this fleet.

use slopepack::course::{Aid, Driven};
use slopepack::engine::{Mark, Measure};
use slopepack::pack::Book;

use crate::pages::{Pack, examples};

fn text(pack: &Pack, name: &str) -> String {
    let sheets = pack.papers.iter().filter(|paper| paper.name == name).flat_map(|paper| &paper.sheets);
    let pieces = sheets.flat_map(|sheet| &sheet.pieces).filter(|piece| !piece.artifact);
    let words: Vec<&str> = pieces.flat_map(|piece| piece.text.split_whitespace()).collect();
    words.join(" ")
}

/// The part of a document from one mark to the next slope's.
fn of_slope(all: &str, mark: &str, name: &str) -> String {
    let start = all.find(&format!("{mark} {name}")).unwrap_or_else(|| panic!("{mark} {name}"));
    let end = all[start..].find("page ").map_or(all.len(), |end| start + end);
    all[start..end].to_owned()
}

const STEP: &str =
    "stop before it, square to it; each axle let down on gear and foot brake together; never feet off";

#[test]
fn a_step_is_driven_one_way_on_every_page() {
    let mut seen = 0;
    for pack in examples() {
        for (at, slope) in pack.course.slopes.iter().enumerate().filter(|(_, slope)| slope.has_step()) {
            let mark = format!("S{}", at + 1);
            let card = of_slope(&text(pack, "slope-cards"), &mark, &slope.name.short());
            assert!(card.contains(STEP), "{card}");
            for name in ["instructor-notes", "risk-assessment"] {
                assert!(text(pack, name).contains(STEP), "{name}");
            }
            let wrong = text(pack, "when-it-goes-wrong").to_lowercase();
            assert!(wrong.contains(STEP), "{wrong}");
            let back = text(pack, "vehicle-cards");
            assert!(back.contains(&format!("A STEP, on {mark}")), "{mark}");
            assert!(STEP.split("; ").all(|part| back.contains(part)), "{back}");
            seen += 1;
        }
    }
    assert!(seen > 0, "no example has a step");
}

#[test]
fn wheels_are_locked_in_a_drill_only_where_the_demonstration_locks_them() {
    for pack in examples() {
        let wrong = text(pack, "when-it-goes-wrong");
        assert!(
            wrong.contains("Only where and as the demonstration sheet says")
                && !wrong.contains("Locked stop on the flat")
        );
    }
}

#[test]
fn the_wet_test_is_driven_by_a_vehicle_whose_wheels_lock() {
    let mut named = 0;
    for pack in examples() {
        let plan = text(pack, "course-plan");
        assert!(!plan.contains("the instructor’s vehicle without anti-lock"));
        let Some((_, after)) = plan.split_once("drives a vehicle without anti-lock (") else { continue };
        let marks = after.split(')').next().unwrap();
        for (at, vehicle) in pack.course.vehicles.iter().enumerate().take(26) {
            let mark = char::from(b'A' + u8::try_from(at).unwrap()).to_string();
            let own = marks.split(", ").find_map(|one| one.strip_prefix(&format!("{mark} in ")));
            let listed = own.is_some();
            assert!(own.is_none_or(|gear| gear.starts_with('H')), "{mark}: {marks}");
            assert!(!(listed && vehicle.aids.contains(&Aid::AntiLock)), "{mark}: {marks}");
            named += usize::from(listed);
        }
    }
    assert!(named > 1, "{named} named");
}

/// "All wheels" on one page and "find out which wheels" on the next are two truths.
#[test]
fn nobody_is_sent_to_find_out_which_wheels_are_driven_where_the_course_says_it() {
    let mut seen = 0;
    for pack in examples() {
        let book = Book::of(&pack.course, "0000-0000");
        for pair in &book.reckoning.pairs {
            let vehicle = pack.course.vehicles.iter().find(|one| one.id == pair.vehicle).unwrap();
            let known = vehicle.transmission.driven != Driven::Unknown;
            assert!(!(known && pair.judged.measure.contains(&Measure::Drive)), "{}", vehicle.id);
            seen += usize::from(pair.judged.measure.contains(&Measure::Differentials));
        }
    }
    assert!(seen > 0);
}

/// Who is refused on a slope and drives a steeper one is told why, where the refusal stands.
#[test]
fn a_vehicle_off_a_flatter_slope_than_one_it_drives_is_told_why() {
    let mut seen = 0;
    for pack in examples() {
        let book = Book::of(&pack.course, "0000-0000");
        let (fleet, notes) = (text(pack, "fleet-table"), text(pack, "instructor-notes"));
        let told = |slope: &str, vehicle: &str| book.reckoning.pair(slope, vehicle).unwrap().judged.mark;
        for slope in &pack.course.slopes {
            for vehicle in &pack.course.vehicles {
                let grade = slope.steepest().gradient.si();
                let steeper = pack.course.slopes.iter().enumerate().filter(|(_, other)| {
                    other.steepest().gradient.si() > grade && told(&other.id, &vehicle.id).goes()
                });
                let steepest = steeper.max_by(|(_, a), (_, b)| {
                    a.steepest().gradient.si().total_cmp(&b.steepest().gradient.si())
                });
                let Some((at, _)) = steepest.filter(|_| told(&slope.id, &vehicle.id) == Mark::Refused) else {
                    continue;
                };
                let said = format!("it does drive S{}, steeper", at + 1);
                assert!(fleet.contains(&said), "{} {}: {said}", vehicle.id, slope.id);
                assert!(pack.course.vehicles.len() > 8 || notes.contains(&said), "{said}");
                seen += 1;
            }
        }
    }
    assert!(seen > 0, "no example has one");
}

/// Near a limit and a limit of its own stand in the vehicle's own row of a slope's card.
#[test]
fn what_a_driver_must_not_pass_stands_in_the_row_of_the_vehicle() {
    let (mut near, mut own) = (0, 0);
    for pack in examples() {
        let source = &pack.papers.iter().find(|paper| paper.name == "slope-cards").unwrap().source;
        for row in source.lines().filter(|line| line.contains("row-name(")) {
            if row.contains(", true, ") {
                near += usize::from(row.contains("up: \"up to") || row.contains("up: \"over"));
            }
            own += usize::from(row.contains("own: \""));
        }
    }
    assert!(near > 0 && own > 3, "{near} near a limit, {own} with a limit of their own");
}

/// A winch that fetches the others is at the brow until they are down.
#[test]
fn whose_winch_stands_ready_at_a_brow_drives_last() {
    let plan = text(&examples()[0], "course-plan");
    assert!(plan.contains("S6: A stands ready at the brow with its winch, and drives last"), "{plan}");
    let row =
        plan.split("S6 Old incline").nth(1).expect("S6 in the day").split("S6: A stands").next().unwrap();
    let at = |who: &str| row.find(who).unwrap_or_else(|| panic!("{who}: {row}"));
    assert!(at("B Driver 1") < at("A Instructor 1"), "{row}");
    assert!(text(&examples()[0], "slope-cards").contains("A last, winch ready"));
}

/// What comes first by its own page has minutes before the other in the day of the example.
#[test]
fn the_table_top_comes_before_the_demonstration() {
    let plan = text(&examples()[0], "course-plan");
    let (first, then) =
        (plan.find("Table-top demonstration"), plan.find("Demonstration: geared, then locked"));
    assert!(first.is_some() && first < then, "{plan}");
    assert!(!plan.contains("no minutes for it: Table-top"), "{plan}");
}

/// The demonstration drives a slope: somebody watches it, somebody is with the class, and who holds the throw line of a
/// slope beside water has a name that no other post of that turn has.
#[test]
fn the_demonstration_and_the_bank_have_people() {
    let plan = text(&examples()[0], "course-plan");
    let from = |start: &str, end: &str| {
        plan.split(start).nth(1).and_then(|rest| rest.split(end).next()).unwrap().to_owned()
    };
    let shown = from("Demonstration: geared, then locked", "Drills of when");
    for words in ["once down S4", "with the class", "Spotter 2"] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    let step = from("S3 Side step", "S4 Scree run");
    let bank = step.split("bank:").nth(1).unwrap_or_else(|| panic!("nobody on the bank: {step}"));
    let name: String = bank.split_whitespace().take(2).collect::<Vec<_>>().join(" ");
    assert_eq!(step.matches(&name).count(), 1, "{name}: {step}");
    assert!(text(&examples()[0], "slope-cards").contains(&format!("bank {name}")), "{name}");
}

/// A geared run on a slope from which nothing fetches the vehicle is not shown without a word.
#[test]
fn a_demonstration_says_that_its_vehicle_is_not_fetched() {
    let mut seen = 0;
    for pack in examples() {
        let source = &pack.papers.iter().find(|paper| paper.name == "demonstration").unwrap().source;
        seen += usize::from(source.contains("this kit does not fetch"));
    }
    assert!(seen > 0);
}
