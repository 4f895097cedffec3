//! What a pack consists of: `manifest.json`.
//!
//! It tells the pack's own files from those of other people in the same folder, and lets anyone
//! check that a sheet belongs to a course. No time, no path of a machine: the same course gives
//! the same bytes.

use std::fmt::Write as _;
use std::fs::{self, File};
use std::io::{self, ErrorKind, Read as _};
use std::path::Path;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::problem::Failure;

/// Name of the manifest in a pack.
pub const MANIFEST: &str = "manifest.json";
/// Folder, in a pack, of papers that only their reader may see.
pub const CONFIDENTIAL: &str = "confidential";
/// The form described here.
const FORMAT: u32 = 1;
/// The program, as it names itself.
const PROGRAM: &str = env!("CARGO_PKG_NAME");
/// Largest manifest that is read, in bytes.
const LARGEST: u64 = 16 << 20;

/// What kind of papers a folder holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// The papers of a day.
    Pack,
    /// What changed on the day.
    Change,
    /// Question papers with what they are marked with.
    Papers,
    /// Marked answers.
    Results,
}

impl Kind {
    /// The papers, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Pack => "the papers of a day",
            Self::Change => "the changes of a day",
            Self::Papers => "question papers",
            Self::Results => "marked answers",
        }
    }
}

/// The manifest of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// The form of this manifest: 1.
    pub format: u32,
    /// `slopepack`.
    pub program: String,
    /// Version of the program.
    pub version: String,
    /// What kind of papers these are; a manifest of an early version does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    kind: Option<Kind>,
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
    /// Seed of whatever was drawn by lot; none where it is secret.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seed: Option<u64>,
    /// Faces of other scripts than the main one's: family, version, where from. The bytes of pages depend on them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub faces: Vec<String>,
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
    /// Whether people key into it: it is then never written again.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub form: bool,
    /// Whether it is a record of what was handed out: an earlier one is kept beside it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub record: bool,
    /// SHA-256 of the club's own template, in hexadecimal, where the page is the club's or worded by it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub own: Option<String>,
    /// SHA-256 of the course it was printed from, in hexadecimal, where that is an earlier one than the manifest's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub earlier_course: Option<String>,
}

impl Entry {
    /// The entry of a file with this content.
    pub fn of(path: &str, title: &str, content: &[u8]) -> Self {
        Self {
            path: path.to_owned(),
            title: title.to_owned(),
            sha256: fingerprint(content),
            bytes: content.len() as u64,
            form: false,
            record: false,
            own: None,
            earlier_course: None,
        }
    }
}

/// SHA-256 in hexadecimal.
pub fn fingerprint(content: &[u8]) -> String {
    in_hexadecimal(&Sha256::digest(content))
}

/// SHA-256 of a file in hexadecimal.
pub(super) fn digest_of(path: &Path) -> io::Result<String> {
    let mut sha256 = Sha256::new();
    let mut file = File::open(path)?;
    let mut part = vec![0; 1 << 16];
    loop {
        match file.read(&mut part)? {
            0 => return Ok(in_hexadecimal(&sha256.finalize())),
            length => sha256.update(&part[..length]),
        }
    }
}

/// Bytes in hexadecimal, small letters.
pub(in crate::print) fn in_hexadecimal(digest: &[u8]) -> String {
    digest.iter().fold(String::with_capacity(64), |mut text, byte| {
        write!(text, "{byte:02x}").expect("a string takes all text");
        text
    })
}

impl Manifest {
    /// A manifest of these files, in order of path.
    pub fn new(kind: Kind, about: About, files: impl IntoIterator<Item = Entry>) -> Self {
        let mut files: Vec<Entry> = files.into_iter().collect();
        files.sort_by(|one, other| one.path.cmp(&other.path));
        let version = env!("CARGO_PKG_VERSION").to_owned();
        Self { format: FORMAT, program: PROGRAM.to_owned(), version, kind: Some(kind), about, files }
    }

    /// What kind of papers these are.
    pub fn kind(&self) -> Kind {
        let guessed = || {
            if self.lists("staff/papers.json") {
                Kind::Papers
            } else if self.lists("results.csv") {
                Kind::Results
            } else {
                Kind::Pack
            }
        };
        self.kind.unwrap_or_else(guessed)
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

/// Whether a path leads into the folder of papers that only their reader may see.
pub(super) fn is_private(path: &str) -> bool {
    path.split_once('/').is_some_and(|(folder, _)| folder == CONFIDENTIAL)
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
