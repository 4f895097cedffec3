//! The house rules of DEVELOPERS.md: which room may use which, and how long a file may be.

use std::fs;
use std::path::{Path, PathBuf};

/// Each room with the rooms it may use besides itself.
const ROOMS: &[(&str, &[&str])] = &[
    ("quantity", &[]),
    ("problem", &[]),
    ("beside", &[]),
    ("spreadsheet", &["problem"]),
    ("formula", &["quantity"]),
    ("course", &["beside", "problem", "quantity", "spreadsheet"]),
    ("engine", &["course", "formula", "quantity"]),
    ("earned", &["course", "engine", "quantity", "survey"]),
    ("rota", &["course", "engine", "quantity"]),
    ("recovery", &["course", "engine", "formula", "quantity"]),
    ("lesson", &["course", "engine", "formula", "quantity", "recovery", "rota"]),
    ("page", &["course", "engine", "formula", "print", "problem", "quantity"]),
    (
        "pack",
        &[
            "course", "earned", "engine", "formula", "lesson", "page", "paper", "print", "problem",
            "quantity", "recovery", "rota",
        ],
    ),
    (
        "paper",
        &["course", "engine", "formula", "lesson", "page", "print", "problem", "quantity", "spreadsheet"],
    ),
    ("print", &["beside", "problem"]),
    ("survey", &["course", "problem", "quantity", "spreadsheet"]),
    ("cli", &["pack", "quantity", "survey"]),
];

/// Longest file of a folder, in lines.
const LONGEST: &[(&str, usize)] = &[("src", 400), ("tests", 500)];

pub(crate) fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

pub(crate) fn in_the_house(folder: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)
}

/// Names that follow `crate::` in a text.
fn used(text: &str) -> impl Iterator<Item = &str> {
    text.match_indices("crate::").map(|(at, word)| {
        let rest = &text[at + word.len()..];
        rest.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').next().unwrap_or_default()
    })
}

#[test]
fn no_room_reaches_back() {
    let top = in_the_house("src");
    for path in sources(&top) {
        let place = path.strip_prefix(&top).unwrap();
        let room = place.iter().next().unwrap().to_str().unwrap().trim_end_matches(".rs");
        let Some((_, may)) = ROOMS.iter().find(|(name, _)| *name == room) else { continue };
        let text = fs::read_to_string(&path).unwrap();
        for name in used(&text).filter(|name| *name != room && ROOMS.iter().any(|(known, _)| known == name)) {
            assert!(may.contains(&name), "{} uses {name}", place.display());
        }
        assert!(!text.contains("crate::commands") || room == "commands", "{}", place.display());
    }
}

#[test]
fn no_file_holds_more_than_one_idea() {
    for (folder, longest) in LONGEST {
        for path in sources(&in_the_house(folder)) {
            let lines = fs::read_to_string(&path).unwrap().lines().count();
            assert!(lines <= *longest, "{} has {lines} lines", path.display());
        }
    }
}

#[test]
fn the_yaml_reader_and_the_typesetter_are_spoken_to_in_one_place() {
    for path in sources(&in_the_house("src")) {
        let text = fs::read_to_string(&path).unwrap();
        let place = path.to_string_lossy().replace('\\', "/");
        assert!(!text.contains("serde_saphyr::") || place.contains("src/course/tree"), "{place}");
        // The command line's own words are no program that is started.
        let text = text.replace("clap::Command::new", "");
        let runs = text.contains("process::Command") || text.contains("Command::new");
        assert!(!runs || place.contains("src/print/"), "{place} runs a program");
    }
}

#[test]
fn a_page_and_what_fills_it_share_a_folder() {
    for kind in slopepack::pack::KINDS {
        let template = kind.template();
        let (folder, _) = template.split_once('/').unwrap();
        assert!(in_the_house("templates").join(&template).is_file(), "{template}");
        assert!(in_the_house("src/pack").join(folder).is_dir(), "{template}");
    }
}

#[test]
fn every_path_that_contributors_are_told_of_is_there() {
    let text = fs::read_to_string(in_the_house("DEVELOPERS.md")).unwrap();
    let is_path = |word: &&str| {
        word.contains('/')
            && !word.starts_with("out/")
            && word.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || "/_-.*".contains(c))
    };
    let told: Vec<&str> = text.split('`').skip(1).step_by(2).filter(is_path).collect();
    assert!(told.len() > 40, "{told:?}");
    for path in told {
        // `tests/published/*.csv` stands for what is in the folder.
        let path = path.split("/*").next().unwrap();
        let there = ["", "src/"].iter().any(|top| {
            let whole = in_the_house(&format!("{top}{path}"));
            whole.exists() || whole.with_extension("rs").exists()
        });
        assert!(there, "DEVELOPERS.md names {path}");
    }
}
