//! The club's folder beside the course: its list, its templates, its pictures.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::say::Say;
use crate::beside::{self, Refused};
use crate::course::own::{Own, OwnList, read_list};
use crate::pack::{Audience, Book, Kind, is_for, own_page};
use crate::print::own::{Frame, LARGEST, OwnPage};
use crate::print::{Picture, Rendered, Templates, Workshop};
use crate::problem::{Failure, Problem, render_problems};

/// The folder, beside the course.
const FOLDER: &str = "club";
/// Its list.
const LIST: &str = "pages.yaml";
/// Ending of its templates.
const ENDING: &str = ".typ.j2";
/// Largest list, bytes.
const LARGEST_LIST: u64 = 256 << 10;
/// Largest picture that is asked whether it changed, bytes.
const LARGEST_PICTURE: u64 = 64 << 20;

/// What a club has beside its course; empty for most.
#[derive(Debug, Default)]
pub(super) struct Club {
    folder: PathBuf,
    source: String,
    list: OwnList,
    /// The template of each page in the list.
    texts: Vec<String>,
}

impl Club {
    /// Reads the folder beside a course, if there is one with a list.
    ///
    /// # Errors
    /// The folder or a file leads out of the course's folder or cannot be read; every mistake in the list.
    pub(super) fn beside(course: &Path, say: &Say) -> Result<Self, Failure> {
        let beside = course.parent().filter(|folder| *folder != Path::new("")).unwrap_or(Path::new("."));
        let folder = beside.join(FOLDER);
        if folder.join(LIST).symlink_metadata().is_err() {
            return Ok(Self::default());
        }
        let inside = |path: &Path| path.canonicalize().ok();
        if !inside(&folder).zip(inside(beside)).is_some_and(|(inner, outer)| inner.starts_with(outer)) {
            let folder = folder.display();
            return Err(Failure::Files(format!(
                "{folder} is a link that leads out of the folder of the course"
            )));
        }
        let source = text(&folder, LIST, LARGEST_LIST)?;
        let told = |problems: &[Problem]| {
            let name = folder.join(LIST).display().to_string();
            say.diagnostics(&render_problems(&name, &source, problems, say.colour));
            Failure::Told
        };
        let list = read_list(&source).map_err(|problems| told(&problems))?;
        let templates = Templates::embedded()?;
        let problems: Vec<Problem> = list.pages.iter().filter_map(|own| misnamed(own, &templates)).collect();
        if !problems.is_empty() {
            return Err(told(&problems));
        }
        let read = |own: &Own| text(&folder, &format!("{}{ENDING}", own.name), LARGEST);
        let texts = list.pages.iter().map(read).collect::<Result<_, _>>()?;
        Ok(Self { folder, source, list, texts })
    }

    /// The program's templates with the club's among them.
    ///
    /// # Errors
    /// One does not parse.
    pub(super) fn among(&self, templates: Templates) -> Result<Templates, Failure> {
        let within: Vec<Option<String>> =
            self.list.pages.iter().map(|own| Kind::named(&own.name).map(Kind::template)).collect();
        let pages: Vec<OwnPage> = (self.list.pages.iter().zip(&self.texts).zip(&within))
            .map(|((own, text), within)| OwnPage {
                file: file_of(own),
                text,
                frame: match within {
                    Some(name) => Frame::Within(name),
                    None => Frame::Alone { landscape: own.landscape },
                },
            })
            .collect();
        templates.with_own(&pages)
    }

    /// The pages on sheets of their own that are asked for, by reader and name.
    pub(super) fn alone(&self, readers: &[Audience], only: &[String]) -> Vec<&Own> {
        let asked = |own: &&Own| is_for(own, readers) && (only.is_empty() || only.contains(&own.name));
        self.list.pages.iter().filter(|own| own.title.is_some()).filter(asked).collect()
    }

    /// Lays the pictures where the typesetter finds them, or only looks at them; where each will lie.
    ///
    /// # Errors
    /// One cannot be printed.
    pub(super) fn pictures(&self, into: Option<&Workshop>) -> Result<BTreeMap<String, String>, Failure> {
        let mut all = BTreeMap::new();
        for (name, file) in &self.list.pictures {
            let picture = Picture::read(&self.folder, file).map_err(Failure::Files)?;
            let path = match into {
                Some(workshop) => workshop.add_picture(&format!("own-{name}"), &picture)?,
                None => format!("/pictures/own-{name}.{}", picture.extension()),
            };
            all.insert(name.clone(), path);
        }
        Ok(all)
    }

