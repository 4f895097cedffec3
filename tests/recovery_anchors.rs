//! Anchors: what is published and no more, each at its place, less where a line lifts it; and the record of
//! the kit, which looks at each thing by what it is.

use crate::program::{Bench, squeezed, text_of};
use slopepack::course::{Course, Soil, library_surface, read_text};
use slopepack::recovery::facts::Pickets;
use slopepack::recovery::gear::{Gear, Ground, anchor_holds, anchor_holds_in, pickets_not_in};

const EXAMPLE: &str = include_str!("../courses/quarry-day.yaml");
const PICKET: &str = "sort: pickets-3-2-1, note:";

/// With another ground anchor in place of the pickets.
fn with(sort: &str) -> Result<Course, String> {
    assert!(EXAMPLE.contains(PICKET));
    let text = EXAMPLE.replace(PICKET, &format!("{sort}, note:"));
    read_text(&text).map_err(|problems| format!("{problems:?}"))
}

fn holds(course: &Course) -> Option<f64> {
    anchor_holds(course.kit.iter().find(|item| item.id == "picket").unwrap())
}

/// By hand from TM 5-5420-278-10, table 9: 3 ft deep, line 1 in 3, 1,450 lb a square foot; face of 1 ft, 5 ft
/// less the trench of 1 ft: 5,800 lb. Half of it in wet ground.
#[test]
fn a_buried_log_holds_what_the_table_says_and_half_of_it_in_wet_ground() {
    let log = |ground: &str| {
        let log = format!("log: {{length: 5 ft, face: 1 ft, depth: 3 ft, line: 3, ground: {ground}}}");
        holds(&with(&format!("sort: buried, {log}, stands: [{{slope: ramp, place: brow}}]")).unwrap())
            .unwrap()
    };
    let pounds = 4.448_221_615_260_5;
    assert!((log("loam") / (5800.0 * pounds) - 1.0).abs() < 1e-9, "{}", log("loam"));
    assert!((log("wet") / (2900.0 * pounds) - 1.0).abs() < 1e-9);
}

#[test]
fn a_tree_or_rock_is_not_used_until_it_is_tested_and_a_log_is_told_where_it_lies() {
    for sort in ["tree", "rock", "buried"] {
        assert_eq!(holds(&with(&format!("sort: {sort}")).unwrap()), None, "{sort}");
    }
    let log = "log: {length: 5 ft, face: 1 ft, depth: 3 ft, line: 3, ground: loam}";
    assert!(with(&format!("sort: buried, {log}")).unwrap_err().contains("the place is not told"));
    assert!(with(&format!("sort: tree, {log}")).unwrap_err().contains("only a buried anchor has a log"));
    let deep = "sort: buried, log: {length: 5 ft, face: 1 ft, depth: 9 ft, line: 3, ground: loam}";
    assert!(with(&format!("{deep}, stands: [{{slope: ramp, place: brow}}]")).unwrap_err().contains("7 ft"));
}

/// Two books on pickets: NAVEDTRA 14251 gives 700, 1,800 and 4,000 lb, the Australian manual 350 kg for each.
#[test]
fn pickets_are_told_with_their_number_and_their_spread_and_the_lower_counts() {
    for (set, pounds, pickets) in
        [(Pickets::One, 700.0, 1.0), (Pickets::OneOneOne, 1800.0, 3.0), (Pickets::ThreeTwoOne, 4000.0, 6.0)]
    {
        let [low, high] = set.spread();
        assert!((low / (pounds * 4.448_221_615_260_5) - 1.0).abs() < 1e-9);
        assert!((high / (pickets * 350.0 * 9.806_65) - 1.0).abs() < 1e-9);
        assert!((low - set.holds()).abs() < 1e-9 && (f64::from(set.count()) - pickets).abs() < 1e-9);
    }
}

