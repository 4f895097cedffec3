//! How long a slope is in use: rounds of vehicles, one on the slope at a time.

use crate::formula::Algebra;

/// One round, s: every vehicle once (their runs together, s), each with the time (s) until the next may start.
pub fn round_time<A: Algebra>(runs: A, vehicles: A, turn_round: A) -> A {
    runs + vehicles * turn_round
}

/// Time on a slope, s, where the vehicles in turn set the pace: so many rounds (s).
pub fn rounds<A: Algebra>(round: A, runs: A) -> A {
    runs * round
}

/// Time on a slope, s, where a vehicle must wait for its own next run: all but the last round last as long as
/// the longest run (s) and the gap after it (s).
pub fn rounds_with_gaps<A: Algebra>(round: A, runs: A, longest: A, gap: A) -> A {
    (runs - A::num(1.0)) * (longest + gap) + round
}

/// Two times one after the other, s.
pub fn in_turn<A: Algebra>(before: A, slope: A) -> A {
    before + slope
}
