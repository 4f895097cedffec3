//! Reading by which rules the groups rotate.

mod ways;

use chrono::NaiveDate;

use crate::course::cursor::{Field, Fields, Names, Read, start_of};
use crate::course::day::ways::whole_minutes;
use crate::course::tree::Value;
use crate::course::{Clock, Comes, DutyRule, Headcount, Order, Place, RotaRules, Station};
use crate::quantity::Time;

/// Said of a number whose source the course does not name.
const NO_SOURCE: &str = "set by the course, no source named";

/// The `rota:` part; whether slopes are on a site plan.
pub(super) fn rota(field: &Field, slopes: &Names, vehicles: &Names, on_plan: bool) -> Read<RotaRules> {
    let mut fields = Fields::of(field, "`rota`")?;
    let date = fields.optional("date", |field| date(&field));
    let place = fields.optional("place", |field| place(&field));
    let from = fields.required("from", "from: 10:00", clock);
    let until = fields.required("until", "until: 16:30", clock);
    let lunch = fields.optional("lunch", |field| lunch(&field));
    let slot = fields.optional("slot", |field| minutes(&field, "5 min", "4 h"));
    let changeover = fields.optional("changeover", |field| minutes(&field, "0 min", "1 h"));
    let ways = fields.optional("ways", |field| ways::ways(&field, slopes, on_plan));
    let reset = fields.optional("reset", |field| field.within::<Time>("0 s", "30 min"));
    let spare = fields.optional("spare-slots", |field| field.whole::<u16>(0, 20));
    let group_size = fields
        .required("group-size", "group-size: {most: 6, source: club rule}", |field| ratio(&field, "most"));
    let per_instructor = fields.required(
        "drivers-per-instructor",
        "drivers-per-instructor: {most: 6, source: club rule}",
        |field| ratio(&field, "most"),
    );
    let marshals =
        fields.required("marshals-per-slope", "marshals-per-slope: {least: 2, source: club rule}", |field| {
            ratio(&field, "least")
        });
    let duty = fields.optional("duty", |field| duty(&field));
    let daylight = fields.optional("daylight-margin", |field| minutes(&field, "0 min", "4 h"));
    let theory = fields.optional("theory", |field| station(&field, None));
    let demonstration = fields.optional("demonstration", |field| station(&field, Some((slopes, vehicles))));
    let order = fields.optional("order", |field| order(&field, slopes));
    let before = fields
        .optional_list("before", |field| field.list("a slope before another", |item| before(&item, slopes)));
    if let (Ok(from), Ok(until)) = (from, until)
        && from >= until
    {
        let message = "the rota ends before it starts".to_owned();
        fields.conflict("until", "from", "the start", message, "use the 24-hour clock: 16:30, not 4:30");
    }
    fields.finish();
    Ok(RotaRules {
        date: date?,
        place: place?,
        from: from?,
        until: until?,
        lunch: lunch?,
        slot: slot?,
        changeover: changeover?.unwrap_or(5),
        ways: ways?,
        reset: reset?.unwrap_or(Time::new(60.0)),
        spare: spare?.unwrap_or(1),
        group_size: group_size?,
        per_instructor: per_instructor?,
        marshals: marshals?,
        duty: duty?.unwrap_or_else(usual_duty),
        daylight: daylight?.unwrap_or(30),
        theory: theory?,
        demonstration: demonstration?,
        order: order?.unwrap_or_default(),
        before: before?,
    })
}

/// `gentle`, `any`, or the slopes in the course's own order.
fn order(field: &Field, slopes: &Names) -> Read<Order> {
    if matches!(field.node.value, Value::Text(_)) {
        return field
            .choice(&[("gentle", 0), ("any", 1)])
            .map(|at| if at == 0 { Order::Gentle } else { Order::Any });
    }
    let ids = field.list("a slope's id", |item| slopes.refer(&item))?;
    if let Some(twice) = (0..ids.len()).find(|at| ids[..*at].contains(&ids[*at])) {
        let message = format!("`order` names `{}` twice", ids[twice]);
        return Err(field.problem(message, "each slope has one place in the order"));
    }
    Ok(Order::Own(ids))
}

/// `{first: lawn, then: step}`.
fn before(item: &Field, slopes: &Names) -> Read<(String, String)> {
    let mut fields = Fields::of(item, "a slope before another")?;
    let first = fields.required("first", "first: nursery", |field| slopes.refer(&field));
    let then = fields.required("then", "then: step", |field| slopes.refer(&field));
    fields.finish();
    let pair = (first?, then?);
    if pair.0 == pair.1 {
        return Err(item.problem("a slope cannot come before itself", "name two slopes"));
    }
    Ok(pair)
}

fn usual_duty() -> DutyRule {
    let source = "Highway Code, rule 91".into();
    DutyRule { most: Time::new(7200.0), pause: Time::new(900.0), source }
}

/// A time of day in minutes since midnight.
pub(super) fn clock(field: Field) -> Read<u16> {
    field.clock().map(Clock::minutes)
}

