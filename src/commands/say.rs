//! What goes to standard error: progress for a person at a terminal, diagnostics for everybody.

use std::io::{IsTerminal, Write};
use std::sync::Mutex;

use crate::problem::Failure;

/// The voice of a run.
pub struct Say {
    /// Whether diagnostics are coloured.
    pub colour: bool,
    progress: bool,
    quiet: bool,
    line_open: Mutex<bool>,
}

impl Say {
    /// Progress shows only on a terminal, and not when asked to be quiet.
    pub fn new(quiet: bool) -> Self {
        let terminal = std::io::stderr().is_terminal();
        Self {
            colour: terminal && std::env::var_os("NO_COLOR").is_none(),
            progress: !quiet && terminal,
            quiet,
            line_open: Mutex::new(false),
        }
    }

    /// Progress: replaces the line before it on a terminal, says nothing in a pipe.
    pub fn progress(&self, text: &str) {
        if !self.progress {
            return;
        }
        if let Ok(mut open) = self.line_open.lock() {
            eprint!("\r\x1b[K{text}");
            let _ = std::io::stderr().flush();
            *open = true;
        }
    }

    /// Something worth knowing that stops nothing.
    pub fn note(&self, text: &str) {
        if !self.quiet {
            self.end_line();
            eprintln!("note: {text}");
        }
    }

    /// Text already laid out, such as problems of a course.
    pub fn diagnostics(&self, text: &str) {
        self.end_line();
        eprint!("{text}");
    }

    /// Why the run ended.
    pub fn failure(&self, failure: &Failure) {
        self.end_line();
        match failure {
            // Problems with a place have been shown where they stand.
            Failure::Course(problems) if problems.is_empty() => {}
            _ => eprintln!("error: {failure}"),
        }
    }

    /// Ends the progress line, so that what follows starts on its own.
    pub fn end_line(&self) {
        if let Ok(mut open) = self.line_open.lock()
            && std::mem::take(&mut *open)
        {
            eprint!("\r\x1b[K");
        }
    }
}
