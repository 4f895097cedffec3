//! A slide or a roll-out on level ground, which tell of a surface.

use super::{Ask, Known, Next, differing};
use crate::course::{Aid, Band, Course, MeasuredRun, Meter, RunGround, Seen, Surface, Vehicle};
use crate::earned::key::Key;
use crate::earned::model::Prepared;
use crate::earned::score::{SPREAD, THERE};
use crate::engine::{Case, Pair, pairs_where};
use crate::quantity::{Length, Speed};

/// Speeds to slide and to roll out from, m/s: 20 and 15 km/h, as much as level ground beside a slope has room for.
const TO_SLIDE: f64 = 20.0 / 3.6;
const TO_ROLL: f64 = 15.0 / 3.6;

/// The runs that tell of a surface on which slopes lie: one of its grip, one of its rolling resistance, as far as verdicts
/// hang on either.
pub(super) fn runs(known: &Known, surface: &Surface) -> Vec<Next> {
    // Wheels that let go by themselves lock for no slide, and roll out as well as others.
    let locks = |one: &&Vehicle| {
        one.brakes.front.is_some() && one.brakes.rear.is_some() && !one.aids.contains(&Aid::AntiLock)
    };
    let fleet = || known.course.vehicles.iter();
    let (sliding, rolling_out) = (fleet().find(locks), fleet().next());
    let grip = |one: &mut Surface, end: usize| {
        (one.sliding, one.peak) = (at_end(one.sliding, end), at_end(one.peak, end));
    };
    let rolling = |one: &mut Surface, end: usize| one.rolling = at_end(one.rolling, end);
    let id = || surface.id.clone();
    let slide = decides(known.course, surface, grip);
    let coast = decides(known.course, surface, rolling);
    [
        (Ask::Slide(id()), Key::Sliding(id()), slide, TO_SLIDE, sliding),
        (Ask::Coast(id()), Key::Rolling(id()), coast, TO_ROLL, rolling_out),
    ]
    .into_iter()
    .filter(|(_, _, decides, ..)| !decides.is_empty())
    .filter_map(|(measure, key, decides, speed, vehicle)| {
        let vehicle = vehicle?;
        let run = level(known.before, vehicle, &measure, speed)?;
        let leaves = leaves(known, &run, key);
        Some(Next { vehicle: vehicle.id.clone(), measure, decides, leaves })
    })
    .collect()
}

fn at_end(band: Band, end: usize) -> Band {
    let value = band.values()[end];
    Band::new(value, value, value)
}

/// Pairs on a surface whose verdict differs between the ends of a figure.
fn decides(course: &Course, surface: &Surface, set: impl Fn(&mut Surface, usize)) -> Vec<(String, String)> {
    let at = |end: usize| -> Vec<Pair> {
        let mut course = course.clone();
        for one in course.surfaces.iter_mut().filter(|one| one.id == surface.id) {
            set(one, end);
        }
        pairs_where(&course, |slope, _| slope.surface == surface.id)
    };
    differing(&at(0), &at(2))
}

/// The run on level ground.
fn level(before: &Course, vehicle: &Vehicle, measure: &Ask, speed: f64) -> Option<MeasuredRun> {
    let on = |surface: &String| RunGround { slope: None, surface: surface.clone() };
    // As long as friction of a half makes it, until it is known what to expect.
    let (speed, length) = (Speed::new(speed), Length::new(speed * speed / 10.0));
    let seen = match measure {
        Ask::Slide(surface) => Seen::Slid { ground: on(surface), from: None, speed, length },
        Ask::Coast(surface) => Seen::Coasted { ground: on(surface), speed, length },
        Ask::Time { .. } => return None,
    };
    let date = before.runs.list.iter().map(|run| run.date).max().unwrap_or_default();
    Some(MeasuredRun {
        number: 0,
        date,
        vehicle: vehicle.id.clone(),
        seen,
        meter: Meter::named("pegs")?,
        sure: None,
    })
}

/// What it leaves of the range of a figure for the next day: what differs from place to place and day to day stays.
fn leaves(known: &Known, run: &MeasuredRun, key: Key) -> f64 {
    let prepared = Prepared::of(known.before, run, Case::Likely);
    let parts = [(key, SPREAD)];
    let whole = |spread: f64| libm::hypot(spread, THERE);
    whole(known.fit.after(&prepared, &parts)) / whole(known.fit.sum(&parts).spread)
}
