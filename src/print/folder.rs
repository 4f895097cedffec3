//! What a folder holds, without following links.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Most files and folders that a folder of packs may hold: more, and it is somebody's home.
const MOST: usize = 20_000;

/// Everything below a folder, as paths from it, in order, a folder before its content.
#[derive(Debug, Default)]
pub(super) struct Content {
    /// Folders.
    pub(super) folders: Vec<PathBuf>,
    /// Everything else: files, links, whatever.
    pub(super) files: Vec<PathBuf>,
}

impl Content {
    pub(super) fn of(folder: &Path) -> io::Result<Self> {
        let mut content = Self::default();
        content.walk(folder, Path::new(""))?;
        content.folders.sort();
        content.files.sort();
        Ok(content)
    }

    fn walk(&mut self, folder: &Path, below: &Path) -> io::Result<()> {
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            let path = below.join(entry.file_name());
            if self.folders.len() + self.files.len() >= MOST {
                let why = format!("it holds more than {MOST} files; name a folder of the pack's own");
                return Err(io::Error::other(why));
            }
            if entry.file_type()?.is_dir() {
                self.walk(&entry.path(), &path)?;
                self.folders.push(path);
            } else {
                self.files.push(path);
            }
        }
        Ok(())
    }
}

/// A path as a manifest writes it, with `/` between names; none if a name is not Unicode.
pub(super) fn as_listed(path: &Path) -> Option<String> {
    let names: Option<Vec<&str>> = path.iter().map(|name| name.to_str()).collect();
    Some(names?.join("/"))
}

/// Whether two paths are one file. Links count as themselves.
#[cfg(unix)]
pub(super) fn is_same(one: &Path, other: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    match (fs::symlink_metadata(one), fs::symlink_metadata(other)) {
        (Ok(one), Ok(other)) => (one.dev(), one.ino()) == (other.dev(), other.ino()),
        _ => false,
    }
}

/// Whether two paths are one file: not known here, so never.
#[cfg(not(unix))]
pub(super) fn is_same(_: &Path, _: &Path) -> bool {
    false
}
