//! A rig to scale: in section on its slope, and from above with the ground kept clear.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::pack::recovery::words;
use crate::pack::sheet::slope::SlopeSheet;
use crate::page::figure::Show;
use crate::page::outline::Outline;
use crate::recovery::Recovery;
use crate::recovery::layout::{Joint, WinchAt};
use crate::recovery::pull::Direction;
use crate::recovery::record::to_brow;
use crate::recovery::rig::{Rig, Role};

/// Nearer than this to the brow the line is drawn straight, m.
const EDGE: f64 = 0.5;

/// What the drawings need: plain numbers in metres and short texts.
#[expect(clippy::struct_excessive_bools, reason = "each is one thing drawn or not")]
#[derive(Clone, Debug, Serialize)]
pub struct RigDrawing {
    pub vehicle: Outline,
    pub casualty_x: f64,
    pub anchor_x: f64,
    pub lines: u8,
    pub far_block: bool,
    pub near_block: bool,
    /// Single line between the blocks and what they pull on, m.
    pub extension: f64,
    /// Whether the line runs over the brow and bends there.
    pub over_edge: bool,
    /// Whether somebody works the winch beside it.
    pub operator: bool,
    pub winch_on_casualty: bool,
    pub turned: bool,
    /// Whether the line is paid out, so that the vehicle goes down.
    pub lowered: bool,
    pub distance: f64,
    pub radius: f64,
    pub length: f64,
    pub width: f64,
    pub pull_text: String,
    pub fall_text: String,
    pub dead_text: String,
    pub block_text: String,
    pub distance_text: String,
    pub radius_text: String,
    pub section_alt: String,
    pub plan_alt: String,
    pub plan_caption: String,
}

impl RigDrawing {
    /// The drawing of a rig.
    pub fn of(
        slope: &Slope,
        sheet: &SlopeSheet,
        vehicle: &Vehicle,
        recovery: &Recovery,
        rig: &Rig,
        show: Show,
    ) -> Self {
        let outline = Outline::of(vehicle);
        let down = to_brow(slope);
        let crest = sheet.line.crest_x;
        let at = |along: f64| round(crest + across(slope, along));
        let anchor_x = at(down - recovery.at_start);
        // As the section draws it: from the middle of the vehicle to the far end.
        let over_edge = anchor_x < crest - EDGE && at(down) > crest + EDGE;
        let extension = rig.parts.iter().any(|part| part.role == Role::Extension);
        let extension = if extension { round(rig.rigged_length - rig.line_out) } else { 0.0 };
        let radius = recovery.zone.map_or(0.0, |zone| zone.radius);
        let force = |newtons: f64| show.force(newtons, false).text();
        let anchor_is = if rig.layout.winch == WinchAt::Casualty { "anchor" } else { "winch" };
        let lowered = recovery.pull.direction == Direction::Lower;
        let texts = [
            format!(
                "{} {} {}",
                if lowered { "held at the" } else { "pull on the" },
                recovery.facing.words(),
                words::about(recovery.pull.high, show).text()
            ),
            format!("line to the winch {}", force(rig.fall_line)),
            format!("line made fast {}", force(rig.dead_line)),
        ];
        let [pull_text, fall_text, dead_text] = texts;
        let distance_text = show.length(recovery.at_start, false).text();
        let radius_text = show.length(libm::ceil(radius), false).text();
        let section_alt = format!(
            "{} in section to true scale: {} stands on the steepest stretch, {} below the {anchor_is}; {} part{} of line between them{}{}; {pull_text}, {fall_text}.",
            slope.name,
            vehicle.name,
            distance_text,
            rig.parts_of_line,
            if rig.parts_of_line == 1 { "" } else { "s" },
            if extension > 0.0 { ", then a single extension line" } else { "" },
            if over_edge { ", over an edge guard at the brow" } else { "" },
        );
        let plan_alt = format!(
            "The rig from above to scale, with the ground kept clear: {radius_text} round every loaded point{}; the leader stands outside it, to the side; people leave sideways, never along the line{}.",
            if rig.layout.turns() { ", and the inside of the bend closed" } else { "" },
            if rig.operator_at_winch {
                "; only the winch’s operator is inside it, beside the winch and out of line with the rope"
            } else {
                ""
            },
        );
        Self {
            casualty_x: at(down),
            anchor_x,
            lines: rig.parts_of_line,
            far_block: rig.layout.fixed.contains(&Joint::Block),
            near_block: rig.layout.casualty.contains(&Joint::Block),
            extension,
            over_edge,
            operator: rig.operator_at_winch,
            winch_on_casualty: rig.layout.winch == WinchAt::Casualty,
            turned: rig.layout.turns(),
            distance: recovery.at_start,
            lowered,
            radius,
            length: vehicle.wheelbase.si() + 1.9,
            width: vehicle.track.si() + 0.3,
            block_text: format!("block {}", force(Joint::Block.load(rig.fall_line))),
            pull_text,
            fall_text,
            dead_text,
            plan_caption: format!("Nobody inside the dashed line, {radius_text} round every loaded point."),
            distance_text,
            radius_text,
            section_alt,
            plan_alt,
            vehicle: outline,
        }
    }
}

/// Level distance from the brow of a point so far along the ground, m; negative before the brow.
fn across(slope: &Slope, along: f64) -> f64 {
    if along <= 0.0 {
        return along;
    }
    let (mut left, mut x) = (along, 0.0);
    for stretch in &slope.stretches {
        let part = left.min(stretch.length.si());
        x += part * libm::cos(stretch.gradient.si());
        left -= part;
    }
    x
}

/// To the centimetre.
fn round(metres: f64) -> f64 {
    (metres * 100.0).round() / 100.0
}
