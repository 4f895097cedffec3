//! The day as a calendar file (iCalendar, N7).

use chrono::{DateTime, Duration, FixedOffset, NaiveDateTime, TimeZone, Utc};
use icalendar::{Calendar, Component, Event, EventLike, Property};

use crate::pack::book::Book;
use crate::pack::ground::timetable::{Kind, timetable};
use crate::pack::weekend::day::Weekend;

/// File of the calendar.
pub const CALENDAR: &str = "day.ics";
/// What it is.
pub const CALENDAR_TITLE: &str = "Calendar file of the day";

/// Who made the file, as section 3.7.3 asks: an owner, a product, a language.
const PRODUCT: &str = "-//slopepack//Calendar of the day//EN";

/// Sign-on to debriefing, and the rota's slots without names, of every day; none without a date and a place.
///
/// Nothing in it depends on the clock: the stamp is the start of the first day itself.
pub fn calendar(book: &Book) -> Option<String> {
    let mut calendar = Calendar::empty();
    for (key, value) in [("VERSION", "2.0"), ("PRODID", PRODUCT), ("CALSCALE", "GREGORIAN")] {
        calendar.append_property(Property::new(key, value));
    }
    let stamp = at(book, 0)?;
    if book.days.is_empty() {
        add(&mut calendar, book, stamp, "")?;
    }
    for number in 1..=book.days.len() {
        add(&mut calendar, &book.on_day(number), stamp, &format!("day-{number}-"))?;
    }
    Some(calendar.to_string())
}

/// A time of the day in universal time.
fn at(book: &Book, minutes: u16) -> Option<DateTime<Utc>> {
    let rules = book.course.rota.as_ref()?;
    let zone = FixedOffset::east_opt(rules.place?.ahead * 60)?;
    let midnight = rules.date?.and_hms_opt(0, 0, 0)?;
    let local: NaiveDateTime = midnight + Duration::minutes(i64::from(minutes));
    zone.from_local_datetime(&local).single().map(|time| time.with_timezone(&Utc))
}

fn add(calendar: &mut Calendar, book: &Book, stamp: DateTime<Utc>, day: &str) -> Option<()> {
    let weekend = Weekend::of(book)?;
    let course = book.course;
    let about = in_one_line(&format!("{}, {}", course.title.full(), course.club.full()));
    let mut push = |name: &str, summary: &str, from: u16, to: u16| -> Option<()> {
        let event = Event::new()
            .uid(&format!("{day}{name}-{}@slopepack.invalid", book.fingerprint))
            .timestamp(stamp)
            .summary(&in_one_line(summary))
            .description(&about)
            .location(&in_one_line(course.site.full()))
            .starts(at(book, from)?)
            .ends(at(book, to)?)
            .done();
        calendar.push(event);
        Some(())
    };
    let sessions = timetable(book).into_iter().filter(|part| part.kind == Kind::Session);
    for (place, session) in sessions.enumerate() {
        let (Some(from), Some(end)) = (session.from, session.to) else { continue };
        push(&format!("session-{}", place + 1), &session.title, from, end)?;
    }
    for (place, slot) in weekend.slots().iter().take(weekend.rota.length()).enumerate() {
        push(&format!("slot-{}", place + 1), &format!("Rota, slot {}", place + 1), slot.start, slot.end)?;
    }
    Some(())
}

/// A text of the course without what some reader takes for the end of a line, so that nothing in it can begin a line of
/// its own. The library marks commas, semicolons and backslashes.
fn in_one_line(text: &str) -> String {
    let breaks = |letter: char| letter.is_control() || matches!(letter, '\u{2028}' | '\u{2029}');
    text.split(breaks).filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ")
}
