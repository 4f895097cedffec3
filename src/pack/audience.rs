//! Whom papers are for.

use clap::ValueEnum;

/// Whose papers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub enum Audience {
    /// Prepares and teaches the day.
    Instructor,
    /// Tests knowledge and driving.
    Assessor,
    /// Runs the day with volunteers.
    Club,
}
