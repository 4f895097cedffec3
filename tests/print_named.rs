//! Files that a course names are read by `check` already, and every mistake is told with its line.

use std::fs;
use std::io::Cursor;

use image::{ImageFormat, Rgb, RgbImage};

use crate::program::Bench;

/// A picture with something on it everywhere, so that no half of it is nothing.
fn jpeg() -> Vec<u8> {
    let picture = RgbImage::from_fn(400, 300, |x, y| {
        let shade = |factor: u32| ((x * factor + y * 7) % 256) as u8;
        Rgb([shade(3), shade(5), shade(11)])
    });
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Jpeg).unwrap();
    bytes.into_inner()
}

/// The quarry's day with this mark of the club and these photographs of its first slope.
fn with_pictures(logo: &str, photographs: &str) -> Bench {
    let bench = Bench::with_example("quarry-day.yaml");
    let mut text = fs::read_to_string(bench.path("day.yaml")).unwrap();
    for line in ["logo:", "photographs:"] {
        let old: Vec<String> =
            text.lines().filter(|l| !l.trim_start().starts_with(line)).map(String::from).collect();
        text = old.join("\n");
    }
    text = text.replacen("\ncourse:\n", &format!("\ncourse:\n  logo: {logo}\n"), 1);
    let id = text.find("  - id:").filter(|at| *at > text.find("\nslopes:").unwrap());
    let at = id.or_else(|| {
        text[text.find("\nslopes:").unwrap()..].find("  - id:").map(|at| at + text.find("\nslopes:").unwrap())
    });
    let end = at.map(|at| at + text[at..].find('\n').unwrap()).unwrap();
    text.insert_str(end, &format!("\n    photographs: [{photographs}]"));
    fs::write(bench.path("day.yaml"), text).unwrap();
    bench
}

#[test]
fn every_bad_picture_is_told_with_its_line_at_once() {
    let bench = with_pictures("mark.png", "good.jpg, cut.jpg, missing.jpg");
    let good = jpeg();
    fs::write(bench.path("good.jpg"), &good).unwrap();
    fs::write(bench.path("cut.jpg"), &good[..good.len() / 3]).unwrap();
    fs::write(bench.path("mark.png"), "no picture").unwrap();
    for args in [&["check", "day.yaml"][..], &["pack", "day.yaml", "--only", "quiz"]] {
        let ran = bench.run(args);
        assert_eq!(ran.code, 1, "{}", ran.err);
        for said in
            ["cut.jpg cannot be printed: its end is missing", "missing.jpg", "mark.png cannot be printed"]
        {
            assert!(ran.err.contains(said), "{said} in {}", ran.err);
        }
        assert_eq!(ran.err.matches("day.yaml:").count(), 3, "{}", ran.err);
        assert!(!ran.err.contains("good.jpg cannot") && ran.out.is_empty(), "{}", ran.err);
    }
    assert!(!bench.path("out").exists());
}

#[test]
fn a_picture_cut_short_anywhere_is_refused_and_a_whole_one_is_not() {
    use slopepack::print::Picture;
    let good = jpeg();
    Picture::from_bytes(&good).expect("whole");
    // Some cameras write more behind the end.
    Picture::from_bytes(&[&good[..], b"and more"].concat()).expect("whole, with something behind it");
    for length in (2..good.len()).step_by(good.len() / 60) {
        Picture::from_bytes(&good[..length]).expect_err("cut");
    }
    Picture::from_bytes(&good[..good.len() - 1]).expect_err("cut");
    let mut png = Cursor::new(Vec::new());
    image::load_from_memory(&good).unwrap().write_to(&mut png, ImageFormat::Png).unwrap();
    let png = png.into_inner();
    Picture::from_bytes(&png).expect("whole");
    for length in (8..png.len() - 12).step_by(png.len() / 30) {
        Picture::from_bytes(&png[..length]).expect_err("cut");
    }
}

#[test]
fn an_item_file_is_read_by_check_too() {
    let bench = Bench::with_example("quarry-day.yaml");
    let text = fs::read_to_string(bench.path("day.yaml")).unwrap();
    let text = match text.find("\npapers:") {
        Some(at) => {
            let end = at + 1 + text[at + 1..].find('\n').unwrap();
            format!("{}\n  bank: [ours.yaml]{}", &text[..end], &text[end..])
        }
        None => format!("{text}\npapers:\n  bank: [ours.yaml]\n"),
    };
    fs::write(bench.path("day.yaml"), text).unwrap();
    let ran = bench.run(&["check", "day.yaml"]);
    assert!(ran.code != 0 && ran.err.contains("ours.yaml"), "{}", ran.err);
    fs::write(bench.path("ours.yaml"), "- id: [").unwrap();
    let ran = bench.run(&["check", "day.yaml"]);
    assert!(ran.code == 1 && ran.err.contains("ours.yaml:1"), "{}", ran.err);
}

#[test]
fn a_day_with_every_slope_closed_is_no_day() {
    let bench = Bench::with_example("quarry-day.yaml");
    let courses = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("courses");
    fs::copy(courses.join("six-slope-saturday.yaml"), bench.path("day.yaml")).unwrap();
    fs::copy(courses.join("six-slope-saturday.csv"), bench.path("six-slope-saturday.csv")).unwrap();
    let text = fs::read_to_string(bench.path("day.yaml")).unwrap();
    let course = slopepack::course::read_text(&text).expect("the example has no mistakes");
    let closed = course.slopes.iter().flat_map(|slope| ["--without", slope.id.as_str()]);
    let args: Vec<&str> = ["pack", "day.yaml", "--into", "pack"].into_iter().chain(closed).collect();
    let ran = bench.run(&args);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.err.contains("every slope is closed"), "{}", ran.err);
    assert!(!bench.path("pack").exists());
}

/// Escape codes in a course steer no terminal, whatever it is asked for.
#[test]
fn nothing_of_a_course_steers_the_terminal() {
    let bench = Bench::with_example("quarry-day.yaml");
    let text = fs::read_to_string(bench.path("day.yaml")).unwrap();
    let at = text.find("name: ").unwrap() + "name: ".len();
    let end = at + text[at..].find('\n').unwrap();
    let text = format!("{}\"van\\e]0;taken\\a\\e[2J\"{}", &text[..at], &text[end..]);
    fs::write(bench.path("day.yaml"), text).unwrap();
    for args in [&["check", "day.yaml"][..], &["reckon", "day.yaml"], &["pack", "day.yaml", "--only", "quiz"]]
    {
        let ran = bench.run(args);
        assert!(!ran.err.contains(['\u{1b}', '\u{7}']), "{args:?}: {}", ran.err);
        assert!(!ran.out.contains(['\u{1b}', '\u{7}']), "{args:?}");
        assert_eq!(ran.code, 0, "{}", ran.err);
    }
}
