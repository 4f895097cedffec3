//! The quiz as the pack hands it out: what is asked, and what may be looked up.

use std::collections::BTreeSet;

use crate::formula::{Part, Worked};
use crate::lesson::Example;
use crate::pack::book::Book;
use crate::pack::learn::workbook::used;
use crate::page::meta::Meta;
use crate::page::worked::{FormulaSheet, formula_sheet};
use crate::paper::{Quiz, QuizAnswers, QuizSheet};

/// The question sheet.
pub(crate) fn sheet(book: &Book, pack: Meta) -> QuizSheet {
    let quiz = drawn(book);
    quiz.sheet(pack, formulas(book, quiz))
}

/// Minutes it takes.
pub(crate) fn minutes(book: &Book) -> u16 {
    drawn(book).minutes()
}

/// Its answers.
pub(crate) fn answers(book: &Book, pack: Meta) -> QuizAnswers {
    drawn(book).answers(pack)
}

/// The quiz of the book's seed, without the answers that the workbook prints. Drawn once: timetables ask how long it
/// takes.
fn drawn<'b>(book: &'b Book) -> &'b Quiz {
    book.quiz.get_or_init(|| {
        let lines = used(book).into_iter().flat_map(|worked| &worked.lines);
        let told: BTreeSet<String> = lines.map(|line| line.unit.behind(&line.shown.text)).collect();
        Quiz::draw(book.course, &book.reckoning, &told, &book.fingerprint)
    })
}

/// Examples whose formulas the quiz has no use for, beside those that a workbook alone asks for.
const UNASKED: [Example; 4] =
    [Example::Energy, Example::LeftToHold, Example::EngineHolds, Example::LockedRunaway];

/// What may be looked up: more than is asked, less than the workbook holds.
fn formulas(book: &Book, quiz: &Quiz) -> FormulaSheet {
    let mut examples: Vec<Worked> = used(book)
        .into_iter()
        .filter(|worked| worked.part != Some(Part::Exercise))
        .filter(|worked| !UNASKED.iter().any(|example| example.is(worked)))
        .map(Worked::direct)
        .collect();
    examples.extend(quiz.worked().cloned());
    formula_sheet(&examples.iter().collect::<Vec<_>>(), book.course.units)
}
