//! What learners work through and keep.

pub(crate) mod quiz;
pub(crate) mod workbook;
