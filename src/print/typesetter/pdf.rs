//! A finished document, looked at before anything is done with it.
//!
//! A program that ends well may still have written nothing, half a file or something else. What a
//! person is to carry up a hill is taken only if it is whole.

use std::fmt;
use std::ops::Deref;

use lopdf::{Document, Object};

use super::fill::{last_page_used, worth_trying};
use crate::print::trace::Spacing;

/// How far from the end of a file its closing words may begin.
const TAIL: usize = 64;

/// A whole, tagged PDF with at least one page.
#[derive(Clone, PartialEq)]
pub struct Pdf {
    bytes: Vec<u8>,
    pages: usize,
    /// How its pages are set.
    spacing: Spacing,
    /// How far the last page is used; 1 where nobody has looked.
    used: f64,
}

impl Pdf {
    /// Looks at what came back: a PDF, whole to its end, with pages, and exported as PDF/UA-1.
    ///
    /// # Errors
    /// What it lacks, in words.
    pub fn of(bytes: Vec<u8>) -> Result<Self, String> {
        if bytes.is_empty() {
            return Err("it is empty".into());
        }
        if !bytes.starts_with(b"%PDF-") {
            return Err("it is no PDF".into());
        }
        if !has_end(&bytes) {
            return Err("its end is missing".into());
        }
        let document = Document::load_mem(&bytes).map_err(|why| format!("it cannot be read: {why}"))?;
        let pages = document.get_pages().len();
        if pages == 0 {
            return Err("it has no page".into());
        }
        if !is_accessible(&document) {
            return Err("it is not marked as accessible (PDF/UA-1)".into());
        }
        let used = last_page_used(&document).unwrap_or(1.0);
        Ok(Self { bytes, pages, spacing: Spacing::Usual, used })
    }

    /// A document that was looked at when it was made, and has not changed since.
    pub(super) fn checked_before(bytes: Vec<u8>, pages: usize, spacing: Spacing) -> Self {
        Self { bytes, pages, spacing, used: 1.0 }
    }

    /// The same pages, known to be set so.
    pub(super) fn set(self, spacing: Spacing) -> Self {
        Self { spacing, ..self }
    }

    /// How its pages are set.
    pub fn spacing(&self) -> Spacing {
        self.spacing
    }

    /// The closer spacings with which it may end a page earlier, if its last page holds little.
    pub(super) fn closer(&self) -> impl Iterator<Item = Spacing> + use<> {
        worth_trying(self.pages, self.used)
    }

    /// How many pages it has.
    pub fn pages(&self) -> usize {
        self.pages
    }
}

impl fmt::Debug for Pdf {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "Pdf({} pages, {} bytes)", self.pages, self.bytes.len())
    }
}

impl Deref for Pdf {
    type Target = [u8];

    fn deref(&self) -> &[u8] {
        &self.bytes
    }
}

/// Whether the file ends as ISO 32000 wants it: `startxref`, the place of the table, `%%EOF`; and
/// whether the table is there.
fn has_end(bytes: &[u8]) -> bool {
    let tail = &bytes[bytes.len().saturating_sub(TAIL)..];
    let tail = String::from_utf8_lossy(tail);
    let Some((_, end)) = tail.rsplit_once("startxref") else { return false };
    let mut words = end.split_whitespace();
    let place = words.next().and_then(|number| number.parse::<usize>().ok());
    let table = place.and_then(|place| bytes.get(place..)).unwrap_or_default();
    let there = table.starts_with(b"xref") || table.first().is_some_and(u8::is_ascii_digit);
    there && words.eq(["%%EOF"])
}

/// Whether the document carries tags and says that it follows the standard.
fn is_accessible(document: &Document) -> bool {
    let read = || -> Option<bool> {
        let catalog = document.catalog().ok()?;
        let marked = document.get_dict_in_dict(catalog, b"MarkInfo").ok()?.get(b"Marked").ok()?;
        let tree = document.get_dict_in_dict(catalog, b"StructTreeRoot").is_ok();
        let about = catalog.get(b"Metadata").and_then(|about| document.dereference(about)).ok()?.1;
        let Object::Stream(about) = about else { return None };
        let about = about.decompressed_content().unwrap_or_else(|_| about.content.clone());
        let says = String::from_utf8_lossy(&about).contains("<pdfuaid:part>1<");
        Some(matches!(marked, Object::Boolean(true)) && tree && says)
    };
    read().unwrap_or(false)
}

/// Looks at a page drawn as a picture: whole to its end.
pub(super) fn is_whole_picture(bytes: &[u8]) -> bool {
    let png = bytes.starts_with(b"\x89PNG\r\n\x1a\n") && bytes.ends_with(b"IEND\xaeB`\x82");
    let svg = bytes.starts_with(b"<svg") && bytes.trim_ascii_end().ends_with(b"</svg>");
    png || svg
}
