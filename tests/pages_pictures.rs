//! A club's mark and photographs of slopes come into the pages with words for those who cannot
//! see them; a drawing that would fetch or run something does not.

use std::fs;

use image::RgbImage;
use slopepack::course::{Photograph, read_text};
use slopepack::pack::{Book, Kind};
use slopepack::page::Gallery;
use slopepack::print::{Picture, Templates, Typesetter, Workshop};

use crate::pages_read::structure;

const MARK: &str = r##"<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 40">
<defs><linearGradient id="a"><stop offset="0" stop-color="#234"/></linearGradient></defs>
<title>Mark</title><g fill="url(#a)"><path d="M0 40 60 0 120 40Z"/></g></svg>"##;

#[test]
fn mark_and_photographs_are_on_the_pages_with_their_words() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("mark.svg"), MARK).expect("written");
    fs::create_dir(folder.path().join("pictures")).expect("a folder");
    RgbImage::new(300, 200).save(folder.path().join("pictures/brow_from-below.jpg")).expect("written");
    let mut course = read_text(include_str!("../courses/quarry-day.yaml")).expect("no mistakes");
    course.logo = Some("mark.svg".to_owned());
    course.slopes[1].photographs =
        vec![Photograph { file: "pictures/brow_from-below.jpg".to_owned(), shows: None, line: None }];
    let templates = Templates::embedded().expect("all templates parse");
    let workshop = Workshop::inside(folder.path(), "work-", &templates).expect("a work folder");
    let gallery = Gallery::of(&course, folder.path(), &workshop).expect("pictures");
    let book = Book::of(&course, "0000-0000").with_pictures(gallery);
    let notes = Kind::named("instructor-notes")
        .expect("a kind")
        .fill(&book, &templates)
        .expect("some")
        .expect("filled");
    let pdf = Typesetter::find(None)
        .expect("typst")
        .pdf(&workshop, &notes, 0)
        .unwrap_or_else(|why| panic!("{why}"));
    let pdf = lopdf::Document::load_mem(&pdf).expect("a PDF");
    let said: Vec<String> = structure(&pdf).into_iter().filter_map(|element| element.alt).collect();
    for words in [format!("Mark of {}", course.club), format!("{}: brow from below", course.slopes[1].name)] {
        assert!(said.contains(&words), "nobody says {words:?}");
    }
}

/// A slope of 45° seen square to it, and the same picture of a slope of 20°: the page tells that the camera stood aside.
#[test]
fn a_line_is_drawn_between_brow_and_foot_with_the_angle_on_the_ground() {
    let keys =
        "photographs: [{file: side.png, shows: From the left, brow: [10 %, 20 %], foot: [60 %, 95 %]}]\n";
    let text = include_str!("../courses/quarry-day.yaml")
        .replace("    # photographs: [pictures/nursery-brow.jpg]", &format!("    {keys}    #"));
    let course = read_text(&text).unwrap_or_else(|problems| panic!("{problems:?}"));
    let slope = &course.slopes[0];
    let mean = slope.mean_gradient().to_degrees();
    let folder = tempfile::tempdir().expect("a folder");
    let templates = Templates::embedded().expect("all templates parse");
    let workshop = Workshop::inside(folder.path(), "work-", &templates).expect("a work folder");
    let drawn = |height: u32| {
        RgbImage::new(400, height).save(folder.path().join("side.png")).expect("written");
        let gallery = Gallery::of(&course, folder.path(), &workshop).expect("pictures");
        let shot = gallery.photographs[&slope.id][0].clone();
        let line = shot.line.expect("both ends are given");
        let line = serde_json::to_value(line).expect("plain data");
        assert_eq!(
            (&line["brow"], &line["foot"]),
            (&serde_json::json!([0.1, 0.2]), &serde_json::json!([0.6, 0.95]))
        );
        let angle: f64 = line["angle"].as_str().unwrap().trim_end_matches('°').parse().unwrap();
        assert!((angle - mean).abs() <= 0.051, "{angle} for {mean}");
        shot.shows
    };
    // 0.5 × 400 px across, 0.75 of its height down.
    let square = (200.0 * slope.mean_gradient().tan() / 0.75).round() as u32;
    let words = drawn(square);
    assert!(
        words.contains("From the left. The line from brow to foot falls") && !words.contains("square"),
        "{words}"
    );
    let words = drawn(4 * square);
    assert!(words.contains("the camera did not look square to it"), "{words}");
}

#[test]
fn one_end_of_a_line_alone_is_refused_where_it_stands() {
    for (keys, message) in [
        ("brow: [10 %, 20 %]", "needs both its ends"),
        ("brow: [10 %, 90 %], foot: [60 %, 20 %]", "not seen below the brow"),
        ("brow: [10 %], foot: [60 %, 20 %]", "has two figures"),
        ("brow: [10 %, 20 %, 3 %], foot: [60 %, 20 %]", "has two figures"),
        ("brow: [10 %, 120 %], foot: [60 %, 20 %]", ""),
    ] {
        let keys = format!("photographs: [{{file: side.png, {keys}}}]\n    #");
        let text = include_str!("../courses/quarry-day.yaml")
            .replace("    # photographs: [pictures/nursery-brow.jpg]", &format!("    {keys}"));
        let problems = read_text(&text).expect_err(message);
        assert!(problems.iter().any(|problem| problem.message.contains(message)), "{keys}: {problems:?}");
    }
}

#[test]
fn a_missing_picture_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut course = read_text(include_str!("../courses/quarry-day.yaml")).expect("no mistakes");
    course.logo = Some("nowhere.png".to_owned());
    let templates = Templates::embedded().expect("all templates parse");
    let workshop = Workshop::inside(folder.path(), "work-", &templates).expect("a work folder");
    let failure = Gallery::of(&course, folder.path(), &workshop).expect_err("it is missing");
    assert!(failure.to_string().contains("nowhere.png"), "{failure}");
}

#[test]
fn a_drawing_that_fetches_or_runs_something_is_refused() {
    assert_eq!(Picture::from_bytes(MARK.as_bytes()).expect("shapes").extension(), "svg");
    let hostile = [
        ("<script>alert(1)</script>", "script"),
        (r#"<image href="file:///etc/passwd"/>"#, "image"),
        ("<use href='other.svg#a'/>", "href"),
        (r#"<path onclick="x()" d="M0 0"/>"#, "onclick"),
        (r#"<path fill="url(http://host/a)" d="M0 0"/>"#, "fill"),
        (r#"<path style="fill: url( 'http://host/a#b')" d="M0 0"/>"#, "style"),
        ("<style>@import 'a.css';</style>", "style"),
        ("<foreignObject/>", "foreignObject"),
        ("<text>club</text>", "turn letters into paths"),
        ("<path", "not sound"),
    ];
    for (inside, word) in hostile {
        let drawing = format!(r#"<svg xmlns="http://www.w3.org/2000/svg">{inside}</svg>"#);
        let why = Picture::from_bytes(drawing.as_bytes()).expect_err(inside);
        assert!(why.contains(word), "{inside}: {why}");
    }
    let endless = r#"<!DOCTYPE svg [<!ENTITY a "b">]><svg xmlns="http://www.w3.org/2000/svg">&a;</svg>"#;
    assert!(Picture::from_bytes(endless.as_bytes()).is_err());
    assert!(Picture::from_bytes(b"<html></html>").is_err());
}
