//! Drivers into groups, and staff by what they may run.

use std::cmp::Reverse;

use super::Rota;
use super::heat::minutes_needed;
use super::missing::Missing;
use crate::course::{Course, Experience, Role, Vehicle};
use crate::engine::{Reckoning, Standing};

/// Groups of the drivers who come today, by their place in the roster: as few and as even as the largest size
/// allows; those who come or go at the same time together, then people of like experience; those who share a vehicle
/// and those who sit beside each other always. After a first day the groups stay, and who is new joins them.
pub fn groups_of(course: &Course) -> Vec<Vec<usize>> {
    let Some(rules) = &course.rota else { return Vec::new() };
    let most = usize::from(rules.group_size.number.max(1));
    let mut units = sharing(course);
    units.sort_by_key(|unit| (hours(course, unit), level(course, unit), unit[0]));
    let drivers: usize = units.iter().map(Vec::len).sum();
    if drivers == 0 {
        return Vec::new();
    }
    if !course.before().groups.is_empty() {
        return joined(course, &units, most);
    }
    let mut count = drivers.div_ceil(most);
    loop {
        if let Some(groups) = dealt(&units, count, drivers, most) {
            return groups;
        }
        count += 1;
    }
}

/// The groups of the day before, with those who are new today: in groups of their own where there must be more
/// groups, else where there is room, together and among people of like experience.
fn joined(course: &Course, units: &[Vec<usize>], most: usize) -> Vec<Vec<usize>> {
    let here = |at: &usize| course.driver_today(*at).is_some();
    let before = &course.before().groups;
    let mut groups: Vec<Vec<usize>> =
        before.iter().map(|group| group.iter().copied().filter(here).collect()).collect();
    let kept = groups.len();
    let total: usize = units.iter().map(Vec::len).sum();
    let in_use = |groups: &[Vec<usize>]| groups.iter().filter(|group| !group.is_empty()).count();
    for unit in units {
        let new: Vec<usize> =
            unit.iter().copied().filter(|at| !groups.iter().any(|group| group.contains(at))).collect();
        if new.is_empty() {
            continue;
        }
        let mates = |group: &Vec<usize>| group.iter().any(|at| unit.contains(at));
        if let Some(theirs) = groups.iter().position(mates) {
            make_room(course, units, &mut groups, theirs, most.saturating_sub(new.len()));
            if groups[theirs].len() + new.len() > most {
                // Nobody can make room: those of the car have a group of their own.
                groups[theirs].retain(|at| !unit.contains(at));
                groups.push(unit.clone());
                continue;
            }
        }
        let alike = |group: &Vec<usize>| {
            let least = group.iter().map(|at| course.roster.drivers[*at].experience).min();
            (least.unwrap_or_default() as u8).abs_diff(level(course, &new) as u8)
        };
        let among_new = |at: usize| at >= kept || groups[at].iter().any(|one| course.is_new_today(*one));
        let more = in_use(&groups) < total.div_ceil(most);
        let room = |at: &usize| {
            let old_only = *at < kept && more && !mates(&groups[*at]);
            !groups[*at].is_empty() && groups[*at].len() + new.len() <= most && !old_only
        };
        let best = (0..groups.len()).filter(room).min_by_key(|at| {
            let group = &groups[*at];
            (!mates(group), !among_new(*at), alike(group), group.len())
        });
        match best {
            Some(at) => groups[at].extend(new),
            None => groups.push(new),
        }
    }
    groups
}

/// Makes room in a group for those who come in the car of one of it, as one car is in one place: whoever comes alone
/// goes to the group with room whose experience is nearest, until no more than so many are left.
fn make_room(course: &Course, units: &[Vec<usize>], groups: &mut [Vec<usize>], full: usize, left: usize) {
    let most = course.rota.as_ref().map_or(0, |rules| usize::from(rules.group_size.number));
    let experience = |at: usize| course.roster.drivers[at].experience as u8;
    while groups[full].len() > left {
        let alone = |at: &usize| units.iter().any(|unit| unit.as_slice() == [*at]);
        let open = |to: &usize| *to != full && !groups[*to].is_empty() && groups[*to].len() < most;
        let ways = (0..groups.len()).filter(open).flat_map(|to| {
            let level = groups[to].iter().map(|at| experience(*at)).min().unwrap_or_default();
            let movers = groups[full].iter().copied().filter(alone);
            movers.map(move |one| (experience(one).abs_diff(level), one, to))
        });
        let Some((_, one, to)) = ways.min() else { return };
        groups[full].retain(|at| *at != one);
        groups[to].push(one);
    }
}

/// From when to when everybody of a unit is there.
fn hours(course: &Course, unit: &[usize]) -> (u16, Reverse<u16>) {
    let times = || unit.iter().filter_map(|at| course.driver_today(*at));
    (times().map(|(from, _)| from).max().unwrap_or(0), Reverse(times().map(|(_, to)| to).min().unwrap_or(0)))
}

