//! A rota changed on the day: as much as possible stays as it was.

use std::collections::BTreeSet;
use std::time::{Duration, Instant};

use super::check::{NoRota, held};
use super::clash::explain;
use super::model::Model;
use super::nearest::nearest as visits_nearest;
use super::request::{NoFit, Relax};
use super::{Missing, Rota, Station, absent};
use crate::course::Course;
use crate::engine::Reckoning;

/// A new rota and what differs from the old one.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The new rota.
    pub rota: Rota,
    /// Who and what is missing.
    pub missing: Missing,
    /// Who and what of it went missing with this change.
    pub newly: Missing,
    /// Who and what came or is there again with this change, in words.
    pub came: Vec<String>,
    /// What follows for later days, in words.
    pub later: Vec<String>,
    /// Slots of those still there that differ: driver and slot.
    pub drivers: BTreeSet<(usize, usize)>,
    /// Slots of staff still there that differ: person and slot.
    pub people: BTreeSet<(usize, usize)>,
    /// Slots in which staff are called on for something else when somebody is hurt: person and slot.
    pub called: BTreeSet<(usize, usize)>,
    /// Whether the slots kept free for weather are used.
    pub spare_used: bool,
}

impl Change {
    /// Who and what went missing or came with this change, in words.
    pub fn words(&self, course: &Course) -> String {
        let newly = &self.newly;
        let mut gone: Vec<String> =
            newly.slopes.iter().map(|at| format!("{} closed", course.slopes[*at].name)).collect();
        let drivers = &course.roster.drivers;
        gone.extend(newly.drivers.iter().map(|at| format!("{} missing", drivers[*at].name)));
        gone.extend(newly.people.iter().map(|at| format!("{} missing", course.people[*at].name)));
        gone.extend(self.left_without_a_seat(course).map(|name| format!("{name} has no seat: find one")));
        for at in &newly.vehicles {
            let vehicle = &course.vehicles[*at];
            let theirs = drivers
                .iter()
                .enumerate()
                .filter(|(who, driver)| driver.vehicle == vehicle.id && !self.missing.drivers.contains(who));
            let names: Vec<&str> = theirs.map(|(_, driver)| driver.name.full()).collect();
            let watch = match names.as_slice() {
                [] => String::new(),
                names => format!(" (its drivers watch unless a car is lent: {})", names.join(", ")),
            };
            gone.push(format!("{} does not run{watch}", vehicle.name));
        }
        gone.extend(newly.standing_in.iter().map(|at| format!("{} stands in", course.people[*at].name)));
        gone.extend(self.came.iter().cloned());
        format!("{}.", gone.join("; "))
    }
}

impl Change {
    /// Passengers whose driver went missing with this change, and nobody else drives that vehicle.
    fn left_without_a_seat<'c>(&'c self, course: &'c Course) -> impl Iterator<Item = &'c str> {
        let drivers = &course.roster.drivers;
        let gone = |vehicle: &str| {
            let mut theirs = drivers.iter().enumerate().filter(move |(_, driver)| driver.vehicle == vehicle);
            theirs.all(|(at, _)| self.missing.drivers.contains(&at))
        };
        let newly = |vehicle: &str| self.newly.drivers.iter().any(|at| drivers[*at].vehicle == vehicle);
        let riders = course.roster.passengers.iter();
        let vehicle = |with: usize| drivers[with].vehicle.as_str();
        riders
            .filter(move |one| newly(vehicle(one.with)) && gone(vehicle(one.with)))
            .map(|one| one.name.full())
    }
}

/// How long an answer may be looked for, and who hears how it goes.
#[derive(Clone, Copy)]
pub struct Patience<'a> {
    /// Time after which the best that was found is taken; none for as long as a count of steps allows, which
    /// gives the same answer everywhere.
    pub time: Option<Duration>,
    /// Hears what is being tried.
    pub tell: &'a dyn Fn(&str),
}

impl Default for Patience<'_> {
    fn default() -> Self {
        Self { time: None, tell: &|_| {} }
    }
}

