//! `check`: read a course and say what is wrong, or what is in it.

use super::say::Say;
use super::{read_course, write_out};
use crate::cli::CheckArgs;
use crate::course::advice;
use crate::problem::{Failure, printable};

/// Reads the course; every mistake in it goes to standard error.
pub fn run(args: &CheckArgs, say: &Say) -> Result<(), Failure> {
    let loaded = read_course(&args.course, say)?;
    for note in advice(&loaded.course) {
        say.note(&note);
    }
    let course = &loaded.course;
    write_out(&printable(&format!(
        "{}: {} slopes, {} vehicles, {} pieces of kit, {} people: no mistakes\n",
        loaded.name,
        course.slopes.len(),
        course.vehicles.len(),
        course.kit.len(),
        course.people.len(),
    )))
}
