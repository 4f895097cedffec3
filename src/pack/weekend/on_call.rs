//! Who is called on in an emergency, slot by slot: staff who hold no post then.

use serde::Serialize;

use crate::course::Role;
use crate::pack::weekend::day::Weekend;
use crate::rota::{clock_text, deputies, doing, person_there};

/// Those who are free for it in a stretch of the day; none where nobody is left, and the sheet has a frame.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(crate) struct OnCall {
    pub from: String,
    pub to: String,
    /// Takes over from control, or holds the telephone or the confidential sheet beside it.
    pub deputy: Option<String>,
    /// Opens, and leads the ambulance in.
    pub gate: Option<String>,
    /// Drives to where a telephone works.
    pub phone: Option<String>,
}

/// The slots of the rota, those in which the same people are called on in one row. Whoever did it in the slot before goes
/// on doing it if free; else an instructor is deputy, and marshals go to gate and telephone.
pub(crate) fn on_call(weekend: &Weekend) -> Vec<OnCall> {
    let people = &weekend.book.course.people;
    let name = |at: Option<usize>| at.map(|at| people[at].name.short());
    let mut before = [None; 3];
    let mut rows: Vec<OnCall> = Vec::new();
    for (slot, time) in weekend.rota.slots.iter().enumerate().take(weekend.rota.length()) {
        before = holders(weekend, slot, before);
        let [deputy, gate, phone] = before.map(name);
        let row = OnCall { from: clock_text(time.start), to: clock_text(time.end), deputy, gate, phone };
        match rows.last_mut() {
            Some(last) if (&last.deputy, &last.gate, &last.phone) == (&row.deputy, &row.gate, &row.phone) => {
                last.to = row.to;
            }
            _ => rows.push(row),
        }
    }
    rows
}

/// Which post is filled first where few are free: the gate, the deputy, the telephone.
const FIRST: [usize; 3] = [1, 0, 2];

/// Deputy, gate and telephone of a slot, by their places among the people.
fn holders(weekend: &Weekend, slot: usize, before: [Option<usize>; 3]) -> [Option<usize>; 3] {
    let mut free = free(weekend, slot);
    let posts = &FIRST[..free.len().min(FIRST.len())];
    let mut chosen = [None; 3];
    for post in posts {
        chosen[*post] = before[*post].filter(|at| free.contains(at));
    }
    free.retain(|at| !chosen.contains(&Some(*at)));
    for post in posts {
        if chosen[*post].is_some() {
            continue;
        }
        let instructs = |at: &usize| weekend.book.course.people[*at].role == Role::Instructor;
        let place = free.iter().position(|at| instructs(at) == (*post == 0)).unwrap_or(0);
        chosen[*post] = Some(free.remove(place));
    }
    chosen
}

/// Staff with nothing to do in a slot, whoever is in charge and whoever gives first aid left out.
pub(crate) fn free(weekend: &Weekend, slot: usize) -> Vec<usize> {
    let book = weekend.book;
    let first_aid = doing(book.course, Role::FirstAider, book.missing());
    let leads = doing(book.course, Role::Lead, book.missing());
    let time = weekend.rota.slots[slot];
    let stand_in = deputies(book.course, book.missing(), time).unwrap_or_default();
    let busy = |at: usize| {
        weekend.rota.duties.iter().any(|duty| (duty.person, duty.slot) == (at, slot))
            || stand_in.contains(&at)
            || !person_there(book.course, at, time)
    };
    let serves = |role: Role| matches!(role, Role::Instructor | Role::Marshal | Role::Spotter);
    let there = book.there().filter(|(_, person)| serves(person.role)).map(|(at, _)| at);
    there.filter(|at| !busy(*at) && !first_aid.contains(at) && !leads.contains(at)).collect()
}
