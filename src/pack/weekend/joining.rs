//! What goes out before the day: one letter for everybody, and to each a slip with what nobody else need read.

use serde::Serialize;

use crate::course::{End, LOW_UNTOLD, Passage, Remark, Vehicle};
use crate::pack::book::Book;
use crate::pack::day::channels;
use crate::pack::ground::timetable::{self, reserve, timetable};
use crate::pack::weekend::day::{Help, Weekend, help};
use crate::pack::weekend::posts::whole;
use crate::page::meta::Meta;
use crate::rota::{clock_text, sun};

/// Joining notes, sent out before the day.
#[derive(Serialize)]
pub(crate) struct JoiningNotes {
    pack: Meta,
    help: Help,
    bring: Vec<String>,
    sessions: Vec<When>,
    rotation: String,
    light: Option<String>,
    access: Option<String>,
    hut: Option<String>,
    /// Slopes on radio channels of their own.
    channels: Option<String>,
    signals: String,
}

#[derive(Serialize)]
struct When {
    time: String,
    title: String,
}

impl JoiningNotes {
    /// From a book with a rota.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let course = book.course;
        let rules = course.rota.as_ref()?;
        Some(Self {
            pack,
            help: help(book),
            bring: course.entry_requirements.iter().map(Passage::short).collect(),
            sessions: sessions(book),
            rotation: rotations(&weekend),
            light: sun(rules).map(|sun| {
                format!("Sunrise {}, sunset {}.", clock_text(sun.rise), clock_text(sun.set))
            }),
            access: course.emergency.access.as_ref().map(Remark::short),
            hut: course.assembly(),
            channels: channels::all(book),
            signals: "On the day you get a pocket card with your gears and speeds. Nobody drives without the safety briefing.".to_owned(),
        })
    }
}

/// The parts of the day with their times; of several days under each day's own date.
fn sessions(book: &Book) -> Vec<When> {
    if book.days.is_empty() {
        return timetable(book).into_iter().map(when).collect();
    }
    let of_day = |number: usize| {
        let day = book.on_day(number);
        let date = day.course.day.date.as_ref().map_or_else(String::new, ToString::to_string);
        let head = When { time: format!("Day {number}"), title: date };
        std::iter::once(head).chain(timetable(&day).into_iter().map(when)).collect::<Vec<_>>()
    };
    (1..=book.days.len()).flat_map(of_day).collect()
}

/// How long the groups rotate, each day.
fn rotations(weekend: &Weekend) -> String {
    let days = 1..=weekend.book.days.len();
    if days.is_empty() {
        return rotation(weekend);
    }
    let told = days.filter_map(|number| {
        let book = weekend.book.on_day(number);
        Some(format!("Day {number}: {}", rotation(&Weekend::of(&book)?)))
    });
    let once = "Who comes for the second day only signs on, has the vehicle checked and is briefed then.";
    told.chain([once.to_owned()]).collect::<Vec<_>>().join(" ")
}

/// A part of the day with its times.
fn when(part: timetable::Part) -> When {
    let time = match part.to {
        Some(_) => format!("{}–{}", part.start, part.end()),
        None => part.start,
    };
    When { time, title: part.title }
}

/// How long the groups rotate, in words.
fn rotation(weekend: &Weekend) -> String {
    let slots = weekend.slots();
    let clock = |minutes: Option<u16>| minutes.map_or_else(String::new, clock_text);
    let last = weekend.rota.length().checked_sub(1).and_then(|last| slots.get(last));
    let lunch =
        weekend.lunch().map_or_else(|| "when the group is free".to_owned(), |lunch| format!("from {lunch}"));
    let reserve = reserve(weekend).map_or_else(String::new, |(from, to)| {
        format!(
            " {} to {} is kept free for weather; please stay until the end of the day.",
            clock_text(from),
            clock_text(to)
        )
    });
    format!(
        "From {} to {} your group goes from station to station, {} minutes at each, with lunch {lunch}.{reserve}",
        clock(slots.first().map(|slot| slot.start)),
        clock(last.map(|slot| slot.end)),
        slots.first().map_or(0, |slot| slot.end - slot.start),
    )
}

