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
    assert_eq!(packed(&bench, "pack", SOME).1, 0);
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
    assert_eq!(packed(&bench, "pack", &only).1, 2, "the sheet and the index");
    assert_eq!(packed(&bench, "pack", &only).1, 1, "the sheet again");
    let sheet = fs::read(bench.path("pack/confidential/leader-sheet.pdf")).expect("the sheet");
    for (path, stored) in contents(&bench.path("cache")) {
        assert!(!stored.ends_with(&sheet), "{}", path.display());
    }
}
