//! A tow from the side, and a vehicle on its side with the line that rights it and the one that holds it
//! back: to scale.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::pack::recovery::drawing::round;
use crate::pack::recovery::words;
use crate::pack::sheet::slope::SlopeSheet;
use crate::page::figure::Show;
use crate::page::outline::Outline;
use crate::recovery::ladder::tow::Tow;
use crate::recovery::lie::{ground, to_brow};

/// A tow down the track.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct TowSection {
    pub vehicle: Outline,
    pub tug: Outline,
    pub vehicle_x: f64,
    pub tug_x: f64,
    pub far: String,
    pub line: String,
    pub near: String,
    pub start_text: String,
    pub resistance_text: String,
    pub grip_text: String,
    pub alt: String,
}

impl TowSection {
    /// With the numbers of its table at the tug, on the line and at the towed vehicle.
    pub(crate) fn of(
        slope: &Slope,
        sheet: &SlopeSheet,
        (vehicle, tug, mark): (&Vehicle, &Vehicle, &str),
        tow: &Tow,
        [far, line, near]: [String; 3],
        show: Show,
    ) -> Self {
        let stands = to_brow(slope);
        let (own, other) = (Outline::of(vehicle), Outline::of(tug));
        let apart = f64::midpoint(own.length(), other.length()) + tow.line;
        let at = |along: f64| round(sheet.line.crest_x + ground(slope, along)[0]);
        let text = |newtons: f64| words::about(newtons, show).text();
        let start_text = format!("to set it moving {}", text(tow.start));
        let resistance_text = format!("on the level then {}", text(tow.resistance));
        let grip_text = format!("{mark} grips for {}", text(tow.grip));
        Self {
            vehicle_x: at(stands),
            tug_x: at(stands + apart),
            alt: format!(
                "{} in section to true scale: {} goes down in front, {} behind it on {} of line, its driver on the foot brake; {start_text}, {resistance_text}; {grip_text}. Numbers of the table: at the tug {far}, on the line {line}, at the towed vehicle {near}.",
                slope.name,
                tug.name,
                vehicle.name,
                show.length(tow.line, false).text(),
            ),
            vehicle: own,
            tug: other,
            far,
            line,
            near,
            start_text,
            resistance_text,
            grip_text,
        }
    }
}

/// A righting, seen along the vehicle.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct RightSection {
    pub vehicle: Outline,
    /// How the ground falls to the right, degrees.
    pub tilt: f64,
    /// From the vehicle to what holds either line, m.
    pub reach: f64,
    pub pull_no: String,
    pub catch_no: String,
    pub pull_text: String,
    pub catch_text: String,
    pub alt: String,
}

impl RightSection {
    /// With the numbers of its table for either line.
    pub(crate) fn of(
        (vehicle, tilt): (&Vehicle, f64),
        reach: f64,
        [pull, catch]: [f64; 2],
        [pull_no, catch_no]: [String; 2],
        show: Show,
    ) -> Self {
        let text = |newtons: f64| words::about(newtons, show).text();
        let pull_text = format!("pulls it up {}", text(pull));
        let catch_text = format!("holds it back {}", text(catch));
        Self {
            vehicle: Outline::of(vehicle),
            tilt: round(tilt.to_degrees()),
            reach,
            alt: format!(
                "{} on its side on ground that falls {} to the right, seen along it, to true scale, its wheels uphill: a line uphill {pull_text}, numbers {pull_no} of the table; a line downhill {catch_text} past its balance, numbers {catch_no}; both are made fast {} away.",
                vehicle.name,
                show.angle(tilt, false).text(),
                show.length(reach, false).text(),
            ),
            pull_no,
            catch_no,
            pull_text,
            catch_text,
        }
    }
}
