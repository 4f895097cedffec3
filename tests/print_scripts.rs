//! Names are printed in their own script, from whichever side it runs, and a script without a face is told of
//! before anything is typeset.

use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;
use serde_json::Value;

use crate::pages_read::{Piece, sheets};

/// Names in scripts that the program carries, and in those of the small faces beside the tests.
const NAMES: [&str; 12] = [
    "李小龙",
    "佐藤 さくら",
    "محمد علي",
    "שרה כהן",
    "प्रिया शर्मा",
    "Ελένη Παπαδοπούλου",
    "Юрий Жуков",
    "Nguyễn Thị Ánh",
    "김민수",
    "สมชาย ใจดี",
    "عباس",
    "Անի Գէորգեան",
];

/// The example with these names as its first drivers, in a folder of its own.
fn course_with(folder: &Path, names: &[&str], change: impl Fn(String) -> String) -> PathBuf {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses");
    let course = folder.join("day.yaml");
    fs::copy(own.join("six-slope-saturday.yaml"), &course).expect("copied");
    let roster = fs::read_to_string(own.join("six-slope-saturday.csv")).expect("read");
    let mut rows: Vec<String> = roster.lines().map(str::to_owned).collect();
    for (row, name) in rows[1..].iter_mut().zip(names) {
        *row = format!("{name};{}", row.split_once(';').expect("cells").1);
    }
    fs::write(folder.join("six-slope-saturday.csv"), change(rows.join("\n"))).expect("written");
    course
}

fn fonts() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fonts")
}

fn pack(course: &Path, into: &Path, fonts: &Path, only: &[&str]) -> std::process::Output {
    let mut command = Command::cargo_bin("slopepack").expect("the program");
    command.arg("pack").arg(course).arg("--into").arg(into).arg("--fonts").arg(fonts).arg("--no-cache");
    for name in only {
        command.args(["--only", name]);
    }
    command.output().expect("it runs")
}

fn printed(into: &Path, file: &str) -> lopdf::Document {
    lopdf::Document::load(into.join(file)).unwrap_or_else(|why| panic!("{file}: {why}"))
}

/// Names of the embedded faces, without the letters before them.
fn faces(pdf: &lopdf::Document) -> Vec<String> {
    let fonts = pdf.objects.values().filter_map(|object| object.as_dict().ok());
    let named = fonts.filter_map(|font| font.get(b"BaseFont").and_then(lopdf::Object::as_name).ok());
    let mut names: Vec<String> = named.map(|name| String::from_utf8_lossy(&name[7..]).into_owned()).collect();
    names.sort();
    names.dedup();
    names
}

fn pieces(pdf: &lopdf::Document) -> Vec<Piece> {
    sheets(pdf).into_iter().flat_map(|sheet| sheet.pieces).collect()
}

const SHEETS: [&str; 6] =
    ["attendance", "driver-cards", "run-sheets", "certificate", "convoy", "leader-sheet"];

#[test]
fn names_are_printed_in_their_own_script_on_every_sheet() {
    let desk = tempfile::tempdir().expect("a folder");
    let course = course_with(desk.path(), &NAMES, |roster| roster);
    let into = desk.path().join("out");
    let done = pack(&course, &into, &fonts(), &SHEETS);
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    for name in SHEETS {
        let file = if name == "leader-sheet" {
            "confidential/leader-sheet.pdf".into()
        } else {
            format!("{name}.pdf")
        };
        let pdf = printed(&into, &file);
        // A name is set piece by piece: all its letters are there, none by number.
        let all: String = pieces(&pdf).into_iter().map(|piece| piece.text).collect();
        assert!(!all.contains("[U+"), "{name}");
        for person in NAMES {
            for letter in person.chars().filter(|letter| letter.is_alphabetic()) {
                assert!(all.contains(letter), "{name} lacks {letter} of {person}");
            }
        }
        let faces = faces(&pdf);
        for family in
            ["NotoSansArabic", "NotoSansHebrew", "NotoSansDevanagari", "NotoSansThai", "NotoSansArmenian"]
                .into_iter()
                .chain(["NotoSansCJKsc", "NotoSansCJKjp", "NotoSansCJKkr"])
        {
            assert!(faces.iter().any(|face| face.starts_with(family)), "{name} without {family}: {faces:?}");
        }
    }
    let manifest: Value =
        serde_json::from_slice(&fs::read(into.join("manifest.json")).expect("read")).expect("JSON");
    let told =
        manifest["faces"].as_array().expect("faces").iter().filter_map(Value::as_str).collect::<Vec<_>>();
    assert!(
        told.iter().any(|face| face.starts_with("Noto Sans Hebrew Bold, Version 3")
            && face.ends_with("carried in the program")),
        "{told:?}"
    );
    assert!(told.contains(&"Noto Sans CJK JP Regular, Version 2.004, from the folder named"), "{told:?}");
    let again = desk.path().join("again");
    assert!(pack(&course, &again, &fonts(), &["certificate"]).status.success());
    let bytes = |folder: &Path| fs::read(folder.join("certificate.pdf")).expect("read");
    assert!(bytes(&into) == bytes(&again), "the same faces give the same bytes");
}

