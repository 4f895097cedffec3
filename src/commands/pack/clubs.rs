//! The pages that are the club's own, on sheets of their own.

use std::collections::BTreeMap;

use super::{Press, STAMP};
use crate::commands::own::Club;
use crate::course::own::Own;
use crate::pack::{Book, Listed, own_listed};
use crate::print::{Publication, Rendered, Templates};
use crate::problem::Failure;

impl Press<'_> {
    /// Prints the club's own pages, each with its picture where pictures are asked for.
    ///
    /// # Errors
    /// What a page may not hold, or what the typesetter says.
    pub(super) fn clubs(
        &self,
        book: &Book,
        templates: &Templates,
        pages: &[&Own],
        pictures: &BTreeMap<String, String>,
        publication: &mut Publication,
    ) -> Result<Vec<Listed>, Failure> {
        let fill = |own: &&Own| Club::fill(own, book, pictures, templates);
        let rendered: Vec<Rendered> = pages.iter().map(fill).collect::<Result<_, _>>()?;
        let done = |at: usize| self.say.progress(&format!("typeset {}", pages[at].name));
        let pdfs = self.typesetter.pdfs(self.workshop, &rendered, STAMP, done)?;
        let mut listed = Vec::new();
        for ((own, rendered), pdf) in pages.iter().zip(&rendered).zip(&pdfs) {
            let title = own.title.as_deref().unwrap_or(&own.name);
            let file = format!("{}.pdf", own.name);
            publication.put_page(&file, title, pdf, rendered.own.as_ref())?;
            self.preview(&own.name, title, rendered, publication)?;
            listed.push(own_listed(book, own, &file, pdf.pages()));
        }
        Ok(listed)
    }
}
