//! `pack --watch`: what changes is printed again, what is wrong is said, and Ctrl-C ends it.

#![cfg(unix)]

use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use crate::program::{Bench, text_of};

/// Waits until something holds; far longer than it takes on a busy machine.
fn until(what: &str, mut holds: impl FnMut() -> bool) {
    for _ in 0..1200 {
        if holds() {
            return;
        }
        sleep(Duration::from_millis(100));
    }
    panic!("never: {what}");
}

/// A run that watches, with what it says in a file.
fn watching(bench: &Bench) -> Child {
    let said = fs::File::create(bench.path("said")).expect("a file");
    let mut command = Command::new(bench.command().get_program());
    command
        .current_dir(bench.path("."))
        .args(["pack", "day.yaml", "--watch", "--only", "after-day", "--into", "pack"])
        .stdout(Stdio::null())
        .stderr(said);
    command.spawn().expect("it runs")
}

fn said(bench: &Bench) -> String {
    fs::read_to_string(bench.path("said")).unwrap_or_default()
}

fn waits(bench: &Bench) -> usize {
    said(bench).matches("waiting for a change").count()
}

fn page(path: &Path) -> String {
    fs::read(path).map(|pdf| text_of(&pdf)).unwrap_or_default()
}

#[test]
fn a_change_is_printed_and_a_mistake_leaves_the_papers() {
    let bench = Bench::with_example("quarry-day.yaml");
    let course = fs::read_to_string(bench.path("day.yaml")).expect("the course");
    let mut child = watching(&bench);
    let paper = bench.path("pack/after-day.pdf");
    until("the first pack", || waits(&bench) == 1);
    assert!(page(&paper).contains("Descendinginlowrange"));

    fs::write(bench.path("day.yaml"), course.replacen("  site: ", "  site: Slowly down, ", 1))
        .expect("written");
    until("the second pack", || waits(&bench) == 2);
    assert!(page(&paper).contains("Slowlydown"), "{}", said(&bench));

    fs::write(bench.path("day.yaml"), course.replacen("course:", "curse:", 1)).expect("written");
    until("the mistake", || said(&bench).contains("nothing was written"));
    assert!(page(&paper).contains("Slowlydown"), "the papers of before stay");
    assert!(child.try_wait().expect("asked").is_none(), "and it goes on");

    fs::write(bench.path("day.yaml"), &course).expect("written");
    until("the third pack", || waits(&bench) == 3);
    assert!(page(&paper).contains("Descendinginlowrange"));

    let told = Command::new("kill").arg("-INT").arg(child.id().to_string()).status();
    assert!(told.expect("kill").success());
    assert_eq!(child.wait().expect("it ends").code(), Some(130));
    assert!(!bench.path("pack/.slopepack").exists());
}

#[test]
fn what_no_course_mends_ends_it() {
    let bench = Bench::with_example("quarry-day.yaml");
    let ran = bench.run(&["pack", "day.yaml", "--watch", "--only", "nonsense"]);
    assert_eq!(ran.code, 2, "{}", ran.err);
}
