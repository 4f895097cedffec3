//! Clubs made by lot, each a part of one large course, so that the engine reckons it once: up to 60 drivers and 8 slopes
//! on one day or two, shared cars, people who come late or leave early, ride along or sit beside somebody.

use std::ops::RangeInclusive;
use std::sync::LazyLock;
use std::time::Instant;

use slopepack::course::{Comes, Course, Experience, OneDay, Passenger, Role, Slope, Timed, Ways};
use slopepack::engine::{Reckoning, reckon};

use crate::rota_plan::SATURDAY;

/// Numbers by lot from a seed that a failure names: the mixing steps of splitmix64 (Steele and others 2014).
struct Lot(u64);

impl Lot {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        usize::try_from((mixed ^ (mixed >> 31)) % (most as u64)).expect("small")
    }

    fn one_in(&mut self, many: usize) -> bool {
        self.below(many) == 0
    }

    fn time(&mut self, from: usize, minutes: usize) -> u16 {
        u16::try_from(from + self.below(minutes)).expect("within a day")
    }
}

/// The clubs that `SLOPEPACK_CLUBS` asks for, by their seeds: `200` is the first so many, `151-200` a part of them, so
/// that a long run can be done in parts.
pub(crate) fn asked_for() -> Option<RangeInclusive<u64>> {
    let given = std::env::var("SLOPEPACK_CLUBS").ok()?;
    let (first, last) = given.split_once('-').unwrap_or(("1", &given));
    let number = |text: &str| text.trim().parse().unwrap_or_else(|_| panic!("SLOPEPACK_CLUBS: {given}"));
    Some(number(first)..=number(last))
}

/// Says how far a long run is: what was done with a club, and how long that took.
pub(crate) fn tell(seed: u64, what: &str, since: Instant) {
    if asked_for().is_some() {
        eprintln!("club {seed}: {what}, {:.1} s", since.elapsed().as_secs_f64());
    }
}

/// The example with 8 slopes and 60 drivers, each with a vehicle; every club is a part of it, so it is reckoned once.
pub(crate) static LARGE: LazyLock<(Course, Reckoning)> = LazyLock::new(|| {
    let mut course = SATURDAY.0.clone();
    let again = |id: &str, name: &str, of: usize| Slope {
        id: id.into(),
        name: name.into(),
        ..course.slopes[of].clone()
    };
    let more = [again("lawn-two", "Second lawn", 0), again("haul-two", "Second road", 5)];
    course.slopes.extend(more);
    let fleet = course.vehicles.clone();
    let drivers = course.roster.drivers.clone();
    course.roster.drivers = (0..60)
        .map(|at| {
            let mut driver = drivers[at % drivers.len()].clone();
            let mut vehicle = fleet.iter().find(|one| one.id == driver.vehicle).expect("theirs").clone();
            vehicle.id = format!("car-{at}");
            driver.id = (at + 1).to_string();
            driver.name = format!("Driver No{at}x").as_str().into();
            driver.vehicle.clone_from(&vehicle.id);
            driver.own_vehicle = true;
            course.vehicles.push(vehicle);
            driver
        })
        .collect();
    let reckoning = reckon(&course);
    (course, reckoning)
});

pub(crate) fn club(seed: u64) -> Course {
    let mut lot = Lot(seed);
    let mut course = LARGE.0.clone();
    let large = seed.is_multiple_of(10);
    let drivers = if large { 40 + lot.below(21) } else { 3 + lot.below(16) };
    course.roster.drivers.truncate(drivers);
    let slopes = if large { 5 + lot.below(4) } else { 2 + lot.below(4) };
    while course.slopes.len() > slopes {
        let out = lot.below(course.slopes.len());
        course.slopes.remove(out);
    }
    let rules = course.rota.as_mut().expect("its rules");
    rules.place = None;
    rules.until = 19 * 60;
    rules.before.clear();
    if large {
        // So many need a long day.
        (rules.from, rules.until, rules.spare) = (8 * 60, 20 * 60, 0);
    }
    if !course.slopes.iter().any(|slope| slope.id == "chute") {
        rules.demonstration = None;
    }
    // Some have their slopes beside each other, some have a way to go.
    rules.ways = if lot.one_in(2) { Some(ways(&course.slopes, &mut lot)) } else { None };
    let most = usize::from(rules.group_size.number);
    people(&mut course, drivers.div_ceil(most) + 2, &mut lot);
    as_they_come(&mut course, &mut lot);
    if lot.one_in(2) {
        days(&mut course, &mut lot);
    }
    course
}

