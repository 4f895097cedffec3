//! People as they come: late, leaving early, on some of the days; riding with somebody; with somebody beside them.

use super::{Row, needs, private};
use crate::course::cursor::{Log, Noted, Read, nearest, start_of};
use crate::course::{Clock, Comes, Driver, Experience, Passenger};
use crate::problem::Problem;
use crate::spreadsheet::Cell;

/// What people write for every day.
const EVERY: [&str; 6] = ["all", "both", "every", "every day", "all days", "both days"];
/// Most seats of a vehicle.
const MOST_SEATS: usize = 9;

/// When somebody of a row comes and goes.
pub(super) fn comes(row: &Row, days: usize, log: &Log) -> Read<Comes> {
    let (arrives, leaves) = (time(row, "arrives", log), time(row, "leaves", log));
    let on = row.cell("days").map_or(Ok(Vec::new()), |cell| on_days(cell, days, log));
    let (arrives, leaves, on) = (arrives?, leaves?, on?);
    if let (Some(from), Some(until)) = (arrives, leaves)
        && from >= until
        && (days == 1 || on.len() == 1)
    {
        let problem = Problem::new("they leave before they arrive");
        let problem = problem.help("use the 24-hour clock: 16:30").at(row.place_of("leaves"));
        return Err(log.note(problem.related(row.place_of("arrives"), "when they arrive")));
    }
    Ok(Comes { arrives, leaves, days: on })
}

fn time(row: &Row, column: &str, log: &Log) -> Read<Option<u16>> {
    let Some(cell) = row.cell(column) else { return Ok(None) };
    let clock: Result<Clock, _> = cell.text.trim().replace('.', ":").parse();
    clock.map(|clock| Some(clock.minutes())).map_err(|_| {
        let problem = Problem::new(format!("`{column}`: `{}` is not a time of day", start_of(&cell.text)));
        let help = "write hours and minutes on the 24-hour clock: 11:00; leave it empty for the whole day";
        log.note(problem.help(help).at(cell.span.clone()))
    })
}

