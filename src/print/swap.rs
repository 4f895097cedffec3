//! Putting a finished folder in the place of another, and clearing up after a run that was ended.
//!
//! Four hidden names stand beside the pack's folder while a run works:
//! - `new`: the pack being written; only files of the pack, so it may be deleted;
//! - `swap`: the finished pack, and files of other people shared with the present folder; after
//!   the exchange it is the earlier folder. Never deleted as a whole;
//! - `old`: the earlier folder, where two folders cannot be exchanged in one step;
//! - `work-…`: the typesetter's folder; may be deleted.

use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::folder::{Content, as_listed, is_same};
use super::manifest::{MANIFEST, Manifest};
use super::place::Place;

/// Brings the folder and its surroundings into order after a run that was ended at any moment.
/// Returns folders that were put aside because they hold other people's files.
pub(super) fn recover(place: &Place) -> io::Result<Vec<PathBuf>> {
    let (old, swap, new) = (place.beside("old"), place.beside("swap"), place.beside("new"));
    let mut kept = Vec::new();
    if exists(&old) && !exists(&place.target) {
        fs::rename(&old, &place.target)?;
    }
    for earlier in [old, swap] {
        if exists(&earlier) {
            kept.extend(retire(&earlier, place)?);
        }
    }
    if exists(&new) {
        fs::remove_dir_all(&new)?;
    }
    let work = place.hidden("work-");
    for entry in fs::read_dir(&place.parent)? {
        let entry = entry?;
        if entry.file_name().as_encoded_bytes().starts_with(work.as_encoded_bytes()) {
            fs::remove_dir_all(entry.path())?;
        }
    }
    Ok(kept)
}

/// Puts the folder `swap` in place of the target, and returns where the earlier folder is now.
pub(super) fn exchange(place: &Place, swap: &Path) -> io::Result<PathBuf> {
    if in_one_step(swap, &place.target)? {
        return Ok(swap.to_owned());
    }
    let old = place.beside("old");
    fs::rename(&place.target, &old)?;
    if let Err(why) = fs::rename(swap, &place.target) {
        fs::rename(&old, &place.target)?;
        return Err(why);
    }
    Ok(old)
}

/// Exchanges two folders in one step. False: this system or disk cannot.
#[cfg(target_os = "linux")]
fn in_one_step(one: &Path, other: &Path) -> io::Result<bool> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    use rustix::io::Errno;
    match renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE) {
        Ok(()) => Ok(true),
        Err(Errno::INVAL | Errno::NOSYS | Errno::OPNOTSUPP) => Ok(false),
        Err(why) => Err(why.into()),
    }
}

#[cfg(not(target_os = "linux"))]
fn in_one_step(_: &Path, _: &Path) -> io::Result<bool> {
    Ok(false)
}

/// Clears away an earlier folder. What cannot be cleared, because something else has its name or
/// the system forbids it, is put aside under a visible name, which is returned.
pub(super) fn retire(earlier: &Path, place: &Place) -> io::Result<Option<PathBuf>> {
    let cleared = clear(earlier, place);
    if !exists(earlier) {
        return Ok(None);
    }
    // The reason matters less than that nothing is lost and the next run is not held up.
    drop(cleared);
    let aside = place.keep();
    fs::rename(earlier, &aside)?;
    Ok(Some(aside))
}

/// Deletes what the folder's own manifest lists, and moves everything else to the present folder.
fn clear(earlier: &Path, place: &Place) -> io::Result<()> {
    let manifest = Manifest::read(earlier).ok().flatten();
    let lists = |path: &Path| {
        let listed = |path: String| manifest.as_ref().is_some_and(|manifest| manifest.lists(&path));
        as_listed(path).is_some_and(listed)
    };
    let content = Content::of(earlier)?;
    for path in content.files.iter().filter(|path| !path.as_os_str().eq(MANIFEST)) {
        let (from, to) = (earlier.join(path), place.target.join(path));
        if lists(path) || is_same(&from, &to) {
            fs::remove_file(from)?;
        } else if exists(&place.target) && !exists(&to) && make_parents(&to) {
            fs::rename(from, to)?;
        }
    }
    // Last, so that a run ended before this still knows what was listed.
    if manifest.is_some() {
        fs::remove_file(earlier.join(MANIFEST))?;
    }
    let folders = content.folders.iter().rev().map(|folder| earlier.join(folder));
    for folder in folders.chain([earlier.to_owned()]) {
        match fs::remove_dir(folder) {
            Err(why) if why.kind() != ErrorKind::DirectoryNotEmpty => return Err(why),
            _ => {}
        }
    }
    Ok(())
}

/// Makes the folders above a path. False: something else has the name of one.
fn make_parents(path: &Path) -> bool {
    path.parent().is_some_and(|folder| fs::create_dir_all(folder).is_ok())
}

/// Whether there is anything at a path, a link without target included.
pub(super) fn exists(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok()
}
