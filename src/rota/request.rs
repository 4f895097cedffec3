//! What is asked of a rota: its limits, which of them are let go, and why there may be none.

use std::fmt;

/// A limit of the rota.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Limit {
    /// The end of the day.
    DayLength,
    /// Slots kept free for weather.
    Spare,
    /// Lunch.
    Lunch,
    /// Daylight.
    Daylight,
    /// Marshals on a slope.
    Marshals,
    /// What each marshal may run.
    MarshalSlopes,
    /// Drivers for each instructor.
    Instructors,
    /// What each instructor may run.
    InstructorSlopes,
    /// Brakes cool between slopes.
    BrakePause,
    /// A slope is shown before it is driven.
    DemonstrationFirst,
    /// Gentle slopes before steep ones, or the course's own order.
    Order,
    /// When people come and leave, and that somebody answers for the day and for first aid meanwhile.
    Times,
    /// The ways between slopes.
    Ways,
    /// The length of a slot.
    SlotLength,
    /// The time the runs need.
    RunTime,
}

impl Limit {
    /// Those that may be let go to see whether they have a part in a clash.
    pub(super) const ALL: [Self; 13] = [
        Self::DemonstrationFirst,
        Self::BrakePause,
        Self::Ways,
        Self::Daylight,
        Self::Lunch,
        Self::Spare,
        Self::Order,
        Self::Times,
        Self::InstructorSlopes,
        Self::MarshalSlopes,
        Self::Instructors,
        Self::Marshals,
        Self::DayLength,
    ];
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::DayLength => "the end of the day",
            Self::Spare => "the slots kept free for weather",
            Self::Lunch => "lunch",
            Self::Daylight => "daylight",
            Self::Marshals => "the marshals a slope must have",
            Self::MarshalSlopes => "which slopes each marshal may run",
            Self::Instructors => "the drivers an instructor may have",
            Self::InstructorSlopes => "which slopes each instructor may run",
            Self::BrakePause => "the pause brakes need between slopes",
            Self::DemonstrationFirst => "the demonstration before its slope",
            Self::Order => "the order of the slopes, gentle before steep",
            Self::Times => "the times at which people come and leave",
            Self::Ways => "the ways between slopes",
            Self::SlotLength => "the length of a slot",
            Self::RunTime => "the time the runs need",
        })
    }
}

/// Limits let go, and how far.
#[derive(Clone, Debug, Default)]
pub(super) struct Relax {
    pub(super) off: Vec<Limit>,
    pub(super) minutes: u16,
    pub(super) use_spare: bool,
    pub(super) more_marshals: usize,
    pub(super) more_instructors: usize,
    pub(super) fewer_marshals: usize,
    pub(super) without_slope: Option<usize>,
    /// Visits may be given up, the steepest of a group first.
    pub(super) give_up: bool,
    /// Least minutes from slot to slot, where they are to be more than the course's changeover.
    pub(super) pause: u16,
}

impl Relax {
    /// Whether a limit is let go.
    pub(super) fn off(&self, limit: Limit) -> bool {
        self.off.contains(&limit)
    }
}

/// Why there is no rota.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum NoFit {
    /// The course has no rules or nobody to rotate.
    Nothing,
    /// The course's slots are shorter than the runs need, minutes.
    SlotTooShort { slot: u16, needed: u16 },
    /// Not within the slots there are: every length refuted, or given up on one.
    TooLong { refuted: bool },
}
