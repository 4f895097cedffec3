//! A course file, read and checked: every problem of the file in one run.

mod day;
mod fill;
mod gearing;
mod head;
mod kit;
mod limits;
mod papers;
mod point;
mod powertrain;
mod recovery;
mod roster;
mod rota;
mod slope;
mod surface;
mod vehicle;
mod written;

pub(super) use papers::bank;
pub use papers::read_bank;
pub use roster::{Arrival, attach_roster, walk_in};
pub use written::{Written, to_show, written};

use day::runs::Known;
use std::path::Path;

use super::cursor::{Field, Fields, Log, Names, Noted, Read};
use super::surface::{library_ids, library_surface};
use super::{Course, Earned, Surface, tree};
use crate::beside::{self, Refused};
use crate::problem::{Failure, Problem};

/// Largest course file, bytes.
const LARGEST: u64 = 2 * 1024 * 1024;

/// A course and the text it was read from.
#[derive(Clone, Debug, PartialEq)]
pub struct Loaded {
    /// The file as the person named it.
    pub name: String,
    /// The file's text, which places of problems refer to.
    pub source: String,
    /// The bytes of the roster's file; empty without one.
    pub roster: Vec<u8>,
    /// The bytes of the table of runs; empty without one.
    pub runs: Vec<u8>,
    /// What it holds.
    pub course: Course,
}

/// Why a course could not be read, with the text that places of problems refer to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unread {
    /// The file as the person named it.
    pub name: String,
    /// As much of the file's text as could be read.
    pub source: String,
    /// The problems, or what hindered reading.
    pub failure: Failure,
}

/// Reads a course file.
///
/// # Errors
/// [`Failure::Files`] when the file cannot be read; [`Failure::Course`] with every problem in it.
pub fn read(path: &Path) -> Result<Loaded, Unread> {
    let name = path.display().to_string();
    let unread = |source: String, failure| Unread { name: name.clone(), source, failure };
    let bytes = read_bytes(path).map_err(|failure| unread(String::new(), failure))?;
    if let Some(problem) = not_plain(&bytes) {
        return Err(unread(String::new(), Failure::Course(vec![problem])));
    }
    let source = String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let source = String::from_utf8_lossy(error.as_bytes()).into_owned();
        let problem = Problem::new("the file is not UTF-8 text from here on");
        let problem = problem.help("save it again as UTF-8").at(good..good + '\u{FFFD}'.len_utf8());
        unread(source, Failure::Course(vec![problem]))
    })?;
    match read_text(&source) {
        Ok(course) => {
            let loaded = Loaded { name, source, roster: Vec::new(), runs: Vec::new(), course };
            with_roster(path, loaded).and_then(|loaded| with_runs(path, loaded))
        }
        Err(problems) => Err(unread(private_hidden(&source), Failure::Course(problems))),
    }
}

/// A course's text with what is private of its drivers hidden: it goes to a terminal, and from there anywhere.
fn private_hidden(source: &str) -> String {
    let mut hidden = Vec::new();
    for key in written::PRIVATE {
        for (at, _) in source.match_indices(&format!("{key}:")) {
            let from = at + key.len() + 1;
            let line = source[from..].split('\n').next().unwrap_or("");
            let quoted = line.trim_start().starts_with(['"', '\'']);
            // What is quoted may hold anything; else a comma ends the value of a driver written on one line.
            let end = if quoted { None } else { line.find([',', '}']) };
            hidden.push(from..from + end.unwrap_or(line.len()));
        }
    }
    roster::hide(source, &hidden)
}

/// Reads the roster's file beside the course file, if it names one.
fn with_roster(path: &Path, mut loaded: Loaded) -> Result<Loaded, Unread> {
    let Some(file) = loaded.course.roster.file.clone() else { return Ok(loaded) };
    loaded.roster = taken_in(path, &file, "the roster", |bytes| attach_roster(&mut loaded.course, bytes))?;
    Ok(loaded)
}

/// Reads the table of runs beside the course file, if it names one.
fn with_runs(path: &Path, mut loaded: Loaded) -> Result<Loaded, Unread> {
    let Some(file) = loaded.course.runs.file.clone() else { return Ok(loaded) };
    loaded.runs = taken_in(path, &file, "the table of runs", |bytes| attach_runs(&mut loaded.course, bytes))?;
    Ok(loaded)
}

/// The bytes of a table beside the course file, once the course has taken them in.
fn taken_in(
    path: &Path,
    file: &str,
    what: &str,
    attach: impl FnOnce(&[u8]) -> Result<(), (String, Vec<Problem>)>,
) -> Result<Vec<u8>, Unread> {
    let folder = path.with_file_name("");
    let beside = folder.join(file);
    let unread = |source, failure| Unread { name: beside.display().to_string(), source, failure };
    let bytes = beside::read(&folder, file, LARGEST).map_err(|why| {
        let failure = match why {
            Refused::Unreadable(why) => Failure::files(&format!("read {what}"), &beside, &why),
            why => Failure::Files(format!("{what} {} {why}", beside.display())),
        };
        unread(String::new(), failure)
    })?;
    attach(&bytes).map_err(|(source, problems)| unread(source, Failure::Course(problems)))?;
    Ok(bytes)
}

