//! What learners work through and keep.

pub(crate) mod choice;
pub(crate) mod exercise;
pub(crate) mod quiz;
pub(crate) mod workbook;
