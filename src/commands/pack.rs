//! `pack`: print the day's papers and put them in place whole.

mod carried;
mod changing;
mod channels;
mod clubs;
mod days;
mod known;
mod ledger;
mod part;
mod said;
mod surfaces;
mod unchanged;
mod watch;

use std::path::Path;
use std::time::Duration;

use carried::{Came, as_they_came};
use changing::{Changing, patience};
use days::Planned;
use known::Known;
use ledger::{LEDGER, LEDGER_TITLE};
use said::{say_rota, unprinted};
use unchanged::Inputs;
pub(super) use watch::watch;

use super::letters::{dialect, faces_for};
use super::named::pictures;
use super::own::Club;
use super::rotated::refused;
use super::say::Say;
use super::{list, put_in_place, read_course};
use crate::cli::PackArgs;
use crate::course::own::Own;
use crate::course::{Course, Loaded, advice};
use crate::pack::{self, Book, CALENDAR, CALENDAR_TITLE, INDEX, INDEX_TITLE, KINDS, Kind, Listed};
use crate::page::Gallery;
use crate::print::{
    About, Cache, Edition, Entry, Faces, Kind as Folder, Publication, Rendered, Templates, Typesetter,
    Workshop, fingerprint, picture,
};
use crate::problem::Failure;

/// Date in the documents' data, seconds since 1970: a fixed one, so that the same course gives the
/// same bytes.
pub(super) const STAMP: i64 = 1_767_225_600;
/// Resolution of preview pages, dots per inch.
const PREVIEW_RESOLUTION: u32 = 50;
/// Width of a preview page on its sheet, pixels, and pages in a row.
const PREVIEW_PAGE: (u32, u32) = (400, 4);

/// Reads the course, typesets every document asked for, and swaps the pack in; a change on one of several days, and
/// after it what follows for the days behind it.
pub(super) fn run(args: &PackArgs, say: &Say) -> Result<(), Failure> {
    let mut loaded = read_course(&args.course, say)?;
    let club = Club::beside(&args.course, say)?;
    let whole = loaded.course.clone();
    let known = Known::of(&loaded, &whole, Cache::of_user().filter(|_| !args.typesetter.no_cache));
    if !args.changes() {
        return print(args, &loaded, &club, (&Vec::new(), &known), say);
    }
    let (planned, number) = days::asked(&known, &whole, args.day)?;
    if planned.is_empty() {
        return print(args, &loaded, &club, (&planned, &known), say);
    }
    loaded.course = planned[number - 1].0.clone();
    print(args, &loaded, &club, (&planned, &known), say)?;
    let follows = PackArgs {
        without: Vec::new(),
        came: Vec::new(),
        channel: Vec::new(),
        surface: Vec::new(),
        from: None,
        day: None,
        one_day: false,
        ..args.clone()
    };
    for (course, _) in &planned[number..] {
        loaded.course = course.clone();
        let later = course.day_number();
        say.progress(&format!("what follows for day {later}"));
        print(&follows, &loaded, &club, (&planned, &known), say).inspect_err(|_| {
            say.note(&format!("day {number} is changed; day {later} is not, for this reason:"));
        })?;
    }
    Ok(())
}

