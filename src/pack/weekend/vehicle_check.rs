//! The check sheets of the vehicles that come.

use serde::Serialize;

use crate::course::{Course, Gearbox, LOW_UNTOLD, Vehicle};
use crate::engine::formulas::gearing::creep_speed;
use crate::engine::formulas::show::peg_time;
use crate::engine::{circumference_of, overall_ratio_of};
use crate::lesson::lowest_gear;
use crate::pack::book::Book;
use crate::pack::sheet::descent::centre_unknown;
use crate::pack::sheet::vehicle::VehicleSheet;
use crate::page::figure::{Fig, Show};
use crate::page::meta::Meta;

/// A check sheet for each vehicle.
#[derive(Serialize)]
pub(crate) struct VehicleCheck<'a> {
    pack: Meta,
    vehicles: Vec<Checked<'a>>,
    /// Those checked on an earlier day, looked at again before they drive.
    again: Vec<Again>,
    /// Units to write in.
    units: Units,
}

/// Units printed beside what is to be written.
#[derive(Serialize)]
struct Units {
    mass: String,
    pressure: String,
    force: String,
}

#[derive(Serialize)]
struct Again {
    mark: String,
    name: String,
    drivers: String,
}

#[derive(Serialize)]
struct Checked<'a> {
    sheet: &'a VehicleSheet,
    drivers: String,
    /// Whether nobody said if its axles can be tied together.
    ask_locks: bool,
    /// Whether it has a low range to try; and whether nobody told.
    low_range: bool,
    low_untold: bool,
    /// How long it takes from peg to peg at idle in its lowest gear, on the level: a minute that shows a wrong gear,
    /// range, tyre or idle. None through a converter.
    creep_time: Option<Fig>,
}

impl<'a> VehicleCheck<'a> {
    /// From the book; for every vehicle of the course, of several days for those checked on this, with a line for each
    /// that was checked before.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Option<Self> {
        // On the day only cars that were on no list have not been checked.
        let new = book.new_vehicles();
        let all = &book.course.vehicles;
        let is_new = book.change.is_some() && !new.is_empty();
        let vehicles = if new.is_empty() { &all[..] } else { &all[new] };
        let vehicles: Vec<Checked> = vehicles
            .iter()
            .filter(|vehicle| is_new || is_checked_today(book.course, vehicle))
            .filter_map(|vehicle| {
                Some(Checked {
                    sheet: book.vehicle_sheet_of(&vehicle.id)?,
                    drivers: names_of(book.course, vehicle),
                    ask_locks: centre_unknown(vehicle).is_some(),
                    low_range: vehicle.transmission.transfer_low.is_some(),
                    low_untold: vehicle.is_guessed(LOW_UNTOLD),
                    creep_time: creep_time(vehicle, book.show),
                })
            })
            .collect();
        let again = if is_new { Vec::new() } else { again(book) };
        let nothing = vehicles.is_empty() && again.is_empty();
        (!nothing).then(|| Self { pack, vehicles, again, units: units(book) })
    }
}

fn names_of(course: &Course, vehicle: &Vehicle) -> String {
    let names = who_drive(course, vehicle).map(|at| course.roster.drivers[at].name.short());
    names.collect::<Vec<_>>().join(", ")
}

/// The vehicles driven today that were checked on an earlier day: a night, and a day's driving, lie between.
fn again(book: &Book) -> Vec<Again> {
    let course = book.course;
    let known = |vehicle: &&Vehicle| {
        course.day_number() > 1
            && who_drive(course, vehicle).next().is_some()
            && !is_checked_today(course, vehicle)
    };
    let row = |vehicle: &Vehicle| Again {
        mark: book.vehicle_mark(&vehicle.id),
        name: vehicle.name.short(),
        drivers: names_of(course, vehicle),
    };
    course.vehicles.iter().filter(known).map(row).collect()
}

fn creep_time(vehicle: &Vehicle, show: Show) -> Option<Fig> {
    if vehicle.transmission.gearbox != Gearbox::Manual {
        return None;
    }
    let ratio = overall_ratio_of(vehicle, lowest_gear(vehicle));
    let creep = creep_speed(circumference_of(vehicle), vehicle.engine.idle.si(), ratio);
    Some(Fig::new(format!("{:.1}", peg_time(show.pegs_apart(), creep)), "s", true))
}

/// The drivers of a vehicle who are there today, by their place in the roster.
fn who_drive<'a>(course: &'a Course, vehicle: &'a Vehicle) -> impl Iterator<Item = usize> + 'a {
    let drivers = course.roster.drivers.iter().enumerate();
    let theirs = drivers.filter(|(_, driver)| driver.vehicle == vehicle.id).map(|(at, _)| at);
    theirs.filter(|at| course.driver_today(*at).is_some())
}

/// Whether a vehicle is checked today: on the first of several days those that are there, the club's own among them;
/// on a later one those that somebody drives who has not been there before.
fn is_checked_today(course: &Course, vehicle: &Vehicle) -> bool {
    if course.day_number() > 1 {
        return who_drive(course, vehicle).any(|at| course.is_new_today(at));
    }
    let is_the_clubs = || course.roster.drivers.iter().all(|driver| driver.vehicle != vehicle.id);
    who_drive(course, vehicle).next().is_some() || is_the_clubs()
}

fn units(book: &Book) -> Units {
    let show = book.show;
    Units {
        mass: show.mass(1.0, false).u,
        pressure: show.pressure(1.0e5, false).u,
        force: show.force(1.0e3, false).u,
    }
}
