//! `reckon`: the figures, for reading, for machines, for a spreadsheet.

mod sheet;
mod text;
mod wire;

use super::say::Say;
use super::{read_course, write_out, write_out_as};
use crate::cli::ReckonArgs;
use crate::course::Course;
use crate::engine::{Reckoning, reckon};
use crate::problem::Failure;
use crate::recovery::{Depth, Recoveries, recoveries, rule};
use crate::rota::{self, Rota};

/// Works the course and writes the figures to standard output.
pub(super) fn run(args: &ReckonArgs, say: &Say) -> Result<(), Failure> {
    let loaded = read_course(&args.course, say)?;
    // Helpers count for every recovery, so the whole fleet is worked before it is narrowed.
    let recoveries = match (args.json, rule::binds(&loaded.course)) {
        (true, _) => recoveries(&loaded.course, Depth::Every),
        (false, true) => recoveries(&loaded.course, Depth::Likely),
        (false, false) => Recoveries::default(),
    };
    let course = narrowed(loaded.course, args)?;
    let mut reckoning = reckon(&course);
    rule::apply(&course, &mut reckoning, &recoveries.fetch);
    let rota = if args.json { whole_rota(&course, &reckoning, args, say) } else { Vec::new() };
    if args.csv {
        return write_out(&sheet::csv(&reckoning)?);
    }
    write_out_as(|out| {
        if args.json {
            wire::write(out, &course, &reckoning, &of(&course, recoveries), &rota)
        } else {
            text::write(out, &course, &reckoning)
        }
    })
}

/// The rotas of all days of the whole course: none when only a part of it is asked for, or when no rota fits, which
/// is said.
fn whole_rota(course: &Course, reckoning: &Reckoning, args: &ReckonArgs, say: &Say) -> Vec<(Course, Rota)> {
    if args.slope.is_some() || args.vehicle.is_some() || !rota::rotates(course) {
        return Vec::new();
    }
    rota::plan_days(course, reckoning).map_err(|why| say.note(&why.to_string())).unwrap_or_default()
}

/// The recoveries of the slopes and vehicles that are left.
fn of(course: &Course, mut recoveries: Recoveries) -> Recoveries {
    let here = |slope: &str, vehicle: &str| {
        course.slopes.iter().any(|known| known.id == slope)
            && course.vehicles.iter().any(|known| known.id == vehicle)
    };
    recoveries.all.retain(|told| here(&told.slope, &told.vehicle));
    recoveries.ladders.retain(|told| here(&told.slope, &told.vehicle));
    recoveries.fetch.retain(|told| here(&told.slope, &told.vehicle));
    recoveries
}

/// The course with only the slope and the vehicle asked for.
fn narrowed(mut course: Course, args: &ReckonArgs) -> Result<Course, Failure> {
    if let Some(id) = &args.slope {
        keep(&mut course.slopes, id, "slope", |slope| &slope.id)?;
    }
    if let Some(id) = &args.vehicle {
        keep(&mut course.vehicles, id, "vehicle", |vehicle| &vehicle.id)?;
    }
    Ok(course)
}

fn keep<T>(things: &mut Vec<T>, id: &str, what: &str, id_of: impl Fn(&T) -> &String) -> Result<(), Failure> {
    if !things.iter().any(|thing| id_of(thing) == id) {
        let known: Vec<&str> = things.iter().map(|thing| id_of(thing).as_str()).collect();
        return Err(Failure::Usage(format!("no {what} is called `{id}`; there are {}", known.join(", "))));
    }
    things.retain(|thing| id_of(thing) == id);
    Ok(())
}