/// Prints a whole course, or the change of a day; of a later day what follows from the day before.
fn print(
    args: &PackArgs,
    loaded: &Loaded,
    club: &Club,
    (planned, known): (&Planned, &Known),
    say: &Say,
) -> Result<(), Failure> {
    let whole = !args.changes() && planned.is_empty();
    let alone = if whole { club.alone(&args.audience, &args.only) } else { Vec::new() };
    let mut kinds = asked_for(args, &alone)?;
    let sha256 = fingerprint(&[loaded.source.as_bytes(), &loaded.roster, &loaded.runs].concat());
    let mark = short(&sha256);
    let change_folder = args.into.join(days::change_folder(&loaded.course));
    let earlier = Came::before(planned, loaded.course.day_number(), &args.into, &mark)?;
    let changing = Changing::of(args, loaded, (&change_folder, &mark), earlier.as_ref())?;
    if changing.is_none() && !whole {
        return Ok(());
    }
    let into = if changing.is_some() { change_folder } else { args.into.clone() };
    kinds.retain(|kind| changing.is_none() || kind.changes());
    if kinds.is_empty() && alone.is_empty() {
        return Err(Failure::Usage("none of the documents named changes with the rota".to_owned()));
    }
    let printed = changing.as_ref().map_or_else(|| args.printed.clone(), Changing::printed);
    let came = changing.as_ref().map(Changing::came).filter(|came| !came.is_empty());
    let words = came.as_ref().map(|came| ("--with", came.as_bytes()));
    let faces = faces_for(loaded, words, args.typesetter.fonts.as_deref(), say)?;
    let typesetter = Typesetter::find(args.typesetter.typst.as_deref())?
        .with_limit(Duration::from_secs(args.typesetter.time_limit))
        .with_cache(Cache::of_user().filter(|_| !args.typesetter.no_cache));
    let inputs = if changing.is_some() { None } else { Inputs::of(args, loaded, club, &faces, &typesetter) };
    if let Some(standing) = inputs.as_ref().and_then(|inputs| inputs.stand(&into, say)) {
        return list(&standing.manifest, &into);
    }
    for note in advice(&loaded.course) {
        say.note(&note);
    }
    say.progress("working the course");
    let course = changing.as_ref().map_or(&loaded.course, Changing::course);
    let templates = Templates::embedded()?.in_dialect(dialect(loaded))?.with_faces(&faces);
    let templates = club.among(templates)?;
    let held = if changing.is_none() { Folder::Pack } else { Folder::Change };
    let mut publication = Publication::open(&into, held)?;
    if part::of_a_pack(args) {
        publication.same_course(loaded.course.title.full())?;
    }
    let workshop = publication.workshop(&templates)?;
    workshop.add_faces(&faces)?;
    let folder = args.course.parent().filter(|folder| *folder != Path::new("")).unwrap_or(Path::new("."));
    let gallery = Gallery::of(course, folder, &workshop).or_else(|failure| {
        // One picture cannot be printed: all that cannot are told, where they are named.
        pictures(loaded, &args.course, say).and(Err(failure))
    })?;
    let mut book = known.book(course, &mark).with_pictures(gallery.clone());
    say.progress("making the rota");
    let tell = |words: &str| say.progress(words);
    let record = match &changing {
        None => {
            if let Some(rotas) = known.rotas() {
                book.made_before(rotas);
            }
            book.made().map_err(|why| refused(&why))?;
            known.keep(&book.rotas());
            None
        }
        Some(changing) => {
            book.others = as_they_came(planned, loaded.course.day_number(), &args.into, &mark)?;
            let pages = (&gallery, &templates);
            let (anew, follows) =
                changing.rotate(&mut book, pages, (&kinds, known), patience(args, &tell))?;
            if changing.only_follows() && !follows.changes_anything() {
                return Ok(());
            }
            unprinted(&kinds, &follows.documents, say);
            kinds = anew;
            Some(changing.record(follows))
        }
    };
    let book = book.printed_at(printed.as_deref());
    say_rota(&book, say);
    let press = Press { args, say, typesetter: &typesetter, workshop: &workshop, day: None };
    let mut listed = press.all_days(&book, &templates, &kinds, &mut publication)?;
    let pictures = club.pictures(Some(&workshop))?;
    listed.extend(press.clubs(&book, &templates, &alone, &pictures, &mut publication)?);
    if let Some(calendar) = pack::calendar(&book).filter(|_| changing.is_none()) {
        publication.put(CALENDAR, CALENDAR_TITLE, calendar.as_bytes())?;
    }
    if let Some(record) = record {
        publication.put(LEDGER, LEDGER_TITLE, record.as_bytes())?;
    }
    let kept = if part::of_a_pack(args) && changing.is_none() {
        publication.keep_the_rest(&sha256, &[INDEX, "previews/index.png"])
    } else {
        Vec::new()
    };
    press.index(&book, &templates, (&listed, &kept), &mut publication)?;
    drop(workshop);
    let notes = say.noted();
    put_in_place(publication, about(loaded, &typesetter, sha256, &faces), &into, say)?;
    if let Some(inputs) = inputs {
        inputs.remember(&into, notes);
    }
    Ok(())
}

