//! Where the energy of a descent goes, and how warm a disc gets.

use serde::Serialize;

use super::{Chart, Series, round, stands_after, way_word};
use crate::course::{Course, Slope, Vehicle};
use crate::engine::{BrakeHeat, Ledger, Outcome, Pair, Way};
use crate::page::figure::Show;
use crate::page::words::named;

/// Bars of energy.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct HeatBars {
    pub bars: Vec<Bar>,
    pub alt: String,
    pub caption: String,
}

/// One bar.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Bar {
    pub label: &'static str,
    pub parts: Vec<Part>,
}

/// A part of a bar.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Part {
    pub sink: &'static str,
    pub name: &'static str,
    pub kj: f64,
    pub text: String,
}

/// Where the energy goes, three ways.
pub(crate) fn heat(
    course: &Course,
    slope: &Slope,
    vehicle: &Vehicle,
    pair: &Pair,
    show: Show,
) -> Option<HeatBars> {
    let bars: Vec<(Way, Ledger)> = [Way::Locked, Way::Braked, Way::Geared]
        .into_iter()
        .filter_map(|way| Some((way, pair.way(way)?.descent.likely.ledger)))
        .collect();
    if bars.is_empty() {
        return None;
    }
    let sums: Vec<String> = bars.iter().map(|(way, ledger)| bar_in_words(*way, ledger, show)).collect();
    Some(HeatBars {
        bars: bars.iter().map(|(way, ledger)| bar(*way, ledger, show)).collect(),
        alt: format!(
            "Where the energy goes on {} with {}. {}.",
            slope.name,
            named(course, vehicle),
            sums.join(". ")
        ),
        caption: heat_caption(course, slope, vehicle, pair, show),
    })
}

/// What the bars show; a slide that ends on the slope has come down only a part of the height.
fn heat_caption(course: &Course, slope: &Slope, vehicle: &Vehicle, pair: &Pair, show: Show) -> String {
    let slide = pair
        .way(Way::Locked)
        .map(|told| &told.descent)
        .filter(|descent| descent.likely_outcome == Outcome::StopsOnSlope)
        .map(|descent| stands_after(course, slope, descent.distance.likely, show));
    let stands =
        pair.way(Way::Locked).is_some_and(|told| told.descent.likely_outcome == Outcome::StopsInRunOut);
    let height = pair.way(Way::Geared).map_or_else(String::new, |told| {
        format!(
            " The height is worth {}; the engine pushes a little, a run-out may rise.",
            show.energy(told.descent.likely.ledger.height, true).text()
        )
    });
    let locked = match slide {
        Some(slide) => format!(
            "In gear and on the foot brake: the whole height. Locked it stands {slide}, so its bar is short."
        ),
        None if stands => {
            "The same height, three ways down; locked, until it stands in the run-out.".to_owned()
        }
        None => "The same height, three ways down.".to_owned(),
    };
    format!(
        "{}, {}, likely values. {locked}{height} Locked wheels leave the brakes cold: the heat is made between tyre and ground.",
        slope.name,
        named(course, vehicle)
    )
}

fn sinks(ledger: &Ledger) -> [(&'static str, &'static str, f64); 6] {
    [
        ("contact", "tyre–ground contact", ledger.ground),
        ("brakes", "brakes", ledger.brakes),
        ("engine", "engine", ledger.engine),
        ("driveline", "driveline", ledger.driveline),
        ("rolling", "rolling and air", ledger.rolling + ledger.air),
        ("speed", "left as speed", ledger.speed),
    ]
}

fn bar(way: Way, ledger: &Ledger, show: Show) -> Bar {
    let parts = sinks(ledger)
        .into_iter()
        .filter(|(.., joules)| *joules > 0.0)
        .map(|(sink, name, joules)| Part {
            sink,
            name,
            kj: round(joules / 1000.0),
            text: show.energy(joules, true).text(),
        })
        .collect();
    Bar { label: way_word(way).0, parts }
}

fn bar_in_words(way: Way, ledger: &Ledger, show: Show) -> String {
    let parts: Vec<String> = sinks(ledger)
        .into_iter()
        .filter(|(.., joules)| *joules >= 500.0)
        .map(|(_, name, joules)| format!("{name} {}", show.energy(joules, true).text()))
        .collect();
    format!("{}: {}", way_word(way).0, parts.join(", "))
}

/// Temperature of the hottest axle's brakes over the planned foot-brake runs.
pub(crate) fn disc(
    course: &Course,
    slope: &Slope,
    vehicle: &Vehicle,
    heat: &BrakeHeat,
    run_time: f64,
    show: Show,
) -> Option<Chart> {
    let axle = heat.axles.iter().max_by(|a, b| a.rise.total_cmp(&b.rise))?;
    let air = course.day.air.si();
    let minutes = |seconds: f64| round(seconds / 60.0);
    let degrees = |kelvin: f64| round(show.temperature_number(kelvin));
    let (mut x, mut y) = (vec![0.0], vec![degrees(air)]);
    let mut start = 0.0;
    for (run, end) in axle.ends.iter().enumerate() {
        if run > 0 {
            // What was left of the last run when this one began.
            x.push(minutes(start));
            y.push(degrees((end - axle.rise).max(air)));
        }
        x.push(minutes(start + run_time));
        y.push(degrees(*end));
        start += run_time + course.day.run_gap.si();
    }
    let limit = course.limits.brake_temperature.si();
    let last = axle.ends.last().copied().unwrap_or(air);
    Some(Chart {
        series: vec![Series {
            label: format!("{} {}", axle.axle.word(), axle.kind.word()),
            way: "braked",
            x,
            y,
        }],
        marks: Vec::new(),
        limit: Some(degrees(limit)),
        limit_text: format!("course limit {}", show.temperature(limit, false).text()),
        x_label: "minutes".to_owned(),
        y_label: format!("temperature, {}", show.temperature_unit()),
        alt: format!(
            "{} of {} over {} foot-brake runs on {}: {} at the end of the last, limit {}.",
            axle.kind.word(),
            named(course, vehicle),
            axle.ends.len(),
            slope.name,
            show.temperature(last, true).text(),
            show.temperature(limit, false).text()
        ),
        caption: format!(
            "{} runs on the foot brake down {}: the peaks creep up until each pause carries away as much as a run puts in. Estimated; the waits can be off by half either way.",
            axle.ends.len(),
            slope.name
        ),
    })
}
