//! What the ground holds, what pulls on a slope, and how a vehicle stands across it.

use serde::Serialize;

use super::round;
use crate::course::{Course, Slope, Surface, Vehicle};
use crate::engine::Pair;
use crate::engine::formulas::slope::{force_down, normal_force};
use crate::engine::formulas::{GRAVITY, grip::grip_force};
use crate::page::figure::Show;
use crate::page::outline::Outline;
use crate::page::words::named;

/// Friction limits beside slope angles.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct HoldBand {
    pub rows: Vec<HoldRow>,
    pub alt: String,
    pub caption: String,
}

/// One slope in the hold band, degrees.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct HoldRow {
    pub name: String,
    pub angle: f64,
    pub slide_low: f64,
    pub slide_high: f64,
    pub peak_low: f64,
    pub peak_high: f64,
}

/// Forces on a vehicle on a slope, kN and degrees.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Forces {
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
pub(crate) struct Side {
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

/// Every slope's angle beside what its ground holds.
pub(crate) fn hold_band(course: &Course, show: Show) -> HoldBand {
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
                show.sharp_angle(slope.steepest().gradient.si()).text(),
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
pub(crate) fn forces(course: &Course, slope: &Slope, vehicle: &Vehicle, show: Show) -> Forces {
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
pub(crate) fn side(
    course: &Course,
    slope: &Slope,
    vehicle: &Vehicle,
    pair: &Pair,
    show: Show,
) -> Option<Side> {
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