    /// Fills a page on sheets of its own.
    ///
    /// # Errors
    /// What it asks for and is not given, what it may not hold.
    pub(super) fn fill(
        own: &Own,
        book: &Book,
        pictures: &BTreeMap<String, String>,
        templates: &Templates,
    ) -> Result<Rendered, Failure> {
        own_page(book, own, &file_of(own), pictures, templates)
    }

    /// Fills every page of the club, to see that each can be.
    ///
    /// # Errors
    /// As [`Self::fill`], of the first page that cannot.
    pub(super) fn try_all(&self, book: &Book) -> Result<usize, Failure> {
        let templates = self.among(Templates::embedded()?)?;
        let pictures = self.pictures(None)?;
        for own in &self.list.pages {
            match Kind::named(&own.name) {
                Some(kind) => _ = kind.fill(book, &templates).transpose()?,
                None => _ = Self::fill(own, book, &pictures, &templates)?,
            }
        }
        Ok(self.list.pages.len())
    }

    /// Whether there is nothing of the club's own.
    pub(super) fn is_empty(&self) -> bool {
        self.list.pages.is_empty()
    }

    /// All that a run depends on.
    pub(super) fn parts(&self) -> Vec<Vec<u8>> {
        let pictures = self
            .list
            .pictures
            .iter()
            .map(|(_, file)| beside::read(&self.folder, file, LARGEST_PICTURE).unwrap_or_default());
        let texts = self.texts.iter().map(|text| text.clone().into_bytes());
        [self.source.clone().into_bytes()].into_iter().chain(texts).chain(pictures).collect()
    }
}

/// The files of the club's folder beside a course, as far as its list can be read; the list itself, there or not.
pub(super) fn files(course: &Path, say: &Say) -> Vec<PathBuf> {
    let folder = course.parent().unwrap_or(Path::new("")).join(FOLDER);
    let club = Club::beside(course, say).unwrap_or_default();
    let pages = club.list.pages.iter().map(|own| format!("{}{ENDING}", own.name));
    let pictures = club.list.pictures.iter().map(|(_, file)| file.clone());
    [LIST.to_owned()].into_iter().chain(pages).chain(pictures).map(|name| folder.join(name)).collect()
}

fn file_of(own: &Own) -> String {
    format!("{FOLDER}/{}{ENDING}", own.name)
}

/// A page that has a title and the name of one of the program's, or neither; or that would take the place of lines
/// that decide.
fn misnamed(own: &Own, templates: &Templates) -> Option<Problem> {
    let name = &own.name;
    let problem = match (Kind::named(name), &own.title) {
        (Some(_), Some(_)) => Problem::new(format!("the program has a page called `{name}`"))
            .help("take `title` away to word that page yourself, or give yours another name"),
        (None, None) => Problem::new(format!("the page `{name}` has no title"))
            .help("add a line like `title: Camp notes`, or name a page of the program: joining-notes"),
        (Some(kind), None) if templates.part(&kind.template()).is_none() => Problem::new(format!(
            "`{name}` cannot be worded by a club: its lines say who drives where, and what is done when it goes wrong"
        ))
        .help("give a page of your own another name and a title; `slopepack wording` writes a first one"),
        _ => return None,
    };
    Some(problem.at(own.place.clone()))
}

fn text(folder: &Path, name: &str, most: u64) -> Result<String, Failure> {
    let file = folder.join(name);
    let bytes = beside::read(folder, name, most).map_err(|why| match why {
        Refused::Unreadable(why) => Failure::files("read the club's page", &file, &why),
        Refused::TooLarge(most) => {
            Failure::Files(format!("{} is larger than {} KiB; a page is a few", file.display(), most >> 10))
        }
        why => Failure::Files(format!("{} {why}", file.display())),
    })?;
    String::from_utf8(bytes)
        .map(|text| text.replace("\r\n", "\n"))
        .map_err(|_| Failure::Files(format!("{} is not UTF-8 text; save it again as UTF-8", file.display())))
}
