//! Where the day is led from, and what is at hand there: the telephone, the first-aid kit.

use crate::course::{Course, KitItem, KitKind, PointOfSite};
use crate::pack::book::Book;

/// Where control stands: its spot on the plan of the site, else where everybody gathers.
pub(crate) fn control_stands(book: &Book) -> String {
    let place = on_the_plan(book.course, PointOfSite::Control).or_else(|| book.course.assembly());
    place.unwrap_or_else(|| "the assembly point".to_owned())
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
    course.site_plan.as_ref()?.named(kind)
}
