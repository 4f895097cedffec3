//! When whoever assesses is free to watch: on the last run of a turn in which they hold no post.

use crate::course::Role;
use crate::pack::book::Book;
use crate::rota::{SessionSum, Turn, day_sum};

/// What the course plan says of the practical; none where nobody assesses, or run sheets say who is where.
pub(crate) fn practical(book: &Book) -> Option<String> {
    let sums = day_sum(book.course, &book.reckoning);
    let turns: Vec<&Turn> = sums.iter().flat_map(|sum: &SessionSum| &sum.turns).collect();
    let assessors: Vec<usize> =
        book.there().filter(|(_, person)| person.role == Role::Assessor).map(|(at, _)| at).collect();
    if assessors.is_empty() || turns.is_empty() {
        return None;
    }
    let watched = |turn: &&&Turn| assessors.iter().any(|person| !turn.has_post(*person));
    let (free, held): (Vec<&Turn>, Vec<&Turn>) = turns.iter().partition(|turn| watched(turn));
    let marks = |turns: &[&Turn]| {
        let mut marks: Vec<String> = Vec::new();
        for mark in turns.iter().map(|turn| book.slope_mark(&book.course.slopes[turn.slope].id)) {
            if !marks.contains(&mark) {
                marks.push(mark);
            }
        }
        marks.join(", ")
    };
    let names: Vec<String> = assessors.iter().map(|at| book.course.people[*at].name.short()).collect();
    let names = names.join(", ");
    if free.is_empty() {
        return Some(format!(
            "{names} holds a post in every turn: nobody is free to assess, and the day has no practical. Find one more of the staff."
        ));
    }
    let not =
        if held.is_empty() { String::new() } else { format!(" Not on {}: a post there.", marks(&held)) };
    Some(format!(
        "{names} watches each driver’s last run on {}, from the spots told here or on the site plan.{not} What is not seen there is not signed off.{}",
        marks(&free),
        spots(book, &free)
    ))
}

/// Where whoever assesses stands on each slope of these turns, in the course's words.
fn spots(book: &Book, turns: &[&Turn]) -> String {
    let mut said: Vec<String> = Vec::new();
    for slope in turns.iter().map(|turn| &book.course.slopes[turn.slope]) {
        let Some(place) = &slope.assessor else { continue };
        let spot = format!("{}: {}", book.slope_mark(&slope.id), place.stands.short().trim_end_matches('.'));
        if !said.contains(&spot) {
            said.push(spot);
        }
    }
    if said.is_empty() { String::new() } else { format!(" {}.", said.join(". ")) }
}
