//! A pack is in its folder whole or not at all, and other people's files stay.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use slopepack::print::{About, Kind, MANIFEST, Manifest, Publication, Templates, fingerprint};
use slopepack::problem::Failure;
use tempfile::TempDir;

fn about() -> About {
    About {
        typesetter: "0.15.1".into(),
        course: "Quarry day".into(),
        course_sha256: fingerprint(b"course"),
        seed: Some(7),
        faces: Vec::new(),
    }
}

/// Publishes a pack of these files.
fn publish(folder: &Path, files: &[(&str, &str)]) -> Result<Manifest, Failure> {
    Ok(publish_as(Kind::Pack, folder, files)?.0)
}

/// Publishes papers of a kind; what a person is told comes with the manifest.
fn publish_as(kind: Kind, folder: &Path, files: &[(&str, &str)]) -> Result<(Manifest, Vec<String>), Failure> {
    let mut pack = Publication::open(folder, kind)?;
    for (path, content) in files {
        pack.put(path, "A sheet", content.as_bytes())?;
    }
    pack.finish(about())
}

/// A folder to publish in, and the path of the pack.
fn desk() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    (folder, out)
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

/// Names in a folder, in order.
fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let mut names: Vec<_> =
        entries.map(|entry| entry.expect("an entry").file_name().into_string().expect("text")).collect();
    names.sort();
    names
}

/// Fails unless every file of the manifest that counts is there with its content. While a set is
/// put in place, its own manifest counts, and a file is in the folder or ready to be moved there.
fn assert_whole(folder: &Path) -> Manifest {
    let ready = folder.join(".slopepack/ready");
    let waiting = Manifest::read(&ready).expect("ours");
    let manifest = waiting.or_else(|| Manifest::read(folder).expect("ours")).expect("a manifest");
    for entry in &manifest.files {
        let waits = fs::read(ready.join(&entry.path));
        let content = waits.or_else(|_| fs::read(folder.join(&entry.path))).expect("a listed file is there");
        assert_eq!((fingerprint(&content), content.len() as u64), (entry.sha256.clone(), entry.bytes));
    }
    manifest
}

