//! A finished pack is put in place whole.
//!
//! The files are written beside the pack's folder and exchanged with it in one step, so that at
//! every moment the folder holds either the earlier pack or the new one. Files that the earlier
//! pack's manifest does not list belong to other people: they are in the folder before and after.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, ErrorKind, Write as _};
use std::path::{Path, PathBuf};

use super::folder::{Content, as_listed};
use super::lock::Lock;
use super::manifest::{About, Entry, MANIFEST, Manifest, is_pack_path};
use super::place::Place;
use super::swap::{exchange, exists, recover, retire};
use super::{Templates, Workshop};
use crate::problem::Failure;

/// A pack on its way into its folder. Dropped before [`Publication::finish`], it leaves the folder
/// as it was.
pub struct Publication {
    place: Place,
    earlier: Option<Manifest>,
    files: BTreeMap<String, Entry>,
    kept: Vec<PathBuf>,
    // Last, so that it is given back after everything else is cleared away.
    _lock: Lock,
}

impl Publication {
    /// Begins a pack for a folder, which need not exist. Clears up after a run that was ended.
    ///
    /// # Errors
    /// Another run is writing there; the path is a file; its `manifest.json` is not ours; it cannot
    /// be written.
    pub fn open(folder: &Path) -> Result<Self, Failure> {
        let place = Place::of(folder)?;
        let lock = Lock::take(&place.beside("lock"), &place.target)?;
        let cannot = |why| Failure::files("clear up beside", &place.target, &why);
        let kept = recover(&place).map_err(cannot)?;
        let earlier = if exists(&place.target) { Manifest::read(&place.target)? } else { None };
        let new = place.beside("new");
        fs::create_dir(&new).map_err(|why| Failure::files("write beside", &place.target, &why))?;
        Ok(Self { place, earlier, files: BTreeMap::new(), kept, _lock: lock })
    }

    /// A work folder for the typesetter, beside the pack. It is cleared away with the publication,
    /// so have all pages typeset before [`Publication::finish`].
    ///
    /// # Errors
    /// It cannot be written.
    pub fn workshop(&self, templates: &Templates) -> Result<Workshop, Failure> {
        let prefix = self.place.hidden("work-");
        Workshop::inside(&self.place.parent, &prefix, templates)
    }

    /// Folders, beside the pack's, into which files of other people were put because something
    /// else has their name now. For a note to the user; usually none.
    pub fn kept(&self) -> &[PathBuf] {
        &self.kept
    }

    /// Adds a file: its path below the folder with `/` between names, and what it is.
    ///
    /// # Errors
    /// The path is not one of plain names, or is taken; the file cannot be written.
    pub fn put(&mut self, path: &str, title: &str, content: &[u8]) -> Result<(), Failure> {
        if !is_pack_path(path) {
            return Err(Failure::Files(format!("a file of a pack cannot be called \u{2018}{path}\u{2019}")));
        }
        if self.files.contains_key(path) {
            return Err(Failure::Files(format!("two files of the pack would be called {path}")));
        }
        self.write(path, content)?;
        self.files.insert(path.to_owned(), Entry::of(path, title, content));
        Ok(())
    }

    /// Puts the pack in place, with its manifest.
    ///
    /// # Errors
    /// A file of other people has a name that the pack needs; the folder cannot be written. The
    /// earlier pack is then in place, unless the message says otherwise.
    pub fn finish(mut self, about: About) -> Result<Manifest, Failure> {
        let manifest = Manifest::new(about, std::mem::take(&mut self.files).into_values());
        self.write(MANIFEST, manifest.to_json().as_bytes())?;
        let target = self.place.target.clone();
        if exists(&target) {
            self.replace(&manifest)?;
        } else {
            fs::rename(self.place.beside("new"), &target)
                .map_err(|why| Failure::files("put the pack into", &target, &why))?;
        }
        sync_folder(&self.place.parent);
        Ok(manifest)
    }

