//! Nobody drives while everybody is briefed: the rota begins when sign-on and briefing are over.

use std::ops::Range;

use crate::course::cursor::Fields;
use crate::course::tree::Value;
use crate::course::{Clock, Day, RotaRules, Session};
use crate::problem::Problem;

/// Sessions that everybody has before they drive.
const BEFORE: [&str; 4] = ["briefing", "sign-on", "sign on", "vehicle check"];

/// The first session, by its place, that lasts into a rota from this time on, min; and when it ends.
pub(super) fn lasts_into(sessions: &[Session], from: u16) -> Option<(usize, u16)> {
    sessions.iter().enumerate().find_map(|(at, session)| {
        let start = session.start.minutes();
        let long = crate::course::day::ways::whole_minutes(session.length?.si());
        let end = start.saturating_add(long);
        let drives = !session.slopes.is_empty() || session.runs.is_some();
        let during = start <= from && end > from && !drives;
        (during && (start < from || before_driving(session))).then_some((at, end))
    })
}

fn before_driving(session: &Session) -> bool {
    let title = session.title.full().to_lowercase();
    BEFORE.iter().any(|words| title.contains(words) && !title.contains("debriefing"))
}

/// What is wrong, and what would be right.
pub(super) fn told(session: &Session, from: u16, end: u16) -> (String, String) {
    let (from, end) = (Clock::at(from), Clock::at(end % (24 * 60)));
    let message = format!(
        "the rota begins at {from}, and `{}` lasts until {end}: somebody would drive meanwhile",
        session.title
    );
    (message, format!("let the rota begin later, `from: {end}`, or the session end earlier"))
}

/// Of a course of a single day.
pub(in crate::course::read) fn nobody_drives(fields: &Fields, day: &Day, rota: &RotaRules) {
    let Some((at, end)) = lasts_into(&day.sessions, rota.from) else { return };
    let (message, help) = told(&day.sessions[at], rota.from, end);
    let problem = Problem::new(message).help(help).at(place_of(fields, "day", "sessions", Some(at)));
    fields.note(problem.related(place_of(fields, "rota", "from", None), "the rota's beginning"));
}

/// The place of what stands under a key of a part, or of one of its items.
fn place_of(fields: &Fields, part: &str, key: &str, item: Option<usize>) -> Range<usize> {
    let part = fields.peek(part).and_then(|part| Fields::of(&part, "").ok());
    let Some(found) = part.and_then(|part| part.peek(key)) else { return 0..0 };
    match (&found.node.value, item) {
        (Value::List(items), Some(at)) => items.get(at).map_or_else(
            || found.span(),
            |item| match &item.value {
                Value::Map(entries) if !entries.is_empty() => entries[0].key_span.clone(),
                _ => item.span.clone(),
            },
        ),
        _ => found.span(),
    }
}
