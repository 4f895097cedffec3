//! What an instructor with the pack in hand would cross out: one page against another, and against the ground.

use std::collections::BTreeSet;

use slopepack::course::{AnchorSort, Gearbox, KitKind};
use slopepack::engine::Mark;
use slopepack::pack::Book;
use slopepack::page::Show;
use slopepack::page::words::{edges_words, way_out_words};

use crate::pages::{Pack, examples};
use crate::pages_read::{Piece, Sheet};

fn text(sheet: &Sheet) -> String {
    let written = sheet.pieces.iter().filter(|piece: &&Piece| !piece.artifact);
    let words: Vec<&str> = written.flat_map(|piece| piece.text.split_whitespace()).collect();
    words.join(" ")
}

fn pages(pack: &Pack, name: &str) -> Vec<String> {
    pack.papers.iter().filter(|paper| paper.name == name).flat_map(|paper| &paper.sheets).map(text).collect()
}

fn all(pack: &Pack, name: &str) -> String {
    pages(pack, name).join(" ")
}

/// Slopes that no vehicle drives today, by their place in the course.
fn closed(pack: &Pack) -> BTreeSet<usize> {
    let book = Book::of(&pack.course, "0000-0000");
    let reckoning = &book.reckoning;
    let goes = |slope: &str| {
        let mut pairs = reckoning.pairs.iter().filter(|pair| pair.slope == slope);
        pairs.any(|pair| pair.judged.mark.goes())
    };
    (0..pack.course.slopes.len()).filter(|at| !goes(&pack.course.slopes[*at].id)).collect()
}

/// "Lowest L1" beside a gear that holds with every tolerance is read as: L1 does too, feet off.
#[test]
fn a_lower_gear_named_beside_the_one_driven_has_the_same_mark() {
    let mut named = 0;
    for pack in examples() {
        let book = Book::of(&pack.course, "0000-0000");
        let reckoning = &book.reckoning;
        let cards = all(pack, "vehicle-cards");
        for pair in &reckoning.pairs {
            let judged = &pair.judged;
            for (gear, mark) in &judged.gears {
                if judged.mark == Mark::Within && *mark == Mark::Near {
                    let vehicle = pack.course.vehicles.iter().find(|one| one.id == pair.vehicle).unwrap();
                    let slope = pack.course.slopes.iter().find(|one| one.id == pair.slope).unwrap();
                    let card = cards.split(&*vehicle.name.short()).nth(1).unwrap_or_default();
                    let row = card.split(&*slope.name.short()).nth(1).unwrap_or_default();
                    let row: String = row.chars().take(60).collect();
                    assert!(!row.contains(&format!("lowest {gear},")), "{} {}: {row}", vehicle.id, slope.id);
                    named += 1;
                }
            }
        }
    }
    assert!(named > 3, "{named} gears near a limit under one that holds");
}

/// Nobody is briefed on the abort of a slope nobody drives, called by its name, or shown how to come down it.
#[test]
fn a_closed_slope_is_said_closed_and_has_no_script() {
    let mut seen = 0;
    for pack in examples() {
        let briefing = all(pack, "safety-briefing");
        for at in closed(pack) {
            let (name, mark) = (pack.course.slopes[at].name.short(), format!("S{}", at + 1));
            seen += 1;
            assert!(briefing.contains(&format!("{mark}, {name}, is closed")), "{mark}: {briefing}");
            let aborts: String =
                briefing.split("this is the abort").nth(1).unwrap().chars().take(60).collect();
            assert!(!aborts.contains(&mark), "{aborts}");
            assert!(!all(pack, "radio-plan").contains(&*name));
            let notes: Vec<String> = pages(pack, "instructor-notes")
                .into_iter()
                .filter(|page| page.contains(&format!("{mark} {name}: the")))
                .collect();
            let told = notes.join(" ");
            assert!(told.contains("nobody drives here") || told.contains("Nobody drives here"), "{told}");
            for script in ["Demonstration", "Usual faults", "Drive it once"] {
                assert!(!told.contains(script), "{mark}: {script}");
            }
        }
    }
    assert!(seen > 0, "no example has a closed slope");
}

/// Without a rota nobody stands on a slope as its marshal: the plan says who teaches and who watches.
#[test]
fn whoever_answers_on_a_slope_is_somebody_the_plan_puts_there() {
    for pack in examples() {
        let radio = all(pack, "radio-plan");
        let rostered = !pack.course.roster.drivers.is_empty();
        assert!(rostered || radio.contains("by the table and the course plan"), "{radio}");
        assert!(!radio.contains("marshals on S1"));
    }
}

