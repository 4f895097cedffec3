//! A slope on a radio channel of its own: whoever talks there reads it on what they hold, who has to hear two channels
//! is told so, and a swap of channel on the day is a change like any other.

use std::collections::BTreeSet;
use std::fs;

use crate::program::{Bench, text_at};

const COURSE: &str = include_str!("../courses/six-slope-saturday.yaml");
const SHEETS: [&str; 9] = [
    "slope-cards",
    "driver-cards",
    "marshal-cards",
    "run-sheets",
    "radio-plan",
    "recovery-plan",
    "safety-briefing",
    "attendance",
    "convoy",
];

/// The Saturday with the steepest slope, S3, on a channel of its own.
fn apart() -> String {
    COURSE.replacen("  - id: step\n", "  - id: step\n    channel: Channel 12\n", 1)
}

fn bench(course: &str) -> Bench {
    let bench = Bench::with_course(course);
    fs::write(bench.path("six-slope-saturday.csv"), include_str!("../courses/six-slope-saturday.csv"))
        .expect("it is written");
    bench
}

fn run(bench: &Bench, more: &[&str]) -> (i32, String) {
    let only: Vec<&str> = SHEETS.iter().chain(&["take-back"]).flat_map(|name| ["--only", name]).collect();
    let ran = bench.run(&[&["pack", "day.yaml", "--into", "out", "--quiet"], &only[..], more].concat());
    (ran.code, ran.err)
}

fn pages(bench: &Bench, file: &str) -> Vec<String> {
    let document = lopdf::Document::load(bench.path(file)).expect(file);
    let numbers = document.get_pages().into_keys();
    numbers.map(|page| crate::program::squeezed(&document.extract_text(&[page]).expect("its text"))).collect()
}

#[test]
fn whoever_talks_on_a_slope_of_its_own_channel_reads_it_on_what_they_hold() {
    let bench = bench(&apart());
    let (code, why) = run(&bench, &[]);
    assert_eq!(code, 0, "{why}");
    let sheet = |name: &str| text_at(&bench.path(&format!("out/{name}.pdf")));
    for page in pages(&bench, "out/slope-cards.pdf") {
        let is_step = page.contains("Hillstep");
        assert_eq!(page.contains("Channel12;browalsoChannel11,control’s"), is_step, "{page}");
    }
    // Every driver comes to it, and elsewhere talks on control's.
    for page in pages(&bench, "out/driver-cards.pdf").iter().filter(|page| page.contains("Yourday")) {
        let by_hand = page.contains("byhandonly");
        assert_eq!(page.contains("S3Channel12;elseChannel11;stopstopstop"), !by_hand, "{page}");
    }
    let mut seen = [0; 3];
    for page in pages(&bench, "out/marshal-cards.pdf") {
        let day = &page[page.find("Yourday").expect("their day")..];
        let (there, brow) = (day.contains("S3Hillstep"), day.contains("S3Hillstepbrow,"));
        assert_eq!(page.contains("S3Channel12;elseChannel11,control’s"), there, "{page}");
        assert_eq!(page.contains("Atthebrowhearboth;passonSTOP"), brow, "{page}");
        for (count, seen) in seen.iter_mut().zip([there, brow, !there]) {
            *count += usize::from(seen);
        }
    }
    assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
    assert!(sheet("run-sheets").contains("S3Hillstep·Channel12"));
    let plan = sheet("radio-plan");
    for words in [
        "Wholistenswhere",
        "Channel12S3brow,foot,instructor;driverswhiletheyarethere",
        "everybodyontheirwaybetweenslopes;andthebrowofS3aswell",
        "SILENCEoneverychannel",
        "twoateachbrownamedthere",
    ] {
        assert!(plan.contains(words), "{words}: {plan}");
    }
    assert!(sheet("recovery-plan").contains("theslope’schannel(S3Channel12;elseChannel11)"));
    assert!(sheet("safety-briefing").contains("Slopeswithachanneloftheirown:S3Channel12."));
}

#[test]
fn one_channel_for_all_is_said_as_before() {
    let bench = bench(COURSE);
    let (code, why) = run(&bench, &[]);
    assert_eq!(code, 0, "{why}");
    for name in SHEETS {
        let sheet = text_at(&bench.path(&format!("out/{name}.pdf")));
        for words in ["elseChannel11", "browalso", "hearboth", "Wholistenswhere", "ofitsown", "oftheirown:"] {
            assert!(!sheet.contains(words), "{name}: {words}");
        }
    }
}

#[test]
fn a_swap_of_channel_is_a_change_and_the_next_change_knows_it() {
    let bench = bench(&apart());
    let (code, why) = run(&bench, &[]);
    assert_eq!(code, 0, "{why}");
    let swap = ["--channel", "step: Channel 5", "--from", "11:00", "--printed", "10:50"];
    let (code, why) = run(&bench, &swap);
    assert_eq!(code, 0, "{why}");
    let exists = |name: &str| bench.path(&format!("out/change/{name}.pdf")).exists();
    for name in SHEETS {
        assert_eq!(exists(name), !["attendance", "convoy"].contains(&name), "{name}");
    }
    let now = |name: &str| text_at(&bench.path(&format!("out/change/{name}.pdf")));
    assert!(now("run-sheets").contains("S3Hillstep·Channel5") && !now("run-sheets").contains("Channel12"));
    assert!(now("driver-cards").contains("S3Channel5;elseChannel11") && now("driver-cards").contains("→S3"));
    assert!(now("driver-cards").contains("newcard:throwtheoldoneaway"));
    assert!(now("marshal-cards").contains("→S3"));
    let said = now("take-back");
    assert!(said.contains("HillstepisonChannel5fromnowon") && said.contains("slopecards"), "{said}");
    // Whoever never comes there keeps their card.
    let all = pages(&bench, "out/marshal-cards.pdf");
    let holder = |page: &&String| -> String {
        let head = page.split("·mayrun").next().unwrap_or_default();
        head.rsplit("comefirst.").next().unwrap_or_default().to_owned()
    };
    let there: BTreeSet<String> =
        all.iter().filter(|page| page.contains("S3Hillstep")).map(|page| holder(&page)).collect();
    let anew = pages(&bench, "out/change/marshal-cards.pdf");
    assert_eq!(anew.iter().map(|page| holder(&page)).collect::<BTreeSet<_>>(), there);
    assert!(there.len() < all.len() && there.iter().all(|name| name.len() < 30), "{there:?}");

    let (code, why) = run(&bench, &["--without", "Marshal 5", "--printed", "11:10"]);
    assert_eq!(code, 0, "{why}");
    let cards = now("marshal-cards") + &now("run-sheets");
    assert!(cards.contains("Channel5") && !cards.contains("Channel12"), "{cards}");
}

#[test]
fn a_swap_that_cannot_be_meant_is_refused_in_words() {
    let bench = bench(&apart());
    for (words, why) in [
        ("stepp: Channel 5", "did you mean"),
        ("step:", "no channel is named"),
        ("step: Channel 12", "it is on Channel 12 already"),
        ("Channel 11", "it is on Channel 11 already"),
    ] {
        let (code, said) = run(&bench, &["--channel", words]);
        assert!(code == 2 && said.contains(why), "{words}: {said}");
    }
    let silent = self::bench(&apart().replace("  channel: Channel 11\n", ""));
    let said = silent.run(&["check", "day.yaml", "--quiet"]).err;
    assert!(
        said.contains("Hill step talks on a channel of its own, and the day has none for control"),
        "{said}"
    );
}
