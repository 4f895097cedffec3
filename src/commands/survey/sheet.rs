//! A survey on one sheet: the points over the ground found, the stretches, and what to know.

use serde::Serialize;

use crate::page::meta::Meta;
use crate::quantity::{Digits, Shown, UnitSystem, units};
use crate::survey::{Found, Paste, Point, Survey, either_side};

/// Least reach of the drawing of what lies off, m.
const LEAST_REACH: f64 = 0.05;

/// The sheet.
#[derive(Serialize)]
pub(super) struct Sheet {
    pack: Meta,
    drawn: Drawn,
    rows: Vec<Row>,
    notes: Vec<String>,
    keys: String,
}

#[derive(Serialize)]
struct Drawn {
    line: Vec<[f64; 2]>,
    /// Level distance, height, how far above the line, and twice the standard uncertainty, m.
    points: Vec<[f64; 4]>,
    labels: Vec<Label>,
    reach: f64,
    above: String,
    below: String,
    short_bar: String,
    long_bar: String,
    alt: String,
    caption: String,
}

#[derive(Serialize)]
struct Label {
    x: f64,
    y: f64,
    text: String,
}

#[derive(Serialize)]
struct Row {
    from: String,
    to: String,
    length: String,
    gradient: String,
    sure: String,
}

impl Sheet {
    /// Of what is pasted, with the notes that were told; `name` is the table's, and `mark` that of what it holds.
    pub(super) fn of(paste: &Paste, (name, mark): (&str, &str), notes: Vec<String>, keys: String) -> Self {
        let survey = paste.survey;
        Self {
            pack: Meta::alone(name, paste.instrument.words, mark, paste.system == UnitSystem::Imperial),
            drawn: drawn(survey, paste.system),
            rows: survey.ground.stretches.iter().map(|found| row(found, paste.system)).collect(),
            notes,
            keys,
        }
    }
}

fn row(found: &Found, system: UnitSystem) -> Row {
    Row {
        from: length(found.from, system),
        to: length(found.to, system),
        length: length(found.length(), system),
        gradient: degrees(found.gradient),
        sure: either_side(found.sure),
    }
}

/// The ground found as places where it bends, at the height at which it lies best through the points.
fn line(survey: &Survey) -> Vec<[f64; 2]> {
    let mut at = [0.0, 0.0];
    let mut line = vec![at];
    for found in &survey.ground.stretches {
        at = [found.to, at[1] - (found.to - found.from) * libm::tan(found.gradient)];
        line.push(at);
    }
    let weight = |point: &Point| 1.0 / (point.unsure * point.unsure).max(1e-12);
    let sum: f64 = survey.points.iter().map(weight).sum();
    let off: f64 =
        survey.points.iter().map(|point| weight(point) * (point.height - height(&line, point.at))).sum();
    let by = if sum > 0.0 { off / sum } else { 0.0 };
    line.into_iter().map(|[x, y]| [x, y + by]).collect()
}

/// Height of a line at a place, m.
fn height(line: &[[f64; 2]], at: f64) -> f64 {
    let part = line.windows(2).find(|part| at <= part[1][0]).or(line.windows(2).last());
    part.map_or(0.0, |part| {
        let [[x, y], [x2, y2]] = [part[0], part[1]];
        y + (y2 - y) * (at - x) / (x2 - x).max(1e-9)
    })
}

fn drawn(survey: &Survey, system: UnitSystem) -> Drawn {
    let line = line(survey);
    let whole = |value: f64| (1000.0 * value).round() / 1000.0;
    let points: Vec<[f64; 4]> = survey
        .points
        .iter()
        .map(|point| {
            let off = point.height - height(&line, point.at);
            [point.at, point.height, off, 2.0 * point.unsure].map(whole)
        })
        .collect();
    let furthest = points.iter().map(|point| point[2].abs()).fold(LEAST_REACH, f64::max);
    // One reading that is wrong must not make all others look right.
    let mut sorted: Vec<f64> = points.iter().map(|point| point[2].abs() + point[3]).collect();
    sorted.sort_by(f64::total_cmp);
    let usual = sorted.get(sorted.len() * 9 / 10).copied().unwrap_or(LEAST_REACH);
    let reach = (1.5 * usual).clamp(LEAST_REACH, furthest.max(LEAST_REACH));
    let labels = survey.ground.stretches.iter().map(|found| {
        let middle = f64::midpoint(found.from, found.to);
        Label { x: whole(middle), y: whole(height(&line, middle)), text: degrees(found.gradient) }
    });
    let labels: Vec<Label> = labels.collect();
    let told: Vec<String> = survey
        .ground
        .stretches
        .iter()
        .map(|found| {
            format!(
                "{} to {}: {}",
                length(found.from, system),
                length(found.to, system),
                degrees(found.gradient)
            )
        })
        .collect();
    Drawn {
        line: line.iter().map(|place| place.map(whole)).collect(),
        labels,
        above: format!("{} above", fine(reach, system)),
        below: format!("{} below", fine(reach, system)),
        reach: whole(reach),
        short_bar: length(10.0, system),
        long_bar: length(20.0, system),
        alt: format!("{} readings over the ground found, from the side. {}.", points.len(), told.join("; ")),
        caption: "Rings: readings. Line: the ground found. Below, enlarged: how far each reading lies off it; a black dot lies further off than is drawn."
            .to_owned(),
        points,
    }
}

fn length(si: f64, system: UnitSystem) -> String {
    let unit = if system == UnitSystem::Imperial { &units::FOOT } else { &units::METRE };
    unit.behind(&Shown::of(unit.from_si(si), Digits::Decimals(1)).text)
}

/// A few centimetres or tenths of a foot.
fn fine(si: f64, system: UnitSystem) -> String {
    let unit = if system == UnitSystem::Imperial { &units::FOOT } else { &units::METRE };
    unit.behind(&Shown::of(unit.from_si(si), Digits::Decimals(2)).text)
}

fn degrees(angle: f64) -> String {
    units::DEGREE.behind(&Shown::of(angle.to_degrees(), Digits::Decimals(1)).text)
}
