//! `papers`: print parallel question papers with answer sheets, mark schemes and the proof of coverage.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::bank::bank;
use super::letters::{dialect, faces_for};
use super::pack::{STAMP, short};
use super::say::Say;
use super::{put_in_place, read_course};
use crate::beside::{self, Refused};
use crate::cli::PapersArgs;
use crate::course::{Blueprint, Course, Loaded};
use crate::engine::{Reckoning, reckon};
use crate::paper::{
    AnswerSheet, Candidate, Coverage, Edition, Exposure, Family, Form, InvigilationSheet, Issue, JudgesSheet,
    Observation, Origin, PaperSheet, Plan, Record, Run, SchemeSheet, Source, Terms, answer_form,
    exposure_csv, exposure_of, families, fitted, forms, judges_form, key_json, oral, paper_json, plan,
    read_candidates,
};
use crate::print::{About, Kind, Publication, Rendered, Templates, Typesetter, fingerprint};
use crate::problem::{Failure, Problem, render_problems};
use crate::recovery::{Depth, recoveries, rule};

/// The sealed record of a folder of papers, below the staff's folder.
pub(super) const RECORD: &str = "papers.json";

/// Largest list of candidates, bytes.
const LARGEST_LIST: u64 = 4 << 20;

/// Forms whose documents are held at once.
const AT_ONCE: usize = 8;

/// A course with everything its papers are drawn from.
struct Set {
    /// Every kind of question.
    families: Vec<Family>,
    /// The places.
    plan: Plan,
    /// The forms.
    forms: Vec<Form>,
    /// What the engine knows.
    reckoning: Reckoning,
    /// Files of items they were drawn from.
    sources: Vec<Source>,
    /// Marks of the usual blueprint that this course cannot ask.
    left_out: Vec<String>,
}

/// Draws the forms of a course; what is short is shown.
fn draw(
    loaded: &mut Loaded,
    path: &Path,
    (count, seed): (usize, u64),
    seen: Exposure,
    say: &Say,
) -> Result<Set, Failure> {
    let course = &loaded.course;
    let (bank, sources) = bank(course, path, say)?;
    say.progress("working the course");
    let mut reckoning = reckon(course);
    if rule::binds(course) {
        rule::apply(course, &mut reckoning, &recoveries(course, Depth::Likely).fetch);
    }
    let families = families(course, &reckoning, &bank);
    let left_out = fit(&mut loaded.course, &families, say);
    let course = &loaded.course;
    let span = course.papers.place.clone();
    let shown = |messages: Vec<String>| {
        let problems: Vec<Problem> = messages
            .into_iter()
            .map(|message| match span.clone() {
                Some(span) => Problem::new(message).at(span),
                None => Problem::new(message),
            })
            .collect();
        say.diagnostics(&render_problems(&loaded.name, &loaded.source, &problems, say.colour));
        Failure::Told
    };
    let plan = plan(&course.papers, &families, seed)
        .map_err(|short| shown(short.into_iter().map(|one| one.message).collect()))?;
    let forms = forms(&plan, &families, &Run { seen, ..Run::of(&course.papers, count, seed) })
        .map_err(|short| shown(vec![short.message]))?;
    Ok(Set { families, plan, forms, reckoning, sources, left_out })
}

/// Cuts the usual blueprint down to what the course can ask, and says what was left out; a blueprint that somebody
/// wrote is kept as it is.
fn fit(course: &mut Course, families: &[Family], say: &Say) -> Vec<String> {
    if course.papers.cells != Blueprint::default().cells {
        return Vec::new();
    }
    let Some((blueprint, left_out)) = fitted(&course.papers, families) else { return Vec::new() };
    course.papers = blueprint;
    if !left_out.is_empty() {
        say.note(&format!("left out, because the course gives too little to ask: {}", left_out.join("; ")));
    }
    left_out
}

/// Sealed records of earlier runs in a folder.
fn earlier(into: &Path) -> Vec<Record> {
    let Ok(files) = fs::read_dir(into.join("staff")) else { return Vec::new() };
    let mut paths: Vec<PathBuf> = files.filter_map(|file| Some(file.ok()?.path())).collect();
    paths.sort();
    let is_record = |path: &&PathBuf| {
        let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        name.starts_with("papers") && path.extension().is_some_and(|ending| ending == "json")
    };
    paths.iter().filter(is_record).filter_map(|path| Record::read(&fs::read(path).ok()?).ok()).collect()
}

