//! Cards of the weekend: one for every driver, one for everybody who serves.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::course::{Need, Role};
use crate::pack::book::Book;
use crate::pack::ground::plan::role_word;
use crate::pack::sheet::descent::DescentRow;
use crate::pack::sheet::vehicle::{ESTIMATED, LOW_NOT_TOLD, VehicleSheet};
use crate::pack::weekend::day::{Help, Stretch, Weekend, help};
use crate::pack::weekend::on_call;
use crate::page::figure::Fig;
use crate::page::meta::Meta;

/// Cards of the drivers.
#[derive(Serialize)]
pub(crate) struct DriverCards {
    pack: Meta,
    help: Help,
    lunch: Option<String>,
    changed: bool,
    drivers: Vec<DriverCard>,
}

#[derive(Serialize)]
struct DriverCard {
    no: String,
    name: String,
    group: String,
    vehicle_id: String,
    vehicle: String,
    lowest: String,
    creep: Fig,
    side_limit: Fig,
    /// The vehicle's own limit where it lies below the course's.
    own_limit: Option<String>,
    /// Whether they turned up today: there is no older card.
    new: bool,
    signals: String,
    by_hand: bool,
    /// Slopes of their day on channels of their own.
    radio: Option<String>,
    notes: Vec<String>,
    /// From which slopes of their day the kit does not fetch them, and when.
    not_fetched: Option<String>,
    abort: String,
    day: Vec<Stretch>,
    /// Why the vehicle drives no slope, slope by slope; empty where it drives one.
    stays: Vec<Stays>,
    /// Whether something of the vehicle was estimated, so that its own figures could change that.
    estimated: bool,
}

/// A slope that a vehicle does not drive, and why.
#[derive(Serialize)]
struct Stays {
    slope: String,
    name: String,
    why: String,
}

/// Why a vehicle stays off every slope, each with its reason; nothing where it drives one.
fn stays(sheet: &VehicleSheet) -> Vec<Stays> {
    if sheet.descents.iter().any(|row| row.within) {
        return Vec::new();
    }
    let row = |row: &DescentRow| Stays {
        slope: row.slope_id.clone(),
        name: row.slope_name.clone(),
        why: row.short.clone(),
    };
    sheet.descents.iter().map(row).collect()
}

/// Cards of marshals and instructors, of whoever is in charge and of first aid.
#[derive(Serialize)]
pub(crate) struct MarshalCards {
    pack: Meta,
    help: Help,
    lunch: Option<String>,
    changed: bool,
    people: Vec<MarshalCard>,
}

#[derive(Serialize)]
struct MarshalCard {
    name: String,
    role: &'static str,
    /// The slopes they may run; none for who holds no post on any.
    may: Option<String>,
    minutes: String,
    /// What begins before the first station, and who of the groups they go in front of from the gate.
    first: Option<String>,
    leads: Option<String>,
    /// What they do, a word and a line each.
    does: &'static [(&'static str, &'static str)],
    /// What they are called on for in an emergency, and when.
    calls: Option<String>,
    /// Whether some of it is new with a change.
    calls_changed: bool,
    /// Drivers whom this person signals to by hand alone.
    by_hand: Option<String>,
    /// Slopes of their day on channels of their own, and whether they stand at the brow of one and hear control as well.
    radio: Option<String>,
    hears_both: bool,
    day: Vec<Stretch>,
}

/// Every driver's card as it would read, by place in the roster: whether one has to be printed again is
/// decided on all that stands on it.
pub(crate) fn driver_cards(book: &Book) -> BTreeMap<usize, String> {
    let Some(weekend) = Weekend::of(book) else { return BTreeMap::new() };
    let head = (help(book), weekend.lunch());
    let text = |at: usize| {
        let mut card = card(&weekend, at);
        card.day.retain(asks_something);
        serde_json::to_string(&(&head, card)).unwrap_or_default()
    };
    weekend.present().into_iter().map(|at| (at, text(at))).collect()
}

