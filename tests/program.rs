//! The program as a person runs it, in a folder of its own.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use assert_cmd::Command;
use tempfile::TempDir;

/// Where the runs of one suite find what another of them has typeset: empty when the suite begins, since a new build may
/// reckon otherwise what an earlier one remembered.
static SHARED: LazyLock<PathBuf> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("cache-of-the-suite");
    let _ = std::fs::remove_dir_all(&folder);
    folder
});

/// The program, which keeps what it typesets where every run of this suite finds it.
pub(crate) fn slopepack() -> std::process::Command {
    let mut command = std::process::Command::new(assert_cmd::cargo::cargo_bin("slopepack"));
    command.env_remove("SLOPEPACK_NO_CACHE").env("XDG_CACHE_HOME", &*SHARED);
    command
}

/// A folder with a course in it.
pub(crate) struct Bench {
    folder: TempDir,
}

/// What a run came to.
pub(crate) struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    fn of(output: &std::process::Output) -> Self {
        let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
        Self { code: output.status.code().unwrap(), out: text(&output.stdout), err: text(&output.stderr) }
    }
}

impl Bench {
    /// With the example course of this name.
    pub(crate) fn with_example(name: &str) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses").join(name);
        Self::with_course(&std::fs::read_to_string(path).unwrap())
    }

    /// With this text as `day.yaml`.
    pub(crate) fn with_course(text: &str) -> Self {
        let bench = Self { folder: tempfile::tempdir().unwrap() };
        std::fs::write(bench.path("day.yaml"), text).unwrap();
        bench
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The command, to be given arguments.
    pub(crate) fn command(&self) -> Command {
        let mut command = Command::from(slopepack());
        command.current_dir(self.folder.path()).env_remove("SLOPEPACK_TYPST");
        if let Some(typst) = std::env::var_os("SLOPEPACK_TYPST") {
            command.env("SLOPEPACK_TYPST", typst);
        }
        command
    }

    /// Runs the program.
    pub(crate) fn run(&self, args: &[&str]) -> Ran {
        Ran::of(&self.command().args(args).output().unwrap())
    }

    /// Runs the program in no more than so much address space, KiB.
    #[cfg(target_os = "linux")]
    pub(crate) fn within(&self, kibibytes: u32, args: &[&str]) -> Ran {
        let program = slopepack();
        let mut shell = std::process::Command::new("sh");
        for (name, value) in program.get_envs() {
            match value {
                Some(value) => shell.env(name, value),
                None => shell.env_remove(name),
            };
        }
        shell.current_dir(self.folder.path());
        let limited = format!("ulimit -v {kibibytes}; exec \"$0\" \"$@\"");
        let output = shell.arg("-c").arg(limited).arg(program.get_program()).args(args).output().unwrap();
        Ran::of(&output)
    }

    /// Name and content of every file of a folder, in order of name.
    pub(crate) fn files(&self, folder: &str) -> Vec<(String, Vec<u8>)> {
        let mut files: Vec<_> = std::fs::read_dir(self.path(folder))
            .unwrap()
            .map(|entry| entry.unwrap())
            .map(|entry| {
                (entry.file_name().into_string().unwrap(), std::fs::read(entry.path()).unwrap_or_default())
            })
            .collect();
        files.sort();
        files
    }
}

/// The text of a document, spaces and break opportunities left out.
pub(crate) fn text_of(pdf: &[u8]) -> String {
    let document = lopdf::Document::load_mem(pdf).unwrap();
    let pages: Vec<u32> = document.get_pages().keys().copied().collect();
    squeezed(&document.extract_text(&pages).unwrap())
}

/// The same of a file.
pub(crate) fn text_at(path: &Path) -> String {
    text_of(&std::fs::read(path).unwrap())
}

/// Text without spaces and break opportunities.
pub(crate) fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && *c != '\u{200b}').collect()
}
