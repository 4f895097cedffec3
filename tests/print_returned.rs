//! Whatever the typesetter does and gives back: nothing but whole pages takes the place of papers,
//! and no child goes on.
#![cfg(unix)]

use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use slopepack::print::Pdf;

use crate::program::Bench;

/// A program that stands in for the typesetter: it tells its version, then runs the script, which
/// has the real one as `$REAL`. It is written by another process, since a file this process has
/// open for writing could not be run while another test starts a process.
fn stand_in(bench: &Bench, script: &str) -> PathBuf {
    let path = bench.path("stand-in");
    let real = std::env::var("SLOPEPACK_TYPST").unwrap_or_else(|_| "typst".into());
    let script =
        format!("#!/bin/sh\nREAL='{real}'\ncase $1 in --version) exec $REAL --version;; esac\n{script}\n");
    let made = Command::new("sh")
        .args(["-c", "printf '%s' \"$2\" > \"$1\" && chmod +x \"$1\"", "sh"])
        .arg(&path)
        .arg(script)
        .status();
    assert!(made.expect("a shell").success());
    path
}

/// Everything in the bench's folder, by name, desks and the stand-in left out.
fn contents(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            all.extend(contents(&path));
        } else if !path.ends_with("stand-in") {
            all.push((path.clone(), fs::read(&path).expect("a file")));
        }
    }
    all.sort();
    all
}

const PACK: &[&str] = &["pack", "day.yaml", "--into", "pack", "--only", "quiz-answers"];
const PAPERS: &[&str] = &["papers", "day.yaml", "--into", "papers", "--forms", "1"];
const MARK: &[&str] =
    &["mark", "day.yaml", "--papers", "papers", "--answers", "keyed.csv", "--into", "results"];

#[test]
fn nothing_but_a_whole_document_replaces_an_earlier_one() {
    let bench = Bench::with_example("hill-club-weekend.yaml");
    assert_eq!(bench.run(PACK).code, 0);
    assert_eq!(bench.run(PAPERS).code, 0);
    // A candidate who has answered the first question.
    let form = fs::read_to_string(bench.path("papers/answers.csv")).expect("the form");
    let keyed = form.lines().nth(1).expect("a paper").replacen(",,,", ",X1,A name,A", 1);
    let head = form.lines().next().expect("a head");
    fs::write(bench.path("keyed.csv"), format!("{head}\r\n{keyed}\r\n")).expect("keyed");
    let ran = bench.run(MARK);
    assert!(ran.code <= 1 && bench.path("results/results.pdf").exists(), "{}", ran.err);
    let before = contents(&bench.path("."));
    let bad = [
        ("exit 0", "it is empty"),
        ("echo hello", "it is no PDF"),
        ("$REAL \"$@\" | head -c 3000", "its end is missing"),
        ("$REAL \"$@\" > whole.$$; head -c -200 whole.$$; rm whole.$$", "its end is missing"),
        ("exit 7", "ended with"),
        ("kill -9 $$", "ended with"),
        ("echo 'error: no' >&2; $REAL \"$@\"", "no"),
    ];
    for (script, why) in bad {
        let typst = stand_in(&bench, script);
        // All commands print by one way; the telling two are tried with each.
        let every = ["exit 0", bad[3].0].contains(&script);
        for args in [PACK, PAPERS, MARK].into_iter().take(if every { 3 } else { 1 }) {
            let ran = bench.run(&[args, &["--no-cache", "--typst", typst.to_str().expect("text")]].concat());
            assert_eq!(ran.code, 3, "{script}, {args:?}: {}", ran.err);
            assert!(ran.err.contains(why) && !ran.err.contains("error: error:"), "{script}: {}", ran.err);
            assert!(contents(&bench.path(".")) == before, "{script}, {args:?}: something changed");
        }
    }
}

#[test]
fn a_document_is_whole_with_its_end_its_pages_and_its_tags() {
    let bench = Bench::with_example("quarry-day.yaml");
    assert_eq!(bench.run(PACK).code, 0);
    let good = fs::read(bench.path("pack/quiz-answers.pdf")).expect("a document");
    assert!(Pdf::of(good.clone()).expect("whole").pages() > 0);
    for cut in [0, 1, 4, 100, good.len() / 2, good.len() - 200, good.len() - 7] {
        Pdf::of(good[..cut].to_vec()).expect_err("cut");
    }
    let swapped = |from: &[u8], to: &[u8]| {
        let at = good.windows(from.len()).position(|part| part == from).expect("it is there");
        [&good[..at], to, &good[at + from.len()..]].concat()
    };
    assert!(Pdf::of(swapped(b"/Marked true", b"/Marked null")).expect_err("no tags").contains("accessible"));
    assert!(
        Pdf::of(swapped(b"pdfuaid:part", b"pdfuaid:none")).expect_err("no standard").contains("accessible")
    );
}

/// A typesetter that babbles is stopped at a bound, long before its time is up.
#[test]
fn a_typesetter_that_never_stops_talking_is_stopped() {
    let bench = Bench::with_example("quarry-day.yaml");
    for (script, bound) in [("yes", "256 MiB"), ("yes >&2", "1 MiB")] {
        let typst = stand_in(&bench, script);
        let ran = bench.run(&[PACK, &["--no-cache", "--typst", typst.to_str().expect("text")]].concat());
        assert_eq!(ran.code, 3, "{}", ran.err);
        // Both streams have a bound; on the error stream the small one is met first.
        assert!(ran.err.contains("MiB and was stopped"), "{script} {bound}: {}", ran.err);
        assert!(!bench.path("pack").exists());
    }
    let typst = bench.path("babbler");
    let made = Command::new("sh")
        .args(["-c", "printf '#!/bin/sh\\nexec yes\\n' > \"$1\" && chmod +x \"$1\"", "sh"])
        .arg(&typst)
        .status();
    assert!(made.expect("a shell").success());
    let ran = bench.run(&[PACK, &["--typst", typst.to_str().expect("text")]].concat());
    assert!(ran.code == 3 && ran.err.contains("never stops"), "{}", ran.err);
}

