//! `schema`: the form of the files a user writes, as JSON Schema for editors.

use super::begin::starter::shown_in_full;
use super::write_out;
use crate::cli::{SchemaArgs, SchemaOf};
use crate::course::schema;
use crate::paper;
use crate::problem::Failure;

/// The examples, and what can be said in another way than the first course says it.
const SHOWN: [&str; 4] = [
    include_str!("../../courses/quarry-day.yaml"),
    include_str!("../../courses/hill-club-weekend.yaml"),
    include_str!("../../courses/six-slope-saturday.yaml"),
    include_str!("../../templates/begin/other-ways.yaml"),
];

/// Writes a schema to standard output.
pub(super) fn run(args: &SchemaArgs) -> Result<(), Failure> {
    write_out(&match args.of {
        SchemaOf::Course => of_course(&shown_in_full()?),
        SchemaOf::Items => of_items(),
    })
}

/// The schema of a course file, where `first` is the first course that `begin` writes, in full.
pub(super) fn of_course(first: &str) -> String {
    let mut all = vec![first];
    all.extend(SHOWN);
    written(&schema::of_courses(&all))
}

fn of_items() -> String {
    let files = paper::embedded();
    let all: Vec<&str> = files.iter().map(|(_, text)| *text).collect();
    written(&schema::of_items(&all))
}

fn written(schema: &serde_json::Value) -> String {
    format!("{schema:#}\n")
}
