//! A first course: written by `begin`, read, checked and reckoned; and what it says of every key there is.

use std::collections::BTreeSet;
use std::fs;

use slopepack::course::read_text;

use crate::program::Bench;

/// A course begun with nothing but its folder.
fn begun(bench: &Bench, more: &[&str]) -> String {
    let mut arguments = vec!["begin", "first", "--nothing-asked"];
    arguments.extend(more);
    assert_eq!(bench.run(&arguments).code, 0);
    fs::read_to_string(bench.path("first/course.yaml")).expect("the course is written")
}

/// The course with all that it only tells of said as well.
fn all_said(text: &str) -> String {
    text.replace("#: ", "")
}

#[test]
fn a_first_course_is_read_and_reckoned_as_it_is() {
    let bench = Bench::with_course("");
    for more in [
        &[][..],
        &["--units", "imperial"],
        &["--slope", "Mud: a \"hill\" #1, 40 m, 12°", "--vehicle", "old diesel, truck"],
    ] {
        let _ = fs::remove_dir_all(bench.path("first"));
        let course = read_text(&begun(&bench, more)).expect("it reads");
        assert!(!course.slopes.is_empty() && !course.vehicles.is_empty());
        for command in [&["check", "first/course.yaml"][..], &["reckon", "first/course.yaml", "--csv"]] {
            let ran = bench.run(command);
            assert_eq!(ran.code, 0, "{}", ran.err);
        }
    }
}

#[test]
fn what_it_only_tells_of_can_all_be_said() {
    for more in [&[][..], &["--vehicle", "old diesel, truck"]] {
        let bench = Bench::with_course("");
        let text = all_said(&begun(&bench, more));
        let course = read_text(&text).unwrap_or_else(|problems| panic!("{problems:#?}\n{text}"));
        assert!(course.rota.is_some() && course.skid_pad.is_some() && course.kit.len() > 10);
        fs::write(bench.path("first/course.yaml"), &text).expect("it is written");
        let ran = bench.run(&["check", "first/course.yaml"]);
        assert_eq!(ran.code, 0, "{}", ran.err);
    }
}

#[test]
fn every_key_a_course_may_have_stands_in_it() {
    let text = begun(&Bench::with_course(""), &[]);
    let readers = concat!(env!("CARGO_MANIFEST_DIR"), "/src/course/read");
    let mut files = vec![std::path::PathBuf::from(readers).with_extension("rs")];
    let mut folders = vec![std::path::PathBuf::from(readers)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path()) {
            if entry.is_dir() { folders.push(entry) } else { files.push(entry) }
        }
    }
    // Items of question papers stand in files of their own; rows of a roster written in the course are its columns.
    let elsewhere = ["papers.rs", "roster.rs", "own_vehicle.rs", "heads.rs"];
    let mut keys = BTreeSet::new();
    for file in files.iter().filter(|file| !elsewhere.iter().any(|name| file.ends_with(name))) {
        let source = fs::read_to_string(file).expect("a source");
        let source = source.split("#[cfg(test)]").next().expect("a part");
        for call in ["required(", "optional(", "optional_list(", "field(", "inner(", "peek("] {
            for (at, _) in source.match_indices(call) {
                let rest = source[at + call.len()..].trim_start();
                if let Some(key) = rest.strip_prefix('"').and_then(|rest| rest.split('"').next()) {
                    keys.insert(key.to_owned());
                }
            }
        }
    }
    assert!(keys.len() > 150, "{} keys found", keys.len());
    let missing: Vec<_> = keys.iter().filter(|key| !text.contains(&format!("{key}:"))).collect();
    assert!(missing.is_empty(), "the first course does not tell of {missing:?}");
}

#[test]
fn nothing_that_is_there_is_written_over() {
    let bench = Bench::with_course("");
    let text = begun(&bench, &[]);
    fs::write(bench.path("first/course.yaml"), "mine").expect("it is written");
    let ran = bench.run(&["begin", "first", "--nothing-asked"]);
    assert!(ran.code == 4 && ran.err.contains("is there already, and is left as it is"), "{}", ran.err);
    assert_eq!(fs::read_to_string(bench.path("first/course.yaml")).expect("it is there"), "mine");
    assert_ne!(text, "mine");
}

