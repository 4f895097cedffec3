//! Where the anchors of a drawn rig stand.

use crate::course::Slope;
use crate::pack::book::Book;
use crate::pack::recovery::told::TwoAnchors;
use crate::recovery::lie::to_brow;
use crate::recovery::pull::Direction;
use crate::recovery::rig::{Fastened, HeldBy, Part, Rig, Role};
use crate::recovery::{BEYOND, Recovery, STANDING_ROOM};

/// Where the anchors of two stages are; none for one.
pub(super) fn two_anchors<'r>(
    book: &Book,
    slope: &Slope,
    recovery: &Recovery,
    rig: &'r Rig,
) -> Option<TwoAnchors<'r>> {
    let show = book.show;
    let up = recovery.pull.direction == Direction::Up;
    let whole = if up { to_brow(slope) } else { slope.length().si() - to_brow(slope) };
    // The last stage is as long as the first at most.
    let least = (whole + BEYOND + STANDING_ROOM - recovery.distance).max(STANDING_ROOM);
    let length = |metres: f64| show.length(metres, false).text();
    (recovery.stages > 1).then(|| TwoAnchors {
        tested: fixed_anchor(book, rig),
        up,
        first: [length(libm::ceil(least)), length(libm::floor(recovery.distance))],
    })
}

/// The anchor of a rig that holds only at the place where it was tested.
pub(super) fn fixed_anchor<'r>(book: &Book, rig: &'r Rig) -> Option<&'r str> {
    let tested = |part: &&Part| {
        part.role == Role::Anchor
            && book.course.kit.iter().any(|item| item.id == part.id && item.rig.holds.is_some())
    };
    rig.parts.iter().find(tested).map(|part| part.name.as_str())
}

/// Where the vehicle that carries the winch stands, and how it is held, where the line runs over a brow.
pub(super) fn stands_behind(book: &Book, recovery: &Recovery, rig: &Rig) -> String {
    let over_a_brow = recovery.lie.is_some_and(|lie| lie.guard.is_some());
    let Some(host) = rig.host.as_ref().filter(|_| over_a_brow) else { return String::new() };
    let tied = rig.made_fast.iter().any(|(what, to)| *what == Fastened::Winch && *to != HeldBy::Brakes);
    format!(
        " {} stands behind the brow, {} from it, nose to the line, braked and chocked{}.",
        book.vehicle_mark(host),
        book.show.length(BEYOND, false).text(),
        if tied { ", tied back" } else { "" }
    )
}

/// How vehicles are made to hold as anchors: reckoned with all four wheels, which a parking brake alone does not lock.
pub(super) fn braked(book: &Book, rig: &Rig) -> String {
    let marks = rig.made_fast.iter().filter_map(|(_, to)| match to {
        HeldBy::Vehicle { id } => Some(book.vehicle_mark(id)),
        _ => None,
    });
    let marks: Vec<String> = marks.collect();
    if marks.is_empty() {
        return String::new();
    }
    format!(
        " {} braked as anchor: low range, first gear, four-wheel drive and centre lock in, parking brake, all four wheels chocked, nobody aboard; a slow pull proves it before anything hangs on it.",
        marks.join(", ")
    )
}
