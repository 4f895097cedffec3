//! What goes to standard error: progress for a person at a terminal, diagnostics for everybody.

pub(super) mod wrong;

use std::fmt::Display;
use std::io::{IsTerminal, Write};
use std::sync::Mutex;

use crate::problem::{Failure, one_line, printable};

/// The voice of a run.
pub(super) struct Say {
    /// Whether diagnostics are coloured.
    pub colour: bool,
    progress: bool,
    quiet: bool,
    line_open: Mutex<bool>,
    noted: Mutex<Vec<String>>,
}

impl Say {
    /// Progress shows only on a terminal, and not when asked to be quiet.
    pub(super) fn new(quiet: bool) -> Self {
        let terminal = std::io::stderr().is_terminal();
        Self {
            colour: terminal && std::env::var_os("NO_COLOR").is_none(),
            progress: !quiet && terminal,
            quiet,
            line_open: Mutex::new(false),
            noted: Mutex::new(Vec::new()),
        }
    }

    /// Progress: replaces the line before it on a terminal, says nothing in a pipe.
    pub(super) fn progress(&self, text: &str) {
        if !self.progress {
            return;
        }
        if let Ok(mut open) = self.line_open.lock() {
            to_errors(format_args!("\r\x1b[K{}", one_line(text)));
            *open = true;
        }
    }

    /// Something worth knowing that stops nothing.
    pub(super) fn note(&self, text: &str) {
        if let Ok(mut noted) = self.noted.lock() {
            noted.push(text.to_owned());
        }
        if !self.quiet {
            self.end_line();
            to_errors(format_args!("note: {}\n", printable(text)));
        }
    }

    /// All that was noted until now.
    pub(super) fn noted(&self) -> Vec<String> {
        self.noted.lock().map(|noted| noted.clone()).unwrap_or_default()
    }

    /// Text already laid out, such as problems of a course.
    pub(super) fn diagnostics(&self, text: &str) {
        self.end_line();
        to_errors(text);
    }

    /// Why the run ended.
    pub(super) fn failure(&self, failure: &Failure) {
        self.end_line();
        if *failure == Failure::Told {
            return;
        }
        let text = failure.to_string();
        // Complaints of the typesetter bring the word with them.
        let word = if text.starts_with("error: ") { "" } else { "error: " };
        to_errors(format_args!("{word}{text}\n"));
    }

    /// Clears a terminal of what was said; elsewhere all of it stays.
    pub(super) fn clear(&self) {
        if self.progress {
            self.end_line();
            to_errors("\x1b[2J\x1b[H");
        }
    }

    /// Ends the progress line, so that what follows starts on its own.
    pub(super) fn end_line(&self) {
        if let Ok(mut open) = self.line_open.lock()
            && std::mem::take(&mut *open)
        {
            to_errors("\r\x1b[K");
        }
    }
}

/// Writes to standard error. Where nobody can listen, nothing is said, and the work goes on.
fn to_errors(text: impl Display) {
    let mut errors = std::io::stderr().lock();
    let _ = write!(errors, "{text}").and_then(|()| errors.flush());
}
