//! The plans of the site and of each slope, read back from the pages: to scale, not mirrored, every name in its frame.

use serde_json::Value;
use slopepack::course::{Course, Hand, SitePlan, SlopePlan, Spot};
use slopepack::engine::reckon;
use slopepack::rota::{assessed, day_sum};

use crate::pages::{Pack, examples};
use crate::pages_drawings::{Drawing, drawings_of};

const KIND: &[&str] = &["site-plan"];

/// Every plan of a document.
fn plans(pack: &Pack, document: &str) -> Vec<Drawing> {
    let paper = pack.papers.iter().find(|paper| paper.name == document);
    paper.map_or_else(Vec::new, |paper| drawings_of(&paper.source, KIND))
}

fn quarry() -> &'static Pack {
    examples()
        .iter()
        .find(|pack| pack.course.title.full() == "Descending in low range")
        .expect("the quarry day")
}

fn site(course: &Course) -> &SitePlan {
    course.site_plan.as_ref().expect("a plan")
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("no number: {value}"))
}

fn point(value: &Value) -> [f64; 2] {
    [number(&value[0]), number(&value[1])]
}

fn of_kind<'v>(picture: &'v Value, list: &str, kind: &str) -> Vec<&'v Value> {
    picture[list].as_array().expect("a list").iter().filter(|one| one["kind"] == kind).collect()
}

