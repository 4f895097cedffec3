//! The files a course names: pictures, and items of question papers. The roster is read with the course.

use std::path::Path;

use super::bank::bank;
use super::say::Say;
use crate::beside;
use crate::course::{Course, Loaded};
use crate::print::Picture;
use crate::problem::{Failure, Problem, render_problems};

/// Largest file that is asked whether it changed, in bytes.
const LARGEST: u64 = 64 << 20;

/// Reads every file that a course names; every mistake goes to standard error, with its place.
///
/// # Errors
/// A file is missing, leads out of the course's folder, or cannot be used.
pub(super) fn read_all(loaded: &Loaded, path: &Path, say: &Say) -> Result<(), Failure> {
    let pictures = pictures(loaded, path, say);
    let items = bank(&loaded.course, path, say).map(drop);
    pictures.and(items)
}

/// Looks at every picture that a course names.
///
/// # Errors
/// A picture cannot be printed; all that cannot have been shown where they are named.
pub(super) fn pictures(loaded: &Loaded, path: &Path, say: &Say) -> Result<(), Failure> {
    let folder = path.parent().unwrap_or(Path::new(""));
    let problems: Vec<Problem> = each_once(pictures_of(&loaded.course))
        .into_iter()
        .filter_map(|name| Picture::check(folder, name).err().map(|why| (name, why)))
        .map(|(name, why)| {
            let problem = Problem::new(why);
            match place_of(&loaded.source, name) {
                Some(at) => problem.at(at..at + name.len()),
                None => problem,
            }
        })
        .collect();
    if problems.is_empty() {
        return Ok(());
    }
    say.diagnostics(&render_problems(&loaded.name, &loaded.source, &problems, say.colour));
    Err(Failure::Course(Vec::new()))
}

/// Every file that a course names, with its bytes: what a run depends on besides the course and its roster. A file
/// that cannot be read has none; the run says why.
pub(super) fn contents(loaded: &Loaded, path: &Path) -> Vec<(String, Option<Vec<u8>>)> {
    let folder = path.parent().unwrap_or(Path::new(""));
    let content = |name: &String| beside::read(folder, name, LARGEST).ok();
    names(&loaded.course).into_iter().map(|name| (name.clone(), content(name))).collect()
}

/// The names of the files that a course names, the roster's aside.
pub(super) fn names(course: &Course) -> Vec<&String> {
    each_once(pictures_of(course).chain(&course.papers.bank))
}

/// Names in order, each once.
fn each_once<'a>(names: impl Iterator<Item = &'a String>) -> Vec<&'a String> {
    let mut names: Vec<&String> = names.collect();
    names.sort();
    names.dedup();
    names
}

/// The names of the pictures.
fn pictures_of(course: &Course) -> impl Iterator<Item = &String> {
    let photographs = course.slopes.iter().flat_map(|slope| &slope.photographs);
    course.logo.iter().chain(photographs.map(|photograph| &photograph.file))
}

/// Where a file is named: its name as a whole value, outside remarks.
fn place_of(source: &str, name: &str) -> Option<usize> {
    source.match_indices(name).map(|(at, _)| at).find(|at| {
        let line = &source[source[..*at].rfind('\n').map_or(0, |end| end + 1)..*at];
        let remark = line.trim_start().starts_with('#') || line.contains(" #");
        let opens = line.is_empty() || line.ends_with([' ', '\t', '"', '\'', '[', ',']);
        let after = source[at + name.len()..].chars().next();
        let closes = after.is_none_or(|c| c.is_whitespace() || matches!(c, '"' | '\'' | ']' | ','));
        !remark && opens && closes
    })
}

#[cfg(test)]
mod tests {
    use super::place_of;

    #[test]
    fn a_name_is_found_where_it_is_a_value() {
        let source = "# a.jpg is the brow\nlogo: ba.jpg\nphotographs: [a.jpg.old, \"a.jpg\"]\n";
        assert_eq!(place_of(source, "a.jpg"), source.find("\"a.jpg").map(|at| at + 1));
        assert_eq!(place_of(source, "ba.jpg"), source.find("ba.jpg"));
        assert_eq!(place_of(source, "c.jpg"), None);
    }
}
