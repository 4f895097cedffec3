//! The plan of the site as it is read: where things lie, which hand they are on, and what cannot be so.

use std::path::Path;

use slopepack::course::{
    AreaOfSite, Course, Hand, LineOfSite, PointOfSite, SlopePlan, Spot, Text, TooNear, WayOff, read,
    read_text,
};
use slopepack::problem::Problem;

/// A course with a slope of 40 m at 30°, 34.6 m level, that comes down to the south, and a plan of it.
const PLAN: &str = "\
course: {title: T, club: C, site: S}
limits: {gradient: 35°, side-tilt: 12°, descent-speed: 8 km/h, brake-temperature: 250 °C}
slopes:
  - id: north
    name: North bank
    purpose: First descent
    surface: grass-dry
    length: 40 m
    gradient: 30°
    width: 6 m
    entry-speed: 3 km/h
    run-out: {length: 20 m}
    escape: {length: 12 m, gradient: 12°, run-out: {length: 12 m}}
    survey: {by: me, reads-to: 1°}
  - {id: south, name: South bank, purpose: p, surface: grass-dry, length: 40 m, gradient: 9°, entry-speed: 3 km/h}
site-plan:
  measured-in: m
  origin: {is: Post, latitude: 48.3, longitude: -31.7}
  north: true
  accurate-to: 1 m
  slopes:
    - slope: north
      brow: [10, 100]
      foot: [10, 65.4]
      spotter: [16, 82]
      marshals: [[2, 104]]
      escape: [[10, 80], [-14, 80]]
  points:
    - {kind: assembly, at: [40, 40]}
  lines:
    - {kind: edge, line: [[0, 0], [0, 50]], falls-to: east, drop: 3 m}
  areas:
    - {kind: keep-out, corners: [[50, 0], [90, 0], [90, 40], [50, 40]], name: Face}
vehicles: [{id: one, class: wagon}]
day: {runs: 3, run-gap: 10 min}
";

fn problems(source: &str) -> Vec<Problem> {
    read_text(source).expect_err("the course has mistakes")
}

fn example(name: &str) -> Course {
    read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("courses").join(name)).expect("it reads").course
}

fn plan_of(course: &Course, slope: &str) -> SlopePlan {
    course.site_plan.as_ref().expect("a plan").of_slope(slope).expect("the slope is on it").clone()
}

