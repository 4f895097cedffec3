//! The day by the clock: the course's sessions, the pauses between them, and the slots of the rota kept
//! free for weather. Every sheet that says when something begins or ends takes it from here.

use crate::course::{Remark, Session};
use crate::pack::book::Book;
use crate::pack::weekend::day::{Stretch, Weekend};
use crate::rota::{Slot, clock_text};

/// A pause shorter than this goes without saying, minutes.
const PAUSE: u16 = 10;
/// What the rota is called where no session stands for it.
const STATIONS: &str = "Stations, as the run sheets say";

/// What a part of the day is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A session of the course.
    Session,
    /// Nothing is planned.
    Pause,
    /// The rota, where no session is held meanwhile.
    Rota,
    /// Slots of the rota kept free for weather.
    Reserve,
}

/// A part of the day. Minutes since midnight, as far as they are known.
#[derive(Clone, Debug)]
pub(crate) struct Part {
    pub(crate) kind: Kind,
    /// As the course writes it.
    pub(crate) start: String,
    pub(crate) from: Option<u16>,
    pub(crate) to: Option<u16>,
    pub(crate) title: String,
    pub(crate) outcome: String,
    /// Which session of the course it is.
    pub(crate) session: Option<usize>,
}

impl Part {
    /// Its end as a clock time; empty where nobody said how long it takes.
    pub(crate) fn end(&self) -> String {
        self.to.map_or_else(String::new, |to| clock_text(to % (24 * 60)))
    }

    fn between(kind: Kind, title: &str, from: u16, to: u16) -> Self {
        Self {
            kind,
            start: clock_text(from),
            from: Some(from),
            to: Some(to),
            title: title.to_owned(),
            outcome: String::new(),
            session: None,
        }
    }
}

/// For whom a session is held for which one time is enough.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Again {
    Everybody,
    NewOnes,
    Nobody,
}

fn again(book: &Book) -> Again {
    let course = book.course;
    if course.day_number() == 1 {
        return Again::Everybody;
    }
    let new = (0..course.roster.drivers.len()).any(|at| course.is_new_today(at));
    if new { Again::NewOnes } else { Again::Nobody }
}

/// The parts of the day in their order.
pub(crate) fn timetable(book: &Book) -> Vec<Part> {
    let sessions = book.course.day.sessions.iter().enumerate();
    // What one time is enough for is left out where nobody is new.
    let held = |(_, session): &(usize, &Session)| !session.once || again(book) != Again::Nobody;
    let mut parts: Vec<Part> = sessions
        .filter(held)
        .map(|(at, session)| {
            let mut part = Part { session: Some(at), ..of_session(session) };
            if session.once && again(book) == Again::NewOnes {
                part.title = format!("{} (for who is new today)", part.title);
            }
            part
        })
        .collect();
    let Some(weekend) = Weekend::of(book) else { return with_pauses(parts, &[]) };
    with_the_rota(&mut parts, &weekend);
    end_with_the_rota(&mut parts, &weekend);
    with_pauses(parts, weekend.slots().get(..weekend.rota.length()).unwrap_or_default())
}

impl Weekend<'_> {
    /// What begins before the first station, with its times; none where nothing does.
    pub(crate) fn before_the_stations(&self) -> Option<String> {
        let first = self.slots().first()?.start;
        let early = |part: &Part| part.kind == Kind::Session && part.from.is_some_and(|from| from < first);
        let parts = timetable(self.book).into_iter().filter(early);
        let said: Vec<String> = parts.map(|part| format!("{} {}", part.start, part.title)).collect();
        (!said.is_empty()).then(|| said.join("; "))
    }

    /// With what follows the rota, to the end of the day: everybody's last sheet says when that is.
    pub(crate) fn to_the_end(&self, mut day: Vec<Stretch>) -> Vec<Stretch> {
        let over = self.slots().last().map_or(0, |slot| slot.end);
        let after = timetable(self.book).into_iter().filter(|part| part.kind == Kind::Session);
        for part in after {
            let (Some(from), to) = (part.from, part.to.or(part.from)) else { continue };
            if from < over {
                continue;
            }
            let slot = Slot { start: from, end: to.unwrap_or(from) };
            day.push(Stretch { place: part.title, ..self.free(0, slot, false) });
        }
        day
    }
}

/// When the rota's slots kept free for weather begin and end; none without such slots.
pub(crate) fn reserve(weekend: &Weekend) -> Option<(u16, u16)> {
    let spare = weekend.slots().get(weekend.rota.length()..)?;
    Some((spare.first()?.start, spare.last()?.end))
}

