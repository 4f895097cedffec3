//! The rotas of all days, as `check` reads them back and `reckon --json` carries them.

use serde::Serialize;

use crate::course::Course;
use crate::engine::{Reckoning, reckon};
use crate::problem::{Failure, Problem};
use crate::recovery::{Depth, recoveries, rule};
use crate::rota::{NoRota, Post, Rota, Slot, Station, Visit, clock_text};

/// No rota, as a failure: of the course, or of the program.
pub(super) fn refused(why: &NoRota) -> Failure {
    let text = why.to_string();
    match why {
        NoRota::Clash(_) => Failure::Course(vec![Problem::new(text)]),
        NoRota::Faulty(_) => Failure::Program(text),
    }
}

/// The rota for machines. Slots of all days stand in one row; groups and days are counted as on the run sheets.
#[derive(Serialize)]
pub(super) struct RotaRecord<'a> {
    slots: Vec<SlotRecord>,
    places: Vec<PlaceRecord<'a>>,
    groups: Vec<GroupRecord<'a>>,
    proven_shortest: bool,
    seed: u64,
}

#[derive(Serialize)]
struct SlotRecord {
    day: usize,
    from: String,
    to: String,
}

/// A group at a station: a slope, the demonstration on a slope, or the lesson.
#[derive(Serialize)]
struct PlaceRecord<'a> {
    day: usize,
    /// Place among the slots, from 0.
    slot: usize,
    /// From 1.
    group: usize,
    what: &'static str,
    slope: Option<&'a str>,
    instructor: Option<String>,
    brow: Vec<String>,
    foot: Vec<String>,
}

#[derive(Serialize)]
struct GroupRecord<'a> {
    /// Of several days the one on which these drivers are in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    day: Option<usize>,
    group: usize,
    drivers: Vec<DriverRecord<'a>>,
}

#[derive(Serialize)]
struct DriverRecord<'a> {
    id: &'a str,
    vehicle: &'a str,
}

/// The rotas of the days as a record; of a single day the one.
pub(super) fn record(days: &[(Course, Rota)]) -> RotaRecord<'_> {
    let mut all = RotaRecord {
        slots: Vec::new(),
        places: Vec::new(),
        groups: Vec::new(),
        proven_shortest: days.iter().all(|(_, rota)| rota.proven),
        seed: days.first().map_or(0, |(_, rota)| rota.seed),
    };
    for (day, (course, rota)) in (1..).zip(days) {
        let earlier = all.slots.len();
        let slot = |slot: &Slot| SlotRecord { day, from: clock_text(slot.start), to: clock_text(slot.end) };
        all.slots.extend(rota.slots.iter().map(slot));
        all.places.extend(rota.visits.iter().map(|visit| place(course, rota, visit, (day, earlier))));
        let driver = |at: &usize| {
            let driver = &course.roster.drivers[*at];
            DriverRecord { id: &driver.id, vehicle: &driver.vehicle }
        };
        let several = (days.len() > 1).then_some(day);
        let groups = (1..).zip(&rota.groups);
        let group = |(group, here): (usize, &Vec<usize>)| GroupRecord {
            day: several,
            group,
            drivers: here.iter().map(driver).collect(),
        };
        all.groups.extend(groups.map(group));
    }
    all
}

/// A visit of a day whose slots stand after so many of earlier days.
fn place<'a>(
    course: &'a Course,
    rota: &Rota,
    visit: &Visit,
    (day, earlier): (usize, usize),
) -> PlaceRecord<'a> {
    let at = |post: Post| {
        let here = rota
            .duties
            .iter()
            .filter(move |duty| (duty.slot, duty.station, duty.post) == (visit.slot, visit.station, post));
        here.map(|duty| course.people[duty.person].name.full().to_owned()).collect::<Vec<_>>()
    };
    let (what, slope) = of_station(course, visit.station);
    PlaceRecord {
        day,
        slot: earlier + visit.slot,
        group: visit.group + 1,
        what,
        slope,
        instructor: at(Post::Group).into_iter().next(),
        brow: at(Post::Brow),
        foot: at(Post::Foot),
    }
}