/// Whether a line of a card asks something of whoever holds it: a slot that was kept free for weather and is
/// free now is the same to them.
fn asks_something(line: &Stretch) -> bool {
    line.mark != "–"
}

/// The same of everybody who serves, as far as it is still to come from a time of the day on.
pub(crate) fn staff_cards(book: &Book, from: u16) -> BTreeMap<usize, String> {
    let Some(weekend) = Weekend::of(book) else { return BTreeMap::new() };
    let head = (help(book), weekend.lunch());
    let text = |at: usize| {
        let mut card = marshal(&weekend, at);
        card.day.retain(asks_something);
        card.calls = None;
        card.leads = weekend.leads(at, from);
        let calls = on_call::slot_by_slot(&weekend, at, from);
        serde_json::to_string(&(&head, card, calls)).unwrap_or_default()
    };
    weekend.staff_to_print().into_iter().map(|at| (at, text(at))).collect()
}

impl DriverCards {
    /// From a book with a rota; pocket cards, or those of drivers who need large print.
    pub(crate) fn of(book: &Book, pack: Meta, large: bool) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let wanted = |driver: &usize| !large || weekend.drivers()[*driver].needs.contains(&Need::LargePrint);
        let drivers: Vec<DriverCard> =
            weekend.to_print().into_iter().filter(wanted).map(|driver| card(&weekend, driver)).collect();
        (!drivers.is_empty()).then(|| Self {
            pack,
            help: help(book),
            lunch: weekend.lunch(),
            changed: book.change.is_some(),
            drivers,
        })
    }
}

fn card(weekend: &Weekend, driver: usize) -> DriverCard {
    let one = &weekend.drivers()[driver];
    let sheet = weekend.book.vehicle_sheet_of(&one.vehicle).expect("a checked roster names a vehicle");
    let hearing = weekend.by_hand(driver);
    let stays = stays(sheet);
    let drives = stays.is_empty();
    let mut day = weekend.to_the_end(weekend.day_of(driver));
    if !drives {
        // Nothing is asked of them in a slot that their vehicle stands through.
        day.retain(asks_something);
    }
    DriverCard {
        no: one.id.clone(),
        name: one.name.short(),
        group: weekend.rota.group_of(driver).map_or_else(String::new, |group| (group + 1).to_string()),
        vehicle_id: sheet.id.clone(),
        vehicle: sheet.name.clone(),
        lowest: sheet.gears.first().map_or_else(|| "–".to_owned(), |gear| gear.id.clone()),
        creep: sheet.card.creep.clone(),
        side_limit: sheet.card.side_limit.clone(),
        own_limit: sheet.own.as_ref().map(|(speed, _)| speed.clone()),
        new: weekend.turned_up(driver),
        signals: if hearing {
            "by hand only: who stands at the foot waits until you look; arm straight up, or nobody in sight there: stop"
                .to_owned()
        } else {
            rolls_out(weekend, &day).map_or_else(
                || "from the foot alone; arm straight up, or no contact: stop".to_owned(),
                // In as few letters as leave the card on its page.
                |slick| format!("from the foot alone; arm up or no contact: stop; {slick}: roll out"),
            )
        },
        by_hand: hearing,
        radio: weekend.channels_of_driver(driver),
        not_fetched: sheet.not_fetched.clone().filter(|_| drives),
        // What was estimated stands on the check sheet and on the driver's slip of questions; here the mark is enough.
        notes: sheet
            .notes
            .iter()
            .filter(|note| !note.starts_with(ESTIMATED) && (drives || note.starts_with(LOW_NOT_TOLD)))
            .cloned()
            .chain(weekend.handed_over(&one.vehicle))
            .chain(weekend.company(driver, drives))
            .collect(),
        abort: sheet.card.abort.clone(),
        day,
        stays,
        estimated: sheet.notes.iter().any(|note| note.starts_with(ESTIMATED)),
    }
}

