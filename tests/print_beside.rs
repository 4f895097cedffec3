//! The typesetter that lies beside the program, as both come in one archive: found with nothing on PATH.
#![cfg(unix)]

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

use crate::program::Bench;

/// The typesetter that the other tests use.
fn typesetter() -> PathBuf {
    let named = PathBuf::from(std::env::var_os("SLOPEPACK_TYPST").unwrap_or_else(|| "typst".into()));
    let path = std::env::var_os("PATH").unwrap_or_default();
    let installed = std::env::home_dir().map(|home| home.join(".cargo/bin"));
    let folders = std::env::split_paths(&path).chain(installed);
    folders.map(|folder| folder.join(&named)).find(|file| file.is_file()).expect("a typesetter")
}

#[test]
fn the_one_beside_the_program_needs_no_path() {
    let bench = Bench::with_example("hill-club-weekend.yaml");
    // In the build's own folder a link will do: the program is large.
    let unpacked = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).expect("a folder");
    let program = unpacked.path().join("slopepack");
    fs::hard_link(assert_cmd::cargo::cargo_bin("slopepack"), &program).expect("the program");
    let home = bench.path("home");
    let pack = || -> Output {
        let mut command = Command::new(&program);
        command.env_clear().env("HOME", &home).env("CARGO_HOME", &home).current_dir(bench.path(""));
        command.args(["pack", "day.yaml", "--into", "pack", "--only", "quiz-answers"]);
        command.output().expect("it runs")
    };
    let without = pack();
    let said = String::from_utf8_lossy(&without.stderr);
    assert!(without.status.code() == Some(3) && said.contains("beside this program"), "{said}");
    std::os::unix::fs::symlink(typesetter(), unpacked.path().join("typst")).expect("a link");
    let with = pack();
    assert_eq!(with.status.code(), Some(0), "{}", String::from_utf8_lossy(&with.stderr));
    assert!(bench.path("pack").is_dir());
}