/// The groups of the day as it is now: those made before without whoever is missing, and whoever was in none
/// of them in a group with room, the one that has fewest steps behind it.
pub(super) fn groups_today(
    course: &Course,
    reckoning: &Reckoning,
    missing: &Missing,
    before: Option<&Rota>,
) -> Vec<Vec<usize>> {
    let there = |driver: &usize| !missing.drivers.contains(driver);
    let Some(before) = before else {
        return groups_of(course)
            .into_iter()
            .map(|group| group.into_iter().filter(there).collect())
            .collect();
    };
    let mut groups: Vec<Vec<usize>> =
        before.groups.iter().map(|group| group.iter().copied().filter(there).collect()).collect();
    let drivers = &course.roster.drivers;
    let most = course.rota.as_ref().map_or(0, |rules| usize::from(rules.group_size.number));
    let done = |group: usize| {
        let past = |slot: usize| before.slots.get(slot).is_some_and(|slot| slot.start < missing.from);
        before.visits.iter().filter(|visit| visit.group == group && past(visit.slot)).count()
    };
    for new in (0..drivers.len()).filter(there) {
        if groups.iter().any(|group| group.contains(&new)) {
            continue;
        }
        // Who shares a car comes to its group, however full: one car is in one place.
        let shares = |group: &Vec<usize>| group.iter().any(|at| drivers[*at].vehicle == drivers[new].vehicle);
        if let Some(theirs) = groups.iter().position(shares) {
            groups[theirs].push(new);
            continue;
        }
        let alike = |group: &Vec<usize>| {
            let least = group.iter().map(|at| drivers[*at].experience).min().unwrap_or_default();
            (least as u8).abs_diff(drivers[new].experience as u8)
        };
        let room = |at: &usize| {
            let with: Vec<usize> = groups[*at].iter().copied().chain([new]).collect();
            with.len() <= most && in_time(course, reckoning, before, &with)
        };
        let best = (0..groups.len())
            .filter(room)
            .min_by_key(|at| (alike(&groups[*at]), done(*at), groups[*at].len()));
        match best {
            Some(at) => groups[at].push(new),
            None => groups.push(vec![new]),
        }
    }
    groups
}

/// Whether a group makes its runs within a slot, on every slope.
fn in_time(course: &Course, reckoning: &Reckoning, rota: &Rota, group: &[usize]) -> bool {
    let Some(slot) = rota.slots.first() else { return true };
    (0..course.slopes.len()).all(|slope| {
        let driving = group.iter().filter(|driver| may_drive(course, reckoning, **driver, slope));
        let ids = driving.map(|driver| &course.roster.drivers[*driver].vehicle);
        let vehicles: Vec<&Vehicle> =
            ids.filter_map(|id| course.vehicles.iter().find(|vehicle| vehicle.id == *id)).collect();
        minutes_needed(course, reckoning, slope, &vehicles) <= slot.end - slot.start
    })
}

/// Drivers of one vehicle who are there today, and who sits beside them; the first of the roster first.
fn sharing(course: &Course) -> Vec<Vec<usize>> {
    let mut units: Vec<Vec<usize>> = Vec::new();
    let drivers = &course.roster.drivers;
    for (at, driver) in drivers.iter().enumerate().filter(|(at, _)| course.driver_today(*at).is_some()) {
        let with = |other: &usize| {
            let other_one = &drivers[*other];
            let beside = driver.beside == Some(*other) || other_one.beside == Some(at);
            other_one.vehicle == driver.vehicle || beside
        };
        // Whoever joins two units makes one of them.
        let (mut mine, others): (Vec<Vec<usize>>, _) =
            units.into_iter().partition(|unit| unit.iter().any(with));
        units = others;
        let mut unit = mine.concat();
        mine.clear();
        unit.push(at);
        unit.sort_unstable();
        units.push(unit);
    }
    units.sort_by_key(|unit| unit[0]);
    units
}

fn level(course: &Course, unit: &[usize]) -> Experience {
    unit.iter().map(|at| course.roster.drivers[*at].experience).min().unwrap_or_default()
}

/// The units in order into so many groups, evenly; none when one grows too large and could be split.
fn dealt(units: &[Vec<usize>], count: usize, total: usize, most: usize) -> Option<Vec<Vec<usize>>> {
    let mut groups: Vec<Vec<usize>> = vec![Vec::new(); count];
    let (mut at, mut placed) = (0, 0);
    for unit in units {
        let target = ((at + 1) * total).div_ceil(count);
        if placed + unit.len() > target && !groups[at].is_empty() && at + 1 < count {
            at += 1;
        }
        groups[at].extend(unit);
        placed += unit.len();
    }
    let alone =
        |group: &Vec<usize>| units.iter().any(|unit| unit.len() == group.len() && unit[0] == group[0]);
    let fits = groups.iter().all(|group| group.len() <= most || alone(group));
    fits.then(|| groups.into_iter().filter(|group| !group.is_empty()).collect())
}

/// Whether somebody takes part as marshal or as instructor; none for others.
pub(super) fn teaches(role: Role) -> Option<bool> {
    match role {
        Role::Instructor => Some(true),
        Role::Marshal | Role::Spotter => Some(false),
        _ => None,
    }
}

/// Whether a driver's vehicle may go on a slope, by the engine's verdict.
pub(super) fn may_drive(course: &Course, reckoning: &Reckoning, driver: usize, slope: usize) -> bool {
    let (Some(driver), Some(slope)) = (course.roster.drivers.get(driver), course.slopes.get(slope)) else {
        return false;
    };
    reckoning.pair(&slope.id, &driver.vehicle).is_some_and(|pair| pair.standing != Standing::NotHere)
}