fn ends(line: &Value) -> [[f64; 2]; 2] {
    let points = line["points"].as_array().expect("points");
    [point(&points[0]), point(points.last().expect("a point"))]
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// One to how many the words of a plan say it is drawn.
fn said_scale(drawing: &Drawing) -> f64 {
    let said =
        drawing.alt().split("1 : ").nth(1).expect("a scale").split([',', '.']).next().expect("its number");
    said.trim().parse().unwrap_or_else(|_| panic!("{said:?}"))
}

#[test]
fn the_site_is_drawn_to_its_scale_with_north_at_the_top() {
    for document in ["radio-plan"] {
        let found = plans(quarry(), document);
        assert_eq!(found.len(), 1, "{document}");
        let (drawing, picture) = (&found[0], &found[0].given[0]);
        let to_paper = 1000.0 / said_scale(drawing);
        let plan = site(&quarry().course);
        let driven = of_kind(picture, "lines", "driven");
        assert_eq!(driven.len(), plan.slopes.len(), "{document}");
        for (line, placed) in driven.iter().zip(&plan.slopes) {
            let [brow, foot] = ends(line);
            let level = placed.brow().to(placed.foot());
            assert!((apart(brow, foot) - level * to_paper).abs() < 0.05, "{document}: {}", placed.slope);
            // East is to the right, north up.
            let east = (placed.foot().east - placed.brow().east) * to_paper;
            let north = (placed.foot().north - placed.brow().north) * to_paper;
            assert!((foot[0] - brow[0] - east).abs() < 0.05, "{document}: {}", placed.slope);
            assert!((brow[1] - foot[1] - north).abs() < 0.05, "{document}: {}", placed.slope);
        }
        let bar = number(&picture["bar"]);
        let told: f64 = picture["bar_text"]
            .as_str()
            .expect("a text")
            .trim_end_matches([' ', 'm'])
            .parse()
            .expect("metres");
        assert!((bar - told * to_paper).abs() < 0.02, "{document}: the bar is {bar} mm for {told} m");
        assert!((point(&picture["north"])[1] + 1.0).abs() < 1e-9, "{document}");
        // What people are sent to, and every slope, is named; what is not is told under the drawing.
        let named: Vec<&str> =
            picture["labels"].as_array().expect("labels").iter().filter_map(|l| l["text"].as_str()).collect();
        // Of two edges close together the deeper one is never named by the other's drop.
        // Of two edges close together the deeper one has its drop beside it.
        for wanted in [
            "drop 9 m",
            "ambulance met here",
            "assembly point",
            "first aid",
            "S1",
            "S2",
            "S3",
            "S4",
            "S5",
            "S6",
            "S7",
            "S8 closed",
        ] {
            assert!(named.contains(&wanted), "{document}: no room for {wanted}: {named:?}");
        }
    }
}

#[test]
fn every_slope_of_the_plan_has_its_own_part_and_no_other_has_one() {
    for pack in examples() {
        let named: Vec<&str> = pack
            .course
            .slopes
            .iter()
            .filter(|slope| pack.course.brow_and_foot(&slope.id).is_some())
            .map(|slope| slope.name.full())
            .collect();
        for document in ["slope-cards", "instructor-notes"] {
            let found = plans(pack, document);
            for drawing in &found {
                assert!(named.iter().any(|name| drawing.alt().starts_with(name)), "{}", drawing.alt());
            }
            for name in &named {
                assert!(
                    found.iter().any(|drawing| drawing.alt().starts_with(name)),
                    "{document}: no plan of {name}"
                );
            }
        }
    }
}

/// The middle of a stand's sign in a drawing.
fn stand(picture: &Value, kind: &str) -> Option<[f64; 2]> {
    of_kind(picture, "symbols", kind).first().map(|symbol| point(&symbol["at"]))
}

#[test]
fn a_stand_on_the_drivers_left_is_drawn_and_said_on_the_drivers_left() {
    let course = &quarry().course;
    let sums = day_sum(course, &reckon(course));
    let place = |id: &str| course.slopes.iter().position(|slope| slope.id == id).expect("a slope");
    let mut judged = 0;
    for drawing in plans(quarry(), "slope-cards").into_iter().chain(plans(quarry(), "instructor-notes")) {
        let picture = &drawing.given[0];
        let slope =
            course.slopes.iter().find(|slope| drawing.alt().starts_with(slope.name.full())).expect("a slope");
        let placed = site(course).of_slope(&slope.id).expect("it is on the plan");
        if slope.run_out.is_none() {
            // Closed: nobody stands there.
            for kind in ["spotter", "assessor", "waiting", "marshal", "bank"] {
                assert_eq!(stand(picture, kind), None, "{}: {kind}", slope.name);
            }
            continue;
        }
        let [brow, _] = ends(of_kind(picture, "lines", "driven")[0]);
        let end = of_kind(picture, "lines", "run-out")
            .first()
            .map_or_else(|| ends(of_kind(picture, "lines", "driven")[0])[1], |line| ends(line)[1]);
        // The way down is to the right on paper.
        assert!(end[0] > brow[0], "{}", slope.name);
        for (kind, spot) in [
            ("spotter", placed.spotter),
            ("assessor", placed.assessor),
            ("waiting", placed.waiting),
            ("bank", placed.bank),
        ] {
            let Some(spot) = spot else { continue };
            // Whoever assesses is not drawn where they have a post of their own.
            let at_post = kind == "assessor" && !assessed(course, &sums, place(&slope.id));
            if at_post {
                assert_eq!(stand(picture, kind), None, "{}: {kind}", slope.name);
                continue;
            }
            let at = stand(picture, kind).unwrap_or_else(|| panic!("{}: no {kind}", slope.name));
            let beside = placed.beside(spot);
            let scale = 1000.0 / said_scale(&drawing);
            if placed.line.len() == 2 {
                // A straight line: what is on the left lies above it on paper, as far off as on the ground.
                let (run, fall) = (end[0] - brow[0], end[1] - brow[1]);
                let above = ((at[1] - brow[1]) * run - (at[0] - brow[0]) * fall) / run.hypot(fall);
                let left = above < 0.0;
                assert_eq!(left, beside.hand == Hand::Left, "{}: {kind}", slope.name);
                if (0.0..=placed.length()).contains(&beside.along) {
                    assert!(
                        (above.abs() - beside.off * scale).abs() < 0.05,
                        "{}: {kind} {above}",
                        slope.name
                    );
                }
            }
            let (words, hand) = (
                match kind {
                    "waiting" => "others wait",
                    "bank" => "throw line",
                    other => other,
                },
                match beside.hand {
                    Hand::Left => "left",
                    Hand::Right => "right",
                },
            );
            let said = drawing.alt().split("; ").find(|part| part.starts_with(words)).expect("it is said");
            assert!(said.contains(&format!("to the driver’s {hand}")), "{said}");
            judged += 1;
        }
    }
    assert!(judged > 20, "{judged}");
}

#[test]
fn names_stand_in_their_frame_and_apart_on_every_printed_plan() {
    for pack in examples() {
        for document in ["radio-plan", "instructor-notes", "slope-cards"] {
            for drawing in plans(pack, document) {
                let picture = &drawing.given[0];
                let (w, h) = (number(&picture["width"]), number(&picture["height"]));
                let boxes: Vec<[f64; 4]> = picture["labels"]
                    .as_array()
                    .expect("labels")
                    .iter()
                    .map(|l| {
                        [
                            number(&l["x"]),
                            number(&l["y"]),
                            number(&l["x"]) + number(&l["w"]),
                            number(&l["y"]) + number(&l["h"]),
                        ]
                    })
                    .collect();
                for (at, own) in boxes.iter().enumerate() {
                    assert!(
                        own[0] >= 0.0 && own[1] >= 0.0 && own[2] <= w && own[3] <= h,
                        "{}",
                        drawing.alt()
                    );
                    let clear = |other: &[f64; 4]| {
                        own[0] >= other[2] || other[0] >= own[2] || own[1] >= other[3] || other[1] >= own[3]
                    };
                    assert!(boxes[..at].iter().all(clear), "{}", drawing.alt());
                }
            }
        }
    }
}

#[test]
fn the_emergency_plan_gives_the_meeting_point_as_the_services_take_it_where_somebody_has_read_it() {
    let text: String = {
        let paper = quarry().papers.iter().find(|paper| paper.name == "radio-plan").expect("the plan");
        paper.sheets.iter().flat_map(|sheet| sheet.pieces.iter().map(|piece| piece.text.as_str())).collect()
    };
    assert!(
        !text.contains("Latitude, longitude") && !text.contains("° N"),
        "nobody has read them at the post"
    );
    assert!(text.contains("grid reference, or latitude and longitude"), "but there is a frame to fill in");

    let origin = "'Post of the south gate, on the hinge side'}";
    let measured = origin.replace('}', ", latitude: 12.25, longitude: -31.5, grid: AB 12 34}");
    let measured = include_str!("../courses/quarry-day.yaml").replace(origin, &measured);
    let course = slopepack::course::read_text(&measured).expect("it reads");
    let kind = slopepack::pack::KINDS.iter().find(|kind| kind.name == "radio-plan").expect("the plan");
    let book = slopepack::pack::Book::of(&course, "0000-0000");
    let templates = slopepack::print::Templates::embedded().expect("all templates parse");
    let source = kind.fill(&book, &templates).expect("it has one").expect("it fills").text;
    let plan = site(&course);
    let met =
        plan.points.iter().find(|point| point.name.as_ref().is_some_and(|name| name.full() == "Weighbridge"));
    let [latitude, longitude] = plan.degrees_of(met.expect("it is there").at).expect("degrees");
    for part in
        [format!("{:.5}° N", latitude.abs()), format!("{:.5}° W", longitude.abs()), "grid AB 12 34".into()]
    {
        assert!(source.contains(&part), "no {part} on the emergency plan");
    }
    assert!(!source.contains("grid reference, or latitude and longitude"));
}

/// Metres for a degree of latitude and of longitude on the ellipsoid of WGS 84, from memory of published tables.
#[test]
fn degrees_are_as_long_as_published() {
    let mut plan = site(&quarry().course).clone();
    for (latitude, along, across) in
        [(0.0, 110_574.0, 111_320.0), (45.0, 111_132.0, 78_847.0), (60.0, 111_412.0, 55_800.0)]
    {
        plan.origin.degrees = Some([latitude, 0.0]);
        let [north, east] = plan.degrees_of(Spot { east: 100.0, north: 100.0 }).expect("true north");
        assert!((100.0 / (north - latitude) / along - 1.0).abs() < 1e-4, "{latitude}");
        assert!((100.0 / east / across - 1.0).abs() < 1e-4, "{latitude}");
    }
    plan.north = None;
    assert_eq!(plan.degrees_of(Spot::default()), None, "without true north nothing is promised");
}

#[test]
fn a_lane_is_half_of_the_width_to_each_side() {
    let course = &quarry().course;
    let ramp = course.slopes.iter().find(|slope| slope.id == "ramp").expect("a slope");
    assert!((SlopePlan::half_lane(ramp) - 3.0).abs() < 1e-9);
}

/// Whoever leads the ambulance in finds each slope that is driven from where it is met, over tracks, and nobody is sent
/// through the pond.
#[test]
fn the_emergency_plan_says_the_way_to_every_slope() {
    let pack = quarry();
    let source = &pack.papers.iter().find(|paper| paper.name == "radio-plan").expect("a plan").source;
    let ways = source.split_once("From there to").expect("the ways").1;
    for mark in 1..=7 {
        assert!(ways.contains(&format!("*#\"S{mark}\";*")), "S{mark}");
    }
    assert!(!ways.contains("*#\"S8\";*"), "nobody drives it");
    let plan = site(&pack.course);
    let met = plan.point(slopepack::course::PointOfSite::MeetingPoint).expect("a place").at;
    let to = plan.of_slope("side-step").expect("on it").brow();
    let way = plan.way_to_the_top(met, to).expect("a way");
    // The Floor road ends nearer, but beyond the pond.
    assert!(way.lines.len() > 1, "{way:?}");
    assert!(way.along > met.to(to), "{way:?}");
}

/// Nobody is sent up a slope's own run-out where a track ends nearer to the brow.
#[test]
fn the_way_that_leaves_least_to_walk_is_taken() {
    let pack = quarry();
    let plan = site(&pack.course);
    let met = plan.point(slopepack::course::PointOfSite::MeetingPoint).expect("a place").at;
    for id in ["ramp", "scree-run", "old-incline", "side-step"] {
        let way = plan.way_to_the_top(met, plan.of_slope(id).expect("on it").brow()).expect("a way");
        assert!(way.off <= 30.0, "{id}: {way:?}");
    }
}

/// A track that crosses a run-out is shut while anybody drives, on the card and in the risk assessment.
#[test]
fn a_track_across_a_run_out_is_shut() {
    let pack = quarry();
    let course = &pack.course;
    for slope in &course.slopes {
        let across: Vec<_> = course
            .tracks_across(slope)
            .into_iter()
            .map(|(line, on_it)| (line.name.as_ref().expect("a name").short(), on_it))
            .collect();
        let wanted: &[(String, bool)] =
            if slope.id == "haul-road" { &[("Floor road".to_owned(), false)] } else { &[] };
        assert_eq!(across, wanted, "{}", slope.id);
    }
    for document in ["slope-cards", "risk-assessment", "instructor-notes"] {
        let source = &pack.papers.iter().find(|paper| paper.name == document).expect("it is there").source;
        assert!(source.contains("Floor road crosses the run-out: shut on both sides"), "{document}");
    }
}
