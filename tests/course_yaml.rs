//! The course file as a file: syntax, size, sharing, odd characters, and anything at all.

use proptest::prelude::*;
use slopepack::course::{Course, read, read_text};
use slopepack::problem::{Failure, Problem, render_problems};

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");
const WEEKEND: &str = include_str!("../courses/hill-club-weekend.yaml");

fn place(source: &str, problem: &Problem) -> (usize, usize) {
    let start = problem.span.as_ref().expect("a place").start;
    let line_start = source[..start].rfind('\n').map_or(0, |at| at + 1);
    (source[..start].matches('\n').count() + 1, source[line_start..start].chars().count() + 1)
}

fn only(source: &str) -> Problem {
    let mut problems = read_text(source).expect_err("not a course");
    assert_eq!(problems.len(), 1, "{problems:#?}");
    problems.remove(0)
}

#[test]
fn syntax_faults_are_told_in_plain_words_at_their_place() {
    let cases = [
        ("a: b: c\n", (1, 5), "a second `:`"),
        ("a:\n\t- b\n", (2, 1), "a tab"),
        ("a: \"open\nb: 3\n", (1, 4), "never closed"),
        ("a: 'it's'\n", (1, 8), "after the closing quote"),
        ("a: [1, 2\nb: 3\n", (2, 2), "`:` inside a `[…]` list"),
        ("a: [1, 2}\n", (1, 4), "closed by one of another kind"),
        ("- a\nb: c\n", (2, 1), "a list ends here"),
        ("a: 1\nb\n", (2, 1), "a key without its `:`"),
        ("a: @x\n", (1, 4), "cannot begin a value"),
        ("a: *base\n", (1, 4), "a name that nothing has"),
        ("a: &x [*x]\n", (1, 8), "contains itself"),
        ("a: 1\n---\nb: 2\n", (2, 1), "a second document"),
        ("a: !!int x\n", (1, 10), "`!` tag"),
        ("a: {<<: 3}\n", (1, 9), "`<<` takes over a mapping"),
    ];
    for (source, at, part) in cases {
        let problem = only(source);
        assert!(problem.message.contains(part), "{source:?}: {:?}", problem.message);
        assert_eq!(place(source, &problem), at, "{source:?}");
        assert!(problem.help.is_some(), "{source:?}");
    }
}

#[test]
fn a_tab_and_a_missing_blank_are_shown_where_they_stand() {
    let cases = [
        ("course:\n  title: Day\n\tclub: Hill\n", (3, 1), "a tab"),
        ("slopes:\n  - id: a\n    purpose: First.\n    \tsurface: clay\n", (4, 5), "a tab"),
        (
            "slopes:\n  - id: a\n    surface:grass-dry\n    length: 3 m\n",
            (3, 5),
            "no blank behind the `:` of `surface`",
        ),
        ("slopes:\n  - id:a\n    surface: grass-dry\n", (2, 5), "no blank behind the `:` of `id`"),
    ];
    for (source, at, part) in cases {
        let problem = only(source);
        assert!(problem.message.contains(part), "{source:?}: {:?}", problem.message);
        assert_eq!(place(source, &problem), at, "{source:?}");
    }
    let help = only("slopes:\n  - id: a\n    surface:grass-dry\n    length: 3 m\n").help;
    assert_eq!(help.as_deref(), Some("write `surface: grass-dry`"));
}

#[test]
fn what_stands_behind_a_number_sign_is_never_lost_without_a_word() {
    let site = QUARRY.lines().find(|line| line.trim().starts_with("site:")).expect("a site");
    assert_eq!(QUARRY.matches(site).count(), 1);
    let source = QUARRY.replace(site, "  site: Old pit #2 gate");
    let problem = only(&source);
    assert!(problem.message.starts_with("`#2 gate` is left out"), "{problem:?}");
    assert!(problem.help.as_ref().is_some_and(|help| help.contains("\"Old pit #2 gate\"")), "{problem:?}");
    assert_eq!(&source[problem.span.expect("a place")], "#2 gate");
    for kept in [
        "  site: \"Old pit #2 gate\"",
        "  site: 'Old pit #2 gate'",
        "  site: Pit#2, gate",
        "  site: Old pit # second gate",
    ] {
        read_text(&QUARRY.replace(site, kept)).unwrap_or_else(|problems| panic!("{kept}: {problems:?}"));
    }
}

