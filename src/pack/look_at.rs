//! What the index asks whoever prints to look at, beyond what the course alone shows: people, radios and
//! chocks against what the day needs, the clock, the demonstration.

use crate::course::{Course, KitKind, Role};
use crate::pack::book::Book;
use crate::pack::day::channels;
use crate::pack::day::posts::radios as radios_of;
use crate::pack::ground::day_sum::does_not_fit;
use crate::pack::ground::demonstration::Demonstration;
use crate::pack::ground::risk::missing_kit;
use crate::pack::ground::timetable::{Kind, timetable};
use crate::pack::weekend::day::Weekend;
use crate::rota::{Post, Station, clock_text, day_sum};

/// A gap after the rota longer than this is worth a word, minutes.
const GAP: u16 = 45;
/// Chocks of one vehicle: one before and one behind a wheel.
const PAIR: usize = 2;
/// Radios beside those on the slopes: control and first aid.
const OFF_SLOPE: usize = 2;

/// Everything to look at, in order of weight.
pub(crate) fn look_at(book: &Book) -> Vec<String> {
    let mut all = does_not_fit(book);
    let told = [demonstration(book), chocks(book.course), missing_kit(book)];
    all.extend(told.into_iter().flatten());
    all.extend(day_by_day(book));
    all
}

/// What concerns a day alone; of several days with its number.
fn day_by_day(book: &Book) -> Vec<String> {
    let of = |book: &Book| [posts(book), clock(book)].into_iter().flatten().collect::<Vec<_>>();
    if book.days.is_empty() {
        return of(book);
    }
    let said = |number: usize| {
        let told = of(&book.on_day(number)).into_iter();
        told.map(|one| format!("Day {number}: {one}")).collect::<Vec<_>>()
    };
    (1..=book.days.len()).flat_map(said).collect()
}

/// Posts on the slopes against the people and radios there are. With a rota the people are those it
/// found; without one, marshals and spotters for every slope at once, at brow and foot.
pub(crate) fn posts(book: &Book) -> Option<String> {
    let course = book.course;
    let radios = count(course, KitKind::Radio);
    if let Some(weekend) = Weekend::of(book) {
        let duties = |slot: usize| weekend.rota.duties.iter().filter(move |duty| duty.slot == slot);
        let outside = |slot: usize| {
            let radios = duties(slot).map(|duty| match duty.station {
                Station::Theory => 0,
                // The brow of a slope with a channel of its own hears control as well.
                Station::Slope(at) | Station::Demonstration(at) => {
                    1 + usize::from(duty.post == Post::Brow && channels::own(book, at).is_some())
                }
            });
            radios.sum::<usize>()
        };
        let most = (0..weekend.rota.length()).map(outside).max()? + OFF_SLOPE;
        return (radios < most).then(|| {
            format!(
                "Radios: up to {most} are needed at once (posts, instructors, control, first aid); the kit has {radios}. The spare with control is one more."
            )
        });
    }
    // The day's sum has somebody at every slope in use; what is left to look at is a radio for each.
    if !day_sum(course, &book.reckoning).is_empty() {
        return radios_of(book);
    }
    let (slopes, posts) = (course.slopes.len(), 2 * course.slopes.len());
    let serves = |role| matches!(role, Role::Marshal | Role::Spotter);
    let named = course.people.iter().filter(|person| serves(person.role)).count();
    (named < posts || radios < posts + OFF_SLOPE).then(|| {
        format!(
            "All {slopes} slopes at once need {posts} posts, at brow and foot, and {} radios with control and first aid. \
             Marshals and spotters named: {named}; radios: {radios}. Run fewer slopes at once, or find people and radios.",
            posts + OFF_SLOPE
        )
    })
}

/// That the kit has fewer chocks than a pair for each vehicle.
pub(crate) fn chocks(course: &Course) -> Option<String> {
    let (have, need) = (count(course, KitKind::Chock), PAIR * course.vehicles.len());
    let missing = (need.saturating_sub(have)).div_ceil(PAIR);
    let pairs = if missing == 1 { "1 pair".to_owned() } else { format!("{missing} pairs") };
    (have < need).then(|| {
        format!(
            "Wheel chocks: {need} needed, a pair for each of {} vehicles; the kit has {have}. {pairs} must come with \
             the vehicles or be found.",
            course.vehicles.len()
        )
    })
}

fn count(course: &Course, kind: KitKind) -> usize {
    course.kit.iter().filter(|item| item.kind == kind).map(|item| usize::from(item.count)).sum()
}

