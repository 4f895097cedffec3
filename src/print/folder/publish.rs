//! A finished set of papers is put in its folder whole, and takes nothing from anybody.
//!
//! The files are written to a desk inside the folder and moved into place when all are there. The
//! folder itself is never exchanged, so whoever stands in it goes on standing in it, and its owner,
//! group and access list stay. Files that the earlier manifest does not list belong to other people.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use crate::print::ending;
use crate::print::folder::clearing::exists;
use crate::print::folder::desk::{Desk, waits};
use crate::print::folder::manifest::{About, Entry, Kind, MANIFEST, Manifest, is_pack_path, is_private};
use crate::print::folder::placing::{
    close, is_as_printed, leads_away, parents_of, put_in_place, put_up_sign, take_down_sign,
};
use crate::print::{Templates, Workshop};
use crate::problem::Failure;

/// A set of papers on its way into its folder. Dropped before [`Publication::finish`], it leaves
/// the folder as it was.
pub struct Publication {
    desk: Desk,
    kind: Kind,
    earlier: Option<Manifest>,
    files: BTreeMap<String, Entry>,
    notes: Vec<String>,
}

impl Publication {
    /// Begins a set for a folder, which need not exist. Finishes or clears up what a run that was
    /// ended left there.
    ///
    /// # Errors
    /// Another run is writing there; the path is a file; it holds papers of another kind, or its
    /// `manifest.json` is not ours; it cannot be written.
    pub fn open(folder: &Path, kind: Kind) -> Result<Self, Failure> {
        let desk = Desk::take(folder)?;
        let notes = settle(&desk)?;
        let earlier = Manifest::read(&desk.target)?;
        if let Some(earlier) = earlier.as_ref().filter(|earlier| earlier.kind() != kind) {
            return Err(Failure::Files(format!(
                "{} holds {}, and {} would take their place; name another folder with --into",
                folder.display(),
                earlier.kind().words(),
                kind.words()
            )));
        }
        let new = desk.new_files();
        fs::create_dir(&new).map_err(|why| Failure::files("write in", &desk.target, &why))?;
        Ok(Self { desk, kind, earlier, files: BTreeMap::new(), notes })
    }

    /// Puts a set in place that a run ended on the way has left, so that the folder can be read.
    ///
    /// # Errors
    /// Another run is writing there; it cannot be written.
    pub fn settle(folder: &Path) -> Result<Vec<String>, Failure> {
        if waits(folder) { settle(&Desk::take(folder)?) } else { Ok(Vec::new()) }
    }

    /// A work folder for the typesetter. It is cleared away with the publication, so have all
    /// pages typeset before [`Publication::finish`].
    ///
    /// # Errors
    /// It cannot be written.
    pub fn workshop(&self, templates: &Templates) -> Result<Workshop, Failure> {
        Workshop::inside(self.desk.path(), "work-", templates)
    }

    /// Adds a file: its path below the folder with `/` between names, and what it is.
    ///
    /// # Errors
    /// The path is not one of plain names, or is taken; the file cannot be written.
    pub fn put(&mut self, path: &str, title: &str, content: &[u8]) -> Result<(), Failure> {
        self.add(Entry::of(path, title, content), content)
    }

    /// Adds a page; `own` is the digest of the club's template, where it is the club's or worded by it.
    ///
    /// # Errors
    /// As [`Publication::put`].
    pub fn put_page(
        &mut self,
        path: &str,
        title: &str,
        content: &[u8],
        own: Option<&String>,
    ) -> Result<(), Failure> {
        self.add(Entry { own: own.cloned(), ..Entry::of(path, title, content) }, content)
    }

