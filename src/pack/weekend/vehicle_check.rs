//! The check sheets of the vehicles that come.

use serde::Serialize;

use crate::course::{Course, Gearbox, Vehicle};
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
struct Checked<'a> {
    sheet: &'a VehicleSheet,
    drivers: String,
    /// Whether nobody said if its axles can be tied together.
    ask_locks: bool,
    /// Whether it has a low range to try.
    low_range: bool,
    /// How long it takes from peg to peg at idle in its lowest gear, on the level: a minute that shows a wrong gear,
    /// range, tyre or idle. None through a converter.
    creep_time: Option<Fig>,
}

impl<'a> VehicleCheck<'a> {
    /// From the book; for every vehicle of the course, of several days for those checked on this. None where all
    /// have been.
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
                let names: Vec<String> = who_drive(book.course, vehicle)
                    .map(|at| book.course.roster.drivers[at].name.short())
                    .collect();
                Some(Checked {
                    sheet: book.vehicle_sheet_of(&vehicle.id)?,
                    drivers: names.join(", "),
                    ask_locks: centre_unknown(vehicle).is_some(),
                    low_range: vehicle.transmission.transfer_low.is_some(),
                    creep_time: creep_time(vehicle, book.show),
                })
            })
            .collect();
        (!vehicles.is_empty()).then(|| Self { pack, vehicles, units: units(book) })
    }
}

fn creep_time(vehicle: &Vehicle, show: Show) -> Option<Fig> {
    if vehicle.transmission.gearbox != Gearbox::Manual {
        return None;
    }
    let ratio = overall_ratio_of(vehicle, lowest_gear(vehicle));
    let creep = creep_speed(circumference_of(vehicle), vehicle.engine.idle.si(), ratio);
    Some(Fig::new(format!("{:.0}", peg_time(show.pegs_apart(), creep)), "s", true))
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
