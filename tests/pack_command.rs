//! `pack` as a person runs it: what is there afterwards, and what is there when it fails.

use std::time::Duration;

use crate::program::{Bench, squeezed, text_of};

const DOCUMENTS: [&str; 12] = [
    "course-plan",
    "demonstration",
    "fleet-table",
    "index",
    "instructor-notes",
    "quiz",
    "quiz-answers",
    "risk-assessment",
    "safety-briefing",
    "slope-cards",
    "vehicle-cards",
    "workbook",
];

const CAUTION: &str = "Estimates for teaching. The instructor on the ground decides; makers’ limits, site rules and local law come first.";

fn packed(example: &str) -> Bench {
    let bench = Bench::with_example(example);
    let ran = bench.run(&["pack", "day.yaml", "--into", "pack"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    bench
}

#[test]
fn every_document_of_every_example_is_printed_and_carries_the_caution() {
    for example in ["quarry-day.yaml", "hill-club-weekend.yaml"] {
        let bench = packed(example);
        for name in DOCUMENTS {
            // The club's ground has no slope on which locked wheels may be shown.
            if name == "demonstration" && !bench.path("pack/demonstration.pdf").exists() {
                continue;
            }
            let pdf = std::fs::read(bench.path(&format!("pack/{name}.pdf"))).unwrap();
            assert!(text_of(&pdf).contains(&squeezed(CAUTION)), "{example}: {name} without the caution");
        }
    }
}

#[test]
fn two_runs_give_the_same_bytes() {
    let bench = packed("hill-club-weekend.yaml");
    assert_eq!(bench.run(&["pack", "day.yaml", "--into", "again"]).code, 0);
    let (first, second) = (bench.files("pack"), bench.files("again"));
    assert!(first.len() > 10);
    for ((name, one), (other_name, other)) in first.iter().zip(&second) {
        assert_eq!(name, other_name);
        assert!(one == other, "{name} differs");
    }
}

#[test]
fn results_go_to_standard_output_and_nothing_else_does() {
    let bench = Bench::with_example("quarry-day.yaml");
    let ran = bench.run(&["--quiet", "pack", "day.yaml", "--into", "pack", "--only", "quiz"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert_eq!(ran.out, "pack/index.pdf\npack/quiz.pdf\n");
}

#[test]
fn papers_can_be_asked_for_by_reader() {
    let bench = Bench::with_example("quarry-day.yaml");
    let ran = bench.run(&["--quiet", "pack", "day.yaml", "--into", "pack", "--for", "assessor"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(bench.path("pack/quiz-answers.pdf").exists());
    assert!(!bench.path("pack/instructor-notes.pdf").exists());
}

#[test]
fn a_course_with_mistakes_writes_nothing_and_leaves_the_earlier_pack() {
    let bench = packed("hill-club-weekend.yaml");
    let before = bench.files("pack");
    let wrong = std::fs::read_to_string(bench.path("day.yaml")).unwrap().replace("mass:", "mas:");
    std::fs::write(bench.path("day.yaml"), wrong).unwrap();
    let ran = bench.run(&["pack", "day.yaml", "--into", "pack"]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("day.yaml:") && ran.err.contains("mass"), "{}", ran.err);
    assert_eq!(ran.out, "");
    assert!(bench.files("pack") == before);
}

#[test]
fn wrong_arguments_are_told_with_what_there_is() {
    let bench = Bench::with_example("quarry-day.yaml");
    let ran = bench.run(&["pack", "day.yaml", "--only", "quizz"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("quiz-answers"), "{}", ran.err);
    assert_eq!(bench.run(&["reckon", "day.yaml", "--slope", "nowhere"]).code, 2);
    assert_eq!(bench.run(&["pac"]).code, 2);
}

#[test]
fn a_missing_typesetter_is_told_with_the_way_to_install_it() {
    let bench = Bench::with_example("quarry-day.yaml");
    let ran = bench.run(&["pack", "day.yaml", "--into", "pack", "--typst", "/nowhere/typst"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("cargo install --locked typst-cli"), "{}", ran.err);
    assert!(!bench.path("pack").exists());
}

#[test]
fn a_file_that_cannot_be_read_or_written_is_told() {
    let bench = Bench::with_example("quarry-day.yaml");
    assert_eq!(bench.run(&["check", "nowhere.yaml"]).code, 4);
    std::fs::write(bench.path("taken"), "a file").unwrap();
    let ran = bench.run(&["pack", "day.yaml", "--into", "taken"]);
    assert_eq!(ran.code, 4, "{}", ran.err);
    assert_eq!(std::fs::read_to_string(bench.path("taken")).unwrap(), "a file");
}

#[test]
fn a_run_killed_at_any_moment_leaves_the_earlier_pack_whole() {
    let bench = packed("hill-club-weekend.yaml");
    // The desk on which an ended run wrote is cleared by the next.
    let papers = || {
        let mut files = bench.files("pack");
        files.retain(|(name, _)| name != ".slopepack");
        files
    };
    let before = papers();
    for milliseconds in [5, 60, 200, 450, 700] {
        let mut command = std::process::Command::new(assert_cmd::cargo::cargo_bin("slopepack"));
        let mut child = command
            .args(["--quiet", "pack", "day.yaml", "--into", "pack"])
            .current_dir(bench.path("."))
            .stdout(std::process::Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(milliseconds));
        child.kill().unwrap();
        child.wait().unwrap();
        assert!(papers() == before, "changed when killed after {milliseconds} ms");
    }
    assert_eq!(bench.run(&["pack", "day.yaml", "--into", "pack"]).code, 0);
    assert!(bench.files("pack") == before, "something is left behind");
    let beside: Vec<_> = bench.files(".").into_iter().map(|(name, _)| name).collect();
    assert_eq!(beside, ["day.yaml", "pack"]);
}