/// Slips that go with the letter, one for each driver whose vehicle has values that are estimated, or no rated points at both ends.
#[derive(Serialize)]
pub(crate) struct VehicleQuestions {
    pack: Meta,
    slips: Vec<Slip>,
}

#[derive(Serialize)]
struct Slip {
    no: String,
    name: String,
    group: String,
    vehicle: String,
    questions: Vec<Question>,
}

#[derive(Serialize)]
struct Question {
    ask: &'static str,
    found: &'static str,
}

impl VehicleQuestions {
    /// From a book with a rota, for everybody of all days; none when every vehicle is known.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let drivers = 0..weekend.drivers().len();
        let slips: Vec<Slip> =
            drivers.filter_map(|at| slip(&weekend, at, group_on_any_day(&weekend, at)?)).collect();
        (!slips.is_empty()).then_some(Self { pack, slips })
    }
}

/// Somebody's group on the first day on which they come; none for who comes on no day.
fn group_on_any_day(weekend: &Weekend, driver: usize) -> Option<usize> {
    let mut days = weekend.book.days.iter().map(|(_, rota)| rota);
    weekend.rota.group_of(driver).or_else(|| days.find_map(|rota| rota.group_of(driver)))
}

fn slip(weekend: &Weekend, at: usize, group: usize) -> Option<Slip> {
    let driver = &weekend.drivers()[at];
    let vehicle = weekend.book.course.vehicles.iter().find(|vehicle| vehicle.id == driver.vehicle)?;
    let questions = questions(vehicle);
    (!questions.is_empty()).then(|| Slip {
        no: driver.id.clone(),
        name: whole(&driver.name),
        group: (group + 1).to_string(),
        vehicle: vehicle.name.short(),
        questions,
    })
}

/// What a member can find out, by the keys of a vehicle that answer it; where it is found is common practice,
/// no source.
const QUESTIONS: [(&[&str], Question); 9] = [
    (
        &["mass"],
        Question {
            ask: "Mass, as you come to the day",
            found: "weighbridge; else the mass in its papers, and what you carry",
        },
    ),
    (
        &["tyres"],
        Question {
            ask: "Tyre size, as it is fitted now",
            found: "sidewall; say if it is not the maker’s size",
        },
    ),
    (&["wheelbase"], Question { ask: "Wheelbase", found: "handbook; or tape from hub to hub" }),
    (&["fuel", "displacement"], Question { ask: "Petrol or diesel; displacement", found: "its papers" }),
    (&["idle"], Question { ask: "Idle speed", found: "rev counter, engine warm, nothing switched on" }),
    (
        &["gearbox", "ratios", "transfer-high", "transfer-low", LOW_UNTOLD, "axle"],
        Question {
            ask: "Low range, or none; manual or automatic; ratio of each gear, of each range, of the axle",
            found: "handbook; a photograph of the page will do",
        },
    ),
    (
        &["drive"],
        Question {
            ask: "Which wheels are driven; what can be locked",
            found: "handbook; levers and switches in the cab",
        },
    ),
    (&["brakes"], Question { ask: "Discs or drums, front and rear", found: "look through the wheels" }),
    (
        &[POINTS],
        Question {
            ask: "Recovery points, front and rear: the rating of each, or none found",
            found: "stamp beside it, or handbook; a tow ball or tie-down eye is none",
        },
    ),
];

/// Stands for rated points at both ends: no class value is taken for them, nothing is hung on a vehicle without.
const POINTS: &str = "recovery-points";

/// What is asked of a vehicle: what its roster row left out, and rated points that nobody told.
fn questions(vehicle: &Vehicle) -> Vec<Question> {
    let rated =
        |end: End| vehicle.recovery_points.iter().any(|point| point.end == end && point.carries().is_ok());
    let unrated = !(rated(End::Front) && rated(End::Rear));
    let open =
        |keys: &[&str]| keys.iter().any(|key| vehicle.is_guessed(key)) || unrated && keys.contains(&POINTS);
    QUESTIONS.into_iter().filter(|(keys, _)| open(keys)).map(|(_, question)| question).collect()
}
