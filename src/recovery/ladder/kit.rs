//! Safety gear that a line under load is worked with, and what of it the kit lacks.

use serde::Serialize;

use crate::course::{Course, KitKind};
use crate::recovery::gear::Gear;
use crate::recovery::rig::{Part, Role};

/// Safety gear that is not in the kit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Missing {
    /// A damper for the line.
    Damper,
    /// An edge guard where the line runs over the brow.
    EdgeGuard,
    /// Gloves.
    Gloves,
    /// A spare rated shackle beside those in the rig.
    SecondShackle,
    /// Two radios: leader and winch do not see each other over a brow.
    Radios,
    /// Chocks for both vehicles.
    Chocks,
}

impl Missing {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Damper => "a damper",
            Self::EdgeGuard => "an edge guard",
            Self::Gloves => "gloves",
            Self::SecondShackle => "a second rated shackle as a spare",
            Self::Radios => "two radios",
            Self::Chocks => "four wheel chocks",
        }
    }
}

/// Whether a part is a piece of kit of which nobody wrote down when it was last checked.
pub fn unchecked(course: &Course, part: &Part) -> bool {
    let on_vehicle = matches!(
        part.role,
        Role::CasualtyPoint | Role::HelperPoint | Role::Braked | Role::Grip | Role::TugBrake
    );
    let item = course.kit.iter().find(|item| item.id == part.id);
    !on_vehicle && item.is_some_and(|item| item.rig.inspected.is_none())
}

/// What the kit lacks for a rig with these parts. Common practice, no source.
pub fn missing(course: &Course, gear: &Gear, parts: &[Part], over_brow: bool) -> Vec<Missing> {
    let count = |kind: KitKind| -> u32 {
        course.kit.iter().filter(|item| item.kind == kind).map(|item| u32::from(item.count)).sum()
    };
    let rated: usize = gear.shackles.iter().map(|piece| piece.count).sum();
    let used = parts.iter().filter(|part| part.role == Role::Shackle).count();
    // A bar stores no stretch.
    let rope = parts.iter().all(|part| part.role != Role::TowBar);
    [
        (rope && count(KitKind::Damper) == 0, Missing::Damper),
        (over_brow && count(KitKind::EdgeGuard) == 0, Missing::EdgeGuard),
        (count(KitKind::Gloves) == 0, Missing::Gloves),
        (used > 0 && rated <= used, Missing::SecondShackle),
        (over_brow && count(KitKind::Radio) < 2, Missing::Radios),
        (count(KitKind::Chock) < 4, Missing::Chocks),
    ]
    .into_iter()
    .filter_map(|(lacks, what)| lacks.then_some(what))
    .collect()
}
