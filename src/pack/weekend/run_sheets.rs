//! Run sheets: who is where, by time, by slope and by person.

use serde::Serialize;

use crate::course::Role;
use crate::pack::book::Book;
use crate::pack::day::wet::Wet;
use crate::pack::ground::plan::role_word;
use crate::pack::weekend::day::{Stretch, Weekend};
use crate::pack::weekend::forms::leader;
use crate::pack::weekend::on_call::free;
use crate::pack::weekend::posts::{BROW, FOOT, whole};
use crate::page::meta::Meta;
use crate::rota::{Station, clock_text, had_before};

/// Run sheets by time, by slope and by person.
#[derive(Serialize)]
pub(crate) struct RunSheets {
    pack: Meta,
    proof: String,
    seed: String,
    lunch: Option<String>,
    ways: Option<String>,
    change: Option<String>,
    rules: Vec<Rule>,
    slots: Vec<SlotHead>,
    groups: Vec<GroupRow>,
    stations: Vec<StationSheet>,
    people: Vec<PersonRow>,
    drivers: Vec<PersonRow>,
}

/// A rule the rota keeps, and where it comes from.
#[derive(Serialize)]
pub(crate) struct Rule {
    name: &'static str,
    value: String,
    /// Where the number comes from.
    #[serde(serialize_with = "crate::course::sources::as_cited")]
    pub source: String,
}

#[derive(Serialize)]
struct SlotHead {
    from: String,
    to: String,
    spare: bool,
    pause: bool,
}

#[derive(Serialize)]
struct GroupRow {
    no: String,
    members: String,
    cells: Vec<Cell>,
}

#[derive(Serialize)]
struct Cell {
    mark: String,
    place: String,
    note: String,
    changed: bool,
}

#[derive(Serialize)]
struct StationSheet {
    mark: String,
    name: String,
    /// Its radio channel, where that is not control's.
    channel: Option<String>,
    /// What becomes of it when it rains; none where nothing does.
    rain: Option<String>,
    /// Whether people stand at its brow and its foot.
    posts: bool,
    rows: Vec<StationRow>,
}

#[derive(Serialize)]
struct StationRow {
    from: String,
    to: String,
    group: String,
    driving: String,
    watching: String,
    instructor: String,
    brow: String,
    foot: String,
}

#[derive(Serialize)]
struct PersonRow {
    name: String,
    note: String,
    cells: Vec<Cell>,
}

impl RunSheets {
    /// From a book with a rota.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let staff = |role: &Role| matches!(role, Role::Instructor | Role::Marshal | Role::Spotter);
        let people = (0..book.course.people.len()).filter(|at| staff(&book.course.people[*at].role));
        let absent = |at: &usize| book.missing().people.contains(at);
        Some(Self {
            pack,
            proof: weekend.proof(),
            seed: weekend.rota.seed.to_string(),
            lunch: weekend.lunch(),
            ways: weekend.ways(),
            change: changes(&weekend),
            rules: rules(book),
            slots: heads(&weekend),
            groups: (0..weekend.rota.groups.len()).map(|group| group_row(&weekend, group)).collect(),
            stations: stations(&weekend),
            people: people
                .filter(|at| !absent(at))
                .map(|at| PersonRow {
                    name: book.course.people[at].name.short(),
                    note: role_word(book.course.people[at].role).to_owned(),
                    cells: cells(weekend.service_of(at)),
                })
                .collect(),
            drivers: weekend
                .present()
                .into_iter()
                .map(|at| PersonRow {
                    name: weekend.drivers()[at].name.short(),
                    note: book.vehicle_mark(&weekend.drivers()[at].vehicle),
                    cells: cells(weekend.day_of(at)),
                })
                .collect(),
        })
    }
}

/// What changed, in words, on the day itself.
fn changes(weekend: &Weekend) -> Option<String> {
    let change = weekend.book.change.as_ref()?;
    let course = weekend.book.course;
    let spare = if change.spare_used { " The slots kept free for weather are used." } else { "" };
    let given_up: Vec<String> = weekend
        .rota
        .given_up
        .iter()
        .map(|(group, at)| format!(" Given up: group {} on {}.", group + 1, weekend.mark(*at)))
        .collect();
    Some(format!(
        "{} {} slots of drivers and {} of staff differ from the sheet before; they are printed white on black.{spare}{}",
        change.words(course),
        change.drivers.len(),
        change.people.len(),
        given_up.concat()
    ))
}

/// The rules of this course's rota, as the run sheet prints them.
pub(crate) fn rules(book: &Book) -> Vec<Rule> {
    let Some(rules) = &book.course.rota else { return Vec::new() };
    let minutes = |time: f64| format!("{:.0} min", time / 60.0);
    vec![
        Rule {
            name: "Drivers in a group",
            value: format!("at most {}", rules.group_size.number),
            source: rules.group_size.source.short(),
        },
        Rule {
            name: "Drivers for an instructor, on a slope",
            value: format!("at most {}", rules.per_instructor.number),
            source: rules.per_instructor.source.short(),
        },
        Rule {
            name: "Instructors at lesson and demonstration",
            value: "one, however many groups".to_owned(),
            source: "how this rota is made: nobody of the groups drives there".to_owned(),
        },
        Rule {
            name: "Marshals on a slope in use",
            value: format!("at least {}", rules.marshals.number),
            source: rules.marshals.source.short(),
        },
        Rule {
            name: "Longest without a pause",
            value: format!("{}, then {}", minutes(rules.duty.most.si()), minutes(rules.duty.pause.si())),
            source: rules.duty.source.short(),
        },
        Rule {
            name: "Runs of each driver on a visit",
            value: book.course.day.runs.to_string(),
            source: "the course; slots are as long as the slowest descents and the reset need".to_owned(),
        },
    ]
}

