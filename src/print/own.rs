//! A club's own pages: templates from a folder beside the course, filled as the program's are, and held to the pieces
//! that stay within a page. Whoever writes one does not have to be trusted: it reads no file, runs no program, ends
//! soon, and head, foot and caution are put on it by the program.
//!
//! ```
//! use slopepack::print::own::part;
//! let template = "#opening(meta)\n{# A club may word from here #}\nWords.\n{# to here. #}\n#panel[stays]\n";
//! assert_eq!(part(template), Some("Words.\n"));
//! ```

mod look;
mod measure;
mod offered;
pub mod pieces;

use std::ops::Range;

pub(super) use offered::{offered, strangers};

use super::folder::manifest::fingerprint;
use super::trace::Rendered;
use crate::problem::{Failure, Problem};

/// Largest template of a club, bytes.
pub const LARGEST: u64 = 64 << 10;
/// Most faults that are told at once.
const MOST_TOLD: usize = 20;
/// Longest page that a template may be filled to, bytes.
const LONGEST: usize = 1 << 20;
/// What filling a template may cost, in steps of the filler and parts of 64 bytes that it makes.
pub(super) const FUEL: u64 = 2_000_000;
/// Where the club's part of a template of the program begins and ends.
const BEGINS: &str = "{# A club may word from here #}\n";
const ENDS: &str = "{# to here. #}\n";
/// The line of a template that puts on head and foot.
const DRESSED: &str = "pack-page.with(meta,";

/// Where a club's page stands.
#[derive(Clone, Copy, Debug)]
pub enum Frame<'a> {
    /// In place of a part of the program's page with this template.
    Within(&'a str),
    /// On sheets of its own; `landscape` or upright.
    Alone {
        /// Whether its sheets lie.
        landscape: bool,
    },
}

/// A club's page.
#[derive(Clone, Debug)]
pub struct OwnPage<'a> {
    /// Its template's path, as messages name it: `club/camp.typ.j2`.
    pub file: String,
    /// Its template.
    pub text: &'a str,
    /// Where it stands.
    pub frame: Frame<'a>,
}

/// The part of one of the program's templates that a club may word; none where every line is the program's.
pub fn part(template: &str) -> Option<&str> {
    part_of(template).map(|range| &template[range])
}

fn part_of(template: &str) -> Option<Range<usize>> {
    let start = template.find(BEGINS)? + BEGINS.len();
    Some(start..start + template[start..].find(ENDS)?)
}

impl OwnPage<'_> {
    /// SHA-256 of the template, in hexadecimal; also the mark around its part of a filled page, which it cannot hold
    /// itself.
    pub(super) fn digest(&self) -> String {
        fingerprint(self.text.as_bytes())
    }

    /// The template around the club's; `within` is the program's where it takes a part of one.
    pub(super) fn framed(&self, within: Option<&str>) -> Option<String> {
        let (before, after) = match (self.frame, within) {
            (Frame::Within(_), Some(template)) => {
                let part = part_of(template)?;
                (template[..part.start].to_owned(), &template[part.end..])
            }
            _ => (self.head(), ""),
        };
        let digest = self.digest();
        let own = format!(
            "pack-page.with(meta + (fingerprint: meta.fingerprint + \" · club’s own {}\"), over: true,",
            &digest[..4]
        );
        let (before, file) = (before.replacen(DRESSED, &own, 1), &self.file);
        Some(format!("{before}// {digest}\n{{% include \"{file}\" %}}\n\n\n// {digest}\n{after}"))
    }

    fn head(&self) -> String {
        let form = if matches!(self.frame, Frame::Alone { landscape: true }) { "landscape" } else { "wide" };
        format!(
            "{{%- import \"parts/code.typ.j2\" as c -%}}\n{{% include \"parts/meta.typ.j2\" %}}\n\
             #show: {DRESSED} form: \"{form}\", size: pt(11))\n#slope-mark(none)\n#opening(meta, none)\n"
        )
    }
}

/// A template that cannot be read is the club's to mend.
pub(super) fn unread(failure: Failure) -> Failure {
    match failure {
        Failure::Template(shown) => Failure::Course(vec![Problem::new(shown)]),
        other => other,
    }
}

/// The file of a club's template on sheets of its own, from the name of what is around it.
pub(super) const ALONE: &str = ", framed";

/// Looks at the club's part of a filled page.
///
/// # Errors
/// Everything in it that may not be there, with its line in the club's template.
pub(super) fn look(page: &Rendered, digest: &str) -> Result<(), Failure> {
    let mark = format!("// {digest}\n");
    if page.text.len() > LONGEST {
        let message =
            format!("{} is filled to more than {} KiB: what is repeated in it?", page.name, LONGEST >> 10);
        return Err(Failure::Course(vec![Problem::new(message)]));
    }
    let mut problems = Vec::new();
    let mut at = 0;
    while let Some(start) = page.text[at..].find(&mark).map(|found| at + found + mark.len()) {
        let end = page.text[start..].find(&mark).map_or(page.text.len(), |found| start + found);
        for fault in look::faults(&page.text[start..end], 2).into_iter().take(MOST_TOLD) {
            let shown = page.shown(start + fault.at.start, &fault.message, &fault.help);
            if !problems.iter().any(|known: &Problem| known.message == shown) {
                problems.push(Problem::new(shown));
            }
        }
        at = (end + mark.len()).min(page.text.len());
    }
    if problems.is_empty() { Ok(()) } else { Err(Failure::Course(problems)) }
}
