//! `check`: read a course and the files it names, and say what is wrong, or what is in it.

use super::named::read_all;
use super::say::Say;
use super::{read_course, write_out};
use crate::cli::CheckArgs;
use crate::course::advice;
use crate::problem::{Failure, printable};

/// Reads the course and every file it names; every mistake in them goes to standard error.
pub fn run(args: &CheckArgs, say: &Say) -> Result<(), Failure> {
    let loaded = read_course(&args.course, say)?;
    read_all(&loaded, &args.course, say)?;
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
