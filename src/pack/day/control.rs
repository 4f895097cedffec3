//! Where the day is led from, and what is at hand there: the telephone, the first-aid kit.

use crate::course::{Course, KitItem, KitKind, Label, PointOfSite, Remark};
use crate::pack::book::Book;

/// Where control stands: its spot on the plan of the site, else where everybody gathers.
pub(crate) fn control_stands(book: &Book) -> String {
    let place = on_the_plan(book.course, PointOfSite::Control).or_else(|| gathers(book.course));
    place.unwrap_or_else(|| "the assembly point".to_owned())
}

/// Where everybody gathers: as it is written, else its spot on the plan of the site.
pub(crate) fn gathers(course: &Course) -> Option<String> {
    let written = course.emergency.assembly.as_ref().map(Remark::short);
    written.or_else(|| on_the_plan(course, PointOfSite::Assembly))
}

/// First-aid kits and extinguishers of the kit, each with how many there are, and with what is noted of them or not;
/// none where it has neither.
pub(crate) fn first_at_hand(course: &Course, noted: bool) -> Option<String> {
    let at_hand = |kind| matches!(kind, KitKind::FirstAid | KitKind::Extinguisher);
    let kit = course.kit.iter().filter(|item| at_hand(item.kind));
    let said = |item: &KitItem| {
        let note = item.note.as_ref().filter(|_| noted).map_or_else(String::new, |note| format!(" ({note})"));
        format!("{} × {}{note}", item.count, item.name)
    };
    let kit: Vec<String> = kit.map(said).collect();
    (!kit.is_empty()).then(|| kit.join("; "))
}

/// The name of a spot on the plan of the site.
pub(crate) fn on_the_plan(course: &Course, kind: PointOfSite) -> Option<String> {
    let point = course.site_plan.as_ref()?.point(kind)?;
    point.name.as_ref().map(Label::short)
}
