//! One run at a time for each folder.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use crate::problem::Failure;

/// Held while a run works on a folder. The system takes it back when the run ends in any way.
pub(super) struct Lock {
    file: File,
    path: PathBuf,
}

impl Lock {
    /// Takes the lock at a path, which stands beside the folder `target`.
    pub(super) fn take(path: &Path, target: &Path) -> Result<Self, Failure> {
        loop {
            let file = OpenOptions::new()
                .create(true)
                .write(true)
                .truncate(false)
                .open(path)
                .map_err(|why| Failure::files("write beside", target, &why))?;
            match file.try_lock() {
                Ok(()) => {}
                // Some network disks know no locks: go on without, as most programs do.
                Err(TryLockError::Error(why)) if why.kind() == ErrorKind::Unsupported => {}
                Err(TryLockError::Error(why)) => return Err(Failure::files("lock", path, &why)),
                Err(TryLockError::WouldBlock) => {
                    return Err(Failure::Files(format!(
                        "another run is writing to {}; wait until it has finished",
                        target.display()
                    )));
                }
            }
            // The run before may have removed the file between opening and locking.
            if is_still_there(&file, path) {
                return Ok(Self { file, path: path.to_owned() });
            }
        }
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        if cfg!(unix) {
            let _ = fs::remove_file(&self.path);
        }
        let _ = self.file.unlock();
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