/// Puts the runs of a table into a course whose `runs` name one.
///
/// # Errors
/// Every mistake of the table; places refer to the text returned with them.
pub fn attach_runs(course: &mut Course, bytes: &[u8]) -> Result<(), (String, Vec<Problem>)> {
    let own = course.surfaces.iter().map(|surface| surface.id.clone());
    let surfaces = Names::new("surface", own.chain(library_ids().map(str::to_owned)).collect(), true);
    day::runs::attach(course, &surfaces, bytes)
}

fn read_bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    beside::at_most(path, LARGEST).map_err(|why| match why {
        Refused::Unreadable(why) => Failure::files("read the course", path, &why),
        _ => Failure::Course(vec![too_large()]),
    })
}

/// A file of a word processor, a spreadsheet or a browser: one thing to say, not one for each line.
fn not_plain(bytes: &[u8]) -> Option<Problem> {
    const MARKS: [(&[u8], &str); 5] = [
        (b"{\\rtf", "a word processor's"),
        (b"PK\x03\x04", "a word processor's or a spreadsheet's"),
        (b"\xD0\xCF\x11\xE0", "an old word processor's or spreadsheet's"),
        (b"%PDF-", "a PDF"),
        (b"<", "a web page or XML"),
    ];
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes).trim_ascii_start();
    let (_, whose) = MARKS.iter().find(|(mark, _)| bytes.starts_with(mark))?;
    let problem = Problem::new(format!("this is {whose} file, not plain text"));
    Some(problem.help("write the course with a text editor, or save it as plain text (UTF-8)").at(0..0))
}

fn too_large() -> Problem {
    Problem::new("the file is larger than 2 MiB").help("a course is text; keep pictures in files beside it")
}

/// Reads a course from text; a byte-order mark in front is passed over. A roster in a file of its own
/// is left to [`attach_roster`].
///
/// # Errors
/// Every problem in it, in the order of the text.
pub fn read_text(source: &str) -> Result<Course, Vec<Problem>> {
    if source.len() as u64 > LARGEST {
        return Err(vec![too_large()]);
    }
    if let Some(problem) = not_plain(source.as_bytes()) {
        return Err(vec![problem]);
    }
    let (root, key_problems) = tree::parse(source).map_err(|problem| vec![problem])?;
    let log = Log::default();
    for problem in key_problems {
        log.note(problem);
    }
    let course = course(&Field::root(&root, &log));
    let problems = log.into_problems();
    match course {
        Ok(course) if problems.is_empty() => Ok(course),
        _ => Err(problems),
    }
}

/// Names a course may refer to.
struct References {
    surfaces: Names,
    slopes: Names,
    vehicles: Names,
}

impl References {
    fn of(fields: &Fields) -> Self {
        let own = fields.peek("surfaces");
        let keys = own.as_ref().map(surface::ids);
        let complete = own.is_none() || keys.as_ref().is_some_and(Option::is_some);
        let own_ids = keys.flatten().unwrap_or_default();
        let surfaces = own_ids.into_iter().chain(library_ids().map(str::to_owned)).collect();
        Self {
            surfaces: Names::new("surface", surfaces, complete),
            slopes: Names::in_list("slope", fields.peek("slopes").as_ref()),
            vehicles: Names::in_list("vehicle", fields.peek("vehicles").as_ref()),
        }
    }
}

impl References {
    fn for_runs<'a>(&'a self, read: Option<(&'a Vec<super::Slope>, &'a Vec<super::Vehicle>)>) -> Known<'a> {
        let Self { surfaces, slopes, vehicles } = self;
        Known {
            surfaces,
            slopes,
            vehicles,
            read: read.map(|(slopes, vehicles)| (&slopes[..], &vehicles[..])),
        }
    }
}