/// When somebody of the people comes and goes: `arrives`, `leaves`, `days`.
pub(super) fn comes(fields: &mut Fields, days: usize) -> Read<Comes> {
    let arrives = fields.optional("arrives", clock);
    let leaves = fields.optional("leaves", clock);
    let on = fields.optional_list("days", |field| {
        field.list("a day's number", |item| item.whole::<u16>(1, days as u64).map(usize::from))
    });
    let (arrives, leaves, on) = (arrives?, leaves?, on?);
    if let (Some(from), Some(until)) = (arrives, leaves)
        && from >= until
        && (days == 1 || on.len() == 1)
    {
        let message = "they leave before they arrive".to_owned();
        fields.conflict("leaves", "arrives", "when they arrive", message, "use the 24-hour clock: 16:30");
    }
    Ok(Comes { arrives, leaves, days: on })
}

/// A time in whole minutes, rounded up.
fn minutes(field: &Field, low: &str, high: &str) -> Read<u16> {
    let time: Time = field.within(low, high)?;
    Ok(whole_minutes(time.si()))
}

fn date(field: &Field) -> Read<NaiveDate> {
    let date = field.clone().date()?;
    date.day().ok_or_else(|| {
        let message = format!("`date`: `{}` is not one day", start_of(&date.to_string()));
        field.problem(message, "write year, month and day: 2027-05-08")
    })
}

/// When lunch begins and how long it is, minutes.
pub(super) fn lunch(field: &Field) -> Read<(u16, u16)> {
    if field.is_text() {
        let help = "write from when and how long: lunch: {from: 12:30, length: 45 min}";
        return Err(field.problem("`lunch` is one value, and needs `from` and `length`", help));
    }
    let mut fields = Fields::of(field, "`lunch`")?;
    let from = fields.required("from", "from: 12:30", clock);
    let length = fields.required("length", "length: 45 min", |field| minutes(&field, "5 min", "3 h"));
    fields.finish();
    Ok((from?, length?))
}

fn place(field: &Field) -> Read<Place> {
    let mut fields = Fields::of(field, "`place`")?;
    let latitude = fields.required("latitude", "latitude: 48.3", |field| degrees(&field, 90.0));
    let longitude = fields.required("longitude", "longitude: -31.7", |field| degrees(&field, 180.0));
    let ahead = fields.required("clock", "clock: '+01:00'", |field| ahead(&field));
    fields.finish();
    Ok(Place { latitude: latitude?, longitude: longitude?, ahead: ahead? })
}

fn degrees(field: &Field, most: f64) -> Read<f64> {
    let word = field.word("48.3")?.trim_end_matches('°');
    let value = word.replace('−', "-").parse::<f64>().ok().filter(|value| value.abs() <= most);
    value.ok_or_else(|| {
        let message = format!("`{}`: `{}` is not an angle on the map", field.name, start_of(word));
        field.problem(message, "write decimal degrees, north and east positive: 48.3")
    })
}

/// `+01:00`: how far the clock is ahead of universal time.
fn ahead(field: &Field) -> Read<i32> {
    let word = field.word("'+01:00'")?;
    let (sign, rest) = match (word.strip_prefix('+'), word.strip_prefix(['-', '−'])) {
        (Some(rest), _) => (1, rest),
        (_, Some(rest)) => (-1, rest),
        _ => (1, word),
    };
    rest.parse()
        .ok()
        .map(Clock::minutes)
        .filter(|minutes| *minutes <= 14 * 60)
        .map(|minutes| sign * i32::from(minutes))
        .ok_or_else(|| {
            let message = format!("`clock`: `{}` is not a time zone", start_of(word));
            field.problem(message, "write how far the clock is ahead of universal time, in quotes: '+01:00'")
        })
}

/// `6`, or `{most: 6, source: …}`.
fn ratio(field: &Field, key: &'static str) -> Read<Headcount> {
    let number = |field: &Field| field.whole::<u16>(1, 60);
    if matches!(field.node.value, Value::Text(_)) {
        return Ok(Headcount { number: number(field)?, source: NO_SOURCE.into() });
    }
    let mut fields = Fields::of(field, "a ratio")?;
    let value = fields.required(key, "most: 6", |field| number(&field));
    let source = fields.optional("source", Field::text);
    fields.finish();
    Ok(Headcount { number: value?, source: source?.unwrap_or_else(|| NO_SOURCE.into()) })
}

fn duty(field: &Field) -> Read<DutyRule> {
    let mut fields = Fields::of(field, "`duty`")?;
    let most = fields.required("most", "most: 2 h", |field| field.within::<Time>("20 min", "6 h"));
    let pause = fields.required("pause", "pause: 15 min", |field| field.within::<Time>("5 min", "2 h"));
    let source = fields.optional("source", Field::text);
    fields.finish();
    Ok(DutyRule { most: most?, pause: pause?, source: source?.unwrap_or_else(|| NO_SOURCE.into()) })
}

/// A lesson, or with the names of slopes and vehicles a demonstration.
fn station(field: &Field, on: Option<(&Names, &Names)>) -> Read<Station> {
    let mut fields = Fields::of(field, "a station of the rota")?;
    let title = fields.required("title", "title: Reading the ground", Field::text);
    let (slope, vehicle) = match on {
        Some((slopes, vehicles)) => (
            fields.required("slope", "slope: nursery", |field| slopes.refer(&field)).map(Some),
            fields.optional("vehicle", |field| vehicles.refer(&field)),
        ),
        None => (Ok(None), Ok(None)),
    };
    let groups = fields.optional("groups-at-once", |field| field.whole::<u16>(1, 60));
    fields.finish();
    Ok(Station { title: title?, slope: slope?, vehicle: vehicle?, groups: groups?.unwrap_or(1) })
}
