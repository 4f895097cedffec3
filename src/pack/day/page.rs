//! The day on one page: what happens when, in which vehicle, who drives, teaches, stands where and holds the day; and
//! what of the pack's lessons has minutes in it and what is left out.

use serde::Serialize;

use crate::course::{Person, Role};
use crate::engine::{comparison, whole_minutes};
use crate::pack::book::Book;
use crate::pack::day::crew_time::{self, Job, rigged};
use crate::pack::day::posts::{Posts, lent, of_demonstration, of_turn, winches};
use crate::pack::ground::demonstration::Demonstration;
use crate::pack::ground::timetable::{Kind, Part, timetable};
use crate::pack::ground::trouble::gentlest;
use crate::pack::learn::quiz;
use crate::pack::sheet::locked::slides_on;
use crate::rota::{CHANGEOVER, SessionSum, Turn, clock_text, day_sum, on_slope};

/// A row of the page.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct DayRow {
    from: String,
    to: String,
    what: String,
    /// Whether it begins a session.
    heads: bool,
    outcome: String,
    posts: Option<Posts>,
}

/// The day.
#[derive(Debug, Serialize)]
pub(crate) struct DayPage {
    rows: Vec<DayRow>,
    /// Lessons of the pack that have no minutes in the day, what to cut first last.
    left_out: Vec<String>,
    /// Whose winch stands ready at a brow.
    ready: Vec<String>,
    /// Who is in charge of the day, where somebody stands in at times.
    in_charge: Option<String>,
    /// The learners who drive a slope.
    drives: Vec<Drives>,
    /// Learners who drive no slope.
    idle: Vec<String>,
    learners: usize,
}

/// A lesson of the pack that wants minutes.
struct Lesson {
    title: String,
    minutes: u16,
    sort: Sort,
    /// Where in a day it can stand.
    fits: fn(Room) -> bool,
}

/// What sets a lesson apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    /// Opens the minutes it stands in: a model on a board comes before any vehicle.
    Model,
    /// Has posts of its own.
    Demonstration,
    Other,
}

/// Minutes of the day not driven in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Room {
    /// Before a session's driving.
    Talk,
    /// After it.
    Left,
    /// The session that ends the day.
    Last,
}

struct Free {
    room: Room,
    session: usize,
    from: u16,
    left: u16,
}

/// Minutes of the demonstration, of the drills done standing, and below of the table-top. Common practice, no source.
const DEMONSTRATION: u16 = 25;
const DRILLS: u16 = 15;
/// Minutes of a vehicle for the drills that want a slope: stopped half-way up and backed down, left with chocks.
const DRILL_EACH: u16 = 4;
const TABLE_TOP: u16 = 20;
/// Minutes of the look back, as its own sheet says.
const REVIEW: u16 = 20;
/// Runs of each vehicle in the comparison.
pub(crate) const COMPARED: u16 = 3;

impl DayPage {
    /// From the book; none for a course with a rota, whose run sheets say it.
    pub(crate) fn of(book: &Book) -> Option<Self> {
        if book.rota.is_some() || book.course.day.sessions.is_empty() {
            return None;
        }
        let sums = day_sum(book.course, &book.reckoning);
        let parts = timetable(book);
        let mut rooms = rooms(&parts, &sums);
        let mut taken: Vec<(usize, Lesson)> = Vec::new();
        let mut left_out = Vec::new();
        let shown = demonstration(book);
        for lesson in lessons(book, shown.as_ref()) {
            let fits = |free: &Free| (lesson.fits)(free.room) && free.left >= lesson.minutes;
            // A model belongs before the driving; where no talk is so long, it is shown after it rather than not at all.
            let any = |free: &Free| {
                lesson.sort == Sort::Model && free.room != Room::Last && free.left >= lesson.minutes
            };
            let place = rooms.iter().position(fits).or_else(|| rooms.iter().position(any));
            let Some(at) = place else {
                left_out.push(format!("{}, {} min", lesson.title, lesson.minutes));
                continue;
            };
            rooms[at].left -= lesson.minutes;
            taken.push((at, lesson));
        }
        let mut placed = laid_out(book, &rooms, taken, shown.as_ref());
        for (session, rig) in rigging(book, &parts, &sums) {
            match rig {
                Ok(job) => placed.push((session, of_job(job))),
                Err(why) => left_out.push(why),
            }
        }
        let mut rows = rows(book, &parts, &sums, &placed);
        let begins = parts.iter().find_map(|part| part.from);
        let before = begins.and_then(|begins| crew_time::before(book, &sums, begins));
        rows.splice(0..0, before.map(|job| DayRow { heads: true, ..of_job(job) }));
        let posts = || rows.iter().filter_map(|row| row.posts.as_ref());
        let ready = |posts: &Posts| {
            let marks = posts.ready.join(", ");
            let said = format!(
                "{} {}: {marks} stands ready at the brow with its winch, and drives last",
                posts.from, posts.mark
            );
            (!posts.ready.is_empty()).then_some(said)
        };
        let ready = posts().filter_map(ready).chain(elsewhere(book, &sums)).collect();
        let in_charge = posts().any(|posts| posts.stands_in).then(|| book.who_does(Role::Lead)).flatten();
        let (drives, idle): (Vec<Drives>, Vec<Drives>) =
            drives(book, &sums).into_iter().partition(|one| one.runs > 0);
        Some(Self {
            rows,
            left_out,
            ready,
            in_charge,
            learners: drives.len() + idle.len(),
            idle: idle.into_iter().map(|one| one.name).collect(),
            drives,
        })
    }
}

