//! Whether the kit of a course fetches a vehicle from a slope.

use serde::Serialize;

use super::Ladder;
use crate::course::NotFetched;
use crate::recovery::case::Place;
use crate::recovery::facts::Mark;
use crate::recovery::pull::Stuck;

/// Whether this kit fetches a vehicle from a slope, and what the course makes of it.
#[expect(clippy::struct_excessive_bools, reason = "each is one thing a program may ask")]
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fetch {
    /// The slope.
    pub slope: String,
    /// The vehicle.
    pub vehicle: String,
    /// Whether every way of being stuck that is to be reckoned with, save on its side, has a rung that
    /// the kit does.
    pub fetched: bool,
    /// Whether there is any way of being stuck from which the kit fetches it.
    pub ever: bool,
    /// The ways of being stuck in which the kit fetches nothing.
    pub not_when: Vec<Stuck>,
    /// Whether it has a rated recovery point.
    pub rated_point: bool,
    /// Whether it may drive as far as the course's own rules for recoveries go.
    pub may_drive: bool,
}

/// From the ladders of one vehicle on one slope.
pub fn fetch(place: &Place, ladders: &[Ladder]) -> Fetch {
    let not_when: Vec<Stuck> =
        ladders.iter().filter(|one| one.first.is_none()).map(|one| one.stuck).collect();
    let fetched = not_when.iter().all(|stuck| *stuck == Stuck::Overturned);
    let rated_point = place.has_point();
    let rules = place.course.recovery;
    Fetch {
        slope: place.slope.id.clone(),
        vehicle: place.vehicle.id.clone(),
        may_drive: (fetched || rules.not_fetched == NotFetched::Say) && (rated_point || !rules.rated_point),
        ever: not_when.len() < ladders.len(),
        fetched,
        not_when,
        rated_point,
    }
}

impl Fetch {
    /// The ways of being stuck in which the kit fetches nothing, in short: sunk from the least depth on; `never` where
    /// there is no other way.
    pub fn not_when_short(&self) -> Vec<&'static str> {
        if !self.ever {
            return vec!["never"];
        }
        let mut all = Vec::new();
        for stuck in &self.not_when {
            let word = match stuck {
                Stuck::Mired(Mark::Sidewall) => "sunk",
                Stuck::Mired(_) if self.not_when.contains(&Stuck::Mired(Mark::Sidewall)) => continue,
                Stuck::Mired(Mark::Hub) => "sunk to the hubs",
                _ => stuck.short(),
            };
            if !all.contains(&word) {
                all.push(word);
            }
        }
        all
    }
}