fn heads(weekend: &Weekend) -> Vec<SlotHead> {
    let slots = weekend.slots();
    let usual = weekend.rota.pause();
    slots
        .iter()
        .enumerate()
        .map(|(at, slot)| SlotHead {
            from: clock_text(slot.start),
            to: clock_text(slot.end),
            spare: at >= weekend.rota.length(),
            pause: slots.get(at + 1).is_some_and(|next| next.start > slot.end + usual),
        })
        .collect()
}

fn cells(day: Vec<Stretch>) -> Vec<Cell> {
    day.into_iter()
        .map(|part| Cell {
            note: match &part.gear {
                Some(gear) => gear.clone(),
                None if part.refused => "watch".to_owned(),
                // Where somebody of the staff stands.
                None if [BROW, FOOT, "beside"].contains(&part.doing.as_str()) => part.doing.clone(),
                None => String::new(),
            },
            mark: part.mark,
            place: part.place,
            changed: part.changed,
        })
        .collect()
}

fn group_row(weekend: &Weekend, group: usize) -> GroupRow {
    let members: Vec<String> =
        weekend.rota.groups[group].iter().map(|at| whole(&weekend.drivers()[*at].name)).collect();
    let cells = weekend
        .slots()
        .iter()
        .enumerate()
        .map(|(at, slot)| {
            let changed = weekend.book.change.as_ref().is_some_and(|change| {
                weekend.rota.groups[group].iter().any(|driver| change.drivers.contains(&(*driver, at)))
            });
            let Some(visit) = weekend.rota.visit(group, at) else {
                let free = weekend.free(at, *slot, changed);
                let note = with_whom(weekend, at);
                return Cell { mark: free.mark, place: free.place, note, changed };
            };
            let teaches = weekend.teaching(visit.station, at);
            let had = |driver: &&usize| had_before(weekend.book.course, **driver, visit.station);
            let free: Vec<String> = weekend.rota.groups[group]
                .iter()
                .filter(had)
                .map(|driver| whole(&weekend.drivers()[*driver].name))
                .collect();
            let without = if free.is_empty() {
                teaches
            } else {
                format!("{teaches}; without {}: free, had it before", free.join(", "))
            };
            Cell {
                mark: weekend.mark(visit.station),
                place: weekend.place(visit.station),
                note: without,
                changed,
            }
        })
        .collect();
    GroupRow { no: (group + 1).to_string(), members: members.join(", "), cells }
}

/// Whom a group asks that is at no station: an instructor who is free then, else whoever is in charge.
fn with_whom(weekend: &Weekend, slot: usize) -> String {
    if slot >= weekend.rota.length() {
        return String::new();
    }
    let people = &weekend.book.course.people;
    let teaches = |at: &usize| people[*at].role == Role::Instructor;
    let free = free(weekend, slot).into_iter().find(teaches);
    free.map_or_else(|| leader(weekend.book), |at| people[at].name.short())
}

fn stations(weekend: &Weekend) -> Vec<StationSheet> {
    let mut all: Vec<Station> = weekend.rota.visits.iter().map(|visit| visit.station).collect();
    all.sort_unstable();
    all.dedup();
    let rain = Wet::of(weekend.book);
    all.into_iter()
        .map(|station| StationSheet {
            mark: weekend.mark(station),
            name: weekend.place_with_ground(station),
            channel: weekend.channel_at(station),
            rain: rain.as_ref().and_then(|wet| wet.on_card(&weekend.mark(station))),
            posts: station != Station::Theory,
            rows: station_rows(weekend, station),
        })
        .collect()
}

fn station_rows(weekend: &Weekend, station: Station) -> Vec<StationRow> {
    // How somebody is signalled to stands where they drive.
    let called =
        |drivers: &[usize]| drivers.iter().map(|at| weekend.called(*at)).collect::<Vec<_>>().join(", ");
    let names = |drivers: &[usize]| {
        drivers.iter().map(|at| whole(&weekend.drivers()[*at].name)).collect::<Vec<_>>().join(", ")
    };
    weekend
        .rota
        .visits
        .iter()
        .filter(|visit| visit.station == station)
        .map(|visit| {
            let group = &weekend.rota.groups[visit.group];
            let comes = |at: usize| !had_before(weekend.book.course, at, station);
            let watching: Vec<usize> =
                group.iter().copied().filter(|at| !visit.driving.contains(at) && comes(*at)).collect();
            let slot = weekend.rota.slots[visit.slot];
            StationRow {
                from: clock_text(slot.start),
                to: clock_text(slot.end),
                group: (visit.group + 1).to_string(),
                driving: called(&visit.driving),
                watching: names(&watching),
                instructor: weekend.teaching(station, visit.slot),
                brow: weekend.standing_at(station, visit.slot, BROW),
                foot: weekend.standing_at(station, visit.slot, FOOT),
            }
        })
        .collect()
}
