//! What has not changed is not typeset again, and nobody can tell from the pages.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::program::{Bench, Ran};

/// A typesetter that leaves a line for every document it sets.
fn counting(bench: &Bench) -> PathBuf {
    let path = bench.path("counting");
    let real = std::env::var("SLOPEPACK_TYPST").unwrap_or_else(|_| "typst".into());
    let script = format!(
        "#!/bin/sh\ncase $1 in --version) ;; *) echo set >> '{}';; esac\nexec '{real}' \"$@\"\n",
        bench.path("count").display()
    );
    let made = Command::new("sh")
        .args(["-c", "printf '%s' \"$2\" > \"$1\" && chmod +x \"$1\"", "sh"])
        .arg(&path)
        .arg(script)
        .status();
    assert!(made.expect("a shell").success());
    path
}

/// Runs a pack with a cache of the bench's own; how many documents were typeset for it.
fn packed(bench: &Bench, into: &str, more: &[&str]) -> (Ran, usize) {
    let typst = bench.path("counting");
    let _ = fs::remove_file(bench.path("count"));
    let mut command = bench.command();
    command
        .env("XDG_CACHE_HOME", bench.path("cache"))
        .env_remove("SLOPEPACK_NO_CACHE")
        .args(["pack", "day.yaml", "--into", into, "--typst"])
        .arg(&typst)
        .args(more);
    let output = command.output().expect("it runs");
    let ran = Ran {
        code: output.status.code().expect("a code"),
        out: String::from_utf8(output.stdout).expect("text"),
        err: String::from_utf8(output.stderr).expect("text"),
    };
    let count = fs::read_to_string(bench.path("count")).unwrap_or_default().lines().count();
    (ran, count)
}

/// Every file below a folder, with its content.
fn contents(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            all.extend(contents(&path));
        } else {
            all.push((path.clone(), fs::read(&path).expect("a file")));
        }
    }
    all.sort();
    all
}

const SOME: &[&str] = &["--only", "quiz", "--only", "slope-cards", "--only", "safety-briefing"];

#[test]
fn an_unchanged_pack_is_not_typeset_and_is_the_same_to_the_byte() {
    let bench = Bench::with_example("quarry-day.yaml");
    counting(&bench);
    let (fresh, count) = packed(&bench, "pack", SOME);
    assert_eq!((fresh.code, count), (0, 4), "{}", fresh.err);
    let first = bench.files("pack");
    let (again, count) = packed(&bench, "pack", SOME);
    assert_eq!((again.code, count), (0, 0), "{}", again.err);
    assert!(bench.files("pack") == first);
    // In another folder, from the cache; and afresh, without it.
    assert_eq!(packed(&bench, "other", SOME).1, 0);
    assert!(bench.files("other") == first);
    let (afresh, count) = packed(&bench, "afresh", &[SOME, &["--no-cache"]].concat());
    assert_eq!((afresh.code, count), (0, 4), "{}", afresh.err);
    assert!(bench.files("afresh") == first);
}

#[test]
fn only_what_changed_is_typeset_and_a_harmed_cache_is_not_believed() {
    let bench = Bench::with_example("quarry-day.yaml");
    counting(&bench);
    assert_eq!(packed(&bench, "pack", SOME).1, 4);
    // Another edition, and another stylesheet's worth of options, are other pages.
    let (_, count) = packed(&bench, "pack", &[SOME, &["--large-print"]].concat());
    assert!(count >= 3, "{count} documents in large print");
    // Every stored file cut short or scribbled over: set anew, and the same as before.
    // The index alone: it names the large print that is kept.
    assert_eq!(packed(&bench, "pack", SOME).1, 1);
    let first = bench.files("pack");
    for (at, (path, content)) in contents(&bench.path("cache")).into_iter().enumerate() {
        let harmed = match at % 3 {
            0 => Vec::new(),
            1 => content[..content.len() / 2].to_vec(),
            _ => content.iter().map(|byte| byte ^ 1).collect(),
        };
        fs::write(path, harmed).expect("harmed");
    }
    let (ran, count) = packed(&bench, "pack", SOME);
    assert_eq!((ran.code, count), (0, 4), "{}", ran.err);
    assert!(bench.files("pack") == first);
    // A cache that cannot be written is no fault.
    fs::remove_dir_all(bench.path("cache")).expect("removed");
    fs::write(bench.path("cache"), "a file").expect("written");
    assert_eq!(packed(&bench, "pack", SOME).0.code, 0);
    assert!(bench.files("pack") == first);
}

