//! What decides stands where a cold hand looks first: the gear driven, what is closed, what comes before driving.

use slopepack::course::read_text;
use slopepack::engine::reckon;
use slopepack::pack::{Book, KINDS};
use slopepack::print::Templates;
use slopepack::rota::day_sum;

use crate::pages::{Pack, examples, pocket_examples, printed};
use crate::pages_read::{Piece, Sheet};

const HILL: &str = include_str!("../courses/hill-club-weekend.yaml");
const QUARRY: &str = include_str!("../courses/quarry-day.yaml");

fn is_gear(text: &str) -> bool {
    let mut letters = text.trim().chars();
    matches!(letters.next(), Some('L' | 'H'))
        && letters.clone().count() == 1
        && letters.all(|letter| letter.is_ascii_digit())
}

fn written(sheet: &Sheet) -> impl Iterator<Item = &Piece> {
    sheet.pieces.iter().filter(|piece| !piece.artifact && !piece.text.trim().is_empty())
}

/// Text of a page, one space between words.
fn text(sheet: &Sheet) -> String {
    let words: Vec<&str> = written(sheet).flat_map(|piece| piece.text.split_whitespace()).collect();
    words.join(" ")
}

fn sheets<'p>(pack: &'p Pack, name: &str) -> Vec<&'p Sheet> {
    pack.papers.iter().filter(|paper| paper.name == name).flat_map(|paper| &paper.sheets).collect()
}

/// On every card with gears they are larger than anything else, and one as large as the next.
#[test]
fn the_gear_driven_is_the_largest_thing_of_a_card_in_every_row() {
    let mut seen = 0;
    for pack in examples().iter().chain(pocket_examples()) {
        for name in ["slope-cards", "vehicle-cards", "driver-cards"] {
            for (at, sheet) in sheets(pack, name).into_iter().enumerate() {
                let largest = written(sheet).map(|piece| piece.size).fold(0.0, f64::max);
                let gears: Vec<&Piece> =
                    written(sheet).filter(|piece| is_gear(&piece.text) && piece.size > 15.0).collect();
                if gears.is_empty() {
                    continue;
                }
                let like = |piece: &&Piece| (piece.size - largest).abs() < 0.01;
                assert!(gears.iter().all(like), "{name} {}: gears of two sizes", at + 1);
                for piece in written(sheet).filter(like) {
                    assert!(
                        is_gear(&piece.text) || piece.text.trim() == "+ brake",
                        "{name} {}: {:?} as large as a gear",
                        at + 1,
                        piece.text
                    );
                }
                seen += gears.len();
            }
        }
    }
    assert!(seen > 100, "{seen}");
}

