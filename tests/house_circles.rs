//! No circle among the files of a room, measured on what each imports; its tests are no part of it.
//!
//! A name that a room's file hands on (`pub use inner::Name`) counts as an import of the file it stands in.
//! A file and those in its own folder are one thing told in parts: an inner file may use its outer one.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use crate::house::{in_the_house, sources};

/// Circles that are still to be undone. Nothing may be added here.
const KNOWN: &[&[&str]] = &[];

/// Most files of one folder below `src`.
const MOST_FILES: usize = 16;

/// A file of the program: what it hands on, and the paths it names.
struct File {
    handed_on: BTreeMap<String, Vec<String>>,
    named: BTreeSet<Vec<String>>,
}

type House = BTreeMap<Vec<String>, File>;

fn parts(path: &str) -> Vec<String> {
    path.split("::").map(|part| part.trim().trim_start_matches("r#").to_owned()).collect()
}

/// A `use` taken apart: each path with the name it is known by here.
fn taken_apart(tree: &str) -> Vec<(Vec<String>, String)> {
    let Some((before, inner)) = tree.split_once('{') else {
        let (path, name) = tree.split_once(" as ").unwrap_or((tree, ""));
        let path = parts(path);
        let last = path.last().cloned().unwrap_or_default();
        let name = if name.trim().is_empty() { last } else { name.trim().to_owned() };
        return vec![(path, name)];
    };
    let inner = inner.trim_end().strip_suffix('}').unwrap_or(inner);
    let prefix = parts(before.trim().trim_end_matches("::"));
    let (mut depth, mut from, mut found) = (0_i32, 0, Vec::new());
    let ends = inner.char_indices().chain([(inner.len(), ',')]);
    for (at, letter) in ends {
        depth += i32::from(letter == '{') - i32::from(letter == '}');
        if letter == ',' && depth == 0 {
            found.push(&inner[from..at]);
            from = (at + 1).min(inner.len());
        }
    }
    let whole = |(path, name): (Vec<String>, String)| {
        let path = prefix.iter().cloned().chain(path.into_iter().filter(|part| part != "self"));
        (path.collect(), name)
    };
    found
        .into_iter()
        .filter(|one| !one.trim().is_empty())
        .flat_map(|one| taken_apart(one.trim()))
        .map(whole)
        .collect()
}

/// A path as it stands in a module, told from the top of the program.
fn from_the_top(path: &[String], here: &[String], inner: &BTreeSet<String>) -> Option<Vec<String>> {
    let (first, rest) = path.split_first()?;
    let join = |start: &[String]| Some(start.iter().chain(rest).cloned().collect());
    match first.as_str() {
        "crate" => join(&[]),
        "self" => join(here),
        "super" => {
            let outer: Vec<String> = here[..here.len() - 1].iter().chain(rest).cloned().collect();
            if rest.first().is_some_and(|part| part == "super") {
                return from_the_top(rest, &here[..here.len() - 1], inner);
            }
            Some(outer)
        }
        name if inner.contains(name) => Some(here.iter().chain(path).cloned().collect()),
        _ => None,
    }
}

fn house() -> House {
    let top = in_the_house("src");
    let mut texts = BTreeMap::new();
    for path in sources(&top) {
        let place = path.strip_prefix(&top).unwrap().with_extension("");
        let module: Vec<String> = place.iter().map(|part| part.to_str().unwrap().to_owned()).collect();
        let text = fs::read_to_string(&path).unwrap();
        let text = text.split("#[cfg(test)]\nmod tests").next().unwrap().to_owned();
        let lines = text.lines().filter(|line| !line.trim_start().starts_with("//"));
        let plain = lines.collect::<Vec<_>>().join(
            "
",
        );
        texts.insert(module, plain);
    }
    let modules: BTreeSet<Vec<String>> = texts.keys().cloned().collect();
    texts.into_iter().map(|(module, text)| (module.clone(), file(&module, &text, &modules))).collect()
}