    /// Adds a form that people key into. One that somebody has keyed into is left as it is.
    ///
    /// # Errors
    /// As [`Publication::put`]; or what is keyed there belongs to other papers than these.
    pub fn put_form(&mut self, path: &str, title: &str, content: &[u8]) -> Result<(), Failure> {
        let entry = Entry { form: true, ..Entry::of(path, title, content) };
        let whole = self.desk.target.join(path);
        let cannot = |why| Failure::files("read", &whole, &why);
        let blank = self.listed(path).filter(|_| exists(&whole)).cloned();
        if let Some(blank) = blank
            && !is_as_printed(&whole, &blank).map_err(cannot)?
            && !is_as_printed(&whole, &entry).map_err(cannot)?
        {
            if blank.sha256 != entry.sha256 {
                return Err(Failure::Files(format!(
                    "{} has been keyed into, and belongs to the papers printed before; other papers would \
                     take away what it is marked with. Mark it and move the folder away, or name another \
                     folder with --into",
                    whole.display()
                )));
            }
            self.notes.push(format!("{path} has been keyed into; it is left as it is"));
        }
        self.add(entry, content)
    }

    /// Adds a record of what is handed out. An earlier record that says something else is kept.
    ///
    /// # Errors
    /// As [`Publication::put`].
    pub fn put_record(&mut self, path: &str, title: &str, content: &[u8]) -> Result<(), Failure> {
        self.add(Entry { record: true, ..Entry::of(path, title, content) }, content)
    }

    /// Refuses a part of a pack over the pack of another course: the rest of that one would stay beside it.
    ///
    /// # Errors
    /// The folder holds papers of a course with another title.
    pub fn same_course(&self, title: &str) -> Result<(), Failure> {
        let Some(earlier) = self.earlier.as_ref().filter(|earlier| earlier.about.course != title) else {
            return Ok(());
        };
        Err(Failure::Files(format!(
            "{} holds the papers of `{}`, and a part of `{title}` would lie among them; name another folder with --into, \
             or print the whole pack, which takes their place",
            self.desk.target.display(),
            earlier.about.course
        )))
    }

    /// Keeps what is there of the earlier set and is not printed anew, but for files with these names; `course_sha256` is
    /// of the course that is printed now. Returns what is kept.
    pub fn keep_the_rest(&mut self, course_sha256: &str, but_for: &[&str]) -> Vec<Entry> {
        let Some(earlier) = &self.earlier else { return Vec::new() };
        let stays = |entry: &&Entry| {
            !self.files.contains_key(&entry.path)
                && !but_for.contains(&entry.path.as_str())
                && exists(&self.desk.target.join(&entry.path))
                && !leads_away(&self.desk.target, &entry.path)
        };
        let kept = earlier.files.iter().filter(stays).map(|entry| {
            let from = entry.earlier_course.as_ref().unwrap_or(&earlier.about.course_sha256);
            let earlier_course = (from != course_sha256).then(|| from.clone());
            Entry { earlier_course, ..entry.clone() }
        });
        let kept: Vec<Entry> = kept.collect();
        self.files.extend(kept.iter().map(|entry| (entry.path.clone(), entry.clone())));
        kept
    }

    /// Puts the set in place, with its manifest. The notes tell what a person should know: what was
    /// kept, what was taken away.
    ///
    /// # Errors
    /// A file of other people has a name that the set needs; the folder cannot be written.
    pub fn finish(mut self, about: About) -> Result<(Manifest, Vec<String>), Failure> {
        let manifest = Manifest::new(self.kind, about, std::mem::take(&mut self.files).into_values());
        self.refuse_clashes(&manifest)?;
        self.try_folders(&manifest)?;
        self.write(MANIFEST, manifest.to_json().as_bytes())?;
        let target = &self.desk.target;
        let cannot = |why: io::Error| Failure::files("put the papers into", target, &why);
        let _whole = ending::hold();
        sync_folder(&self.desk.new_files());
        put_up_sign(self.desk.path(), target);
        fs::rename(self.desk.new_files(), self.desk.ready()).map_err(|why| {
            take_down_sign(target);
            cannot(why)
        })?;
        sync_folder(self.desk.path());
        self.notes.extend(put_in_place(&self.desk.ready(), target).map_err(|why| {
            let doing = "put all papers (run the same command again; until then some are of the earlier \
                         issue) into";
            Failure::files(doing, target, &why)
        })?);
        sync_folder(target);
        Ok((manifest, std::mem::take(&mut self.notes)))
    }

