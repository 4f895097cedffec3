//! Where a pack goes, and the names beside it that a run uses meanwhile.

use std::ffi::OsString;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use crate::problem::Failure;

/// The folder of a pack: its real path, split into parent and name.
pub(super) struct Place {
    pub(super) parent: PathBuf,
    pub(super) target: PathBuf,
    name: OsString,
}

impl Place {
    /// Follows links to the real folder, so that it is the folder that is replaced and not a link
    /// to it. The folder itself need not exist; its parents are made.
    pub(super) fn of(wanted: &Path) -> Result<Self, Failure> {
        let cannot = |why| Failure::files("use the folder", wanted, &why);
        let whole = match fs::metadata(wanted) {
            Ok(about) if about.is_dir() => wanted.canonicalize().map_err(cannot)?,
            Ok(_) => {
                return Err(Failure::Files(format!("{} is a file; name a folder", wanted.display())));
            }
            Err(why) if why.kind() == ErrorKind::NotFound => Self::to_be(wanted)?,
            Err(why) => return Err(cannot(why)),
        };
        match (whole.parent(), whole.file_name()) {
            (Some(parent), Some(name)) => {
                Ok(Self { parent: parent.to_owned(), name: name.to_owned(), target: whole })
            }
            _ => Err(Failure::Files(format!("{} cannot hold a pack; name a folder in it", wanted.display()))),
        }
    }

    /// The real path of a folder that does not exist yet.
    fn to_be(wanted: &Path) -> Result<PathBuf, Failure> {
        if fs::symlink_metadata(wanted).is_ok() {
            return Err(Failure::Files(format!("{} is a link that leads nowhere", wanted.display())));
        }
        let Some(name) = wanted.file_name() else {
            return Err(Failure::Files(format!("{} does not exist", wanted.display())));
        };
        let parent = match wanted.parent() {
            Some(parent) if parent != Path::new("") => parent,
            _ => Path::new("."),
        };
        fs::create_dir_all(parent).map_err(|why| Failure::files("make the folder", parent, &why))?;
        let parent = parent.canonicalize().map_err(|why| Failure::files("use the folder", parent, &why))?;
        Ok(parent.join(name))
    }

    /// A hidden name beside the folder, for one purpose.
    pub(super) fn beside(&self, purpose: &str) -> PathBuf {
        self.parent.join(self.hidden(purpose))
    }

    /// The name part of [`Place::beside`].
    pub(super) fn hidden(&self, purpose: &str) -> OsString {
        let mut name = OsString::from(".");
        name.push(&self.name);
        name.push(".slopepack-");
        name.push(purpose);
        name
    }

    /// The first free visible name beside the folder for things to keep.
    pub(super) fn keep(&self) -> PathBuf {
        let mut number = 1;
        loop {
            let mut name = self.name.clone();
            name.push(format!("-kept-{number}"));
            let path = self.parent.join(name);
            if fs::symlink_metadata(&path).is_err() {
                return path;
            }
            number += 1;
        }
    }
}
