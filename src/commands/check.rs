//! `check`: read a course and the files it names, say what is wrong, or what is in it, and try its rota.

mod advised;

use advised::{advise, estimated};

use super::letters::faces_for;
use super::named::read_all;
use super::own::Club;
use super::rotated::{judged, read_back, refused};
use super::say::Say;
use super::{read_course, write_out};
use crate::cli::CheckArgs;
use crate::course::{Course, advice};
use crate::engine::reckon;
use crate::pack::Book;
use crate::problem::{Failure, printable};
use crate::rota;

/// Reads the course and every file it names, and tries the rota; every mistake goes to standard error.
pub(super) fn run(args: &CheckArgs, say: &Say) -> Result<(), Failure> {
    let loaded = read_course(&args.course, say)?;
    read_all(&loaded, &args.course, say)?;
    faces_for(&loaded, None, args.fonts.as_deref(), say)?;
    for note in advice(&loaded.course) {
        say.note(&note);
    }
    let course = &loaded.course;
    let club = Club::beside(&args.course, say)?;
    let own = if club.is_empty() { 0 } else { club.try_all(&tried(course)?)? };
    write_out(&printable(&format!(
        "{}: {}, {}, {}, {}{}: no mistakes\n",
        loaded.name,
        counted(course.slopes.len(), "slope", "slopes"),
        counted(course.vehicles.len(), "vehicle", "vehicles"),
        counted(course.kit.len(), "piece of kit", "pieces of kit"),
        counted(course.people.len(), "person", "people"),
        if own == 0 {
            String::new()
        } else {
            format!(", {own} page{} in the club's words", if own == 1 { "" } else { "s" })
        },
    )))?;
    if args.advise {
        write_out(&printable(&advise(course, &reckon(course))))?;
    } else if let Some(note) = estimated(course) {
        say.note(&note);
    }
    try_rota(course, say)
}

fn counted(count: usize, one: &str, more: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { more })
}

/// All that the pages of a club can be filled from; the rota is tried where it is looked at.
fn tried(course: &Course) -> Result<Book<'_>, Failure> {
    let mut book = Book::of(course, "0000-0000");
    book.made().map_err(|why| refused(&why))?;
    Ok(book)
}

/// Tries the rota of a course that has one, every day's, and reads it back.
fn try_rota(course: &Course, say: &Say) -> Result<(), Failure> {
    if !rota::rotates(course) {
        return Ok(());
    }
    say.progress("making the rota");
    let days = rota::plan_days(course, &judged(course)).map_err(|why| refused(&why))?;
    for (day, rota) in &days {
        write_out(&printable(&read_back(day, rota)))?;
    }
    Ok(())
}
