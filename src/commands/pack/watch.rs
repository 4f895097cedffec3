//! Printing again whenever something the pack is made from has changed.
//!
//! The files are asked how long they are and when they were written. That sees what an editor does that writes beside
//! and renames, and a folder on another machine, where the system tells of no change.

use std::collections::BTreeMap;
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
    loop {
        let say = Say::new(quiet);
        let before = State::of_course(&args.course);
        match super::run(args, &say) {
            Err(Failure::Usage(why)) => return Err(Failure::Usage(why)),
            Err(failure) => say.failure(&failure),
            Ok(()) => say.note(&format!("waiting for a change of {}; Ctrl-C ends it", args.course.display())),
        }
        before.wait();
        say.clear();
    }
}

/// The course and the files it names; the course alone while it cannot be read.
fn made_from(path: &Path) -> Vec<PathBuf> {
    let folder = path.parent().unwrap_or(Path::new(""));
    let named = course::read(path).map_or_else(
        |_| Vec::new(),
        |loaded| {
            let tables = [loaded.course.roster.file.clone(), loaded.course.runs.file.clone()];
            let named = names(&loaded.course).into_iter().cloned();
            named.chain(tables.into_iter().flatten()).map(|name| folder.join(name)).collect()
        },
    );
    [vec![path.to_owned()], named, own::files(path, &Say::new(true))].concat()
}

/// How files are: length and time of each that is there.
#[derive(Clone, Debug, PartialEq, Eq)]
struct State(BTreeMap<PathBuf, Option<(u64, Option<SystemTime>)>>);

impl State {
    fn of(files: impl IntoIterator<Item = PathBuf>) -> Self {
        let about = |path: &Path| fs::metadata(path).ok().map(|file| (file.len(), file.modified().ok()));
        Self(files.into_iter().map(|path| (path.clone(), about(&path))).collect())
    }

    /// The state of a course and of what it names. To be taken before the course is read for its pack: then what is
    /// written while that run goes on, or just after, is seen. The course itself is asked first, so that one written
    /// while its names are looked up is seen as well.
    fn of_course(path: &Path) -> Self {
        let Self(course) = Self::of([path.to_owned()]);
        let Self(mut all) = Self::of(made_from(path));
        all.extend(course);
        Self(all)
    }

    /// The same files as they are now.
    fn now(&self) -> Self {
        Self::of(self.0.keys().cloned())
    }

    /// Waits until the files are otherwise, and then until nobody is writing them any more.
    fn wait(&self) {
        let mut last = self.now();
        while last == *self {
            thread::sleep(EVERY);
            last = self.now();
        }
        loop {
            thread::sleep(EVERY);
            let now = self.now();
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
        let none = State::of(files.clone());
        fs::write(&files[0], "one").expect("written");
        let one = none.now();
        assert_ne!(one, none);
        fs::write(&files[0], "longer").expect("written");
        assert_ne!(one.now(), one);
        fs::write(&files[1], "two").expect("written");
        let both = one.now();
        fs::remove_file(&files[1]).expect("removed");
        assert_ne!(both.now(), both);
    }

    /// The state is taken before the first run reads: what is written meanwhile, in the course or in its roster, is
    /// another one, though nobody knew of the roster before.
    #[test]
    fn what_is_written_during_the_first_run_is_seen() {
        let desk = tempfile::tempdir().expect("a folder");
        let path = desk.path().join("day.yaml");
        let roster = desk.path().join("six-slope-saturday.csv");
        let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses/six-slope-saturday");
        fs::copy(example.with_extension("yaml"), &path).expect("copied");
        fs::copy(example.with_extension("csv"), &roster).expect("copied");
        let before = State::of_course(&path);
        assert_eq!(before.now(), before);
        fs::write(&roster, "Name;Vehicle").expect("written");
        assert_ne!(before.now(), before, "the roster");
        let before = State::of_course(&path);
        fs::write(&path, "course:").expect("written");
        assert_ne!(before.now(), before, "the course");
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
