//! What pages teach of locked wheels: never that a lock stops a vehicle within a stride.

use slopepack::course::{Course, Ground};
use slopepack::engine::reckon;
use slopepack::lesson::worked_examples;

use crate::pages::{Pack, Paper, examples};
use crate::pages_read::structure;

/// A stride, m: a slide shorter than this teaches that locking stops a vehicle.
const STRIDE: f64 = 1.0;

fn text_of(paper: &Paper) -> String {
    let pieces = paper.sheets.iter().flat_map(|sheet| &sheet.pieces);
    let words: Vec<&str> = pieces.map(|piece| piece.text.trim()).filter(|text| !text.is_empty()).collect();
    words.join(" ")
}

/// The first length behind a place in a text, in metres, with what stands behind it.
fn length_behind(text: &str) -> Option<(f64, &str)> {
    let mut at = 0;
    for word in text.split_inclusive(' ') {
        at += word.len();
        let Ok(number) = word.trim().parse::<f64>() else { continue };
        let unit = text[at..].split(' ').next().unwrap_or_default();
        let metres = match unit.trim_end_matches(['.', ',', ';']) {
            "m" => 1.0,
            "ft" => 0.3048,
            _ => continue,
        };
        return Some((number * metres, &text[at..]));
    }
    None
}

/// Lengths of locked slides that a paper prints and that are shorter than a stride, without the exception.
fn short_slides(paper: &Paper) -> Vec<String> {
    let text = text_of(paper);
    let mut found = Vec::new();
    for lead in ["without steering, ", "slides ", "Locked it stands ", "at rest "] {
        for (at, _) in text.match_indices(lead) {
            let end = text[at..].char_indices().nth(160).map_or(text.len(), |(more, _)| at + more);
            let told = &text[at..end];
            let Some((length, behind)) = length_behind(&told[lead.len()..]) else { continue };
            let near = lead != "slides " || told.find("stops").is_some_and(|stop| stop < 40);
            if near && length < STRIDE && !behind.contains("exception") {
                found.push(format!("{}: {told}", paper.name));
            }
        }
    }
    found
}

#[test]
fn no_page_says_that_locked_wheels_stop_within_a_stride() {
    let mut told = 0;
    for pack in examples() {
        for paper in &pack.papers {
            told += text_of(paper).matches("without steering").count();
            let short = short_slides(paper);
            assert!(short.is_empty(), "{}", short.join("\n"));
            assert!(!text_of(paper).contains("lock at the brow"), "{}", paper.name);
        }
    }
    assert!(told >= 10, "{told} slides are told");
}

/// The speed after half of the steepest stretch with the wheels locked at the limit, at the low end; none
/// where it stops before.
fn after_half(course: &Course, slope: &slopepack::course::Slope) -> Option<f64> {
    let stretch = slope.steepest();
    let (angle, friction) = (stretch.gradient.si(), course.surface_of(slope).sliding.low);
    let slowing = 9.806_65 * (friction * angle.cos() - angle.sin());
    let left = course.limits.descent_speed.si().powi(2) - slowing * stretch.length.si();
    (left > 0.0).then(|| left.sqrt())
}

/// The result at the end of a line as it is read aloud.
fn result_of(alt: &str) -> Option<f64> {
    alt.rsplit("which is about ").next()?.split(' ').next()?.parse().ok()
}

/// The workbook works the slide that ends fastest, and prints its result.
fn works_the_fastest(pack: &Pack) {
    let course = &pack.course;
    let straight =
        |slope: &&slopepack::course::Slope| slope.cross_slope.si() == 0.0 && slope.heading.si() == 0.0;
    let fastest = course.slopes.iter().filter(straight).filter_map(|slope| after_half(course, slope));
    let Some(fastest) = fastest.reduce(f64::max) else { return };
    let paper = pack.papers.iter().find(|paper| paper.name == "workbook").unwrap();
    let metric = course.units == slopepack::quantity::UnitSystem::Metric;
    let shown = fastest * if metric { 3.6 } else { 3600.0 / 1609.344 };
    let text = text_of(paper);
    let title = text.find("it does not stop on what is left of it").expect("the working");
    let spoken: Vec<String> = structure(&paper.pdf).into_iter().filter_map(|element| element.alt).collect();
    let told =
        spoken.iter().filter(|alt| alt.starts_with("speed at the end is")).filter_map(|alt| result_of(alt));
    let near = told.clone().any(|number| (number / shown - 1.0).abs() < 0.005);
    assert!(near, "{shown} {:?}", told.collect::<Vec<_>>());
    assert!(text[title..].contains("The same way, the same speed"), "turning wheels stand beside it");
}

#[test]
fn the_workbook_works_a_lock_where_it_hurts_beside_turning_wheels() {
    examples().iter().for_each(works_the_fastest);
}

#[test]
fn a_locked_stop_worked_is_a_stride_or_more_or_the_exception() {
    for pack in examples() {
        let course = &pack.course;
        for worked in worked_examples(course, &reckon(course)) {
            if worked.id != "locked-stop" {
                continue;
            }
            let slope = course.slopes.iter().find(|slope| Some(&slope.id) == worked.slope.as_ref()).unwrap();
            let loose = course.surface_of(slope).ground == Ground::Loose;
            assert_eq!(loose, worked.title.contains("exception"), "{}", worked.title);
            let metres = worked.answer().si;
            // Gentle dry ground: there it is said that the slope is gentle enough.
            assert!(
                metres >= STRIDE || loose || worked.title.contains("gentle enough"),
                "{metres} {}",
                worked.title
            );
        }
    }
}
