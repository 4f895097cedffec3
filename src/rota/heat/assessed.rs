//! Where whoever assesses is free to watch the driving.

use super::day_sum::SessionSum;
use super::turn::Turn;
use crate::course::{Course, Role};

/// Whether whoever assesses is free to watch on a slope: on some turn of it somebody of them holds no post, or no turn
/// of it is planned.
pub fn assessed(course: &Course, sums: &[SessionSum], slope: usize) -> bool {
    let turns: Vec<&Turn> =
        sums.iter().flat_map(|sum| &sum.turns).filter(|turn| turn.slope == slope).collect();
    let assessors = || (0..course.people.len()).filter(|at| course.people[*at].role == Role::Assessor);
    turns.is_empty() || turns.iter().any(|turn| assessors().any(|person| !turn.has_post(person)))
}
