//! The folder the typesetter works in, which is all it can see.
//!
//! Everything in it is written afresh: the shared style, the faces, pictures that were decoded and
//! written anew. Nothing is linked, since a link would lead out of the folder.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use tempfile::TempDir;

use super::folder::manifest::fingerprint;
use super::fonts;
use super::{Faces, Picture, Templates};
use crate::problem::Failure;

/// Name of the folder of faces.
const FONTS: &str = "fonts";
/// The shared style that says with which face each script is printed.
const OTHER_SCRIPTS: &str = "style/scripts.typ";

/// A work folder with shared style, faces and pictures. It disappears when dropped.
pub struct Workshop {
    folder: TempDir,
    /// Digest of every file that a document can read, by its path.
    digests: Mutex<BTreeMap<String, String>>,
}

impl Workshop {
    /// A new work folder inside `parent`, named with `prefix`, holding the shared style of the
    /// templates and the faces.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn inside(parent: &Path, prefix: impl AsRef<OsStr>, templates: &Templates) -> Result<Self, Failure> {
        let cannot = |why| Failure::files("make a work folder in", parent, &why);
        let whole = parent.canonicalize().map_err(cannot)?;
        let folder = tempfile::Builder::new().prefix(prefix.as_ref()).tempdir_in(whole).map_err(cannot)?;
        let workshop = Self { folder, digests: Mutex::default() };
        for inner in [workshop.root(), workshop.fonts(), workshop.no_packages()] {
            make_folder(&inner)?;
        }
        for (name, text) in templates.shared() {
            workshop.write(name, text.as_bytes())?;
        }
        for (name, bytes) in fonts::mended() {
            write(&workshop.fonts().join(name), &bytes)?;
            workshop.note(&format!("{FONTS}/{name}"), &bytes);
        }
        Ok(workshop)
    }

    /// Puts in faces of other scripts, and the style that names them.
    ///
    /// # Errors
    /// They cannot be written.
    pub fn add_faces(&self, faces: &Faces) -> Result<(), Failure> {
        for (name, bytes) in faces.files() {
            write(&self.fonts().join(&name), bytes)?;
            self.note(&format!("{FONTS}/{name}"), bytes);
        }
        self.write(OTHER_SCRIPTS, faces.style().as_bytes())
    }

    /// Puts a picture into the folder and returns the path by which a document names it, such as
    /// `/pictures/quarry.jpg`. The name is made of small letters, digits and hyphens.
    ///
    /// # Errors
    /// Another name, or the picture cannot be written.
    pub fn add_picture(&self, name: &str, picture: &Picture) -> Result<String, Failure> {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if name.is_empty() || name.len() > 100 || !name.chars().all(plain) {
            return Err(Failure::Files(format!(
                "a picture cannot be called \u{2018}{name}\u{2019}; use small letters, digits and hyphens"
            )));
        }
        let path = format!("pictures/{name}.{}", picture.extension());
        self.write(&path, picture.bytes())?;
        Ok(format!("/{path}"))
    }

    /// Puts a page that the typesetter drew (SVG) into the folder and returns the path by which
    /// another document names it.
    ///
    /// # Errors
    /// The page cannot be written.
    pub fn add_page(&self, document: &str, number: usize, page: &[u8]) -> Result<String, Failure> {
        let path = format!("pages/{document}-{number}.svg");
        self.write(&path, page)?;
        Ok(format!("/{path}"))
    }

    /// The folder the typesetter may read.
    pub fn root(&self) -> PathBuf {
        self.folder.path().join("root")
    }

    pub(super) fn fonts(&self) -> PathBuf {
        self.folder.path().join(FONTS)
    }

    /// An empty folder, in place of the user's packages.
    pub(super) fn no_packages(&self) -> PathBuf {
        self.folder.path().join("packages")
    }

    /// A new folder for pages that come out as pictures.
    pub(super) fn pages(&self) -> Result<TempDir, Failure> {
        let inside = self.folder.path();
        tempfile::Builder::new()
            .prefix("pages-")
            .tempdir_in(inside)
            .map_err(|why| Failure::files("make a folder in", inside, &why))
    }

    fn write(&self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        let path = self.root().join(name);
        if let Some(folder) = path.parent() {
            make_folder(folder)?;
        }
        write(&path, bytes)?;
        self.note(name, bytes);
        Ok(())
    }

    fn note(&self, path: &str, bytes: &[u8]) {
        let mut digests = self.digests.lock().unwrap_or_else(PoisonError::into_inner);
        digests.insert(path.to_owned(), fingerprint(bytes));
    }

    /// What the pages of a document are made from beside its own text: path and digest of every face
    /// and shared file, and of the pictures and pages that the text names.
    pub(super) fn sources_of(&self, text: &str) -> Vec<(String, String)> {
        let digests = self.digests.lock().unwrap_or_else(PoisonError::into_inner);
        let own = |path: &str| path.starts_with("pictures/") || path.starts_with("pages/");
        let reads = |path: &String| !own(path) || text.contains(path.as_str());
        digests
            .iter()
            .filter(|(path, _)| reads(path))
            .map(|(path, digest)| (path.clone(), digest.clone()))
            .collect()
    }
}

fn make_folder(path: &Path) -> Result<(), Failure> {
    fs::create_dir_all(path).map_err(|why| Failure::files("make the folder", path, &why))
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    fs::write(path, bytes).map_err(|why| Failure::files("write", path, &why))
}
