//! The parts of a workbook.

/// Where a workbook prints a worked example that is not called for by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Among those worked.
    Worked,
    /// Among those to work.
    Exercise,
}