    /// Exchanges the finished folder with the present one.
    fn replace(&mut self, manifest: &Manifest) -> Result<(), Failure> {
        let target = &self.place.target;
        let cannot = |why: io::Error| Failure::files("put the pack into", target, &why);
        let others = self.others().map_err(cannot)?;
        refuse_clashes(target, manifest, &others)?;
        let swap = self.place.beside("swap");
        fs::rename(self.place.beside("new"), &swap).map_err(cannot)?;
        self.share(&others, &swap)?;
        let permissions = fs::metadata(target).map_err(cannot)?.permissions();
        fs::set_permissions(&swap, permissions).map_err(cannot)?;
        let earlier = exchange(&self.place, &swap).map_err(cannot)?;
        let kept = retire(&earlier, &self.place).map_err(|why| {
            let doing = format!("clear the earlier pack away (the new one is in {}) from", target.display());
            Failure::files(&doing, &earlier, &why)
        })?;
        self.kept.extend(kept);
        Ok(())
    }

    /// What the present folder holds that the earlier pack does not list.
    fn others(&self) -> io::Result<Content> {
        let mut content = Content::of(&self.place.target)?;
        let listed = |path: &Path| {
            let by = |manifest: &Manifest| {
                as_listed(path).is_some_and(|path| path == MANIFEST || manifest.lists(&path))
            };
            self.earlier.as_ref().is_some_and(by)
        };
        // A folder that holds only files of the earlier pack goes with them.
        let ours: Vec<PathBuf> = content.files.iter().filter(|path| listed(path)).cloned().collect();
        content.files.retain(|path| !listed(path));
        content.folders.retain(|folder| {
            let above = |path: &PathBuf| path.starts_with(folder);
            content.files.iter().any(above) || !ours.iter().any(above)
        });
        Ok(content)
    }

    /// Gives other people's files a second name in the new folder. Where the disk has no second
    /// names they are moved after the exchange instead.
    fn share(&self, others: &Content, swap: &Path) -> Result<(), Failure> {
        let target = &self.place.target;
        for folder in &others.folders {
            let path = swap.join(folder);
            fs::create_dir_all(&path).map_err(|why| Failure::files("make the folder", &path, &why))?;
        }
        for file in others.files.iter().filter(|_| cfg!(unix)) {
            match fs::hard_link(target.join(file), swap.join(file)) {
                Ok(()) => {}
                Err(why) if moves_later(&why) => {}
                Err(why) => return Err(Failure::files("carry over", &target.join(file), &why)),
            }
        }
        // Innermost first: after this a folder may be closed to writing.
        for folder in others.folders.iter().rev() {
            let from = target.join(folder);
            fs::metadata(&from)
                .and_then(|about| fs::set_permissions(swap.join(folder), about.permissions()))
                .map_err(|why| Failure::files("carry over", &from, &why))?;
        }
        Ok(())
    }

    fn write(&self, path: &str, content: &[u8]) -> Result<(), Failure> {
        let whole = self.place.beside("new").join(path);
        let write = || -> io::Result<()> {
            if let Some(folder) = whole.parent() {
                fs::create_dir_all(folder)?;
            }
            let mut file = File::create_new(&whole)?;
            file.write_all(content)?;
            file.sync_data()
        };
        write().map_err(|why| Failure::files("write", &self.place.target.join(path), &why))
    }
}

impl Drop for Publication {
    /// Clears away what a pack that was not finished has written. What this cannot clear, the next
    /// run will.
    fn drop(&mut self) {
        let _ = recover(&self.place);
    }
}

/// Whether a file that cannot have a second name can still be moved.
fn moves_later(why: &io::Error) -> bool {
    matches!(why.kind(), ErrorKind::PermissionDenied | ErrorKind::Unsupported | ErrorKind::TooManyLinks)
}

/// Refuses a pack that needs the name of something that is not its own.
fn refuse_clashes(target: &Path, pack: &Manifest, others: &Content) -> Result<(), Failure> {
    for entry in &pack.files {
        let ours = Path::new(&entry.path);
        let clash = |other: &&PathBuf| other.starts_with(ours) || ours.starts_with(other);
        let inside = |other: &&PathBuf| other.starts_with(ours);
        let folder = || others.folders.iter().find(inside);
        if let Some(other) = others.files.iter().find(clash).or_else(folder) {
            return Err(Failure::Files(format!(
                "{} is not part of the earlier pack, and the new one needs the name {}; move it away, \
                 or name another folder",
                target.join(other).display(),
                entry.path
            )));
        }
    }
    Ok(())
}

/// Makes a rename lasting, where the system can.
fn sync_folder(folder: &Path) {
    if cfg!(unix) {
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}
