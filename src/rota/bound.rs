//! The fewest slots any rota needs, and why.

use std::cmp::Reverse;

use super::model::Model;
use super::{Bound, Ground};

impl Bound {
    /// From the loads of groups, stations and staff: in each slot a group is in one place, a station
    /// holds so many groups, and a person serves one station (the counting half of König's theorem on
    /// edge colouring, with the places counted as well).
    pub(super) fn of(model: &Model) -> Self {
        let mut grounds: Vec<Ground> = Vec::new();
        grounds.extend(busiest_group(model));
        grounds.extend(busiest_station(model));
        grounds.extend([false, true].into_iter().filter_map(|teaches| busiest_staff(model, teaches)));
        grounds.extend(longest_queue(model));
        grounds.sort_by_key(|ground| Reverse(ground.slots));
        Self { slots: grounds.first().map_or(0, |ground| ground.slots), grounds }
    }
}

fn busiest_group(model: &Model) -> Option<Ground> {
    let visits = model.wanted.iter().map(|row| row.iter().filter(|wanted| **wanted).count()).max()?;
    Some(Ground { slots: visits, why: format!("a group has {visits} stations to visit, one in each slot") })
}

fn busiest_station(model: &Model) -> Option<Ground> {
    let load = |at: usize| {
        let groups = model.wanted.iter().filter(|row| row[at]).count();
        (groups.div_ceil(model.stations[at].at_once.max(1)), groups)
    };
    let at = (0..model.stations.len()).max_by_key(|at| (load(*at).0, Reverse(*at)))?;
    let (slots, groups) = load(at);
    let station = &model.stations[at];
    let why = format!("{groups} groups visit {}, {} at a time", station.name, station.at_once);
    Some(Ground { slots, why })
}

/// For every station: its groups come in turn, none before what has to come first, and after the last there is time
/// for what has to follow (the bound by heads and tails of scheduling on one machine, Carlier 1982, with as many
/// places as the station has).
fn longest_queue(model: &Model) -> Option<Ground> {
    if !model.all {
        return None;
    }
    let to_come = |group: usize, at: usize| {
        model.wanted[group][at] && !model.done.iter().any(|visit| (visit[0], visit[1]) == (group, at))
    };
    let queue = |at: usize| {
        let groups = (0..model.groups.len()).filter(|group| to_come(*group, at));
        let ends: Vec<(usize, usize)> = groups
            .map(|group| model.reach(group, at))
            .map(|(before, after)| (before.max(model.past), after))
            .collect();
        let choices = ends.iter().flat_map(|(head, _)| ends.iter().map(move |(_, tail)| (*head, *tail)));
        choices
            .map(|(head, tail)| {
                let count = ends.iter().filter(|(before, after)| *before >= head && *after >= tail).count();
                (head + count.div_ceil(model.stations[at].at_once.max(1)) + tail, count, head, tail)
            })
            .filter(|(_, count, ..)| *count > 0)
            .max_by_key(|(slots, count, ..)| (*slots, *count))
    };
    let of_station = (0..model.stations.len()).filter_map(|at| Some((queue(at)?, at)));
    let ((slots, count, head, tail), at) =
        of_station.max_by_key(|((slots, ..), at)| (*slots, Reverse(*at)))?;
    let station = &model.stations[at];
    let before = if head > 0 { format!(", none before slot {}", head + 1) } else { String::new() };
    let after = if tail > 0 { format!(", and {tail} more come after it") } else { String::new() };
    let why = format!("{count} groups visit {}, {} at a time{before}{after}", station.name, station.at_once);
    Some(Ground { slots, why })
}

/// For every choice of stations: the people needed there over the day, shared by those who may serve
/// at least one of them.
fn busiest_staff(model: &Model, teaches: bool) -> Option<Ground> {
    let stations: Vec<usize> =
        (0..model.stations.len()).filter(|at| least_need(model, *at, teaches) > 0).collect();
    // With more stations than this only all of them and each alone are looked at.
    let many = stations.len() > 12;
    let full = (1_u32 << stations.len().min(12)) - 1;
    let choices: Vec<Vec<usize>> = if many {
        std::iter::once(stations.clone()).chain(stations.iter().map(|at| vec![*at])).collect()
    } else {
        (1..=full)
            .map(|mask| {
                (0..stations.len()).filter(|bit| mask >> bit & 1 == 1).map(|bit| stations[bit]).collect()
            })
            .collect()
    };
    let best = choices
        .into_iter()
        .filter_map(|choice| {
            let need: usize = choice.iter().map(|at| least_need(model, *at, teaches)).sum();
            let serve =
                |at: &usize| model.staff.iter().filter(|one| one.teaches == teaches && one.may[*at]).count();
            if choice.iter().any(|at| serve(at) == 0) {
                return None;
            }
            let people = model
                .staff
                .iter()
                .filter(|one| one.teaches == teaches && choice.iter().any(|at| one.may[*at]))
                .count();
            Some((need.div_ceil(people.max(1)), need, people, choice.len()))
        })
        .max_by_key(|(slots, _, _, size)| (*slots, *size))?;
    let (slots, need, people, size) = best;
    let who = if teaches { "instructor" } else { "marshal" };
    let on = if size == stations.len() { String::new() } else { format!(" on {size} of the stations") };
    let why = match people {
        1 => format!("{who}s are needed {need} times{on}, and 1 may serve there"),
        _ => format!("{who}s are needed {need} times{on}, and {people} may serve there"),
    };
    Some(Ground { slots, why })
}

/// Fewest places for staff over the day at a station.
fn least_need(model: &Model, at: usize, teaches: bool) -> usize {
    let station = &model.stations[at];
    let groups: Vec<usize> = (0..model.wanted.len()).filter(|group| model.wanted[*group][at]).collect();
    let sessions = groups.len().div_ceil(station.at_once.max(1));
    if !teaches {
        return sessions * station.marshals;
    }
    if station.is_slope() {
        groups.iter().map(|group| model.teachers[*group]).sum()
    } else {
        sessions * usize::from(model.ratio)
    }
}
