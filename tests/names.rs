//! Whose names may stand on pages, and where the printed sources come from.
//!
//! A page names standards, laws, handbooks and textbooks, by the mark its full reference has in
//! `published/sources.csv`. Makes, programs, programmes, brands and agencies stay off it. The words that
//! must be looked for but not be written are kept as hashes: the first 16 hex digits of the SHA-256 of
//! the word in lower case, one a line, in `names-kept-off.txt`.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use slopepack::course::sources::{SOURCES, cited, named};

use crate::pages::{Pack, examples, large_examples};

/// Starts of the names of the faces the README names.
const FACES: [&str; 3] = ["NotoSans", "LibertinusSerif", "NewCMMath"];

/// Words of a class that never stands on a page, whatever the name beside them.
const CLASSES: &[&str] = &[
    "administration",
    "agency",
    "programme",
    "programmes",
    "publisher",
    "publishers",
    "simulation",
    "simulator",
    "software",
    "university",
];

/// Kinds a reference may have.
const KINDS: &[&str] = &["textbook", "handbook", "standard", "law", "published tests", "open data"];

fn house(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn hash(word: &str) -> String {
    let digest = Sha256::digest(word.as_bytes());
    format!("{:016x}", digest.iter().take(8).fold(0_u64, |sum, byte| sum << 8 | u64::from(*byte)))
}

fn kept_off() -> BTreeSet<String> {
    let text = fs::read_to_string(house("tests/names-kept-off.txt")).unwrap();
    let hashes: BTreeSet<String> = text.lines().map(str::to_owned).collect();
    assert!(hashes.len() > 100 && hashes.iter().all(|hash| hash.len() == 16));
    hashes
}

/// The words of a text, each alone and joined to the next by a hyphen, in lower case.
fn words(text: &str) -> BTreeSet<String> {
    let lower = text.to_lowercase();
    let alone: Vec<&str> =
        lower.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let pairs = alone.windows(2).map(|pair| pair.join("-"));
    alone.iter().map(|word| (*word).to_owned()).chain(pairs).collect()
}

/// The names of a text that may not stand there, and the class words.
fn names_in(text: &str, kept_off: &BTreeSet<String>, classes: bool) -> Vec<String> {
    let words = words(text);
    let known = words.iter().filter(|word| kept_off.contains(&hash(word))).cloned();
    let general = CLASSES.iter().filter(|class| words.contains(**class)).map(|class| (*class).to_owned());
    let signs = ['®', '™'].into_iter().filter(|sign| text.contains(*sign)).map(String::from);
    let mut found: Vec<String> = known.collect();
    if classes {
        found.extend(general.chain(signs));
    }
    found
}

/// Every file below a folder whose name ends so.
fn files(folder: &str, ends: &[&str]) -> Vec<PathBuf> {
    let mut open = vec![house(folder)];
    let mut found = Vec::new();
    while let Some(path) = open.pop() {
        if path.is_dir() {
            open.extend(fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path()));
        } else if ends.iter().any(|end| path.extension().is_some_and(|ending| ending == *end)) {
            found.push(path);
        }
    }
    assert!(!found.is_empty(), "{folder}");
    found.sort();
    found
}

fn pages(pack: &Pack) -> impl Iterator<Item = (String, String)> + '_ {
    pack.papers.iter().flat_map(|paper| {
        paper.sheets.iter().enumerate().map(|(at, sheet)| {
            let text: Vec<&str> = sheet.pieces.iter().map(|piece| piece.text.as_str()).collect();
            (format!("{}, page {}", paper.name, at + 1), text.join(" "))
        })
    })
}

#[test]
fn a_name_is_found_by_its_hash_and_a_class_by_its_word() {
    let kept_off = BTreeSet::from([hash("quux"), hash("foo-bar")]);
    assert_eq!(names_in("A Quux, not a quuxes; foo bar", &kept_off, true), ["foo-bar", "quux"]);
    assert_eq!(names_in("some Software™", &kept_off, true), ["software", "™"]);
    assert_eq!(names_in("some software", &kept_off, false), Vec::<String>::new());
}

