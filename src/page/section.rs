//! A slope in section: its ground from before the brow to the end of the run-out, to scale.

use serde::Serialize;

use crate::course::{Slope, Stretch};
use crate::page::figure::{Fig, Show};
use crate::quantity::Angle;

/// A slope's section, m, from a few metres before the brow to the end of the run-out.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Section {
    pub x: Vec<f64>,
    pub y: Vec<f64>,
    pub crest_x: f64,
    pub foot_x: f64,
    pub stretches: Vec<StretchLabel>,
    pub length: String,
    pub height: String,
    pub run_out: String,
    /// Length of the scale bar, m, and in the course's units.
    pub bar: f64,
    pub bar_text: String,
}

/// The gradient of a stretch, and where it stands in the section.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct StretchLabel {
    pub x: f64,
    pub y: f64,
    pub text: String,
}

/// Level ground drawn before the brow, m.
const LEAD: f64 = 8.0;

/// The run-out’s length, or `none`.
pub(crate) fn run_out_length(slope: &Slope, show: Show) -> Fig {
    match &slope.run_out {
        Some(run_out) => show.length(run_out.length.si(), false),
        None => Fig::new("none", "", false),
    }
}

impl Section {
    /// The section of a slope.
    pub(crate) fn of(slope: &Slope, show: Show) -> Self {
        let height = slope.height().si();
        let (mut x, mut y) = (vec![0.0, LEAD], vec![height, height]);
        let mut stretches = Vec::new();
        let (mut at_x, mut at_y) = (LEAD, height);
        for stretch in &slope.stretches {
            let (dx, dy) = step(stretch);
            stretches.push(StretchLabel {
                x: round(at_x + dx / 2.0),
                y: round(at_y - dy / 2.0),
                text: show.sharp_angle(stretch.gradient.si()).text(),
            });
            at_x += dx;
            at_y -= dy;
            x.push(at_x);
            y.push(at_y);
        }
        let foot_x = at_x;
        if let Some(run_out) = &slope.run_out {
            let (dx, dy) =
                step(&Stretch { length: run_out.length, gradient: Angle::new(run_out.gradient.si()) });
            x.push(at_x + dx);
            y.push(at_y - dy);
        } else {
            x.push(at_x + LEAD);
            y.push(at_y);
        }
        let (bar, bar_text) = show.scale_bar(x.last().copied().unwrap_or(LEAD));
        Self {
            bar,
            bar_text,
            x: x.into_iter().map(round).collect(),
            y: y.into_iter().map(round).collect(),
            crest_x: LEAD,
            foot_x: round(foot_x),
            stretches,
            length: format!("{} along the ground", show.length(slope.length().si(), false).text()),
            height: show.length(height, false).text(),
            run_out: run_out_length(slope, show).text(),
        }
    }
}

fn step(stretch: &Stretch) -> (f64, f64) {
    let angle = stretch.gradient.si();
    (stretch.length.si() * libm::cos(angle), stretch.length.si() * libm::sin(angle))
}

/// To the centimetre: finer than any survey, and short in the page's source.
fn round(metres: f64) -> f64 {
    (metres * 100.0).round() / 100.0
}