/// The kinds asked for by name and reader, in the order of the table.
fn asked_for(args: &PackArgs, alone: &[&Own]) -> Result<Vec<&'static Kind>, Failure> {
    for name in &args.only {
        if Kind::named(name).is_none() && alone.iter().all(|own| own.name != *name) {
            let known = KINDS.iter().map(|kind| kind.name).chain(alone.iter().map(|own| own.name.as_str()));
            let known: Vec<&str> = known.collect();
            return Err(Failure::Usage(format!(
                "no document is called `{name}`; there are {}",
                known.join(", ")
            )));
        }
    }
    let by_name = |kind: &Kind| args.only.is_empty() || args.only.iter().any(|name| name == kind.name);
    let by_reader =
        |kind: &Kind| args.audience.is_empty() || args.audience.iter().any(|who| kind.audience.contains(who));
    let kinds: Vec<&Kind> = KINDS.iter().filter(|kind| by_name(kind) && by_reader(kind)).collect();
    if kinds.is_empty() && alone.is_empty() {
        return Err(Failure::Usage("none of the documents named is for that reader".to_owned()));
    }
    Ok(kinds)
}

/// Eight digits of a checksum, as they stand on every sheet.
pub(super) fn short(sha256: &str) -> String {
    format!("{}-{}", &sha256[..4], &sha256[4..8])
}

fn about(loaded: &Loaded, typesetter: &Typesetter, course_sha256: String, faces: &Faces) -> About {
    let Course { title, seed, .. } = &loaded.course;
    About {
        typesetter: typesetter.version().to_owned(),
        course: title.full().to_owned(),
        course_sha256,
        seed: Some(*seed),
        faces: faces.told(),
    }
}

/// A run of the typesetter over a pack.
#[derive(Clone, Copy)]
struct Press<'a> {
    /// Which of several days the documents belong to.
    day: Option<usize>,
    args: &'a PackArgs,
    say: &'a Say,
    typesetter: &'a Typesetter,
    workshop: &'a Workshop,
}

