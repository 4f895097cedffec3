//! What a pack consists of: `manifest.json`.
//!
//! It tells the pack's own files from those of other people in the same folder, and lets anyone
//! check that a sheet belongs to a course. No time, no path of a machine: the same course gives
//! the same bytes.

use std::fmt::Write as _;
use std::fs;
use std::io::ErrorKind;
use std::path::Path;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::problem::Failure;

/// Name of the manifest in a pack.
pub const MANIFEST: &str = "manifest.json";
/// The form described here.
const FORMAT: u32 = 1;
/// The program, as it names itself.
const PROGRAM: &str = env!("CARGO_PKG_NAME");
/// Largest manifest that is read, in bytes.
const LARGEST: u64 = 16 << 20;

/// The manifest of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// The form of this manifest: 1.
    pub format: u32,
    /// `slopepack`.
    pub program: String,
    /// Version of the program.
    pub version: String,
    /// What the pack was made from.
    #[serde(flatten)]
    pub about: About,
    /// The pack's files, in order of path.
    pub files: Vec<Entry>,
}

/// What a pack was made from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct About {
    /// Version of the typesetter.
    pub typesetter: String,
    /// Title of the course.
    pub course: String,
    /// SHA-256 of the course file, in hexadecimal.
    pub course_sha256: String,
    /// Seed of whatever was drawn by lot.
    pub seed: u64,
}

/// One file of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// Path below the pack's folder, with `/` between folders.
    pub path: String,
    /// What it is, for a person.
    pub title: String,
    /// SHA-256 of the content, in hexadecimal.
    pub sha256: String,
    /// Length in bytes.
    pub bytes: u64,
}

impl Entry {
    /// The entry of a file with this content.
    pub fn of(path: &str, title: &str, content: &[u8]) -> Self {
        Self {
            path: path.to_owned(),
            title: title.to_owned(),
            sha256: fingerprint(content),
            bytes: content.len() as u64,
        }
    }
}

/// SHA-256 in hexadecimal.
pub fn fingerprint(content: &[u8]) -> String {
    Sha256::digest(content).iter().fold(String::with_capacity(64), |mut text, byte| {
        write!(text, "{byte:02x}").expect("a string takes all text");
        text
    })
}

impl Manifest {
    /// A manifest of these files, in order of path.
    pub fn new(about: About, files: impl IntoIterator<Item = Entry>) -> Self {
        let mut files: Vec<Entry> = files.into_iter().collect();
        files.sort_by(|one, other| one.path.cmp(&other.path));
        let version = env!("CARGO_PKG_VERSION").to_owned();
        Self { format: FORMAT, program: PROGRAM.to_owned(), version, about, files }
    }

    /// Whether a path below the folder is one of the pack's.
    pub fn lists(&self, path: &str) -> bool {
        self.files.iter().any(|entry| entry.path == path)
    }

    pub(super) fn to_json(&self) -> String {
        let mut json = serde_json::to_string_pretty(self).expect("text and numbers are JSON");
        json.push('\n');
        json
    }

    /// The manifest of the pack in a folder, if there is one.
    ///
    /// # Errors
    /// There is a `manifest.json`, but this program did not write it, or it cannot be read.
    pub fn read(folder: &Path) -> Result<Option<Self>, Failure> {
        let path = folder.join(MANIFEST);
        let cannot = |why| Failure::files("read", &path, &why);
        let about = match fs::symlink_metadata(&path) {
            Ok(about) => about,
            Err(why) if why.kind() == ErrorKind::NotFound => return Ok(None),
            Err(why) => return Err(cannot(why)),
        };
        let json = if about.is_file() && about.len() <= LARGEST {
            fs::read(&path).map_err(cannot)?
        } else {
            Vec::new()
        };
        match serde_json::from_slice::<Self>(&json) {
            Ok(manifest) if manifest.is_ours() => Ok(Some(manifest)),
            _ => Err(Failure::Files(format!(
                "{} was not written by this program, so the folder may belong to something else; \
                 name another folder, or move that file away",
                path.display()
            ))),
        }
    }

    fn is_ours(&self) -> bool {
        self.format == FORMAT
            && self.program == PROGRAM
            && self.files.iter().all(|entry| is_pack_path(&entry.path))
    }
}

/// Whether a path may be one of a pack's files: plain names of letters, digits, `-`, `_`, `.`,
/// none beginning with a dot, with `/` between; not the manifest itself.
pub(super) fn is_pack_path(path: &str) -> bool {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
    let name = |name: &str| {
        !name.is_empty() && name.len() <= 200 && !name.starts_with('.') && name.chars().all(plain)
    };
    path.split('/').all(name) && !path.eq_ignore_ascii_case(MANIFEST)
}
