//! People as they come, and what was on the days before. Read from the course here, not taken from the model.

use std::collections::BTreeSet;

use super::Look;
use super::fault::Fault;
use crate::course::{Course, Order, Role};
use crate::rota::ask::{ask, step};
use crate::rota::today::AFTER_ARRIVING;
use crate::rota::{Missing, Station};

/// Who and what is not there: missing, or not planned for this day.
pub(super) fn gone(course: &Course, missing: &Missing) -> Missing {
    let mut gone = missing.clone();
    gone.drivers
        .extend((0..course.roster.drivers.len()).filter(|driver| course.driver_today(*driver).is_none()));
    gone.people.extend((0..course.people.len()).filter(|person| course.person_today(*person).is_none()));
    gone.slopes.extend((0..course.slopes.len()).filter(|slope| !course.drives_today(*slope)));
    gone
}

impl Look<'_> {
    /// Whether a driver had a station on an earlier day, and so is not at it today.
    pub(super) fn had(&self, driver: usize, station: Station) -> bool {
        let before = self.course.before();
        match station {
            Station::Slope(_) => false,
            Station::Demonstration(_) => before.shown.contains(&driver),
            Station::Theory => before.taught.contains(&driver),
        }
    }

    pub(super) fn times(&self, faults: &mut BTreeSet<Fault>) {
        self.over_days(faults);
        for driver in self.present() {
            let Some((from, until)) = self.course.driver_today(driver) else { continue };
            let known = self.course.before().come.contains(&driver);
            let ready = if from > 0 && !known { from + AFTER_ARRIVING } else { from };
            for (slot, ..) in self.day_of(driver) {
                let at = self.rota.slots[slot];
                if self.to_come(slot) && (at.start < ready || at.end > until) {
                    faults.insert(Fault::NotThere(self.name(driver), self.at(slot)));
                }
            }
            let other = self.course.roster.drivers[driver].beside;
            let apart = |other: &usize| {
                !self.missing.drivers.contains(other)
                    && !self.rota.groups.iter().any(|all| all.contains(&driver) && all.contains(other))
            };
            if let Some(other) = other.filter(apart) {
                faults.insert(Fault::Apart(self.name(driver), self.name(other)));
            }
        }
        for duty in self.rota.duties.iter().filter(|duty| self.to_come(duty.slot)) {
            if !self.serves_then(duty.person, duty.slot) {
                faults.insert(Fault::NotThere(self.person(duty.person), self.at(duty.slot)));
            }
        }
        self.answered_for(faults);
        for visit in &self.rota.visits {
            let group = &self.rota.groups[visit.group];
            if !group.is_empty() && group.iter().all(|driver| self.had(*driver, visit.station)) {
                faults.insert(Fault::HadBefore(self.place(visit.station), self.at(visit.slot)));
            }
        }
    }

    fn serves_then(&self, person: usize, slot: usize) -> bool {
        let at = self.rota.slots[slot];
        self.course.person_today(person).is_some_and(|(from, until)| {
            let way = if from > 0 { self.rules.changeover } else { 0 };
            from + way <= at.start && at.end <= until
        })
    }

    /// Whenever somebody drives, somebody is there who is in charge and somebody for first aid, and does nothing
    /// else; where the course names anybody for it.
    fn answered_for(&self, faults: &mut BTreeSet<Fault>) {
        for (role, what) in [(Role::Lead, "being in charge"), (Role::FirstAider, "first aid")] {
            let people = self.course.people.iter().enumerate();
            if !people.clone().any(|(_, person)| person.role == role) {
                continue;
            }
            for slot in self.used().into_iter().filter(|slot| self.to_come(*slot)) {
                let free = |at: usize| {
                    !self.missing.people.contains(&at)
                        && self.serves_then(at, slot)
                        && !self.rota.duties.iter().any(|duty| (duty.person, duty.slot) == (at, slot))
                };
                let does =
                    people.clone().filter(|(_, person)| person.role == role || person.deputy == Some(role));
                if !does.into_iter().any(|(at, _)| free(at)) {
                    faults.insert(Fault::NobodyFor(what.to_owned(), self.at(slot)));
                }
            }
        }
    }

    /// Over all days nobody drives a slope for the first time after one that asks more of their vehicle by a step
    /// of theirs, or that comes after it by the course's own order. A slope that was planned for an earlier day as well
    /// and was closed then is gentler than what they know by now: driving it today harms nobody.
    fn over_days(&self, faults: &mut BTreeSet<Fault>) {
        let before = &self.course.before().driven;
        for driver in self.present() {
            let one = &self.course.roster.drivers[driver];
            let asks = |slope: usize| ask(self.course, self.reckoning, slope, &one.vehicle).unwrap_or(0.0);
            let by_order = |first: usize, then: usize| match &self.rules.order {
                Order::Gentle => asks(then) > asks(first) + step(one.experience),
                Order::Any => false,
                Order::Own(order) => {
                    let place =
                        |slope: usize| order.iter().position(|id| *id == self.course.slopes[slope].id);
                    place(first).zip(place(then)).is_some_and(|(first, then)| first < then)
                }
            };
            for (_, station, drives) in self.day_of(driver) {
                let Station::Slope(today) = station else { continue };
                if !drives || before.contains(&(driver, today)) || self.course.planned_earlier(today) {
                    continue;
                }
                let earlier = before.iter().filter(|(who, _)| *who == driver);
                for (_, early) in earlier.filter(|(_, early)| by_order(today, *early)) {
                    let place = |slope: usize| self.place(Station::Slope(slope));
                    faults.insert(Fault::TooSoon(self.name(driver), place(*early), place(today)));
                }
            }
        }
    }
}
