//! What the signs of a plan mean.

use crate::course::{AreaOfSite, Hand, LineOfSite, PointOfSite};

/// A single place: its sign, and what that means.
pub(super) fn point_words(kind: PointOfSite) -> (&'static str, &'static str) {
    match kind {
        PointOfSite::Assembly => ("assembly", "assembly point"),
        PointOfSite::MeetingPoint => ("meeting-point", "ambulance met here"),
        PointOfSite::Control => ("control", "control"),
        PointOfSite::FirstAid => ("first-aid", "first aid"),
        PointOfSite::Parking => ("parking", "parking"),
        PointOfSite::Gate => ("gate", "gate"),
        PointOfSite::Tree => ("tree", "tree"),
        PointOfSite::Obstacle => ("obstacle", "rock, stump, pole"),
    }
}

/// A line: its sign, what that means, and of an edge whether the ground is low on its right.
pub(super) fn line_words(kind: LineOfSite) -> (&'static str, &'static str, bool) {
    match kind {
        LineOfSite::Edge { low_right, .. } => ("edge", "edge, teeth: low side", low_right),
        LineOfSite::Track => ("track", "track", false),
        LineOfSite::AmbulanceWay => ("ambulance-way", "ambulance’s way in", false),
        LineOfSite::Stream => ("stream", "stream", false),
        LineOfSite::Fence => ("fence", "fence, hedge, rope", false),
    }
}

/// An area: its fill, and what that means.
pub(super) fn area_words(kind: AreaOfSite) -> (&'static str, &'static str) {
    match kind {
        AreaOfSite::KeepOut => ("keep-out", "nobody goes here"),
        AreaOfSite::Water => ("water", "water"),
        AreaOfSite::Trees => ("trees", "trees"),
        AreaOfSite::Building => ("building", "building"),
        AreaOfSite::SkidPad => ("skid-pad", "skid pad"),
    }
}

/// A side of the driver, in words.
pub(super) fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right => "right",
    }
}
