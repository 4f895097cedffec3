//! Who teaches and who watches on the slopes in use at one time.

use crate::course::{Course, Person, Role};

/// The people of a slope, by their place among the course's people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Crew {
    /// Teaches: an instructor, or whoever is in charge.
    pub teaches: usize,
    /// Watches: a spotter or a marshal, else another instructor.
    pub watches: usize,
}

/// A crew for each of these slopes at one time, while these vehicles are driven; none where there are not people
/// enough. Whoever is at a wheel neither teaches nor watches.
pub(super) fn crews(course: &Course, slopes: &[usize], driven: &[usize]) -> Option<Vec<Crew>> {
    let at_a_wheel = |person: &usize| {
        let vehicle = course.people[*person].vehicle.as_ref();
        vehicle.is_some_and(|own| driven.iter().any(|at| course.vehicles[*at].id == *own))
    };
    let free = |slope: usize, rank: fn(&Person) -> Option<u8>| {
        let mut fit = candidates(course, slope, rank);
        fit.retain(|person| !at_a_wheel(person));
        fit
    };
    let mut posts = Vec::new();
    for slope in slopes {
        posts.push(free(*slope, teaching));
        posts.push(free(*slope, watching));
    }
    let found = fill(&posts, &mut Vec::new())?;
    Some(found.chunks(2).map(|pair| Crew { teaches: pair[0], watches: pair[1] }).collect())
}

/// Who can teach, who should rather: whoever is in charge last.
fn teaching(person: &Person) -> Option<u8> {
    match person.role {
        Role::Instructor => Some(0),
        Role::Lead => Some(1),
        _ => None,
    }
}

/// Who can watch, who should rather.
fn watching(person: &Person) -> Option<u8> {
    match person.role {
        Role::Spotter | Role::Marshal => Some(0),
        other => teaching(person).filter(|_| other != Role::Driver).map(|rank| rank + 1),
    }
}

/// People for a post on a slope, those first who should rather and who can be used nowhere else.
fn candidates(course: &Course, slope: usize, rank: fn(&Person) -> Option<u8>) -> Vec<usize> {
    let id = &course.slopes[slope].id;
    let people = course.people.iter().enumerate();
    let mut fit: Vec<(u8, usize, usize)> = people
        .filter(|(_, person)| person.slopes.is_empty() || person.slopes.contains(id))
        .filter_map(|(at, person)| {
            let uses = if person.slopes.is_empty() { usize::MAX } else { person.slopes.len() };
            Some((rank(person)?, uses, at))
        })
        .collect();
    fit.sort_unstable();
    fit.into_iter().map(|(.., at)| at).collect()
}

/// Everybody at one post at most.
fn fill(posts: &[Vec<usize>], taken: &mut Vec<usize>) -> Option<Vec<usize>> {
    let Some(post) = posts.get(taken.len()) else { return Some(taken.clone()) };
    for person in post {
        if taken.contains(person) {
            continue;
        }
        taken.push(*person);
        if let Some(found) = fill(posts, taken) {
            return Some(found);
        }
        taken.pop();
    }
    None
}
