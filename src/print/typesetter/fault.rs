//! What goes wrong while a document is typeset.

use std::fmt;
use std::time::Duration;

use crate::print::Complaint;
use crate::problem::Failure;

/// Why a document did not become pages.
#[derive(Debug)]
pub struct Fault {
    /// The document's template.
    pub document: String,
    /// What happened.
    pub cause: Cause,
}

/// What kept a document from becoming pages.
#[derive(Debug)]
pub enum Cause {
    /// The typesetter's errors and warnings.
    Complaints(Vec<Complaint>),
    /// It was still running at the limit.
    TimedOut(Duration),
    /// It could not be run, ended without a word, or its pages could not be read.
    Other(String),
}

impl fmt::Display for Fault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.cause {
            Cause::Complaints(complaints) => {
                for (at, complaint) in complaints.iter().enumerate() {
                    write!(out, "{}{complaint}", if at == 0 { "" } else { "\n\n" })?;
                }
                Ok(())
            }
            Cause::TimedOut(limit) => write!(
                out,
                "error: {} was not typeset within {} s and was stopped",
                self.document,
                limit.as_secs_f64()
            ),
            Cause::Other(words) => write!(out, "error: {} was not typeset: {words}", self.document),
        }
    }
}

impl From<Fault> for Failure {
    fn from(fault: Fault) -> Self {
        Failure::Typesetter(fault.to_string())
    }
}
