//! Whether a set of papers stands in a folder as it was put there.

use std::fs;
use std::path::Path;

use crate::print::folder::desk::{has_desk, waits};
use crate::print::folder::manifest::{MANIFEST, Manifest, fingerprint};
use crate::print::folder::placing::{is_as_printed, leads_away};

/// A set of papers that stands in a folder whole: every file as its manifest says.
#[derive(Debug)]
pub struct Standing {
    /// What it consists of.
    pub manifest: Manifest,
    /// SHA-256 of the manifest, in hexadecimal.
    pub sha256: String,
}

impl Standing {
    /// What the manifest in a folder says, if nobody is just putting other papers there. The files are not looked at.
    fn said(folder: &Path) -> Option<Self> {
        if waits(folder) {
            return None;
        }
        let sha256 = fingerprint(&fs::read(folder.join(MANIFEST)).ok()?);
        Some(Self { manifest: Manifest::read(folder).ok()??, sha256 })
    }

    /// The set in a folder, whose manifest has this digest, if all of it is there unchanged.
    pub fn unchanged(folder: &Path, sha256: &str) -> Option<Self> {
        if has_desk(folder) {
            return None;
        }
        let said = Self::said(folder).filter(|said| said.sha256 == sha256)?;
        let stands = said.manifest.files.iter().all(|entry| {
            !leads_away(folder, &entry.path)
                && is_as_printed(&folder.join(&entry.path), entry).unwrap_or(false)
        });
        stands.then_some(said)
    }

    /// The digest of the manifest in a folder.
    pub fn digest(folder: &Path) -> Option<String> {
        Self::said(folder).map(|said| said.sha256)
    }
}