/// The confidential sheet, and everything only it says, is in no stored file.
#[test]
fn no_confidential_sheet_is_stored() {
    let bench = Bench::with_example("quarry-day.yaml");
    for name in ["six-slope-saturday.yaml", "six-slope-saturday.csv"] {
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses").join(name);
        let to = if name.ends_with("csv") { name } else { "day.yaml" };
        fs::copy(from, bench.path(to)).expect("copied");
    }
    counting(&bench);
    let only = ["--only", "leader-sheet"];
    assert_eq!(packed(&bench, "pack", &only).1, 3, "the sheet, and the index, which is tried closer");
    assert_eq!(packed(&bench, "other", &only).1, 1, "the sheet again");
    let sheet = fs::read(bench.path("pack/confidential/leader-sheet.pdf")).expect("the sheet");
    for (path, stored) in contents(&bench.path("cache")) {
        assert!(!stored.ends_with(&sheet), "{}", path.display());
    }
}

/// A club's course with its roster; the confidential sheet is in no cache, so a run that sets nothing did nothing.
fn club() -> Bench {
    let bench = Bench::with_example("quarry-day.yaml");
    for (name, to) in
        [("six-slope-saturday.yaml", "day.yaml"), ("six-slope-saturday.csv", "six-slope-saturday.csv")]
    {
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses").join(name);
        fs::copy(from, bench.path(to)).expect("copied");
    }
    counting(&bench);
    bench
}

/// Runs of the typesetter for both and the index, which is tried closer: it ends a page earlier so, or does not.
const AFRESH: usize = 4;

const SHEETS: &[&str] = &["--only", "leader-sheet", "--only", "incident-form"];

#[test]
fn what_stands_there_already_is_left_and_said_again() {
    let bench = club();
    let (first, count) = packed(&bench, "pack", SHEETS);
    assert_eq!((first.code, count), (0, AFRESH), "{}", first.err);
    let files = bench.files("pack");
    let (again, count) = packed(&bench, "pack", SHEETS);
    assert_eq!((again.code, count), (0, 0), "{}", again.err);
    assert_eq!((again.out, again.err), (first.out, first.err), "listed and noted as before");
    assert!(bench.files("pack") == files);
    assert_eq!(packed(&bench, "pack", &[SHEETS, &["--no-cache"]].concat()).1, AFRESH, "afresh");
}

#[test]
fn whatever_changed_is_seen_though_the_rest_stands() {
    let bench = club();
    let works = |what: &str, sets: usize| {
        let (ran, count) = packed(&bench, "pack", SHEETS);
        assert_eq!((ran.code, count), (0, sets), "{what}: {}", ran.err);
        assert_eq!(packed(&bench, "pack", SHEETS).1, 0, "{what}: and then it stands");
    };
    works("the first run", AFRESH);
    // A sheet changed by hand: it is kept, and the sheet is printed again.
    fs::write(bench.path("pack/incident-form.pdf"), "notes of mine").expect("written");
    works("a changed sheet", 1);
    assert!(bench.files("pack").iter().any(|(_, content)| content == b"notes of mine"), "kept");
    fs::remove_file(bench.path("pack/confidential/leader-sheet.pdf")).expect("removed");
    works("a lost sheet", 1);
    let roster = bench.path("six-slope-saturday.csv");
    let text = fs::read_to_string(&roster).expect("the roster");
    fs::write(&roster, format!("{text}\n")).expect("written");
    works("the roster", AFRESH);
    let course = fs::read_to_string(bench.path("day.yaml")).expect("the course");
    fs::write(bench.path("day.yaml"), format!("{course}# checked again\n")).expect("written");
    works("a remark in the course", AFRESH);
    // Another typesetter of the same version.
    let typst = bench.path("counting");
    let script = fs::read_to_string(&typst).expect("the stand-in");
    fs::write(&typst, format!("{script}# another build\n")).expect("written");
    works("the typesetter", AFRESH);
}

/// A picture is part of what a pack is made from, under whatever name.
#[test]
fn a_picture_that_changed_is_printed_anew() {
    let bench = Bench::with_example("quarry-day.yaml");
    counting(&bench);
    let course = fs::read_to_string(bench.path("day.yaml")).expect("the course");
    let logo = bench.path("mark.svg");
    let shape = |side: u32| {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 10 10\"><rect width=\"{side}\" height=\"{side}\"/></svg>"
        )
    };
    fs::write(&logo, shape(5)).expect("written");
    let with_logo = course.replacen("  # logo: pictures/mark.png ", "  logo: mark.svg ", 1);
    assert_ne!(with_logo, course);
    fs::write(bench.path("day.yaml"), &with_logo).expect("written");
    let only = ["--only", "after-day"];
    let (first, count) = packed(&bench, "pack", &only);
    assert_eq!(first.code, 0, "{}", first.err);
    assert!(count > 0);
    assert_eq!(packed(&bench, "pack", &only).1, 0);
    fs::write(&logo, shape(6)).expect("written");
    assert!(packed(&bench, "pack", &only).1 > 0, "the pages bear another mark");
}
