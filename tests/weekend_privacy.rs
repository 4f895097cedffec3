//! Forty secret words in forty private cells of a roster: each on the sheet meant for it, and nowhere else that a run
//! leaves anything: pages, their metadata, records, calendar, cache, figures for machines, messages.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use lopdf::{Document, Object};

use crate::program::{Bench, Ran, squeezed, text_of};

/// The private columns of the example's roster, and two that the program passes over: a telephone, what was paid.
const COLUMNS: [&str; 5] = ["Needs", "Call in an emergency", "First aiders should know", "Phone", "Paid"];
const ROWS: usize = 8;

/// The word in a private cell of a row; no part of it is any other word.
fn secret(row: usize, column: usize) -> String {
    format!("zq{row}{}qz", ["need", "call", "ill", "tel", "fee"][column])
}

fn secrets(columns: std::ops::Range<usize>) -> Vec<String> {
    columns.flat_map(|column| (0..ROWS).map(move |row| secret(row, column))).collect()
}

/// A roster of eight, each with a secret word in five cells; the masses as given.
fn roster(mass: impl Fn(usize) -> &'static str) -> String {
    let mut rows = format!("Who;Comes with;Class;Experience;Mass;{}\n", COLUMNS.join(";"));
    for row in 0..ROWS {
        let words: Vec<String> = (0..COLUMNS.len()).map(|column| secret(row, column)).collect();
        let experience = ["novice", "some"][row % 2];
        let (mass, words) = (mass(row), words.join(";"));
        writeln!(rows, "D. {row}X;diesel wagon {row};wagon;{experience};{mass};{words}").expect("text");
    }
    rows
}

fn bench(rows: &str) -> Bench {
    let bench = Bench::with_example("six-slope-saturday.yaml");
    fs::write(bench.path("six-slope-saturday.csv"), rows).expect("it is written");
    bench
}

/// Runs the program with a cache of the bench's own; what it says holds none of the secret words.
fn run(bench: &Bench, arguments: &[&str]) -> Ran {
    let mut command = bench.command();
    command.env_remove("SLOPEPACK_NO_CACHE").env("XDG_CACHE_HOME", bench.path("cache"));
    let output = command.args(arguments).output().expect("it runs");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
    let ran = Ran {
        code: output.status.code().expect("a code"),
        out: text(output.stdout),
        err: text(output.stderr),
    };
    for word in secrets(0..COLUMNS.len()) {
        assert!(!ran.out.contains(&word), "{arguments:?} says {word}: {}", ran.out);
        assert!(!ran.err.contains(&word), "{arguments:?} says {word}: {}", ran.err);
    }
    ran
}

/// Every text in an object of a PDF: strings of the document's own data, spoken texts, and what streams hold.
fn strings(object: &Object, found: &mut String) {
    match object {
        Object::String(bytes, _) => {
            *found += &lopdf::decode_text_string(object).unwrap_or_default();
            *found += &String::from_utf8_lossy(bytes);
        }
        Object::Array(all) => all.iter().for_each(|one| strings(one, found)),
        Object::Dictionary(all) => all.iter().for_each(|(_, one)| strings(one, found)),
        Object::Stream(stream) => {
            stream.dict.iter().for_each(|(_, one)| strings(one, found));
            let held = stream.decompressed_content().unwrap_or_else(|_| stream.content.clone());
            *found += &String::from_utf8_lossy(&held);
        }
        _ => {}
    }
}

/// All that can be read in a file: of a PDF its pages and everything behind them.
fn readable(bytes: &[u8]) -> String {
    // What is kept for later runs has one line before the document.
    let begins = bytes.windows(5).take(400).position(|five| five == b"%PDF-");
    let Some(begins) = begins else { return squeezed(&String::from_utf8_lossy(bytes)) };
    let pdf = &bytes[begins..];
    let document = Document::load_mem(pdf).expect("a PDF");
    let mut found = text_of(pdf);
    document.objects.values().for_each(|object| strings(object, &mut found));
    document.trailer.iter().for_each(|(_, object)| strings(object, &mut found));
    squeezed(&found)
}

