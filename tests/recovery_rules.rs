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
/// No rig is offered that is set oftener or takes longer than the course allows; it is said how long, and that help
/// is called.
#[test]
fn a_rig_that_takes_too_long_is_not_offered() {
    use slopepack::course::{Course, read_text};
    use slopepack::recovery::ladder::{Does, WhyNot};
    use slopepack::recovery::rig::Refused;
    use slopepack::recovery::{Depth, Recoveries, recoveries};
    // On ground that does not lean a vehicle that cannot turn its wheels is winched, and in several hauls.
    let quarry = || {
        let mut course = read_text(include_str!("../courses/quarry-day.yaml")).unwrap();
        course.slopes[2].cross_slope = slopepack::quantity::Angle::new(0.0);
        course
    };
    let rigs = |course: &Course| -> (Recoveries, u32, f64) {
        let told = recoveries(course, Depth::Likely);
        let chosen =
            || told.ladders.iter().filter_map(|one| one.chosen()).filter_map(|rung| rung.rig.as_ref());
        let most = chosen().map(|rig| rig.pulls).max().unwrap();
        let longest = chosen().filter_map(|rig| rig.time).fold(0.0, f64::max);
        (told, most, longest)
    };
    let (_, most, longest) = rigs(&quarry());
    assert!(most <= 4 && longest <= 3.0 * 3600.0, "{most} {longest}");
    // Held tighter, the kit offers less than it would; held shorter, the reason is told.
    let mut tight = quarry();
    (tight.recovery.most_settings, tight.recovery.longest) = (2, 3600.0);
    let (_, fewer, sooner) = rigs(&tight);
    assert!(fewer <= 2 && sooner <= 3600.0, "{fewer} {sooner}");
    assert!(most > fewer && longest > sooner, "{most} {longest}");
    let mut short = quarry();
    short.recovery.longest = 26.0 * 60.0;
    let (told, _, longest) = rigs(&short);
    assert!(longest <= 1560.0, "{longest}");
    let all = || told.ladders.iter().flat_map(|one| &one.rungs);
    assert!(
        all().any(|rung| matches!(rung.does, Does::No { why: WhyNot::TooLong { takes } } if takes > 1560.0))
    );
    let mut once = quarry();
    once.recovery.most_settings = 1;
    let (told, most, _) = rigs(&once);
    let mut refused = told.all.iter().flat_map(|one| &one.refused);
    assert!(most == 1 && refused.any(|one| matches!(one.reason, Refused::TooOften { most: 1, .. })));
}

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
    assert!(cards.contains(&squeezed("do not drive: A, C, D").to_lowercase()), "{cards}");
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
        pages[0].contains("notfetched") && pages[0].contains(&squeezed("only behind the signed box")),
        "{}",
        pages[0]
    );
    for page in &pages[1..] {
        assert!(page.contains(&squeezed("Stuck not fetched: ").to_lowercase()), "{page}");
    }
}