/// The whole file.
pub(super) fn course(root: &Field) -> Read<Course> {
    let mut fields = Fields::of(root, "a course file")?;
    let known = References::of(&fields);
    let head =
        fields.required("course", "course: {title: Quarry day, club: …}", |field| head::head(&field));
    let limits = fields
        .required("limits", "limits: {gradient: 25°, side-tilt: 12°, …}", |field| limits::limits(&field));
    let own = fields.optional("surfaces", |field| surface::surfaces(&field));
    let slopes = fields.required("slopes", "slopes: [{id: north-bank, …}]", |field| {
        field.list("a slope", |item| slope::slope(&item, &known.surfaces))
    });
    let skid_pad = fields.optional("skid-pad", |field| slope::skid_pad(&field, &known.surfaces));
    let site_plan = fields.optional("site-plan", |field| {
        let measured = slopes.as_ref().ok().map(Vec::as_slice);
        slope::site::site_plan(&field, &known.slopes, measured)
    });
    // Where everybody brings their own, the roster has them.
    fields.one_of(&[&["vehicles"], &["roster"]]);
    let vehicles =
        fields
            .optional("vehicles", |field| field.list("a vehicle", |item| vehicle::vehicle(&item)))
            .and_then(|listed| match listed {
                None if fields.peek("roster").is_none() => Err(fields
                    .lacking("vehicles", "vehicles: [{id: wagon-1, …}]` or `roster: {file: people.csv}")),
                listed => Ok(listed.unwrap_or_default()),
            });
    let kit = fields.optional("kit", |field| kit::kit(&field, &known.vehicles, &known.slopes));
    let recovery = fields.optional("recovery", |field| recovery::recovery(&field));
    let days_held = day::several::counted(&fields);
    let people = fields.optional("people", |field| {
        field.list("a person", |item| day::person(&item, &known.vehicles, &known.slopes, days_held))
    });
    let the_day =
        fields.required("day", "day: {runs: 3, run-gap: 10 min}", |field| day::day(&field, &known.slopes));
    let emergency = fields.optional("emergency", |field| day::emergency(&field));
    // One that could not be read is told of there.
    let on_plan = site_plan.as_ref().map_or(true, Option::is_some);
    let rota = fields.optional("rota", |field| rota::rota(&field, &known.slopes, &known.vehicles, on_plan));
    let mut vehicles = vehicles;
    let roster = fields.optional("roster", |field| match &mut vehicles {
        Ok(vehicles) => roster::roster(&field, vehicles, &people, days_held),
        Err(noted) => Err(*noted),
    });
    let papers = fields.optional("papers", |field| papers::blueprint(&field));
    let read = slopes.as_ref().ok().zip(vehicles.as_ref().ok());
    let runs = fields.optional("runs", |field| day::runs::runs(&field, &known.for_runs(read)));
    let (mut the_day, mut rota) = (the_day, rota);
    if let (Ok(day), Ok(Some(rota))) = (&mut the_day, &mut rota) {
        day::one_date(&fields, day, rota);
        day::one_turn_round(&fields, day);
        if fields.peek("days").is_none() {
            day::meanwhile::nobody_drives(&fields, day, rota);
        }
    }
    if let (Ok(day), Ok(slopes)) = (&the_day, &slopes) {
        day::channel_of_control(&fields, day, slopes);
    }
    let there = day::several::people(&fields);
    let all_days = fields.optional_list("days", |field| match (&the_day, &rota) {
        (Ok(day), Ok(rota)) => day::several::days(&field, day, rota.as_ref(), &known.slopes, &there),
        _ => Err(Noted),
    });
    if let (Ok(day), Ok(rota), Ok(all_days)) = (&mut the_day, &mut rota, &all_days) {
        day::several::dates(&fields, day, rota.as_mut(), all_days);
    }
    fields.finish();
    let (head, slopes, skid_pad) = (head?, slopes?, skid_pad?);
    let surfaces = used_surfaces(own?.unwrap_or_default(), &slopes, skid_pad.as_ref());
    Ok(Course {
        title: head.title,
        club: head.club,
        site: head.site,
        version: head.version,
        prepared_by: head.prepared_by,
        outcomes: head.outcomes,
        entry_requirements: head.entry_requirements,
        units: head.units,
        paper: head.paper,
        accent: head.accent,
        logo: head.logo,
        seed: head.seed,
        limits: limits?,
        surfaces,
        slopes,
        skid_pad,
        site_plan: site_plan?,
        vehicles: vehicles?,
        kit: kit?.unwrap_or_default(),
        recovery: recovery?.unwrap_or_default(),
        people: people?.unwrap_or_default(),
        day: the_day?,
        days: all_days?,
        today: None,
        emergency: emergency?.unwrap_or_default(),
        roster: roster?.unwrap_or_default(),
        rota: rota?,
        papers: papers?.unwrap_or_default(),
        runs: runs?.unwrap_or_default(),
        earned: Earned::default(),
        long_texts: root.log.long_texts(),
    })
}

/// The course's own surfaces, then those of the library that a slope or the skid pad lies on.
fn used_surfaces(
    mut surfaces: Vec<Surface>,
    slopes: &[super::Slope],
    skid_pad: Option<&super::SkidPad>,
) -> Vec<Surface> {
    let run_outs = slopes.iter().filter_map(|slope| slope.run_out.as_ref()?.surface.as_ref());
    let pad = skid_pad.map(|pad| &pad.surface);
    let wet = slopes.iter().filter_map(|slope| slope.wet_surface.as_ref());
    for id in slopes.iter().map(|slope| &slope.surface).chain(wet).chain(run_outs).chain(pad) {
        if surfaces.iter().all(|surface| surface.id != *id) {
            surfaces.extend(library_surface(id));
        }
    }
    surfaces
}
