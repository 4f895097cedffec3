//! The worked examples of the recovery lesson, calculated a second time from the course's own figures; and the
//! lesson draws what the plan draws and works what it allows.

use crate::program::{Bench, squeezed, text_of};
use serde_json::Value;

const G: f64 = 9.806_65;

/// Figures of the example course: mass, kg; steepest stretch, rad; friction and rolling resistance at the low end.
struct Figures {
    mass: f64,
    steepest: f64,
    sliding: f64,
    rolling: f64,
    limit: f64,
}

fn figures(slope: &str, vehicle: &str) -> Option<Figures> {
    let (steepest, surface): (f64, &str) = match slope {
        "ramp" => (19.0, "quarry-floor"),
        "clay-slide" => (10.0, "slick-clay"),
        "haul-road" => ((1.0_f64 / 6.0).atan().to_degrees(), "gravel-firm"),
        _ => return None,
    };
    let (mass, limit) = match vehicle {
        "wagon" => (2290.0, 3500.0 * G),
        "shorty" => (1510.0, 4000.0 * G),
        "hub-truck" => (4800.0, 60e3),
        _ => return None,
    };
    let (sliding, rolling) = match surface {
        "slick-clay" => (0.12, 0.03),
        "quarry-floor" => (f64::NAN, 0.015),
        _ => (f64::NAN, f64::NAN),
    };
    Some(Figures { mass, steepest: steepest.to_radians(), sliding, rolling, limit })
}

/// What the example must come to, worked afresh; none where a figure is not of the course itself.
fn afresh(id: &str, of: &Figures) -> Option<f64> {
    let weight = of.mass * G;
    let value = match id {
        "recovery-lowering" => 2.0 * weight * (of.steepest.sin() - of.rolling * of.steepest.cos()),
        "recovery-brake" => of.sliding * weight * of.steepest.cos(),
        "recovery-tow" => weight / 3.0 + 0.5 * of.mass,
        "recovery-sideways" => of.limit / 2.0,
        _ => return None,
    };
    value.is_finite().then_some(value)
}

#[test]
fn letting_down_brake_tow_and_side_load_come_to_what_a_second_calculation_gives() {
    let bench = Bench::with_example("quarry-day.yaml");
    let ran = bench.run(&["--quiet", "reckon", "day.yaml", "--json"]);
    let told: Value = serde_json::from_str(&ran.out).unwrap();
    let mut seen = std::collections::BTreeMap::new();
    for worked in told["worked"].as_array().unwrap() {
        let word = |key: &str| worked[key].as_str().unwrap_or_default();
        let Some(of) = figures(word("slope"), word("vehicle")) else { continue };
        let Some(value) = afresh(word("id"), &of) else { continue };
        let is = worked["answer"]["value"].as_f64().unwrap();
        assert!((is / value - 1.0).abs() < 0.005, "{} {is} {value}", word("id"));
        *seen.entry(word("id").to_owned()).or_insert(0) += 1;
    }
    for id in ["recovery-lowering", "recovery-brake", "recovery-tow", "recovery-sideways"] {
        assert!(seen.get(id).is_some_and(|count| *count >= 3), "{id}: {seen:?}");
    }
}

#[test]
fn the_lesson_draws_the_rungs_of_the_plan_to_scale_and_works_only_what_the_plan_allows() {
    let bench = Bench::with_example("quarry-day.yaml");
    let lesson = |bench: &Bench| {
        let args = ["--quiet", "pack", "day.yaml", "--into", "pack", "--only", "recovery-lesson"];
        let ran = bench.run(&args);
        assert_eq!(ran.code, 0, "{}", ran.err);
        text_of(&std::fs::read(bench.path("pack/recovery-lesson.pdf")).unwrap()).to_lowercase()
    };
    let text = lesson(&bench);
    for words in
        ["let down on the line: ", "tow along the track: ", "winch up, single line: ", "more parts of line: "]
    {
        assert!(text.contains(&squeezed(words)), "{words}: {text}");
    }
    assert!(text.matches("trueScale".to_lowercase().as_str()).count() >= 8, "section and plan of each");
    assert!(text.contains(&squeezed("in the order of hooking up: 1")));
    assert!(text.contains(&squeezed("what holds it on the steepest stretch")));
    // Nobody of this kit is righted, and righting is not worked.
    assert!(!text.contains(&squeezed("the pull that starts to right it")), "{text}");
    // Without a winch nothing is let down, and nothing of it is worked.
    let day = std::fs::read_to_string(bench.path("day.yaml")).unwrap();
    let without: String = day
        .lines()
        .filter(|line| !line.contains("{id: hand-winch") && !line.contains("{id: second-winch"))
        .collect::<Vec<_>>()
        .join("\n");
    let without = without.replace("    working-load: 4.3 t               # pull on the first layer\n", "");
    std::fs::write(bench.path("day.yaml"), without).unwrap();
    let text = lesson(&bench);
    assert!(!text.contains(&squeezed("what holds it on the steepest stretch")), "{text}");
}
