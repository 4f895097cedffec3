//! A kind of document: one row of the table holds everything about it.

use crate::pack::audience::Audience;
use crate::pack::book::Book;
use crate::pack::imposed::Layout;
use crate::pack::index::{Listed, half_word, sheet_word};
use crate::pack::printed::same_ground;
use crate::page::meta::Meta;
use crate::print::{CONFIDENTIAL, Rendered, Templates};
use crate::problem::Failure;

/// Fills a template from a book; none when the course has nothing for it.
type Fill = fn(&Book, Meta, &Templates, &str) -> Option<Result<Rendered, Failure>>;

/// How a template is filled from a context: `Name`, or `Name?` where a course may have nothing for it.
macro_rules! fill {
    ($context:ident) => {
        |book, pack, templates, template| Some(templates.render(template, &$context::of(book, pack)))
    };
    ($context:ident?) => {
        |book, pack, templates, template| {
            $context::of(book, pack).map(|context| templates.render(template, &context))
        }
    };
}
pub(super) use fill;

/// A kind of document.
#[derive(Debug)]
pub struct Kind {
    /// File name without ending; also the template's.
    pub name: &'static str,
    /// Folder of its template below `templates`, and of what fills it below `src/pack`.
    pub(super) folder: &'static str,
    /// Title on its sheets.
    pub title: &'static str,
    /// Who holds it, in words.
    pub reader: &'static str,
    /// Who gets it when asked for by reader.
    pub audience: &'static [Audience],
    /// Whether only its reader may see it: it then lies in a folder of its own.
    pub confidential: bool,
    /// Whether it is printed on half the course's paper.
    pub(super) card: bool,
    /// Which sides are printed, in words.
    pub(super) sides: &'static str,
    /// How many copies, in words.
    pub(super) copies: &'static str,
    /// Whether it also comes in large print: what readers hold and read does.
    pub(super) large_print: bool,
    /// How its pages are laid several to a sheet.
    pub layouts: &'static [Layout],
    /// Whether each of several days has its own.
    pub(super) held: Held,
    /// Which courses have it.
    pub(super) exists: When,
    /// How it is filled.
    pub(super) fill: Fill,
}

/// Whether a course of several days has a document once, or one for each day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Held {
    /// Once.
    Once,
    /// Each day its own.
    EachDay,
}

/// Which courses have a document, and whether a change on the day prints it again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum When {
    /// Every course that has something to say in it.
    Always,
    /// Every course; printed again when the rota changes on the day.
    AlwaysAndChanges,
    /// Only a course with a rota.
    WithRota,
    /// Only a course with a rota; printed again when the rota changes on the day, as far as it changed.
    ChangesWithRota,
    /// Every course; printed on the day for vehicles that were on no list.
    AlwaysAndNewVehicles,
    /// Only a change on the day.
    OnlyChanges,
}

/// What most documents have in common; a row says only what it has of its own.
pub(super) const USUAL: Kind = Kind {
    name: "",
    folder: "",
    title: "",
    reader: "",
    audience: &[],
    confidential: false,
    card: false,
    sides: "both sides",
    copies: "1",
    large_print: false,
    layouts: &[],
    held: Held::Once,
    exists: When::Always,
    fill: |_, _, _, _| None,
};

impl Kind {
    /// Whether a change on the day may change it.
    pub fn changes(&self) -> bool {
        !matches!(self.exists, When::Always | When::WithRota)
    }

    /// Whether it is made by a change alone.
    pub fn is_of_a_change(&self) -> bool {
        self.exists == When::OnlyChanges
    }

    /// Whether only a course with a rota has it.
    pub fn needs_rota(&self) -> bool {
        matches!(self.exists, When::WithRota | When::ChangesWithRota | When::OnlyChanges)
    }

    /// Whether each of several days has its own.
    pub fn is_daily(&self) -> bool {
        self.held == Held::EachDay
    }

    /// Whether it also comes in large print.
    pub fn in_large_print(&self) -> bool {
        self.large_print
    }

    /// Its file in the pack.
    pub fn file(&self) -> String {
        let folder = if self.confidential { format!("{CONFIDENTIAL}/") } else { String::new() };
        format!("{folder}{}.pdf", self.name)
    }

    /// Its large-print edition in the pack.
    pub fn large_file(&self) -> String {
        format!("large-print/{}", self.file())
    }

    /// Title of its large-print edition.
    pub fn large_title(&self) -> String {
        format!("{}, large print", self.title)
    }

    /// Its template, by its path below `templates`.
    pub fn template(&self) -> String {
        format!("{}/{}.typ.j2", self.folder, self.name)
    }

    /// Its template filled from a book; none when the course has nothing for it.
    pub fn fill(&self, book: &Book, templates: &Templates) -> Option<Result<Rendered, Failure>> {
        let meta = book.meta(self.title, self.reader, self.name);
        let filled = (self.fill)(book, meta, templates, &self.template())?;
        let filled = filled.map(|page| if self.confidential { page.in_confidence() } else { page });
        Some(filled.map(|page| if self.card { page } else { page.saving_pages() }))
    }

    /// Whether it reads otherwise from one book than from another that shows no change.
    ///
    /// # Errors
    /// The template does not take what it is given.
    pub fn differs(&self, before: &Book, now: &Book, templates: &Templates) -> Result<bool, Failure> {
        let cars = |book: &Book| book.course.vehicles.len();
        let same = cars(before) == cars(now) && same_ground(before.course, now.course);
        if self.exists == When::AlwaysAndNewVehicles && same {
            return Ok(false);
        }
        let text =
            |book: &Book| self.fill(book, templates).transpose().map(|page| page.map(|page| page.text));
        Ok(text(now)?.is_some_and(|now| text(before).is_ok_and(|before| before != Some(now))))
    }

    /// Why a course without a rota has no such document.
    pub fn why_none(&self, book: &Book) -> String {
        if self.name == "demonstration" {
            return crate::pack::ground::demonstration::why_none(book);
        }
        "the course has no slope fit for it".to_owned()
    }

    /// As the index lists it.
    pub fn listed(&self, book: &Book, pages: usize) -> Listed {
        Listed {
            file: self.file(),
            title: self.title.to_owned(),
            audience: self.reader.to_owned(),
            pages: pages.to_string(),
            sheet: if self.card { half_word } else { sheet_word }(book.course.paper).to_owned(),
            sides: self.sides.to_owned(),
            copies: self.copies.to_owned(),
        }
    }

    /// Its large-print edition as the index lists it.
    pub fn large_listed(&self, book: &Book, pages: usize) -> Listed {
        Listed {
            file: self.large_file(),
            title: self.large_title(),
            sheet: sheet_word(book.course.paper).to_owned(),
            copies: "as asked for".to_owned(),
            ..self.listed(book, pages)
        }
    }
}