#[test]
fn each_mistake_of_a_plan_is_told_once_at_its_place() {
    let cases = [
        ("measured-in: m", "measured-in: furlong", "`furlong` is not known"),
        ("  measured-in: m\n", "", "a site plan needs `measured-in`"),
        ("latitude: 48.3, ", "", "an origin needs `latitude`"),
        ("latitude: 48.3", "latitude: 148.3", "hardly possible"),
        ("kind: assembly", "kind: asembly", "`asembly` is not known"),
        ("kind: edge", "kind: cliff", "`cliff` is not known"),
        ("kind: keep-out", "kind: bog", "`bog` is not known"),
        ("at: [40, 40]", "at: [40]", "a spot has two numbers, here are 1"),
        ("at: [40, 40]", "at: [40, 4000000]", "hardly possible"),
        ("at: [40, 40]", "at: [40, 40000]", "40000 m north or south is no place of this site"),
        ("at: [40, 40]", "at: [40 m, 40]", "not a plain number"),
        (
            "brow: [10, 100]",
            "brow: [100, 10]",
            "brow to foot is 106 m on the plan, and 35 m as it was measured",
        ),
        ("foot: [10, 65.4]", "foot: [10, 60]", "brow to foot is 40 m"),
        ("foot: [10, 65.4]", "foot: [10, 65.4]\n      run-out: [[10, 5]]", "the run-out is 60 m on the plan"),
        ("slope: north", "slope: nort", "no slope called `nort`"),
        ("spotter: [16, 82]", "spotter: [12, 82]", "`spotter` stands 2.0 m from the middle of the line"),
        (
            "spotter: [16, 82]",
            "spotter: [16, 82]\n      waiting: [60, 20]",
            "`waiting` stands in `Face`, where nobody goes",
        ),
        (
            "spotter: [16, 82]",
            "spotter: [16, 82]\n      bank: [-22, 81]",
            "`bank` stands in line with the way out",
        ),
        (
            "escape: [[10, 80], [-14, 80]]",
            "escape: [[20, 80], [44, 80]]",
            "`escape` begins 10 m from the line",
        ),
        ("escape: [[10, 80], [-14, 80]]", "escape: [[10, 80], [-40, 80]]", "the way out is 50 m on the plan"),
        ("escape: [[10, 80], [-14, 80]]", "escape: [[10, 66], [52, 39]]", "`escape` leads into `Face`"),
        ("at: [40, 40]", "at: [11, 55]", "onto the line driven on North bank"),
        ("at: [40, 40]", "at: [60, 20]", "into `Face`, where nobody goes"),
        ("falls-to: east", "falls-to: north", "the edge runs that way itself"),
        (", falls-to: east", "", "a line of the plan needs `falls-to`"),
        ("kind: edge", "kind: track", "`falls-to` belongs to an edge"),
        (
            "corners: [[50, 0], [90, 0], [90, 40], [50, 40]]",
            "corners: [[50, 0], [90, 0]]",
            "has 2 of the 3 spots",
        ),
        (
            "    - {kind: assembly, at: [40, 40]}",
            "    - {kind: assembly, at: [40, 40]}\n    - {kind: assembly, at: [42, 40]}",
            "a second assembly point",
        ),
    ];
    read_text(PLAN).expect("the plan is good");
    for (from, to, part) in cases {
        assert_eq!(PLAN.matches(from).count(), 1, "{from:?} stands once");
        let source = PLAN.replace(from, to);
        let found = problems(&source);
        assert_eq!(found.len(), 1, "{to:?}: {found:#?}");
        assert!(found[0].message.contains(part), "{to:?}: {:?} does not say {part:?}", found[0].message);
        assert!(found[0].help.as_ref().is_some_and(|help| !help.is_empty()), "{to:?} has help");
        // The line that is shown is the one that was changed, or the thing it belongs to.
        let start = found[0].span.clone().expect("a place").start;
        let line = source[..start].matches('\n').count();
        let changed = PLAN[..PLAN.find(from).expect("it stands there")].matches('\n').count();
        assert!(line.abs_diff(changed) <= 3, "{to:?} is told at line {}: {}", line + 1, found[0].message);
    }
}

#[test]
fn a_way_out_that_nobody_measured_is_not_drawn() {
    let unmeasured = PLAN.replace("    escape: {length: 12 m, gradient: 12°, run-out: {length: 12 m}}\n", "");
    let found = problems(&unmeasured);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].message.contains("`escape` is drawn, and North bank has none"), "{found:?}");
}

#[test]
fn a_second_brow_points_at_the_first() {
    let twice =
        PLAN.replace("  points:", "    - {slope: north, brow: [10, 100], foot: [10, 65.4]}\n  points:");
    let found = problems(&twice);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].message.contains("a second brow for slope `north`"), "{found:?}");
    assert!(found[0].related[0].0.start < found[0].span.as_ref().expect("a place").start);
}

#[test]
fn what_the_instruments_allow_is_no_mistake() {
    // 34.64 m level; both ends 1 m, the tape 1 %, and a step of 1° at 30°: 2.7 m in all.
    for (north, good) in [(67.9, true), (62.8, true), (68.2, false), (62.5, false)] {
        let source = PLAN.replace("foot: [10, 65.4]", &format!("foot: [10, {north}]"));
        assert_eq!(read_text(&source).is_ok(), good, "foot at {north}");
    }
    // Where nobody says how good the spots are, they are a telephone's.
    let coarse = PLAN.replace("  accurate-to: 1 m\n", "").replace("foot: [10, 65.4]", "foot: [10, 58]");
    read_text(&coarse).expect("7 m off is within a telephone's 10 m");
}

#[test]
fn a_plan_in_feet_is_the_same_plan() {
    let feet = PLAN
        .replace("measured-in: m", "measured-in: ft")
        .replace("brow: [10, 100]", "brow: [32.808, 328.084]");
    let feet = feet.replace("foot: [10, 65.4]", "foot: [32.808, 214.567]").replace("[16, 82]", "[52.5, 269]");
    let feet = feet.replace("[[10, 80], [-14, 80]]", "[[32.8, 262.5], [-45.9, 262.5]]");
    let feet = feet.replace("[[2, 104]]", "[[6.6, 341]]");
    let (feet, metres) = (read_text(&feet).expect("it reads"), read_text(PLAN).expect("it reads"));
    let (brow, foot) = feet.brow_and_foot("north").expect("both");
    let (other_brow, other_foot) = metres.brow_and_foot("north").expect("both");
    assert!(brow.to(other_brow) < 0.01 && foot.to(other_foot) < 0.01);
    assert_eq!(metres.brow_and_foot("south"), None);
}