#[test]
fn a_word_processors_file_is_told_once() {
    for source in [
        "{\\rtf1\\ansi\n{\\fonttbl}\ncourse:\\par\n}",
        "<html><body>course:</body></html>",
        "%PDF-1.7\n1 0 obj",
    ] {
        let problem = only(source);
        assert!(problem.message.contains("not plain text"), "{problem:?}");
        assert!(problem.help.is_some_and(|help| help.contains("plain text")));
    }
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("day.yaml");
    std::fs::write(&path, b"PK\x03\x04\x14\0\x06\0\xff\xfe").expect("written");
    let unread = read(&path).expect_err("no course");
    let Failure::Course(problems) = unread.failure else { panic!("a fault of the course") };
    assert!(problems.len() == 1 && problems[0].message.contains("not plain text"), "{problems:?}");
}

#[test]
fn no_word_of_the_yaml_reader_reaches_the_person() {
    let sources = [
        "a: b: c",
        "[",
        "{a",
        "a: \"\\q\"",
        "? ",
        "a: |x\n",
        "%YAML 9\n---\na: 1",
        "a: &\n",
        "a: !<\n",
        "\u{1}",
    ];
    for source in sources {
        for problem in read_text(source).expect_err("not a course") {
            let text = format!("{} {}", problem.message, problem.help.unwrap_or_default());
            for word in [
                "budget",
                "Policy",
                "serde",
                "anchor",
                "scalar",
                "deserialize",
                "expected <",
                "indicator",
                "context",
            ] {
                assert!(!text.contains(word), "{source:?}: {text}");
            }
        }
    }
}

#[test]
fn files_without_measure_are_refused_quickly() {
    let deep = format!("a: {}", "[".repeat(40));
    assert!(only(&(deep + &"]".repeat(40))).message.contains("deep"));
    let mut bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for level in 1..9 {
        let uses = vec![format!("*a{}", level - 1); 10].join(", ");
        bomb.extend([format!("a{level}: &a{level} [{uses}]\n")]);
    }
    let problem = only(&bomb);
    assert!(problem.message.contains('*') || problem.message.contains("values"), "{}", problem.message);
    let many = format!("a: [{}]", "1, ".repeat(60_000));
    assert!(only(&many).message.contains("50000 values"));
    let large = format!("a: '{}'", "x".repeat(2 * 1024 * 1024));
    assert!(only(&large).message.contains("2 MiB"));
}

