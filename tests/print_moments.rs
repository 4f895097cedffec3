//! A run that is ended at a moment drawn by lot: the old pack is there or the new one, whole; no child goes on; and the
//! next run leaves no litter.
//!
//! A few moments are tried each time, `SLOPEPACK_MOMENTS=200` so many.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng as _, SeedableRng as _};

use crate::program::{Bench, slopepack};

const PACK: [&str; 9] =
    ["--quiet", "pack", "day.yaml", "--into", "pack", "--only", "safety-briefing", "--only", "radio-plan"];

/// Signals, and how a run ends that is told by them: by its own code where it can clear up.
const SIGNALS: [(&str, Option<i32>); 3] = [("KILL", None), ("TERM", Some(143)), ("INT", Some(130))];

/// What stands among the papers while a set is not all in place.
const UNFINISHED: &str = "UNFINISHED.txt";

type Files = BTreeMap<String, Vec<u8>>;

fn moments() -> u64 {
    let given = std::env::var("SLOPEPACK_MOMENTS").ok();
    given.map_or(6, |given| given.trim().parse().unwrap_or_else(|_| panic!("SLOPEPACK_MOMENTS: {given}")))
}

fn files(bench: &Bench) -> Files {
    let mut files: Files = bench.files("pack").into_iter().collect();
    files.remove(".slopepack");
    files
}

/// Whether some process stands in this folder.
fn works_in(folder: &Path) -> bool {
    let place = |entry: fs::DirEntry| fs::read_link(entry.path().join("cwd")).ok();
    let mut all = fs::read_dir("/proc").expect("processes").filter_map(Result::ok).filter_map(place);
    all.any(|place| place.starts_with(folder))
}

/// Starts a run and ends it after this time; true when it was still running.
fn ended_after(bench: &Bench, time: Duration, (signal, code): (&str, Option<i32>)) -> bool {
    let mut child = slopepack()
        .args(PACK)
        .arg("--no-cache")
        .current_dir(bench.path("."))
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("started");
    sleep(time);
    let told = Command::new("kill").arg(format!("-{signal}")).arg(child.id().to_string()).status();
    assert!(told.expect("kill").success(), "{signal}");
    let ended = child.wait().expect("ended").code();
    // Told before it listens it ends as anything does that is told so.
    assert!(ended == code || ended.is_none() || ended == Some(0), "{signal} after {time:?}: {ended:?}");
    let patience = Instant::now() + Duration::from_secs(20);
    while works_in(&bench.path(".").canonicalize().expect("a folder")) {
        assert!(Instant::now() < patience, "{signal} after {time:?}: a child goes on");
        sleep(Duration::from_millis(20));
    }
    ended != Some(0)
}

#[test]
fn a_run_ended_at_any_moment_leaves_a_whole_pack_and_no_child() {
    let bench = Bench::with_example("hill-club-weekend.yaml");
    let text = fs::read_to_string(bench.path("day.yaml")).expect("the course");
    assert_eq!(text.matches("\n  version: ").count(), 1);
    let texts = ["A", "B"].map(|name| text.replace("\n  version: ", &format!("\n  version: {name}")));
    let put = |text: &str| fs::write(bench.path("day.yaml"), text).expect("written");
    let print = || assert_eq!(bench.run(&PACK).code, 0);
    let mut sets = Vec::new();
    let mut longest = Duration::ZERO;
    for text in &texts {
        put(text);
        let begun = Instant::now();
        print();
        longest = longest.max(begun.elapsed());
        sets.push(files(&bench));
    }
    assert!(sets[0] != sets[1]);
    let mut lot = ChaCha8Rng::seed_from_u64(2026);
    let (mut running, all) = (0, moments());
    for number in 0..all {
        let signal = SIGNALS[usize::try_from(number).expect("few") % SIGNALS.len()];
        let (new, old) = if number % 2 == 0 { (0, 1) } else { (1, 0) };
        put(&texts[new]);
        let part = f64::from(lot.next_u32()) / f64::from(u32::MAX);
        let time = longest.mul_f64(part);
        running += u64::from(ended_after(&bench, time, signal));
        let found = files(&bench);
        let whole = found == sets[old] || found == sets[new];
        assert!(whole || found.contains_key(UNFINISHED), "{} after {time:?}: neither old nor new", signal.0);
        print();
        assert!(files(&bench) == sets[new], "{} after {time:?}: the next run", signal.0);
        assert!(!bench.path("pack/.slopepack").exists(), "{} after {time:?}: litter", signal.0);
        let beside: Vec<String> = bench.files(".").into_iter().map(|(name, _)| name).collect();
        assert_eq!(beside, ["day.yaml", "pack"]);
    }
    println!("{running} of {all} runs were running when they were ended");
}