#[test]
fn no_page_of_the_packs_bears_a_name_that_is_not_ours_to_print() {
    let kept_off = kept_off();
    let mut found = BTreeMap::new();
    for (place, text) in examples().iter().chain(large_examples()).flat_map(pages) {
        let names = names_in(&text, &kept_off, true);
        if !names.is_empty() {
            found.insert(place, names);
        }
    }
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn no_template_item_course_or_message_bears_one() {
    let kept_off = kept_off();
    let pages =
        [("templates", &["j2", "typ"][..]), ("courses", &["yaml", "csv"]), ("src/paper/bank", &["yaml"])];
    let mut found = BTreeMap::new();
    for (folder, ends) in pages {
        for path in files(folder, ends) {
            let text = fs::read_to_string(&path).unwrap();
            // Lines for whoever edits the file print nothing; only a name is looked for there.
            let printed: String =
                text.lines().filter(|line| !line.trim_start().starts_with(['#', '/', '{'])).collect();
            found.insert(
                path,
                [names_in(&text, &kept_off, false), names_in(&printed, &kept_off, true)].concat(),
            );
        }
    }
    for path in files("src", &["rs"]).into_iter().chain([house("README.md"), house("DEVELOPERS.md")]) {
        let text = fs::read_to_string(&path).unwrap();
        let said: Vec<&str> = text.lines().filter(|line| !line.trim_start().starts_with("//")).collect();
        let classes = path.extension().is_some_and(|ending| ending == "rs");
        found.insert(
            path,
            [names_in(&text, &kept_off, false), names_in(&said.join("\n"), &kept_off, classes)].concat(),
        );
    }
    found.retain(|_, names| !names.is_empty());
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn every_mark_has_its_full_reference_and_no_reference_lies_idle() {
    let mut table = csv::Reader::from_path(house("tests/published/sources.csv")).unwrap();
    assert_eq!(table.headers().unwrap(), vec!["id", "kind", "reference", "had"]);
    let mut full = BTreeSet::new();
    for row in table.records().map(Result::unwrap) {
        assert!(KINDS.contains(&&row[1]), "{row:?}");
        assert!(row[2].len() > 20 && !row[3].is_empty(), "{row:?}");
        assert!(full.insert(row[0].to_owned()), "{} stands twice", &row[0]);
    }
    let short: BTreeSet<String> = SOURCES.iter().map(|(mark, _)| (*mark).to_owned()).collect();
    assert_eq!(short, full, "src/course/sources.rs against tests/published/sources.csv");

    let mut everything: String = files("src", &["rs", "yaml"])
        .into_iter()
        .filter(|path| !path.ends_with("course/sources.rs"))
        .chain(files("templates", &["j2", "typ"]))
        .chain(files("courses", &["yaml"]))
        .map(|path| fs::read_to_string(path).unwrap())
        .collect();
    for name in ["drivetrain", "grip", "heat", "recovery", "statistics"] {
        everything.push_str(&fs::read_to_string(house(&format!("tests/published/{name}.csv"))).unwrap());
    }
    let used: BTreeSet<String> =
        named([everything.as_str()]).into_iter().map(|(mark, _)| mark.to_owned()).collect();
    assert_eq!(short.difference(&used).collect::<Vec<_>>(), Vec::<&String>::new(), "named nowhere");
}

/// Words that look like a mark: one letter of the kinds, then digits.
fn marks_like(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| {
        word.len() >= 2
            && word.starts_with(['T', 'B', 'N', 'R', 'E', 'D'])
            && word[1..].bytes().all(|digit| digit.is_ascii_digit())
    })
}

#[test]
fn every_source_a_formula_a_surface_a_tyre_a_strength_or_an_item_names_is_in_the_list() {
    use slopepack::course::{NUMERIC_SIZES, classes, library_ids, library_surface};
    let known: BTreeSet<&str> = SOURCES.iter().map(|(mark, _)| *mark).collect();
    let mut texts: Vec<String> =
        slopepack::engine::taught::all().map(|formula| formula.source.to_owned()).collect();
    texts.extend(library_ids().map(|id| library_surface(id).unwrap().source.full().to_owned()));
    texts.extend(NUMERIC_SIZES.iter().map(|size| size.source.to_owned()));
    texts.extend(slopepack::recovery::facts::USUAL_FACTORS.iter().map(|factor| factor.source.to_owned()));
    texts.push(classes::FROM.to_owned());
    for path in files("src/paper/bank", &["yaml"]).into_iter().chain(files("courses", &["yaml"])) {
        let text = fs::read_to_string(path).unwrap();
        texts
            .extend(text.split("source: ").skip(1).filter_map(|rest| rest.lines().next()).map(str::to_owned));
    }
    let mut named = 0;
    for text in &texts {
        for mark in marks_like(text) {
            assert!(known.contains(mark), "{mark} in {text:?} has no full reference");
            assert!(cited(text).contains(mark));
            named += 1;
        }
    }
    assert!(texts.len() > 100 && named > 40, "{} sources, {named} marks", texts.len());
}

#[test]
fn the_marks_on_pages_are_in_the_list_the_instructor_notes_end_with() {
    for pack in examples() {
        let notes = pack.papers.iter().find(|paper| paper.name == "instructor-notes").unwrap();
        let text: Vec<String> = pages(pack)
            .filter(|(place, _)| place.starts_with("instructor-notes"))
            .map(|(_, text)| text)
            .collect();
        let last = text.last().unwrap();
        assert!(last.contains("Where the figures come from"), "{}: {last}", notes.sheets.len());
        let listed: BTreeSet<&str> = marks_like(last).collect();
        let mut count = 0;
        for (place, page) in pages(pack).filter(|(place, _)| !place.starts_with("instructor-notes")) {
            for (mark, plain) in named([page.as_str()]) {
                // A mark on a page stands after its plain words; a row of a table may be called E1 for itself.
                if page.split_whitespace().collect::<Vec<_>>().join(" ").contains(&cited(mark)) {
                    assert!(listed.contains(mark), "{place}: {mark}, {plain}, is not on the list");
                    count += 1;
                }
            }
        }
        assert!(count > 5, "{count} marks on the pages of {}", pack.course.title.full());
    }
}

#[test]
fn no_page_is_set_in_a_face_the_readme_does_not_name() {
    let readme = fs::read_to_string(house("README.md")).unwrap();
    for face in ["Noto Sans", "Libertinus Serif", "New Computer Modern Math"] {
        assert!(readme.contains(face), "{face}");
    }
    let mut seen = BTreeSet::new();
    for paper in examples().iter().chain(large_examples()).flat_map(|pack| &pack.papers) {
        for font in paper.pdf.objects.values().filter_map(|object| object.as_dict().ok()) {
            let Ok(name) = font.get(b"BaseFont").and_then(lopdf::Object::as_name) else { continue };
            let name = String::from_utf8_lossy(name).into_owned();
            let face = name.split_once('+').map_or(name.as_str(), |(_, face)| face);
            let known = FACES.iter().find(|start| face.starts_with(**start));
            seen.insert(*known.unwrap_or_else(|| panic!("{}: {name}", paper.name)));
        }
    }
    assert_eq!(seen.len(), FACES.len(), "{seen:?}");
}