    fn listed(&self, path: &str) -> Option<&Entry> {
        self.earlier.as_ref()?.files.iter().find(|entry| entry.path == path)
    }

    fn add(&mut self, entry: Entry, content: &[u8]) -> Result<(), Failure> {
        let path = entry.path.clone();
        if !is_pack_path(&path) {
            return Err(Failure::Files(format!("a file of a pack cannot be called \u{2018}{path}\u{2019}")));
        }
        if self.files.contains_key(&path) {
            return Err(Failure::Files(format!("two files of the pack would be called {path}")));
        }
        // What is there already need not be written again.
        let there = self.listed(&path).is_some_and(|old| old.sha256 == entry.sha256)
            && !leads_away(&self.desk.target, &path)
            && is_as_printed(&self.desk.target.join(&path), &entry).unwrap_or(false);
        if !there {
            self.write(&path, content)?;
        }
        self.files.insert(path, entry);
        Ok(())
    }

    /// Refuses a set that needs the name of something that is not its own.
    fn refuse_clashes(&self, manifest: &Manifest) -> Result<(), Failure> {
        let target = &self.desk.target;
        let ours = |path: &Path| {
            let below = path.strip_prefix(target).ok().and_then(Path::to_str);
            below.is_some_and(|path| self.listed(path).is_some())
        };
        for entry in &manifest.files {
            let whole = target.join(&entry.path);
            let above = parents_of(target, &entry.path).into_iter().find(|folder| {
                fs::symlink_metadata(folder).is_ok_and(|about| !about.is_dir()) && !ours(folder)
            });
            let there = fs::symlink_metadata(&whole).ok();
            let taken = there.is_some_and(|about| about.is_dir() || !ours(&whole));
            if let Some(other) = above.or_else(|| taken.then_some(whole)) {
                return Err(Failure::Files(format!(
                    "{} is not part of the earlier pack, and the new one needs the name {}; move it away, \
                     or name another folder",
                    other.display(),
                    entry.path
                )));
            }
        }
        Ok(())
    }

    /// Makes sure that every folder a file goes into can be written, before anything is moved.
    fn try_folders(&self, manifest: &Manifest) -> Result<(), Failure> {
        let target = &self.desk.target;
        let mut folders: Vec<PathBuf> =
            manifest.files.iter().flat_map(|entry| parents_of(target, &entry.path)).collect();
        folders.push(target.clone());
        folders.sort();
        folders.dedup();
        for folder in folders.iter().filter(|folder| folder.is_dir()) {
            // A file without a name, so that not even a run ended here leaves one.
            tempfile::tempfile_in(folder).map_err(|why| Failure::files("write in", folder, &why))?;
        }
        Ok(())
    }

    fn write(&self, path: &str, content: &[u8]) -> Result<(), Failure> {
        let whole = self.desk.new_files().join(path);
        let write = || -> io::Result<()> {
            if let Some(folder) = whole.parent() {
                fs::create_dir_all(folder)?;
            }
            let mut file = File::create_new(&whole)?;
            file.write_all(content)?;
            file.sync_data()?;
            if is_private(path) { close(&whole, 0o600) } else { Ok(()) }
        };
        write().map_err(|why| Failure::files("write", &self.desk.target.join(path), &why))
    }
}

/// Finishes or clears up what a run that was ended left.
fn settle(desk: &Desk) -> Result<Vec<String>, Failure> {
    let cannot = |why| Failure::files("clear up in", &desk.target, &why);
    let _whole = ending::hold();
    desk.clear().map_err(cannot)?;
    take_down_sign(&desk.target);
    if exists(&desk.ready()) {
        put_in_place(&desk.ready(), &desk.target).map_err(cannot)
    } else {
        Ok(Vec::new())
    }
}

/// Makes a rename lasting, where the system can.
fn sync_folder(folder: &Path) {
    if cfg!(unix) {
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}
