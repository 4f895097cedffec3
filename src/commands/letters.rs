//! Faces for the letters of a course and of the lists keyed for it.

use std::path::Path;
use std::sync::Arc;

use super::say::Say;
use crate::course::{Loaded, Paper, to_show, written};
use crate::print::script::Hand;
use crate::print::{Dialect, Faces, Lacking, Needed};
use crate::problem::{Failure, Problem, render_problems};
use crate::spreadsheet::Table;

/// Most letters that a message lists.
const MOST_LISTED: usize = 12;

/// A list beside the course, such as that of the candidates: its file's name and its bytes.
pub(super) type List<'a> = (&'a str, &'a [u8]);

/// The faces for all letters of a course, its roster and a list. What a page cannot show stops the run before
/// anything is typeset.
///
/// # Errors
/// A script for which there is no face; every text in it has been shown with its place.
pub(super) fn faces_for(
    loaded: &Loaded,
    list: Option<List>,
    folder: Option<&Path>,
    say: &Say,
) -> Result<Arc<Faces>, Failure> {
    if let Some(folder) = folder.filter(|folder| !folder.is_dir()) {
        return Err(Failure::Files(format!("there is no folder {}, which --fonts names", folder.display())));
    }
    let texts = written(loaded);
    let table = list.map(|(name, bytes)| (name, Table::read(bytes, |_| false)));
    let cells = || table.iter().flat_map(|(_, table)| &table.rows).flat_map(|row| &row.cells);
    let all = texts.iter().map(|text| text.text.as_str()).chain(cells().map(|cell| cell.text.as_str()));
    let lacking = match Faces::find(&Needed::of(all), folder) {
        Ok(faces) => return Ok(Arc::new(faces)),
        Err(lacking) => lacking,
    };
    let mut shown = 0;
    for in_roster in [false, true] {
        let here = texts.iter().filter(|text| text.in_roster == in_roster);
        let problems: Vec<Problem> = here
            .filter_map(|text| {
                Some(problem(&lacking, &text.text, text.private, folder)?.at(text.span.clone()))
            })
            .collect();
        shown += problems.len();
        if !problems.is_empty() {
            let (name, source, problems) = to_show(loaded, in_roster, problems);
            say.diagnostics(&render_problems(&name, &source, &problems, say.colour));
        }
    }
    if let Some((name, table)) = &table {
        let problems = cells()
            .filter_map(|cell| Some(problem(&lacking, &cell.text, false, folder)?.at(cell.span.clone())));
        let problems = table.with_cells(problems.collect());
        shown += problems.len();
        say.diagnostics(&render_problems(name, &table.source, &problems, say.colour));
    }
    say.diagnostics(&format!("{shown} texts cannot be printed as they are written; nothing was written\n"));
    Err(Failure::Told)
}

/// That a text holds letters of a script without a face; none if it holds none.
fn problem(lacking: &[Lacking], text: &str, private: bool, folder: Option<&Path>) -> Option<Problem> {
    let hands: Vec<Hand> = text.chars().filter_map(|letter| Hand::of(letter, text)).collect();
    let lacking = lacking.iter().find(|lacking| hands.contains(&lacking.hand))?;
    let mut letters: Vec<String> = Vec::new();
    for letter in text.chars().filter(|letter| Hand::of(*letter, text) == Some(lacking.hand)) {
        if !letters.contains(&letter.to_string()) {
            letters.push(letter.to_string());
        }
    }
    let more = if letters.len() > MOST_LISTED { " …" } else { "" };
    letters.truncate(MOST_LISTED);
    let which = if private { String::new() } else { format!(": {}{more}", letters.join(" ")) };
    let (name, package) = (lacking.hand.name().replace('_', " "), lacking.hand.package());
    let place =
        folder.map_or_else(|| "this machine".to_owned(), |folder| format!("the folder {}", folder.display()));
    let message =
        format!("no font in {place} has the letters of this text that are written in {name}{which}");
    let help = format!(
        "put a font that has them into a folder and name it with `--fonts DIR`, or install one: on Debian and its \
         like the package {package}"
    );
    Some(Problem::new(message).help(help))
}

/// The English of a course's readers: American on US paper.
pub(super) fn dialect(loaded: &Loaded) -> Dialect {
    let own = format!("{}\n{}", loaded.source, String::from_utf8_lossy(&loaded.roster));
    Dialect::new(loaded.course.paper == Paper::Letter, own)
}
