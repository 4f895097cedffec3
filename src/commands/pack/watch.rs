//! Printing again whenever something the pack is made from has changed.
//!
//! The files are asked how long they are and when they were written. That sees what an editor does that writes beside
//! and renames, and a folder on another machine, where the system tells of no change.

use std::fs;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, SystemTime};

use crate::cli::PackArgs;
use crate::commands::named::names;
use crate::commands::own;
use crate::commands::say::Say;
use crate::course;
use crate::problem::Failure;

/// How often the files are asked.
const EVERY: Duration = Duration::from_millis(200);

/// Prints, waits for a change, and prints again, until it is told to end. What is wrong is said, and the papers
/// printed before stay.
///
/// # Errors
/// The arguments ask for something that no course mends.
pub(in crate::commands) fn watch(args: &PackArgs, quiet: bool) -> Result<(), Failure> {
    let mut files = vec![args.course.clone()];
    loop {
        let say = Say::new(quiet);
        // What is written while this run reads is seen after it.
        let before = State::of(&files);
        match super::run(args, &say) {
            Err(Failure::Usage(why)) => return Err(Failure::Usage(why)),
            Err(failure) => say.failure(&failure),
            Ok(()) => say.note(&format!("waiting for a change of {}; Ctrl-C ends it", args.course.display())),
        }
        let known = made_from(&args.course);
        let before = if known == files { before } else { State::of(&known) };
        files = known;
        before.wait(&files);
        say.clear();
    }
}

/// The course and the files it names; the course alone while it cannot be read.
fn made_from(path: &Path) -> Vec<PathBuf> {
    let folder = path.parent().unwrap_or(Path::new(""));
    let named = course::read(path).map_or_else(
        |_| Vec::new(),
        |loaded| {
            let roster = loaded.course.roster.file.clone();
            let named = names(&loaded.course).into_iter().cloned();
            named.chain(roster).map(|name| folder.join(name)).collect()
        },
    );
    [vec![path.to_owned()], named, own::files(path, &Say::new(true))].concat()
}

/// How files are: length and time of each that is there.
#[derive(Clone, Debug, PartialEq, Eq)]
struct State(Vec<Option<(u64, Option<SystemTime>)>>);

impl State {
    fn of(files: &[PathBuf]) -> Self {
        let state =
            |path: &PathBuf| fs::metadata(path).ok().map(|about| (about.len(), about.modified().ok()));
        Self(files.iter().map(state).collect())
    }

    /// Waits until the files are otherwise, and then until nobody is writing them any more.
    fn wait(&self, files: &[PathBuf]) {
        let mut last = Self::of(files);
        while last == *self {
            thread::sleep(EVERY);
            last = Self::of(files);
        }
        loop {
            thread::sleep(EVERY);
            let now = Self::of(files);
            if now == last {
                return;
            }
            last = now;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_comes_goes_or_changes_is_another_state() {
        let desk = tempfile::tempdir().expect("a folder");
        let files = [desk.path().join("day.yaml"), desk.path().join("people.csv")];
        let none = State::of(&files);
        fs::write(&files[0], "one").expect("written");
        let one = State::of(&files);
        assert_ne!(one, none);
        fs::write(&files[0], "longer").expect("written");
        assert_ne!(State::of(&files), one);
        fs::write(&files[1], "two").expect("written");
        let both = State::of(&files);
        fs::remove_file(&files[1]).expect("removed");
        assert_ne!(State::of(&files), both);
    }

    /// Every file that the example's course names is watched: the course itself and its roster; and the list of the
    /// club's pages, which may yet come.
    #[test]
    fn a_course_names_what_is_watched() {
        let course = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses/six-slope-saturday.yaml");
        let files = made_from(&course);
        let list = course.with_file_name("club").join("pages.yaml");
        assert_eq!(files, [course.clone(), course.with_extension("csv"), list.clone()]);
        let nowhere = course.with_extension("nowhere");
        assert_eq!(made_from(&nowhere), [nowhere.clone(), list]);
    }
}
