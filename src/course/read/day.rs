//! Reading people, the day and the emergency data.

pub(super) mod meanwhile;
pub(super) mod runs;
pub(super) mod several;

use super::rota::comes;
use crate::course::cursor::{Field, Fields, Names, Read};
use crate::course::{Contact, Date, Day, Emergency, Person, Role, RotaRules, Session, Slope};
use crate::problem::Problem;
use crate::quantity::{Speed, Temperature, Time};

/// Air temperature when the course gives none, K (20 °C).
const USUAL_AIR: f64 = 293.15;

const ROLES: &[(&str, Role)] = &[
    ("lead", Role::Lead),
    ("instructor", Role::Instructor),
    ("assessor", Role::Assessor),
    ("marshal", Role::Marshal),
    ("spotter", Role::Spotter),
    ("first-aider", Role::FirstAider),
    ("driver", Role::Driver),
];

/// Somebody with a role.
pub(super) fn person(item: &Field, vehicles: &Names, slopes: &Names, days: usize) -> Read<Person> {
    let mut fields = Fields::of(item, "a person")?;
    let name = fields.required("name", "name: Instructor 1", Field::text);
    let role = fields.required("role", "role: instructor", |field| field.choice(ROLES));
    let vehicle = fields.optional("vehicle", |field| vehicles.refer(&field));
    let their_slopes =
        fields.optional_list("slopes", |field| field.list("a slope's id", |item| slopes.refer(&item)));
    let deputy = fields
        .optional("deputy", |field| field.choice(&[("lead", Role::Lead), ("first-aider", Role::FirstAider)]));
    let comes = comes(&mut fields, days);
    fields.finish();
    Ok(Person {
        name: name?,
        role: role?,
        vehicle: vehicle?,
        slopes: their_slopes?,
        deputy: deputy?,
        comes: comes?,
    })
}

/// Times, weather and runs.
pub(super) fn day(field: &Field, slopes: &Names) -> Read<Day> {
    let mut fields = Fields::of(field, "`day`")?;
    let date = fields.optional("date", Field::date);
    let start = fields.optional("start", Field::clock);
    let end = fields.optional("end", Field::clock);
    let sessions = fields.optional_list("sessions", |field| sessions(&field, slopes));
    let air = fields.optional("air", |field| field.within::<Temperature>("-40 °C", "55 °C"));
    let runs = fields.required("runs", "runs: 3", |field| field.whole(1, 100));
    let run_gap = fields.required("run-gap", "run-gap: 10 min", |field| field.within::<Time>("10 s", "8 h"));
    let turn_round = fields.optional("turn-round", |field| field.within::<Time>("0 s", "30 min"));
    let rolling = fields.optional("rolling-between-runs", Field::truth);
    let channel = fields.optional("channel", Field::text);
    let site_speed = fields.optional("site-speed", |field| field.within::<Speed>("1 km/h", "80 km/h"));
    if let (Ok(Some(from)), Ok(Some(to))) = (&start, &end)
        && from >= to
    {
        let message = format!("the day ends at {to}, before it starts");
        fields.conflict("end", "start", "the start", message, "use the 24-hour clock: 17:00, not 5:00");
    }
    fields.finish();
    let air = air?;
    Ok(Day {
        date: date?,
        start: start?,
        end: end?,
        sessions: sessions?,
        air: air.unwrap_or(Temperature::new(USUAL_AIR)),
        air_estimated: air.is_none(),
        runs: runs?,
        run_gap: run_gap?,
        turn_round: turn_round?,
        rolling_between_runs: rolling?.unwrap_or(false),
        channel: channel?,
        site_speed: site_speed?,
    })
}

/// Where a slope talks on a channel of its own, control has one too.
pub(super) fn channel_of_control(fields: &Fields, day: &Day, slopes: &[Slope]) {
    if let Some(slope) = slopes.iter().find(|slope| slope.channel.is_some() && day.channel.is_none()) {
        let message =
            format!("{} talks on a channel of its own, and the day has none for control", slope.name);
        fields.problem(
            "day",
            message,
            "write `channel: Channel 5` under `day` as well: the brow there hears both",
        );
    }
}

