//! The rota as the sheets of the weekend see it.

mod ways;

use serde::Serialize;

use crate::course::{Driver, Name, PointOfSite, Remark, Role};
use crate::pack::book::Book;
use crate::pack::day::control::on_the_plan;
use crate::pack::sheet::descent::DescentRow;
use crate::page::figure::Fig;
use crate::rota::{Rota, Slot, Station, Visit, clock_text, had_before, missed_first};

/// In a slot whose station a driver had on an earlier day.
const HAD: &str = "free: you had this on an earlier day";

/// A weekend's parts at hand: the book with its rota.
pub(crate) struct Weekend<'a> {
    pub(crate) book: &'a Book<'a>,
    pub(crate) rota: &'a Rota,
}

/// A stretch of somebody's day.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Stretch {
    pub from: String,
    pub to: String,
    pub mark: String,
    pub place: String,
    /// What is done there: drives, watches and why, shows, serves.
    pub doing: String,
    pub driving: bool,
    /// A slope that this vehicle is kept off: its driver watches.
    pub refused: bool,
    pub gear: Option<String>,
    pub speed: Fig,
    /// That a tolerance breaks a limit, with what the speed may come to.
    pub near: Option<String>,
    pub short: String,
    pub changed: bool,
}

/// Whom to call and where, as far as every sheet may say it. What the course leaves open is none: the
/// sheet has a frame to fill in there, never a word that looks like an answer.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Help {
    pub number: Option<String>,
    pub channel: Option<String>,
    pub place: Option<String>,
    pub meeting: Option<String>,
    /// Where the ambulance is met, where the plan of the site says it.
    pub ambulance: Option<String>,
    pub limit: Fig,
    pub site_speed: Fig,
}

impl<'a> Weekend<'a> {
    /// The weekend of a book that has one.
    pub(crate) fn of(book: &'a Book<'a>) -> Option<Self> {
        Some(Self { book, rota: book.rota.as_ref()? })
    }

