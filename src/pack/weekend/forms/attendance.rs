//! Who signs on, and who is called at roll call.

use serde::Serialize;

use crate::course::{Course, Role};
use crate::pack::book::Book;
use crate::pack::ground::plan::role_word;
use crate::pack::weekend::company::hours;
use crate::pack::weekend::day::Weekend;
use crate::pack::weekend::forms::leader;
use crate::page::meta::Meta;

/// Sign-on, consent and attendance.
#[derive(Serialize)]
pub(crate) struct Attendance {
    pack: Meta,
    sessions: Vec<String>,
    /// Who signs on: everybody, and after a change on the day those alone who were on no list.
    signing: Vec<Signed>,
    /// Whether those of the pack's list have signed there.
    added: bool,
    /// Whether some of them signed on an earlier day.
    again: bool,
    people: Vec<Signed>,
    leader: String,
}

/// Rows left open at the foot of the roll call.
const BLANK_ROWS: usize = 6;

#[derive(Clone, Default, Serialize)]
struct Signed {
    no: String,
    name: String,
    vehicle: String,
    /// Where licence and pictures were settled, where that was on an earlier day; empty to be filled in.
    settled: String,
    /// The same of the briefing, where the day has one for those alone who are new.
    briefed: String,
}

impl Attendance {
    /// From a book with a rota.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let (known_drivers, known_staff) = book.printed.anew.as_ref().map_or((0, 0), |anew| anew.known);
        let course = book.course;
        let drivers = weekend.present().into_iter().map(|at| {
            let driver = &weekend.drivers()[at];
            let vehicle = book.vehicle_mark(&driver.vehicle);
            let row = Signed {
                no: driver.id.clone(),
                name: weekend.on_the_list(at),
                vehicle,
                ..signed(course, course.before().come.contains(&at))
            };
            (at >= known_drivers, row)
        });
        let riders = weekend.riding().map(|at| {
            let rider = &book.course.roster.passengers[at];
            let times = rider.comes.between(book.course.day_number(), book.course.days_held());
            let times = times.map_or_else(String::new, hours);
            let name = format!("{} (rides along){times}", rider.name);
            let vehicle = book.vehicle_mark(weekend.carrier(at));
            let known =
                signed(course, came_earlier(course, |day| rider.comes.between(day, course.days_held())));
            // Whoever rides along is on the list of the pack; a change brings none.
            (book.change.is_none(), Signed { no: rider.id.clone(), name, vehicle, ..known })
        });
        let people = book.course.people.iter().enumerate();
        let there =
            people.filter(|(at, person)| !book.missing().people.contains(at) && person.role != Role::Driver);
        let staff = there.map(|(at, person)| {
            let times = book.course.person_today(at).map_or_else(String::new, hours);
            let name = format!("{} ({}){times}", person.name, role_word(person.role));
            let dash = || "–".to_owned();
            let known = signed(course, came_earlier(course, |day| serves_on(course, at, day)));
            (at >= known_staff, Signed { no: dash(), name, vehicle: dash(), ..known })
        });
        let listed: Vec<(bool, Signed)> = drivers.chain(riders).chain(staff).collect();
        // Those nobody expected: guests, passengers, the landowner, late entries.
        let blank = || (0..BLANK_ROWS).map(|_| Signed::default());
        let new = listed.iter().filter(|(new, _)| *new).map(|(_, row)| row.clone());
        Some(Self {
            pack,
            sessions: ["Before lunch", "After lunch", "Left at"].map(str::to_owned).to_vec(),
            signing: new.chain(blank()).collect(),
            added: book.change.is_some(),
            again: listed.iter().any(|(_, row)| !row.settled.is_empty()),
            people: listed.into_iter().map(|(_, row)| row).chain(blank()).collect(),
            leader: leader(book),
        })
    }
}

/// What somebody has signed and heard on an earlier day, so that nobody signs for it twice.
fn signed(course: &Course, came: bool) -> Signed {
    if !came || course.day_number() == 1 {
        return Signed::default();
    }
    let earlier = if course.day_number() == 2 { "day 1" } else { "earlier" }.to_owned();
    let once = course
        .day
        .sessions
        .iter()
        .any(|session| session.once && session.title.full().to_lowercase().contains("briefing"));
    let briefed = if once { earlier.clone() } else { String::new() };
    Signed { settled: earlier, briefed, ..Signed::default() }
}

/// Whether somebody was to come on a day before this one.
fn came_earlier(course: &Course, comes: impl Fn(usize) -> Option<(u16, u16)>) -> bool {
    (1..course.day_number()).any(|day| comes(day).is_some())
}

/// From when to when somebody of the people is there on a day.
fn serves_on(course: &Course, person: usize, day: usize) -> Option<(u16, u16)> {
    let one = &course.people[person];
    let named = &course.days.get(day - 1)?.people;
    let among = named.is_empty() || named.iter().any(|name| name == one.name.full());
    one.comes.between(day, course.days_held()).filter(|_| among)
}
