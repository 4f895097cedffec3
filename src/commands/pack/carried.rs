//! What a change on one of several days means for the days after it: who and what is missing stays missing, who turns
//! up for all days is on their lists, and what a group did not have is not taken for had.

use std::path::Path;

use super::days::{Planned, folder_of};
use super::ledger::{Carried, Entry, Ledger, State, name_in};
use crate::course::{Before, Course};
use crate::problem::Failure;
use crate::rota::{Change, Missing, Rota, absent, brought};

/// A day as it came: its changes and the rota after the last of them.
pub(super) struct Came {
    number: usize,
    ledger: Ledger,
    states: Vec<State>,
    rota: Rota,
}

impl Came {
    /// The day before another; none before the first.
    ///
    /// # Errors
    /// Its record cannot be read, or is of other papers.
    pub(super) fn before(
        planned: &Planned,
        number: usize,
        into: &Path,
        data: &str,
    ) -> Result<Option<Self>, Failure> {
        let Some(number) = number.checked_sub(1).filter(|number| *number > 0) else { return Ok(None) };
        let Some((course, as_planned)) = planned.get(number - 1) else { return Ok(None) };
        let ledger = Ledger::of(&into.join(folder_of(number)), data)?;
        let mut states = ledger.states(course)?;
        let follows = ledger.changes.last().and_then(|entry| entry.follows.as_ref());
        let rota = follows.map_or_else(|| as_planned.clone(), |follows| follows.rota.clone());
        if ledger.changes.is_empty()
            && let Some(earlier) = Self::before(planned, number, into, data)?
        {
            states[0].course.comes_after(earlier.brings(course));
        }
        Ok(Some(Self { number, ledger, states, rota }))
    }

    /// The course of that day with whoever turned up, and its rota.
    pub(super) fn day(self) -> (Course, Rota) {
        (self.last().course.clone(), self.rota)
    }

    fn last(&self) -> &State {
        self.states.last().expect("the day itself is always there")
    }

    /// What drivers bring from it to a later day, by their place in that day's roster: each day has its own list of
    /// those who turned up.
    pub(super) fn brings(&self, today: &Course) -> Before {
        let State { course, missing, .. } = self.last();
        let place = |at: usize| {
            let name = course.roster.drivers[at].name.full();
            today.roster.drivers.iter().position(|one| one.name.full() == name)
        };
        brought(course, &self.rota, missing).at(place)
    }

    /// What of its changes a later day has not taken over yet; none where nothing of it concerns that day.
    pub(super) fn not_yet_in(&self, later: &Ledger, today: &State) -> Option<Carried> {
        let known = later.changes.iter().filter_map(|entry| entry.carried.as_ref());
        let known = known.filter(|carried| carried.day == self.number).map(|carried| carried.change).max();
        let known = known.unwrap_or(0);
        let last = self.ledger.changes.len();
        if known == last {
            return None;
        }
        let (mut gone, mut back, mut new) = (Missing::default(), Missing::default(), Vec::new());
        for (entry, states) in self.ledger.changes.iter().zip(self.states.windows(2)).skip(known) {
            if entry.one_day {
                continue;
            }
            let (went, came) =
                (states[1].missing.beyond(&states[0].missing), states[0].missing.beyond(&states[1].missing));
            gone = gone.beyond(&came).and(&went);
            back = back.beyond(&went).and(&came);
            new.extend(states[1].new_for_all_days(&states[0], entry));
        }
        let course = &self.last().course;
        let is_missing = |word: &String| {
            let one = today.stands_for(word)?;
            Some(one.beyond(&today.missing).counted() == 0)
        };
        let gone = in_words(course, &gone);
        let without: Vec<String> =
            gone.iter().filter(|word| is_missing(word) == Some(false)).cloned().collect();
        // Who was never to come on that day does not come because they are there again on this.
        let planned = absent(&today.course);
        let expected =
            |word: &String| today.stands_for(word).is_some_and(|one| one.beyond(&planned).counted() > 0);
        let mut came: Vec<String> = in_words(course, &back);
        came.retain(|word| is_missing(word) == Some(true) && expected(word));
        let stays = |words: &String| {
            let name = name_in(words);
            today.stands_for(name).is_none() && !gone.iter().any(|word| word.ends_with(&format!(":{name}")))
        };
        came.extend(new.into_iter().filter(stays));
        let same = today.course.before() == &self.brings(&today.course);
        let nothing = without.is_empty() && came.is_empty() && same;
        (!nothing).then_some(Carried { day: self.number, change: last, without, came })
    }
}

/// Words that stand for people and vehicles, each for one thing alone. A slope that is closed is the ground's matter
/// of that day.
fn in_words(course: &Course, missing: &Missing) -> Vec<String> {
    let drivers =
        missing.drivers.iter().map(|at| format!("driver:{}", course.roster.drivers[*at].name.full()));
    let people = missing.people.iter().map(|at| format!("person:{}", course.people[*at].name.full()));
    let vehicles = missing.vehicles.iter().map(|at| format!("vehicle:{}", course.vehicles[*at].id));
    drivers.chain(people).chain(vehicles).collect()
}

/// What a change says of the days after it, for the list of what is handed in: who stays away, who comes on.
pub(super) fn later_words(entry: &Entry, change: &Change, new: &State, planned: &Planned) -> Vec<String> {
    let course = &new.course;
    let names = |on: &Course| -> Vec<String> {
        let newly = &change.newly;
        let drivers = newly
            .drivers
            .iter()
            .filter(|at| **at >= on.roster.drivers.len() || on.driver_today(**at).is_some());
        let people =
            newly.people.iter().filter(|at| **at >= on.people.len() || on.person_today(**at).is_some());
        let drivers = drivers.map(|at| course.roster.drivers[*at].name.short());
        let people = people.map(|at| course.people[*at].name.short());
        let vehicles = newly.vehicles.iter().map(|at| course.vehicles[*at].name.short());
        drivers.chain(people).chain(vehicles).collect()
    };
    let later = planned.iter().filter(|(on, _)| on.day_number() > course.day_number());
    let told = later.filter_map(|(on, _)| {
        let (number, names) = (on.day_number(), names(on));
        if names.is_empty() {
            return None;
        }
        let names = names.join(", ");
        Some(if entry.one_day {
            format!(
                "Day {number}: {names} there as planned, without what they miss today; see {}.",
                folder_of(number)
            )
        } else {
            format!("Day {number}: {names} missing as well; its own list lies in {}.", folder_of(number))
        })
    });
    told.collect()
}

/// All days of a course, those before one as they came.
///
/// # Errors
/// The record of one cannot be read.
pub(super) fn as_they_came(
    planned: &Planned,
    number: usize,
    into: &Path,
    data: &str,
) -> Result<Planned, Failure> {
    let mut days = planned.clone();
    for day in 1..number {
        if let (Some(came), Some(place)) =
            (Came::before(planned, day + 1, into, data)?, days.get_mut(day - 1))
        {
            *place = came.day();
        }
    }
    Ok(days)
}