fn of_station(course: &Course, station: Station) -> (&'static str, Option<&str>) {
    match station {
        Station::Slope(slope) => ("drive", Some(&course.slopes[slope].id)),
        Station::Demonstration(slope) => ("demonstration", Some(&course.slopes[slope].id)),
        Station::Theory => ("lesson", None),
    }
}

/// What the engine makes of a course, with the course's own rule of recovery.
pub(super) fn judged(course: &Course) -> Reckoning {
    let mut reckoning = reckon(course);
    if rule::binds(course) {
        rule::apply(course, &mut reckoning, &recoveries(course, Depth::Likely).fetch);
    }
    reckoning
}

/// The rota of a day in a few lines: of several days which, its length and longest wait, then each group's day.
pub(super) fn read_back(course: &Course, rota: &Rota) -> String {
    let ends = rota.length().checked_sub(1).and_then(|last| rota.slots.get(last));
    let from = rota.slots.first().map_or_else(String::new, |slot| clock_text(slot.start));
    let to = ends.map_or_else(String::new, |slot| clock_text(slot.end));
    let proof = if rota.proven { "no shorter one exists" } else { "a shorter one may exist" };
    let wait = (0..rota.groups.len()).filter_map(|group| longest_wait(rota, group)).max();
    let wait = wait.map_or_else(String::new, |(minutes, from, group)| {
        format!(
            "; longest from one station to the next {minutes} min, group {} from {}",
            group + 1,
            clock_text(from)
        )
    });
    let date = course.day.date.as_ref().map_or_else(String::new, |date| format!(", {date}"));
    let today = course.today.as_ref();
    let day = today.map_or_else(String::new, |today| format!("day {} of {}{date}; ", today.number, today.of));
    let groups = rota.groups.len();
    let groups = if groups == 1 { "1 group".to_owned() } else { format!("{groups} groups") };
    let head = if rota.visits.is_empty() {
        format!(
            "{day}rota: {groups}, and none of them can drive any slope: see the fleet table, or `check --advise`\n"
        )
    } else {
        format!("{day}rota: {from} to {to}, {groups}, {proof}{wait}\n")
    };
    let here = rota.groups.iter().enumerate().filter(|(_, drivers)| !drivers.is_empty());
    let days = here.map(|(group, drivers)| {
        let count =
            if drivers.len() == 1 { "1 driver".to_owned() } else { format!("{} drivers", drivers.len()) };
        let stations = Some(day_of(course, rota, group)).filter(|stations| !stations.is_empty());
        let stations =
            stations.unwrap_or_else(|| "nothing: none of its vehicles can drive any slope".to_owned());
        format!("  group {}, {count}: {stations}\n", group + 1)
    });
    let given_up = rota.given_up.iter().map(|(group, station)| {
        let (what, slope) = of_station(course, *station);
        format!("  given up: group {} at {}\n", group + 1, slope.unwrap_or(what))
    });
    std::iter::once(head).chain(days).chain(given_up).collect()
}

/// A group's stations with their times.
fn day_of(course: &Course, rota: &Rota, group: usize) -> String {
    let visits = rota.visits.iter().filter(|visit| visit.group == group);
    let parts = visits.map(|visit| {
        let place = match of_station(course, visit.station) {
            ("drive", Some(slope)) => slope.to_owned(),
            (what, Some(slope)) => format!("{what} on {slope}"),
            (what, None) => what.to_owned(),
        };
        format!("{} {place}", clock_text(rota.slots[visit.slot].start))
    });
    parts.collect::<Vec<_>>().join(", ")
}

/// A group's longest time from the end of a station to the next one's start, min, with when it begins; lunch and
/// changeovers count. The earliest of several.
fn longest_wait(rota: &Rota, group: usize) -> Option<(u16, u16, usize)> {
    let at: Vec<Slot> =
        rota.visits.iter().filter(|visit| visit.group == group).map(|visit| rota.slots[visit.slot]).collect();
    let waits = at.windows(2).map(|two| (two[1].start.saturating_sub(two[0].end), two[0].end, group));
    waits.max_by_key(|(minutes, from, _)| (*minutes, std::cmp::Reverse(*from)))
}