/// Pickets are published for undisturbed, firm, dry ground. Anywhere else they count for nothing until they are
/// tested there, and a log counts for half where the slope is wet or loose, whatever was written of its trench.
#[test]
fn the_ground_of_the_slope_decides_whether_pickets_are_counted() {
    let course = read_text(EXAMPLE).unwrap();
    let picket = course.kit.iter().find(|item| item.id == "picket").unwrap();
    for (name, counts) in [
        ("earth-dry", true),
        ("grass-dry", true),
        ("earth-wet", false),
        ("grass-wet", false),
        ("clay-wet", false),
        ("sand", false),
        ("gravel-loose", false),
        ("snow-packed", false),
        ("gravel-firm", false),
        ("rock", false),
        ("dry-asphalt", false),
        ("wet-asphalt", false),
        ("ice", false),
    ] {
        let soil = library_surface(name).unwrap().soil;
        assert_eq!(pickets_not_in(soil).is_none(), counts, "{name}");
        assert_eq!(anchor_holds_in(picket, soil).is_ok(), counts, "{name}");
    }
    assert!(pickets_not_in(Soil::Unknown).is_some(), "what nobody told is not counted");
    let slope = |id: &str| course.slopes.iter().find(|slope| slope.id == id).unwrap();
    let here = |id: &str| Gear::of(&course, course.surface_of(slope(id)));
    for (id, counts) in [("nursery", true), ("side-step", true), ("clay-slide", false), ("scree-run", false)]
    {
        let gear = here(id);
        assert_eq!(gear.anchors.iter().any(|anchor| anchor.id == "picket"), counts, "{id}");
        assert_eq!(gear.not_here.iter().any(|thing| thing.id == "picket"), !counts, "{id}");
    }
    let log = "log: {length: 5 ft, face: 1 ft, depth: 3 ft, line: 3, ground: loam}";
    let logs = with(&format!("sort: buried, {log}, stands: [{{slope: clay-slide, place: brow}}]")).unwrap();
    let item = logs.kit.iter().find(|item| item.id == "picket").unwrap();
    let [dry, wet, loose] =
        [Soil::Dry, Soil::Wet, Soil::Loose].map(|soil| anchor_holds_in(item, soil).unwrap());
    assert!((wet - dry / 2.0).abs() < 1e-9 && (loose - wet).abs() < 1e-9);
    // Tested in this very ground, it counts for what it was tested to.
    let tested = "sort: pickets-3-2-1, holds: 9 kN, stands: [{slope: clay-slide, place: brow}]";
    let tested = with(tested).unwrap();
    let item = tested.kit.iter().find(|item| item.id == "picket").unwrap();
    assert!((anchor_holds_in(item, Soil::Wet).unwrap() - 9e3).abs() < 1e-9);
}

/// A braked vehicle by hand: lowest friction on its weight, less its slope, less where the line lifts it. A
/// line that rises draws pickets out: they are not counted there, a rock is.
#[test]
fn a_line_that_rises_takes_weight_off_a_braked_vehicle_and_draws_pickets_out() {
    let course = read_text(EXAMPLE).unwrap();
    let on = |lift: f64| {
        Gear::on(&course, Ground { friction: 0.4, angle: 0.1, soil: Soil::Dry, lift: lift.to_radians() })
    };
    let wagon = |gear: &Gear| gear.helpers.iter().find(|helper| helper.id == "wagon").unwrap().holds;
    let weight: f64 = 2290.0 * 9.806_65;
    let level = weight * (0.4 * 0.1_f64.cos() - 0.1_f64.sin()) / 1.5;
    assert!((wagon(&on(0.0)) / level - 1.0).abs() < 1e-9);
    // Pressed down it would hold more: not counted on.
    assert!((wagon(&on(-8.0)) / level - 1.0).abs() < 1e-9);
    let (sin, cos) = 12.0_f64.to_radians().sin_cos();
    assert!((wagon(&on(12.0)) / (level / (cos + 0.4 * sin)) - 1.0).abs() < 1e-9);
    let has = |gear: &Gear, id: &str| gear.anchors.iter().any(|anchor| anchor.id == id);
    assert!(has(&on(8.0), "picket") && !has(&on(12.0), "picket") && has(&on(12.0), "rock-anchor"));
}

#[test]
fn the_record_prints_the_notes_and_asks_no_drum_of_a_winch_without_one() {
    let bench = Bench::with_example("quarry-day.yaml");
    let args =
        ["--quiet", "pack", "day.yaml", "--into", "pack", "--only", "kit-record", "--only", "recovery-plan"];
    let ran = bench.run(&args);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let page = |name: &str| text_of(&std::fs::read(bench.path(&format!("pack/{name}.pdf"))).unwrap());
    let record = page("kit-record");
    for words in [
        "Rating on the first layer.",
        "Portable; worked standing at it.",
        "Cut at one edge; kept to show.",
        "Hold depends on the ground; test it with the winch first.",
        "the rope passes through: no drum, no layers",
        "Winch the rope passes through",
        "6 pickets",
    ] {
        assert!(record.contains(&squeezed(words)), "{words}");
    }
    let plan = page("recovery-plan");
    for words in [
        "6 pickets: 3, 2 and 1, lashed",
        "about 18 to 21 kN",
        "about 3.1 to 3.4 kN",
        "tested here, or not used",
    ] {
        assert!(plan.contains(&squeezed(words)), "{words}");
    }
}
