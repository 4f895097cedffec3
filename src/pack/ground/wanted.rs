//! Kit that a control of the risk assessment stands on, against the kit list of the course: what is not in it is
//! printed as missing, beside the control and on the first pages.

use std::collections::BTreeSet;

use crate::course::{Condition, Course, KitKind, Role};
use crate::pack::book::Book;
use crate::recovery::pull::sinks;
use crate::rota::{Rota, Station, day_sum};

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
        KitKind::Watch => "a watch that stops, one a slope in use",
        KitKind::Tape => "measuring tape",
        KitKind::Gauge => "tyre gauge",
        KitKind::Rake => "rake",
        KitKind::Damper => "line damper",
        KitKind::Gloves => "gloves",
        KitKind::Chock => "wheel chocks",
        KitKind::Extinguisher => "extinguishers",
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

/// Slopes in use at a time, at the most: by the rotas of all days, else by the sum of the day; one where neither says.
fn at_once(book: &Book) -> usize {
    let in_slot = |rota: &Rota, slot: usize| {
        let here = rota.visits.iter().filter(|visit| visit.slot == slot);
        let slopes: BTreeSet<Station> =
            here.map(|visit| visit.station).filter(|at| matches!(at, Station::Slope(_))).collect();
        slopes.len()
    };
    let by_rota = |rota: &Rota| (0..rota.slots.len()).map(|slot| in_slot(rota, slot)).max();
    let by_sum = || day_sum(book.course, &book.reckoning).iter().map(|sum| sum.groups).max();
    let days = book.days.iter().map(|(_, rota)| rota).chain(&book.rota);
    days.filter_map(by_rota).max().or_else(by_sum).unwrap_or(1).max(1)
}

/// What speeds, pegs, traces and tyres are measured with and the kit does not have; nothing where nobody drives.
pub(crate) fn missing_to_measure(book: &Book) -> Vec<String> {
    let course = book.course;
    if course.vehicles.is_empty() || course.slopes.is_empty() {
        return Vec::new();
    }
    let needs = [(KitKind::Watch, at_once(book)), (KitKind::Tape, 1), (KitKind::Gauge, 1)];
    needs.into_iter().filter_map(|needs| missing(course, needs)).collect()
}

/// Extinguishers at brow and foot of every slope that is in use at a time.
pub(super) fn extinguishers(book: &Book) -> Needs {
    (KitKind::Extinguisher, 2 * at_once(book))
}

/// What the first rung of the recovery ladder is done with and the kit does not have: a shovel, and boards where
/// wheels sink in.
pub(crate) fn missing_to_dig(course: &Course) -> Vec<String> {
    let soft = course.slopes.iter().any(|slope| sinks(course.surface_of(slope)));
    let needs = [Some((KitKind::Shovel, 1)), soft.then_some((KitKind::Boards, 1))];
    needs.into_iter().flatten().filter_map(|needs| missing(course, needs)).collect()
}
