//! The go table knows recovery: the course's own rules for recoveries decide verdicts, and where they only
//! ask for it the pages say who is not fetched beside the go.

use crate::program::{Bench, squeezed, text_of};
use serde_json::Value;

fn page(bench: &Bench, name: &str) -> String {
    text_of(&std::fs::read(bench.path(&format!("pack/{name}.pdf"))).unwrap()).to_lowercase()
}

fn packed(bench: &Bench, names: &[&str]) -> Vec<String> {
    let mut args = vec!["--quiet", "pack", "day.yaml", "--into", "pack"];
    args.extend(names.iter().flat_map(|name| ["--only", name]));
    let ran = bench.run(&args);
    assert_eq!(ran.code, 0, "{}", ran.err);
    names.iter().map(|name| page(bench, name)).collect()
}

fn reckoned(bench: &Bench, more: &[&str]) -> Value {
    let ran = bench.run(&[&["--quiet", "reckon", "day.yaml", "--json"], more].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    serde_json::from_str(&ran.out).unwrap()
}

fn changed(bench: &Bench, from: &str, to: &str) {
    let text = std::fs::read_to_string(bench.path("day.yaml")).unwrap();
    assert!(text.contains(from), "{from}");
    std::fs::write(bench.path("day.yaml"), text.replace(from, to)).unwrap();
}

/// The club asks for a rated point; two of its vehicles have none. No page lets them go.
#[test]
fn a_vehicle_that_breaks_the_rule_of_a_rated_point_is_a_go_nowhere() {
    let bench = Bench::with_example("hill-club-weekend.yaml");
    for more in [&[][..], &["--vehicle", "grandad"]] {
        let told = reckoned(&bench, more);
        let without = |told: &&Value| told["vehicle"] == "grandad" || told["vehicle"] == "two-wheel-van";
        let verdicts: Vec<&Value> = told["verdicts"].as_array().unwrap().iter().filter(without).collect();
        assert!(verdicts.len() >= 3);
        for verdict in verdicts {
            assert_eq!(verdict["mark"], "refused", "{verdict}");
            let reasons = verdict["reasons"].as_array().unwrap();
            assert!(reasons.iter().any(|one| one["what"] == "rated-point" && one["decides"] == true));
            assert!(verdict["recommended"].is_null() && verdict["lowest"].is_null());
        }
    }
    let [fleet, cards, plan] = &packed(&bench, &["fleet-table", "slope-cards", "recovery-plan"])[..] else {
        unreachable!()
    };
    assert!(fleet.contains("noratedpoint"), "{fleet}");
    assert!(cards.contains(&squeezed("do not drive: A, D").to_lowercase()), "{cards}");
    // Both break another limit on a slope as well; that reason stands first there.
    assert!(cards.matches("noratedpoint").count() >= 3, "{cards}");
    assert!(
        plan.contains("no-go")
            && plan.contains(&squeezed("course’s own rule for recoveries: D").to_lowercase())
    );
}

#[test]
fn where_the_course_drives_only_what_it_fetches_a_go_that_is_not_fetched_becomes_a_no() {
    let bench = Bench::with_example("quarry-day.yaml");
    let goes = |told: &Value| {
        let all = told["verdicts"].as_array().unwrap().iter();
        let goes = |one: &&Value| matches!(one["mark"].as_str().unwrap(), "within" | "near" | "brake");
        let word = |one: &Value, key: &str| one[key].as_str().unwrap().to_owned();
        let pair = |one: &Value| (word(one, "slope"), word(one, "vehicle"));
        all.filter(goes).map(pair).collect::<Vec<_>>()
    };
    let before = goes(&reckoned(&bench, &[]));
    changed(&bench, "not-fetched: say  ", "not-fetched: no-go");
    let told = reckoned(&bench, &[]);
    let after = goes(&told);
    let fetch = told["fetch"].as_array().unwrap();
    let fetched = |slope: &str, vehicle: &str| {
        let here = |one: &&Value| one["slope"] == *slope && one["vehicle"] == *vehicle;
        fetch.iter().find(here).unwrap()["fetched"] == true
    };
    let expected: Vec<_> =
        before.iter().filter(|(slope, vehicle)| fetched(slope, vehicle)).cloned().collect();
    assert_eq!(after, expected);
    assert!(after.len() < before.len() && !after.is_empty(), "{} of {}", after.len(), before.len());
    let fleet = &packed(&bench, &["fleet-table"])[0];
    assert!(fleet.contains("cannotbefetched") && !fleet.contains("notfetchedif"), "{fleet}");
}

#[test]
fn where_the_course_only_says_it_the_go_stands_and_the_pages_say_who_is_not_fetched() {
    let bench = Bench::with_example("quarry-day.yaml");
    let pages = packed(&bench, &["fleet-table", "slope-cards", "vehicle-cards"]);
    assert!(
        pages[0].contains("notfetched") && pages[0].contains(&squeezed("the leader decides")),
        "{}",
        pages[0]
    );
    for page in &pages[1..] {
        assert!(page.contains(&squeezed("Stuck not fetched: ").to_lowercase()), "{page}");
    }
}
