//! Any rota, looked at from the course alone: every limit it breaks, by name.
//!
//! Nothing here comes from the model or the solver. A rota made by hand can be checked as well.

use std::collections::BTreeSet;
use std::fmt;

use super::clock::clock_text;
use super::{Missing, Rota, Slot, Station};
use super::{heat, shown::shown, sun::sun};
use crate::course::{Course, Role, RotaRules, Vehicle};
use crate::engine::{Reckoning, Standing};

/// A limit that a rota breaks, with who, where and when.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// A driver is in two places: driver, time.
    DriverTwice(String, String),
    /// Somebody of the staff is in two places: name, time.
    StaffTwice(String, String),
    /// A vehicle is driven in two places: vehicle, time.
    VehicleTwice(String, String),
    /// More groups at a station than it holds: station, time.
    StationFull(String, String),
    /// A vehicle on a slope that the verdict keeps it off: driver, slope.
    NotForVehicle(String, String),
    /// Too few marshals: slope, time.
    TooFewMarshals(String, String),
    /// Too many drivers for the instructors: station, time.
    TooFewInstructors(String, String),
    /// Somebody serves a station they may not: name, station.
    NotAllowed(String, String),
    /// A group is too large: its number.
    GroupTooLarge(String),
    /// A driver is in no group, or in two: driver.
    Group(String),
    /// A driver does not come to a station they should: driver, station.
    Missed(String, String),
    /// A driver comes to a station twice: driver, station.
    Again(String, String),
    /// The slot is shorter than the runs need: slope, time.
    SlotTooShort(String, String),
    /// Brakes have not cooled between two slopes: driver, time of the second.
    BrakesWarm(String, String),
    /// In the dark: time.
    Dark(String),
    /// In the lunch break, or no lunch at all: time.
    Lunch(String),
    /// Too long without a pause: name, time.
    NoPause(String, String),
    /// A slot kept free for weather is used: time.
    SpareUsed(String),
    /// Before or after the day: time.
    OutsideDay(String),
    /// Slots overlap, or leave no changeover: time.
    Changeover(String),
    /// A slope is driven before it was shown: driver, slope.
    NotShown(String, String),
    /// Driven while it is shown: slope, time.
    ShownAndDriven(String, String),
    /// A closed slope is used: slope, time.
    Closed(String, String),
    /// Somebody who is not there is in the rota: name.
    Absent(String),
    /// A slot that does not exist.
    NoSuchSlot,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::DriverTwice(who, at) => write!(f, "{who} is in two places at {at}"),
            Self::StaffTwice(who, at) => write!(f, "{who} serves two stations at {at}"),
            Self::VehicleTwice(what, at) => write!(f, "{what} is driven in two places at {at}"),
            Self::StationFull(place, at) => write!(f, "too many groups on {place} at {at}"),
            Self::NotForVehicle(who, place) => write!(f, "the vehicle of {who} may not go on {place}"),
            Self::TooFewMarshals(place, at) => write!(f, "too few marshals on {place} at {at}"),
            Self::TooFewInstructors(place, at) => write!(f, "too few instructors on {place} at {at}"),
            Self::NotAllowed(who, place) => write!(f, "{who} may not run {place}"),
            Self::GroupTooLarge(group) => write!(f, "group {group} is too large"),
            Self::Group(who) => write!(f, "{who} is not in exactly one group"),
            Self::Missed(who, place) => write!(f, "{who} does not come to {place}"),
            Self::Again(who, place) => write!(f, "{who} comes to {place} twice"),
            Self::SlotTooShort(place, at) => {
                write!(f, "the slot at {at} is too short for the runs on {place}")
            }
            Self::BrakesWarm(who, at) => write!(f, "the brakes of {who} have not cooled by {at}"),
            Self::Dark(at) => write!(f, "the slot at {at} is not in daylight"),
            Self::Lunch(at) => write!(f, "no lunch: the slot at {at} lies in it"),
            Self::NoPause(who, at) => write!(f, "{who} has no pause before {at}"),
            Self::SpareUsed(at) => write!(f, "the slot at {at} was kept free for weather"),
            Self::OutsideDay(at) => write!(f, "the slot at {at} lies outside the day"),
            Self::Changeover(at) => write!(f, "no time to change over before {at}"),
            Self::NotShown(who, place) => write!(f, "{who} drives {place} before it was shown"),
            Self::ShownAndDriven(place, at) => write!(f, "{place} is shown and driven at {at}"),
            Self::Closed(place, at) => write!(f, "{place} is closed, and used at {at}"),
            Self::Absent(who) => write!(f, "{who} is not there"),
            Self::NoSuchSlot => f.write_str("a slot that does not exist"),
        }
    }
}

