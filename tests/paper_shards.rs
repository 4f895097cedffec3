//! Many forms on many machines: the parts put together are what one run prints.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::program::Bench;

/// Every file below a folder but the manifest, which lists what stands in that folder.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(at) = folders.pop() {
        for entry in fs::read_dir(at).expect("a folder") {
            let path = entry.expect("an entry").path();
            let name = path.strip_prefix(folder).expect("below").display().to_string();
            if path.is_dir() {
                folders.push(path);
            } else if name != "manifest.json" {
                found.insert(name, fs::read(&path).expect("a file"));
            }
        }
    }
    found
}

const PAPERS: [&str; 6] = ["papers", "day.yaml", "--forms", "10", "--seed", "20260"];

#[test]
fn the_parts_are_what_one_run_prints() {
    let bench = Bench::with_example("hill-club-weekend.yaml");
    let run = |more: &[&str]| {
        let ran = bench.run(&[&PAPERS, more].concat());
        assert_eq!(ran.code, 0, "{more:?}: {}", ran.err);
    };
    run(&["--into", "whole"]);
    let whole = files(&bench.path("whole"));
    // More than are printed at once, so that a run has several batches, the last of them not full.
    assert!(
        whole.keys().filter(|name| name.starts_with("papers/paper-")).count() == 10,
        "{:?}",
        whole.keys()
    );
    let mut union = BTreeMap::new();
    for part in ["1/3", "2/3", "3/3"] {
        let into = format!("part-{}", &part[..1]);
        run(&["--into", &into, "--shard", part]);
        let mine = files(&bench.path(&into));
        assert!(mine.keys().any(|name| name.starts_with("papers/paper-")), "{part} prints nothing");
        for (name, bytes) in mine {
            assert!(union.insert(name.clone(), bytes).is_none(), "{name} is printed twice");
        }
    }
    let names = |files: &BTreeMap<String, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&union), names(&whole));
    for (name, bytes) in &whole {
        assert!(union[name] == *bytes, "{name} differs");
    }
}

#[test]
fn parts_of_a_secret_seed_are_refused() {
    let bench = Bench::with_example("hill-club-weekend.yaml");
    let ran = bench.run(&["papers", "day.yaml", "--shard", "1/2"]);
    assert_eq!(ran.code, 2, "{}", ran.err);
    assert!(ran.err.contains("--seed"), "{}", ran.err);
    let ran = bench.run(&["papers", "day.yaml", "--seed", "1", "--shard", "3/2"]);
    assert_eq!(ran.code, 2, "{}", ran.err);
    assert!(ran.err.contains("2/4"), "{}", ran.err);
}
