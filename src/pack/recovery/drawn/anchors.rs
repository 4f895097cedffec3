//! Where the anchors of a drawn rig stand.

use crate::course::Slope;
use crate::pack::book::Book;
use crate::pack::recovery::told::TwoAnchors;
use crate::recovery::lie::to_brow;
use crate::recovery::pull::Direction;
use crate::recovery::rig::{Part, Rig, Role};
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