/// Vehicles that the winch of one which does not drive that slope fetches: it stands at the brow all the same.
fn elsewhere(book: &Book, sums: &[SessionSum]) -> Vec<String> {
    let turns = sums.iter().flat_map(|sum| sum.turns.iter().map(move |turn| (sum, turn)));
    let said = turns.flat_map(|(sum, turn)| {
        let slope = &book.course.slopes[turn.slope];
        lent(book, turn).into_iter().map(move |(host, stuck)| {
            let host = book.vehicle_mark(&book.course.vehicles[host].id);
            format!(
                "{} {}: the winch of {host} is what fetches {stuck}: it stands at this brow while they drive, or they stay up",
                clock_text(sum.begins + turn.from),
                book.slope_mark(&slope.id),
            )
        })
    });
    said.collect()
}

/// Who is where, turn by turn, the demonstration among them; empty where run sheets say it.
pub(crate) fn posts_of_the_day(book: &Book) -> Vec<Posts> {
    let rows = DayPage::of(book).map_or_else(Vec::new, |day| day.rows);
    rows.into_iter().filter_map(|row| row.posts).collect()
}

/// The rows of the lessons, one after the other in each room, with the session they stand in.
fn laid_out(
    book: &Book,
    rooms: &[Free],
    mut taken: Vec<(usize, Lesson)>,
    shown: Option<&Demonstration>,
) -> Vec<(usize, DayRow)> {
    taken.sort_by_key(|(at, lesson)| (*at, lesson.sort != Sort::Model));
    let mut next: Vec<u16> = rooms.iter().map(|free| free.from).collect();
    let place = |(at, lesson): (usize, Lesson)| {
        let from = next[at];
        next[at] += lesson.minutes;
        let shown = shown.filter(|_| lesson.sort == Sort::Demonstration);
        let posts = shown.and_then(|shown| of_demonstration(book, shown, (from, next[at])));
        (rooms[at].session, DayRow { posts, ..row(from, next[at], lesson.title) })
    };
    taken.into_iter().map(place).collect()
}

/// What a learner drives of the day.
#[derive(Debug, Serialize)]
struct Drives {
    name: String,
    runs: usize,
    /// When the last turn is over, where others drive for long after it.
    over: Option<String>,
}

/// Who looks on for this long at the end of the driving is told what to do then, minutes. Judgement.
const LOOKS_ON: u16 = 60;

/// What each learner drives of the day.
fn drives(book: &Book, sums: &[SessionSum]) -> Vec<Drives> {
    let course = book.course;
    let ends = |turn: &Turn, sum: &SessionSum| sum.begins + turn.to;
    let turns = || sums.iter().flat_map(|sum| sum.turns.iter().map(move |turn| (sum, turn)));
    let last = turns().map(|(sum, turn)| ends(turn, sum)).max().unwrap_or(0);
    let of = |person: &Person| {
        let at = course.vehicles.iter().position(|one| Some(&one.id) == person.vehicle.as_ref());
        let mine = || turns().filter(move |(_, turn)| at.is_some_and(|at| turn.on.vehicles.contains(&at)));
        let over = mine().map(|(sum, turn)| ends(turn, sum)).max();
        Drives {
            name: person.name.short(),
            runs: mine().map(|(sum, _)| usize::from(sum.runs)).sum(),
            over: over.filter(|over| over + LOOKS_ON <= last).map(clock_text),
        }
    };
    course.people.iter().filter(|person| person.role == Role::Driver).map(of).collect()
}

/// The demonstration, where there is one.
fn demonstration<'a>(book: &'a Book) -> Option<Demonstration<'a>> {
    Demonstration::of(book, book.meta("", "", ""))
}

/// What of the pack's lessons wants minutes, what is cut last first.
fn lessons(book: &Book, shown: Option<&Demonstration>) -> Vec<Lesson> {
    let mut all = Vec::new();
    let mut add = |sort: Sort, title: String, minutes: u16, fits: fn(Room) -> bool| {
        all.push(Lesson { title, minutes, sort, fits });
    };
    if let Some(shown) = shown {
        let how = if shown.locks() { "geared, then locked" } else { "held by the gear" };
        let title = format!("Demonstration: {how}");
        add(Sort::Demonstration, title, DEMONSTRATION, |room| room != Room::Last);
    }
    let mut plain = |title: &str, minutes, fits| add(Sort::Other, title.to_owned(), minutes, fits);
    plain("Drills of when-it-goes-wrong, standing on the level", DRILLS, |room| room == Room::Talk);
    if let Some((mark, minutes)) = drills_on_the_slope(book) {
        plain(&format!("Drills of when-it-goes-wrong on {mark}"), minutes, |room| room == Room::Left);
    }
    plain("Review: after-day sheet", REVIEW, |room| room == Room::Last);
    add(Sort::Model, "Table-top demonstration".to_owned(), TABLE_TOP, |room| room == Room::Talk);
    let mut plain = |title: &str, minutes, fits| add(Sort::Other, title.to_owned(), minutes, fits);
    plain("Quiz", quiz::minutes(book), |room| room != Room::Talk);
    if let Some((mark, minutes)) = compared(book) {
        plain(&format!("Comparison on {mark}"), minutes, |room| room == Room::Left);
    }
    all
}

