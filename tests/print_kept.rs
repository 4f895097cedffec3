//! Nothing a person wrote is taken away, and papers of one kind are not taken for another.

use std::fs;
use std::path::{Path, PathBuf};

use slopepack::print::{About, Kind, MANIFEST, Manifest, Publication, fingerprint};
use slopepack::problem::Failure;
use tempfile::TempDir;

fn about(course: &str) -> About {
    About {
        typesetter: "0.15.1".into(),
        course: "Quarry day".into(),
        course_sha256: fingerprint(course.as_bytes()),
        seed: Some(7),
        faces: Vec::new(),
    }
}

/// Publishes papers of a kind, a form among them, and returns what a person is told.
fn publish(
    folder: &Path,
    kind: Kind,
    course: &str,
    files: &[(&str, &str)],
    form: Option<&str>,
) -> Result<Vec<String>, Failure> {
    let mut papers = Publication::open(folder, kind)?;
    if let Some(form) = form {
        papers.put_form("answers.csv", "Form", form.as_bytes())?;
    }
    for (path, content) in files {
        papers.put(path, "A sheet", content.as_bytes())?;
    }
    Ok(papers.finish(about(course))?.1)
}

fn desk() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    (folder, out)
}

fn read(path: impl AsRef<Path>) -> String {
    let path = path.as_ref();
    fs::read_to_string(path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let mut names: Vec<_> =
        entries.map(|entry| entry.expect("an entry").file_name().into_string().expect("text")).collect();
    names.sort();
    names
}

#[test]
fn a_form_that_was_keyed_into_is_left_as_it_is() {
    let (_desk, out) = desk();
    publish(&out, Kind::Papers, "c", &[("paper.pdf", "1")], Some("code,answer\n")).expect("published");
    fs::write(out.join("answers.csv"), "code,answer\nX1,A\n").expect("keyed");
    let told = publish(&out, Kind::Papers, "c", &[("paper.pdf", "1")], Some("code,answer\n"))
        .expect("the same papers");
    assert_eq!(read(out.join("answers.csv")), "code,answer\nX1,A\n");
    assert!(told.iter().any(|note| note.contains("answers.csv has been keyed into")), "{told:?}");
    // Other papers would take away what the answers are marked with.
    let refused = publish(&out, Kind::Papers, "c", &[("paper.pdf", "2")], Some("other,answer\n"));
    let said = refused.expect_err("other papers").to_string();
    assert!(said.contains("keyed into") && said.contains("--into"), "{said}");
    assert_eq!(
        (read(out.join("answers.csv")), read(out.join("paper.pdf"))),
        ("code,answer\nX1,A\n".into(), "1".into())
    );
    assert_eq!(names(&out), ["answers.csv", MANIFEST, "paper.pdf"]);
    // A form nobody has touched is of no worth to anybody.
    fs::write(out.join("answers.csv"), "code,answer\n").expect("cleared again");
    publish(&out, Kind::Papers, "c", &[("paper.pdf", "2")], Some("other,answer\n")).expect("published");
    assert_eq!(read(out.join("answers.csv")), "other,answer\n");
}

/// Papers are marked from their record, so that of papers handed out earlier is not lost to new ones.
#[test]
fn the_record_of_papers_handed_out_is_kept() {
    let (_desk, out) = desk();
    let print = |record: &str| {
        let mut papers = Publication::open(&out, Kind::Papers)?;
        papers.put_record("staff/papers.json", "Record", record.as_bytes())?;
        papers.finish(about("c"))
    };
    print("first").expect("published");
    assert!(print("first").expect("the same").1.is_empty());
    assert_eq!(names(&out.join("staff")), ["papers.json"]);
    let told = print("second").expect("others").1;
    assert!(told[0].contains("staff/papers.json tells of the papers printed before"), "{told:?}");
    assert_eq!(read(out.join("staff/papers.json")), "second");
    assert_eq!(read(out.join("staff/papers-kept-1.json")), "first");
}

#[test]
fn a_file_that_was_changed_is_kept_under_a_name_of_its_own() {
    let (_desk, out) = desk();
    let first = [("a.pdf", "1"), ("cards/b.pdf", "1"), ("gone.pdf", "1"), ("same.pdf", "1")];
    publish(&out, Kind::Pack, "c", &first, None).expect("published");
    for path in ["a.pdf", "cards/b.pdf", "gone.pdf"] {
        fs::write(out.join(path), format!("mine in {path}")).expect("changed");
    }
    let next = [("a.pdf", "2"), ("cards/b.pdf", "2"), ("same.pdf", "1")];
    let told = publish(&out, Kind::Pack, "c", &next, None).expect("published");
    assert_eq!((read(out.join("a.pdf")), read(out.join("cards/b.pdf"))), ("2".into(), "2".into()));
    assert_eq!(read(out.join("a-kept-1.pdf")), "mine in a.pdf");
    assert_eq!(read(out.join("cards/b-kept-1.pdf")), "mine in cards/b.pdf");
    assert_eq!(read(out.join("gone-kept-1.pdf")), "mine in gone.pdf");
    assert_eq!(told.len(), 3, "{told:?}");
    assert!(told.iter().any(|note| note.contains("a.pdf was changed") && note.contains("a-kept-1.pdf")));
    // Changed once more: the first copy is not lost to the second.
    fs::write(out.join("a.pdf"), "mine again").expect("changed");
    publish(&out, Kind::Pack, "c", &next, None).expect("published");
    assert_eq!(
        (read(out.join("a-kept-1.pdf")), read(out.join("a-kept-2.pdf"))),
        ("mine in a.pdf".into(), "mine again".into())
    );
}

#[test]
fn papers_of_one_kind_never_take_the_place_of_another() {
    let kinds = [Kind::Pack, Kind::Change, Kind::Papers, Kind::Results];
    for held in kinds {
        let (_desk, out) = desk();
        publish(&out, held, "c", &[("a.pdf", "1")], None).expect("published");
        for wanted in kinds.into_iter().filter(|kind| *kind != held) {
            let refused = publish(&out, wanted, "c", &[("a.pdf", "2")], None).expect_err("another kind");
            let said = refused.to_string();
            assert_eq!(refused.exit_code(), 4);
            assert!(said.contains(held.words()) && said.contains(wanted.words()), "{said}");
            assert!(said.contains("name another folder with --into"), "{said}");
        }
        assert_eq!((read(out.join("a.pdf")), names(&out).len()), ("1".into(), 2));
    }
}

/// Manifests of early versions do not say what they are of.
#[test]
fn the_kind_of_an_earlier_manifest_is_told_by_its_files() {
    for (file, kind) in
        [("staff/papers.json", Kind::Papers), ("results.csv", Kind::Results), ("a.pdf", Kind::Pack)]
    {
        let (_desk, out) = desk();
        publish(&out, kind, "c", &[(file, "1")], None).expect("published");
        let json = read(out.join(MANIFEST));
        let line = json.lines().find(|line| line.contains("\"kind\"")).expect("it says");
        fs::write(out.join(MANIFEST), json.replace(&format!("{line}\n"), "")).expect("written");
        let manifest = Manifest::read(&out).expect("ours").expect("there");
        assert_eq!(manifest.kind(), kind, "{file}");
    }
}

#[test]
fn a_new_pack_ends_the_changes_made_to_an_earlier_one() {
    let (_desk, out) = desk();
    let change = out.join("change");
    publish(&out, Kind::Pack, "first", &[("run-sheets.pdf", "1")], None).expect("published");
    publish(&change, Kind::Change, "first", &[("run-sheets.pdf", "1'"), ("cards.pdf", "1'")], None)
        .expect("changed");
    fs::write(change.join("cards.pdf"), "scribbled on").expect("written");
    // Printed once more, the pack is still the one that was changed.
    let told = publish(&out, Kind::Pack, "first", &[("run-sheets.pdf", "1")], None).expect("published");
    assert!(change.join("run-sheets.pdf").exists());
    assert!(told.iter().any(|note| note.contains("still changes this rota")), "{told:?}");
    // Of another course there is one rota only.
    let told = publish(&out, Kind::Pack, "second", &[("run-sheets.pdf", "2")], None).expect("published");
    assert_eq!(names(&change), ["cards-kept-1.pdf"], "what somebody wrote stays");
    assert!(told.iter().any(|note| note.contains("take their prints down")), "{told:?}");
    fs::remove_dir_all(&change).expect("removed");
    publish(&change, Kind::Change, "second", &[("run-sheets.pdf", "2'")], None).expect("changed");
    publish(&out, Kind::Pack, "third", &[("run-sheets.pdf", "3")], None).expect("published");
    assert!(!change.exists());
}

/// A shell, an editor or a file manager that stands in the folder goes on standing in it; the
/// folder's owner, group and access list are its own.
#[cfg(unix)]
#[test]
fn the_folder_itself_and_what_does_not_change_in_it_stay() {
    use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};
    let (_desk, out) = desk();
    publish(&out, Kind::Pack, "c", &[("a.pdf", "1"), ("b.pdf", "1"), ("cards/c.pdf", "1")], None)
        .expect("published");
    // 02775: a club's shared folder, whose group new files take over.
    fs::set_permissions(&out, fs::Permissions::from_mode(0o2775)).expect("shared");
    let about = |path: &str| {
        let about = fs::metadata(out.join(path)).expect("there");
        (about.ino(), about.mode(), about.gid())
    };
    let before = [about("."), about("cards"), about("b.pdf")];
    publish(&out, Kind::Pack, "c", &[("a.pdf", "2"), ("b.pdf", "1"), ("cards/c.pdf", "2")], None)
        .expect("published");
    assert_eq!(before, [about("."), about("cards"), about("b.pdf")]);
    assert_eq!(read(out.join("cards/c.pdf")), "2");
}

