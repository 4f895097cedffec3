//! The external typesetter: the `typst` program, one process a document.
//!
//! It sees one folder and nothing else: no network, no packages, no system fonts, none of the
//! user's settings. Pages are therefore the same everywhere. Its warnings are failures, since a
//! missing face is only a warning to it.

pub mod cache;
mod fault;
mod fill;
pub mod pdf;
mod pool;
mod process;

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;
use std::time::Duration;
use std::{env, fs, path};

use super::trace::complaints;
use super::{Rendered, Workshop};
use crate::problem::Failure;
use cache::{Cache, Key, Parts};
pub use fault::{Cause, Fault};
use pdf::{Pdf, is_whole_picture};
use pool::in_parallel;
use process::{Broken, Finished, Limits};

/// The oldest version that knows the options used here.
const OLDEST: (u32, u32) = (0, 15);
/// How to get it.
const INSTALL: &str = "install it with `cargo install --locked typst-cli@0.15.1`";
/// Longest time one document may take.
pub const TIME_LIMIT: Duration = Duration::from_mins(1);
/// Options of every run.
const ALWAYS: [&str; 4] = ["-j1", "--diagnostic-format", "short", "--ignore-system-fonts"];
/// Options of a document.
const PDF: [&str; 4] = ["--format", "pdf", "--pdf-standard", "ua-1"];
/// Most it may say: the largest document, and the longest list of complaints, in bytes.
const MOST: (u64, u64) = (256 << 20, 1 << 20);
/// How long, and how much, it may take to tell its version.
const TO_TELL: Limits = Limits { time: Duration::from_secs(10), output: 1 << 16, errors: 1 << 16 };
/// Where no server listens: an attempt to reach the network fails at once.
const NOWHERE: &str = "http://127.0.0.1:9";
const PROXIES: [&str; 6] =
    ["HTTP_PROXY", "HTTPS_PROXY", "ALL_PROXY", "http_proxy", "https_proxy", "all_proxy"];

/// The typesetter, found and checked.
#[derive(Clone, Debug)]
pub struct Typesetter {
    program: PathBuf,
    version: String,
    /// All it said of itself, and how large and how old its file is.
    identity: String,
    limit: Duration,
    cache: Option<Arc<Cache>>,
}

impl Typesetter {
    /// Finds the typesetter, as named, else `typst` beside the program, else on PATH, else where `cargo install` puts it, and
    /// checks its version.
    ///
    /// # Errors
    /// It is missing, does not start, is not the typesetter, or is too old: what was found, where
    /// it was looked for, how to install it.
    pub fn find(named: Option<&Path>) -> Result<Self, Failure> {
        let program = named.map_or_else(beside_or_installed, whole);
        let looked = match named {
            Some(path) => format!("as named, at {}", path.display()),
            None => "beside this program, on PATH and where cargo installs programs".into(),
        };
        let fail = |what: String| Failure::Typesetter(format!("{what} (looked {looked}); {INSTALL}"));
        let mut command = Command::new(&program);
        shield(&mut command);
        command.arg("--version");
        let finished = match process::run(&mut command, "", TO_TELL) {
            Ok(finished) => finished,
            Err(Broken::TimedOut) => {
                return Err(fail("the typesetter did not tell its version within 10 s".into()));
            }
            Err(Broken::TooMuch(_)) => {
                return Err(fail("this is not the typesetter: asked for its version it never stops".into()));
            }
            Err(Broken::Start(why)) if why.kind() == std::io::ErrorKind::NotFound => {
                return Err(fail("the typesetter `typst` was not found".into()));
            }
            Err(Broken::Start(why)) => {
                return Err(fail(format!("the typesetter cannot be started: {why}")));
            }
        };
        let said = String::from_utf8_lossy(&finished.output);
        let said = said.lines().next().unwrap_or_default().trim();
        let Some(version) = finished.status.success().then(|| version_in(said)).flatten() else {
            return Err(fail(format!("this is not the typesetter: it calls itself \u{2018}{said}\u{2019}")));
        };
        if numbers(version) < Some(OLDEST) {
            let (major, minor) = OLDEST;
            return Err(fail(format!(
                "the typesetter is too old: version {version}, needed is {major}.{minor} or later"
            )));
        }
        let identity = format!("{said} {}", stamp_of(&program));
        Ok(Self { identity, program, version: version.to_owned(), limit: TIME_LIMIT, cache: None })
    }

