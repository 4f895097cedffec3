//! Kit that a control of the risk assessment stands on, against the kit list of the course: what is not in it is
//! printed as missing, beside the control and on the first pages.

use crate::course::{Condition, Course, KitKind, Role};
use crate::pack::book::Book;
use crate::recovery::pull::sinks;

/// So many pieces of a kind, without which a control is only words.
pub(super) type Needs = (KitKind, usize);

/// What is missing of it, in words; none where the kit has enough.
pub(super) fn missing(course: &Course, (kind, count): Needs) -> Option<String> {
    let have = have(course, kind);
    (have < count).then(|| {
        let word = word(kind);
        if have == 0 { word.to_owned() } else { format!("{} more: {word}", count - have) }
    })
}

/// How many of a kind are fit for use.
fn have(course: &Course, kind: KitKind) -> usize {
    let fit = |item: &&crate::course::KitItem| item.kind == kind && item.rig.condition != Condition::Retired;
    course.kit.iter().filter(fit).map(|item| usize::from(item.count)).sum()
}

/// A kind as it is asked for in a shop or a shed.
fn word(kind: KitKind) -> &'static str {
    match kind {
        KitKind::ThrowLine => "throw line",
        KitKind::Vest => "bright vests",
        KitKind::Barrier => "rope or tape with stakes",
        KitKind::Pegs => "pegs or cones",
        KitKind::Damper => "line damper",
        KitKind::Gloves => "gloves",
        KitKind::Chock => "wheel chocks",
        KitKind::Extinguisher => "extinguisher",
        KitKind::Shovel => "shovel",
        KitKind::Boards => "boards to drive out on",
        _ => "kit as named",
    }
}

/// Vests for everybody with a post: all who are there and do not come to drive.
pub(super) fn vests(book: &Book) -> Needs {
    let crew = book.there().filter(|(_, person)| person.role != Role::Driver).count();
    (KitKind::Vest, crew.max(1))
}

/// What the first rung of the recovery ladder is done with and the kit does not have: a shovel, and boards where
/// wheels sink in.
pub(crate) fn missing_to_dig(course: &Course) -> Vec<String> {
    let soft = course.slopes.iter().any(|slope| sinks(course.surface_of(slope)));
    let needs = [Some((KitKind::Shovel, 1)), soft.then_some((KitKind::Boards, 1))];
    needs.into_iter().flatten().filter_map(|needs| missing(course, needs)).collect()
}
