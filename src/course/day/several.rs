//! The days of a course: one, or several with their own date, times, people and slopes; and what somebody
//! brings from one day to the next.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::course::{Comes, Course, Day, RotaRules};

/// One of several days, with all that it does not say itself taken from `day` and `rota`.
#[derive(Clone, Debug, PartialEq)]
pub struct OneDay {
    /// Its date, times and sessions.
    pub day: Day,
    /// Its rules, with its own times.
    pub rota: Option<RotaRules>,
    /// The slopes driven, by identifier; empty for all.
    pub slopes: Vec<String>,
    /// The people who are there, by name; empty for all.
    pub people: Vec<String>,
}

/// Which of several days a course stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Today {
    /// From 1.
    pub number: usize,
    /// How many there are.
    pub of: usize,
    /// The slopes driven, by identifier; empty for all.
    pub slopes: Vec<String>,
    /// The people who are there, by name; empty for all.
    pub people: Vec<String>,
    /// What was on the days before.
    pub before: Before,
}

/// What drivers bring from the days before, by their place in the roster.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Before {
    /// The groups of the day before.
    pub groups: Vec<Vec<usize>>,
    /// Who has been there: signed on, briefed, their vehicle checked.
    pub come: BTreeSet<usize>,
    /// Who has seen the demonstration.
    pub shown: BTreeSet<usize>,
    /// Who has had the lesson.
    pub taught: BTreeSet<usize>,
    /// Who has driven which slope, by its place in the course.
    pub driven: BTreeSet<(usize, usize)>,
}

impl Before {
    /// The same by other places in the roster; who has none there is left out.
    #[must_use]
    pub fn at(&self, place: impl Fn(usize) -> Option<usize>) -> Self {
        let moved = |all: &BTreeSet<usize>| all.iter().filter_map(|at| place(*at)).collect();
        let group = |group: &Vec<usize>| group.iter().filter_map(|at| place(*at)).collect();
        let driven = self.driven.iter().filter_map(|(at, slope)| Some((place(*at)?, *slope)));
        Self {
            groups: self.groups.iter().map(group).collect(),
            come: moved(&self.come),
            shown: moved(&self.shown),
            taught: moved(&self.taught),
            driven: driven.collect(),
        }
    }
}

impl Course {
    /// How many days it has.
    pub fn days_held(&self) -> usize {
        self.days.len().max(1)
    }

    /// Which day this is, from 1: the first where it stands for no day of its own.
    pub fn day_number(&self) -> usize {
        self.today.as_ref().map_or(1, |today| today.number)
    }

    /// The course as it is on one of its days, from 1, after what was `before`. A course of a single day is
    /// itself.
    ///
    /// # Panics
    /// There is no such day.
    #[must_use]
    pub fn on_day(&self, number: usize, before: Before) -> Self {
        if self.days.is_empty() {
            return self.clone();
        }
        let one = &self.days[number - 1];
        let (slopes, people) = (one.slopes.clone(), one.people.clone());
        let today = Today { number, of: self.days.len(), slopes, people, before };
        Self { day: one.day.clone(), rota: one.rota.clone(), today: Some(today), ..self.clone() }
    }

    /// What was on the days before; nothing on the first.
    pub fn before(&self) -> &Before {
        static NOTHING: Before = Before {
            groups: Vec::new(),
            come: BTreeSet::new(),
            shown: BTreeSet::new(),
            taught: BTreeSet::new(),
            driven: BTreeSet::new(),
        };
        self.today.as_ref().map_or(&NOTHING, |today| &today.before)
    }

    /// With other days before this one, as they came; a course of a single day is as it is.
    pub fn comes_after(&mut self, before: Before) {
        if let Some(today) = &mut self.today {
            today.before = before;
        }
    }

    /// Whether a slope is driven today.
    pub fn drives_today(&self, slope: usize) -> bool {
        let open = self.today.as_ref().map_or(&[][..], |today| &today.slopes);
        open.is_empty() || open.contains(&self.slopes[slope].id)
    }

    /// Whether a slope is planned for an earlier day as well.
    pub fn planned_earlier(&self, slope: usize) -> bool {
        let id = &self.slopes[slope].id;
        let earlier = self.days.iter().take(self.day_number() - 1);
        earlier.into_iter().any(|one| one.slopes.is_empty() || one.slopes.contains(id))
    }

    /// From when to when somebody of the people is there today; none when they are not.
    pub fn person_today(&self, person: usize) -> Option<(u16, u16)> {
        let one = &self.people[person];
        let named = self.today.as_ref().map_or(&[][..], |today| &today.people);
        if !named.is_empty() && !named.iter().any(|name| name == one.name.full()) {
            return None;
        }
        one.comes.between(self.day_number(), self.days_held())
    }

    /// From when to when a driver is there today; none when they are not.
    pub fn driver_today(&self, driver: usize) -> Option<(u16, u16)> {
        self.roster.drivers[driver].comes.between(self.day_number(), self.days_held())
    }

    /// Puts drivers and people among those who are there today, whatever was planned.
    pub fn come_today(&mut self, drivers: &BTreeSet<usize>, people: &BTreeSet<usize>) {
        for driver in drivers {
            self.roster.drivers[*driver].comes = Comes::default();
        }
        for person in people {
            self.people[*person].comes = Comes::default();
            self.named_today(*person);
        }
    }

    /// Puts somebody of the people among those named for today, where any are.
    pub fn named_today(&mut self, person: usize) {
        let name = self.people[person].name.full().to_owned();
        if let Some(today) = self.today.as_mut().filter(|today| !today.people.is_empty()) {
            today.people.push(name);
        }
    }

    /// Whether a driver comes for the first time on a later day than the first.
    pub fn is_new_today(&self, driver: usize) -> bool {
        self.day_number() > 1 && self.driver_today(driver).is_some() && !self.before().come.contains(&driver)
    }
}
