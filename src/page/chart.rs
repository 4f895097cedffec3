//! Drawings as the templates see them: plain numbers in the page's units, with what to say about them.

mod ground;
mod heat;

use serde::Serialize;

use crate::course::{Course, Ground, Slope, Soil, Vehicle};
use crate::engine::{Outcome, Pair, Trace, Way, runaway, steer, traces};
use crate::page::figure::Show;
use crate::page::words::named;

pub(crate) use ground::{Forces, HoldBand, Side, forces, hold_band, side};
pub(crate) use heat::{HeatBars, disc, heat};

/// A line chart.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Chart {
    pub series: Vec<Series>,
    pub marks: Vec<Mark>,
    pub limit: Option<f64>,
    pub limit_text: String,
    pub x_label: String,
    pub y_label: String,
    pub alt: String,
    pub caption: String,
}

/// One curve.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Series {
    pub label: String,
    pub way: &'static str,
    pub x: Vec<f64>,
    pub y: Vec<f64>,
}

/// A point with its name.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Mark {
    pub x: f64,
    pub y: f64,
    pub text: String,
    pub dx: f64,
    pub dy: f64,
    pub ax: f64,
}

fn way_word(way: Way) -> (&'static str, &'static str) {
    match way {
        Way::Locked => ("locked", "locked"),
        Way::Braked => ("foot brake", "braked"),
        Way::Geared | Way::Assisted => ("in gear", "geared"),
    }
}

/// The curve of wheels that lock half-way down.
const AT_THE_LIMIT: &str = "locked at the limit";
const FROM_HALF_WAY: &str = " Locked: half-way down the steepest stretch, at the course’s limit, low end of the grip, to the end of that stretch.";

/// The slide that runs away, where a lock at the brow would stop at once and teach that locking stops a vehicle.
pub(crate) fn slides_on(course: &Course, slope: &Slope, pair: &Pair) -> Option<Trace> {
    let stops = pair.way(Way::Locked)?.descent.likely_outcome == Outcome::StopsOnSlope;
    runaway(course, slope).filter(|_| stops)
}

/// A slide too short to be told as a figure, m: it would teach that locking stops a vehicle.
pub(crate) const STRIDE: f64 = 1.0;

/// Up to what gradient a slope is gentle, rad: 10°. Judgement.
const GENTLE: f64 = 10.0 * std::f64::consts::PI / 180.0;

/// Why locked wheels stop at once on this ground: an exception, and no rule.
pub(crate) fn exception(course: &Course, slope: &Slope) -> &'static str {
    let (surface, steepest) = (course.surface_of(slope), slope.steepest().gradient.si());
    match surface.ground {
        _ if libm::tan(steepest) >= surface.sliding.low => {
            "on likely grip alone; at its low end they do not stop"
        }
        Ground::Loose => "the exception of loose ground",
        Ground::Firm if steepest < GENTLE && surface.soil != Soil::Wet => {
            "the exception of gentle dry ground"
        }
        Ground::Firm => "the exception of ground with grip to spare",
    }
}

/// Where locked wheels stand: after how far, or within a stride and why that teaches nothing.
fn stands_after(course: &Course, slope: &Slope, gone: f64, show: Show) -> String {
    if gone < STRIDE {
        return format!("within a stride, not steering, {}", exception(course, slope));
    }
    format!("after {}, not steering", show.length(gone, true).text())
}

/// Speed down a slope, three ways.
pub(crate) fn run(
    course: &Course,
    slope: &Slope,
    vehicle: &Vehicle,
    pair: &Pair,
    show: Show,
) -> Option<Chart> {
    let mut traces: Vec<(&str, Trace)> = traces(course, slope, vehicle, pair)
        .into_iter()
        .map(|trace| (way_word(trace.way).0, trace))
        .collect();
    if traces.is_empty() {
        return None;
    }
    let worst = slides_on(course, slope, pair);
    let from = if worst.is_some() { FROM_HALF_WAY } else { "" };
    if let (Some(worst), Some(locked)) = (worst, traces.iter_mut().find(|(_, t)| t.way == Way::Locked)) {
        *locked = (AT_THE_LIMIT, worst);
    }
    let limit = course.limits.descent_speed.si();
    let gear = pair.gear.map_or_else(String::new, |gear| format!(" in {gear}"));
    let ends: Vec<String> = traces
        .iter()
        .map(|(label, trace)| {
            let end = trace.speed.last().copied().unwrap_or(0.0);
            if end == 0.0 {
                let gone = trace.distance.last().copied().unwrap_or(0.0);
                format!("{label} at rest {}", stands_after(course, slope, gone, show))
            } else {
                format!("{label} {}", show.speed(end, true).text())
            }
        })
        .collect();
    Some(Chart {
        series: traces
            .iter()
            .map(|(label, trace)| Series {
                label: (*label).to_owned(),
                way: way_word(trace.way).1,
                x: trace.distance.iter().map(|x| round(show.length_number(*x))).collect(),
                y: trace.speed.iter().map(|y| round(show.speed_number(*y))).collect(),
            })
            .collect(),
        marks: Vec::new(),
        limit: Some(round(show.speed_number(limit))),
        limit_text: format!("limit {}", show.speed(limit, false).text()),
        x_label: format!("distance down the slope, {}", show.length_unit()),
        y_label: format!("speed, {}", show.speed_unit()),
        alt: format!(
            "Speed down {} of {}{gear}, likely values.{from} At the foot: {}.",
            slope.name,
            named(course, vehicle),
            ends.join(", ")
        ),
        caption: format!(
            "{}, {}{gear}, likely values, over the brow at {}.{from} At the foot: {}.",
            slope.name,
            named(course, vehicle),
            show.speed(slope.entry_speed.si(), false).text(),
            ends.join(", ")
        ),
    })
}

/// Steering share against wheel speed over ground speed.
pub(crate) fn steering() -> Chart {
    let points: Vec<f64> = (0..40).map(|place| f64::from(place) / 40.0).chain([0.99, 0.999]).collect();
    let share = |k: f64, degrees: f64| round(100.0 * steer::sliding_share(k, degrees.to_radians()));
    let series = [(25.0, "locked"), (15.0, "braked"), (5.0, "geared")]
        .into_iter()
        .map(|(degrees, way)| Series {
            label: format!("{degrees:.0}° of steer"),
            way,
            x: points.clone(),
            y: points.iter().map(|k| share(*k, degrees)).collect(),
        })
        .collect();
    let half = share(0.5, 15.0);
    let most = share(0.9, 15.0);
    Chart {
        series,
        marks: vec![Mark { x: 0.0, y: 0.0, text: "locked: 0 %".to_owned(), dx: 3.0, dy: -9.0, ax: 0.0 }],
        limit: None,
        limit_text: String::new(),
        x_label: "wheel speed ÷ ground speed (0 = locked, 1 = rolling)".to_owned(),
        y_label: "share of the grip that pushes sideways, %".to_owned(),
        alt: format!(
            "Share of the grip that steers against wheel speed over ground speed. Zero when locked; with 15 degrees of steer {half:.0} per cent at half speed and {most:.0} per cent at nine tenths."
        ),
        caption: format!(
            "A locked wheel pushes only against the way it slides: no steering at all. With 15° of steer a wheel turning at half speed has {half:.0} % of its grip to steer with, at nine tenths {most:.0} %. Firm ground; sliding friction alone."
        ),
    }
}

/// Two decimals: finer than the line that draws it.
fn round(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}
