//! The folder papers go into, and the hidden desk inside it where a run writes them first.
//!
//! The desk stands inside, so that it is on the same disk as the papers, has the folder's group and
//! access list, and works on a whole disk of its own. In it are
//! - `lock`: held while a run works;
//! - `new`: what the run has written so far; may be deleted;
//! - `ready`: a finished set on its way into the folder; never deleted before it is there;
//! - `work-…`: the typesetter's folder; may be deleted.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::clearing::{exists, private_folder};
use crate::print::ending::Litter;
use crate::problem::Failure;

/// Name of the desk in its folder.
const NAME: &str = ".slopepack";

/// A folder for papers, taken by this run.
pub(super) struct Desk {
    /// The folder's real path.
    pub(super) target: PathBuf,
    path: PathBuf,
    // In this order: cleared up first, given back last.
    _litter: Litter,
    _lock: File,
}

impl Desk {
    /// Takes a folder, which is made if it is not there.
    pub(super) fn take(wanted: &Path) -> Result<Self, Failure> {
        let (target, made) = real(wanted)?;
        let path = target.join(NAME);
        let lock = lock(&path, &target).inspect_err(|_| {
            if made {
                let _ = fs::remove_dir(&target);
            }
        })?;
        let litter = Litter::at(&path, made.then_some(&target));
        Ok(Self { target, path, _litter: litter, _lock: lock })
    }

    /// The desk itself.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Where the run writes.
    pub(super) fn new_files(&self) -> PathBuf {
        self.path.join("new")
    }

    /// Where a finished set waits.
    pub(super) fn ready(&self) -> PathBuf {
        self.path.join("ready")
    }

    /// Clears away what an ended run had not finished.
    pub(super) fn clear(&self) -> io::Result<()> {
        for entry in fs::read_dir(&self.path)? {
            let entry = entry?;
            let name = entry.file_name();
            if name == "new" || name.as_encoded_bytes().starts_with(b"work-") {
                fs::remove_dir_all(entry.path())?;
            }
        }
        Ok(())
    }
}

/// Whether a finished set waits in a folder because a run was ended while it put it in place.
pub(super) fn waits(folder: &Path) -> bool {
    exists(&folder.join(NAME).join("ready"))
}

/// Whether a run stands at its desk in a folder, or was ended there: then there is something to clear away.
pub(super) fn has_desk(folder: &Path) -> bool {
    exists(&folder.join(NAME))
}

/// The real path of a folder, and whether it was made just now.
fn real(wanted: &Path) -> Result<(PathBuf, bool), Failure> {
    let cannot = |why| Failure::files("use the folder", wanted, &why);
    let made = match fs::metadata(wanted) {
        Ok(about) if about.is_dir() => false,
        Ok(_) => return Err(Failure::Files(format!("{} is a file; name a folder", wanted.display()))),
        Err(why) if why.kind() == ErrorKind::NotFound => {
            if exists(wanted) {
                return Err(Failure::Files(format!("{} is a link that leads nowhere", wanted.display())));
            }
            fs::create_dir_all(wanted).map_err(|why| Failure::files("make the folder", wanted, &why))?;
            true
        }
        Err(why) => return Err(cannot(why)),
    };
    let whole = wanted.canonicalize().map_err(cannot)?;
    if whole.parent().is_none() {
        return Err(Failure::Files(format!("{} cannot hold a pack; name a folder in it", wanted.display())));
    }
    Ok((whole, made))
}

/// Makes the desk and holds it. The system gives it back when the run ends in any way.
fn lock(desk: &Path, target: &Path) -> Result<File, Failure> {
    let cannot = |why: io::Error| Failure::files("write in", target, &why);
    loop {
        match private_folder().create(desk) {
            Err(why) if why.kind() != ErrorKind::AlreadyExists => return Err(cannot(why)),
            _ => {}
        }
        if fs::symlink_metadata(desk).is_ok_and(|about| !about.is_dir()) {
            return Err(Failure::Files(format!("{} is in the way; move it away", desk.display())));
        }
        let path = desk.join("lock");
        let file = match OpenOptions::new().create(true).write(true).truncate(false).open(&path) {
            Ok(file) => file,
            // The run before has just cleared its desk away.
            Err(why) if why.kind() == ErrorKind::NotFound => continue,
            Err(why) => return Err(cannot(why)),
        };
        match file.try_lock() {
            Ok(()) => {}
            // Some network disks know no locks: go on without, as most programs do.
            Err(TryLockError::Error(why)) if why.kind() == ErrorKind::Unsupported => {}
            Err(TryLockError::Error(why)) => return Err(Failure::files("lock", &path, &why)),
            Err(TryLockError::WouldBlock) => {
                return Err(Failure::Files(format!(
                    "another run is writing to {}; wait until it has finished",
                    target.display()
                )));
            }
        }
        if is_still_there(&file, &path) {
            return Ok(file);
        }
    }
}

#[cfg(unix)]
fn is_still_there(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    match (file.metadata(), fs::metadata(path)) {
        (Ok(open), Ok(there)) => (open.dev(), open.ino()) == (there.dev(), there.ino()),
        _ => false,
    }
}

#[cfg(not(unix))]
fn is_still_there(_: &File, _: &Path) -> bool {
    true
}
