//! Putting a finished set of papers into its folder, file by file.
//!
//! The set lies in the desk's `ready` folder with its manifest. From then on it counts: a run that
//! is ended on the way is finished by the next. Files that no manifest lists are never touched, and
//! a file that somebody changed after it was printed is kept under a name of its own.

use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use crate::print::folder::clearing::{exists, private_folder};
use crate::print::folder::manifest::{Entry, Kind, MANIFEST, Manifest, digest_of, is_private};

/// Stands in the folder while a set is put in place, and is seen only if that was cut short.
pub(super) const SIGN: &str = "UNFINISHED.txt";
const SIGN_TEXT: &str = "These papers were being replaced when the program was ended.\n\
    Some may be of the earlier issue. Hand nothing out.\n\
    Run the same command again: it finishes the work.\n";
/// Folder of what changed on the day, inside a pack's.
const CHANGE: &str = "change";

/// Puts up the sign, written on the desk so that it stands whole. Something else of that name stays
/// as it is.
pub(super) fn put_up_sign(desk: &Path, target: &Path) {
    let (written, sign) = (desk.join(SIGN), target.join(SIGN));
    if !exists(&sign) && fs::write(&written, SIGN_TEXT).is_ok() {
        let _ = fs::rename(written, sign);
    }
}

/// Takes the sign down.
pub(super) fn take_down_sign(target: &Path) {
    let sign = target.join(SIGN);
    if fs::symlink_metadata(&sign).is_ok_and(|about| about.is_file())
        && fs::read(&sign).is_ok_and(|text| text == SIGN_TEXT.as_bytes())
    {
        let _ = fs::remove_file(sign);
    }
}

/// Puts the set in `ready` into the folder `target`. May be called again after it was cut short
/// anywhere. Returns what a person should know.
pub(super) fn put_in_place(ready: &Path, target: &Path) -> io::Result<Vec<String>> {
    let mut placing = Placing { target, notes: Vec::new() };
    // Without its manifest the set is in place already.
    if let Some(next) = Manifest::read(ready).map_err(io::Error::other)? {
        let earlier = Manifest::read(target).ok().flatten();
        let earlier: &[Entry] = earlier.as_ref().map_or(&[], |earlier| &earlier.files);
        for entry in earlier.iter().filter(|entry| !next.lists(&entry.path)) {
            placing.take_away(entry)?;
        }
        if next.kind() == Kind::Pack {
            placing.retire_change(&next)?;
        }
        for entry in &next.files {
            placing.bring(ready, entry, earlier.iter().find(|old| old.path == entry.path))?;
        }
        fs::rename(ready.join(MANIFEST), target.join(MANIFEST))?;
    }
    take_down_sign(target);
    fs::remove_dir_all(ready)?;
    Ok(placing.notes)
}

struct Placing<'a> {
    target: &'a Path,
    notes: Vec<String>,
}

