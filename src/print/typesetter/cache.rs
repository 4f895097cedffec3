//! Finished documents of earlier runs, so that what has not changed is not typeset again.
//!
//! A document is found by a key over everything its pages are made from. What is found is taken only
//! if it has the length and the digest it was stored with, so the folder may be deleted, cut short or
//! scribbled in at any time: then the document is typeset afresh. Confidential sheets and question
//! papers are never stored.

use std::env;
use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::SystemTime;

use sha2::{Digest, Sha256};

use crate::print::folder::clearing::private_folder;
use crate::print::folder::manifest::{fingerprint, in_hexadecimal};
use crate::print::{Pdf, Spacing};

/// The form of keys and files described here.
const FORMAT: &str = "slopepack pages 2";
/// Before a text that is only remembered.
const REMEMBERED: &str = "slopepack run 1";
/// Most bytes all stored documents may take together.
const MOST: u64 = 256 << 20;

/// Where finished documents lie.
#[derive(Debug)]
pub struct Cache {
    folder: PathBuf,
    grew: AtomicBool,
}

impl Cache {
    /// The cache in a folder of its own, which need not exist.
    pub fn inside(folder: PathBuf) -> Self {
        Self { folder, grew: AtomicBool::new(false) }
    }

    /// The cache in the user's folder for such things; none when the system names no such folder.
    pub fn of_user() -> Option<Self> {
        let named = |name: &str| env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
        let base = named("XDG_CACHE_HOME")
            .or_else(|| named("LOCALAPPDATA"))
            .or_else(|| env::home_dir().filter(|home| home.is_absolute()).map(|home| home.join(".cache")))?;
        Some(Self::inside(base.join("slopepack")))
    }

    /// The document of a key, if it is there and whole.
    pub(super) fn get(&self, key: &Key) -> Option<Pdf> {
        let path = self.path(key);
        let bytes = fs::read(&path).ok()?;
        let end = bytes.iter().position(|byte| *byte == b'\n')?;
        let mut words = str::from_utf8(&bytes[..end]).ok()?.strip_prefix(FORMAT)?.split_whitespace();
        let (sha256, pages) = (words.next()?, words.next()?.parse().ok()?);
        let spacing = Spacing::of(words.next()?)?;
        let body = &bytes[end + 1..];
        if fingerprint(body) != sha256 {
            return None;
        }
        // So that what is used is thrown away last.
        let _ =
            File::options().append(true).open(&path).and_then(|file| file.set_modified(SystemTime::now()));
        Some(Pdf::checked_before(body.to_vec(), pages, spacing))
    }

    /// Stores a document. One that cannot be stored is typeset again next time, and nothing else.
    pub(super) fn put(&self, key: &Key, pdf: &Pdf) {
        if self.store(key, pdf).is_ok() {
            self.grew.store(true, Ordering::Relaxed);
        }
    }

    /// What was remembered of these parts, if it is there and whole.
    pub fn recall(&self, parts: &[&[u8]]) -> Option<String> {
        let stored = fs::read_to_string(self.path(&remembered(parts))).ok()?;
        let (sha256, text) = stored.strip_prefix(REMEMBERED)?.trim_start().split_once('\n')?;
        (fingerprint(text.as_bytes()) == sha256).then(|| text.to_owned())
    }

    /// Remembers a text of these parts. One that cannot be stored is not there next time, and nothing else.
    pub fn remember(&self, parts: &[&[u8]], text: &str) {
        let head = format!("{REMEMBERED} {}\n", fingerprint(text.as_bytes()));
        if self.write(&remembered(parts), &[head.as_bytes(), text.as_bytes()]).is_ok() {
            self.grew.store(true, Ordering::Relaxed);
        }
    }

    fn store(&self, key: &Key, pdf: &Pdf) -> io::Result<()> {
        let head = format!("{FORMAT} {} {} {}\n", fingerprint(pdf), pdf.pages(), pdf.spacing().word());
        self.write(key, &[head.as_bytes(), pdf])
    }

    fn write(&self, key: &Key, parts: &[&[u8]]) -> io::Result<()> {
        let path = self.path(key);
        let folder = path.parent().expect("a key lies in a folder");
        private_folder().recursive(true).create(folder)?;
        let mut file = tempfile::Builder::new().prefix(".new-").tempfile_in(folder)?;
        for part in parts {
            file.write_all(part)?;
        }
        file.persist(&path).map_err(|failed| failed.error)?;
        Ok(())
    }

    fn path(&self, key: &Key) -> PathBuf {
        self.folder.join(&key.0[..2]).join(&key.0[2..])
    }
}

impl Drop for Cache {
    /// Throws away what was not used for longest, if there is too much.
    fn drop(&mut self) {
        if self.grew.load(Ordering::Relaxed) {
            let _ = shrink(&self.folder, MOST);
        }
    }
}

