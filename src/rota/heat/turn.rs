//! A group on a slope: what it does there, from when to when, and who is with it.

use super::crew::{Crew, Holds, Seat};

/// What sets the time on a slope.
#[derive(Clone, Debug, PartialEq)]
pub struct OnSlope {
    /// Vehicles that drive, by their place in the fleet.
    pub vehicles: Vec<usize>,
    /// Their runs together, one each at the slow end of the engine's range, s.
    pub runs_together: f64,
    /// The longest of them, s.
    pub longest: f64,
    /// One round, s.
    pub round: f64,
    /// All rounds, s.
    pub time: f64,
    /// Whether the gap between two runs of one vehicle sets the pace, not the round.
    pub waits: bool,
    /// From one vehicle's stop to the next one's start, s: the course's, or longer where a step takes its time or
    /// somebody walks back up.
    pub reset: f64,
}

/// A group on a slope.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    /// The slope, by its place in the course.
    pub slope: usize,
    /// The group, from 0.
    pub group: usize,
    /// What it does there.
    pub on: OnSlope,
    /// Start and end, minutes after the driving of the session begins.
    pub from: u16,
    /// End.
    pub to: u16,
    /// Who teaches, who watches and who stands at the brow, by their place among the people.
    pub crew: Crew,
    /// Who holds the day meanwhile.
    pub holds: Holds,
    /// Beside which learners somebody sits.
    pub seat: Seat,
}

impl Turn {
    /// Whether somebody, by their place among the people, has a post on it or off it meanwhile.
    pub fn has_post(&self, person: usize) -> bool {
        self.crew.all().chain(self.holds.all()).any(|one| one == person)
    }
}