impl Press<'_> {
    fn documents(
        &self,
        book: &Book,
        templates: &Templates,
        kinds: &[&'static Kind],
        publication: &mut Publication,
    ) -> Result<Vec<Listed>, Failure> {
        let mut filled = Vec::new();
        for kind in kinds {
            match kind.fill(book, templates) {
                Some(rendered) => filled.push((*kind, rendered?)),
                None if kind.needs_rota() || self.day.is_some_and(|day| day > 1) => {}
                None => self.say.note(&format!("no {}: {}", kind.title.to_lowercase(), kind.why_none(book))),
            }
        }
        let (kinds, rendered): (Vec<&Kind>, Vec<Rendered>) = filled.into_iter().unzip();
        let done = |at: usize| self.say.progress(&format!("typeset {}", kinds[at].title));
        let pdfs = self.typesetter.pdfs(self.workshop, &rendered, STAMP, done)?;
        // Pictures and sheets of them are set as the pages are.
        let rendered: Vec<Rendered> =
            rendered.into_iter().zip(&pdfs).map(|(page, pdf)| page.set(pdf.spacing())).collect();
        let mut listed = Vec::new();
        for ((kind, rendered), pdf) in kinds.iter().zip(&rendered).zip(&pdfs) {
            let mut one = self.of_day(kind.listed(book, pdf.pages()));
            publication.put_page(&one.file, &one.title, pdf, rendered.own.as_ref())?;
            self.preview(&self.named(kind.name), &one.title, rendered, publication)?;
            if rendered.own.is_some() {
                one.title.push_str(", in the club’s words");
            }
            listed.push(one);
        }
        if self.args.print_ready {
            for (kind, rendered) in kinds.iter().zip(&rendered) {
                listed.extend(self.print_ready(book, templates, kind, rendered, publication)?);
            }
        }
        if self.args.large_print {
            listed.extend(self.large_print(book, &kinds, rendered, publication)?);
        }
        Ok(listed)
    }

    /// A document's pages several to a sheet, in the layouts it has.
    fn print_ready(
        &self,
        book: &Book,
        templates: &Templates,
        kind: &Kind,
        rendered: &Rendered,
        publication: &mut Publication,
    ) -> Result<Vec<Listed>, Failure> {
        let mut listed = Vec::new();
        for layout in kind.layouts {
            self.say.progress(&format!("lay out {}, {}", kind.title, layout.word()));
            let rendered = rendered.clone().in_edition(layout.edition());
            let pages = self.typesetter.drawn_pages(self.workshop, &rendered, STAMP)?;
            let pages = (1..)
                .zip(&pages)
                .map(|(number, page)| self.workshop.add_page(kind.name, number, page))
                .collect::<Result<Vec<_>, _>>()?;
            let sheets = layout.sheets(book, templates, kind.title, &pages)?;
            let pdf = self.typesetter.pdf(self.workshop, &sheets, STAMP)?;
            let file = format!("print-ready/{}-{}.pdf", self.named(kind.name), layout.word());
            let title = format!("{}, {}", self.titled(kind.title), layout.word());
            publication.put(&file, &title, &pdf)?;
            listed.push(Listed {
                pages: pdf.pages().to_string(),
                sheet: layout.sheet(book.course.paper).to_owned(),
                sides: layout.sides().to_owned(),
                file,
                title,
                ..kind.listed(book, 0)
            });
        }
        Ok(listed)
    }

    /// The large-print editions of these documents, as far as they have one.
    fn large_print(
        &self,
        book: &Book,
        kinds: &[&'static Kind],
        rendered: Vec<Rendered>,
        publication: &mut Publication,
    ) -> Result<Vec<Listed>, Failure> {
        let (kinds, large): (Vec<&Kind>, Vec<Rendered>) = kinds
            .iter()
            .zip(rendered)
            .filter(|(kind, _)| kind.in_large_print())
            .map(|(kind, rendered)| (*kind, rendered.in_edition(Edition::LargePrint)))
            .unzip();
        let done = |at: usize| self.say.progress(&format!("typeset {}", kinds[at].large_title()));
        let pdfs = self.typesetter.pdfs(self.workshop, &large, STAMP, done)?;
        let mut listed = Vec::new();
        for (kind, pdf) in kinds.iter().zip(&pdfs) {
            let one = self.of_day(kind.large_listed(book, pdf.pages()));
            publication.put(&one.file, &one.title, pdf)?;
            listed.push(one);
        }
        Ok(listed)
    }

    fn index(
        &self,
        book: &Book,
        templates: &Templates,
        (listed, kept): (&[Listed], &[Entry]),
        publication: &mut Publication,
    ) -> Result<(), Failure> {
        let kept = part::told(kept, &book.fingerprint, self.say);
        let rendered = pack::index(book, templates, (listed, &kept), self.typesetter.version())?;
        let pdfs = self.typesetter.pdfs(self.workshop, std::slice::from_ref(&rendered), STAMP, |_| {})?;
        for pdf in &pdfs {
            publication.put(INDEX, INDEX_TITLE, pdf)?;
            self.preview("index", INDEX_TITLE, &rendered.clone().set(pdf.spacing()), publication)?;
        }
        Ok(())
    }

    fn preview(
        &self,
        name: &str,
        title: &str,
        rendered: &Rendered,
        publication: &mut Publication,
    ) -> Result<(), Failure> {
        if !self.args.previews || rendered.confidential {
            return Ok(());
        }
        self.say.progress(&format!("picture of {title}"));
        let pages = self
            .typesetter
            .pages(self.workshop, rendered, STAMP, PREVIEW_RESOLUTION)
            .map_err(|fault| Failure::Typesetter(fault.to_string()))?;
        let (width, columns) = PREVIEW_PAGE;
        let sheet = picture::contact_sheet(&pages, columns, width).map_err(Failure::Typesetter)?;
        publication.put(&format!("previews/{name}.png"), &format!("{title}, all pages"), &sheet)
    }
}