/// `1`, `1 and 2`, `both`.
fn on_days(cell: &Cell, days: usize, log: &Log) -> Read<Vec<usize>> {
    let said = cell.text.trim().to_lowercase();
    if EVERY.contains(&said.as_str()) {
        return Ok(Vec::new());
    }
    let words = said.split(|letter: char| !letter.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let words = words.filter(|word| !["and", "day", "days"].contains(word));
    let read: Option<Vec<usize>> =
        words.map(|word| word.parse().ok().filter(|day| (1..=days).contains(day))).collect();
    read.filter(|days| !days.is_empty()).ok_or_else(|| {
        let problem = Problem::new(format!("`days`: `{}` is no day of this course", start_of(&cell.text)));
        let help = if days == 1 {
            "the course has a single day: leave it empty, or write the course's `days`".to_owned()
        } else {
            format!("write numbers from 1 to {days}, or `all`")
        };
        log.note(problem.help(help).at(cell.span.clone()))
    })
}

/// Gives those who share a car the vehicle of whom they name, by name or number.
pub(super) fn share(rows: &[Row], drivers: &mut [Driver], log: &Log) -> Read<()> {
    let mut read = Ok(());
    for (at, row) in rows.iter().enumerate() {
        let Some(cell) = row.cell("shares") else { continue };
        let other =
            called(&cell.text, drivers).filter(|other| *other != at && rows[*other].cell("shares").is_none());
        if let Some(other) = other {
            let theirs = drivers[other].vehicle.clone();
            drivers[at].vehicle = theirs;
            continue;
        }
        let message = format!("nobody called `{}` comes with a vehicle", start_of(&cell.text));
        read = Err(unknown(cell, message, drivers, log));
    }
    read
}

/// The driver with this name or number.
fn called(word: &str, drivers: &[Driver]) -> Option<usize> {
    let same = |driver: &Driver| {
        driver.id == word || driver.name.full().to_lowercase() == word.trim().to_lowercase()
    };
    drivers.iter().position(same)
}

/// Notes a name that is no driver's, with the nearest that is.
fn unknown(cell: &Cell, message: String, drivers: &[Driver], log: &Log) -> Noted {
    let known: Vec<&str> = drivers.iter().map(|driver| driver.name.full()).collect();
    let help = nearest(&cell.text, &known).map_or_else(
        || "name a driver who comes with a vehicle, by name or number".to_owned(),
        |near| format!("did you mean `{near}`?"),
    );
    log.note(Problem::new(message).help(help).at(cell.span.clone()))
}

/// Who sits beside whom: an experienced driver of the same days, in the same group.
pub(super) fn beside(rows: &[Row], drivers: &mut [Driver], log: &Log) -> Read<()> {
    let mut read = Ok(());
    for (at, row) in rows.iter().enumerate() {
        let Some(cell) = row.cell("beside") else { continue };
        let Some(other) = called(&cell.text, drivers).filter(|other| *other != at) else {
            let message = format!("nobody called `{}` drives, to sit beside somebody", start_of(&cell.text));
            read = Err(unknown(cell, message, drivers, log));
            continue;
        };
        if drivers[other].experience != Experience::Experienced {
            let problem = Problem::new(format!("`{}` is not experienced", start_of(&cell.text)));
            let help = "who sits beside somebody is `experienced`: name another, or leave it empty";
            read = Err(log.note(problem.help(help).at(cell.span.clone())));
            continue;
        }
        drivers[at].beside = Some(other);
    }
    read
}

/// Those who ride with a driver.
pub(super) fn passengers(
    rows: &[(Row, String)],
    drivers: &[Driver],
    days: usize,
    log: &Log,
) -> Read<Vec<Passenger>> {
    let read: Vec<Read<Passenger>> =
        rows.iter().map(|(row, id)| passenger(row, id, drivers, days, log)).collect();
    read.into_iter().collect()
}

fn passenger(row: &Row, id: &str, drivers: &[Driver], days: usize, log: &Log) -> Read<Passenger> {
    let cell = row.cell("rides").expect("only who rides is a passenger");
    let with = called(&cell.text, drivers).ok_or_else(|| {
        let message = format!("nobody called `{}` drives, to ride with", start_of(&cell.text));
        unknown(cell, message, drivers, log)
    });
    let comes = comes(row, days, log);
    for column in ["vehicle", "shares"] {
        if let Some(own) = row.cell(column) {
            let problem = Problem::new("who rides with somebody does not drive");
            let help = "leave `vehicle` and `shares` empty for a passenger, or take `rides` out for a driver";
            log.note(problem.help(help).at(own.span.clone()));
        }
    }
    let name = row.text("driver").ok_or_else(|| {
        log.note(Problem::new("a passenger without a name").help("write it").at(row.place.clone()))
    });
    let (needs, wishes) = needs(row);
    Ok(Passenger {
        id: id.to_owned(),
        name: log.text(&name?, || "name of a passenger".to_owned()),
        with: with?,
        needs,
        comes: comes?,
        private: private(row, wishes),
    })
}

/// A vehicle has a seat for everybody who comes with it on any one day.
pub(super) fn seats(
    rows: &[Row],
    drivers: &[Driver],
    riders: &[Passenger],
    days: usize,
    log: &Log,
) -> Read<()> {
    let mut read = Ok(());
    for (at, row) in rows.iter().enumerate() {
        let Some(cell) = row.cell("seats") else { continue };
        let seats = cell.text.trim().parse::<usize>().ok().filter(|seats| (1..=MOST_SEATS).contains(seats));
        let Some(seats) = seats else {
            let problem =
                Problem::new(format!("`seats`: `{}` is not a number of seats", start_of(&cell.text)));
            let help = format!("write how many have a belt, the driver included: 1 to {MOST_SEATS}");
            read = Err(log.note(problem.help(help).at(cell.span.clone())));
            continue;
        };
        let mine = &drivers[at].vehicle;
        let on = |day: usize| {
            let drive = drivers.iter().filter(|driver| driver.vehicle == *mine).map(|driver| &driver.comes);
            let ride = riders.iter().filter(|rider| drivers[rider.with].vehicle == *mine);
            let all = drive.chain(ride.map(|rider| &rider.comes));
            all.filter(|comes| comes.between(day, days).is_some()).count()
        };
        let people = (1..=days).map(on).max().unwrap_or(0);
        if people > seats {
            let problem = Problem::new(format!("{people} people come in a vehicle with {seats} seats"));
            let help = "let somebody ride with another, in `rides`, or put the number of seats right";
            read = Err(log.note(problem.help(help).at(cell.span.clone())));
        }
    }
    read
}
