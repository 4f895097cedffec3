//! A rota changed on the day: as much as possible stays as it was.

use std::collections::BTreeSet;

use super::clash::{Clash, explain};
use super::model::{Model, NoFit, Relax};
use super::solve::{Answer, Wish, solve};
use super::{Rota, Station};
use crate::course::Course;
use crate::engine::Reckoning;

/// Who does not come and what is closed, by place in the course.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Missing {
    /// Drivers, by their place in the roster.
    pub drivers: BTreeSet<usize>,
    /// Staff, by their place among the people.
    pub people: BTreeSet<usize>,
    /// Slopes.
    pub slopes: BTreeSet<usize>,
}

impl Missing {
    /// Whether nobody and nothing is missing.
    pub fn is_empty(&self) -> bool {
        self.drivers.is_empty() && self.people.is_empty() && self.slopes.is_empty()
    }
}

/// What these names stand for: a slope's or vehicle's identifier, a driver's number or name, a name of
/// the staff. A missing vehicle's driver rides along with the others and is taken off the cards.
///
/// # Errors
/// The first name that stands for nothing.
pub fn missing_of(course: &Course, names: &[String]) -> Result<Missing, String> {
    let mut missing = Missing::default();
    for name in names {
        let slope = course.slopes.iter().position(|slope| slope.id == *name);
        let drivers: Vec<usize> = (0..course.roster.drivers.len())
            .filter(|at| {
                let driver = &course.roster.drivers[*at];
                driver.id == *name || driver.name == *name || driver.vehicle == *name
            })
            .collect();
        let people: Vec<usize> =
            (0..course.people.len()).filter(|at| course.people[*at].name == *name).collect();
        if slope.is_none() && drivers.is_empty() && people.is_empty() {
            return Err(name.clone());
        }
        missing.slopes.extend(slope);
        missing.drivers.extend(drivers);
        missing.people.extend(people);
    }
    Ok(missing)
}

/// A new rota and what differs from the old one.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The new rota.
    pub rota: Rota,
    /// Who and what is missing.
    pub missing: Missing,
    /// Slots of those still there that differ: driver and slot.
    pub drivers: BTreeSet<(usize, usize)>,
    /// Slots of staff still there that differ: person and slot.
    pub people: BTreeSet<(usize, usize)>,
    /// Whether the slots kept free for weather are used.
    pub spare_used: bool,
}

/// Changes a rota as little as possible: first the fewest visits moved, then the fewest duties. The
/// slots kept free for weather are used only when nothing else fits.
///
/// # Errors
/// No rota fits: the limits that clash and the smallest relaxations found.
pub fn replan(
    course: &Course,
    reckoning: &Reckoning,
    old: &Rota,
    missing: &Missing,
) -> Result<Change, Clash> {
    let mut relax = Relax::default();
    let mut model = Model::of(course, reckoning, missing, &relax);
    let mut found = nearest(&model, old);
    if found.is_none() {
        relax.use_spare = true;
        model = Model::of(course, reckoning, missing, &relax);
        found = nearest(&model, old);
    }
    let rota = found.ok_or_else(|| explain(course, reckoning, missing, &NoFit::TooLong))?;
    let drivers = drivers_changed(course, old, &rota, missing);
    let people = people_changed(course, old, &rota, missing);
    Ok(Change { rota, missing: missing.clone(), drivers, people, spare_used: relax.use_spare })
}

/// The rota nearest to an old one, within as many slots as it used or as few more as it needs.
fn nearest(model: &Model, old: &Rota) -> Option<Rota> {
    let place = |station: Station| model.stations.iter().position(|post| post.station == station);
    let visits: Vec<[usize; 3]> = old
        .visits
        .iter()
        .filter_map(|visit| Some([visit.group, place(visit.station)?, visit.slot]))
        .filter(|[group, at, _]| model.wanted[*group][*at])
        .collect();
    let duties: Vec<[usize; 3]> = old
        .duties
        .iter()
        .filter_map(|duty| {
            let who = model.staff.iter().position(|one| one.person == Some(duty.person))?;
            Some([who, place(duty.station)?, duty.slot])
        })
        .collect();
    let usable = model.usable();
    let first = old.length().clamp(model.bound.slots.min(usable), usable);
    (first..=usable).find_map(|length| {
        let mut wish = Wish { visits: visits.clone(), duties: duties.clone(), ..Wish::default() };
        let lost = least(visits.len(), |lost| {
            solve(model, length, &Wish { visits_lost: Some(lost), ..wish.clone() })
        })?;
        wish.visits_lost = Some(lost.0);
        let best = least(duties.len(), |lost| {
            solve(model, length, &Wish { duties_lost: Some(lost), ..wish.clone() })
        });
        let (_, (visits, duties)) = best.unwrap_or(lost);
        // Shortest is no longer what is asked for; the gap to the bound is shown instead.
        let proven = length == model.bound.slots;
        Some(model.rota(visits, duties, proven))
    })
}

type Chosen = (Vec<[usize; 3]>, Vec<[usize; 3]>);

/// The smallest number up to `most` for which there is an answer, by halving.
fn least(most: usize, ask: impl Fn(usize) -> Answer) -> Option<(usize, Chosen)> {
    let Answer::Found(visits, duties) = ask(most) else { return None };
    let (mut low, mut best) = (0, (most, (visits, duties)));
    while low < best.0 {
        let middle = usize::midpoint(low, best.0);
        match ask(middle) {
            Answer::Found(visits, duties) => best = (middle, (visits, duties)),
            Answer::None | Answer::Unknown => low = middle + 1,
        }
    }
    Some(best)
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
        .filter(|(driver, slot)| at(old, *driver, *slot) != at(new, *driver, *slot))
        .collect()
}

fn people_changed(course: &Course, old: &Rota, new: &Rota, missing: &Missing) -> BTreeSet<(usize, usize)> {
    let at = |rota: &Rota, person: usize, slot: usize| rota.duty(person, slot).map(|duty| duty.station);
    let there = (0..course.people.len()).filter(|person| !missing.people.contains(person));
    let slots = old.slots.len().max(new.slots.len());
    there
        .flat_map(|person| (0..slots).map(move |slot| (person, slot)))
        .filter(|(person, slot)| at(old, *person, *slot) != at(new, *person, *slot))
        .collect()
}