    pub(crate) fn drivers(&self) -> &'a [Driver] {
        &self.book.course.roster.drivers
    }

    /// Drivers still in the rota, by their place in the roster.
    pub(crate) fn present(&self) -> Vec<usize> {
        (0..self.drivers().len()).filter(|driver| self.rota.group_of(*driver).is_some()).collect()
    }

    /// Drivers whose sheets are to be printed: all of them, or those whose card reads otherwise than before.
    pub(crate) fn to_print(&self) -> Vec<usize> {
        let anew = self.book.printed.anew.as_ref();
        let reads_otherwise = |driver: &usize| anew.is_none_or(|anew| anew.drivers.contains(driver));
        self.present().into_iter().filter(reads_otherwise).collect()
    }

    /// Staff of the rota whose sheets are to be printed.
    pub(crate) fn staff_to_print(&self) -> Vec<usize> {
        let people = &self.book.course.people;
        let serves = |person: &usize| people[*person].role != Role::Driver;
        let there = |person: &usize| !self.book.missing().people.contains(person);
        let anew = self.book.printed.anew.as_ref();
        let reads_otherwise = |person: &usize| anew.is_none_or(|anew| anew.people.contains(person));
        (0..people.len()).filter(serves).filter(there).filter(reads_otherwise).collect()
    }

    /// The slots to show: all up to the last one in use, and those kept free.
    pub(crate) fn slots(&self) -> &'a [Slot] {
        let shown = (self.rota.length() + self.rota.spare).min(self.rota.slots.len());
        &self.rota.slots[..shown]
    }

    pub(crate) fn mark(&self, station: Station) -> String {
        match station {
            Station::Slope(slope) => self.book.slope_mark(&self.book.course.slopes[slope].id),
            Station::Demonstration(_) => "Show".to_owned(),
            Station::Theory => "Talk".to_owned(),
        }
    }

    pub(crate) fn place(&self, station: Station) -> String {
        let rules = self.book.course.rota.as_ref();
        match station {
            Station::Slope(slope) => self.book.course.slopes[slope].name.short(),
            Station::Demonstration(slope) => {
                let session = rules.and_then(|rules| rules.demonstration.as_ref());
                let title =
                    session.map_or_else(|| "Demonstration".to_owned(), |session| session.title.short());
                format!("{title}: {}", self.shown_on(slope))
            }
            Station::Theory => rules
                .and_then(|rules| rules.theory.as_ref())
                .map_or_else(|| "Lesson".to_owned(), |session| session.title.short()),
        }
    }

    /// The same with where the lesson is held: where everybody gathers.
    pub(crate) fn place_with_ground(&self, station: Station) -> String {
        let place = self.place(station);
        let hut = self.book.course.assembly().filter(|_| station == Station::Theory);
        hut.map_or_else(|| place.clone(), |hut| format!("{place}, at {hut}"))
    }

    /// The same where there is little room: the mark says the slope, so the vehicle is enough.
    pub(crate) fn place_on_card(&self, station: Station) -> String {
        let place = self.place(station);
        match station {
            Station::Demonstration(slope) => {
                let on = self.book.slope_mark(&self.book.course.slopes[slope].id);
                place.replace(&format!("\u{a0}on\u{a0}{on}"), "")
            }
            _ => place,
        }
    }

    /// What the demonstration on a slope is shown with: `A on S5`.
    fn shown_on(&self, slope: usize) -> String {
        let on = self.book.slope_mark(&self.book.course.slopes[slope].id);
        match self.book.shown() {
            Some(shown) => {
                let with = self.book.vehicle_mark(&self.book.course.vehicles[shown.vehicle].id);
                format!("{with}\u{a0}on\u{a0}{on}")
            }
            None => format!("on\u{a0}{on}"),
        }
    }

    /// That a vehicle is shown while its driver is elsewhere, and when; none for every other vehicle.
    pub(crate) fn handed_over(&self, vehicle: &str) -> Option<String> {
        let shown = self.book.shown()?;
        if self.book.course.vehicles[shown.vehicle].id != vehicle {
            return None;
        }
        let station = Station::Demonstration(shown.slope);
        let mut slots: Vec<usize> = self
            .rota
            .visits
            .iter()
            .filter(|visit| visit.station == station)
            .map(|visit| visit.slot)
            .collect();
        slots.dedup();
        let times: Vec<String> =
            slots.into_iter().map(|slot| clock_text(self.rota.slots[slot].start)).collect();
        let mark = self.book.slope_mark(&self.book.course.slopes[shown.slope].id);
        (!times.is_empty())
            .then(|| format!("Shown on {mark}, {}: hand your vehicle over.", times.join(" and ")))
    }

    /// What a driver does in each slot shown.
    pub(crate) fn day_of(&self, driver: usize) -> Vec<Stretch> {
        let group = self.rota.group_of(driver);
        let day = self
            .slots()
            .iter()
            .enumerate()
            .map(|(at, slot)| {
                let visit = group.and_then(|group| self.rota.visit(group, at));
                let changed =
                    self.book.change.as_ref().is_some_and(|change| change.drivers.contains(&(driver, at)));
                let had = |visit: &&Visit| had_before(self.book.course, driver, visit.station);
                let times = self.book.course.driver_today(driver);
                match visit {
                    _ if !self.book.missing().was_there(driver, slot.start) => {
                        Stretch { place: "not here yet".to_owned(), ..self.free(at, *slot, false) }
                    }
                    Some(visit) if had(&visit) => {
                        Stretch { place: HAD.to_owned(), ..self.free(at, *slot, changed) }
                    }
                    Some(visit) => self.stretch(driver, visit, *slot, changed),
                    None => self.away(times, *slot).unwrap_or_else(|| self.free(at, *slot, changed)),
                }
            })
            .collect();
        self.with_ways(day, |slot| Some(self.rota.visit(group?, slot)?.station))
    }

    /// The slope on which a driver is with their vehicle in a slot, by its place, and how it goes down there.
    pub(crate) fn goes_down(&self, driver: usize, slot: usize) -> Option<(usize, Option<String>)> {
        let visit = self.rota.visit(self.rota.group_of(driver)?, slot)?;
        let Station::Slope(slope) = visit.station else { return None };
        let sheet = self.book.vehicle_sheet_of(&self.drivers()[driver].vehicle)?;
        let mark = self.mark(visit.station);
        let row = sheet.descents.iter().find(|row| row.slope_id == mark)?;
        Some((slope, row.gear.clone()))
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
                format!("watches: {}", self.why_not(driver, visit, row))
            }
            (Station::Demonstration(_), _) => "watches the demonstration".to_owned(),
            (Station::Theory, _) => "lesson".to_owned(),
        };
        Stretch {
            from: clock_text(slot.start),
            to: clock_text(slot.end),
            mark,
            place: self.place_on_card(visit.station),
            // No gear on ground that nobody measured, nor where it was driven before a change refused it.
            gear: row.filter(|_| driving).and_then(|row| match row.first {
                Some(first) => Some(first.to_owned()),
                None if !row.within => Some("driven".to_owned()),
                None => row.gear.clone(),
            }),
            speed: row
                .filter(|row| row.first.is_none() && (row.within || !driving))
                .map_or_else(|| Fig::new("–", "", false), |row| row.speed.clone()),
            near: row.filter(|row| driving && row.near).map(|row| match &row.up_to {
                Some(most) => format!("near a limit: without the brake {most} {}", row.limit.u),
                None => "near a limit".to_owned(),
            }),
            short: match visit.station {
                Station::Slope(_) if driving => row.map_or_else(String::new, |row| row.short.clone()),
                Station::Slope(_) => self.why_not(driver, visit, row),
                Station::Demonstration(_) => "watch".to_owned(),
                Station::Theory => String::new(),
            },
            doing,
            driving,
            refused: !driving && matches!(visit.station, Station::Slope(_)),
            changed,
        }
    }

    /// Why a driver watches on a slope: no vehicle, something missed that comes first, or the verdict.
    fn why_not(&self, driver: usize, visit: &Visit, row: Option<&DescentRow>) -> String {
        let (book, missing) = (self.book, self.book.missing());
        if !missing.has_vehicle(book.course, driver) {
            return "no vehicle for it".to_owned();
        }
        let Station::Slope(slope) = visit.station else { return String::new() };
        let (rota, group) = (self.rota, visit.group);
        match missed_first(book.course, &book.reckoning, rota, missing, group, driver, slope) {
            Some(station) => format!("missed {}, which comes first", self.mark(station)),
            None => row.map_or_else(String::new, |row| row.short.clone()),
        }
    }

    /// A slot in which somebody is not there yet, or has gone; none for one in which they are there.
    pub(crate) fn away(&self, times: Option<(u16, u16)>, slot: Slot) -> Option<Stretch> {
        let (from, until) = times?;
        let place = match (slot.start < from, slot.end > until) {
            (true, _) => format!("from {}: sign on first", clock_text(from)),
            (_, true) => format!("until {}: sign off", clock_text(until)),
            _ => return None,
        };
        Some(Stretch { place, ..self.free(0, slot, false) })
    }

    /// A slot without a visit: kept free for weather, or simply free.
    pub(crate) fn free(&self, at: usize, slot: Slot, changed: bool) -> Stretch {
        let spare = at >= self.rota.length();
        let place = if spare { "kept free for weather" } else { "free: rest, help, ask" };
        Stretch {
            from: clock_text(slot.start),
            to: clock_text(slot.end),
            mark: "–".to_owned(),
            place: place.to_owned(),
            doing: String::new(),
            driving: false,
            refused: false,
            gear: None,
            speed: Fig::new("–", "", false),
            near: None,
            short: String::new(),
            changed,
        }
    }

    /// The instructors of a station in a slot.
    pub(crate) fn teaching(&self, station: Station, slot: usize) -> String {
        let people = &self.book.course.people;
        let names: Vec<String> =
            self.on_duty(station, slot, true).into_iter().map(|at| people[at].name.short()).collect();
        names.join(", ")
    }

    /// Lunch, as `12:35 to 13:20`, between the slots it lies between.
    pub(crate) fn lunch(&self) -> Option<String> {
        let (from, long) = self.book.course.rota.as_ref()?.lunch?;
        let slots = self.slots();
        let next = slots.iter().position(|slot| slot.end > from)?;
        let begins = next.checked_sub(1).map_or(from, |before| slots[before].end.max(from));
        Some(format!("{} to {}", clock_text(begins), clock_text(begins + long)))
    }

    /// The sentence that says how good the rota is.
    pub(crate) fn proof(&self) -> String {
        let (rota, bound) = (self.rota, &self.rota.bound);
        let why = bound.grounds.first().map_or("", |ground| ground.why.as_str());
        let used = rota.length();
        if !rota.given_up.is_empty() {
            let lost = rota.given_up.len();
            let free = rota.slots.len();
            format!(
                "{used} slots, and as much done as can be: {lost} visits of groups are given up, because {why} and the day has {free} slots."
            )
        } else if used == bound.slots {
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
pub(crate) fn help(book: &Book) -> Help {
    let course = book.course;
    let place = course.emergency.location.as_ref().map(Remark::short);
    // Where the place that is read out begins with it, a card has no room to say it twice.
    let there = |met: String| match &place {
        Some(place) if place.starts_with(&met) => "there".to_owned(),
        _ => met,
    };
    Help {
        number: course.emergency.number.as_ref().map(Remark::short),
        channel: course.day.channel.as_ref().map(Name::short).map(as_a_channel),
        place: place.clone(),
        meeting: course.assembly(),
        ambulance: on_the_plan(course, PointOfSite::MeetingPoint).map(there),
        limit: book.show.limit(course.limits.descent_speed.si()),
        site_speed: course
            .day
            .site_speed
            .map_or_else(|| Fig::new("walking pace", "", false), |speed| book.show.limit(speed.si())),
    }
}

/// A bare number says on a card what it is the number of.
fn as_a_channel(written: String) -> String {
    let bare = !written.is_empty() && written.chars().all(|letter| letter.is_ascii_digit());
    if bare { format!("Channel {written}") } else { written }
}
