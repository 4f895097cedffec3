//! Practical assessment: one sheet for each slope that a gloved hand can fill in, and the record of one candidate.

mod criteria;
mod moderation;
mod oral;
mod rules;

use serde::Serialize;

use super::making::measured::angle_and_grade;
use super::sheets::Issue;
use crate::course::{Course, Driver, Sight, Slope, Vehicle};
use crate::engine::{Mark, Pair as OnSlope, Reckoning};
use crate::page::pace::{Pace, Pegs};
use crate::page::words::vehicle_mark;
use crate::page::{Meta, Show};
use criteria::Criterion;
pub use oral::{Oral, oral};

pub use moderation::{Agreement, Moderation, Observed, Pair, read_pairs};

/// Rows for drivers on a sheet where nobody is known by name.
const ROWS: usize = 5;

/// Observation sheets of every slope that somebody drives or must refuse.
#[derive(Serialize)]
pub struct Observation {
    pack: Meta,
    /// Every criterion of the course's sheets, for the moderation sheet.
    criteria: Vec<&'static str>,
    slopes: Vec<SlopeSheet>,
    rules: Vec<String>,
    /// What a candidate's record has a line for.
    runs: Vec<rules::Line>,
    /// What may be asked aloud.
    oral: Vec<Oral>,
    filled: Option<Moderation>,
}

#[derive(Serialize)]
struct SlopeSheet {
    id: String,
    name: String,
    grade: String,
    /// Where the assessor stands, if the course says so.
    stand: Option<String>,
    /// Who sees which criteria.
    views: Vec<String>,
    /// How far apart the pegs are.
    apart: String,
    vehicles: Vec<VehicleRow>,
    /// Marks of the vehicles that do not drive here.
    stay: Vec<String>,
    criteria: Vec<Criterion>,
    drivers: Vec<DriverRow>,
}

/// A row of the grid; empty for who is not on the list.
#[derive(Default, Serialize)]
struct DriverRow {
    name: String,
    vehicle: String,
}

#[derive(Serialize)]
struct VehicleRow {
    mark: String,
    name: String,
    gear: String,
    /// Fewest seconds from peg to peg with which the pace is met.
    least: String,
    /// Where it must stand after STOP on the run-out.
    stop: String,
    /// How often and how long brake lamps may be on.
    lamps: &'static str,
}

impl Observation {
    /// The blank sheets of a course, with the figures of each vehicle on each slope.
    pub fn of(issue: &Issue, reckoning: &Reckoning, oral: Vec<Oral>) -> Self {
        let sheets = slopes(issue, reckoning);
        let names: Vec<String> =
            sheets.iter().map(|(_, sheet)| format!("{} {}", sheet.id, sheet.name)).collect();
        let asked_on: Vec<rules::Asked> = names
            .iter()
            .zip(&sheets)
            .map(|(name, (slope, sheet))| {
                (name.as_str(), *slope, !sheet.vehicles.is_empty(), sheet.stay.as_slice())
            })
            .collect();
        let (runs, rules) = rules::of(issue.course, &asked_on);
        let slopes: Vec<SlopeSheet> = sheets.into_iter().map(|(_, sheet)| sheet).collect();
        let asked = |name: &str| {
            slopes.iter().any(|slope| slope.criteria.iter().any(|criterion| criterion.name == name))
        };
        Self {
            pack: meta(issue, "Practical assessment", "observation"),
            criteria: criteria::all().into_iter().map(|one| one.name).filter(|name| asked(name)).collect(),
            runs,
            slopes,
            rules,
            oral,
            filled: None,
        }
    }

    /// The moderation sheet of what two assessors saw.
    pub fn moderated(issue: &Issue, moderation: Moderation) -> Self {
        Self {
            pack: meta(issue, "Moderation", "moderation"),
            criteria: Vec::new(),
            slopes: Vec::new(),
            rules: Vec::new(),
            runs: Vec::new(),
            oral: Vec::new(),
            filled: Some(moderation),
        }
    }
}

fn meta(issue: &Issue, title: &str, file: &str) -> Meta {
    Meta::of_record(issue.course, title, "assessors", file, issue.fingerprint)
}

fn slopes<'a>(issue: &Issue<'a>, reckoning: &Reckoning) -> Vec<(&'a Slope, SlopeSheet)> {
    (1..)
        .zip(&issue.course.slopes)
        .filter_map(|(no, slope)| Some((slope, slope_sheet(issue, reckoning, format!("S{no}"), slope)?)))
        .collect()
}