/// Day and rota speak of one date: what one knows the other takes over.
pub(super) fn one_date(fields: &Fields, day: &mut Day, rota: &mut RotaRules) {
    match (day.date.take(), rota.date) {
        (Some(words), Some(date)) if words.may_be(date) => day.date = Some(words.on(date)),
        (Some(words), Some(date)) => {
            let place = |part: &str| {
                let date = fields.peek(part).and_then(|part| Fields::of(&part, "").ok()?.peek("date"));
                date.map_or(0..0, |date| date.span())
            };
            let message = format!("the day is {words}, the rota's {}: two different days", Date::of(date));
            let help = "change one of the two, or leave out the day's and keep the rota's";
            let problem = Problem::new(message).help(help).at(place("day"));
            fields.note(problem.related(place("rota"), "the rota's date"));
        }
        (Some(words), None) => {
            rota.date = words.day();
            day.date = Some(words);
        }
        (None, date) => day.date = date.map(Date::of),
    }
}

/// The time between two vehicles is one fact: a course with a rota writes it there.
pub(super) fn one_turn_round(fields: &Fields, day: &Day) {
    if day.turn_round.is_some() {
        let place = |part: &str, key: &str| {
            let found = fields.peek(part).and_then(|part| Fields::of(&part, "").ok()?.peek(key));
            found.map_or(0..0, |found| found.span())
        };
        let message = "`turn-round`: the rota has the time between two vehicles as its `reset`";
        let problem =
            Problem::new(message).help("leave `turn-round` out, and write the time as the rota's `reset`");
        fields.note(problem.at(place("day", "turn-round")));
    }
}

pub(super) fn sessions(field: &Field, slopes: &Names) -> Read<Vec<Session>> {
    let items = field.items("a session")?;
    let read: Vec<Read<Session>> = items.iter().map(|item| session(item, slopes)).collect();
    for (pair, item) in read.windows(2).zip(&items[1..]) {
        let [Ok(before), Ok(after)] = pair else { continue };
        if after.start <= before.start {
            let message = format!("the session at {} stands after the one at {}", after.start, before.start);
            item.problem(message, "write sessions in the order of the day, on the 24-hour clock");
        }
    }
    read.into_iter().collect()
}

fn session(item: &Field, slopes: &Names) -> Read<Session> {
    let mut fields = Fields::of(item, "a session")?;
    let start = fields.required("start", "start: 09:00", Field::clock);
    let title = fields.required("title", "title: Briefing", Field::text);
    let length = fields.optional("length", |field| field.within::<Time>("1 min", "12 h"));
    let outcome = fields.optional("outcome", Field::text);
    let driven =
        fields.optional_list("slopes", |field| field.list("a slope's id", |item| slopes.refer(&item)));
    let talk = fields.optional("talk", |field| field.within::<Time>("0 min", "8 h"));
    let runs = fields.optional("runs", |field| field.whole(1, 100));
    let once = fields.optional("once", Field::truth);
    if let (Ok(Some(length)), Ok(Some(talk))) = (&length, &talk)
        && talk >= length
    {
        let message = "the talk takes the whole session, and nobody drives".to_owned();
        fields.conflict(
            "talk",
            "length",
            "the session's length",
            message,
            "shorten the talk, or lengthen the session",
        );
    }
    fields.finish();
    Ok(Session {
        start: start?,
        title: title?,
        length: length?,
        outcome: outcome?,
        slopes: driven?,
        talk: talk?,
        runs: runs?,
        once: once?.unwrap_or(false),
    })
}

/// Whom to call and where to send them.
pub(super) fn emergency(field: &Field) -> Read<Emergency> {
    let mut fields = Fields::of(field, "`emergency`")?;
    let number = fields.optional("number", Field::text);
    let location = fields.optional("location", Field::text);
    let access = fields.optional("access", Field::text);
    let assembly = fields.optional("assembly", Field::text);
    let hospital = fields.optional("hospital", Field::text);
    let coverage = fields.optional("coverage", Field::text);
    let at_control = fields.optional("telephone-at-control", Field::truth);
    let contacts = fields.optional_list("contacts", |field| field.list("a contact", |item| contact(&item)));
    fields.finish();
    Ok(Emergency {
        number: number?,
        location: location?,
        access: access?,
        assembly: assembly?,
        hospital: hospital?,
        coverage: coverage?,
        telephone_at_control: at_control?.unwrap_or(false),
        contacts: contacts?,
    })
}

fn contact(item: &Field) -> Read<Contact> {
    let mut fields = Fields::of(item, "a contact")?;
    let name = fields.required("name", "name: Site office", Field::text);
    let call = fields.required("call", "call: channel 8", Field::text);
    fields.finish();
    Ok(Contact { name: name?, call: call? })
}
