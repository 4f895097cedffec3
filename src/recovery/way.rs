//! How a vehicle stuck half-way is moved: how far, in how many stages, and what serves as anchor there.

use super::gear::{Gear, Ground};
use super::lie::{BEYOND, to_brow};
use super::pull::{Direction, Pull, Stuck};
use super::search::STANDING_ROOM;
use super::task::Ways;
use crate::course::{AnchorPlace, Course, Slope};

/// The longest pull set at once, m; a longer way goes in stages. Common practice, no source.
const LONGEST: f64 = 30.0;
/// How far a vehicle that is sunk is pulled until it rolls again, m. Common practice, no source.
const FREED: f64 = 6.0;
/// From the stuck vehicle to the anchor on the level, and how far it is pulled there, m.
const ON_THE_LEVEL: [f64; 2] = [15.0, 6.0];
/// The same for a vehicle on its side.
const TO_RIGHT: [f64; 2] = [12.0, 2.0];

/// How a vehicle stuck in the middle of the steepest stretch is moved.
pub(super) struct Way {
    /// From the vehicle to where the line is made fast, m, at its greatest.
    pub distance: f64,
    /// The same at its least, m.
    pub nearest: f64,
    /// How far it travels in one stage, m.
    pub travel: f64,
    /// Stages of the whole way.
    pub stages: u32,
    /// Which ways to run the line may be used.
    pub ways: Ways,
    /// Where the other end is made fast: at each of these in turn, the worst ground first.
    pub at: &'static [AnchorPlace],
}

impl Way {
    /// What of kit and fleet serves there, with a line that lifts it so (rad).
    pub(super) fn gear(&self, course: &Course, slope: &Slope, lift: f64) -> (Gear, Vec<String>) {
        let here = course.surface_of(slope);
        let (friction, soil) = (here.sliding.low, here.soil);
        let (friction, soil, angle) = match self.at {
            [AnchorPlace::Brow] => (friction, soil, 0.0),
            [AnchorPlace::Foot] => {
                let out = slope.run_out.as_ref();
                let other = out.and_then(|out| course.surface(out.surface.as_ref()?));
                let least = other.map_or(friction, |surface| surface.sliding.low.min(friction));
                let soil = other.map_or(soil, |surface| surface.soil);
                (least, soil, out.map_or(0.0, |out| out.gradient.si().abs()))
            }
            _ => (friction, soil, slope.steepest().gradient.si()),
        };
        Gear::on(course, Ground { friction, angle, soil, lift }).here(course, &slope.id, self.at)
    }
}

/// How it is moved, by how it is stuck and which way it goes.
pub(super) fn way(slope: &Slope, pull: &Pull) -> Way {
    let once = |[distance, travel]: [f64; 2]| Way {
        distance,
        nearest: distance - travel,
        travel,
        stages: 1,
        ways: Ways::All,
        at: &[AnchorPlace::HalfWay],
    };
    if pull.stuck == Stuck::Overturned {
        return once(TO_RIGHT);
    }
    let (whole, ways, at): (_, _, [&'static [AnchorPlace]; 2]) = match pull.direction {
        Direction::Level => return Way { at: &[AnchorPlace::Foot], ..once(ON_THE_LEVEL) },
        Direction::Lower => return let_down(slope),
        Direction::Up => {
            (to_brow(slope), Ways::All, [&[AnchorPlace::Brow], &[AnchorPlace::HalfWay, AnchorPlace::Brow]])
        }
        Direction::Down => {
            let whole = slope.length().si() - to_brow(slope);
            (whole, Ways::Aside, [&[AnchorPlace::Foot], &[AnchorPlace::HalfWay, AnchorPlace::Foot]])
        }
    };
    let distance = (whole + BEYOND).min(LONGEST);
    let within = whole + BEYOND <= LONGEST;
    let at = if within { at[0] } else { at[1] };
    if matches!(pull.stuck, Stuck::Mired(_)) {
        // Once it rolls it drives or is let down.
        let travel = (distance - STANDING_ROOM).min(FREED);
        return Way { distance, nearest: distance - travel, travel, stages: 1, ways, at };
    }
    let travel = distance - STANDING_ROOM;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few stages")]
    let stages = libm::ceil((whole + BEYOND - STANDING_ROOM) / travel - 1e-9).max(1.0) as u32;
    Way { distance, nearest: STANDING_ROOM.min(distance), travel, stages, ways, at }
}

/// From the middle of the steepest stretch to the run-out, the line paid out from the brow.
fn let_down(slope: &Slope) -> Way {
    let whole = slope.length().si();
    Way {
        distance: whole + BEYOND,
        nearest: to_brow(slope) + BEYOND,
        travel: whole - to_brow(slope),
        stages: 1,
        ways: Ways::PaidOut,
        at: &[AnchorPlace::Brow],
    }
}
