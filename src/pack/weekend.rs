//! The rota as the sheets of the weekend see it.

use serde::Serialize;

use super::book::Book;
use super::figure::Fig;
use crate::course::{Driver, Role};
use crate::rota::{Rota, Slot, Station, Visit, clock_text};

/// A weekend's parts at hand: the book with its rota.
pub(super) struct Weekend<'a> {
    pub(super) book: &'a Book<'a>,
    pub(super) rota: &'a Rota,
}

/// A stretch of somebody's day.
#[derive(Clone, Debug, Serialize)]
pub struct Stretch {
    pub from: String,
    pub to: String,
    pub mark: String,
    pub place: String,
    /// What is done there: drives, watches and why, shows, serves.
    pub doing: String,
    pub driving: bool,
    pub gear: Option<String>,
    pub speed: Fig,
    pub short: String,
    pub changed: bool,
}

/// Whom to call and where, as far as every sheet may say it.
#[derive(Clone, Debug, Serialize)]
pub struct Help {
    pub number: String,
    pub channel: String,
    pub place: String,
    pub meeting: String,
    pub limit: Fig,
    pub site_speed: Fig,
}

impl<'a> Weekend<'a> {
    /// The weekend of a book that has one.
    pub(super) fn of(book: &'a Book<'a>) -> Option<Self> {
        Some(Self { book, rota: book.rota.as_ref()? })
    }

