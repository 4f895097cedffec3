//! Reading the days of a course that has several.

use super::meanwhile::{lasts_into, told};
use super::sessions;
use crate::course::cursor::{Field, Fields, Names, Read};
use crate::course::read::rota::{clock, lunch};
use crate::course::tree::{Node, Value};
use crate::course::{Date, Day, OneDay, RotaRules};
use crate::problem::Problem;

/// Most days of a course.
pub(in crate::course::read) const MOST_DAYS: u64 = 7;

/// `days:`, each with what it does not say itself taken from `day` and `rota`.
pub(in crate::course::read) fn days(
    field: &Field,
    usual: &Day,
    rota: Option<&RotaRules>,
    slopes: &Names,
    people: &Names,
) -> Read<Vec<OneDay>> {
    let items = field.items("a day")?;
    if items.len() < 2 || items.len() as u64 > MOST_DAYS {
        let help = "one day is written in `day` and `rota` alone; several, up to 7, each begin with `- `";
        return Err(field.problem(format!("`days` has {} of them", items.len()), help));
    }
    let read: Vec<Read<OneDay>> =
        (1..).zip(&items).map(|(number, item)| one_day(number, item, usual, rota, slopes, people)).collect();
    let mut days = read.into_iter().collect::<Read<Vec<_>>>()?;
    for at in 1..days.len() {
        let date = |day: &OneDay| day.day.date.as_ref().and_then(Date::day);
        if let (Some(one), Some(two)) = (date(&days[at - 1]), date(&days[at]))
            && two <= one
        {
            let message = format!("day {} is {}, which does not come after day {at}", at + 1, Date::of(two));
            return Err(items[at].problem(message, "write the days in their order"));
        }
    }
    for day in &mut days {
        if let (Some(rota), Some(date)) = (&mut day.rota, &day.day.date) {
            rota.date = date.day();
        }
    }
    Ok(days)
}

fn one_day(
    number: usize,
    item: &Field,
    usual: &Day,
    rota: Option<&RotaRules>,
    slopes: &Names,
    people: &Names,
) -> Read<OneDay> {
    let mut fields = Fields::of(item, "a day")?;
    let date = fields.optional("date", Field::date);
    let start = fields.optional("start", Field::clock);
    let end = fields.optional("end", Field::clock);
    let own_sessions = fields.optional_list("sessions", |field| sessions(&field, slopes));
    let from = fields.optional("from", clock);
    let until = fields.optional("until", clock);
    let at_noon = fields.optional("lunch", |field| lunch(&field));
    let spare = fields.optional("spare-slots", |field| field.whole::<u16>(0, 20));
    let driven =
        fields.optional_list("slopes", |field| field.list("a slope's id", |item| slopes.refer(&item)));
    let there =
        fields.optional_list("people", |field| field.list("somebody's name", |item| people.refer(&item)));
    if rota.is_none() {
        for key in ["from", "until", "lunch", "spare-slots"] {
            if fields.peek(key).is_some() {
                let help = "add `rota:` with its rules, or leave it out";
                fields.problem(key, format!("`{key}` sets times of a rota, and the course has none"), help);
            }
        }
    }
    let mut day = usual.clone();
    day.date = date?.or_else(|| day.date.filter(|_| number == 1));
    day.start = start?.or(day.start);
    day.end = end?.or(day.end);
    if let (Some(from), Some(to)) = (day.start, day.end)
        && from >= to
    {
        let key = if fields.peek("end").is_some() { "end" } else { "start" };
        let message = format!("day {number} ends at {to}, before it starts at {from}");
        fields.problem(key, message, "use the 24-hour clock: 17:00, not 5:00");
    }
    let own_sessions = own_sessions?;
    if own_sessions.is_empty() {
        let early = |start| day.sessions.iter().find(|session| session.start < start);
        if let Some(session) = day.start.filter(|_| fields.peek("start").is_some()).and_then(early) {
            let message = format!(
                "day {number} starts later than its first session, which is taken from `day`: {} at {}",
                session.title, session.start
            );
            fields.problem("start", message, "write this day's own `sessions`");
        }
    } else {
        day.sessions = own_sessions;
    }
    let mut rota = rota.cloned();
    let (from, until, at_noon, spare) = (from?, until?, at_noon?, spare?);
    if let Some(rules) = &mut rota {
        rules.date = None;
        rules.from = from.unwrap_or(rules.from);
        rules.until = until.unwrap_or(rules.until);
        rules.lunch = at_noon.or(rules.lunch);
        rules.spare = spare.unwrap_or(rules.spare);
        if rules.from >= rules.until {
            let key = if fields.peek("until").is_some() { "until" } else { "from" };
            fields.problem(key, "the rota ends before it starts", "use the 24-hour clock: 16:30, not 4:30");
        }
        if let Some((at, end)) = lasts_into(&day.sessions, rules.from) {
            let (message, help) = told(&day.sessions[at], rules.from, end);
            let key = if fields.peek("from").is_some() { "from" } else { "sessions" };
            fields.problem(key, format!("day {number}: {message}"), help);
        }
    }
    fields.finish();
    Ok(OneDay { day, rota, slopes: driven?, people: there? })
}

/// The first day's date stands once: in `days`, in `day` and `rota`, or the same in both. The whole course is held
/// on all of them.
pub(in crate::course::read) fn dates(
    fields: &Fields,
    day: &mut Day,
    rota: Option<&mut RotaRules>,
    days: &[OneDay],
) {
    let Some(first) = days.first() else { return };
    if let (Some(written), Some(date)) = (&day.date, first.day.date.as_ref().and_then(Date::day))
        && !written.may_be(date)
    {
        let place = |part: &str| fields.peek(part).map_or(0..0, |part| part.span());
        let message =
            format!("the day is {written}, the first of `days` {}: two different days", Date::of(date));
        let problem =
            Problem::new(message).help("leave the date of `day` and `rota` out where `days` has it");
        fields.note(problem.at(place("days")).related(place("day"), "the day"));
    }
    day.date = Date::of_all(days.iter().filter_map(|one| one.day.date.as_ref()));
    day.start = first.day.start;
    day.end = first.day.end;
    day.sessions.clone_from(&first.day.sessions);
    if let (Some(rota), Some(own)) = (rota, &first.rota) {
        *rota = own.clone();
    }
}

/// The names of the people, for references to them.
pub(in crate::course::read) fn people(fields: &Fields) -> Names {
    let Some(list) = fields.peek("people") else { return Names::new("person", Vec::new(), true) };
    let Value::List(items) = &list.node.value else { return Names::new("person", Vec::new(), false) };
    let names: Vec<Option<String>> = items.iter().map(name_of).collect();
    let complete = names.iter().all(Option::is_some);
    Names::new("person", names.into_iter().flatten().collect(), complete)
}

fn name_of(item: &Node) -> Option<String> {
    let Value::Map(entries) = &item.value else { return None };
    match &entries.iter().find(|entry| entry.key == "name")?.value.value {
        Value::Text(name) => Some(name.trim().to_owned()),
        _ => None,
    }
}

/// How many days a course has, as far as can be seen before they are read.
pub(in crate::course::read) fn counted(fields: &Fields) -> usize {
    match fields.peek("days").map(|days| &days.node.value) {
        Some(Value::List(items)) => items.len().max(1),
        _ => 1,
    }
}