/// The rota has its place in the day where no session stands for it.
fn with_the_rota(parts: &mut Vec<Part>, weekend: &Weekend) {
    let slots = weekend.slots();
    let driven = slots.get(..weekend.rota.length()).unwrap_or_default();
    let (Some(first), Some(last)) = (driven.first(), driven.last()) else { return };
    let meets = |part: &Part| {
        part.from.is_some_and(|from| from < last.end)
            && part.to.or(part.from).is_some_and(|to| to > first.start)
    };
    if parts.iter().any(meets) {
        return;
    }
    let at =
        parts.iter().position(|part| part.from.is_some_and(|from| from >= last.end)).unwrap_or(parts.len());
    parts.insert(at, Part::between(Kind::Rota, STATIONS, first.start, last.end));
}

/// The session during which the rota ends lasts no longer than the rota, and its reserve follows.
fn end_with_the_rota(parts: &mut Vec<Part>, weekend: &Weekend) {
    let slots = weekend.slots();
    let Some(last) = weekend.rota.length().checked_sub(1).and_then(|last| slots.get(last)) else { return };
    let during = |part: &Part| {
        part.from.is_some_and(|from| from < last.end) && part.to.is_some_and(|to| to >= last.end)
    };
    let Some(at) = parts.iter().position(during) else { return };
    // A session with runs or talk of its own, an assessment, is as long as the course says.
    let sessions = &weekend.book.course.day.sessions;
    let own = parts[at].session.is_some_and(|at| sessions[at].runs.is_some() || sessions[at].talk.is_some());
    let ends = if own { parts[at].to.unwrap_or(last.end) } else { last.end };
    parts[at].to = Some(ends);
    if let Some((from, to)) = reserve(weekend).filter(|(_, to)| *to > ends) {
        parts.insert(at + 1, Part::between(Kind::Reserve, "Kept free for weather", from.max(ends), to));
    }
}

/// What no session fills between two of them: stations of the rota, where slots of it are driven then, and breaks.
fn with_pauses(parts: Vec<Part>, driven: &[Slot]) -> Vec<Part> {
    let mut all: Vec<Part> = Vec::new();
    for part in parts {
        let before = all.last().and_then(|before| before.to);
        if let (Some(before), Some(from)) = (before, part.from) {
            all.extend(between(before, from, driven));
        }
        all.push(part);
    }
    all
}

fn between(before: u16, from: u16, driven: &[Slot]) -> Vec<Part> {
    let pause = |from: u16, to: u16| {
        (to >= from.saturating_add(PAUSE)).then(|| Part::between(Kind::Pause, "Break", from, to))
    };
    let mut here = driven.iter().filter(|slot| slot.start < from && slot.end > before);
    let Some(first) = here.next() else { return pause(before, from).into_iter().collect() };
    let last = here.next_back().unwrap_or(first);
    let (start, end) = (first.start.max(before), last.end.min(from));
    let stations = (end > start).then(|| Part::between(Kind::Rota, STATIONS, start, end));
    [pause(before, start), stations, pause(end, from)].into_iter().flatten().collect()
}

fn of_session(session: &Session) -> Part {
    let from = session.start.minutes();
    let long = session.length.map(|length| crate::engine::whole_minutes(length.si()));
    let long = long.and_then(|long| u16::try_from(long).ok()).filter(|long| *long <= 24 * 60);
    Part {
        kind: Kind::Session,
        start: session.start.to_string(),
        from: Some(from),
        to: long.and_then(|long| from.checked_add(long)),
        title: session.title.short(),
        outcome: session.outcome.as_ref().map(Remark::short).unwrap_or_default(),
        session: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Time;

    fn session(start: &str, minutes: f64) -> Part {
        of_session(&Session {
            start: start.parse().expect("a clock time"),
            title: "".into(),
            length: Some(Time::new(minutes * 60.0)),
            outcome: None,
            slopes: Vec::new(),
            talk: None,
            runs: None,
            once: false,
        })
    }

    #[test]
    fn a_session_ends_when_its_minutes_are_over() {
        assert_eq!(session("09:40", 35.0).end(), "10:15");
    }

    #[test]
    fn what_lies_between_two_sessions_is_a_break() {
        let parts =
            with_pauses(vec![session("09:00", 60.0), session("10:15", 30.0), session("10:50", 10.0)], &[]);
        let kinds: Vec<Kind> = parts.iter().map(|part| part.kind).collect();
        assert_eq!(kinds, [Kind::Session, Kind::Pause, Kind::Session, Kind::Session]);
        assert_eq!((&*parts[1].start, &*parts[1].end()), ("10:00", "10:15"));
    }

    #[test]
    fn no_break_is_told_of_while_the_rota_drives() {
        let slots = [Slot { start: 735, end: 765 }, Slot { start: 770, end: 800 }];
        let parts = with_pauses(vec![session("10:30", 120.0), session("13:30", 60.0)], &slots);
        let said: Vec<(Kind, String)> = parts.iter().map(|part| (part.kind, part.end())).collect();
        assert_eq!(said[1..3], [(Kind::Rota, "13:20".to_owned()), (Kind::Pause, "13:30".to_owned())]);
    }
}
