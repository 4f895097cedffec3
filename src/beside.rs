//! Files that a course names: they lie in the folder of the course or below it, and nowhere else.
//!
//! ```
//! use slopepack::beside::stays_inside;
//! assert!(stays_inside("pictures/brow.jpg"));
//! assert!(!stays_inside("../elsewhere.jpg"));
//! ```

use std::fmt;
use std::fs::File;
use std::io::{self, Read as _};
use std::path::{Component, Path};

/// Why a file that a course names was not read.
#[derive(Debug)]
pub enum Refused {
    /// The name leads out of the folder.
    Outside,
    /// A link on the way leads out of the folder.
    LinkOut,
    /// A folder, a pipe, a device.
    NotAFile,
    /// Larger than so many bytes.
    TooLarge(u64),
    /// The system would not.
    Unreadable(io::Error),
}

impl fmt::Display for Refused {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Outside => out.write_str("is not named by its path inside the folder of the course"),
            Self::LinkOut => out.write_str("is a link that leads out of the folder of the course"),
            Self::NotAFile => out.write_str("is not a file"),
            Self::TooLarge(most) => write!(out, "is larger than {} MiB", most >> 20),
            Self::Unreadable(why) => write!(out, "cannot be read: {why}"),
        }
    }
}

impl std::error::Error for Refused {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Unreadable(why) => Some(why),
            _ => None,
        }
    }
}

/// Whether a name stays inside the folder of the course, as far as the name tells.
pub fn stays_inside(name: &str) -> bool {
    let inside = |part| matches!(part, Component::Normal(_) | Component::CurDir);
    !name.is_empty() && Path::new(name).components().all(inside)
}

/// Reads a file that a course names, of at most so many bytes.
///
/// # Errors
/// Why it was not read; said behind the name, it makes a sentence.
pub fn read(folder: &Path, name: &str, most: u64) -> Result<Vec<u8>, Refused> {
    if !stays_inside(name) {
        return Err(Refused::Outside);
    }
    let here = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    let folder = here.canonicalize().map_err(Refused::Unreadable)?;
    let path = folder.join(name).canonicalize().map_err(Refused::Unreadable)?;
    if !path.starts_with(&folder) {
        return Err(Refused::LinkOut);
    }
    // Asked before it is opened: opening a pipe would wait for whoever writes into it.
    if !path.metadata().map_err(Refused::Unreadable)?.is_file() {
        return Err(Refused::NotAFile);
    }
    at_most(&path, most)
}

/// Reads a file of at most so many bytes, however it grows meanwhile.
///
/// # Errors
/// [`Refused::TooLarge`], [`Refused::Unreadable`].
pub fn at_most(path: &Path, most: u64) -> Result<Vec<u8>, Refused> {
    let file = File::open(path).map_err(Refused::Unreadable)?;
    let mut bytes = Vec::new();
    file.take(most + 1).read_to_end(&mut bytes).map_err(Refused::Unreadable)?;
    if bytes.len() as u64 > most { Err(Refused::TooLarge(most)) } else { Ok(bytes) }
}
