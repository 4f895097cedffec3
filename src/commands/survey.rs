//! `survey`: what was measured on the ground, as stretches to paste under a slope.

mod sheet;

use std::io::Write as _;
use std::path::Path;
use std::time::Duration;

use sheet::Sheet;

use super::pack::STAMP;
use super::say::Say;
use super::write_out;
use crate::beside::{self, Refused};
use crate::cli::{SurveyArgs, TypesetterArgs};
use crate::print::{Templates, Typesetter, Workshop, fingerprint};
use crate::problem::{Failure, Problem, printable, render_problems};
use crate::quantity::UnitSystem;
use crate::survey::{Instrument, Paste, Readings, is_track, read, read_track, survey};

/// Largest table, bytes.
const LARGEST: u64 = 16 << 20;

/// Writes the stretches to standard output, and what a person should know to standard error.
pub(super) fn run(args: &SurveyArgs, say: &Say) -> Result<(), Failure> {
    let instrument = instrument(args)?;
    let (readings, every) = readings(args, instrument, say)?;
    let instrument = instrument.read_every(every);
    let found = survey(&readings.measured, instrument);
    let system = if readings.imperial { UnitSystem::Imperial } else { UnitSystem::Metric };
    let paste = Paste { survey: &found, instrument, system };
    let yaml = paste.yaml();
    let notes = paste.notes(args.over);
    for note in &notes {
        say.note(note);
    }
    for head in &readings.unused {
        say.note(&format!("The column `{head}` was not used."));
    }
    let refused = |why| Failure::Course(vec![Problem::new(format!("{}: {why}", args.table.display()))]);
    let yaml = yaml.map_err(refused)?;
    let head = format!("    # {}, {} rows, {}\n", name(&args.table), readings.rows, instrument.words);
    let keys = printable(&format!("{head}{yaml}"));
    if let Some(into) = &args.sheet {
        let mark = super::pack::short(&fingerprint(keys.as_bytes()));
        let sheet = Sheet::of(&paste, (&name(&args.table), &mark), notes, keys.clone());
        print(&sheet, into, &args.typesetter)?;
    }
    write_out(&keys)
}

/// Prints the sheet. A file that is there and is no printed sheet stays.
///
/// # Errors
/// The typesetter is missing or fails, or the file cannot be written.
fn print(sheet: &Sheet, into: &Path, how: &TypesetterArgs) -> Result<(), Failure> {
    let printed = |bytes: &[u8]| bytes.starts_with(b"%PDF");
    if into.exists() && !std::fs::read(into).is_ok_and(|bytes| printed(&bytes)) {
        let words = format!("{} is there and is no printed sheet; name another file", into.display());
        return Err(Failure::Files(words));
    }
    let typesetter = Typesetter::find(how.typst.as_deref())?.with_limit(Duration::from_secs(how.time_limit));
    let templates = Templates::embedded()?;
    let folder = into.parent().filter(|folder| *folder != Path::new("")).unwrap_or(Path::new("."));
    let workshop = Workshop::inside(folder, ".survey-", &templates)?;
    let rendered = templates.render("ground/survey-sheet.typ.j2", sheet)?;
    let pdf = typesetter.pdf(&workshop, &rendered, STAMP)?;
    // Beside its place first: whatever happens, what is there is whole.
    let cannot = |why: std::io::Error| Failure::files("write the sheet", into, &why);
    let mut whole = readable().tempfile_in(folder).map_err(cannot)?;
    whole.write_all(&pdf).map_err(cannot)?;
    whole.persist(into).map_err(|why| cannot(why.error))?;
    Ok(())
}

/// A file beside its place that others may read as far as the machine lets new files be read: the folder may be a club's.
fn readable() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    builder
}

fn name(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}

/// # Errors
/// Its accuracy is not one of such an instrument.
fn instrument(args: &SurveyArgs) -> Result<Instrument, Failure> {
    let known = Instrument::named(&args.instrument);
    let known = known.ok_or_else(|| Failure::Usage(format!("`{}` is no instrument", args.instrument)))?;
    let with = match &args.accuracy {
        Some(text) => known.with_accuracy(text).map_err(Failure::Usage)?,
        None => known,
    };
    Ok(if args.both_ways { with.both_ways() } else { with })
}

/// What was measured, and the seconds between two readings.
///
/// # Errors
/// The table cannot be read, or holds mistakes: each has been shown where it stands.
fn readings(args: &SurveyArgs, instrument: Instrument, say: &Say) -> Result<(Readings, f64), Failure> {
    let path = &args.table;
    let bytes = beside::at_most(path, LARGEST).map_err(|why| match why {
        Refused::Unreadable(why) => Failure::files("read the measurements", path, &why),
        why => Failure::Files(format!("the table {} {why}", path.display())),
    })?;
    if is_track(&bytes) {
        let refused = |why| Failure::Course(vec![Problem::new(format!("{}: {why}", path.display()))]);
        if instrument.lasts <= 0.0 {
            let why = "the heights of a track are those of its receiver: say `--instrument satellite` or `barometer`";
            return Err(Failure::Usage(why.to_owned()));
        }
        let track = read_track(&bytes).map_err(refused)?;
        return Ok((track.readings, track.every));
    }
    let readings = read(&bytes).map_err(|(problems, source)| {
        let name = path.display().to_string();
        say.diagnostics(&render_problems(&name, &source, &problems, say.colour));
        Failure::Told
    })?;
    Ok((readings, 1.0))
}
