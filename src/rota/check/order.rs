//! What comes first: gentle slopes before steep ones, what is shown before what is driven.
//!
//! The rule is read from the course and the verdicts here, driver by driver, along the day as it stands in
//! the rota. Nothing is taken from the model.

use std::collections::BTreeSet;

use super::Look;
use super::fault::Fault;
use crate::course::Order;
use crate::rota::ask::{STEEP, ask_of_group, step};
use crate::rota::{Station, Visit};

impl Look<'_> {
    pub(super) fn order(&self, faults: &mut BTreeSet<Fault>) {
        for driver in self.present() {
            self.rising(driver, faults);
            self.came_too_late(driver, faults);
        }
        self.shown_first(faults);
    }

    /// Along a driver's day no slope asks less, by a step of the group's least experienced, than one before
    /// it; none stands against the course's own order; and nothing steep comes before what explains it.
    fn rising(&self, driver: usize, faults: &mut BTreeSet<Fault>) {
        let Some(group) = self.rota.groups.iter().find(|group| group.contains(&driver)) else { return };
        let drivers = &self.course.roster.drivers;
        let least = group.iter().map(|at| drivers[*at].experience).min().unwrap_or_default();
        let day = self.day_of(driver);
        let driven: Vec<(usize, usize)> = day
            .iter()
            .filter_map(|(slot, station, drives)| match station {
                Station::Slope(slope) if *drives => Some((*slot, *slope)),
                _ => None,
            })
            .collect();
        let asks = |slope: usize| ask_of_group(self.course, self.reckoning, group, slope).unwrap_or(0.0);
        let first = |one: usize, two: usize| match &self.rules.order {
            Order::Gentle => asks(two) > asks(one) + step(least),
            Order::Any => false,
            Order::Own(order) => {
                let place = |slope: usize| order.iter().position(|id| *id == self.course.slopes[slope].id);
                place(one).zip(place(two)).is_some_and(|(one, two)| one < two)
            }
        };
        let by_rule = |one: usize, two: usize| {
            let (one, two) = (&self.course.slopes[one].id, &self.course.slopes[two].id);
            self.rules.before.iter().any(|(first, then)| (first, then) == (one, two))
        };
        let name = || self.name(driver);
        let place = |slope: usize| self.place(Station::Slope(slope));
        // What was driven before this holds is a fact: the groups and the ground were others then.
        let ordered = driven.iter().enumerate().filter(|(_, (slot, _))| self.to_come(*slot));
        for (at, &(_, early)) in ordered {
            for &(_, late) in &driven[at + 1..] {
                if first(late, early) || by_rule(late, early) {
                    faults.insert(Fault::TooSoon(name(), place(early), place(late)));
                }
            }
        }
        if self.rules.order == Order::Any {
            return;
        }
        let steep = |(slot, slope): &&(usize, usize)| self.to_come(*slot) && asks(*slope) >= STEEP;
        for &(slot, slope) in driven.iter().filter(steep) {
            let explained = |station: &Station| {
                !matches!(station, Station::Slope(_))
                    && day.iter().any(|(when, at, _)| at == station && *when >= slot)
            };
            if self.wanted().iter().any(explained) {
                faults.insert(Fault::NotTaught(name(), place(slope)));
            }
        }
    }

    /// What a driver's group did before the driver came.
    fn missed(&self, driver: usize) -> Vec<Station> {
        let mine = |group: usize| self.rota.groups.get(group).is_some_and(|all| all.contains(&driver));
        let before = |slot: usize| !self.missing.was_there(driver, self.rota.slots[slot].start);
        let visits = self.rota.visits.iter().filter(|visit| mine(visit.group) && before(visit.slot));
        visits.map(|visit| visit.station).filter(|station| !self.had_already(driver, *station)).collect()
    }

    /// Whether a driver had a station or drove a slope on an earlier day.
    fn had_already(&self, driver: usize, station: Station) -> bool {
        match station {
            Station::Slope(slope) => self.course.before().driven.contains(&(driver, slope)),
            Station::Demonstration(_) | Station::Theory => self.had(driver, station),
        }
    }

    /// What of a driver's group's day that they missed comes before a slope: by the order of the course, and as
    /// lesson and demonstration of anything steep for them.
    fn comes_before(&self, driver: usize, slope: usize) -> Vec<Station> {
        let drivers = &self.course.roster.drivers;
        let asks = |slope: usize| ask_of_group(self.course, self.reckoning, &[driver], slope).unwrap_or(0.0);
        let id = |slope: usize| self.course.slopes[slope].id.as_str();
        let first = |other: usize| {
            let ruled = self
                .rules
                .before
                .iter()
                .any(|(one, two)| (one.as_str(), two.as_str()) == (id(other), id(slope)));
            ruled
                || match &self.rules.order {
                    Order::Gentle => asks(slope) > asks(other) + step(drivers[driver].experience),
                    Order::Any => false,
                    Order::Own(order) => {
                        let place = |slope: usize| order.iter().position(|known| known == id(slope));
                        place(other).zip(place(slope)).is_some_and(|(one, two)| one < two)
                    }
                }
        };
        let steep = self.rules.order != Order::Any && asks(slope) >= STEEP;
        let mut missed = self.missed(driver);
        missed.retain(|station| match station {
            Station::Slope(other) => *other != slope && first(*other),
            Station::Demonstration(shown) => *shown == slope || steep,
            Station::Theory => steep,
        });
        missed
    }

    /// Whoever came late drives nothing that builds on what they missed.
    fn came_too_late(&self, driver: usize, faults: &mut BTreeSet<Fault>) {
        for (slot, station, drives) in self.day_of(driver) {
            let Station::Slope(slope) = station else { continue };
            if !self.to_come(slot) {
                continue;
            }
            for missed in self.comes_before(driver, slope).into_iter().filter(|_| drives) {
                let (who, place) = (self.name(driver), self.place(station));
                faults.insert(match missed {
                    Station::Slope(_) => Fault::TooSoon(who, place, self.place(missed)),
                    Station::Demonstration(_) | Station::Theory => Fault::NotTaught(who, place),
                });
            }
        }
    }

    /// Whether a driver came too late for a station, or for what comes before it.
    pub(super) fn excused(&self, driver: usize, station: Station) -> bool {
        self.missed(driver).contains(&station)
            || matches!(station, Station::Slope(slope) if !self.comes_before(driver, slope).is_empty())
    }

    /// A slope that is shown is shown before it is driven, and not driven meanwhile.
    fn shown_first(&self, faults: &mut BTreeSet<Fault>) {
        let shown = self.wanted().into_iter().find_map(|station| match station {
            Station::Demonstration(slope) => Some(slope),
            _ => None,
        });
        let Some(slope) = shown else { return };
        for driver in self.present() {
            let day = self.day_of(driver);
            let slot_of =
                |wanted: Station| day.iter().find(|(_, at, _)| *at == wanted).map(|(slot, ..)| *slot);
            if let (Some(driven), Some(seen)) =
                (slot_of(Station::Slope(slope)), slot_of(Station::Demonstration(slope)))
                && seen >= driven
            {
                faults.insert(Fault::NotShown(self.name(driver), self.place(Station::Slope(slope))));
            }
        }
        for visit in self.rota.visits.iter().filter(|visit| visit.station == Station::Slope(slope)) {
            let same =
                |other: &&Visit| other.slot == visit.slot && other.station == Station::Demonstration(slope);
            if self.rota.visits.iter().any(|other| same(&other)) {
                faults.insert(Fault::ShownAndDriven(self.place(visit.station), self.at(visit.slot)));
            }
        }
    }
}