/// On which slopes of a day a brake may fail to stop a vehicle, so that without contact it rolls out; none where
/// there is none.
fn rolls_out(weekend: &Weekend, day: &[Stretch]) -> Option<String> {
    let there = |id: &str| day.iter().any(|line| line.driving && line.mark == id);
    let slick = weekend.book.slopes.iter().filter(|sheet| sheet.no_stop || sheet.thin.is_some());
    let marks: Vec<&str> = slick.map(|sheet| sheet.id.as_str()).filter(|id| there(id)).collect();
    (!marks.is_empty()).then(|| marks.join(", "))
}

impl MarshalCards {
    /// From a book with a rota.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let people: Vec<MarshalCard> =
            weekend.staff_to_print().into_iter().map(|person| marshal(&weekend, person)).collect();
        (!people.is_empty()).then(|| Self {
            pack,
            help: help(book),
            lunch: weekend.lunch(),
            changed: book.change.is_some(),
            people,
        })
    }
}

/// What somebody with a role does, for their card. Common practice, no source.
const fn does(role: Role) -> &'static [(&'static str, &'static str)] {
    match role {
        Role::Instructor => &[
            ("Before", "gear said aloud at the brow, belts on, windows up"),
            ("Watch", "one vehicle on the slope, nobody below or beside it"),
            ("After", "one sentence to the driver, then the next"),
        ],
        Role::Lead => &[
            ("Opens", "nobody drives before you have said so to every brow"),
            ("Hurt", "STOP STOP STOP, SILENCE; first aid and gate called; METHANE; times noted"),
            ("Sheet", "the confidential one with you: to first aid and ambulance alone"),
        ],
        Role::FirstAider => &[
            ("Kit", "seen before the first run, with you all day; vest on"),
            ("Hurt", "go when called, say what is needed, hand over to the ambulance"),
            ("Never", "at a post, at the wheel, out of radio"),
        ],
        Role::Assessor => &[
            ("Stand", "at the spot of the course plan, never below a vehicle, never in its line"),
            ("Mark", "what you have seen yourself, run by run; not seen is not met"),
            ("Stop", "yours too: arm straight up; what you stop is not assessed"),
        ],
        _ => &[
            ("Start", "brow starts, only when foot has said clear: run-out empty"),
            ("Watch", "one vehicle on the slope, nobody below or beside it"),
            ("Close", "rut, stone, water, no contact: close it, call control"),
        ],
    }
}

fn marshal(weekend: &Weekend, person: usize) -> MarshalCard {
    let one = &weekend.book.course.people[person];
    let may: Vec<String> = one.slopes.iter().map(|id| weekend.book.slope_mark(id)).collect();
    let may = if may.is_empty() { "every slope".to_owned() } else { may.join(", ") };
    let slots = weekend.rota.duties.iter().filter(|duty| duty.person == person);
    let minutes: u32 =
        slots.map(|duty| weekend.rota.slots[duty.slot]).map(|slot| u32::from(slot.end - slot.start)).sum();
    MarshalCard {
        name: one.name.short(),
        role: role_word(one.role),
        may: Some(may).filter(|_| !matches!(one.role, Role::Lead | Role::FirstAider | Role::Assessor)),
        minutes: minutes.to_string(),
        first: weekend.before_the_stations(),
        leads: weekend.leads(person, weekend.book.missing().from),
        does: does(one.role),
        calls: on_call::in_words(weekend, person),
        calls_changed: weekend
            .book
            .change
            .as_ref()
            .is_some_and(|change| change.called.iter().any(|(at, _)| *at == person)),
        by_hand: weekend.signalled_by_hand(person),
        radio: weekend.channels_of_staff(person),
        hears_both: weekend.hears_both(person),
        day: weekend.to_the_end(weekend.service_of(person)),
    }
}
