//! A reader of cards that knows no rota: nobody and nothing twice, posts filled, gentle first, lunch, first aid there.

use std::collections::{BTreeMap, BTreeSet};

use slopepack::course::{Course, Order, Role};
use slopepack::engine::{Reckoning, Standing};
use slopepack::rota::{AFTER_ARRIVING, Post, Rota, STEEP, Station, ask_of_group, clock_text, step};

/// What somebody's card says of a time: where, and what they do there.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Line {
    pub(crate) from: u16,
    pub(crate) who: String,
    /// `S1`, `Show`, `Talk`.
    pub(crate) place: String,
    /// `drives`, `watches`, `brow`, `foot`, `teaches`.
    pub(crate) does: &'static str,
}

fn mark(station: Station) -> String {
    match station {
        Station::Slope(slope) => format!("S{}", slope + 1),
        Station::Demonstration(_) => "Show".to_owned(),
        Station::Theory => "Talk".to_owned(),
    }
}

/// The cards of a day, from what the printer is given.
pub(crate) fn cards(day: &Course, rota: &Rota) -> Vec<Line> {
    let mut lines = Vec::new();
    let at = |slot: usize| rota.slots[slot].start;
    for visit in &rota.visits {
        for driver in &rota.groups[visit.group] {
            let before = day.before();
            let had = match visit.station {
                Station::Slope(_) => false,
                Station::Demonstration(_) => before.shown.contains(driver),
                Station::Theory => before.taught.contains(driver),
            };
            let does = if visit.driving.contains(driver) { "drives" } else { "watches" };
            let who = day.roster.drivers[*driver].name.full().to_owned();
            if !had {
                lines.push(Line { from: at(visit.slot), who, place: mark(visit.station), does });
            }
        }
    }
    for duty in &rota.duties {
        let does = match duty.post {
            Post::Brow => "brow",
            Post::Foot => "foot",
            Post::Beside => "beside",
            Post::Group => "teaches",
        };
        let who = day.people[duty.person].name.full().to_owned();
        lines.push(Line { from: at(duty.slot), who, place: mark(duty.station), does });
    }
    lines.sort();
    lines
}

/// What the reader finds wrong with the cards of all days of a club.
pub(crate) fn wrong(days: &[(Course, u16, Vec<Line>)], reckoning: &Reckoning) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut driven: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    let mut explained: BTreeSet<(String, String)> = BTreeSet::new();
    for (number, (day, long, lines)) in (1..).zip(days) {
        let mut say = |what: String| wrong.push(format!("day {number}: {what}"));
        let times: BTreeSet<u16> = lines.iter().map(|line| line.from).collect();
        for from in &times {
            let now: Vec<&Line> = lines.iter().filter(|line| line.from == *from).collect();
            at_one_time(day, *from, *long, &now, &mut say);
        }
        lunch(day, *long, &times, &mut say);
        ways(day, *long, lines, &mut say);
        for (at, driver) in day.roster.drivers.iter().enumerate() {
            let mine: Vec<&Line> = lines.iter().filter(|line| line.who == driver.name.full()).collect();
            let Some(hours) = day.driver_today(at) else {
                if !mine.is_empty() {
                    say(format!("{} does not come and has a card", driver.name));
                }
                continue;
            };
            let earlier = driven.get(driver.name.full()).cloned().unwrap_or_default();
            let ready = if hours.0 > 0 && earlier.is_empty() { hours.0 + AFTER_ARRIVING } else { hours.0 };
            if mine.iter().any(|line| line.from < ready || line.from + long > hours.1) {
                say(format!("{} is asked for before or after their hours", driver.name));
            }
            let group = group_of(day, lines, driver.name.full());
            rising(day, reckoning, &group, driver.name.full(), &mine, &mut explained, &mut say);
            for line in mine.iter().filter(|line| line.does == "drives") {
                let slope = slope_of(&line.place);
                let asks =
                    |slope| slopepack::rota::ask(day, reckoning, slope, &driver.vehicle).unwrap_or(0.0);
                let steeper = |before: &usize| asks(*before) > asks(slope) + step(driver.experience);
                if !earlier.contains(&slope) && earlier.iter().any(steeper) {
                    say(format!("{} drove steeper than {} on an earlier day", driver.name, line.place));
                }
                driven.entry(driver.name.full().to_owned()).or_default().push(slope);
            }
            everything(day, reckoning, at, &mine, &mut say);
        }
    }
    wrong
}

fn slope_of(mark: &str) -> usize {
    mark.trim_start_matches('S').parse::<usize>().expect("a slope's mark") - 1
}

/// Who stands with somebody at every one of their stations: their group, as the cards alone show it.
fn group_of(day: &Course, lines: &[Line], who: &str) -> Vec<usize> {
    let slopes = |who: &str| -> BTreeSet<(u16, &str)> {
        let slope = |line: &&Line| line.who == who && line.place.starts_with('S') && line.place != "Show";
        let here = lines.iter().filter(slope);
        here.map(|line| (line.from, line.place.as_str())).collect()
    };
    let mine = slopes(who);
    let drivers = day.roster.drivers.iter().enumerate();
    drivers.filter(|(_, one)| slopes(one.name.full()) == mine).map(|(at, _)| at).collect()
}