#[test]
fn a_pack_appears_with_its_manifest_and_nothing_beside_it() {
    let (desk, out) = desk();
    let manifest = publish(&out, &[("b.pdf", "bb"), ("a/c.pdf", "c")]).expect("published");
    assert_eq!(names(desk.path()), ["out"]);
    assert_eq!(names(&out), ["a", "b.pdf", MANIFEST]);
    assert_eq!(assert_whole(&out), manifest);
    let paths: Vec<_> = manifest.files.iter().map(|entry| entry.path.as_str()).collect();
    assert_eq!(paths, ["a/c.pdf", "b.pdf"]);
    // The digest of "abc" published in FIPS 180-4 examples (NIST).
    assert_eq!(fingerprint(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

#[test]
fn the_same_pack_is_the_same_bytes() {
    let (_one, first) = desk();
    let (_other, second) = desk();
    publish(&first, &[("b.pdf", "b"), ("a.pdf", "a")]).expect("published");
    publish(&second, &[("a.pdf", "a"), ("b.pdf", "b")]).expect("published");
    let json = read(&first.join(MANIFEST));
    assert_eq!(json, read(&second.join(MANIFEST)));
    assert!(!json.contains("tmp") && json.contains("\"format\": 1"), "{json}");
    publish(&first, &[("b.pdf", "b"), ("a.pdf", "a")]).expect("published");
    assert_eq!(json, read(&first.join(MANIFEST)));
}

#[test]
fn files_of_other_people_stay_and_files_of_the_earlier_pack_go() {
    let (desk, out) = desk();
    publish(&out, &[("old.pdf", "1"), ("cards/old.pdf", "1"), ("gone/only.pdf", "1")]).expect("published");
    fs::write(out.join("notes.txt"), "mine").expect("written");
    fs::write(out.join("cards/photo.jpg"), "mine too").expect("written");
    fs::create_dir_all(out.join("empty/inner")).expect("made");
    publish(&out, &[("new.pdf", "2")]).expect("published");
    assert_eq!(names(&out), ["cards", "empty", MANIFEST, "new.pdf", "notes.txt"]);
    assert_eq!(names(&out.join("cards")), ["photo.jpg"]);
    assert!(out.join("empty/inner").is_dir());
    assert_eq!(
        (read(&out.join("notes.txt")), read(&out.join("cards/photo.jpg"))),
        ("mine".into(), "mine too".into())
    );
    assert_eq!(names(desk.path()), ["out"]);
}

#[test]
fn a_folder_without_a_pack_keeps_everything() {
    let (_desk, out) = desk();
    fs::create_dir(&out).expect("made");
    fs::write(out.join("notes.txt"), "mine").expect("written");
    publish(&out, &[("new.pdf", "2")]).expect("published");
    assert_eq!(names(&out), [MANIFEST, "new.pdf", "notes.txt"]);
}

#[test]
fn a_name_that_belongs_to_somebody_else_is_not_taken() {
    // What is named in the message: the file, or the folder that is in the way.
    let cases = [
        ("a.pdf", "a.pdf", "out/a.pdf"),
        ("cards", "cards/a.pdf", "out/cards"),
        ("a.pdf/x", "a.pdf", "out/a.pdf"),
    ];
    for (theirs, ours, named) in cases {
        let (desk, out) = desk();
        publish(&out, &[("first.pdf", "1")]).expect("published");
        let path = out.join(theirs);
        fs::create_dir_all(path.parent().expect("a parent")).expect("made");
        fs::write(&path, "mine").expect("written");
        let failure = publish(&out, &[(ours, "2")]).expect_err("their name");
        assert_eq!(failure.exit_code(), 4);
        assert!(failure.to_string().contains(named), "{failure}");
        assert_eq!(read(&path), "mine");
        assert_eq!(assert_whole(&out).files[0].path, "first.pdf");
        assert_eq!(names(desk.path()), ["out"]);
    }
}

#[test]
fn a_run_that_fails_leaves_the_earlier_pack() {
    let (desk, out) = desk();
    publish(&out, &[("a.pdf", "1")]).expect("published");
    let mut pack = Publication::open(&out, Kind::Pack).expect("opened");
    let templates = Templates::of([("x.typ", "")]).expect("they parse");
    let workshop = pack.workshop(&templates).expect("a work folder");
    pack.put("a.pdf", "A sheet", b"2").expect("written");
    drop(pack);
    drop(workshop);
    assert_eq!(read(&out.join("a.pdf")), "1");
    assert_eq!(names(desk.path()), ["out"]);
}

#[test]
fn a_manifest_of_something_else_is_refused() {
    let good = {
        let (_desk, out) = desk();
        publish(&out, &[("a.pdf", "1")]).expect("published");
        read(&out.join(MANIFEST))
    };
    let strange = [
        "{}".to_owned(),
        "not json".to_owned(),
        good.replace("\"slopepack\"", "\"something\""),
        good.replace("\"format\": 1", "\"format\": 2"),
        good.replace("a.pdf", "../../a.pdf"),
        good.replace("a.pdf", "/etc/passwd"),
    ];
    for json in strange {
        let (_desk, out) = desk();
        fs::create_dir(&out).expect("made");
        fs::write(out.join(MANIFEST), &json).expect("written");
        let failure = publish(&out, &[("a.pdf", "2")]).expect_err("not ours");
        assert!(failure.to_string().contains("was not written by this program"), "{failure}");
        assert_eq!((failure.exit_code(), read(&out.join(MANIFEST))), (4, json));
        assert_eq!(names(&out), [MANIFEST]);
    }
}

#[test]
fn paths_that_cannot_hold_a_pack_are_refused_in_words() {
    let (desk, out) = desk();
    fs::write(&out, "a file").expect("written");
    let said = |path: &Path| match publish(path, &[("a.pdf", "1")]) {
        Err(failure @ Failure::Files(_)) => failure.to_string(),
        other => panic!("a refusal expected, got {other:?}"),
    };
    assert!(said(&out).contains("is a file; name a folder"), "{}", said(&out));
    assert!(said(&out.join("inside")).contains("not a folder"), "{}", said(&out.join("inside")));
    assert!(said(Path::new("/")).contains("name a folder in it"), "{}", said(Path::new("/")));
    assert_eq!((names(desk.path()), read(&out)), (vec!["out".to_owned()], "a file".into()));
}

#[test]
fn only_plain_names_become_files_of_a_pack() {
    let (_desk, out) = desk();
    let mut pack = Publication::open(&out, Kind::Pack).expect("opened");
    for path in ["", "../a.pdf", "/a.pdf", "a//b", ".hidden", "a/.b", "a\\b", "a b", MANIFEST, "a/../b"] {
        assert!(pack.put(path, "A sheet", b"x").is_err(), "{path}");
    }
    pack.put("a/b-1_2.pdf", "A sheet", b"x").expect("a plain name");
    assert!(pack.put("a/b-1_2.pdf", "A sheet", b"x").is_err(), "twice the same name");
}

#[test]
fn two_runs_do_not_write_to_one_folder() {
    let (_desk, out) = desk();
    let pack = Publication::open(&out, Kind::Pack).expect("opened");
    let failure = publish(&out, &[("a.pdf", "1")]).expect_err("it is in use");
    assert!(failure.to_string().contains("another run"), "{failure}");
    drop(pack);
    publish(&out, &[("a.pdf", "1")]).expect("free again");
}

#[cfg(unix)]
#[test]
fn links_are_kept_as_links_and_never_followed() {
    use std::os::unix::fs::symlink;
    let (desk, out) = desk();
    let elsewhere = desk.path().join("elsewhere");
    fs::create_dir(&elsewhere).expect("made");
    fs::write(elsewhere.join("a.pdf"), "mine").expect("written");
    publish(&out, &[("a.pdf", "1"), ("cards/a.pdf", "1")]).expect("published");
    fs::remove_dir_all(out.join("cards")).expect("removed");
    symlink(&elsewhere, out.join("cards")).expect("linked");
    symlink("nowhere", out.join("broken")).expect("linked");
    publish(&out, &[("b.pdf", "2")]).expect("published");
    assert_eq!(fs::read_link(out.join("cards")).expect("a link"), elsewhere, "not followed, not replaced");
    assert_eq!(fs::read_link(out.join("broken")).expect("a link"), Path::new("nowhere"));
    assert_eq!(read(&elsewhere.join("a.pdf")), "mine");
    let failure = publish(&out, &[("cards/a.pdf", "3")]).expect_err("not through a link");
    assert!(failure.to_string().contains("cards"), "{failure}");
    assert_eq!(read(&elsewhere.join("a.pdf")), "mine");
    // A link to the folder itself stays a link; the folder behind it is replaced.
    let link = desk.path().join("link");
    symlink(&out, &link).expect("linked");
    publish(&link, &[("c.pdf", "4")]).expect("published");
    assert_eq!((fs::read_link(&link).expect("a link"), read(&out.join("c.pdf"))), (out, "4".into()));
}

#[cfg(unix)]
#[test]
fn large_files_of_other_people_are_not_copied() {
    use std::os::unix::fs::MetadataExt as _;
    let (_desk, out) = desk();
    fs::create_dir(&out).expect("made");
    let film = out.join("film.mp4");
    fs::write(&film, "long").expect("written");
    let before = fs::metadata(&film).expect("there").ino();
    publish(&out, &[("a.pdf", "1")]).expect("published");
    let after = fs::metadata(&film).expect("there");
    assert_eq!((after.ino(), after.nlink()), (before, 1));
}

/// Moments at which a run can be ended, built by hand, and what the next run makes of them.
#[test]
fn the_next_run_finishes_what_an_ended_run_left() {
    let (desk, out) = desk();
    publish(&out, &[("a.pdf", "1"), ("old/b.pdf", "1")]).expect("published");
    fs::write(out.join("notes.txt"), "mine").expect("written");
    // Ended while it wrote: nothing had begun to count.
    let hidden = out.join(".slopepack");
    fs::create_dir_all(hidden.join("new")).expect("made");
    fs::write(hidden.join("new/a.pdf"), "half").expect("written");
    fs::create_dir_all(hidden.join("work-x/root")).expect("made");
    drop(Publication::open(&out, Kind::Pack).expect("opened"));
    assert_eq!((read(&out.join("a.pdf")), names(&out).len()), ("1".into(), 4));
    // Ended with the set ready, after one of its files: the next run brings the rest.
    let (_other, elsewhere) = self::desk();
    publish(&elsewhere, &[("a.pdf", "2"), ("c.pdf", "2")]).expect("published");
    fs::create_dir_all(&hidden).expect("made");
    fs::rename(&elsewhere, hidden.join("ready")).expect("moved");
    fs::rename(hidden.join("ready/a.pdf"), out.join("a.pdf")).expect("moved");
    assert_whole(&out);
    Publication::settle(&out).expect("settled");
    assert_eq!(names(&out), ["a.pdf", "c.pdf", MANIFEST, "notes.txt"]);
    assert_eq!((read(&out.join("a.pdf")), read(&out.join("c.pdf"))), ("2".into(), "2".into()));
    assert_whole(&out);
    // Ended with everything in place but the clearing up.
    fs::create_dir_all(hidden.join("ready")).expect("made");
    drop(Publication::open(&out, Kind::Pack).expect("opened"));
    assert_eq!((names(&out).len(), names(desk.path())), (4, vec!["out".to_owned()]));
}

const CHILD: &str = "PUBLISH_UNTIL_KILLED";
const CHILD_NUMBER: &str = "PUBLISH_AS";
/// In every pack of every child.
const ALWAYS: &str = "always.pdf";

/// Not a test of its own: the process that the next test kills.
#[test]
fn child_that_publishes_until_it_is_killed() {
    let Some(out) = env::var_os(CHILD) else { return };
    let number = env::var(CHILD_NUMBER).expect("the child's number");
    for round in 0.. {
        let content = format!("{number}: {round}");
        let paths: Vec<_> = (0..8).map(|at| format!("part-{}/{at}.pdf", (at + round) % 3)).collect();
        let paths = paths.iter().map(String::as_str).chain([ALWAYS]);
        let files: Vec<_> = paths.map(|path| (path, content.as_str())).collect();
        publish(Path::new(&out), &files).expect("published");
    }
}

/// Looks for the manifest again and again until it is enough: it is never missing.
fn watch(out: &Path, enough: impl Fn() -> bool) {
    while !enough() {
        assert!(fs::metadata(out.join(MANIFEST)).is_ok(), "for a moment there was no pack");
    }
}

/// Watches until this child has published, then for `time`: how long a process takes to start says
/// nothing about the moment of a publication at which it is killed.
fn watch_child(out: &Path, number: u64, time: Duration) {
    let sign = format!("{number}: ");
    let patience = Instant::now() + Duration::from_mins(2);
    watch(out, || {
        assert!(Instant::now() < patience, "child {number} never published");
        fs::read_to_string(out.join(ALWAYS)).is_ok_and(|content| content.starts_with(&sign))
    });
    let until = Instant::now() + time;
    watch(out, || Instant::now() >= until);
}

#[test]
fn a_run_killed_at_any_moment_leaves_a_whole_pack() {
    let (desk, out) = desk();
    publish(&out, &[("first.pdf", "1")]).expect("published");
    fs::create_dir(out.join("mine")).expect("made");
    fs::write(out.join("mine/notes.txt"), "mine").expect("written");
    for number in 0..30u64 {
        let mut child = Command::new(env::current_exe().expect("this program"))
            .args(["--exact", "print_publish::child_that_publishes_until_it_is_killed"])
            .env(CHILD, &out)
            .env(CHILD_NUMBER, number.to_string())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("started");
        watch_child(&out, number, Duration::from_micros(number * 1_237));
        child.kill().expect("killed");
        child.wait().expect("ended");
        assert_whole(&out);
        // A set that is not all in place is marked where everybody sees it.
        if out.join(".slopepack/ready/manifest.json").exists() {
            assert!(out.join("UNFINISHED.txt").exists());
        }
        Publication::settle(&out).expect("settled");
        for entry in &assert_whole(&out).files {
            assert_eq!(read(&out.join(&entry.path)), read(&out.join(ALWAYS)), "mixed packs");
        }
        assert_eq!(read(&out.join("mine/notes.txt")), "mine");
    }
    publish(&out, &[("last.pdf", "2")]).expect("published");
    assert_eq!(names(desk.path()), ["out"]);
    assert_eq!(names(&out), ["last.pdf", MANIFEST, "mine"]);
}
