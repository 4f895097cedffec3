//! Practical assessment: one sheet for each slope that a gloved hand can fill in, and the record of one candidate.

mod criteria;
mod moderation;

use serde::Serialize;

use super::making::measured::angle_and_grade;
use super::sheets::Issue;
use crate::course::{Course, Driver, Slope, Vehicle};
use crate::engine::{Mark, Pair as OnSlope, Reckoning};
use crate::page::pace::{Pace, Pegs};
use crate::page::words::vehicle_mark;
use crate::page::{Meta, Show};
use criteria::{Criterion, RULES};

pub use moderation::{Agreement, Moderation, Observed, Pair, read_pairs};

/// Rows for drivers on a sheet where nobody is known by name.
const ROWS: usize = 7;

/// Observation sheets of every slope that somebody drives or must refuse.
#[derive(Serialize)]
pub struct Observation {
    pack: Meta,
    /// Every criterion of the course's sheets, for the moderation sheet.
    criteria: Vec<&'static str>,
    slopes: Vec<SlopeSheet>,
    rules: &'static [&'static str],
    /// What a candidate's record has a line for.
    runs: Vec<String>,
    filled: Option<Moderation>,
}

#[derive(Serialize)]
struct SlopeSheet {
    id: String,
    name: String,
    grade: String,
    /// Where the assessor stands, in the course's words for the spotter.
    stand: Option<String>,
    /// How far apart the pegs are, and the least seconds between them.
    apart: String,
    seconds: String,
    limit: String,
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
    /// Seconds from peg to peg that are to be expected.
    seconds: String,
    /// Fewest seconds with which the pace is met.
    least: String,
    /// Where it must stand after STOP on the run-out.
    stop: String,
    lamps: &'static str,
}

impl Observation {
    /// The blank sheets of a course, with the figures of each vehicle on each slope.
    pub fn of(issue: &Issue, reckoning: &Reckoning) -> Self {
        let slopes = slopes(issue, reckoning);
        let asked = |name: &str| {
            slopes.iter().any(|slope| slope.criteria.iter().any(|criterion| criterion.name == name))
        };
        Self {
            pack: meta(issue, "Practical assessment", "observation"),
            criteria: criteria::all().into_iter().map(|one| one.name).filter(|name| asked(name)).collect(),
            runs: slopes.iter().map(|slope| format!("{} {}", slope.id, slope.name)).collect(),
            slopes,
            rules: &RULES,
            filled: None,
        }
    }

    /// The moderation sheet of what two assessors saw.
    pub fn moderated(issue: &Issue, moderation: Moderation) -> Self {
        Self {
            pack: meta(issue, "Moderation", "moderation"),
            criteria: Vec::new(),
            slopes: Vec::new(),
            rules: &RULES,
            runs: Vec::new(),
            filled: Some(moderation),
        }
    }
}

fn meta(issue: &Issue, title: &str, file: &str) -> Meta {
    Meta::of_record(issue.course, title, "assessors", file, issue.fingerprint)
}

fn slopes(issue: &Issue, reckoning: &Reckoning) -> Vec<SlopeSheet> {
    (1..)
        .zip(&issue.course.slopes)
        .filter_map(|(no, slope)| slope_sheet(issue, reckoning, format!("S{no}"), slope))
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
        stand: slope.spotter.as_ref().map(|words| words.short().trim_end_matches('.').to_owned()),
        apart: pegs.apart.text(),
        seconds: pegs.least.text(),
        limit: show.limit(limit).text(),
        vehicles,
        stay,
        criteria,
        drivers: drivers(issue),
    })
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
        seconds: pace.map_or_else(|| "–".to_owned(), |pace| pace.pegs.text()),
        stop: judgement.stop.map_or_else(|| "–".to_owned(), |metres| whole_up(show, metres)),
        lamps: match judgement.mark {
            Mark::Within => "dark",
            Mark::Near => "dark, or a touch",
            _ => "on and off",
        },
    }
}

/// What a thumb on a watch is out by, s. Judgement, no source.
const THUMB: f64 = 0.5;

/// A distance, upwards to whole metres or feet: what pacing it out can tell.
fn whole_up(show: Show, metres: f64) -> String {
    format!("{:.0} {}", libm::ceil(show.length_number(metres)), show.length_unit())
}