/// Every limit of the course that a rota breaks, in order, each once.
pub fn check(course: &Course, reckoning: &Reckoning, rota: &Rota, missing: &Missing) -> Vec<Fault> {
    let Some(rules) = &course.rota else { return Vec::new() };
    let beyond = rota.visits.iter().map(|visit| visit.slot).chain(rota.duties.iter().map(|duty| duty.slot));
    if beyond.max().is_some_and(|slot| slot >= rota.slots.len()) {
        return vec![Fault::NoSuchSlot];
    }
    let look = Look { course, reckoning, rota, missing, rules };
    let mut faults = BTreeSet::new();
    look.groups(&mut faults);
    look.clock(&mut faults);
    look.drivers(&mut faults);
    look.stations(&mut faults);
    look.staff(&mut faults);
    look.brakes(&mut faults);
    look.pauses(&mut faults);
    look.order(&mut faults);
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
        self.course.roster.drivers[driver].name.clone()
    }

    fn person(&self, person: usize) -> String {
        self.course.people[person].name.clone()
    }

    fn place(&self, station: Station) -> String {
        match station {
            Station::Slope(slope) => self.course.slopes[slope].name.clone(),
            Station::Demonstration(_) => {
                self.rules.demonstration.as_ref().map_or_else(String::new, |session| session.title.clone())
            }
            Station::Theory => {
                self.rules.theory.as_ref().map_or_else(String::new, |session| session.title.clone())
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
        pair.is_some_and(|pair| pair.standing != Standing::NotHere)
    }

    fn present(&self) -> impl Iterator<Item = usize> {
        (0..self.course.roster.drivers.len()).filter(|driver| !self.missing.drivers.contains(driver))
    }

    /// What a driver does, in the order of the day: slot, station, whether they drive.
    fn day_of(&self, driver: usize) -> Vec<(usize, Station, bool)> {
        let mine = |group: usize| self.rota.groups.get(group).is_some_and(|group| group.contains(&driver));
        let visits =
            self.rota.visits.iter().filter(|visit| mine(visit.group) || visit.driving.contains(&driver));
        let mut day: Vec<_> =
            visits.map(|visit| (visit.slot, visit.station, visit.driving.contains(&driver))).collect();
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
            for (_, station, drives) in &day {
                if let Station::Slope(slope) = station
                    && *drives
                    && !self.fit(driver, *slope)
                {
                    faults.insert(Fault::NotForVehicle(name.clone(), self.place(*station)));
                }
            }
            for station in self.wanted() {
                let should = match station {
                    Station::Slope(slope) => self.fit(driver, slope),
                    _ => true,
                };
                let drives = |did: &bool| *did || !matches!(station, Station::Slope(_));
                let came = day.iter().filter(|(_, at, did)| *at == station && drives(did)).count();
                match came {
                    0 if should => faults.insert(Fault::Missed(name.clone(), self.place(station))),
                    2.. => faults.insert(Fault::Again(name.clone(), self.place(station))),
                    _ => false,
                };
            }
        }
        let driving = self.rota.visits.iter().flat_map(|visit| &visit.driving);
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

    fn shared_vehicles(&self, faults: &mut BTreeSet<Fault>) {
        let mut seen: BTreeSet<(usize, &str, Station)> = BTreeSet::new();
        for visit in &self.rota.visits {
            for driver in &visit.driving {
                let vehicle = self.course.roster.drivers[*driver].vehicle.as_str();
                let elsewhere = seen
                    .iter()
                    .any(|(slot, id, at)| (*slot, *id) == (visit.slot, vehicle) && *at != visit.station);
                if elsewhere {
                    faults.insert(Fault::VehicleTwice(vehicle.to_owned(), self.at(visit.slot)));
                }
                seen.insert((visit.slot, vehicle, visit.station));
            }
        }
        self.shown_vehicle(faults);
    }

    /// The vehicle that is shown is not driven by anybody else at that time.
    fn shown_vehicle(&self, faults: &mut BTreeSet<Fault>) {
        let Some(shown) = shown(self.course, self.reckoning) else { return };
        let id = &self.course.vehicles[shown.vehicle].id;
        let times =
            self.rota.visits.iter().filter(|visit| visit.station == Station::Demonstration(shown.slope));
        let times: BTreeSet<usize> = times.map(|visit| visit.slot).collect();
        for visit in self.rota.visits.iter().filter(|visit| times.contains(&visit.slot)) {
            let mut vehicles = visit.driving.iter().map(|at| &self.course.roster.drivers[*at].vehicle);
            if vehicles.any(|vehicle| vehicle == id) {
                faults.insert(Fault::VehicleTwice(id.clone(), self.at(visit.slot)));
            }
        }
    }

    fn staff(&self, faults: &mut BTreeSet<Fault>) {
        for (place, duty) in self.rota.duties.iter().enumerate() {
            let person = &self.course.people[duty.person];
            if self.rota.duties[..place]
                .iter()
                .any(|other| (other.person, other.slot) == (duty.person, duty.slot))
            {
                faults.insert(Fault::StaffTwice(person.name.clone(), self.at(duty.slot)));
            }
            if self.missing.people.contains(&duty.person) {
                faults.insert(Fault::Absent(person.name.clone()));
            }
            let allowed = match duty.station {
                Station::Theory => person.role == Role::Instructor,
                Station::Slope(slope) | Station::Demonstration(slope) => {
                    kind(person.role).is_some()
                        && (person.slopes.is_empty() || person.slopes.contains(&self.course.slopes[slope].id))
                }
            };
            if !allowed {
                faults.insert(Fault::NotAllowed(person.name.clone(), self.place(duty.station)));
            }
        }
    }

    fn brakes(&self, faults: &mut BTreeSet<Fault>) {
        for driver in self.present() {
            let Some(vehicle) = self.vehicle(driver) else { continue };
            let driven: Vec<(usize, usize)> = self
                .day_of(driver)
                .into_iter()
                .filter_map(|(slot, station, drives)| match station {
                    Station::Slope(slope) if drives => Some((slot, slope)),
                    _ => None,
                })
                .collect();
            for pair in driven.windows(2) {
                let [(first, before), (second, after)] = pair else { continue };
                let need = heat::minutes_between(self.course, self.reckoning, vehicle, *before, *after);
                let pause = self.rota.slots[*second].start.saturating_sub(self.rota.slots[*first].end);
                if need.is_none_or(|need| need > pause) {
                    faults.insert(Fault::BrakesWarm(self.name(driver), self.at(*second)));
                }
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

    fn order(&self, faults: &mut BTreeSet<Fault>) {
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
            let same = |other: &&super::Visit| {
                other.slot == visit.slot && other.station == Station::Demonstration(slope)
            };
            if self.rota.visits.iter().any(|other| same(&other)) {
                faults.insert(Fault::ShownAndDriven(self.place(visit.station), self.at(visit.slot)));
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