#[test]
fn without_such_names_nothing_of_it_shows() {
    let desk = tempfile::tempdir().expect("a folder");
    let course = course_with(desk.path(), &["Jürgen Ñ.", "Лев"], |roster| roster);
    let into = desk.path().join("out");
    assert!(pack(&course, &into, desk.path(), &["attendance"]).status.success());
    let manifest = fs::read_to_string(into.join("manifest.json")).expect("read");
    assert!(!manifest.contains("faces"), "{manifest}");
    assert!(faces(&printed(&into, "attendance.pdf")).iter().all(|face| !face.contains("Arabic")));
}

#[test]
fn a_script_without_a_face_is_told_of_before_anything_is_typeset() {
    let desk = tempfile::tempdir().expect("a folder");
    let empty = desk.path().join("fonts");
    fs::create_dir(&empty).expect("a folder");
    let course = course_with(desk.path(), &["A. A.", "李小龙", "佐藤 さくら"], |roster| {
        roster.replace("penicillin", "青霉素过敏")
    });
    let into = desk.path().join("out");
    let mut command = Command::cargo_bin("slopepack").expect("the program");
    // A typesetter that is not there would be the next mistake.
    command.arg("pack").arg(&course).arg("--into").arg(&into).arg("--fonts").arg(&empty);
    let said = command.args(["--typst", "/nowhere/typst"]).output().expect("it runs");
    let told = String::from_utf8_lossy(&said.stderr).into_owned();
    assert_eq!(said.status.code(), Some(1), "{told}");
    assert!(told.contains("cell A3") && told.contains("written in Chinese: 李 小 龙"), "{told}");
    assert!(told.contains("cell A4") && told.contains("written in Japanese: 佐 藤 さ く ら"), "{told}");
    assert!(told.contains("fonts-noto-cjk") && told.contains("--fonts DIR"), "{told}");
    assert!(told.contains("3 texts cannot be printed"), "{told}");
    // What is private is told by its place alone.
    assert!(told.contains("cell P2"), "{told}");
    assert!(!told.chars().any(|letter| "青霉素过敏".contains(letter)), "{told}");
    assert!(!into.exists());
    // A script of which the program knows the name alone.
    let course = course_with(desk.path(), &["ᏣᎳᎩ"], |roster| roster);
    let told = String::from_utf8_lossy(&pack(&course, &into, &empty, &[]).stderr).into_owned();
    assert!(told.contains("Cherokee") && told.contains("fonts-noto-core"), "{told}");
    let told =
        String::from_utf8_lossy(&pack(&course, &into, &desk.path().join("none"), &[]).stderr).into_owned();
    assert!(told.contains("there is no folder"), "{told}");
}

/// The letters of a document's pages from left to right, line by line.
fn from_left(pdf: &lopdf::Document) -> Vec<String> {
    let mut all = Vec::new();
    for sheet in sheets(pdf) {
        let mut lines: Vec<(f64, Vec<Piece>)> = Vec::new();
        for piece in sheet.pieces {
            match lines.iter_mut().find(|(y, _)| (*y - piece.y).abs() < 1.0) {
                Some((_, line)) => line.push(piece),
                None => lines.push((piece.y, vec![piece])),
            }
        }
        all.extend(lines.into_iter().map(|(_, mut pieces)| {
            pieces.sort_by(|one, other| one.x.total_cmp(&other.x));
            let letters = pieces.iter().flat_map(|piece| piece.text.chars());
            letters
                .filter(|letter| !matches!(letter, ' ' | '\u{a0}' | '\u{2068}' | '\u{2069}'))
                .collect::<String>()
        }));
    }
    all
}

#[test]
fn words_from_the_right_stand_in_their_place_among_others() {
    let desk = tempfile::tempdir().expect("a folder");
    // Two who share a car stand in one line, with a comma between them and a car's name behind.
    let course = course_with(desk.path(), &["שרה", "אבי"], |roster| {
        let mut rows: Vec<&str> = roster.lines().collect();
        let shared = rows[2].replacen("short petrol", "club-pickup", 1);
        let first = rows[1].replacen("diesel wagon, long wheelbase", "club-pickup", 1);
        (rows[1], rows[2]) = (&first, &shared);
        rows.join("\n")
    });
    let into = desk.path().join("out");
    let done = pack(&course, &into, &fonts(), &["vehicle-check", "attendance"]);
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let lines = from_left(&printed(&into, "vehicle-check.pdf"));
    // The eye reads each name from the right, and the list of them from the left.
    let list = lines.iter().find(|line| line.contains("הרש")).unwrap_or_else(|| panic!("{lines:?}"));
    assert!(list.contains("Drivenbyהרש,יבא,"), "{list}");
    // The number of a row stays at its left.
    let lines = from_left(&printed(&into, "attendance.pdf"));
    assert!(lines.iter().any(|line| line.starts_with("1הרשA")), "{lines:?}");
}

#[test]
fn check_looks_for_faces_before_anybody_prints() {
    let desk = tempfile::tempdir().expect("a folder");
    let empty = desk.path().join("fonts");
    fs::create_dir(&empty).expect("a folder");
    let course = course_with(desk.path(), &["A. A.", "李小龙"], |roster| roster);
    let check = |folder: &Path| {
        let mut command = Command::cargo_bin("slopepack").expect("the program");
        let done = command.arg("check").arg(&course).arg("--fonts").arg(folder).output().expect("it runs");
        (done.status.code(), String::from_utf8_lossy(&done.stderr).into_owned())
    };
    let (code, told) = check(&empty);
    assert!(code == Some(1) && told.contains("cell A3") && told.contains("written in Chinese"), "{told}");
    let (code, told) = check(&fonts());
    assert_eq!(code, Some(0), "{told}");
}