    /// The same typesetter with another limit of wall-clock time for each document.
    #[must_use]
    pub fn with_limit(mut self, limit: Duration) -> Self {
        self.limit = limit;
        self
    }

    /// The same typesetter, which takes what it has typeset before from a cache.
    #[must_use]
    pub fn with_cache(mut self, cache: Option<Cache>) -> Self {
        self.cache = cache.map(Arc::new);
        self
    }

    /// Its version, such as `0.15.1`.
    pub fn version(&self) -> &str {
        &self.version
    }

    /// What tells this build of it from any other.
    pub fn identity(&self) -> &str {
        &self.identity
    }

    /// Where it takes from what was typeset before, if it does.
    pub fn cache(&self) -> Option<&Cache> {
        self.cache.as_deref()
    }

    /// One document as an accessible PDF (PDF/UA-1). `stamp` is its date, in seconds since 1970.
    ///
    /// # Errors
    /// Any error or warning of the typesetter, the time limit, or pages that are not whole.
    pub fn pdf(&self, workshop: &Workshop, document: &Rendered, stamp: i64) -> Result<Pdf, Fault> {
        let cache = self.cache.as_ref().filter(|_| !document.confidential);
        let kept = cache.map(|cache| (cache, self.key(workshop, document, stamp)));
        if let Some(pdf) = kept.as_ref().and_then(|(cache, key)| cache.get(key)) {
            return Ok(pdf);
        }
        let pdf = self.set(workshop, document, stamp)?;
        let pdf = if document.saves_pages { self.closer(workshop, document, stamp, pdf) } else { pdf };
        if let Some((cache, key)) = kept {
            cache.put(&key, &pdf);
        }
        Ok(pdf)
    }

    /// One document, set as it says.
    fn set(&self, workshop: &Workshop, document: &Rendered, stamp: i64) -> Result<Pdf, Fault> {
        let bytes = self.compile(workshop, document, stamp, &PDF.map(OsString::from), "-".into())?;
        let pdf = Pdf::of(bytes).map_err(|lacking| {
            other(
                document,
                format!("the typesetter ended well, but what it gave back is of no use: {lacking}"),
            )
        })?;
        Ok(pdf.set(document.spacing))
    }

    /// The widest of the closer spacings that spares a last page of a few lines; as it is where none does.
    fn closer(&self, workshop: &Workshop, document: &Rendered, stamp: i64, usual: Pdf) -> Pdf {
        let closer = |spacing| self.set(workshop, &document.clone().set(spacing), stamp).ok();
        let spared = usual.closer().filter_map(closer).find(|pdf| pdf.pages() < usual.pages());
        spared.unwrap_or(usual)
    }

    /// Everything the pages of a document are made from.
    fn key(&self, workshop: &Workshop, document: &Rendered, stamp: i64) -> Key {
        let mut parts = Parts::new();
        for part in [env!("CARGO_PKG_VERSION"), &self.identity, &document.text, &stamp.to_string()] {
            parts.add(part.as_bytes());
        }
        parts.add(document.edition.word().unwrap_or_default().as_bytes());
        parts.add(document.spacing.word().as_bytes());
        parts.add(&[u8::from(document.saves_pages)]);
        for option in PDF.iter().chain(&ALWAYS) {
            parts.add(option.as_bytes());
        }
        for (path, digest) in workshop.sources_of(&document.text) {
            parts.add(path.as_bytes());
            parts.add(digest.as_bytes());
        }
        parts.key()
    }

