//! Drivers into groups, and staff by what they may run.

use crate::course::{Course, Experience, Role};
use crate::engine::{Reckoning, Standing};

/// Groups of drivers, by their place in the roster: as few and as even as the largest size allows,
/// people of like experience together, those who share a vehicle always together.
pub fn groups_of(course: &Course) -> Vec<Vec<usize>> {
    let drivers = &course.roster.drivers;
    let Some(rules) = &course.rota else { return Vec::new() };
    if drivers.is_empty() {
        return Vec::new();
    }
    let most = usize::from(rules.group_size.number.max(1));
    let mut units = sharing(course);
    units.sort_by_key(|unit| (level(course, unit), unit[0]));
    let mut count = drivers.len().div_ceil(most);
    loop {
        if let Some(groups) = dealt(&units, count, drivers.len(), most) {
            return groups;
        }
        count += 1;
    }
}

/// Drivers of one vehicle, the first of the roster first.
fn sharing(course: &Course) -> Vec<Vec<usize>> {
    let mut units: Vec<Vec<usize>> = Vec::new();
    for (at, driver) in course.roster.drivers.iter().enumerate() {
        let same = units.iter_mut().find(|unit| course.roster.drivers[unit[0]].vehicle == driver.vehicle);
        match same {
            Some(unit) => unit.push(at),
            None => units.push(vec![at]),
        }
    }
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