#[test]
fn options_that_cannot_be_read_say_what_would_be_right() {
    let bench = Bench::with_course("");
    for (more, told) in [
        (["--slope", "North bank, 40 m"], "write name, length and gradient"),
        (["--slope", "North bank, 40, 12°"], "unit"),
        (["--vehicle", "blue one, tank"], "short-wheelbase, wagon, pickup, van, truck"),
        (["--ground", "moon"], "no ground of the library"),
    ] {
        let mut arguments = vec!["begin", "first", "--nothing-asked"];
        arguments.extend(more);
        let ran = bench.run(&arguments);
        assert!(ran.code == 2 && ran.err.contains(told), "{more:?}: {}", ran.err);
        assert!(!bench.path("first").exists());
    }
}

#[test]
fn a_vehicle_of_id_and_class_alone_is_estimated_and_says_so() {
    let course = |vehicle: &str| {
        read_text(&format!(
            "course: {{title: t, club: c, site: s, version: 1, units: metric, paper: A4}}\n\
             limits: {{gradient: 25°, side-tilt: 12°, descent-speed: 8 km/h, brake-temperature: 250 °C}}\n\
             slopes: [{{id: bank, name: Bank, purpose: p, surface: earth-dry, length: 40 m, gradient: 9°, entry-speed: 3 km/h}}]\n\
             vehicles: [{vehicle}]\nday: {{runs: 3, run-gap: 10 min}}\n"
        ))
    };
    let read = course("{id: blue-wagon, class: wagon}").expect("it reads");
    let vehicle = &read.vehicles[0];
    assert_eq!(vehicle.name.full(), "blue wagon");
    for key in ["mass", "wheelbase", "tyres", "fuel", "displacement", "idle", "ratios", "axle", "low-range"] {
        assert!(vehicle.is_guessed(key), "{key} is not told as estimated");
    }
    let told =
        course("{id: a, class: wagon, mass: 2 t, engine: {fuel: diesel}, gearbox: {ratios: [4, 2, 1]}}");
    let told = told.expect("it reads");
    for key in ["mass", "fuel", "ratios"] {
        assert!(!told.vehicles[0].is_guessed(key), "{key} was told");
    }
    assert!(told.vehicles[0].is_guessed("displacement") && told.vehicles[0].is_guessed("gearbox"));
    // What is written and not understood is never taken for left out.
    let wrong = course("{id: a, class: wagon, mas: 2 t, axle: 40}").expect_err("it is refused");
    assert_eq!(wrong.len(), 2, "{wrong:?}");
    let nothing = course("{id: a, mass: 2 t}").expect_err("it is refused");
    assert!(nothing[0].help.as_ref().is_some_and(|help| help.contains("class:")), "{nothing:?}");
}

#[test]
fn completions_and_the_manual_page_tell_of_every_command() {
    let bench = Bench::with_course("");
    for arguments in
        [&["completions", "bash"][..], &["completions", "fish"], &["completions", "zsh"], &["manual"]]
    {
        let said = bench.run(arguments).out;
        for command in ["begin", "pack", "check", "reckon", "papers", "mark"] {
            assert!(said.contains(command), "{arguments:?} says nothing of {command}");
        }
        assert!(!said.contains("guard"), "{arguments:?} offers what the program starts itself");
    }
}

#[test]
fn what_to_measure_first_is_said_with_how_many_verdicts_wait() {
    let bench = Bench::with_course("");
    begun(
        &bench,
        &["--slope", "Bank, 40 m, 16°", "--slope", "Long bank, 80 m, 17°, 40 m", "--vehicle", "wagon"],
    );
    let plain = bench.run(&["check", "first/course.yaml"]);
    assert!(plain.err.contains("partly estimated from their class"), "{}", plain.err);
    let advised = bench.run(&["check", "first/course.yaml", "--advise"]).out;
    assert!(advised.contains("Bank: measure the run-out"), "{advised}");
    assert!(advised.contains("wagon: estimated from its class: fuel, displacement, idle speed"), "{advised}");
    let counts: Vec<usize> =
        advised.lines().filter_map(|line| line.trim_start().split_once(" verdict")?.0.parse().ok()).collect();
    assert!(counts.len() > 1 && counts.is_sorted_by(|before, after| before >= after), "{advised}");
    // The quarry's wagon was weighed, and nothing of it came from its class.
    let quarry = Bench::with_example("quarry-day.yaml").run(&["check", "day.yaml", "--advise"]).out;
    assert!(!quarry.contains("estimated from its class"), "{quarry}");
}