impl Placing<'_> {
    /// Takes away a file of the earlier set that the new one does not have.
    fn take_away(&mut self, entry: &Entry) -> io::Result<()> {
        let path = self.target.join(&entry.path);
        match fs::symlink_metadata(&path) {
            Ok(about) if about.is_dir() || leads_away(self.target, &entry.path) => return Ok(()),
            Ok(_) if is_as_printed(&path, entry)? => fs::remove_file(&path)?,
            Ok(_) => self.keep(&entry.path, "was changed after it was printed")?,
            Err(_) => {}
        }
        remove_empty_parents(self.target, &entry.path);
        Ok(())
    }

    /// Brings one file of the new set, `old` being what the earlier manifest says of its name.
    fn bring(&mut self, ready: &Path, entry: &Entry, old: Option<&Entry>) -> io::Result<()> {
        let (from, to) = (ready.join(&entry.path), self.target.join(&entry.path));
        if !exists(&from) {
            // There already.
            return Ok(());
        }
        make_parents(self.target, &entry.path)?;
        if exists(&to) && !is_as_printed(&to, entry)? {
            let touched = match old {
                Some(old) => !is_as_printed(&to, old)?,
                None => true,
            };
            if touched && entry.form {
                return fs::remove_file(from);
            }
            if touched {
                self.keep(&entry.path, "was changed after it was printed")?;
            } else if entry.record {
                self.keep(&entry.path, "tells of the papers printed before")?;
            }
        }
        move_file(&from, &to)
    }

    /// A new pack of another course or roster ends the changes made to the earlier one.
    fn retire_change(&mut self, next: &Manifest) -> io::Result<()> {
        let folder = self.target.join(CHANGE);
        if leads_away(self.target, &format!("{CHANGE}/{MANIFEST}")) {
            return Ok(());
        }
        let Some(change) = Manifest::read(&folder).ok().flatten() else { return Ok(()) };
        if change.about.course_sha256 == next.about.course_sha256 {
            self.notes.push(format!(
                "the folder `{CHANGE}` still changes this rota: the course and the roster are the same"
            ));
            return Ok(());
        }
        for entry in &change.files {
            self.take_away(&Entry { path: format!("{CHANGE}/{}", entry.path), ..entry.clone() })?;
        }
        fs::remove_file(folder.join(MANIFEST))?;
        remove_empty_parents(self.target, &format!("{CHANGE}/{MANIFEST}"));
        self.notes.push(format!(
            "the papers in `{CHANGE}` changed an earlier rota and are taken away; take their prints down"
        ));
        Ok(())
    }

    /// Gives a file that must not be lost a name of its own.
    fn keep(&mut self, path: &str, why: &str) -> io::Result<()> {
        let (folder, name) = path.rsplit_once('/').map_or(("", path), |(folder, name)| (folder, name));
        let (stem, ending) = name
            .rsplit_once('.')
            .map_or((name, String::new()), |(stem, ending)| (stem, format!(".{ending}")));
        let folder = self.target.join(folder);
        let mut names = (1..=u32::MAX).map(|number| format!("{stem}-kept-{number}{ending}"));
        let kept = names.find(|name| !exists(&folder.join(name))).expect("some number is free");
        fs::rename(self.target.join(path), folder.join(&kept))?;
        self.notes.push(format!("{path} {why}; it is kept as {kept}"));
        Ok(())
    }
}

/// Whether a file is what its entry says. A link or a folder is not.
pub(super) fn is_as_printed(path: &Path, entry: &Entry) -> io::Result<bool> {
    match fs::symlink_metadata(path) {
        Ok(about) if about.is_file() && about.len() == entry.bytes => Ok(digest_of(path)? == entry.sha256),
        Ok(_) => Ok(false),
        Err(why) if matches!(why.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => Ok(false),
        Err(why) => Err(why),
    }
}

/// Whether a folder above a path is a link or no folder, so that the path lies somewhere else.
pub(super) fn leads_away(target: &Path, path: &str) -> bool {
    parents_of(target, path)
        .iter()
        .any(|folder| fs::symlink_metadata(folder).is_ok_and(|about| !about.is_dir()))
}

/// The folders above a path, outermost first, without the target.
pub(super) fn parents_of(target: &Path, path: &str) -> Vec<PathBuf> {
    let ends = path.match_indices('/').map(|(at, _)| at);
    ends.map(|at| target.join(&path[..at])).collect()
}

/// Makes the folders above a path; those of confidential papers are closed to others.
pub(super) fn make_parents(target: &Path, path: &str) -> io::Result<()> {
    for folder in parents_of(target, path) {
        let made = if is_private(path) { private_folder().create(&folder) } else { fs::create_dir(&folder) };
        match made {
            Err(why) if why.kind() != ErrorKind::AlreadyExists => return Err(why),
            _ => {}
        }
        if is_private(path) {
            close(&folder, 0o700)?;
        }
    }
    Ok(())
}

/// Gives a file or folder to its owner alone, as far as the system knows owners.
#[cfg(unix)]
pub(super) fn close(path: &Path, mode: u32) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    fs::set_permissions(path, fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
pub(super) fn close(_: &Path, _: u32) -> io::Result<()> {
    Ok(())
}

/// Takes away the folders above a path that hold nothing any more.
fn remove_empty_parents(target: &Path, path: &str) {
    for folder in parents_of(target, path).iter().rev() {
        if fs::remove_dir(folder).is_err() {
            break;
        }
    }
}

/// Moves a file over another in one step; onto another disk by way of a hidden copy beside it.
fn move_file(from: &Path, to: &Path) -> io::Result<()> {
    match fs::rename(from, to) {
        Err(why) if why.kind() == ErrorKind::CrossesDevices => {
            let folder = to.parent().expect("a file is in a folder");
            let copy = tempfile::Builder::new().prefix(".slopepack-").tempfile_in(folder)?;
            fs::copy(from, copy.path())?;
            copy.as_file().sync_data()?;
            copy.persist(to).map_err(|failed| failed.error)?;
            fs::remove_file(from)
        }
        done => done,
    }
}