    /// One document as pictures (PNG), a page each, at a resolution in dots per inch.
    ///
    /// # Errors
    /// As [`Typesetter::pdf`], or the pages cannot be written or read.
    pub fn pages(
        &self,
        workshop: &Workshop,
        document: &Rendered,
        stamp: i64,
        resolution: u32,
    ) -> Result<Vec<Vec<u8>>, Fault> {
        let options = ["--format", "png", "--ppi", &resolution.to_string()].map(OsString::from);
        self.one_by_one(workshop, document, stamp, &options)
    }

    /// One document as drawings (SVG), a page each, to be laid several to a sheet.
    ///
    /// # Errors
    /// As [`Typesetter::pages`].
    pub fn drawn_pages(
        &self,
        workshop: &Workshop,
        document: &Rendered,
        stamp: i64,
    ) -> Result<Vec<Vec<u8>>, Fault> {
        self.one_by_one(workshop, document, stamp, &["--format", "svg"].map(OsString::from))
    }

    /// Pages as files of their own, in order.
    fn one_by_one(
        &self,
        workshop: &Workshop,
        document: &Rendered,
        stamp: i64,
        options: &[OsString],
    ) -> Result<Vec<Vec<u8>>, Fault> {
        let fault = |words: String| other(document, words);
        let folder = workshop.pages().map_err(|failure| fault(failure.to_string()))?;
        let pattern = folder.path().join("{0p}.page").into_os_string();
        self.compile(workshop, document, stamp, options, pattern)?;
        let read = || -> std::io::Result<Vec<Vec<u8>>> {
            let mut paths: Vec<_> = fs::read_dir(folder.path())?
                .map(|entry| Ok(entry?.path()))
                .collect::<std::io::Result<_>>()?;
            paths.sort();
            paths.iter().map(fs::read).collect()
        };
        let pages = read().map_err(|why| fault(format!("its pages cannot be read back: {why}")))?;
        if pages.is_empty() || !pages.iter().all(|page| is_whole_picture(page)) {
            return Err(fault("the typesetter ended well, but its pages are missing or not whole".into()));
        }
        Ok(pages)
    }

    /// Many documents as PDF, as many at a time as the machine has processors; in the order given.
    /// `done` hears of each finished document, by its place in the list.
    ///
    /// # Errors
    /// All faults of all documents, together.
    pub fn pdfs(
        &self,
        workshop: &Workshop,
        documents: &[Rendered],
        stamp: i64,
        done: impl Fn(usize) + Sync,
    ) -> Result<Vec<Pdf>, Failure> {
        // A longer text is the better part of a longer job.
        let weights: Vec<usize> = documents.iter().map(|document| document.text.len()).collect();
        let results = in_parallel(&weights, |at| {
            let result = self.pdf(workshop, &documents[at], stamp);
            done(at);
            result
        });
        let mut pdfs = Vec::new();
        let mut faults = Vec::new();
        for result in results {
            match result {
                Ok(pdf) => pdfs.push(pdf),
                Err(fault) => faults.push(fault.to_string()),
            }
        }
        if faults.is_empty() { Ok(pdfs) } else { Err(Failure::Typesetter(faults.join("\n\n"))) }
    }

    fn compile(
        &self,
        workshop: &Workshop,
        document: &Rendered,
        stamp: i64,
        options: &[OsString],
        target: OsString,
    ) -> Result<Vec<u8>, Fault> {
        let mut command = Command::new(&self.program);
        shield(&mut command);
        command
            .current_dir(workshop.root())
            .arg("compile")
            .args(ALWAYS)
            .arg(joined("--root", &workshop.root()))
            .arg(joined("--font-path", &workshop.fonts()))
            .arg(joined("--package-path", &workshop.no_packages()))
            .arg(joined("--package-cache-path", &workshop.no_packages()))
            .arg(format!("--creation-timestamp={stamp}"))
            .args(document.edition.word().map(|word| format!("--input=edition={word}")))
            .arg(format!("--input=spacing={}", document.spacing.word()))
            .args(options)
            .arg("-")
            .arg(target);
        let limits = Limits { time: self.limit, output: MOST.0, errors: MOST.1 };
        match process::run(&mut command, &document.text, limits) {
            Ok(finished) => judge(document, finished),
            Err(Broken::TooMuch(most)) => Err(other(
                document,
                format!("the typesetter wrote more than {} MiB and was stopped", most >> 20),
            )),
            Err(Broken::TimedOut) => {
                Err(Fault { document: document.name.clone(), cause: Cause::TimedOut(self.limit) })
            }
            Err(Broken::Start(why)) => Err(other(document, format!("the typesetter cannot be run: {why}"))),
        }
    }
}

