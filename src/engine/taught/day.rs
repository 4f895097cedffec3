//! The day's sum: how long a slope is in use.

use crate::engine::formulas::day::{in_turn, round_time, rounds, rounds_with_gaps};
use crate::engine::symbols::{
    LONGEST_RUN, ROUND_TIME, RUN_GAP, RUN_TIMES, RUNS, SESSION_TIME, SLOPE_TIME, TIME_BEFORE, TURN_ROUND,
    VEHICLES,
};
use crate::formula::{Bend, Formula, Slip, formula};

/// Every formula here.
pub static ALL: &[&Formula] = &[&ROUND, &ROUNDS, &ROUNDS_WITH_GAPS, &IN_TURN];

formula! {
    ROUND = round_time as (runs: RUN_TIMES, vehicles: VEHICLES, turn: TURN_ROUND) => ROUND_TIME;
    id: "round-time",
    title: "One round of all vehicles",
    why: "One vehicle on the slope at a time: the next starts when the foot is clear and the spotter is back.",
    source: "Counting; one at a time is common practice, no source",
    slips: [
        Slip { id: "no-turn", why: "forgot the time between two vehicles", bend: Bend::LeftOut(&TURN_ROUND) },
    ],
}

formula! {
    ROUNDS = rounds as (round: ROUND_TIME, runs: RUNS) => SLOPE_TIME;
    id: "slope-time",
    title: "Time on the slope",
    why: "Every vehicle has its turn before the first goes again.",
    source: "Counting",
    slips: [
        Slip { id: "one-round", why: "counted one round only", bend: Bend::LeftOut(&RUNS) },
    ],
}

formula! {
    ROUNDS_WITH_GAPS = rounds_with_gaps as (round: ROUND_TIME, runs: RUNS, longest: LONGEST_RUN, gap: RUN_GAP) => SLOPE_TIME;
    id: "slope-time-with-gaps",
    title: "Time on the slope, with the gap between two runs",
    why: "A short round is over before the first vehicle may go again: its gap sets the pace.",
    source: "Counting; the gap is the course's own",
    slips: [
        Slip { id: "no-gap", why: "forgot the gap between two runs of one vehicle", bend: Bend::LeftOut(&RUN_GAP) },
    ],
}

formula! {
    IN_TURN = in_turn as (before: TIME_BEFORE, slope: SLOPE_TIME) => SESSION_TIME;
    id: "session-time",
    title: "Driving in the session so far",
    why: "What is driven one after the other adds up; it must be less than the session has.",
    source: "Counting",
    slips: [
        Slip { id: "alone", why: "left out what was driven before", bend: Bend::LeftOut(&TIME_BEFORE) },
    ],
}
