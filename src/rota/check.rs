//! Any rota, looked at from the course alone: every limit it breaks, by name.
//!
//! Nothing here comes from the model or the solver. A rota made by hand can be checked as well.

mod fault;
mod held;
mod order;
mod times;
mod vehicles;
mod ways;

use std::collections::BTreeSet;

pub use fault::Fault;
pub use held::{NoRota, held};

use super::clock::clock_text;
use super::{Missing, Post, Rota, Slot, Station};
use super::{clock::sun::sun, heat};
use crate::course::{Course, Role, RotaRules, Vehicle};
use crate::engine::{Reckoning, Standing};

/// Every limit of the course that a rota breaks, in order, each once.
pub fn check(course: &Course, reckoning: &Reckoning, rota: &Rota, missing: &Missing) -> Vec<Fault> {
    let Some(rules) = &course.rota else { return Vec::new() };
    let beyond = rota.visits.iter().map(|visit| visit.slot).chain(rota.duties.iter().map(|duty| duty.slot));
    if beyond.max().is_some_and(|slot| slot >= rota.slots.len()) {
        return vec![Fault::NoSuchSlot];
    }
    let look = Look { course, reckoning, rota, missing: &times::gone(course, missing), rules };
    let mut faults = BTreeSet::new();
    look.groups(&mut faults);
    look.clock(&mut faults);
    look.drivers(&mut faults);
    look.stations(&mut faults);
    look.staff(&mut faults);
    look.brakes(&mut faults);
    look.pauses(&mut faults);
    look.order(&mut faults);
    look.times(&mut faults);
    look.ways(&mut faults);
    faults.into_iter().collect()
}

struct Look<'a> {
    course: &'a Course,
    reckoning: &'a Reckoning,
    rota: &'a Rota,
    missing: &'a Missing,
    rules: &'a RotaRules,
}