/// A gear that holds only with the foot brake is as plain as the gear: in gloves nobody reads small print.
#[test]
fn the_foot_brake_is_as_large_as_its_gear() {
    let mut seen = 0;
    for pack in examples() {
        for name in ["slope-cards", "vehicle-cards"] {
            for sheet in sheets(pack, name) {
                let helped = |piece: &&Piece| piece.text.trim() == "+ brake" && piece.size > 12.0;
                let gear = |piece: &&Piece| is_gear(&piece.text) && piece.size > 15.0;
                let Some(gear) = written(sheet).find(gear) else { continue };
                for piece in written(sheet).filter(helped) {
                    assert!(
                        (piece.size - gear.size).abs() < 0.01,
                        "{name}: {} and {}",
                        piece.size,
                        gear.size
                    );
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 10, "{seen}");
}

/// The cards print the gear that is driven, vehicle by vehicle, and no other gear in its place.
#[test]
fn every_vehicle_that_goes_has_its_gear_on_the_card_of_the_slope() {
    for pack in examples().iter().filter(|pack| pack.course.rota.is_none()) {
        let book = Book::of(&pack.course, "0000-0000");
        for (at, slope) in pack.course.slopes.iter().enumerate() {
            let mark = format!("S{} {}", at + 1, slope.name);
            let wanted: Vec<String> = pack
                .course
                .vehicles
                .iter()
                .filter_map(|vehicle| {
                    let judged = &book.reckoning.pair(&slope.id, &vehicle.id)?.judged;
                    // Nobody drives what nobody measured: a gear for it would be taken for one.
                    let goes = judged.mark.goes() && slope.survey.is_some();
                    judged.gear.filter(|_| goes).map(|gear| gear.to_string())
                })
                .collect();
            let cards = sheets(pack, "slope-cards");
            let of_slope = cards.into_iter().filter(|sheet| text(sheet).contains(&mark));
            let gears: Vec<String> = of_slope
                .flat_map(written)
                .filter(|piece| is_gear(&piece.text) && piece.size > 15.0)
                .map(|piece| piece.text.trim().to_owned())
                .collect();
            assert_eq!(gears, wanted, "{mark}");
        }
    }
}

#[test]
fn a_closed_slope_has_no_driving_card() {
    let quarry = &examples()[0];
    let cards = sheets(quarry, "slope-cards");
    let closed = text(cards.iter().find(|sheet| text(sheet).contains("New cut")).expect("its card"));
    assert!(closed.contains("CLOSED") && closed.contains("run-out missing"), "{closed}");
    for told in ["ABORT", "km/h", "Gear", "10 m in"] {
        assert!(!closed.contains(told), "{told} on {closed}");
    }
    let notes: Vec<String> = sheets(quarry, "instructor-notes").into_iter().map(text).collect();
    let page = notes.iter().find(|page| page.contains("New cut: the teaching")).expect("its notes");
    assert!(page.contains("CLOSED") && !page.contains("ABORT"), "{page}");
}

/// What decides stands on a pocket card as well: lock, feet, who is not fetched.
#[test]
fn a_pocket_card_has_what_decides() {
    for (pocket, whole) in pocket_examples().iter().zip(examples()) {
        for sheet in sheets(pocket, "vehicle-cards") {
            let told = text(sheet);
            if written(sheet).any(|piece| is_gear(&piece.text) && piece.size > 15.0) {
                assert!(told.contains("Feet") || told.contains("Lever"), "{told}");
                assert!(told.contains("ABORT") && told.contains("LIMIT"), "{told}");
            }
        }
        for name in ["slope-cards", "vehicle-cards"] {
            let all = |pack| sheets(pack, name).into_iter().map(text).collect::<Vec<_>>().join(" ");
            let (small, large): (String, String) = (all(pocket), all(whole));
            // A slope's pocket card of a long fleet leaves the locks to each vehicle's own.
            let long = name == "slope-cards" && whole.course.vehicles.len() > 9;
            for what in ["Lock", "not fetched", "Near"].into_iter().filter(|what| !(long && *what == "Lock"))
            {
                assert_eq!(small.contains(what), large.contains(what), "{name}: {what}");
            }
        }
    }
}

/// An unsurveyed slope says on each of its sheets that measuring comes first; a road at its foot has a shut gate and
/// a named person at it.
#[test]
fn an_unsurveyed_slope_says_survey_first_everywhere() {
    let hill = &examples()[1];
    let all =
        |name: &str| sheets(hill, name).into_iter().map(text).collect::<Vec<_>>().join(" ").to_lowercase();
    for name in
        ["slope-cards", "vehicle-cards", "course-plan", "risk-assessment", "instructor-notes", "fleet-table"]
    {
        assert!(all(name).contains("survey first"), "{name}");
    }
    assert!(all("safety-briefing").contains("is not measured"));
    for name in ["slope-cards", "course-plan", "risk-assessment"] {
        assert!(all(name).contains("gate is shut") && all(name).contains("helper 5"), "{name}");
    }
    let measured = HILL.replace(
        "    bump: 3 in\n",
        "    bump: 3 in\n    survey: {by: Helper 1, date: last week, instrument: clinometer, reads-to: 0.5°}\n",
    );
    assert_ne!(measured, HILL);
    let pack = printed(read_text(&measured).expect("it reads"), slopepack::print::Edition::Pocket);
    assert!(
        !pack
            .papers
            .iter()
            .any(|paper| paper.source.contains("\"survey first\"") || paper.source.contains("survey: true"))
    );
}

/// On the first page of the plan, and in the briefing, stands who the kit does not fetch.
#[test]
fn who_is_not_fetched_stands_on_the_first_page_of_the_plan() {
    let hill = &examples()[1];
    let first = text(sheets(hill, "course-plan")[0]);
    assert!(first.contains("not fetched by this kit"), "{first}");
    let briefing: Vec<String> = sheets(hill, "safety-briefing").into_iter().map(text).collect();
    // Nobody, from no slope: said as it is.
    assert!(briefing.iter().any(|page| page.contains("gets nobody off any slope")));
    let quarry: Vec<String> = sheets(&examples()[0], "safety-briefing").into_iter().map(text).collect();
    assert!(quarry.iter().any(|page| page.contains("does not get everybody off")));
}

/// Nobody is at a wheel and beside the slope at one time.
#[test]
fn whoever_drives_neither_teaches_nor_watches_meanwhile() {
    for source in [QUARRY, HILL] {
        let course = read_text(source).expect("it reads");
        let sums = day_sum(&course, &reckon(&course));
        assert!(sums.iter().any(|sum| !sum.turns.is_empty()));
        for sum in &sums {
            for turn in &sum.turns {
                let meanwhile = sum.turns.iter().filter(|other| other.from < turn.to && turn.from < other.to);
                for vehicle in meanwhile.flat_map(|other| &other.on.vehicles) {
                    let id = &course.vehicles[*vehicle].id;
                    for person in [turn.crew.teaches, turn.crew.watches] {
                        let person = &course.people[person];
                        assert_ne!(person.vehicle.as_ref(), Some(id), "{}", person.name);
                    }
                }
            }
        }
    }
    let alone = QUARRY.replace(
        "  - {name: Spotter 2, role: spotter, slopes: [nursery, side-step, scree-run, clay-slide]}\n",
        "",
    );
    assert_ne!(alone, QUARRY);
    let course = read_text(&alone).expect("it reads");
    let sums = day_sum(&course, &reckon(&course));
    assert!(
        sums.iter().any(|sum| !sum.left_out.is_empty()),
        "without the watcher something cannot be staffed"
    );
    let book = Book::of(&course, "0000-0000");
    let plan = KINDS.iter().find(|kind| kind.name == "course-plan").expect("the plan");
    let templates = Templates::embedded().expect("they parse");
    let told = plan.fill(&book, &templates).expect("a course with a plan").expect("it fills").text;
    assert!(told.contains("one more watcher"), "{told}");
}

/// The demonstration has one entry speed, an abort of its own, and one value for the energy of the height.
#[test]
fn the_demonstration_has_one_value_each() {
    for pack in examples() {
        let told: Vec<String> = sheets(pack, "demonstration").into_iter().map(text).collect();
        let all = told.join(" ");
        let Some(at) = all.find("Answer ") else { continue };
        let answer: Vec<&str> = all[at + 7..].split_whitespace().take(2).collect();
        let speed = answer.join(" ");
        let pad = all.split("On the pad: over ").nth(1).expect("the pad's abort");
        assert!(
            pad.replace('\u{202f}', " ").starts_with(&speed.replace('\u{202f}', " ")),
            "{speed} against {pad:.40}"
        );
        assert!(told[0].contains(&answer[0].to_owned()), "{}", told[0]);
    }
}

/// Rain changes what a card says: closed, or the gears that are not as in the dry and who stays up.
#[test]
fn a_slope_card_says_what_changes_when_it_is_wet() {
    let quarry = &examples()[0];
    let cards = &quarry.papers.iter().find(|paper| paper.name == "slope-cards").expect("cards").source;
    assert!(cards.contains("Wet, test passed: B L1 + brake; stay up: D, E"), "the nursery bank");
    assert_eq!(cards.matches("Wet: closed").count(), 5, "no figure for it wet, or no gear holds there");
}

/// One back serves all vehicles, of which some have a limit of their own: the figure stands on the front alone.
#[test]
fn the_back_of_a_vehicle_card_names_no_limit() {
    let quarry = &examples()[0];
    let cards = &quarry.papers.iter().find(|paper| paper.name == "vehicle-cards").expect("cards").source;
    let (fronts, backs) = cards.split_once("When it goes wrong").expect("the backs come last");
    assert!(fronts.contains("Over 6.6 km/h") && fronts.contains("Over 8 km/h"));
    assert!(
        backs.contains("Over the limit on the front of this card") && !backs.contains("km/h, wheels turning")
    );
}
