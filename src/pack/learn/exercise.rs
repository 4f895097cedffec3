//! An exercise of the workbook and its answer.

use serde::Serialize;

use crate::page::figure::Fig;

/// An exercise with room to write.
#[derive(Serialize)]
pub(crate) struct Exercise {
    pub(crate) no: String,
    pub(crate) text: String,
    pub(crate) data: Vec<Datum>,
    pub(crate) lines: usize,
    pub(crate) unit: String,
}

/// A number given in an exercise or a question.
#[derive(Clone, Serialize)]
pub(crate) struct Datum {
    pub name: String,
    pub value: Fig,
}

/// Its answer.
#[derive(Serialize)]
pub(crate) struct Answer {
    pub(crate) no: String,
    pub(crate) value: Fig,
    pub(crate) how: String,
}
