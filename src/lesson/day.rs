//! The day's sum: how long each turn on a slope takes, and where the session then stands.

use super::Example;
use crate::course::Course;
use crate::engine::Reckoning;
use crate::engine::symbols as s;
use crate::engine::taught::day as taught;
use crate::formula::Worked;
use crate::rota::{SessionSum, Turn, day_sum};

/// A worked example for each turn of each session, in the order of the day.
pub(super) fn sums(course: &Course, reckoning: &Reckoning) -> Vec<Worked> {
    let all = day_sum(course, reckoning);
    all.iter().flat_map(|sum| sum.turns.iter().filter_map(|turn| of_turn(course, sum, turn))).collect()
}

fn of_turn(course: &Course, sum: &SessionSum, turn: &Turn) -> Option<Worked> {
    let count = f64::from(u32::try_from(turn.on.vehicles.len()).ok()?);
    let working = Example::DaySum
        .begun(title(course, sum, turn), course.units)
        .slope(&course.slopes[turn.slope].id)
        .start(&s::RUN_TIMES, turn.on.runs_together, true)
        .given(&s::VEHICLES, count)
        .given(&s::TURN_ROUND, turn.on.reset)
        .step(&taught::ROUND)
        .given(&s::RUNS, f64::from(sum.runs));
    let working = if turn.on.waits {
        working
            .start(&s::LONGEST_RUN, turn.on.longest, true)
            .given(&s::RUN_GAP, course.day.run_gap.si())
            .step(&taught::ROUNDS_WITH_GAPS)
    } else {
        working.step(&taught::ROUNDS)
    };
    if turn.from == 0 {
        return working.finish();
    }
    working.given(&s::TIME_BEFORE, 60.0 * f64::from(turn.from)).step(&taught::IN_TURN).finish()
}

fn title(course: &Course, sum: &SessionSum, turn: &Turn) -> String {
    let group = if sum.groups > 1 { format!(", group {}", turn.group + 1) } else { String::new() };
    let slope = &course.slopes[turn.slope].name;
    format!("The day’s sum: {slope}{group}, in “{}”", course.day.sessions[sum.session].title)
}