/// The sheet of a slope; none where nobody drives and nobody is refused, since nothing can be seen there.
fn slope_sheet(issue: &Issue, reckoning: &Reckoning, id: String, slope: &Slope) -> Option<SlopeSheet> {
    let course = issue.course;
    let show = Show::new(course.units);
    let judged: Vec<(&Vehicle, &OnSlope)> = course
        .vehicles
        .iter()
        .filter_map(|vehicle| Some((vehicle, reckoning.pair(&slope.id, &vehicle.id)?)))
        .collect();
    let vehicles: Vec<VehicleRow> = judged
        .iter()
        .filter(|(_, pair)| pair.judged.mark.goes())
        .map(|(vehicle, pair)| vehicle_row(course, slope, vehicle, pair))
        .collect();
    let stay: Vec<String> = judged
        .iter()
        .filter(|(_, pair)| pair.judged.mark == Mark::Refused)
        .map(|(vehicle, _)| vehicle_mark(course, &vehicle.id))
        .collect();
    let mut criteria = if vehicles.is_empty() { Vec::new() } else { criteria::driven(slope) };
    if !stay.is_empty() {
        criteria.push(criteria::refused());
    }
    let limit = course.limits.descent_speed.si();
    let pegs = Pegs::of(Some(slope), limit, show);
    (!criteria.is_empty()).then(|| SlopeSheet {
        id,
        name: slope.name.short(),
        grade: angle_and_grade(slope.steepest().gradient.si(), course.units),
        stand: slope.assessor.as_ref().map(|place| place.stands.short().trim_end_matches('.').to_owned()),
        views: views(slope, &criteria),
        apart: pegs.apart.text(),
        vehicles,
        stay,
        criteria,
        drivers: drivers(issue),
    })
}

/// Who sees which criteria, by their numbers: what cannot be seen from the assessor's place is somebody else's to see.
fn views(slope: &Slope, criteria: &[Criterion]) -> Vec<String> {
    // Where the course names no place, one is chosen from which these two are seen.
    let sees = slope.assessor.as_ref().map_or(vec![Sight::Line, Sight::Foot], |place| place.sees.clone());
    let numbers = |seen: &dyn Fn(Sight) -> bool| {
        let all = (1..).zip(criteria).filter(|(_, one)| seen(one.from));
        all.map(|(no, _): (usize, _)| no.to_string()).collect::<Vec<_>>().join(", ")
    };
    let own = numbers(&|from| sees.contains(&from));
    let others = [
        (Sight::Brow, "The marshal at the brow sees", " and tells you by radio"),
        (Sight::Line, "A second assessor beside the line sees", ""),
        (Sight::Foot, "Somebody posted beside the foot sees", " and tells you by radio"),
    ];
    let told = others
        .into_iter()
        .filter(|(sight, ..)| !sees.contains(sight))
        .map(|(sight, who, how)| (who, numbers(&|from| from == sight), how));
    std::iter::once(("You see", own, ""))
        .chain(told)
        .filter(|(_, which, _)| !which.is_empty())
        .map(|(who, which, how)| format!("{who} {which}{how}."))
        .collect()
}

/// Names and vehicles for the grid, and three rows for who is not on the list; blank rows where there is no list.
fn drivers(issue: &Issue) -> Vec<DriverRow> {
    let course = issue.course;
    let row = |driver: &Driver| DriverRow {
        name: driver.name.short(),
        vehicle: vehicle_mark(course, &driver.vehicle),
    };
    let mut rows: Vec<DriverRow> = course.roster.drivers.iter().map(row).collect();
    rows.resize_with(if rows.is_empty() { ROWS } else { rows.len() + 3 }, DriverRow::default);
    rows
}

fn vehicle_row(course: &Course, slope: &Slope, vehicle: &Vehicle, pair: &OnSlope) -> VehicleRow {
    let show = Show::new(course.units);
    let judgement = &pair.judged;
    let limit = course.limits.descent_speed.si();
    let told = judgement.way.and_then(|way| pair.way(way));
    let pace = told.map(|told| Pace::of(vehicle, slope, (told, judgement.top_speed), limit, show));
    let allowed = Pegs::of(Some(slope), limit, show).seconds;
    // What holds it back must show: never quicker than it is expected, less what a thumb on a watch is out by.
    let own = pace.as_ref().map_or(0.0, |pace| libm::floor((pace.fewest - THUMB) * 2.0) / 2.0);
    VehicleRow {
        least: format!("{} s", own.max(allowed)),
        mark: vehicle_mark(course, &vehicle.id),
        name: vehicle.name.short(),
        gear: judgement.gear.map_or_else(|| "–".to_owned(), |gear| gear.to_string()),
        stop: judgement.stop.map_or_else(|| "–".to_owned(), |metres| whole_up(show, metres)),
        lamps: match judgement.mark {
            Mark::Within => "dark",
            Mark::Near => "twice at most, 2 s each",
            _ => "on and off, no stand",
        },
    }
}

/// What a thumb on a watch is out by, s. Judgement, no source.
const THUMB: f64 = 0.5;

/// A distance, upwards to whole metres or feet: what pacing it out can tell.
fn whole_up(show: Show, metres: f64) -> String {
    format!("{:.0} {}", libm::ceil(show.length_number(metres)), show.length_unit())
}