fn ways(slopes: &[Slope], lot: &mut Lot) -> Ways {
    let places: Vec<Option<String>> =
        slopes.iter().map(|slope| Some(slope.id.clone())).chain([None]).collect();
    let mut timed = Vec::new();
    for (at, one) in places.iter().enumerate() {
        for two in places[at + 1..].iter().filter(|_| lot.one_in(4)).collect::<Vec<_>>() {
            timed.push(Timed { ends: [one.clone(), two.clone()], minutes: lot.time(3, 12) });
        }
    }
    Ways { usual: Some(lot.time(2, 4)), pace: None, timed }
}

fn people(course: &mut Course, groups: usize, lot: &mut Lot) {
    let named = |role: Role, at: usize| {
        course.people.iter().find(|one| one.role == role).map(|one| {
            let mut one = one.clone();
            one.name = format!("{role:?} P{at}q").as_str().into();
            one.slopes.clear();
            one
        })
    };
    let marshals = 2 * groups.min(course.slopes.len() + 1) + 2;
    let counts =
        [(Role::Lead, 1), (Role::Instructor, groups + 2), (Role::Marshal, marshals), (Role::FirstAider, 2)];
    let all = counts.into_iter().flat_map(|(role, count)| (0..count).filter_map(move |at| named(role, at)));
    let mut all: Vec<_> = all.collect();
    let last = all.len() - 1;
    all[last].comes.arrives = lot.one_in(3).then_some(690);
    all[last - 1].comes.leaves = lot.one_in(3).then_some(13 * 60);
    all[last - 2].deputy = Some(Role::FirstAider);
    all[last - 3].comes.arrives = lot.one_in(2).then(|| lot.time(600, 120));
    all[2].comes.leaves = lot.one_in(3).then(|| lot.time(930, 90));
    course.people = all;
}

fn as_they_come(course: &mut Course, lot: &mut Lot) {
    let count = course.roster.drivers.len();
    for at in 0..count {
        let other = lot.below(count);
        let experienced = course.roster.drivers[other].experience == Experience::Experienced;
        let vehicle = course.roster.drivers[other].vehicle.clone();
        let driver = &mut course.roster.drivers[at];
        driver.comes.arrives = lot.one_in(12).then(|| lot.time(620, 70));
        driver.comes.leaves = lot.one_in(15).then(|| lot.time(990, 60));
        if lot.one_in(9) && other < at {
            driver.vehicle = vehicle;
        } else if lot.one_in(9) && experienced && other != at {
            driver.beside = Some(other);
        }
    }
    for at in 0..lot.below(4) {
        let passenger = Passenger {
            id: format!("r{at}"),
            name: format!("Rider No{at}z").as_str().into(),
            with: lot.below(count),
            needs: Vec::new(),
            comes: Comes::default(),
            private: course.roster.drivers[0].private.clone(),
        };
        course.roster.passengers.push(passenger);
    }
}

fn days(course: &mut Course, lot: &mut Lot) {
    let (day, rota) = (course.day.clone(), course.rota.clone());
    let one = OneDay { day, rota, slopes: Vec::new(), people: Vec::new() };
    course.days = vec![one.clone(), one];
    course.day.date = None;
    if lot.one_in(2)
        && let Some(rules) = &mut course.days[1].rota
    {
        (rules.from, rules.lunch) = (540, Some((12 * 60 + 30, 30)));
    }
    if lot.one_in(2) {
        // The steepest waits for the second day.
        let by_grade = |one: &&Slope, two: &&Slope| {
            one.steepest().gradient.si().total_cmp(&two.steepest().gradient.si())
        };
        let steepest = course.slopes.iter().max_by(by_grade).expect("a slope").id.clone();
        let gentle = course.slopes.iter().map(|slope| slope.id.clone()).filter(|id| *id != steepest);
        course.days[0].slopes = gentle.collect();
    }
    for driver in &mut course.roster.drivers {
        driver.comes.days = match lot.below(8) {
            0 => vec![1],
            1 => vec![2],
            _ => Vec::new(),
        };
    }
}