#[cfg(unix)]
#[test]
fn confidential_papers_are_for_their_owner_alone() {
    use std::os::unix::fs::PermissionsExt as _;
    let (_desk, out) = desk();
    let mode = |path: &str| fs::metadata(out.join(path)).expect("there").permissions().mode() & 0o7777;
    for content in ["1", "2"] {
        publish(&out, Kind::Pack, "c", &[("confidential/leader.pdf", content), ("a.pdf", content)], None)
            .expect("published");
        assert_eq!((mode("confidential"), mode("confidential/leader.pdf")), (0o700, 0o600));
        assert_ne!(mode("a.pdf"), 0o600);
    }
}

/// A folder that cannot be written is found before anything is moved.
#[cfg(unix)]
#[test]
fn a_folder_closed_to_writing_is_told_before_anything_is_moved() {
    use std::os::unix::fs::PermissionsExt as _;
    let (_desk, out) = desk();
    publish(&out, Kind::Pack, "c", &[("a.pdf", "1"), ("cards/b.pdf", "1")], None).expect("published");
    fs::set_permissions(out.join("cards"), fs::Permissions::from_mode(0o555)).expect("closed");
    // Whoever may do everything writes there all the same.
    let superuser = fs::write(out.join("cards/x"), "").is_ok();
    let done = publish(&out, Kind::Pack, "c", &[("a.pdf", "2"), ("cards/b.pdf", "2")], None);
    fs::set_permissions(out.join("cards"), fs::Permissions::from_mode(0o755)).expect("open");
    if !superuser {
        let said = done.expect_err("closed").to_string();
        assert!(said.contains("cards") && said.contains("permission denied"), "{said}");
        assert_eq!((read(out.join("a.pdf")), read(out.join("cards/b.pdf"))), ("1".into(), "1".into()));
        assert_eq!(names(&out), ["a.pdf", "cards", MANIFEST]);
    }
}