/// Whether a process with this number runs; one that only waits to be noticed does not.
fn runs(number: u32) -> bool {
    let status = fs::read_to_string(format!("/proc/{number}/stat")).unwrap_or_default();
    let state = status.rsplit_once(')').and_then(|(_, rest)| rest.split_whitespace().next());
    state.is_some_and(|state| state != "Z" && state != "X")
}

/// The number a stand-in has left of a process it started.
fn number_in(path: &Path) -> u32 {
    wait_until("the stand-in starts its child", || {
        fs::read_to_string(path).is_ok_and(|text| text.ends_with('\n'))
    });
    fs::read_to_string(path).expect("there").trim().parse().expect("a number")
}

/// Waits for something that is bound to happen; that it takes long proves nothing, that it never
/// happens does.
fn wait_until(what: &str, done: impl Fn() -> bool) {
    let patience = Instant::now() + Duration::from_mins(1);
    while !done() {
        assert!(Instant::now() < patience, "never: {what}");
        std::thread::sleep(Duration::from_millis(2));
    }
}

/// A typesetter that starts a child of its own and hangs.
const HANGS: &str = "sleep 600 & echo $! > child.new; mv child.new \"$HERE/child\"; wait";

#[test]
fn at_the_time_limit_the_whole_group_ends() {
    let bench = Bench::with_example("quarry-day.yaml");
    let here = bench.path(".").display().to_string();
    let typst = stand_in(&bench, &HANGS.replace("$HERE", &here));
    let ran = bench.run(
        &[PACK, &["--no-cache", "--time-limit", "1", "--typst", typst.to_str().expect("text")]].concat(),
    );
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(ran.err.contains("within 1 s"), "{}", ran.err);
    let child = number_in(&bench.path("child"));
    wait_until("the child of the stand-in ends", || !runs(child));
    assert!(!bench.path("pack").exists());
    // The longest limit there is, and one past it.
    assert_eq!(bench.run(&[PACK, &["--time-limit", "86400"]].concat()).code, 0);
    assert_eq!(bench.run(&[PACK, &["--time-limit", "18446744073709551615"]].concat()).code, 2);
}

/// Told to end, or ended without a word: no child goes on, the earlier papers are whole, nothing
/// is left for which the next run has no use.
#[test]
fn an_ended_run_leaves_no_child_and_no_litter() {
    for (signal, code) in [("INT", Some(130)), ("TERM", Some(143)), ("HUP", Some(129)), ("KILL", None)] {
        let bench = Bench::with_example("quarry-day.yaml");
        assert_eq!(bench.run(PACK).code, 0);
        let before = contents(&bench.path("."));
        let typst = stand_in(&bench, &HANGS.replace("$HERE", &bench.path(".").display().to_string()));
        let mut child = Command::new(assert_cmd::cargo::cargo_bin("slopepack"))
            .args(PACK)
            .args(["--no-cache", "--typst"])
            .arg(&typst)
            .current_dir(bench.path("."))
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("started");
        let grandchild = number_in(&bench.path("child"));
        let told = Command::new("kill").arg(format!("-{signal}")).arg(child.id().to_string()).status();
        assert!(told.expect("kill").success());
        let ended = child.wait().expect("ended");
        assert_eq!(ended.code(), code, "{signal}");
        wait_until("the typesetter's child ends", || !runs(grandchild));
        let mut said = String::new();
        child.stderr.take().expect("its errors").read_to_string(&mut said).expect("text");
        assert!(!said.contains("error"), "{signal}: {said}");
        fs::remove_file(bench.path("child")).expect("removed");
        if signal == "KILL" {
            assert_eq!(bench.run(PACK).code, 0, "the next run clears up");
        }
        assert!(contents(&bench.path(".")) == before, "{signal}");
        assert!(!bench.path("pack/.slopepack").exists(), "{signal}");
    }
}

/// Nobody listens, or nothing can be written: the run ends with a code that is told in the help.
#[test]
fn streams_that_cannot_be_written_end_no_run_in_a_panic() {
    let bench = Bench::with_course("title: [");
    let run = |script: &str| {
        let program = assert_cmd::cargo::cargo_bin("slopepack");
        let script = script.replace("slopepack", &format!("'{}'", program.display()));
        let status = Command::new("sh").args(["-c", &script]).current_dir(bench.path(".")).status();
        status.expect("a shell").code()
    };
    assert_eq!(run("slopepack check day.yaml 2>/dev/full"), Some(1));
    assert_eq!(run("slopepack check day.yaml 2>&-"), Some(1));
    assert_eq!(
        run("(slopepack check day.yaml; echo $? > code) 2>&1 >/dev/null | true; exit $(cat code)"),
        Some(1)
    );
    fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("courses/quarry-day.yaml"), bench.path("day.yaml"))
        .expect("copied");
    assert_eq!(run("slopepack check day.yaml >/dev/full 2>/dev/null"), Some(4));
    assert_eq!(run("slopepack reckon day.yaml >/dev/full 2>/dev/full"), Some(4));
    assert_eq!(run("(slopepack reckon day.yaml; echo $? > code) | true; exit $(cat code)"), Some(0));
}
