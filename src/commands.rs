//! The commands, one file each.

mod bank;
mod begin;
mod check;
mod letters;
mod mark;
mod named;
mod own;
mod pack;
mod papers;
mod reckon;
mod rotated;
mod say;
mod schema;
mod shell;
mod survey;
mod wording;

use std::path::Path;
use std::process::ExitCode;

use crate::cli::{Cli, Command};
use crate::course::{self, Loaded};
use crate::earned::with_figures;
use crate::print::{About, Manifest, Publication, ending};
use crate::problem::{Failure, render_problems};
use say::Say;
pub use say::wrong::wrong;

/// Runs what was asked and says why when it cannot.
pub fn run(cli: &Cli) -> ExitCode {
    if matches!(cli.command, Command::Guard) {
        ending::stand_guard();
        return ExitCode::SUCCESS;
    }
    ending::prepare(std::env::current_exe().ok());
    let say = Say::new(cli.quiet);
    let done = match &cli.command {
        Command::Begin(args) => begin::run(args, &say),
        Command::Pack(args) if args.watch => pack::watch(args, cli.quiet),
        Command::Pack(args) => pack::run(args, &say),
        Command::Reckon(args) => reckon::run(args, &say),
        Command::Papers(args) => papers::run(args, &say),
        Command::Mark(args) => mark::run(args, &say),
        Command::Check(args) => check::run(args, &say),
        Command::Survey(args) => survey::run(args, &say),
        Command::Schema(args) => schema::run(args),
        Command::Wording(args) => wording::run(args),
        Command::Completions(args) => shell::completions(args),
        Command::Manual => shell::manual(),
        Command::Guard => Ok(()),
    };
    ending::wait_if_stopping();
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            say.failure(&failure);
            ExitCode::from(failure.exit_code())
        }
    }
}

/// Puts papers in place, tells what was kept or taken away, and lists them on standard output.
fn put_in_place(publication: Publication, about: About, into: &Path, say: &Say) -> Result<(), Failure> {
    let (manifest, notes) = publication.finish(about)?;
    say.end_line();
    for note in &notes {
        say.note(note);
    }
    list(&manifest, into)
}

/// Lists papers on standard output.
fn list(manifest: &Manifest, into: &Path) -> Result<(), Failure> {
    let lines: Vec<String> =
        manifest.files.iter().map(|file| format!("{}\n", into.join(&file.path).display())).collect();
    write_out(&lines.concat())
}

/// Reads a course, with the figures that its runs have earned; problems are shown where they stand.
fn read_course(path: &Path, say: &Say) -> Result<Loaded, Failure> {
    let mut loaded = as_written(path, say)?;
    loaded.course = with_figures(&loaded.course);
    Ok(loaded)
}

fn as_written(path: &Path, say: &Say) -> Result<Loaded, Failure> {
    course::read(path).map_err(|unread| match unread.failure {
        Failure::Course(problems) => {
            let shown = render_problems(&unread.name, &unread.source, &problems, say.colour);
            say.diagnostics(&shown);
            if shown.contains("**") {
                say.diagnostics(
                    "letters of private cells, and of columns passed over, are shown as * here\n",
                );
            }
            let count = problems.len();
            let what = if count == 1 { "1 mistake".to_owned() } else { format!("{count} mistakes") };
            say.diagnostics(&format!("{what} in {}; nothing was written\n", unread.name));
            Failure::Told
        }
        other => other,
    })
}

/// Writes results to standard output.
fn write_out(text: &str) -> Result<(), Failure> {
    write_out_as(|out| out.write_all(text.as_bytes()))
}

/// Has results written to standard output. A reader that stops listening ends the run quietly.
fn write_out_as(write: impl FnOnce(&mut dyn std::io::Write) -> std::io::Result<()>) -> Result<(), Failure> {
    use std::io::{BufWriter, ErrorKind, Write};
    let mut out = BufWriter::new(std::io::stdout().lock());
    match write(&mut out).and_then(|()| out.flush()) {
        Err(why) if why.kind() != ErrorKind::BrokenPipe => {
            Err(Failure::Files(format!("cannot write the result: {why}")))
        }
        _ => Ok(()),
    }
}