/// Where the drills that want a slope are done, and how long all who drive it need.
fn drills_on_the_slope(book: &Book) -> Option<(String, u16)> {
    // Stopping and backing down are practised where a wheel that locks stops, never on slick ground.
    let slope = gentlest(book).filter(|slope| !slides_on(book.course, slope))?;
    let drive = book.course.vehicles.iter().filter(|vehicle| book.pair(slope, vehicle).judged.mark.goes());
    let count = u16::try_from(drive.count()).ok()?;
    Some((book.slope_mark(&slope.id), DRILL_EACH * count))
}

/// Where vehicles are compared, and how long that takes.
fn compared(book: &Book) -> Option<(String, u16)> {
    let (slope, rows) = comparison(book.course, &book.reckoning)?;
    let fleet: Vec<usize> = rows.iter().map(|row| row.vehicle).collect();
    let on = on_slope(book.course, &book.reckoning, slope, &fleet, COMPARED)?;
    let mark = book.slope_mark(&book.course.slopes[slope].id);
    Some((mark, u16::try_from(whole_minutes(on.time)).unwrap_or(u16::MAX)))
}

/// The minutes of the day in which a lesson can stand.
fn rooms(parts: &[Part], sums: &[SessionSum]) -> Vec<Free> {
    let mut rooms = Vec::new();
    let last = parts.iter().rfind(|part| part.kind == Kind::Session);
    for part in parts {
        let (Some(session), Some(from), Some(to)) = (part.session, part.from, part.to) else { continue };
        if let Some(sum) = sums.iter().find(|sum| sum.session == session) {
            rooms.push(Free { room: Room::Talk, session, from, left: sum.begins - from });
            let pause = if sum.turns.is_empty() { 0 } else { CHANGEOVER };
            let begins = sum.begins + sum.used() + pause;
            rooms.push(Free { room: Room::Left, session, from: begins, left: to.saturating_sub(begins) });
        } else if last.is_some_and(|last| last.session == part.session) {
            rooms.push(Free { room: Room::Last, session, from, left: to - from });
        }
    }
    rooms
}

fn row(from: u16, to: u16, what: String) -> DayRow {
    DayRow {
        from: clock_text(from),
        to: clock_text(to),
        what,
        heads: false,
        outcome: String::new(),
        posts: None,
    }
}

fn of_job(job: Job) -> DayRow {
    DayRow { outcome: job.how, ..row(job.from, job.to, job.what) }
}

/// When each winch that stands ready is rigged, with the session; an error names one that has no minutes for it.
fn rigging(book: &Book, parts: &[Part], sums: &[SessionSum]) -> Vec<(usize, Result<Job, String>)> {
    let begin = |sum: &SessionSum| {
        parts.iter().find(|part| part.session == Some(sum.session)).and_then(|part| part.from)
    };
    let timed = sums.iter().filter_map(|sum| Some((sum, begin(sum)?)));
    let of_sum = |(sum, from): (&SessionSum, u16)| {
        let mut rigs = Vec::new();
        for turn in &sum.turns {
            let lent = lent(book, turn).into_iter().map(|(host, _)| host);
            for at in winches(book, turn).into_iter().chain(lent) {
                rigs.push((sum.session, rigged(book, (sum, from), turn, at)));
            }
        }
        rigs
    };
    timed.flat_map(of_sum).collect()
}

fn rows(book: &Book, parts: &[Part], sums: &[SessionSum], placed: &[(usize, DayRow)]) -> Vec<DayRow> {
    let mut all = Vec::new();
    for part in parts {
        all.push(DayRow {
            from: part.start.clone(),
            to: part.end(),
            what: part.title.clone(),
            heads: true,
            outcome: part.outcome.clone(),
            posts: None,
        });
        let Some(session) = part.session else { continue };
        let mut within: Vec<DayRow> =
            placed.iter().filter(|(at, _)| *at == session).map(|(_, row)| row.clone()).collect();
        for sum in sums.iter().filter(|sum| sum.session == session) {
            within.extend(sum.turns.iter().map(|turn| {
                let posts = of_turn(book, sum, turn);
                let what = format!("{} {}", posts.mark, posts.name);
                let to = sum.begins + turn.to;
                DayRow { posts: Some(posts), ..row(sum.begins + turn.from, to, what) }
            }));
        }
        within.sort_by(|a, b| a.from.cmp(&b.from));
        all.extend(within);
    }
    all
}
