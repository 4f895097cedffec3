//! `begin`: a small course that packs at once, and a spreadsheet's file for its drivers.

mod asked;
pub(super) mod starter;

use std::fs::OpenOptions;
use std::io::{ErrorKind, IsTerminal, Write};
use std::path::{Path, PathBuf};

use super::say::Say;
use super::write_out;
use crate::cli::BeginArgs;
use crate::problem::Failure;
use starter::Starter;

/// Heads of a roster, with two drivers as examples.
const PEOPLE: &str = include_str!("../../templates/begin/people.csv");

/// Writes the files of a first course into a folder; nothing that is there is written over.
pub(super) fn run(args: &BeginArgs, say: &Say) -> Result<(), Failure> {
    let starter = if std::io::stdin().is_terminal() && std::io::stderr().is_terminal() && !args.nothing_asked
    {
        asked::ask(args, &mut std::io::stdin().lock(), &mut std::io::stderr())?
    } else {
        Starter::of(args)?
    };
    let files = [
        ("course.yaml", starter.text(&args.folder.join("course.yaml"))?),
        ("people.csv", PEOPLE.into()),
        ("course.schema.json", super::schema::of_course(&starter::shown_in_full()?)),
    ];
    let paths: Vec<PathBuf> = files.iter().map(|(name, _)| args.folder.join(name)).collect();
    if let Some(there) = paths.iter().find(|path| path.symlink_metadata().is_ok()) {
        return Err(Failure::Files(format!(
            "{} is there already, and is left as it is; name another folder",
            there.display()
        )));
    }
    std::fs::create_dir_all(&args.folder)
        .map_err(|why| Failure::files("make the folder", &args.folder, &why))?;
    for (path, (_, text)) in paths.iter().zip(&files) {
        write_new(path, text)?;
    }
    let lines: Vec<String> = paths.iter().map(|path| format!("{}\n", path.display())).collect();
    write_out(&lines.concat())?;
    let course = paths[0].display();
    say.note(&format!("now `slopepack check {course}`, then `slopepack pack {course}`"));
    Ok(())
}

/// Writes a file that is not there yet.
fn write_new(path: &Path, text: &str) -> Result<(), Failure> {
    let opened = OpenOptions::new().write(true).create_new(true).open(path);
    opened.and_then(|mut file| file.write_all(text.as_bytes())).map_err(|why| match why.kind() {
        ErrorKind::AlreadyExists => {
            Failure::Files(format!("{} is there already, and is left as it is", path.display()))
        }
        _ => Failure::files("write", path, &why),
    })
}
