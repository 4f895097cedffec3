//! What the pages of recovery must say, read back from them.

use crate::program::{Bench, squeezed, text_of};

const ROSTER: &str = include_str!("../courses/six-slope-saturday.csv");

/// Pages of a course, in small letters without spaces.
fn pages(course: &str, names: &[&str]) -> Vec<String> {
    let bench = Bench::with_example(course);
    // The roster of the club's Saturday lies beside it.
    std::fs::write(bench.path("six-slope-saturday.csv"), ROSTER).unwrap();
    let mut args = vec!["--quiet", "pack", "day.yaml", "--into", "pack"];
    args.extend(names.iter().flat_map(|name| ["--only", name]));
    let ran = bench.run(&args);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let read = |name: &&str| text_of(&std::fs::read(bench.path(&format!("pack/{name}.pdf"))).unwrap());
    names.iter().map(read).map(|text| text.to_lowercase()).collect()
}

fn says(page: &str, words: &[&str]) {
    for words in words {
        assert!(page.contains(&squeezed(words).to_lowercase()), "`{words}` is not in {page}");
    }
}

#[test]
fn plan_and_record_say_what_stops_it_where_pickets_count_and_what_is_to_be_checked_first() {
    let [plan, record] = &pages("quarry-day.yaml", &["recovery-plan", "kit-record"])[..] else {
        unreachable!()
    };
    says(
        plan,
        &[
            "Second means: the driver’s foot, on the brake the whole way",
            "if the line lets go it stands again within",
            "Second means: the driver’s foot, over the brake and off it while the line pulls",
            "D braked as anchor: low range, first gear, four-wheel drive and centre lock in",
            "Radio, Channel 5: leader, both drivers, the marshal at either end of the track",
            // S4: the face is on the left, the pond 19 m off on the right.
            "Leader, watchers and way out: on the driver’s right alone",
            "Second means: a catch line",
            "Nobody aboard: wheels that do not turn do not steer",
            "Wheels locked is not driven out, let down or towed",
            "on a rigid bar of 3.0 m",
            "the foot brake without servo",
            "traffic on the track stopped at both ends",
            "Use the points nearest the middle",
            "no second rig, turned aside so that nobody stands where it would roll",
            "Made fast 3.0 m apart, no wider",
            "Radio, Channel 5: leader, operator, driver, who watches",
            "by hand only STOP",
            "Not counted here until it is tested here: Ground anchor set, wet or fine-grained ground",
            "Check first: no date of a last check is on record",
            "A stands behind the brow",
            "This kit does not fetch A from S1",
            "if wheels locked",
            "stands at it, 1.2 m beside the line",
        ],
    );
    says(record, &["counted on S1, S3 alone, firm and dry", "date not recorded: check first"]);
}

/// Where whoever works a winch stands is one fact, told in the same words by plan, lesson and record.
#[test]
fn an_operator_stands_in_one_place_in_the_same_words_everywhere() {
    let pages = pages("quarry-day.yaml", &["recovery-plan", "recovery-lesson", "kit-record"]);
    for page in &pages {
        for words in ["bonnet", "behind a vehicle", "or screen", "from the seat"] {
            assert!(!page.contains(&squeezed(words)), "`{words}` in {page}");
        }
    }
    for page in &pages[..2] {
        says(page, &["stands at it, 1.2 m beside the line, on the side away from any other line"]);
    }
    says(&pages[0], &["stands beside the rear wheel of A, remote in hand"]);
}

/// A date has its year, and nobody says good of what nobody is known to have looked at.
#[test]
fn the_record_calls_nothing_good_that_nobody_looked_at() {
    let pages = pages("quarry-day.yaml", &["kit-record"]);
    // "When it leaves use for good" is another word.
    let good = pages[0].matches("good").count() - pages[0].matches("forgood").count();
    let dated = pages[0].matches(&squeezed("1 March 2026").to_lowercase()).count();
    assert_eq!(good, dated, "{}", pages[0]);
    assert!(good > 5);
    says(&pages[0], &["retired stays in the box"]);
}

#[test]
fn two_stages_are_drawn_and_every_card_says_who_is_not_fetched() {
    let names = ["recovery-plan", "driver-cards", "vehicle-cards"];
    let pages = pages("six-slope-saturday.yaml", &names);
    says(&pages[0], &["Winch up in two stages", "every connection made and looked at anew"]);
    for page in &pages[1..] {
        says(page, &["Stuck not fetched: "]);
    }
}
