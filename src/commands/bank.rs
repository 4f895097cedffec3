//! Reading the items of judgement that a course names.

use std::path::Path;

use super::say::Say;
use crate::beside::{self, Refused};
use crate::course::{BankItem, Course, read_bank};
use crate::paper::{BankCheck, Source, built_in, embedded};
use crate::print::fingerprint;
use crate::problem::{Failure, Problem, render_problems};

/// Largest file of items, bytes.
const LARGEST_BANK: u64 = 2 << 20;

/// The items of the program, then those of the files the course names, and where they come from.
pub(super) fn bank(course: &Course, path: &Path, say: &Say) -> Result<(Vec<BankItem>, Vec<Source>), Failure> {
    let mut all = built_in();
    let source = |file: &str, text: &str| Source {
        file: file.rsplit('/').next().unwrap_or(file).to_owned(),
        sha256: fingerprint(text.as_bytes()),
    };
    let mut sources: Vec<Source> = embedded().iter().map(|(name, text)| source(name, text)).collect();
    let folder = path.parent().unwrap_or(Path::new(""));
    for name in &course.papers.bank {
        let file = folder.join(name);
        let text = text_of_items(folder, name, &file)?;
        let items = read_bank(&text).map_err(|problems| {
            say.diagnostics(&render_problems(&file.display().to_string(), &text, &problems, say.colour));
            Failure::Told
        })?;
        for item in &items {
            for fault in BankCheck::of(item) {
                say.note(&format!("{}: item `{}`: {fault}", file.display(), item.id));
            }
        }
        if let Some(twice) = items.iter().find(|item| all.iter().any(|known| known.id == item.id)) {
            return Err(Failure::Course(vec![Problem::new(format!(
                "{}: another item is called `{}` already; give each its own `id`",
                file.display(),
                twice.id
            ))]));
        }
        all.extend(items);
        sources.push(source(name, &text));
    }
    Ok((all, sources))
}

fn text_of_items(folder: &Path, name: &str, file: &Path) -> Result<String, Failure> {
    let bytes = beside::read(folder, name, LARGEST_BANK).map_err(|why| match why {
        Refused::Unreadable(why) => Failure::files("read the items", file, &why),
        why => Failure::Files(format!("the file of items {} {why}", file.display())),
    })?;
    String::from_utf8(bytes).map_err(|_| {
        Failure::Files(format!(
            "the file of items {} is not UTF-8 text; save it again as UTF-8",
            file.display()
        ))
    })
}