/// Every file below a folder, with what can be read in it.
fn all_files(folder: &Path, found: &mut BTreeMap<PathBuf, String>) {
    for entry in fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path()) {
        if entry.is_dir() {
            all_files(&entry, found);
        } else {
            let text = readable(&fs::read(&entry).expect("it can be read"));
            found.insert(entry, text);
        }
    }
}

#[test]
fn forty_secret_words_stand_on_the_sheet_meant_for_them_and_nowhere_else() {
    let words = secrets(0..COLUMNS.len());
    assert_eq!(words.len(), 40);
    let bench = bench(&roster(|_| "2.2 t"));
    for arguments in [
        &["check", "day.yaml"][..],
        &["check", "day.yaml", "--advise"],
        &["reckon", "day.yaml", "--json"],
        &["reckon", "day.yaml", "--csv"],
        &["pack", "day.yaml", "--into", "out", "--previews"],
        &["pack", "day.yaml", "--into", "out", "--without", "D. 1X", "--printed", "09:10"],
        &[
            "pack",
            "day.yaml",
            "--into",
            "out",
            "-w",
            "W. Late, diesel wagon, novice",
            "--from",
            "11:00",
            "--printed",
            "10:50",
        ],
        &["papers", "day.yaml", "--into", "exam", "--forms", "1"],
    ] {
        let ran = run(&bench, arguments);
        assert_eq!(ran.code, 0, "{arguments:?}: {}", ran.err);
    }
    let mut files = BTreeMap::new();
    for folder in ["out", "exam", "cache"] {
        all_files(&bench.path(folder), &mut files);
    }
    let named = |name: &str| files.keys().filter(|path| path.ends_with(name)).count();
    assert_eq!((named("changes.json"), named("manifest.json"), named("day.ics")), (1, 3, 1), "{files:#?}");
    let kept = files.keys().filter(|path| path.starts_with(bench.path("cache"))).count();
    assert!(kept > 20 && files.len() > 80, "{kept} of {} files are kept", files.len());
    let meant = |path: &Path| path.ends_with("confidential/leader-sheet.pdf");
    let mut sheets = 0;
    for (path, text) in &files {
        let stand: Vec<&String> = words.iter().filter(|word| text.contains(word.as_str())).collect();
        if !meant(path) {
            assert!(stand.is_empty(), "{stand:?} in {}", path.display());
            continue;
        }
        sheets += 1;
        // Nobody's telephone or money is anybody's business on the hill; who went home stands on no new sheet.
        let gone = |word: &&String| path.starts_with(bench.path("out/change")) && word.starts_with("zq1");
        let expected: Vec<String> = secrets(0..3).into_iter().filter(|word| !gone(&word)).collect();
        let found: Vec<&String> = expected.iter().filter(|word| !stand.contains(word)).collect();
        assert!(found.is_empty(), "{found:?} not on {}", path.display());
        assert!(stand.len() == expected.len(), "{stand:?} on {}", path.display());
    }
    assert!(sheets == 2, "the pack's and the change's: {sheets}");
    let pictured = files.keys().any(|path| path.to_string_lossy().contains("previews/leader"));
    assert!(!pictured, "nobody makes a picture of the confidential sheet");
}

#[test]
fn no_broken_cell_of_a_row_shows_what_is_private_in_it() {
    for (broken, said) in [("2200", "unit"), ("2.2 tons of fun", "2.2 tons of fun"), ("heavy", "heavy")] {
        let bench = bench(&roster(|_| broken));
        for command in ["check", "pack", "reckon"] {
            let ran = run(&bench, &[command, "day.yaml"]);
            assert_eq!(ran.code, 1, "{broken}: {}", ran.err);
            assert!(ran.err.contains(said) && ran.err.contains("D. 7X"), "{command} {broken}: {}", ran.err);
        }
    }
    // A cell too many, and a name that is there twice, in every row.
    let long = roster(|_| "2.2 t").replace("fee", "fee;more;again");
    let twice = roster(|_| "2.2 t").replace("D. 1X", "D. 2X");
    for rows in [long, twice] {
        let ran = run(&bench(&rows), &["check", "day.yaml"]);
        assert_eq!(ran.code, 1, "{}", ran.err);
    }
}