/// A tree and a rock are not looked at as pickets are, a fibre line not as wire.
#[test]
fn kit_is_looked_at_as_what_it_is() {
    let mut seen = 0;
    for pack in examples() {
        let plan = all(pack, "course-plan");
        for item in &pack.course.kit {
            let Some(wrong) = (match (item.kind, item.rig.anchor) {
                (KitKind::GroundAnchor, Some(AnchorSort::Tree | AnchorSort::Rock)) => Some("pickets"),
                (KitKind::Line, _) => Some("broken wires or cut"),
                _ => None,
            }) else {
                continue;
            };
            let row: String =
                plan.split(&*item.name.short()).nth(1).expect("in the plan").chars().take(60).collect();
            assert!(!row.contains(wrong), "{}: {row}", item.name);
            seen += 1;
        }
    }
    assert!(seen > 3, "{seen}");
}

/// A vehicle left on a slope stands in the gear that works against the way it would roll, on every page.
#[test]
fn the_gear_of_a_vehicle_left_standing_is_the_same_everywhere() {
    for pack in examples() {
        let told = "nose down reverse";
        assert!(all(pack, "when-it-goes-wrong").to_lowercase().contains(told));
        let cards = all(pack, "vehicle-cards").to_lowercase();
        assert!(cards.contains(told) && !cards.contains("lowest gear or p"), "{cards}");
    }
}

/// Everybody who is named signs on, and a third as many who are not named yet.
#[test]
fn the_sign_on_sheet_has_a_row_for_each_and_a_third_more() {
    for pack in examples().iter().filter(|pack| pack.course.roster.drivers.is_empty()) {
        let people = pack.course.people.len();
        let source = &pack.papers.iter().find(|paper| paper.name == "safety-briefing").unwrap().source;
        let blank = source.split("blank: ").nth(1).and_then(|rest| rest.split(',').next()).unwrap();
        let blank: usize = blank.trim().parse().expect("a count");
        assert_eq!(blank, people.div_ceil(3).max(4));
    }
}

/// Whoever drives no slope today is told so on the first page of the plan.
#[test]
fn a_vehicle_that_drives_nowhere_is_named_on_the_first_page_of_the_plan() {
    let mut seen = 0;
    for pack in examples() {
        let book = Book::of(&pack.course, "0000-0000");
        let reckoning = &book.reckoning;
        let first = &pages(pack, "course-plan")[0];
        for vehicle in &pack.course.vehicles {
            let mut pairs = reckoning.pairs.iter().filter(|pair| pair.vehicle == vehicle.id);
            if pairs.any(|pair| pair.judged.mark.goes()) {
                continue;
            }
            let told = first.split("Drive no slope today").nth(1).unwrap_or_default();
            assert!(told.contains(&*vehicle.name.short()), "{}: {told}", vehicle.name);
            seen += 1;
        }
    }
    assert!(seen > 0, "no example has one");
}

/// What an abort across a slope sends a driver to, and what lies beside a line, stand where they are wanted.
#[test]
fn ways_out_and_edges_stand_on_the_card_and_in_the_notes() {
    let mut seen = [0; 2];
    for pack in examples() {
        let show = Show::new(pack.course.units);
        let close = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
        let on = |name: &str| close(&all(pack, name));
        let (cards, notes, risk) = (on("slope-cards"), on("instructor-notes"), on("risk-assessment"));
        for slope in &pack.course.slopes {
            if let Some(words) = way_out_words(slope, show).map(|words| close(&words)) {
                assert!(notes.contains(&words), "{words}");
                // A closed slope's card has nothing to drive on it.
                let goes = !closed(pack).iter().any(|at| pack.course.slopes[*at].id == slope.id);
                assert!(!goes || cards.contains(&words), "{words}");
                seen[0] += 1;
            }
            for words in edges_words(&pack.course, slope, show) {
                let words = close(&words);
                assert!(cards.contains(&words) && risk.contains(&words), "{words}");
                seen[1] += 1;
            }
        }
    }
    assert!(seen.iter().all(|seen| *seen > 0), "{seen:?}");
}