    pub(super) fn drivers(&self) -> &'a [Driver] {
        &self.book.course.roster.drivers
    }

    /// Drivers still in the rota, by their place in the roster.
    pub(super) fn present(&self) -> Vec<usize> {
        (0..self.drivers().len()).filter(|driver| self.rota.group_of(*driver).is_some()).collect()
    }

    /// Drivers whose sheets are to be printed: all of them, or those whose day changed.
    pub(super) fn to_print(&self) -> Vec<usize> {
        let changed = |driver: &usize| match &self.book.change {
            None => true,
            Some(change) => change.drivers.iter().any(|(who, _)| who == driver),
        };
        self.present().into_iter().filter(changed).collect()
    }

    /// Staff of the rota whose sheets are to be printed.
    pub(super) fn staff_to_print(&self) -> Vec<usize> {
        let people = &self.book.course.people;
        let serves =
            |person: &usize| matches!(people[*person].role, Role::Instructor | Role::Marshal | Role::Spotter);
        let there = |person: &usize| match &self.book.change {
            None => true,
            Some(change) => {
                !change.missing.people.contains(person) && change.people.iter().any(|(who, _)| who == person)
            }
        };
        (0..people.len()).filter(serves).filter(there).collect()
    }

    /// The slots to show: all up to the last one in use, and those kept free.
    pub(super) fn slots(&self) -> &'a [Slot] {
        let shown = (self.rota.length() + self.rota.spare).min(self.rota.slots.len());
        &self.rota.slots[..shown]
    }

    pub(super) fn mark(&self, station: Station) -> String {
        match station {
            Station::Slope(slope) => self.book.slope_mark(&self.book.course.slopes[slope].id),
            Station::Demonstration(slope) => format!("D{}", slope + 1),
            Station::Theory => "T".to_owned(),
        }
    }

    pub(super) fn place(&self, station: Station) -> String {
        let rules = self.book.course.rota.as_ref();
        match station {
            Station::Slope(slope) => self.book.course.slopes[slope].name.clone(),
            Station::Demonstration(_) => rules
                .and_then(|rules| rules.demonstration.as_ref())
                .map_or_else(|| "Demonstration".to_owned(), |session| session.title.clone()),
            Station::Theory => rules
                .and_then(|rules| rules.theory.as_ref())
                .map_or_else(|| "Lesson".to_owned(), |session| session.title.clone()),
        }
    }

    /// What a driver does in each slot shown.
    pub(super) fn day_of(&self, driver: usize) -> Vec<Stretch> {
        let group = self.rota.group_of(driver);
        self.slots()
            .iter()
            .enumerate()
            .map(|(at, slot)| {
                let visit = group.and_then(|group| self.rota.visit(group, at));
                let changed =
                    self.book.change.as_ref().is_some_and(|change| change.drivers.contains(&(driver, at)));
                match visit {
                    Some(visit) => self.stretch(driver, visit, *slot, changed),
                    None => self.free(at, *slot, changed),
                }
            })
            .collect()
    }

    fn stretch(&self, driver: usize, visit: &Visit, slot: Slot, changed: bool) -> Stretch {
        let vehicle = &self.drivers()[driver].vehicle;
        let mark = self.mark(visit.station);
        let driving = visit.driving.contains(&driver);
        let row = match visit.station {
            Station::Slope(_) => self
                .book
                .vehicle_sheet_of(vehicle)
                .and_then(|sheet| sheet.descents.iter().find(|row| row.slope_id == mark)),
            _ => None,
        };
        let doing = match (visit.station, driving) {
            (Station::Slope(_), true) => "drives".to_owned(),
            (Station::Slope(_), false) => {
                format!("watches: {}", row.map_or("not for this vehicle", |row| row.short.as_str()))
            }
            (Station::Demonstration(_), _) => "watches the demonstration".to_owned(),
            (Station::Theory, _) => "lesson".to_owned(),
        };
        Stretch {
            from: clock_text(slot.start),
            to: clock_text(slot.end),
            mark,
            place: self.place(visit.station),
            gear: row.filter(|_| driving).and_then(|row| row.gear.clone()),
            speed: row.map_or_else(|| Fig::new("–", "", false), |row| row.speed.clone()),
            short: match visit.station {
                Station::Slope(_) => row.map_or_else(String::new, |row| row.short.clone()),
                Station::Demonstration(_) => "watch".to_owned(),
                Station::Theory => String::new(),
            },
            doing,
            driving,
            changed,
        }
    }

    /// A slot without a visit: kept free for weather, or simply free.
    pub(super) fn free(&self, at: usize, slot: Slot, changed: bool) -> Stretch {
        let spare = at >= self.rota.length();
        let place = if spare { "kept free for weather" } else { "free: rest, help, ask" };
        Stretch {
            from: clock_text(slot.start),
            to: clock_text(slot.end),
            mark: "–".to_owned(),
            place: place.to_owned(),
            doing: String::new(),
            driving: false,
            gear: None,
            speed: Fig::new("–", "", false),
            short: String::new(),
            changed,
        }
    }

    /// Without the slots kept free for weather: a card has room for what is certain.
    pub(super) fn in_use(&self, mut day: Vec<Stretch>) -> Vec<Stretch> {
        day.truncate(self.rota.length());
        day
    }

    /// What somebody of the staff does in each slot shown.
    pub(super) fn service_of(&self, person: usize) -> Vec<Stretch> {
        self.slots()
            .iter()
            .enumerate()
            .map(|(at, slot)| {
                let changed =
                    self.book.change.as_ref().is_some_and(|change| change.people.contains(&(person, at)));
                let Some(duty) = self.rota.duty(person, at) else { return self.free(at, *slot, changed) };
                let groups: Vec<String> = self
                    .rota
                    .visits
                    .iter()
                    .filter(|visit| visit.slot == at && visit.station == duty.station)
                    .map(|visit| format!("group {}", visit.group + 1))
                    .collect();
                let groups = groups.join(", ");
                Stretch {
                    mark: self.mark(duty.station),
                    place: self.place(duty.station),
                    short: groups.clone(),
                    doing: groups,
                    ..self.free(at, *slot, changed)
                }
            })
            .collect()
    }

    /// Those who serve a station in a slot, with this role.
    pub(super) fn serving(&self, station: Station, slot: usize, teaches: bool) -> String {
        let people = &self.book.course.people;
        let duties = self.rota.duties.iter().filter(|duty| duty.station == station && duty.slot == slot);
        let names: Vec<&str> = duties
            .map(|duty| &people[duty.person])
            .filter(|person| (person.role == Role::Instructor) == teaches)
            .map(|person| person.name.as_str())
            .collect();
        names.join(", ")
    }

    /// Lunch, as `12:35 to 13:20`, between the slots it lies between.
    pub(super) fn lunch(&self) -> Option<String> {
        let (from, long) = self.book.course.rota.as_ref()?.lunch?;
        let slots = self.slots();
        let next = slots.iter().position(|slot| slot.end > from)?;
        let begins = next.checked_sub(1).map_or(from, |before| slots[before].end.max(from));
        Some(format!("{} to {}", clock_text(begins), clock_text(begins + long)))
    }

    /// The sentence that says how good the rota is.
    pub(super) fn proof(&self) -> String {
        let (rota, bound) = (self.rota, &self.rota.bound);
        let why = bound.grounds.first().map_or("", |ground| ground.why.as_str());
        let used = rota.length();
        if used == bound.slots {
            format!("{used} slots: proven shortest, because {why}.")
        } else if rota.proven {
            format!(
                "{used} slots: proven shortest; the count alone ({why}) gives {}, and the solver refuted everything between.",
                bound.slots
            )
        } else {
            format!(
                "{used} slots; no rota needs fewer than {} ({why}), so at most {:.0} % above the shortest.",
                bound.slots,
                100.0 * rota.gap()
            )
        }
    }
}

/// Whom to call, from a course.
pub(super) fn help(book: &Book) -> Help {
    let course = book.course;
    let or = |text: &Option<String>, other: &str| text.clone().unwrap_or_else(|| other.to_owned());
    Help {
        number: or(&course.emergency.number, "the local emergency number"),
        channel: or(&course.day.channel, "to be agreed"),
        place: or(&course.emergency.location, &course.site),
        meeting: or(&course.emergency.assembly, "to be named"),
        limit: book.show.limit(course.limits.descent_speed.si()),
        site_speed: course
            .day
            .site_speed
            .map_or_else(|| Fig::new("walking pace", "", false), |speed| book.show.limit(speed.si())),
    }
}