#[test]
fn the_drivers_hand_is_told_whichever_way_the_slope_faces() {
    let course = read_text(PLAN).expect("it reads");
    let plan = plan_of(&course, "north");
    // Coming down to the south, east is on the left.
    let spotter = plan.beside(plan.spotter.expect("a spotter"));
    assert_eq!(spotter.hand, Hand::Left);
    assert!((spotter.off - 6.0).abs() < 1e-9 && (spotter.along - 18.0).abs() < 1e-9, "{spotter:?}");
    assert_eq!(plan.beside(plan.marshals[0]).hand, Hand::Right);
    // The run-out goes straight on as long as it was measured.
    assert!(plan.run_out[0].to(Spot { east: 10.0, north: 45.4 }) < 1e-9, "{:?}", plan.run_out);
    for turn in 0..8 {
        let angle = f64::from(turn) * std::f64::consts::FRAC_PI_4;
        let way = Spot { east: angle.sin(), north: angle.cos() };
        let foot = Spot { east: 30.0 * way.east, north: 30.0 * way.north };
        let line = SlopePlan { line: vec![Spot::default(), foot], run_out: vec![], ..plan.clone() };
        // A step to the left of somebody who walks that way.
        let left = Spot { east: 15.0 * way.east - 4.0 * way.north, north: 15.0 * way.north + 4.0 * way.east };
        let right =
            Spot { east: 15.0 * way.east + 4.0 * way.north, north: 15.0 * way.north - 4.0 * way.east };
        assert_eq!(line.beside(left).hand, Hand::Left, "turn {turn}");
        assert_eq!(line.beside(right).hand, Hand::Right, "turn {turn}");
    }
}

#[test]
fn the_low_side_of_an_edge_is_the_one_it_falls_to() {
    let course = read_text(PLAN).expect("it reads");
    let edge = &course.site_plan.expect("a plan").lines[0];
    // Written from south to north, its right is the east.
    assert!(
        matches!(edge.kind, LineOfSite::Edge { low_right: true, drop: Some(drop) } if (drop.si() - 3.0).abs() < 1e-9)
    );
    let turned = PLAN.replace("[[0, 0], [0, 50]]", "[[0, 50], [0, 0]]");
    let course = read_text(&turned).expect("it reads");
    let edge = &course.site_plan.expect("a plan").lines[0];
    assert!(matches!(edge.kind, LineOfSite::Edge { low_right: false, .. }));
}

#[test]
fn the_quarrys_plan_says_what_its_words_say() {
    let course = example("quarry-day.yaml");
    let plan = course.site_plan.as_ref().expect("a plan");
    assert_eq!(plan.slopes.len(), course.slopes.len(), "every slope has its place");
    // What the words of the slopes say of their stands, in the order of the file.
    let said = [
        ("nursery", "left of the run-out", Hand::Left),
        ("ramp", "left shoulder", Hand::Left),
        ("scree-run", "boulder on the right", Hand::Right),
        ("clay-slide", "right of the run-out", Hand::Right),
        ("old-incline", "at the left", Hand::Left),
        ("new-cut", "On the left", Hand::Left),
    ];
    for (id, words, hand) in said {
        let slope = course.slopes.iter().find(|slope| slope.id == id).expect("the slope");
        assert!(slope.spotter.as_ref().is_some_and(|text| text.full().contains(words)), "{id}");
        let placed = plan_of(&course, id);
        let spotter = placed.beside(placed.spotter.expect("a spotter"));
        assert_eq!(spotter.hand, hand, "{id}");
        if words.contains("run-out") {
            assert!(spotter.along > placed.length(), "{id}: level with the run-out, {spotter:?}");
        }
    }
    // ‘The track tilts towards the pond’, and the spotter stands above it: on the other side.
    let step = plan_of(&course, "side-step");
    let pond = plan.areas.iter().find(|area| area.kind == AreaOfSite::Water).expect("the pond");
    let spotter = step.beside(step.spotter.expect("a spotter")).hand;
    assert!(pond.corners.iter().all(|corner| step.beside(*corner).hand != spotter));
    // ‘Drop of 2 m along the right edge’.
    let ramp = plan_of(&course, "ramp");
    let edge = &plan.lines[0];
    assert!(edge.line.iter().all(|spot| ramp.beside(*spot).hand == Hand::Right));
    // Assembly and the meeting point are where the emergency data say: at the weighbridge by the south gate.
    let at = |kind| plan.point(kind).expect("it is on the plan");
    let assembly = at(PointOfSite::Assembly);
    assert_eq!(course.emergency.assembly.as_ref().map(Text::full), assembly.name.as_ref().map(Text::full));
    assert!(assembly.at.to(at(PointOfSite::MeetingPoint).at) < 15.0);
}