/// Prints the papers into a folder.
pub(super) fn run(args: &PapersArgs, say: &Say) -> Result<(), Failure> {
    let mut loaded = read_course(&args.course, say)?;
    let typesetter = Typesetter::find(args.typesetter.typst.as_deref())?
        .with_limit(Duration::from_secs(args.typesetter.time_limit));
    if args.shard.is_some() && args.seed.is_none() {
        return Err(Failure::Usage(
            "--shard wants --seed: all shards draw the same forms from one number".into(),
        ));
    }
    let seed = args.seed.map_or_else(secret, Ok)?;
    let earlier = earlier(&args.into);
    // Papers of a seed that somebody gave are the same whatever was printed before.
    let seen = if args.seed.is_some() { Exposure::new() } else { exposure_of(&earlier) };
    let mut set = draw(&mut loaded, &args.course, (usize::from(args.forms), seed), seen, say)?;
    let sha256 = fingerprint(loaded.source.as_bytes());
    let record = seal(args, &loaded, &mut set, seed, &sha256);
    let short = short(record.digest_on_sheets());
    let issue = Issue { course: &loaded.course, fingerprint: &short };
    let listed = candidates(args, say)?;
    let list = args
        .candidates
        .as_ref()
        .map(|path| Ok::<_, Failure>((path.display().to_string(), list_bytes(path)?)));
    let list = list.transpose()?;
    let list = list.as_ref().map(|(name, bytes)| (name.as_str(), bytes.as_slice()));
    let faces = faces_for(&loaded, list, args.typesetter.fonts.as_deref(), say)?;
    let templates = Templates::embedded()?.in_dialect(dialect(&loaded))?.with_faces(&faces);
    let mut publication = Publication::open(&args.into, Kind::Papers)?;
    let shard = args.shard.unwrap_or_default();
    if shard.first() {
        // First: what is keyed into it already may forbid all that follows.
        let (answers, judges) = (answer_form(&set.forms), judges_form(&set.forms));
        publication.put_form("answers.csv", "Form to key answers into", answers.as_bytes())?;
        publication.put_form("judges.csv", "Form to key judges' sheets into", judges.as_bytes())?;
    }
    let workshop = publication.workshop(&templates)?;
    workshop.add_faces(&faces)?;
    let count = args.forms;
    let print = |documents: &[Document], of: &str, publication: &mut Publication| {
        let rendered: Vec<Rendered> = documents.iter().map(|(_, _, rendered)| rendered.clone()).collect();
        let done = |at: usize| say.progress(&format!("typeset {}{of}", documents[at].1));
        let pdfs = typesetter.pdfs(&workshop, &rendered, STAMP, done)?;
        let mut printed = documents.iter().zip(&pdfs);
        printed.try_for_each(|((path, title, _), pdf)| publication.put(path, title, pdf))
    };
    let mine: Vec<(usize, &Form)> = set.forms.iter().enumerate().filter(|(at, _)| shard.has(*at)).collect();
    // No more than a few at once, however many there are: each is put away before the next are begun.
    for forms in mine.chunks(AT_ONCE) {
        let documents = forms.iter().map(|(_, form)| of_form(args, &issue, form, &templates));
        let documents: Vec<Document> =
            documents.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect();
        let upto = forms.last().map_or(0, |(at, _)| at + 1);
        print(&documents, &format!(", up to form {upto} of {count}"), &mut publication)?;
        for (_, form) in forms {
            put_for_screens(form, &record.terms, &mut publication)?;
        }
    }
    if shard.first() {
        print(&of_all(&issue, (&set, &listed), seed, &templates)?, "", &mut publication)?;
        let sealed = record.to_json();
        publication.put_record(
            &format!("staff/{RECORD}"),
            "Sealed record to mark from",
            sealed.as_bytes(),
        )?;
        let exposure = exposure_csv(&earlier, &record);
        publication.put("staff/exposure.csv", "How often each item was printed", exposure.as_bytes())?;
    }
    drop(workshop);
    let about = About {
        typesetter: typesetter.version().to_owned(),
        course: loaded.course.title.full().to_owned(),
        course_sha256: sha256,
        seed: None,
        faces: faces.told(),
    };
    put_in_place(publication, about, &args.into, say)
}

/// The list of candidates; one that cannot be read whole stops the run, since a paper would be missing on the day.
fn candidates(args: &PapersArgs, say: &Say) -> Result<Vec<Candidate>, Failure> {
    let Some(path) = &args.candidates else { return Ok(Vec::new()) };
    let list = read_candidates(&list_bytes(path)?);
    if list.problems.is_empty() {
        return Ok(list.rows);
    }
    let name = path.display().to_string();
    say.diagnostics(&render_problems(&name, &list.source, &list.problems, say.colour));
    Err(Failure::Told)
}

fn list_bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    beside::at_most(path, LARGEST_LIST).map_err(|why| match why {
        Refused::Unreadable(why) => Failure::files("read the list of candidates", path, &why),
        why => Failure::Files(format!("{} {why}; is it the list of candidates?", path.display())),
    })
}

