//! The recovery lesson: what to say, examples to chalk up, the usual slips, items for a paper.

use serde::Serialize;

use crate::course::{Course, KitKind};
use crate::formula::Worked;
use crate::pack::book::Book;
use crate::page::meta::Meta;
use crate::page::worked::{WorkedSheet, with_unit};
use crate::recovery::pull::sinks;

/// The recovery lesson.
#[derive(Serialize)]
pub struct RecoveryLesson {
    pack: Meta,
    lesson: Lesson,
}

#[derive(Serialize)]
struct Lesson {
    about: String,
    /// The same pull by two books, where both are worked here.
    two_books: Option<TwoBooks>,
    kit: InKit,
    worked: Vec<WorkedSheet>,
    items: Vec<Item>,
}

/// What the depth rule and the older fractions come to.
#[derive(Serialize)]
struct TwoBooks {
    depth: String,
    fractions: String,
    times: String,
}

/// Which of the things to be shown are in this kit.
#[expect(clippy::struct_excessive_bools, reason = "each is one thing to show")]
#[derive(Serialize)]
struct InKit {
    winch: bool,
    block: bool,
    shackle: bool,
    line: bool,
}

/// A question with a right answer and the slips that lead to wrong ones.
#[derive(Serialize)]
struct Item {
    no: String,
    ask: String,
    given: String,
    right: String,
    wrong: Vec<Wrong>,
}

#[derive(Serialize)]
struct Wrong {
    value: String,
    why: String,
}

/// Examples in the order they are taught.
const ORDER: [&str; 11] = [
    "recovery-depth-rule",
    "recovery-fractions",
    "recovery-locked",
    "recovery-righting",
    "recovery-double-line",
    "recovery-layer",
    "recovery-working-load",
    "recovery-bridle",
    "recovery-anchor",
    "recovery-snatch",
    "recovery-clear",
];
/// Wrong answers shown with each item.
const WRONG: usize = 3;

impl RecoveryLesson {
    /// On the steepest slope, with the vehicle that drives it best.
    pub fn of(book: &Book, pack: Meta) -> Self {
        let steepest = |a: &&crate::course::Slope, b: &&crate::course::Slope| {
            a.steepest().gradient.si().total_cmp(&b.steepest().gradient.si())
        };
        let course = book.course;
        // Where a vehicle can sink at all, if there is such ground.
        let soft = |slope: &&crate::course::Slope| sinks(course.surface_of(slope));
        let sunk = course.slopes.iter().filter(soft).max_by(steepest);
        let slope =
            sunk.or_else(|| course.slopes.iter().max_by(steepest)).expect("a checked course has a slope");
        let vehicle = book.lead(slope);
        let find = |id: &str| {
            book.worked.iter().find(|worked| {
                worked.id == id
                    && worked.slope.as_ref().is_none_or(|on| *on == slope.id)
                    && (worked.slope.is_none() || worked.vehicle.as_ref() == Some(&vehicle.id))
            })
        };
        let kit = in_kit(course);
        let taught = |id: &&&str| **id != "recovery-double-line" || (kit.winch && kit.block);
        let examples: Vec<&Worked> = ORDER.iter().filter(taught).filter_map(|id| find(id)).collect();
        let items = (1..).zip(&examples).filter_map(|(no, worked)| item(no, worked)).collect();
        Self {
            pack,
            lesson: Lesson {
                about: format!(
                    "{} on {}{}",
                    vehicle.name,
                    slope.name,
                    if sunk.is_some() { "" } else { ", as an exercise: in this ground no vehicle sinks" }
                ),
                two_books: two_books(&examples),
                kit,
                worked: examples.iter().map(|worked| WorkedSheet::of(book.course, worked)).collect(),
                items,
            },
        }
    }
}

fn in_kit(course: &Course) -> InKit {
    let has = |kind| course.kit.iter().any(|item| item.kind == kind);
    InKit {
        winch: has(KitKind::Winch),
        block: has(KitKind::SnatchBlock),
        shackle: has(KitKind::Shackle),
        line: has(KitKind::Line) || has(KitKind::KineticRope),
    }
}

fn two_books(examples: &[&Worked]) -> Option<TwoBooks> {
    let of = |id: &str| examples.iter().find(|worked| worked.id == id).map(|worked| worked.answer());
    let (depth, fractions) = (of("recovery-depth-rule")?, of("recovery-fractions")?);
    Some(TwoBooks {
        depth: with_unit(&depth.shown.text, depth.unit),
        fractions: with_unit(&fractions.shown.text, fractions.unit),
        times: format!("{:.1}", depth.si / fractions.si),
    })
}

fn item(no: usize, worked: &Worked) -> Option<Item> {
    let line = worked.answer();
    let wrong: Vec<Wrong> = worked
        .wrong_options()
        .into_iter()
        .take(WRONG)
        .map(|slip| Wrong { value: with_unit(&slip.answer.text, line.unit), why: slip.why.to_owned() })
        .collect();
    let given: Vec<String> = worked
        .given
        .iter()
        .map(|given| format!("{} {}", given.symbol.name, with_unit(&given.shown.text, given.unit)))
        .collect();
    (!wrong.is_empty()).then(|| Item {
        no: no.to_string(),
        ask: format!("{}. Find the {}.", worked.title, line.formula.gives.name),
        given: given.join("; "),
        right: with_unit(&line.shown.text, line.unit),
        wrong,
    })
}
