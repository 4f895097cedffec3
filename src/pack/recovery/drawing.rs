//! A rig to scale: in section on its slope, and from above with the ground kept clear.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::pack::recovery::tags::Tags;
use crate::pack::recovery::words;
use crate::pack::sheet::slope::SlopeSheet;
use crate::page::figure::Show;
use crate::page::outline::Outline;
use crate::recovery::Recovery;
use crate::recovery::layout::{Joint, WinchAt};
use crate::recovery::lie::{Spot, ground, to_brow};
use crate::recovery::pull::Direction;
use crate::recovery::rig::{HeldBy, Rig, Role};

/// A line between a stuck vehicle and what holds it, from the side: plain numbers in metres and short texts.
#[expect(clippy::struct_excessive_bools, reason = "each is one thing drawn or not")]
#[derive(Clone, Debug, Serialize)]
pub(crate) struct LineSection {
    pub vehicle: Outline,
    pub casualty_x: f64,
    pub held: Spot,
    pub guard: Option<Spot>,
    pub point: Spot,
    pub lines: u8,
    pub far_block: bool,
    pub near_block: bool,
    /// How many things hold the far end, side by side.
    pub holds: usize,
    /// Single line between the blocks and what they pull on, m.
    pub extension: f64,
    pub winch_on_casualty: bool,
    /// Whether the vehicle moves down.
    pub goes_down: bool,
    pub tags: Tags,
    /// Numbers of a catch line beside it.
    pub catch_no: Option<String>,
    pub pull_text: String,
    pub fall_text: String,
    pub dead_text: Option<String>,
    pub block_text: Option<String>,
    pub angle_text: String,
    pub alt: String,
}

impl LineSection {
    /// The section of a rig; none for a pull on the level.
    pub(crate) fn of(
        slope: &Slope,
        sheet: &SlopeSheet,
        vehicle: &Vehicle,
        recovery: &Recovery,
        (rig, tags): (&Rig, Tags),
        show: Show,
    ) -> Option<Self> {
        let lie = recovery.lie?;
        let direction = recovery.pull.direction;
        let base = [sheet.line.crest_x, slope.height().si()];
        let on_paper = |[x, y]: Spot| [round(base[0] + x), round(base[1] + y)];
        let extension = rig.parts.iter().any(|part| part.role == Role::Extension);
        let force = |newtons: f64| show.force(newtons, false).text();
        let has_block = rig.layout.blocks() > 0;
        let pull_text = format!(
            "{} {} {}",
            if direction == Direction::Lower { "held at the" } else { "pull on the" },
            recovery.facing.words(),
            words::about(recovery.pull.high, show).text()
        );
        let fall_text = format!("line to the winch {}", force(rig.fall_line));
        let drawn = Self {
            vehicle: Outline::of(vehicle),
            casualty_x: on_paper(ground(slope, to_brow(slope)))[0],
            held: on_paper(lie.held),
            guard: lie.guard.map(on_paper),
            point: on_paper(lie.point),
            lines: rig.parts_of_line,
            far_block: rig.layout.fixed.contains(&Joint::Block),
            near_block: rig.layout.casualty.contains(&Joint::Block),
            holds: rig.made_fast.iter().filter(|(_, to)| *to != HeldBy::Host).count(),
            extension: if extension { round(rig.rigged_length - rig.line_out) } else { 0.0 },
            winch_on_casualty: rig.layout.winch == WinchAt::Casualty,
            goes_down: matches!(direction, Direction::Lower | Direction::Down),
            tags,
            catch_no: None,
            dead_text: has_block.then(|| format!("end made fast {}", force(rig.dead_line))),
            block_text: has_block.then(|| format!("block {}", force(Joint::Block.load(rig.fall_line)))),
            angle_text: angles(lie.lift, rig.off, show),
            pull_text,
            fall_text,
            alt: String::new(),
        };
        Some(Self { alt: drawn.spoken(slope, vehicle, recovery, rig, show), ..drawn })
    }

    /// With a catch line beside it, by its numbers in the table.
    pub(crate) fn caught(mut self, catch: Option<&Rig>, numbers: &str) -> Self {
        if catch.is_some() {
            self.catch_no = Some(numbers.to_owned());
            self.alt = format!("{} Beside it a catch line on its own anchor, numbers {numbers}.", self.alt);
        }
        self
    }

    fn spoken(&self, slope: &Slope, vehicle: &Vehicle, recovery: &Recovery, rig: &Rig, show: Show) -> String {
        let place = if recovery.pull.direction == Direction::Down { "above" } else { "below" };
        let what = if self.winch_on_casualty { "anchor" } else { "winch" };
        format!(
            "{} in section to true scale: {} stands on the steepest stretch, {} {place} the {what}{}; {} part{} of line between them{}{}; {}, {}; {}. Numbers of the table: {}.",
            slope.name,
            vehicle.name,
            show.length(recovery.at_start, false).text(),
            if self.holds > 1 {
                format!(", held by {} things side by side", self.holds)
            } else {
                String::new()
            },
            rig.parts_of_line,
            if rig.parts_of_line == 1 { "" } else { "s" },
            if self.extension > 0.0 { ", then a single extension line" } else { "" },
            if self.guard.is_some() { ", over an edge guard at the brow" } else { "" },
            self.pull_text,
            self.fall_text,
            self.angle_text,
            self.tags.spoken(),
        )
    }
}

/// How the line lies, as the drawing shows it: against the ground at its far end, against the vehicle.
fn angles(lift: f64, askew: f64, show: Show) -> String {
    let at = |radians: f64| show.angle(radians.abs(), false).text();
    let far = if lift > 0.0 { "up" } else { "down" };
    format!("Line {} {far} at its far end, {} off at the vehicle", at(lift), at(askew))
}

/// To the centimetre.
pub(crate) fn round(metres: f64) -> f64 {
    (metres * 100.0).round() / 100.0
}
