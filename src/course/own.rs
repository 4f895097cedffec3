//! The list of a club's own pages, `club/pages.yaml` beside the course.
//!
//! ```
//! use slopepack::course::own::read_list;
//! let list = "pages:\n  - {name: camp, title: Camp, readers: everybody who camps, copies: 1 each}\n";
//! assert_eq!(read_list(list).expect("no mistake").pages[0].copies, "1 each");
//! assert_eq!(read_list("pages:\n  - {nane: camp}\n").expect_err("a mistake").len(), 1);
//! ```

use std::ops::Range;

use super::cursor::{Field, Fields, Log, Read};
use super::tree;
use crate::problem::Problem;

/// The form of the list, and of what its pages are given.
const FORMAT: u64 = 1;
/// Whom a page can be for, by word.
pub const READERS: [&str; 3] = ["instructor", "assessor", "club"];

/// What the list holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OwnList {
    /// The pages, in order.
    pub pages: Vec<Own>,
    /// Pictures on them: name and file, which lies in the same folder.
    pub pictures: Vec<(String, String)>,
}

/// A page of the club.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Own {
    /// Its file without ending; that of a document of the program where it words that one.
    pub name: String,
    /// Its title; none where it words a document of the program.
    pub title: Option<String>,
    /// Who holds it, in words.
    pub readers: String,
    /// How many copies, in words.
    pub copies: String,
    /// Who gets it when asked for by reader, of [`READERS`]; everybody where it is empty.
    pub audience: Vec<&'static str>,
    /// Whether its sheets lie.
    pub landscape: bool,
    /// Where it stands in the list, as a byte range.
    pub place: Range<usize>,
}

/// Reads the list.
///
/// # Errors
/// Every mistake in it, in the order of the text.
pub fn read_list(source: &str) -> Result<OwnList, Vec<Problem>> {
    let (root, key_problems) = tree::parse(source).map_err(|problem| vec![problem])?;
    let log = Log::default();
    for problem in key_problems {
        log.note(problem);
    }
    let list = list(&Field::root(&root, &log));
    let problems = log.into_problems();
    match list {
        Ok(list) if problems.is_empty() => Ok(list),
        _ => Err(problems),
    }
}

fn list(root: &Field) -> Read<OwnList> {
    let mut fields = Fields::of(root, "the list of a club's pages")?;
    let format = fields.optional("format", |field| field.whole::<u64>(FORMAT, FORMAT));
    let pages = fields.required("pages", "pages: [{name: camp, title: Camp, readers: …}]", |field| {
        field.list("a page", |one| page(&one))
    });
    let pictures = fields.optional_list("pictures", |field| {
        field.named("a picture")?.into_iter().map(|one| Ok((plain(&one)?, one.picture()?))).collect()
    });
    if let Ok(pages) = &pages {
        for (at, own) in
            pages.iter().enumerate().filter(|(at, own)| pages[..*at].iter().any(|one| one.name == own.name))
        {
            let first =
                pages[..at].iter().find(|one| one.name == own.name).map_or(0..0, |one| one.place.clone());
            let problem = Problem::new(format!("two pages are called `{}`", own.name))
                .help("give each a name of its own");
            fields.note(problem.at(own.place.clone()).related(first, "the first"));
        }
    }
    fields.finish();
    format?;
    Ok(OwnList { pages: pages?, pictures: pictures? })
}

/// What a picture is called in a template.
fn plain(field: &Field) -> Read<String> {
    let name = field.name;
    if name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit()) && name.len() <= 40 {
        return Ok(name.to_owned());
    }
    Err(field.problem(format!("a picture cannot be called `{name}`"), "use small letters and digits: hut"))
}

fn page(field: &Field) -> Read<Own> {
    let mut fields = Fields::of(field, "a club's page")?;
    let readers = READERS.map(|word| (word, word));
    let name = fields.required("name", "name: camp", Field::id);
    let title = fields.optional("title", Field::whole_text);
    let held = fields.optional("readers", Field::whole_text);
    let copies = fields.optional("copies", Field::whole_text);
    let audience = fields.optional_list("for", |field| field.list("a reader", |one| one.choice(&readers)));
    let landscape = fields.optional("landscape", Field::truth);
    fields.finish();
    Ok(Own {
        name: name?,
        title: title?,
        readers: held?.unwrap_or_else(|| "whoever the club gives it to".to_owned()),
        copies: copies?.unwrap_or_else(|| "1".to_owned()),
        audience: audience?,
        landscape: landscape?.unwrap_or(false),
        place: field.span(),
    })
}