/// Whatever may be called on a slope and what to do without contact stands on its card; so does that a parking brake alone
/// is trusted nowhere.
#[test]
fn a_card_says_what_stop_is_and_that_a_parking_brake_alone_holds_nothing() {
    let mut seen = 0;
    for pack in examples() {
        let cards = pages(pack, "slope-cards");
        let driven = pack.course.slopes.iter().enumerate().filter(|(at, _)| !closed(pack).contains(at));
        for (at, slope) in driven.filter(|(_, slope)| slope.survey.is_some()) {
            let name = format!("S{}{}", at + 1, slope.name.full().replace(' ', ""));
            let mut own = cards.iter().filter(|card| card.replace(' ', "").contains(&name)).peekable();
            assert!(own.peek().is_some(), "{name}: {cards:?}");
            for card in own {
                assert!(card.contains("STOP") && card.contains("roll out"), "{name}: {card}");
                assert!(card.contains("Never the parking brake alone"), "{name}: {card}");
                seen += 1;
            }
        }
    }
    assert!(seen >= 12, "{seen}");
    for pack in examples() {
        assert!(all(pack, "safety-briefing").contains("That brake alone is trusted on no slope"));
        let manual = pack.course.vehicles.iter().any(|one| one.transmission.gearbox == Gearbox::Manual);
        assert_eq!(all(pack, "vehicle-cards").contains("then clutch down, gear left in"), manual);
    }
}

/// Every slope with a seat beside learners is said to them, and every winch that is wanted at a brow is named: those of
/// vehicles that drive there, those that nobody drives there, those that are carried.
#[test]
fn the_briefing_names_every_seat_and_the_plan_every_winch_at_a_brow() {
    let quarry = &examples()[0];
    let briefing = all(quarry, "safety-briefing");
    for seat in
        ["Instructor 2 on S1, first run", "Instructor 2 on S2, every run", "Instructor 2 on S6, every run"]
    {
        assert!(briefing.contains(seat), "{seat}: {briefing}");
    }
    let plan = all(quarry, "course-plan");
    for winch in [
        "S2: the winch of A is what fetches B",
        "S6: the winch of A rigged and tried at the brow",
        "Hand winch, Second hand winch",
    ] {
        assert!(plan.contains(winch), "{winch}: {plan}");
    }
}

/// A rota seats nobody: a course that asks for it is told so, and the rule stands on the card.
#[test]
fn a_seat_that_a_rota_does_not_plan_is_asked_for_in_words() {
    let saturday = include_str!("../courses/six-slope-saturday.yaml");
    let first = saturday.find("    entry-speed:").expect("a slope");
    let asked = format!("{}    instructor-beside: yes\n{}", &saturday[..first], &saturday[first..]);
    let said = |text: &str| {
        let course = slopepack::course::read_text(text).expect("it reads");
        slopepack::course::advice(&course).iter().any(|one| one.contains("a rota plans nobody for the seat"))
    };
    assert!(said(&asked) && !said(saturday));
}

/// By hand from the course plan's table of the wet day: what closes, what stays up, which gear is another.
#[test]
fn a_vehicle_card_says_what_rain_changes_for_it() {
    let quarry = examples().iter().find(|pack| pack.course.version == "2026-A").expect("the quarry");
    let cards = pages(quarry, "vehicle-cards");
    for (vehicle, wet) in [
        (0, "Wet closed S3, S4, S6, S7"),
        (1, "Wet closed S2, S3, S4, S6, S7; S1 if opened L1 + brake"),
        (4, "Wet closed S3, S7; stays up on S1"),
    ] {
        let (card, wet) = (cards[vehicle].replace(' ', ""), wet.replace(' ', ""));
        assert!(card.contains(&wet), "{wet}: {card}");
    }
    let plan = all(quarry, "course-plan");
    assert!(plan.contains("A L2, B L1 + brake, C L1 + brake; stay up: D, E"), "{plan}");
    // Of two brows that want the winch of A each has its own minutes.
    for mark in ["S2", "S6"] {
        assert!(plan.contains(&format!("{mark}: the winch of A rigged and tried at the brow")), "{plan}");
    }
}

/// A gear higher than in the dry, or less brake, is no way to drive in the wet: F drives the six slopes' S1 in L1 when dry,
/// and would hold in L2 when wet.
#[test]
fn nothing_is_driven_with_less_care_in_the_wet() {
    let six = examples().iter().find(|pack| pack.course.slopes.len() == 6).expect("six slopes");
    let card = &pages(six, "vehicle-cards")[5];
    let wet = card.split("Wet ").nth(1).and_then(|rest| rest.split("Revs").next()).expect("a word on rain");
    let up = wet.split("stays up on ").nth(1).expect("it stays up somewhere");
    assert!(card.contains("F ") && up.split(';').next().is_some_and(|up| up.contains("S1")), "{wet}");
}