/// Changes a rota as little as possible: the fewest visits moved, then the fewest duties. The slots kept free
/// for weather are used only when nothing else fits; and when not everything can be done any more, as much as
/// can be is, the steepest slopes of a group given up first. When the time is over, so it is as well.
///
/// # Errors
/// Nothing can be done at all: the limits that clash and the smallest relaxations found. Or the check finds
/// fault with what was done.
pub fn replan(
    course: &Course,
    reckoning: &Reckoning,
    old: &Rota,
    missing: &Missing,
    patience: Patience,
) -> Result<Change, NoRota> {
    let missing = &absent(course).and(missing);
    let begun = Instant::now();
    // The last way gives an answer whatever happens, so some of the time is kept for it.
    let ways = [
        (false, false, 0.5, "the same day with as little moved as can be"),
        (true, false, 0.75, "the slots kept free for weather as well"),
        (true, true, 1.0, "as much as can be done, the rest given up"),
    ];
    let mut why = NoFit::TooLong { refuted: false };
    // Slots that are in use already stay so.
    let in_use = old.length() > old.slots.len().saturating_sub(usize::from(spare(course)));
    for (use_spare, give_up, part, words) in ways.into_iter().filter(|way| way.0 || !in_use) {
        (patience.tell)(&format!("looking for a rota: {words}"));
        let relax = Relax { use_spare, give_up, ..Relax::default() };
        let mut model = Model::from(course, reckoning, missing, &relax, Some(old));
        model.until = patience.time.and_then(|time| begun.checked_add(time.mul_f64(part)));
        if let Some(hopeless) = model.hopeless() {
            why = hopeless;
            break;
        }
        if let Some(rota) = nearest(&model, old, patience.tell) {
            let rota = held(course, reckoning, rota, missing, use_spare)?;
            return Ok(difference(course, old, rota, missing));
        }
    }
    Err(explain(course, reckoning, missing, Some(old), &why).into())
}

/// What differs between a rota and the one before it.
pub fn difference(course: &Course, old: &Rota, mut rota: Rota, missing: &Missing) -> Change {
    if rota.visits == old.visits {
        // The same day is as good as it was.
        rota.proven = old.proven;
        rota.bound = old.bound.clone();
    }
    let drivers = drivers_changed(course, old, &rota, missing);
    let people = people_changed(course, old, &rota, missing);
    let spare_used = rota.length() > rota.slots.len().saturating_sub(usize::from(spare(course)));
    Change {
        rota,
        missing: missing.clone(),
        newly: missing.clone(),
        came: Vec::new(),
        later: Vec::new(),
        drivers,
        people,
        called: BTreeSet::new(),
        spare_used,
    }
}

fn spare(course: &Course) -> u16 {
    course.rota.as_ref().map_or(0, |rules| rules.spare)
}

/// The rota nearest to an old one, within as many slots as it used or as few more as it needs.
fn nearest(model: &Model, old: &Rota, tell: &dyn Fn(&str)) -> Option<Rota> {
    let keep: Vec<[usize; 3]> = old
        .visits
        .iter()
        .filter_map(|visit| Some([visit.group, model.place(visit.station)?, visit.slot]))
        .filter(|[group, at, _]| model.wanted[*group][*at])
        .collect();
    let usable = model.usable();
    if model.all && model.bound.slots > usable {
        return None;
    }
    if !model.all {
        let mut visits = visits_nearest(model, usable, &keep, tell)?;
        while visits.len() > model.done.len() {
            match model.rota(&visits, Some(old), false) {
                Ok(rota) => return Some(rota),
                Err(slot) => model.give_up(slot, &mut visits),
            }
        }
        return None;
    }
    let first = old.length().clamp(model.bound.slots.min(usable), usable);
    (first..=usable).find_map(|length| {
        let visits = visits_nearest(model, length, &keep, tell)?;
        // Shortest is no longer what is asked for; the gap to the bound is shown instead.
        model.rota(&visits, Some(old), length == model.bound.slots).ok()
    })
}

/// Slots in which a driver still there is at another station, or drives where they watched.
fn drivers_changed(course: &Course, old: &Rota, new: &Rota, missing: &Missing) -> BTreeSet<(usize, usize)> {
    let at = |rota: &Rota, driver: usize, slot: usize| {
        let visit = rota.visit(rota.group_of(driver)?, slot)?;
        Some((visit.station, visit.driving.contains(&driver)))
    };
    let there = (0..course.roster.drivers.len()).filter(|driver| !missing.drivers.contains(driver));
    let slots = old.slots.len().max(new.slots.len());
    there
        .flat_map(|driver| (0..slots).map(move |slot| (driver, slot)))
        .filter(|(driver, slot)| {
            new.slots.get(*slot).is_none_or(|slot| missing.was_there(*driver, slot.start))
        })
        .filter(|(driver, slot)| at(old, *driver, *slot) != at(new, *driver, *slot))
        .collect()
}

/// Slots in which somebody of the staff is at another station or post, or has other groups.
fn people_changed(course: &Course, old: &Rota, new: &Rota, missing: &Missing) -> BTreeSet<(usize, usize)> {
    let groups = |rota: &Rota, station: Station, slot: usize| -> BTreeSet<usize> {
        let here = rota.visits.iter().filter(|visit| (visit.station, visit.slot) == (station, slot));
        here.map(|visit| visit.group).collect()
    };
    let at = |rota: &Rota, person: usize, slot: usize| {
        let duty = rota.duty(person, slot)?;
        Some((duty.station, duty.post, groups(rota, duty.station, slot)))
    };
    let there = (0..course.people.len()).filter(|person| !missing.people.contains(person));
    let slots = old.slots.len().max(new.slots.len());
    there
        .flat_map(|person| (0..slots).map(move |slot| (person, slot)))
        .filter(|(person, slot)| at(old, *person, *slot) != at(new, *person, *slot))
        .collect()
}
