//! A pack that stands there already, made from the same things: then there is nothing to do.
//!
//! What a run depends on is digested, and what it left is remembered beside the finished documents. It is believed
//! only while every file of the pack is as the manifest of that run says.

use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::cli::PackArgs;
use crate::commands::named::contents;
use crate::commands::own::Club;
use crate::commands::say::Say;
use crate::course::Loaded;
use crate::print::{Cache, Faces, Standing, Typesetter};

/// The program that runs: its version, length and time, which tell a new build of the same version.
pub(super) fn program() -> String {
    let stamp = std::env::current_exe().map(|path| crate::print::typesetter::stamp_of(&path));
    format!("{} {}", env!("CARGO_PKG_VERSION"), stamp.unwrap_or_default())
}

/// What a run left.
#[derive(Debug, Serialize, Deserialize)]
struct Left {
    /// Digest of its manifest.
    manifest: String,
    /// What it noted on the way.
    notes: Vec<String>,
}

/// Everything a run depends on.
pub(super) struct Inputs<'a> {
    cache: &'a Cache,
    parts: Vec<Vec<u8>>,
}

impl<'a> Inputs<'a> {
    /// What a run with these arguments depends on; none when nothing may be remembered.
    pub(super) fn of(
        args: &PackArgs,
        loaded: &Loaded,
        club: &Club,
        faces: &Faces,
        typesetter: &'a Typesetter,
    ) -> Option<Self> {
        let cache = typesetter.cache()?;
        let mut parts: Vec<Vec<u8>> =
            [program(), typesetter.identity().to_owned(), format!("{args:?}"), loaded.source.clone()]
                .map(String::into_bytes)
                .into();
        parts.push(loaded.roster.clone());
        parts.push(loaded.runs.clone());
        for (name, content) in contents(loaded, &args.course) {
            parts.push(name.into_bytes());
            parts.extend(content);
        }
        parts.extend(club.parts());
        for (name, content) in faces.files() {
            parts.push(name.into_bytes());
            parts.push(content.to_vec());
        }
        Some(Self { cache, parts })
    }

    fn parts(&self) -> Vec<&[u8]> {
        self.parts.iter().map(Vec::as_slice).collect()
    }

    /// The pack in a folder, if an earlier run made it from just this and nobody changed it. What that run noted is
    /// noted again.
    pub(super) fn stand(&self, folder: &Path, say: &Say) -> Option<Standing> {
        let left: Left = serde_json::from_str(&self.cache.recall(&self.parts())?).ok()?;
        let standing = Standing::unchanged(folder, &left.manifest)?;
        for note in &left.notes {
            say.note(note);
        }
        Some(standing)
    }

    /// Remembers the pack that a run has put in a folder, and what it noted on the way.
    pub(super) fn remember(&self, folder: &Path, notes: Vec<String>) {
        let left = Standing::digest(folder).map(|manifest| Left { manifest, notes });
        if let Some(text) = left.and_then(|left| serde_json::to_string(&left).ok()) {
            self.cache.remember(&self.parts(), &text);
        }
    }
}