#[test]
fn an_empty_file_says_what_a_course_is() {
    for source in ["", "# nothing\n", "~\n"] {
        assert!(only(source).message.contains("is empty"), "{source:?}");
    }
    assert!(only("just words\n").message.contains("one value"));
    assert!(only("- a\n- b\n").message.contains("is a list"));
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_are_accepted() {
    // Where the papers' part stands in the text moves with the text.
    let read = |source: &str, how: &str| {
        let mut course = read_text(source).expect(how);
        course.papers.place = None;
        course
    };
    let plain = read(QUARRY, "the example");
    assert_eq!(read(&format!("\u{feff}{QUARRY}"), "with a mark"), plain);
    assert_eq!(read(&QUARRY.replace('\n', "\r\n"), "with CR LF"), plain);
}

#[test]
fn shared_settings_are_taken_over_and_may_be_overridden() {
    let shared = WEEKEND.replace(
        "    drive: rear\n",
        "    drive: rear\n    brakes: &brakes\n      front: {kind: disc, mass: 22 lb}\n      front-share: 70 %\n",
    );
    let shared = shared.replace(
        "    brakes:\n      front: {kind: drum, mass: 14 lb, diameter: 10 in}\n      rear: {kind: drum, mass: 14 lb, diameter: 10 in}\n      front-share: 58 %\n",
        "    brakes:\n      <<: *brakes\n      front-share: 58 %\n",
    );
    let course = read_text(&shared)
        .unwrap_or_else(|problems| panic!("{}", render_problems("", &shared, &problems, false)));
    let [van, .., old] = course.vehicles.as_slice() else { panic!("four vehicles") };
    assert!((van.brakes.front_share.si() - 0.70).abs() < 1e-12);
    assert!((old.brakes.front_share.si() - 0.58).abs() < 1e-12);
    let masses = [van, old].map(|vehicle| vehicle.brakes.front.expect("front brakes").mass);
    assert_eq!(masses[0], masses[1]);
    assert!(!masses[1].estimated);
}

#[test]
fn what_is_typed_stays_as_typed() {
    let source =
        WEEKEND.replace("version: 3\n", "version: 3.10\n").replace("channel: Channel 14", "channel: no");
    let course = read_text(&source).expect("a course");
    assert_eq!(course.version, "3.10");
    assert_eq!(course.day.channel, Some("no".into()));
}

fn with_club(text: &str) -> Result<Course, Vec<Problem>> {
    let quoted = serde_json::to_string(text).expect("a string");
    read_text(&WEEKEND.replace("club: Thursday Lantern Hill Club", &format!("club: {quoted}")))
}

#[test]
fn hostile_and_long_text_is_kept_letter_for_letter() {
    let hostile = "#let x = 1; $ \\ \" ' // /* */ = - + [a](http://x) @ref <label> {{ 7 * 7 }} {% raw %} \u{202e}abc é 漢 \u{7}";
    assert_eq!(with_club(hostile).expect("text").club, hostile);
    let long = "word ".repeat(2000) + ".";
    assert_eq!(with_club(&long).expect("10 001 characters").club.full(), long);
    let problems = with_club(&"x".repeat(20_001)).expect_err("too long");
    assert!(problems[0].message.contains("20001 characters long"), "{}", problems[0].message);
}

#[test]
fn files_that_cannot_be_read_are_no_fault_of_the_course() {
    let folder = tempfile::tempdir().expect("a folder");
    let unread = |path: &std::path::Path| read(path).expect_err("not a course").failure;
    assert_eq!(unread(&folder.path().join("none.yaml")).exit_code(), 4);
    assert_eq!(unread(folder.path()).exit_code(), 4);

    let latin = folder.path().join("latin.yaml");
    std::fs::write(&latin, b"course:\n  title: gr\xfcn\n").expect("written");
    let failure = read(&latin).expect_err("not UTF-8");
    let Failure::Course(problems) = failure.failure else { panic!("a fault of the text") };
    assert_eq!(place(&failure.source, &problems[0]), (2, 12));

    let large = folder.path().join("large.yaml");
    std::fs::write(&large, vec![b'#'; 2 * 1024 * 1024 + 1]).expect("written");
    assert_eq!(unread(&large).exit_code(), 1);
}

/// Whatever the text: a course, or problems whose places lie in the text and that can be shown.
fn read_or_tell(source: &str) -> Result<(), TestCaseError> {
    let Err(problems) = read_text(source) else { return Ok(()) };
    prop_assert!(!problems.is_empty(), "refused without a reason");
    for problem in &problems {
        prop_assert!(!problem.message.is_empty());
        let spans = problem.span.iter().chain(problem.related.iter().map(|(span, _)| span));
        for span in spans {
            prop_assert!(source.get(span.clone()).is_some(), "{:?} outside", span);
        }
    }
    let _ = render_problems("course.yaml", source, &problems, false);
    Ok(())
}

fn char_boundary(source: &str, near: usize) -> usize {
    (0..=near.min(source.len())).rev().find(|at| source.is_char_boundary(*at)).unwrap_or(0)
}

proptest! {
    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        read_or_tell(&String::from_utf8_lossy(&bytes))?;
    }

    #[test]
    fn any_punctuation_is_read_or_refused(text in "[-a-c0-9:,&*!|>'\"%@`#{}\\[\\]<~.? \n\té½\u{feff}\r]{0,80}") {
        read_or_tell(&text)?;
    }

    #[test]
    fn a_damaged_course_is_read_or_refused(
        from in 0..QUARRY.len(),
        length in 0_usize..60,
        junk in "[-a-z0-9:,&*!|>'\"%#{}\\[\\]~. \n\té½]{0,12}",
    ) {
        let start = char_boundary(QUARRY, from);
        let end = char_boundary(QUARRY, from + length).max(start);
        read_or_tell(&format!("{}{junk}{}", &QUARRY[..start], &QUARRY[end..]))?;
    }

    #[test]
    fn a_value_replaced_by_junk_is_read_or_refused(line in 0..400_usize, junk in "\\PC{0,20}") {
        let changed: Vec<String> = WEEKEND.lines().enumerate().map(|(at, text)| match text.split_once(": ") {
            Some((key, _)) if at == line => format!("{key}: {}", serde_json::to_string(&junk).expect("a string")),
            _ => text.to_owned(),
        }).collect();
        read_or_tell(&changed.join("\n"))?;
    }
}
