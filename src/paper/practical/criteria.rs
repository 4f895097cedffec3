//! What an assessor beside a slope looks for: one act each that one person at that place can see.
//!
//! Common practice, no source.

use serde::Serialize;

use crate::course::Slope;

/// One act, where its limit lies, and whether a run without it can be passed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub(super) struct Criterion {
    /// Short name, as the grid and the moderation sheet have it.
    pub name: &'static str,
    /// What can be seen.
    pub seen: &'static str,
    /// Why a run without it is not passed; none where the run can make up for it.
    pub must: Option<&'static str>,
}

const fn plain(name: &'static str, seen: &'static str) -> Criterion {
    Criterion { name, seen, must: None }
}

const fn must(name: &'static str, seen: &'static str, why: &'static str) -> Criterion {
    Criterion { name, seen, must: Some(why) }
}

const GEAR: Criterion = must(
    "Gear said",
    "At the brow, window down: says range and gear of the table, and what ends this run.",
    "the wrong gear runs away",
);
const BRAKE: Criterion = must(
    "Brake proved",
    "On the level before the brow: presses the pedal and holds it; it does not sink.",
    "who has no brake stays up",
);
const READY: Criterion = must(
    "Belted, clear",
    "At the brow: every belt on, nothing loose in the cab, doors shut, arms inside.",
    "who is not held is hurt when it stops or tips",
);
const SIGN: Criterion =
    must("Waits for the sign", "Stands at the brow until the spotter’s sign.", "somebody may be below");
const LINE: Criterion =
    plain("Line", "Near wheels stay within one tyre’s width of the near row of pegs, brow to foot.");
const PACE: Criterion = must(
    "Pace",
    "A front wheel takes at least the seconds of its vehicle in the table from peg to peg.",
    "faster than its gear or this slope’s limit",
);
const LAMPS: Criterion =
    plain("Brake lamps", "As the table says: dark all the way, or on and off; never on to a stand.");
const TURNING: Criterion = plain(
    "Wheels turn",
    "Near wheels turn all the way; one that stands turns again before you have said “one, two”.",
);
const STOP: Criterion = must(
    "Stops at the sign",
    "STOP shown once, unannounced, as the front wheels reach the run-out: stands within the distance of the table.",
    "who does not stop hurts somebody",
);
const WAY_OUT: Criterion = plain(
    "Way out",
    "Before the start points to the marked way out. If it slides: steers downhill, never up.",
);
const STEP: Criterion = plain("Step", "Brake lamps on before the step; each axle is let down, none drops.");
const AFTER: Criterion = plain(
    "Brake after it",
    "At the foot: presses the pedal, says how it feels and whether anything smells, waits to be sent on.",
);
const REFUSES: Criterion = must(
    "Says no",
    "Asked at the brow to go down with a vehicle that does not drive here: says no and why. Nobody drives.",
    "who cannot say no is taken down anywhere",
);

/// Length from which a slope warms brakes, m: the hand-over at its foot asks for them. Judgement.
const LONG: f64 = 100.0;
/// Tilt across the line from which a way out is asked for, rad: 3°. Judgement.
const TILTED: f64 = 3.0 * std::f64::consts::PI / 180.0;

/// The criteria of a slope that somebody drives, in the order they can be seen.
pub(super) fn driven(slope: &Slope) -> Vec<Criterion> {
    let mut all = vec![READY, GEAR, BRAKE, SIGN, LINE, PACE, LAMPS, TURNING];
    if slope.cross_slope.si().abs() >= TILTED {
        all.push(WAY_OUT);
    }
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

/// What is asked of a driver whose vehicle does not drive on a slope.
pub(super) fn refused() -> Criterion {
    REFUSES
}

/// Every criterion, in the order of a sheet.
pub(super) fn all() -> [Criterion; 13] {
    [READY, GEAR, BRAKE, SIGN, LINE, PACE, LAMPS, TURNING, WAY_OUT, STEP, STOP, AFTER, REFUSES]
}

/// How the grades of a run, of a practical and of the whole come to a result: this course's own rules, common
/// practice, no source.
pub(super) const RULES: [&str; 5] = [
    "Grade what you see when you see it: 2 met, 1 met after a prompt, 0 not met, – not seen. What is done at the brow, the marshal there sees and reads to you by radio; write no grade for what neither of you saw.",
    "A run is passed when everything marked ! is 2, and of the rest at most one is 0 and at most two are 1.",
    "Something marked ! not seen: the run is driven again, neither passed nor failed. Two assessors differ on it: no result until both have seen another run.",
    "Anybody in danger: stop the run at once. It is not passed, and the day’s abort rule holds.",
    "The practical is passed with runs passed on two slopes that ask for different things, and every “Says no” that was asked for. One run may be repeated on the same day. Theory and practical are passed each by itself: neither makes up for the other.",
];