/// Deletes the files used longest ago until the rest takes no more than `most` bytes.
fn shrink(folder: &Path, most: u64) -> io::Result<()> {
    let mut files = Vec::new();
    for inner in fs::read_dir(folder)? {
        let inner = inner?;
        if !inner.file_type()?.is_dir() {
            continue;
        }
        for file in fs::read_dir(inner.path())? {
            let file = file?;
            let about = file.metadata()?;
            files.push((about.modified()?, about.len(), file.path()));
        }
    }
    files.sort();
    let mut all: u64 = files.iter().map(|(_, length, _)| length).sum();
    for (_, length, path) in files {
        if all <= most {
            break;
        }
        fs::remove_file(path)?;
        all -= length;
    }
    Ok(())
}

/// What a document is found by: a digest over everything its pages are made from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Key(String);

/// A key in the making. Each part has its length before it, so that no two lists of parts are alike.
pub(super) struct Parts(Sha256);

impl Parts {
    pub(super) fn new() -> Self {
        let mut parts = Self(Sha256::new());
        parts.add(FORMAT.as_bytes());
        parts
    }

    pub(super) fn add(&mut self, part: &[u8]) {
        self.0.update((part.len() as u64).to_le_bytes());
        self.0.update(part);
    }

    pub(super) fn key(self) -> Key {
        Key(in_hexadecimal(&self.0.finalize()))
    }
}

/// The key of a text: never that of a document, whose parts begin otherwise.
fn remembered(parts: &[&[u8]]) -> Key {
    let mut all = Parts::new();
    for part in [&[REMEMBERED.as_bytes()], parts].concat() {
        all.add(part);
    }
    all.key()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(parts: &[&str]) -> Key {
        let mut all = Parts::new();
        for part in parts {
            all.add(part.as_bytes());
        }
        all.key()
    }

    #[test]
    fn no_two_lists_of_parts_have_one_key() {
        let lists: [&[&str]; 6] = [&[], &[""], &["a", "b"], &["ab"], &["b", "a"], &["a", "b", ""]];
        for (at, one) in lists.iter().enumerate() {
            assert!(lists[..at].iter().all(|other| key(other) != key(one)), "{one:?}");
        }
    }

    #[test]
    fn what_is_stored_comes_back_and_what_was_harmed_does_not() {
        let desk = tempfile::tempdir().expect("a folder");
        let cache = Cache::inside(desk.path().join("pages"));
        let (one, pdf) =
            (key(&["one"]), Pdf::checked_before(b"%PDF-1.7 whatever".to_vec(), 3, Spacing::Close));
        assert!(cache.get(&one).is_none());
        cache.put(&one, &pdf);
        assert_eq!(cache.get(&one), Some(pdf.clone()));
        let path = cache.path(&one);
        let good = fs::read(&path).expect("stored");
        let other = [&good[..good.len() - 1], b"!"].concat();
        for harmed in [&b""[..], b"\n", &good[..good.len() - 1], &other, &[0xff; 100]] {
            fs::write(&path, harmed).expect("harmed");
            assert!(cache.get(&one).is_none());
        }
        cache.put(&one, &pdf);
        assert_eq!(cache.get(&one), Some(pdf), "written anew");
    }

    #[test]
    fn a_text_is_recalled_by_all_its_parts_and_only_whole() {
        let desk = tempfile::tempdir().expect("a folder");
        let cache = Cache::inside(desk.path().to_owned());
        assert_eq!(cache.recall(&[b"a", b"b"]), None);
        cache.remember(&[b"a", b"b"], "what was said\nand more");
        assert_eq!(cache.recall(&[b"a", b"b"]).as_deref(), Some("what was said\nand more"));
        assert_eq!(cache.recall(&[b"ab"]), None);
        let path = cache.path(&remembered(&[b"a", b"b"]));
        let harmed = fs::read_to_string(&path).expect("stored").replace("more", "less");
        fs::write(&path, harmed).expect("harmed");
        assert_eq!(cache.recall(&[b"a", b"b"]), None);
    }

    #[test]
    fn what_was_not_used_for_longest_goes_first() {
        let desk = tempfile::tempdir().expect("a folder");
        let cache = Cache::inside(desk.path().to_owned());
        let keys: Vec<Key> = ["a", "b", "c"].iter().map(|name| key(&[name])).collect();
        for (at, one) in (0u64..).zip(&keys) {
            cache.put(one, &Pdf::checked_before(vec![b'x'; 1000], 1, Spacing::Usual));
            let time = SystemTime::UNIX_EPOCH + std::time::Duration::from_secs(at + 1);
            let file = File::options().append(true).open(cache.path(one)).expect("stored");
            file.set_modified(time).expect("its time");
        }
        assert!(cache.get(&keys[0]).is_some(), "used just now");
        shrink(desk.path(), 2500).expect("shrunk");
        let left: Vec<bool> = keys.iter().map(|one| cache.path(one).exists()).collect();
        assert_eq!(left, [true, false, true]);
    }
}