impl Look<'_> {
    fn at(&self, slot: usize) -> String {
        clock_text(self.rota.slots[slot].start)
    }

    fn name(&self, driver: usize) -> String {
        self.course.roster.drivers[driver].name.short()
    }

    fn person(&self, person: usize) -> String {
        self.course.people[person].name.short()
    }

    fn place(&self, station: Station) -> String {
        match station {
            Station::Slope(slope) => self.course.slopes[slope].name.short(),
            Station::Demonstration(_) => {
                self.rules.demonstration.as_ref().map_or_else(String::new, |session| session.title.short())
            }
            Station::Theory => {
                self.rules.theory.as_ref().map_or_else(String::new, |session| session.title.short())
            }
        }
    }

    fn vehicle(&self, driver: usize) -> Option<&Vehicle> {
        let id = &self.course.roster.drivers[driver].vehicle;
        self.course.vehicles.iter().find(|vehicle| vehicle.id == *id)
    }

    fn fit(&self, driver: usize, slope: usize) -> bool {
        let id = &self.course.roster.drivers[driver].vehicle;
        let pair = self.reckoning.pair(&self.course.slopes[slope].id, id);
        let runs = !self.missing.vehicles.iter().any(|at| self.course.vehicles[*at].id == *id);
        runs && pair.is_some_and(|pair| pair.standing != Standing::NotHere)
    }

    fn present(&self) -> impl Iterator<Item = usize> {
        (0..self.course.roster.drivers.len()).filter(|driver| !self.missing.drivers.contains(driver))
    }

    /// Whether a slot is not over yet when somebody went missing.
    fn to_come(&self, slot: usize) -> bool {
        self.rota.slots[slot].start >= self.missing.from
    }

    /// Whether the rota itself says that a driver's group does not come there.
    fn given_up(&self, driver: usize, station: Station) -> bool {
        let mine = |group: &usize| self.rota.groups.get(*group).is_some_and(|all| all.contains(&driver));
        self.rota.given_up.iter().any(|(group, at)| *at == station && mine(group))
    }

    /// What a driver does, in the order of the day: slot, station, whether they drive.
    fn day_of(&self, driver: usize) -> Vec<(usize, Station, bool)> {
        let mine = |group: usize| self.rota.groups.get(group).is_some_and(|group| group.contains(&driver));
        let visits =
            self.rota.visits.iter().filter(|visit| mine(visit.group) || visit.driving.contains(&driver));
        let visits = visits.filter(|visit| !self.had(driver, visit.station));
        let there = |slot: usize| self.missing.was_there(driver, self.rota.slots[slot].start);
        let mut day: Vec<_> = visits
            .filter(|visit| there(visit.slot) || visit.driving.contains(&driver))
            .map(|visit| (visit.slot, visit.station, visit.driving.contains(&driver)))
            .collect();
        day.sort_unstable();
        day
    }

    fn groups(&self, faults: &mut BTreeSet<Fault>) {
        for (at, group) in self.rota.groups.iter().enumerate() {
            if group.len() > usize::from(self.rules.group_size.number) {
                faults.insert(Fault::GroupTooLarge((at + 1).to_string()));
            }
            let absent = group.iter().filter(|driver| self.missing.drivers.contains(driver));
            faults.extend(absent.map(|driver| Fault::Absent(self.name(*driver))));
        }
        for driver in self.present() {
            let count = self.rota.groups.iter().flatten().filter(|member| **member == driver).count();
            if count != 1 {
                faults.insert(Fault::Group(self.name(driver)));
            }
        }
    }

    fn used(&self) -> BTreeSet<usize> {
        let duties = self.rota.duties.iter().map(|duty| duty.slot);
        self.rota.visits.iter().map(|visit| visit.slot).chain(duties).collect()
    }

    fn clock(&self, faults: &mut BTreeSet<Fault>) {
        let slots: Vec<Slot> = self.used().into_iter().map(|slot| self.rota.slots[slot]).collect();
        let light = sun(self.rules);
        let free = self.rota.slots.len().saturating_sub(usize::from(self.rules.spare));
        for slot in self.used().into_iter().filter(|slot| *slot >= free) {
            faults.insert(Fault::SpareUsed(self.at(slot)));
        }
        for slot in &slots {
            let at = clock_text(slot.start);
            if slot.start < self.rules.from || slot.end > self.rules.until || slot.end <= slot.start {
                faults.insert(Fault::OutsideDay(at.clone()));
            }
            let margin = self.rules.daylight;
            if light.is_some_and(|sun| slot.start < sun.rise + margin || slot.end + margin > sun.set) {
                faults.insert(Fault::Dark(at));
            }
        }
        for pair in slots.windows(2) {
            if pair[1].start < pair[0].end + self.rules.changeover {
                faults.insert(Fault::Changeover(clock_text(pair[1].start)));
            }
        }
        self.lunch(&slots, faults);
    }

    /// Between the slots there is a pause as long as lunch that begins when lunch is due, or with the end
    /// of the slot that was under way then.
    fn lunch(&self, slots: &[Slot], faults: &mut BTreeSet<Fault>) {
        let Some((from, long)) = self.rules.lunch else { return };
        let due = slots.iter().position(|slot| slot.end > from);
        let Some(next) = due else { return };
        let begun = next.checked_sub(1).map_or(from, |before| slots[before].end.max(from));
        if slots[next].start < begun + long {
            faults.insert(Fault::Lunch(clock_text(slots[next].start)));
        }
    }

    fn drivers(&self, faults: &mut BTreeSet<Fault>) {
        for driver in self.present() {
            let name = self.name(driver);
            let day = self.day_of(driver);
            for pair in day.windows(2).filter(|pair| pair[0].0 == pair[1].0) {
                faults.insert(Fault::DriverTwice(name.clone(), self.at(pair[0].0)));
            }
            for (slot, station, drives) in &day {
                if let Station::Slope(slope) = station
                    && *drives
                    && self.to_come(*slot)
                    && !self.fit(driver, *slope)
                {
                    faults.insert(Fault::NotForVehicle(name.clone(), self.place(*station)));
                }
            }
            for station in self.wanted() {
                let should = match station {
                    Station::Slope(slope) => self.fit(driver, slope),
                    _ => !self.had(driver, station),
                };
                let drives = |did: &bool| *did || !matches!(station, Station::Slope(_));
                let came = day.iter().filter(|(_, at, did)| *at == station && drives(did)).count();
                match came {
                    0 if should && !self.given_up(driver, station) && !self.excused(driver, station) => {
                        faults.insert(Fault::Missed(name.clone(), self.place(station)))
                    }
                    2.. => faults.insert(Fault::Again(name.clone(), self.place(station))),
                    _ => false,
                };
            }
        }
        let ahead = self.rota.visits.iter().filter(|visit| self.to_come(visit.slot));
        let driving = ahead.flat_map(|visit| &visit.driving);
        let absent = driving.filter(|driver| self.missing.drivers.contains(driver));
        faults.extend(absent.map(|driver| Fault::Absent(self.name(*driver))));
    }

    /// The stations everybody is to come to.
    fn wanted(&self) -> Vec<Station> {
        let open = |slope: &usize| !self.missing.slopes.contains(slope);
        let mut wanted: Vec<Station> =
            (0..self.course.slopes.len()).filter(open).map(Station::Slope).collect();
        let shown = self.rules.demonstration.as_ref().and_then(|session| session.slope.as_ref());
        let shown = shown.and_then(|id| self.course.slopes.iter().position(|slope| slope.id == *id));
        wanted.extend(shown.filter(open).map(Station::Demonstration));
        wanted.extend(self.rules.theory.as_ref().map(|_| Station::Theory));
        wanted
    }

    fn stations(&self, faults: &mut BTreeSet<Fault>) {
        let places: BTreeSet<(usize, Station)> =
            self.rota.visits.iter().map(|visit| (visit.slot, visit.station)).collect();
        for (slot, station) in places {
            let here: Vec<_> = self
                .rota
                .visits
                .iter()
                .filter(|visit| visit.slot == slot && visit.station == station)
                .collect();
            let (place, at) = (self.place(station), self.at(slot));
            if here.len() > self.room(station) {
                faults.insert(Fault::StationFull(place.clone(), at.clone()));
            }
            let serving = |wanted: Role| {
                let duties =
                    self.rota.duties.iter().filter(|duty| duty.slot == slot && duty.station == station);
                duties.filter(|duty| kind(self.course.people[duty.person].role) == Some(wanted)).count()
            };
            if station != Station::Theory && serving(Role::Marshal) < usize::from(self.rules.marshals.number)
            {
                faults.insert(Fault::TooFewMarshals(place.clone(), at.clone()));
            }
            let posted = |post: Post| {
                let duties = self.rota.duties.iter();
                duties.filter(|duty| (duty.slot, duty.station, duty.post) == (slot, station, post)).count()
            };
            if station != Station::Theory && (posted(Post::Brow), posted(Post::Foot)) != (1, 1) {
                faults.insert(Fault::Posts(place.clone(), at.clone()));
            }
            let crowd: usize =
                here.iter().map(|visit| self.rota.groups.get(visit.group).map_or(0, Vec::len)).sum();
            let per = usize::from(self.rules.per_instructor.number.max(1));
            let teachers = if matches!(station, Station::Slope(_)) { crowd.div_ceil(per) } else { 1 };
            if serving(Role::Instructor) < teachers {
                faults.insert(Fault::TooFewInstructors(place.clone(), at.clone()));
            }
            if let Station::Slope(slope) = station {
                let driving = here.iter().flat_map(|visit| &visit.driving);
                let vehicles: Vec<&Vehicle> = driving.filter_map(|driver| self.vehicle(*driver)).collect();
                let needed = heat::minutes_needed(self.course, self.reckoning, slope, &vehicles);
                let long = self.rota.slots[slot].end.saturating_sub(self.rota.slots[slot].start);
                if needed > long {
                    faults.insert(Fault::SlotTooShort(place.clone(), at.clone()));
                }
            }
            if let Station::Slope(slope) | Station::Demonstration(slope) = station
                && self.missing.slopes.contains(&slope)
                && self.to_come(slot)
            {
                faults.insert(Fault::Closed(place, at));
            }
        }
        self.shared_vehicles(faults);
    }

    fn room(&self, station: Station) -> usize {
        let session = match station {
            Station::Slope(_) => return 1,
            Station::Demonstration(_) => &self.rules.demonstration,
            Station::Theory => &self.rules.theory,
        };
        session.as_ref().map_or(0, |session| usize::from(session.groups))
    }

    fn staff(&self, faults: &mut BTreeSet<Fault>) {
        for (place, duty) in self.rota.duties.iter().enumerate() {
            let person = &self.course.people[duty.person];
            if self.rota.duties[..place]
                .iter()
                .any(|other| (other.person, other.slot) == (duty.person, duty.slot))
            {
                faults.insert(Fault::StaffTwice(person.name.short(), self.at(duty.slot)));
            }
            let elsewhere =
                self.missing.people.contains(&duty.person) || self.missing.standing_in.contains(&duty.person);
            if elsewhere && self.to_come(duty.slot) {
                faults.insert(Fault::Absent(person.name.short()));
            }
            let allowed = match duty.station {
                Station::Theory => person.role == Role::Instructor,
                Station::Slope(slope) | Station::Demonstration(slope) => {
                    kind(person.role).is_some()
                        && (person.slopes.is_empty() || person.slopes.contains(&self.course.slopes[slope].id))
                }
            };
            if !allowed {
                faults.insert(Fault::NotAllowed(person.name.short(), self.place(duty.station)));
            }
        }
    }

    /// Nobody goes on longer than the rule allows without a pause as long as it asks for.
    fn pauses(&self, faults: &mut BTreeSet<Fault>) {
        let drivers = self.present().map(|driver| {
            let slots = self.day_of(driver).into_iter().map(|(slot, ..)| slot).collect::<BTreeSet<_>>();
            (self.name(driver), slots)
        });
        let staff = (0..self.course.people.len()).map(|person| {
            let duties = self.rota.duties.iter().filter(|duty| duty.person == person);
            (self.person(person), duties.map(|duty| duty.slot).collect::<BTreeSet<_>>())
        });
        let (most, pause) = (self.rules.duty.most.si() / 60.0, self.rules.duty.pause.si() / 60.0);
        for (name, slots) in drivers.chain(staff) {
            let mut stretch: Option<Slot> = None;
            for slot in slots.into_iter().map(|slot| self.rota.slots[slot]) {
                let rested =
                    stretch.is_none_or(|before| f64::from(slot.start.saturating_sub(before.end)) >= pause);
                let start =
                    if rested { slot.start } else { stretch.map_or(slot.start, |before| before.start) };
                if f64::from(slot.end.saturating_sub(start)) > most && start < slot.start {
                    faults.insert(Fault::NoPause(name.clone(), clock_text(slot.start)));
                }
                stretch = Some(Slot { start, end: slot.end });
            }
        }
    }
}

/// Marshals and spotters count as marshals.
fn kind(role: Role) -> Option<Role> {
    match role {
        Role::Marshal | Role::Spotter => Some(Role::Marshal),
        Role::Instructor => Some(Role::Instructor),
        _ => None,
    }
}
