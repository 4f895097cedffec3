//! Drawings as the templates see them: plain numbers in the page's units, with what to say about them.

use serde::Serialize;

use crate::course::{Course, Slope, Surface, Vehicle};
use crate::engine::formulas::slope::{force_down, normal_force};
use crate::engine::formulas::{GRAVITY, grip::grip_force};
use crate::engine::{BrakeHeat, Ledger, Outcome, Pair, Way, steer, traces};
use crate::page::figure::Show;
use crate::page::outline::Outline;
use crate::page::words::named;

/// A line chart.
#[derive(Clone, Debug, Serialize)]
pub struct Chart {
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
pub struct Series {
    pub label: String,
    pub way: &'static str,
    pub x: Vec<f64>,
    pub y: Vec<f64>,
}

/// A point with its name.
#[derive(Clone, Debug, Serialize)]
pub struct Mark {
    pub x: f64,
    pub y: f64,
    pub text: String,
    pub dx: f64,
    pub dy: f64,
    pub ax: f64,
}

/// Bars of energy.
#[derive(Clone, Debug, Serialize)]
pub struct HeatBars {
    pub bars: Vec<Bar>,
    pub alt: String,
    pub caption: String,
}

/// One bar.
#[derive(Clone, Debug, Serialize)]
pub struct Bar {
    pub label: &'static str,
    pub total: String,
    pub parts: Vec<Part>,
}

/// A part of a bar.
#[derive(Clone, Debug, Serialize)]
pub struct Part {
    pub sink: &'static str,
    pub name: &'static str,
    pub kj: f64,
    pub text: String,
}

/// Friction limits beside slope angles.
#[derive(Clone, Debug, Serialize)]
pub struct HoldBand {
    pub rows: Vec<HoldRow>,
    pub alt: String,
    pub caption: String,
}

/// One slope in the hold band, degrees.
#[derive(Clone, Debug, Serialize)]
pub struct HoldRow {
    pub name: String,
    pub angle: f64,
    pub slide_low: f64,
    pub slide_high: f64,
    pub peak_low: f64,
    pub peak_high: f64,
}

/// Forces on a vehicle on a slope, kN and degrees.
#[derive(Clone, Debug, Serialize)]
pub struct Forces {
    pub angle: f64,
    pub weight: f64,
    pub along: f64,
    pub normal: f64,
    pub grip: f64,
    pub hold: f64,
    pub weight_text: String,
    pub along_text: String,
    pub normal_text: String,
    pub grip_text: String,
    pub hold_text: String,
    pub angle_text: String,
    pub alt: String,
    pub caption: String,
}

/// A vehicle from behind on a cross slope, degrees.
#[derive(Clone, Debug, Serialize)]
pub struct Side {
    pub angle: f64,
    pub tip: f64,
    pub limit: f64,
    pub angle_text: String,
    pub tip_text: String,
    pub limit_text: String,
    pub alt: String,
    pub caption: String,
    pub vehicle: Outline,
}

fn way_word(way: Way) -> (&'static str, &'static str) {
    match way {
        Way::Locked => ("locked", "locked"),
        Way::Braked => ("foot brake", "braked"),
        Way::Geared | Way::Assisted => ("in gear", "geared"),
    }
}

/// Speed down a slope, three ways.
pub fn run(course: &Course, slope: &Slope, vehicle: &Vehicle, pair: &Pair, show: Show) -> Option<Chart> {
    let traces = traces(course, slope, vehicle, pair);
    if traces.is_empty() {
        return None;
    }
    let limit = course.limits.descent_speed.si();
    let gear = pair.gear.map_or_else(String::new, |gear| format!(" in {gear}"));
    let ends: Vec<String> = traces
        .iter()
        .map(|trace| {
            let end = trace.speed.last().copied().unwrap_or(0.0);
            let (label, _) = way_word(trace.way);
            if end == 0.0 {
                format!("{label} at rest before the foot")
            } else {
                format!("{label} {}", show.speed(end, true).text())
            }
        })
        .collect();
    Some(Chart {
        series: traces
            .iter()
            .map(|trace| {
                let (label, way) = way_word(trace.way);
                Series {
                    label: label.to_owned(),
                    way,
                    x: trace.distance.iter().map(|x| round(show.length_number(*x))).collect(),
                    y: trace.speed.iter().map(|y| round(show.speed_number(*y))).collect(),
                }
            })
            .collect(),
        marks: Vec::new(),
        limit: Some(round(show.speed_number(limit))),
        limit_text: format!("limit {}", show.speed(limit, false).text()),
        x_label: format!("distance down the slope, {}", show.length_unit()),
        y_label: format!("speed, {}", show.speed_unit()),
        alt: format!(
            "Speed down {} of {}{gear}, likely values, at the foot: {}.",
            slope.name,
            named(course, vehicle),
            ends.join(", ")
        ),
        caption: format!(
            "{}, {}{gear}, likely values, over the brow at {}. At the foot: {}.",
            slope.name,
            named(course, vehicle),
            show.speed(slope.entry_speed.si(), false).text(),
            ends.join(", ")
        ),
    })
}

/// Steering share against wheel speed over ground speed.
pub fn steering() -> Chart {
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

/// Where the energy goes, three ways.
pub fn heat(course: &Course, slope: &Slope, vehicle: &Vehicle, pair: &Pair, show: Show) -> Option<HeatBars> {
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
        .map(|descent| show.length(descent.distance.likely, true).text());
    let stands =
        pair.way(Way::Locked).is_some_and(|told| told.descent.likely_outcome == Outcome::StopsInRunOut);
    let locked = match slide {
        Some(slide) => format!(
            "In gear and on the foot brake: the whole height. Locked it stands after {slide}, so its bar is short."
        ),
        None if stands => {
            "The same height, three ways down; locked, until it stands in the run-out.".to_owned()
        }
        None => "The same height, three ways down.".to_owned(),
    };
    format!(
        "{}, {}, likely values. {locked} Locked wheels leave the brakes cold: the heat is made between tyre and ground.",
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
    Bar { label: way_word(way).0, total: show.energy(ledger.energy_out(), true).text(), parts }
}

fn bar_in_words(way: Way, ledger: &Ledger, show: Show) -> String {
    let parts: Vec<String> = sinks(ledger)
        .into_iter()
        .filter(|(.., joules)| *joules >= 500.0)
        .map(|(_, name, joules)| format!("{name} {}", show.energy(joules, true).text()))
        .collect();
    format!("{}: {}", way_word(way).0, parts.join(", "))
}

/// Every slope's angle beside what its ground holds.
pub fn hold_band(course: &Course, show: Show) -> HoldBand {
    let degrees = |friction: f64| round(libm::atan(friction).to_degrees());
    let rows: Vec<HoldRow> = course
        .slopes
        .iter()
        .map(|slope| {
            let surface = course.surface_of(slope);
            HoldRow {
                name: slope.name.short(),
                angle: round(slope.steepest().gradient.si().to_degrees()),
                slide_low: degrees(surface.sliding.low),
                slide_high: degrees(surface.sliding.high),
                peak_low: degrees(surface.peak.low),
                peak_high: degrees(surface.peak.high),
            }
        })
        .collect();
    let said: Vec<String> = course
        .slopes
        .iter()
        .zip(&rows)
        .map(|(slope, row)| {
            format!(
                "{} {}, locked {:.0} to {:.0}, turning {:.0} to {:.0}",
                slope.name,
                show.angle(slope.steepest().gradient.si(), false).text(),
                row.slide_low,
                row.slide_high,
                row.peak_low,
                row.peak_high
            )
        })
        .collect();
    HoldBand {
        rows,
        alt: format!(
            "Steepest angle of each slope beside the angles, in degrees, that locked and turning wheels can hold there: {}.",
            said.join("; ")
        ),
        caption: hold_caption(course),
    }
}

/// What the bars of this ground show: where its pointers stand, and where the order is turned round.
fn hold_caption(course: &Course) -> String {
    let named = |fits: &dyn Fn(f64, &Surface) -> bool| -> Vec<String> {
        let slopes = course.slopes.iter();
        let grade = |slope: &Slope| libm::tan(slope.steepest().gradient.si());
        let found = slopes.filter(|slope| fits(grade(slope), course.surface_of(slope)));
        found.map(|slope| slope.name.short()).collect()
    };
    let between = named(&|grade, surface| surface.sliding.high < grade && grade < surface.peak.low);
    let left = named(&|grade, surface| grade < surface.sliding.low.min(surface.peak.low));
    let turned = named(&|_, surface| surface.sliding.likely > surface.peak.likely);
    let stands = if !between.is_empty() {
        format!(" So it is on {}.", between.join(", "))
    } else if left.len() == course.slopes.len() {
        " Here every pointer stands left of both bars: wheels hold, turning or locked.".to_owned()
    } else {
        " No pointer here stands clear between the bars; where it stands in a bar, the ground of the day decides.".to_owned()
    };
    let loose = if turned.is_empty() {
        String::new()
    } else {
        format!(" Loose ground turns the order round: {}.", turned.join(", "))
    };
    format!(
        "Hold band: right of the bar for locked wheels, left of the bar for turning ones. There turning wheels hold and locked wheels slide.{stands}{loose}"
    )
}

/// Forces on a vehicle on the steepest stretch, to one scale.
pub fn forces(course: &Course, slope: &Slope, vehicle: &Vehicle, show: Show) -> Forces {
    // To a tenth of a degree, as the worked example gives it: one pull has one figure.
    let angle = (slope.steepest().gradient.si().to_degrees() * 10.0).round().to_radians() / 10.0;
    let mass = vehicle.mass.si();
    let along = force_down(mass, GRAVITY, angle);
    let normal = normal_force(mass, GRAVITY, angle);
    let grip = grip_force(course.surface_of(slope).peak.low, normal);
    let weight = mass * GRAVITY;
    let text = |force: f64| show.force(force, false).text();
    let kilo = |force: f64| round(force / 1000.0);
    Forces {
        angle: angle.to_degrees(),
        weight: kilo(weight),
        along: kilo(along),
        normal: kilo(normal),
        grip: kilo(grip),
        hold: kilo(along.min(grip)),
        weight_text: format!("weight {}", text(weight)),
        along_text: format!("down the slope {}", text(along)),
        normal_text: format!("on the ground {}", text(normal)),
        grip_text: format!("grip there is, low end: {} (dashed)", text(grip)),
        hold_text: format!("grip needed: {} (solid)", text(along)),
        angle_text: show.sharp_angle(angle).text(),
        alt: format!(
            "Forces on {} on {} degrees: weight {}, down the slope {}, on the ground {}, grip available at the low end {}.",
            named(course, vehicle),
            show.sharp_angle(angle).v,
            text(weight),
            text(along),
            text(normal),
            text(grip)
        ),
        caption: format!(
            "All arrows to one scale. The pull down the slope ({}) needs {:.0} % of the grip there is at the low end ({}).",
            text(along),
            100.0 * along / grip,
            text(grip)
        ),
    }
}

/// A vehicle on the cross slope, with the course's limit and the theoretical tip angle.
pub fn side(course: &Course, slope: &Slope, vehicle: &Vehicle, pair: &Pair, show: Show) -> Option<Side> {
    let stability = &pair.stability;
    if stability.side_tilt.abs() < 1e-6 {
        return None;
    }
    let text = |angle: f64| show.angle(angle, false).text();
    Some(Side {
        angle: round(stability.side_tilt.to_degrees()),
        tip: round(stability.side_tip.to_degrees()),
        limit: round(stability.side_limit.to_degrees()),
        angle_text: format!("tilt here {}", text(stability.side_tilt)),
        tip_text: format!("rigid tip, theoretical {} (dotted)", text(stability.side_tip)),
        limit_text: format!("course limit {} (dashed)", text(stability.side_limit)),
        alt: format!(
            "Seen from behind, {} on {}: side tilt {} with the highest bump, course limit {}, theoretical tip angle {}.",
            named(course, vehicle),
            slope.name,
            text(stability.side_tilt),
            text(stability.side_limit),
            text(stability.side_tip)
        ),
        caption: format!(
            "Seen from behind: {}, {}, highest bump included. It stands while the line of weight meets the ground inside the lower wheel. A rut, a stone or a soft tyre moves that: the course allows {}, not the theoretical {}.",
            named(course, vehicle),
            slope.name,
            text(stability.side_limit),
            text(stability.side_tip)
        ),
        vehicle: Outline::of(vehicle),
    })
}

/// Temperature of the hottest axle's brakes over the planned foot-brake runs.
pub fn disc(
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
        series: vec![Series { label: format!("{} {}", axle.axle, axle.kind), way: "braked", x, y }],
        marks: Vec::new(),
        limit: Some(degrees(limit)),
        limit_text: format!("course limit {}", show.temperature(limit, false).text()),
        x_label: "minutes".to_owned(),
        y_label: format!("temperature, {}", show.temperature_unit()),
        alt: format!(
            "{} of {} over {} foot-brake runs on {}: {} at the end of the last, limit {}.",
            axle.kind,
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

/// Two decimals: finer than the line that draws it.
fn round(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}