/// Nobody and nothing in two places, one at the brow and one at the foot, somebody who teaches, somebody for first
/// aid and in charge who does nothing else, all of them there.
fn at_one_time(day: &Course, from: u16, long: u16, now: &[&Line], say: &mut impl FnMut(String)) {
    let at = clock_text(from);
    let mut people = BTreeSet::new();
    let mut cars: BTreeMap<&str, &str> = BTreeMap::new();
    for line in now {
        if !people.insert(&line.who) {
            say(format!("{} is in two places at {at}", line.who));
        }
        let driver = day.roster.drivers.iter().find(|driver| driver.name.full() == line.who);
        if let Some(driver) = driver.filter(|_| line.does == "drives") {
            let elsewhere = cars.insert(&driver.vehicle, &line.place).filter(|place| *place != line.place);
            if elsewhere.is_some() {
                say(format!("{} is driven in two places at {at}", driver.vehicle));
            }
        }
    }
    let places: BTreeSet<&str> = now.iter().map(|line| line.place.as_str()).collect();
    for place in places {
        let does = |what: &str| now.iter().filter(|line| line.place == place && line.does == what).count();
        if place != "Talk" && (does("brow"), does("foot")) != (1, 1) {
            say(format!("not one at brow and foot of {place} at {at}"));
        }
        if does("teaches") == 0 {
            say(format!("nobody teaches at {place} at {at}"));
        }
    }
    for role in [Role::Lead, Role::FirstAider] {
        let free = day.people.iter().enumerate().any(|(at, one)| {
            let there = day.person_today(at).is_some_and(|(start, end)| start <= from && from + long <= end);
            (one.role == role || one.deputy == Some(role))
                && there
                && !people.contains(&one.name.full().to_owned())
        });
        if !free {
            say(format!("no {role:?} at {at}"));
        }
    }
    for line in now {
        let person = day.people.iter().position(|one| one.name.full() == line.who);
        let there = |at| day.person_today(at).is_some_and(|(start, end)| start <= from && from + long <= end);
        if person.is_some_and(|at| !there(at)) {
            say(format!("{} serves at {at} and is not there", line.who));
        }
    }
}

/// After the time set for lunch comes a gap as long as lunch, before anything else begins.
fn lunch(day: &Course, long: u16, times: &BTreeSet<u16>, say: &mut impl FnMut(String)) {
    let Some((from, pause)) = day.rota.as_ref().and_then(|rules| rules.lunch) else { return };
    let Some(next) = times.iter().find(|start| **start + long > from) else { return };
    let before =
        times.iter().rev().find(|start| *start < next).map_or(from, |start| (*start + long).max(from));
    if *next < before + pause {
        say(format!("no lunch before {}", clock_text(*next)));
    }
}

/// Whoever's card says two places one after the other gets from one to the other in time.
fn ways(day: &Course, long: u16, lines: &[Line], say: &mut impl FnMut(String)) {
    let rules = day.rota.as_ref().expect("its rules");
    let shown = rules.demonstration.as_ref().and_then(|session| session.slope.as_ref());
    let slope = |place: &str| match place {
        "Talk" => None,
        "Show" => day.slopes.iter().position(|slope| Some(&slope.id) == shown),
        mark => Some(slope_of(mark)),
    };
    let mut last: BTreeMap<&str, &Line> = BTreeMap::new();
    let known = |line: &&Line| {
        !line.place.starts_with('S') || slope(&line.place).is_none_or(|at| at < day.slopes.len())
    };
    for line in lines.iter().filter(known) {
        if let Some(before) = last.insert(&line.who, line).filter(|before| before.from < line.from) {
            let time = line.from.saturating_sub(before.from + long);
            if day.way(slope(&before.place), slope(&line.place)) > time {
                say(format!("{} has {time} min from {} to {}", line.who, before.place, line.place));
            }
        }
    }
}

/// A card leads from gentle to steep by what the slopes ask of the group; before the first steep one stand lesson and
/// demonstration, on this day or an earlier one.
fn rising(
    day: &Course,
    reckoning: &Reckoning,
    group: &[usize],
    who: &str,
    mine: &[&Line],
    explained: &mut BTreeSet<(String, String)>,
    say: &mut impl FnMut(String),
) {
    let rules = day.rota.as_ref().expect("its rules");
    assert_eq!(rules.order, Order::Gentle);
    let least = group.iter().map(|at| day.roster.drivers[*at].experience).min().unwrap_or_default();
    let asks = |line: &Line| ask_of_group(day, reckoning, group, slope_of(&line.place)).unwrap_or(0.0);
    let mut steepest: f64 = 0.0;
    for line in mine {
        if line.does != "drives" {
            if line.place == "Talk" || line.place == "Show" {
                explained.insert((who.to_owned(), line.place.clone()));
            }
            continue;
        }
        if asks(line) + step(least) < steepest {
            say(format!("{who} drives {} after something steeper", line.place));
        }
        steepest = steepest.max(asks(line));
        let needs = [(rules.theory.is_some(), "Talk"), (rules.demonstration.is_some(), "Show")];
        for (_, what) in needs.iter().filter(|(held, _)| *held && asks(line) >= STEEP) {
            if !explained.contains(&(who.to_owned(), (*what).to_owned())) {
                say(format!("{who} drives {} before {what}", line.place));
            }
        }
    }
}

/// Everybody drives every slope their vehicle may go on, once a day.
fn everything(day: &Course, reckoning: &Reckoning, at: usize, mine: &[&Line], say: &mut impl FnMut(String)) {
    let driver = &day.roster.drivers[at];
    for (slope, one) in day.slopes.iter().enumerate() {
        let may =
            reckoning.pair(&one.id, &driver.vehicle).is_some_and(|pair| pair.standing != Standing::NotHere);
        let times =
            mine.iter().filter(|line| line.does == "drives" && line.place == format!("S{}", slope + 1));
        let times = times.count();
        if times != usize::from(may && day.drives_today(slope)) {
            say(format!("{} drives S{} {times} times", driver.name, slope + 1));
        }
    }
}
