//! The words a hillside needs: each stands on a page of a shipped course, with what to do and where it comes from.

use crate::pages::examples;

/// What is said, what to do about it, where it comes from; and the document it stands in.
const WORDS: &[(&str, &str, &str, &str)] = &[
    (
        "A climb that fails",
        "Back straight down",
        "B20: three makers agree on the order",
        "when-it-goes-wrong",
    ),
    ("The engine stalls going down", "do not pump", "off-road handbooks, B20", "when-it-goes-wrong"),
    ("The tail steps out", "touch of throttle", "trail-driving guide, B21", "when-it-goes-wrong"),
    (
        "must be left on a slope",
        "sets chocks",
        "Order, and neutral in the transfer case",
        "when-it-goes-wrong",
    ),
    ("It goes over", "Hands off the rim", "after a roll-over, B24", "when-it-goes-wrong"),
    ("rolls away with nobody in it", "Never chase it", "roll away, E14", "when-it-goes-wrong"),
    ("Petrol engine", "pull against vacuum", "T2; the cold idle", "when-it-goes-wrong"),
    ("Diesel engine", "friction and swept volume", "T2; idle held up", "when-it-goes-wrong"),
    ("Automatic, converter open", "Never D, never N", "no source advises it", "when-it-goes-wrong"),
    (
        "An automatic runs faster",
        "Lever stays in the lowest position",
        "Lever positions: makers",
        "when-it-goes-wrong",
    ),
    ("Hill descent control", "foot ready", "off-road handbooks, B20", "when-it-goes-wrong"),
    ("Anti-lock brakes", "Press and hold", "brake tests on loose gravel, E3", "when-it-goes-wrong"),
    ("Traction control", "a wheel that spins", "off-road handbooks, B20", "when-it-goes-wrong"),
    (
        "Differential locks",
        "before the brow",
        "when in and out: common practice, no source",
        "when-it-goes-wrong",
    ),
    ("Left-foot braking", "the left stays away", "no source advises it", "when-it-goes-wrong"),
    (
        "Tyre pressure",
        "Only what tyre and vehicle makers allow",
        "common practice, no source",
        "when-it-goes-wrong",
    ),
    ("Ruts", "thumbs outside", "common practice, no source", "when-it-goes-wrong"),
    ("Water", "Walk it or leave it", "common practice, no source", "when-it-goes-wrong"),
    ("Way to and from the slope", "Slowest in front", "convoy, reversing", "when-it-goes-wrong"),
    ("Too low", "slower than the ground lets them", "no proof", "fleet-table"),
    ("Too high", "no longer holds it within the limits", "manual for truck drivers", "fleet-table"),
    ("Slowest down is best", "Nobody brakes to win", "common practice, no source", "comparison"),
    (
        "One vehicle on a slope at a time",
        "until the next may start",
        "common practice, no source",
        "course-plan",
    ),
];

/// Letters alone, so that no line break or hyphen parts a phrase.
fn letters(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

fn page_text(document: &str) -> String {
    let papers = examples().iter().flat_map(|pack| &pack.papers).filter(|paper| paper.name == document);
    papers
        .flat_map(|paper| &paper.sheets)
        .flat_map(|sheet| &sheet.pieces)
        .map(|piece| letters(&piece.text))
        .collect()
}

#[test]
fn every_word_has_its_action_and_its_source_on_a_page() {
    let mut missing = Vec::new();
    for (word, action, source, document) in WORDS {
        let text = page_text(document);
        for part in [word, action, source] {
            if !text.contains(&letters(part)) {
                missing.push(format!("{document}: {part}"));
            }
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}

#[test]
fn the_back_of_the_vehicle_cards_and_their_fronts_say_what_feet_and_lever_do() {
    let text = page_text("vehicle-cards");
    for part in [
        "When it goes wrong",
        "LOCKED",
        "TAIL STEPS OUT",
        "STALLED",
        "LEAVE THE VEHICLE",
        "foot off the brake",
        "left foot flat on the floor",
        "never N, never D",
        "10 m in 4.5 s",
    ] {
        assert!(text.contains(&letters(part)), "{part}");
    }
}

#[test]
fn a_long_slope_has_a_script_of_its_own_and_not_every_card_says_first_gear() {
    let notes = page_text("instructor-notes");
    for part in ["oncoming traffic", "the engine has a radiator", "Changes up on the gentle stretch"] {
        assert!(notes.contains(&letters(part)), "{part}");
    }
    let sources: Vec<&str> = examples()
        .iter()
        .flat_map(|pack| &pack.papers)
        .filter(|paper| paper.name == "fleet-table")
        .map(|paper| paper.source.as_str())
        .collect();
    for course in sources {
        assert!(
            course.contains("gear: \"L2\"") || course.contains("gear: \"H1\""),
            "a higher gear holds somewhere"
        );
    }
}

/// Words that stood on pages and could hurt somebody who did as they say.
const NEVER_SAID: &[&str] = &[
    "it holds without the pedal",
    "feet off for three seconds",
    "start, lowest gear",
    "start it, lowest gear",
    "Lowest gear in",
    "Lowest gear, straight down",
    "and everyone has answered",
    "it need not stand",
    "foot brake need not stop it",
    "steps out of sight once in the first run",
    "half-way down, engine switched off",
    "Light foot on the brake, off, on again",
    // Words of those who made the pages, not of those who read them.
    "what the engine expects",
    "Froude",
    "project’s own",
    "check values of slopepack",
];

#[test]
fn no_paper_tells_a_driver_to_trust_what_does_not_hold() {
    let mut found = Vec::new();
    for paper in examples().iter().flat_map(|pack| &pack.papers) {
        let text: String =
            paper.sheets.iter().flat_map(|sheet| &sheet.pieces).map(|piece| letters(&piece.text)).collect();
        let said = NEVER_SAID.iter().filter(|words| text.contains(&letters(words)));
        found.extend(said.map(|words| format!("{}: {words}", paper.name)));
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn the_briefing_says_what_the_foot_does_where_the_card_says_brake_or_near() {
    for pack in examples() {
        let briefing = pack.papers.iter().find(|paper| paper.name == "safety-briefing").expect("has one");
        let text: String = briefing
            .sheets
            .iter()
            .flat_map(|sheet| &sheet.pieces)
            .map(|piece| letters(&piece.text))
            .collect();
        for said in ["right foot on the brake, light and steady", "near: foot over the brake"] {
            assert!(text.contains(&letters(said)), "{said}");
        }
    }
}

#[test]
fn where_the_brake_may_fail_card_briefing_and_notes_say_roll_out() {
    let mut told = 0;
    for pack in examples() {
        let text = |name: &str| -> String {
            let papers = pack.papers.iter().filter(|paper| paper.name == name);
            let pieces = papers.flat_map(|paper| &paper.sheets).flat_map(|sheet| &sheet.pieces);
            pieces.map(|piece| letters(&piece.text)).collect()
        };
        let fails = letters("the brake may fail to stop you");
        if !text("slope-cards").contains(&fails) {
            continue;
        }
        told += 1;
        let briefing = text("safety-briefing");
        assert!(briefing.contains(&fails));
        assert!(briefing.contains(&letters("you roll in gear to the foot")));
        assert!(text("instructor-notes").contains(&fails));
        let demonstration = text("demonstration");
        assert!(!demonstration.contains(&letters("stops on it")), "a lock on such ground is said to stop");
    }
    assert!(told >= 1, "a shipped course has such ground");
}