/// The one beside the program, as both come in one archive; `typst` itself when PATH has it; else the one that
/// `cargo install` left, for those whose shell does not look there.
fn beside_or_installed() -> PathBuf {
    let name = format!("typst{}", std::env::consts::EXE_SUFFIX);
    let beside = env::current_exe().ok().map(|own| own.with_file_name(&name));
    if let Some(beside) = beside.filter(|path| path.is_file()) {
        return beside;
    }
    let on_path = std::env::var_os("PATH")
        .is_some_and(|path| std::env::split_paths(&path).any(|folder| folder.join(&name).is_file()));
    let cargo = std::env::var_os("CARGO_HOME")
        .map(PathBuf::from)
        .or_else(|| std::env::home_dir().map(|home| home.join(".cargo")));
    let installed = cargo.map(|cargo| cargo.join("bin").join(&name)).filter(|path| path.is_file());
    installed.filter(|_| !on_path).unwrap_or_else(|| PathBuf::from("typst"))
}

/// Length and time of a program's file, which tell a new build of the same version.
pub fn stamp_of(program: &Path) -> String {
    let found = env::var_os("PATH").filter(|_| program.components().count() == 1).and_then(|path| {
        env::split_paths(&path).map(|folder| folder.join(program)).find(|path| path.is_file())
    });
    fs::metadata(found.as_deref().unwrap_or(program))
        .map(|about| format!("{} {:?}", about.len(), about.modified().ok()))
        .unwrap_or_default()
}

/// A path that means the same from every folder; a bare name is left to PATH.
fn whole(named: &Path) -> PathBuf {
    let bare = named.components().count() == 1 && !named.is_absolute();
    if bare { named.to_path_buf() } else { path::absolute(named).unwrap_or_else(|_| named.to_path_buf()) }
}

/// Pages, if the typesetter had nothing to say.
fn judge(document: &Rendered, finished: Finished) -> Result<Vec<u8>, Fault> {
    let complaints = complaints(document, &finished.errors);
    if !complaints.is_empty() {
        return Err(Fault { document: document.name.clone(), cause: Cause::Complaints(complaints) });
    }
    if finished.status.success() {
        return Ok(finished.output);
    }
    let said = finished.errors.trim();
    Err(other(document, format!("the typesetter ended with {}. {said}", finished.status)))
}

fn other(document: &Rendered, words: String) -> Fault {
    Fault { document: document.name.clone(), cause: Cause::Other(words) }
}

/// Keeps the user's settings and the network away from the child.
fn shield(command: &mut Command) {
    for (name, _) in env::vars_os() {
        if name.to_string_lossy().to_ascii_uppercase().starts_with("TYPST_") {
            command.env_remove(name);
        }
    }
    for name in ["SOURCE_DATE_EPOCH", "NO_PROXY", "no_proxy"] {
        command.env_remove(name);
    }
    command.envs(PROXIES.map(|name| (name, NOWHERE)));
}

fn joined(option: &str, path: &Path) -> OsString {
    let mut argument = OsString::from(option);
    argument.push("=");
    argument.push(path);
    argument
}

/// The version in `typst 0.15.1 (…)`.
fn version_in(said: &str) -> Option<&str> {
    said.strip_prefix("typst ")?.split_whitespace().next().filter(|version| numbers(version).is_some())
}

fn numbers(version: &str) -> Option<(u32, u32)> {
    let mut parts = version.split('.');
    Some((parts.next()?.parse().ok()?, parts.next()?.parse().ok()?))
}