/// A seed drawn once from the system: nobody knows it, and only the staff's folder keeps it.
fn secret() -> Result<u64, Failure> {
    let mut bytes = [0; 8];
    getrandom::fill(&mut bytes)
        .map_err(|why| Failure::Files(format!("cannot draw a secret seed from the system: {why}")))?;
    Ok(u64::from_le_bytes(bytes))
}

fn seal(args: &PapersArgs, loaded: &Loaded, set: &mut Set, seed: u64, sha256: &str) -> Record {
    let file = args.course.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let mut sources = vec![Source { file, sha256: sha256.to_owned() }];
    sources.append(&mut set.sources);
    let version = env!("CARGO_PKG_VERSION").to_owned();
    let origin = Origin { version, seed, seed_was_given: args.seed.is_some(), sources };
    Record::seal(&mut set.forms, Terms::of(&loaded.course), origin)
}

/// What a form is on screens: the paper, and its key.
fn put_for_screens(form: &Form, terms: &Terms, publication: &mut Publication) -> Result<(), Failure> {
    let code = form.code.to_lowercase();
    let (paper, key) = (paper_json(form, terms), key_json(form));
    let title = format!("Paper {}, for a screen", form.code);
    publication.put(&format!("screen/paper-{code}.json"), &title, paper.as_bytes())?;
    let title = format!("Key {}, for a screen", form.code);
    publication.put(&format!("staff/key-{code}.json"), &title, key.as_bytes())
}

/// Path, title and source of a document.
type Document = (String, String, Rendered);

/// Documents of the list so far, each filled as it is put there.
#[derive(Default)]
struct Documents(Vec<Document>);

impl Documents {
    fn put(&mut self, path: String, title: &str, rendered: Result<Rendered, Failure>) -> Result<(), Failure> {
        self.0.push((path, title.to_owned(), rendered?));
        Ok(())
    }
}

/// The documents of one form.
fn of_form(
    args: &PapersArgs,
    issue: &Issue,
    form: &Form,
    templates: &Templates,
) -> Result<Vec<Document>, Failure> {
    let mut all = Documents::default();
    let editions = [
        (Edition::Standard, "papers", true),
        (Edition::Large, "large-print", args.large_print),
        (Edition::Coloured, "coloured", args.coloured),
    ];
    let code = form.code.to_lowercase();
    for (edition, folder, _) in editions.into_iter().filter(|(.., wanted)| *wanted) {
        all.put(
            format!("{folder}/paper-{code}.pdf"),
            &format!("Question paper {}", form.code),
            templates.render("paper/paper.typ.j2", &PaperSheet::of(issue, form, edition)),
        )?;
    }
    all.put(
        format!("papers/answers-{code}.pdf"),
        &format!("Answer sheet {}", form.code),
        templates.render("paper/answer-sheet.typ.j2", &AnswerSheet::of(issue, form)),
    )?;
    all.put(
        format!("staff/scheme-{code}.pdf"),
        &format!("Mark scheme {}", form.code),
        templates.render("paper/mark-scheme.typ.j2", &SchemeSheet::of(issue, form)),
    )?;
    all.put(
        format!("staff/judges-{code}.pdf"),
        &format!("Judges' sheet {}", form.code),
        templates.render("paper/judges.typ.j2", &JudgesSheet::of(issue, form)),
    )?;
    Ok(all.0)
}

/// The documents that all forms have together.
fn of_all(
    issue: &Issue,
    (set, listed): (&Set, &[Candidate]),
    seed: u64,
    templates: &Templates,
) -> Result<Vec<Document>, Failure> {
    let mut all = Documents::default();
    all.put(
        "staff/invigilation.pdf".into(),
        "Invigilator's sheet",
        templates.render("paper/invigilation.typ.j2", &InvigilationSheet::of(issue, listed, &set.forms)),
    )?;
    let coverage = Coverage::of(issue, (&set.plan, &set.families), &set.forms, seed, &set.left_out);
    all.put(
        "staff/coverage.pdf".into(),
        "Coverage of the blueprint",
        templates.render("paper/paper-coverage.typ.j2", &coverage),
    )?;
    let observation = Observation::of(issue, &set.reckoning, oral(&set.families, &set.forms, seed));
    all.put(
        "practical/observation.pdf".into(),
        "Observation records",
        templates.render("paper/observation.typ.j2", &observation),
    )?;
    all.put(
        "practical/moderation.pdf".into(),
        "Moderation sheet",
        templates.render("paper/moderation.typ.j2", &observation),
    )?;
    Ok(all.0)
}