fn file(here: &[String], text: &str, modules: &BTreeSet<Vec<String>>) -> File {
    let inner: BTreeSet<String> = modules
        .iter()
        .filter(|module| module.len() == here.len() + 1 && module.starts_with(here))
        .filter_map(|module| module.last().cloned())
        .collect();
    let mut file = File { handed_on: BTreeMap::new(), named: BTreeSet::new() };
    for statement in text.split(';') {
        let Some(at) =
            statement.rfind("use ").filter(|at| statement[..*at].ends_with(['\n', ' ']) || *at == 0)
        else {
            continue;
        };
        let public = statement[..at].trim_end().ends_with("pub") || statement[..at].trim_end().ends_with(')');
        for (path, name) in taken_apart(&statement[at + 4..].replace('\n', " ")) {
            let Some(path) = from_the_top(&path, here, &inner) else { continue };
            if public {
                file.handed_on.insert(name, path);
            } else {
                file.named.insert(path);
            }
        }
    }
    for start in ["crate::", "super::"] {
        for (at, _) in text.match_indices(start) {
            let end = text[at..].find(|c: char| !c.is_alphanumeric() && !"_:".contains(c)).unwrap_or(0);
            let path = parts(text[at..at + end].trim_end_matches(':'));
            file.named.extend(from_the_top(&path, here, &inner));
        }
    }
    file
}

/// The file in which what a path names stands, re-exports followed.
fn stands_in(path: &[String], house: &House) -> Option<Vec<String>> {
    let mut path = path.to_vec();
    for _ in 0..8 {
        let module =
            (1..=path.len()).rev().map(|to| path[..to].to_vec()).find(|one| house.contains_key(one))?;
        let Some(name) = path.get(module.len()) else { return Some(module) };
        let Some(next) = house[&module].handed_on.get(name) else { return Some(module) };
        path = next.iter().chain(&path[module.len() + 1..]).cloned().collect();
    }
    None
}

/// What each file imports, its own room's files alone and none of its outer ones.
fn imports(house: &House) -> BTreeMap<&Vec<String>, BTreeSet<Vec<String>>> {
    house
        .iter()
        .map(|(here, file)| {
            let found = file.named.iter().filter_map(|path| stands_in(path, house));
            let near = found.filter(|there| there[0] == here[0] && there != here && !here.starts_with(there));
            (here, near.collect())
        })
        .collect()
}

/// Every file that can be reached from one.
fn reached(
    from: &[String],
    imports: &BTreeMap<&Vec<String>, BTreeSet<Vec<String>>>,
) -> BTreeSet<Vec<String>> {
    let (mut seen, mut ahead) = (BTreeSet::new(), vec![from.to_owned()]);
    while let Some(one) = ahead.pop() {
        for next in &imports[&one] {
            if seen.insert(next.clone()) {
                ahead.push(next.clone());
            }
        }
    }
    seen
}

#[test]
fn no_room_runs_in_a_circle() {
    let house = house();
    let imports = imports(&house);
    let reach: BTreeMap<&Vec<String>, BTreeSet<Vec<String>>> =
        imports.keys().map(|one| (*one, reached(one, &imports))).collect();
    let mut circles: BTreeSet<Vec<String>> = BTreeSet::new();
    for (one, seen) in &reach {
        if seen.contains(*one) {
            let circle = seen.iter().filter(|other| reach[other].contains(*one));
            circles.insert(circle.map(|file| file.join("/")).collect());
        }
    }
    let known: BTreeSet<Vec<String>> =
        KNOWN.iter().map(|circle| circle.iter().map(|file| (*file).to_owned()).collect()).collect();
    let new: Vec<_> = circles
        .iter()
        .filter(|circle| !known.iter().any(|old| circle.iter().all(|file| old.contains(file))))
        .collect();
    assert!(new.is_empty(), "these files import one another: {new:#?}");
}

#[test]
fn imports_are_read_as_the_compiler_reads_them() {
    let house = house();
    let imports = imports(&house);
    assert!(imports.len() > 200);
    let of = |file: &str| &imports[&file.split('/').map(str::to_owned).collect::<Vec<_>>()];
    let has = |file: &str, other: &str| of(file).iter().any(|found| found.join("/") == other);
    assert!(has("pack/index", "pack/book"), "an import by its path");
    assert!(has("engine/reckon", "engine/chassis/drive"), "an import among braces");
    assert!(has("course/read/slope", "course/slope"), "a name that the room hands on");
}

#[test]
fn no_folder_holds_more_than_a_glance() {
    let mut folders: BTreeMap<_, usize> = BTreeMap::new();
    for path in sources(&in_the_house("src")) {
        *folders.entry(path.parent().unwrap().to_owned()).or_default() += 1;
    }
    let top = in_the_house("src");
    for (folder, files) in folders.into_iter().filter(|(folder, _)| *folder != top) {
        assert!(files <= MOST_FILES, "{} holds {files} files", folder.display());
    }
}
