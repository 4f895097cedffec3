//! What an assessor beside a slope looks for: one act each that one person at that place can see.
//!
//! Common practice, no source.

use serde::Serialize;

use crate::course::{Sight, Slope};
use crate::engine::leans;

/// One act, where its limit lies, and whether a run without it can be passed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub(super) struct Criterion {
    /// Short name, as the grid and the moderation sheet have it.
    pub name: &'static str,
    /// What can be seen.
    pub seen: &'static str,
    /// Where it can be seen from.
    #[serde(skip)]
    pub from: Sight,
    /// Why a run without it is not passed; none where the run can make up for it.
    pub must: Option<&'static str>,
}

const fn plain(name: &'static str, from: Sight, seen: &'static str) -> Criterion {
    Criterion { name, seen, from, must: None }
}

const fn must(name: &'static str, from: Sight, seen: &'static str, why: &'static str) -> Criterion {
    Criterion { name, seen, from, must: Some(why) }
}

const GEAR: Criterion = must(
    "Gear said",
    Sight::Brow,
    "At the brow, window down: says range and gear of the table, and what ends this run.",
    "the wrong gear runs away",
);
const BRAKE: Criterion = must(
    "Brake proved",
    Sight::Brow,
    "On the level before the brow: presses the pedal and holds it; it does not sink.",
    "who has no brake stays up",
);
const READY: Criterion = must(
    "Belted, clear",
    Sight::Brow,
    "At the brow: every belt on, nothing loose in the cab, doors shut, arms inside.",
    "who is not held is hurt when it stops or tips",
);
const SIGN: Criterion = must(
    "Waits for the sign",
    Sight::Brow,
    "Stands at the brow until the spotter’s sign.",
    "somebody may be below",
);
const LINE: Criterion = plain(
    "Line",
    Sight::Line,
    "Near wheels stay within one tyre’s width of the near row of pegs, brow to foot.",
);
const PACE: Criterion = must(
    "Pace",
    Sight::Line,
    "A front wheel takes at least the seconds of its vehicle in the table from peg to peg.",
    "faster than its gear or this slope’s limit",
);
const LAMPS: Criterion = plain(
    "Brake lamps",
    Sight::Brow,
    "From behind, peg to peg: as the table says. Each time they light counts; two seconds are “one, two”.",
);
const TURNING: Criterion = plain(
    "Wheels turn",
    Sight::Line,
    "Near wheels turn all the way; one that stands turns again before you have said “one, two”.",
);
const STOP: Criterion = must(
    "Stops at the sign",
    Sight::Foot,
    "STOP shown once, unannounced, as the front wheels reach the run-out: stands within the distance of the table.",
    "who does not stop hurts somebody",
);
const WAY_OUT: Criterion =
    plain("Way out", Sight::Brow, "Before the start points to the marked way out, downhill.");
const STEP: Criterion = plain("Step", Sight::Line, "Each axle is let down the step; none drops.");
const AFTER: Criterion = plain(
    "Brake after it",
    Sight::Foot,
    "At the foot: presses the pedal, says how it feels and whether anything smells, waits to be sent on.",
);
const REFUSES: Criterion = must(
    "Says no",
    Sight::Brow,
    "Asked at the brow to go down with a vehicle that does not drive here: says no and why. Nobody drives.",
    "who cannot say no is taken down anywhere",
);

/// Length from which a slope warms brakes, m: the hand-over at its foot asks for them. Judgement.
const LONG: f64 = 100.0;

/// The criteria of a slope that somebody drives, in the order they can be seen.
pub(super) fn driven(slope: &Slope) -> Vec<Criterion> {
    let mut all = vec![READY, GEAR, BRAKE];
    if leans(slope) {
        all.push(WAY_OUT);
    }
    all.extend([SIGN, LINE, PACE, LAMPS, TURNING]);
    if slope.bump.is_some() {
        all.push(STEP);
    }
    if slope.run_out.is_some() {
        all.push(STOP);
    }
    if slope.stretches.iter().map(|stretch| stretch.length.si()).sum::<f64>() >= LONG {
        all.push(AFTER);
    }
    all
}

/// What a slope asks that not every slope does, by the names of its criteria.
pub(super) fn own(slope: &Slope) -> Vec<&'static str> {
    let usual = [READY, GEAR, BRAKE, SIGN, LINE, PACE, LAMPS, TURNING, STOP];
    driven(slope).into_iter().filter(|one| !usual.contains(one)).map(|one| one.name).collect()
}

/// What is asked of a driver whose vehicle does not drive on a slope.
pub(super) fn refused() -> Criterion {
    REFUSES
}

/// Every criterion, in the order of a sheet.
pub(super) fn all() -> [Criterion; 13] {
    [READY, GEAR, BRAKE, WAY_OUT, SIGN, LINE, PACE, LAMPS, TURNING, STEP, STOP, AFTER, REFUSES]
}