#[test]
fn the_clubs_plan_leaves_a_slope_out() {
    let course = example("hill-club-weekend.yaml");
    assert!(course.brow_and_foot("pasture").is_some() && course.brow_and_foot("gravel-chute").is_none());
    // ‘Leaves towards the pavilion’: the post is on the pavilion's side.
    let pasture = plan_of(&course, "pasture");
    assert_eq!(
        pasture.beside(pasture.spotter.expect("a spotter")).hand,
        pasture.beside(Spot::default()).hand
    );
}

/// By hand, on the quarry's plan: the bank's line runs straight west along north 44, its run-out ends at east 80.5, what
/// holds a line stands 6 m behind the brow at east 150.
#[test]
fn what_lies_too_near_to_a_loaded_line_is_as_near_as_measured_by_hand() {
    let course = read_text(include_str!("../courses/quarry-day.yaml")).unwrap();
    let plan = course.site_plan.as_ref().unwrap();
    let slope = &course.slopes[0];
    let kinds = |radius: f64| -> Vec<PointOfSite> {
        let near = plan.too_near(slope, 6.0, radius).into_iter();
        near.filter_map(|one| if let TooNear::Place(point) = one { Some(point.kind) } else { None }).collect()
    };
    let control = (80.5_f64 - 26.0).hypot(44.0 - 22.0);
    assert!(kinds(control + 0.1).contains(&PointOfSite::Control));
    assert!(!kinds(control - 0.1).contains(&PointOfSite::Control));
    // Others of the bank wait at [157, 54]: past the anchor at 156, and ten metres aside.
    let waits = |radius: f64| plan.too_near(slope, 6.0, radius).contains(&TooNear::Waiting("nursery"));
    let off = 1.0_f64.hypot(10.0);
    assert!(waits(off + 0.1) && !waits(off - 0.1));
    let ways = |radius: f64| {
        let near = plan.too_near(slope, 6.0, radius).into_iter();
        near.filter(|one| matches!(one, TooNear::Way(_))).count()
    };
    assert!(ways(1000.0) > ways(20.0), "a wider ring shuts more");
}

/// By hand from the quarry's plan: nothing near S1; S2's edge and face on the right; the pond behind S3's way out; S4's
/// face 9 m off on the left, the pond 19 m off on the right.
#[test]
fn people_leave_a_slope_on_the_side_without_an_edge_or_water() {
    let course = example("quarry-day.yaml");
    let way = |id: &str| course.way_off(course.slopes.iter().find(|slope| slope.id == id).expect("a slope"));
    assert_eq!(way("nursery"), WayOff::Either);
    assert_eq!(way("ramp"), WayOff::Only(Hand::Left));
    assert_eq!(way("scree-run"), WayOff::Only(Hand::Right));
    let mut walled = course.clone();
    let plan = walled.site_plan.as_mut().expect("a plan");
    let pond = plan.areas.iter_mut().find(|area| area.kind == AreaOfSite::Water).expect("a pond");
    // 10 m to the right of S4 as well.
    for (corner, east) in pond.corners.iter_mut().zip([40.0, 55.0, 55.0, 40.0, 40.0]) {
        corner.east = east;
        corner.north += 40.0;
    }
    let scree = walled.slopes.iter().find(|slope| slope.id == "scree-run").expect("a slope");
    assert_eq!(walled.way_off(scree), WayOff::Neither(Hand::Right));
}