/// That the script of the demonstration is for another slope than the rota shows it on.
fn demonstration(book: &Book) -> Option<String> {
    let what = book.shown()?;
    if Demonstration::follows_rota(book) {
        return None;
    }
    let (slope, vehicle) = (&book.course.slopes[what.slope].name, &book.course.vehicles[what.vehicle].name);
    Some(format!(
        "The rota has its demonstration on {slope} with {vehicle}, where it cannot be shown safely: the vehicle \
         must come down there in gear, straight, with a run-out three times as long as the locked slide. Name another \
         slope or vehicle, or leave the locked run out."
    ))
}

/// That the session after the rota begins before its reserve is over, or long after it.
fn clock(book: &Book) -> Option<String> {
    let weekend = Weekend::of(book)?;
    let over = weekend.slots().last()?.end;
    let parts = timetable(book);
    let next = parts.iter().filter(|part| part.kind == Kind::Session);
    let next = next.filter(|part| part.from >= weekend.slots().first().map(|slot| slot.start));
    let late = next.filter(|part| part.to.is_some_and(|to| to > over)).min_by_key(|part| part.from)?;
    let from = late.from?;
    let end = clock_text(over);
    if from < over {
        return Some(format!(
            "{} is to begin at {}, before the rota and the slots kept free for weather are over at {end}: move one of them.",
            late.title, late.start
        ));
    }
    (from > over + GAP).then(|| {
        format!(
            "The rota and the slots kept free for weather are over at {end}; {} begins only at {}.",
            late.title, late.start
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::course::read_text;
    use crate::rota::Missing;

    const QUARRY: &str = include_str!("../../courses/quarry-day.yaml");

    #[test]
    fn posts_are_counted_against_people_and_radios() {
        let mut course = read_text(QUARRY).expect("the example reads");
        course.day.sessions.clear();
        let said = posts(&Book::of(&course, "")).expect("eight slopes, two marshals and two spotters");
        assert!(
            said.contains("16 posts") && said.contains("named: 4;") && said.contains("radios: 6."),
            "{said}"
        );
        course.slopes.truncate(1);
        assert_eq!(
            posts(&Book::of(&course, "")),
            None,
            "four people and six radios are enough for one slope"
        );
        course.kit.retain(|item| item.kind != KitKind::Radio);
        assert!(posts(&Book::of(&course, "")).is_some(), "but not without radios");
    }

    #[test]
    fn a_pair_of_chocks_for_each_vehicle() {
        let mut course = read_text(QUARRY).expect("the example reads");
        assert_eq!(chocks(&course), None);
        let chock = course.kit.iter_mut().find(|item| item.kind == KitKind::Chock).expect("there are some");
        chock.count = 7;
        let said = chocks(&course).expect("five vehicles need ten");
        assert!(said.contains("10 needed") && said.contains("has 7.") && said.contains("2 pairs"), "{said}");
    }

    #[test]
    fn a_debriefing_in_the_reserve_or_long_after_it_is_said() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/courses/six-slope-saturday.yaml");
        let loaded = crate::course::read(std::path::Path::new(path));
        let course = loaded.map_err(|unread| format!("{:?}", unread.failure)).expect("it reads").course;
        let said = |start: &str| {
            let mut course = course.clone();
            let session = course.day.sessions.last_mut().expect("a session");
            session.start = start.parse().expect("a clock time");
            let mut book = Book::of(&course, "");
            book.rotate(&Missing::default()).expect("a rota");
            clock(&book)
        };
        assert_eq!(said("17:10"), None);
        assert!(said("16:50").expect("the reserve runs to 17:05").contains("move one of them"));
        assert!(said("18:10").expect("an hour of nothing").contains("begins only at 18:10"));
    }

    #[test]
    fn a_demonstration_the_script_cannot_show_there_is_said() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/courses/six-slope-saturday.yaml");
        let loaded = crate::course::read(std::path::Path::new(path));
        let mut course = loaded.map_err(|unread| format!("{:?}", unread.failure)).expect("it reads").course;
        assert_eq!(demonstration(&Book::of(&course, "")), None);
        let shown = course.rota.as_mut().and_then(|rules| rules.demonstration.as_mut()).expect("one");
        shown.slope = Some("tilt".to_owned());
        let said = demonstration(&Book::of(&course, "")).expect("a slope with a cross slope");
        assert!(said.contains("Tilted bank"), "{said}");
    }
}
