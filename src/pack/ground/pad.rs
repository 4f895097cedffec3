//! Where wheels are locked so that a class can see it: the skid pad, or a run-out that is flat enough.

use serde::Serialize;

use crate::course::{Gear, Ground, Name, Range, Surface, Vehicle};
use crate::engine::formulas::gearing::engine_spin;
use crate::engine::{FASTEST, NoSkid, Skid, circumference_of, overall_ratio_of};
use crate::pack::book::Book;
use crate::page::figure::{Fig, Show, digits};
use crate::page::outline::Outline;
use crate::page::pace::engine_at;
use crate::quantity::Digits;

/// Steepest ground a locked stop is shown on, rad: 3°. Judgement.
const FLAT: f64 = 3.0 * std::f64::consts::PI / 180.0;

/// Ground for the locked stop, with what it asks for.
#[derive(Serialize)]
pub(crate) struct Pad {
    /// What it is: `the skid pad`.
    pub place: String,
    /// Its surface, and how it lies: `wet grass, rising 2°`.
    pub ground: String,
    /// Speed at which the wheels lock.
    pub speed: Fig,
    /// What the class may measure, shortest to longest.
    pub slide: Fig,
    /// Clear ground from peg 2 on.
    pub room: Fig,
    /// Ground before peg 1.
    pub approach: Fig,
    /// How far the class stands from the line.
    pub beside: Fig,
    /// What a vehicle meets at the end.
    pub ends_at: String,
    /// The gear it is driven in, high range: the lowest in which the engine may turn so fast.
    pub gear: Option<String>,
    /// The rev counter at that speed in that gear; none through an open converter.
    pub revs: Option<Fig>,
    /// Whether a locked wheel ploughs here.
    pub loose: bool,
    /// Metres of the plan.
    pub plan: Plan,
    /// The plan in words.
    pub alt: String,
}

/// The plan of the pad, m; the line driven is the axis.
#[derive(Serialize)]
pub(crate) struct Plan {
    length: f64,
    width: f64,
    /// From the start of the strip to peg 2, where the wheels lock.
    lock: f64,
    shortest: f64,
    longest: f64,
    room: f64,
    beside: f64,
    vehicle_length: f64,
    vehicle_width: f64,
}

/// A piece of flat ground of the site.
struct Strip<'a> {
    place: String,
    surface: &'a Surface,
    gradient: f64,
    length: f64,
    width: Option<f64>,
    ends_at: Option<&'a Name>,
}

/// The pad for a vehicle: the skid pad first, then run-outs.
///
/// # Errors
/// For each piece of ground, why it cannot show a locked stop.
pub(crate) fn choose(book: &Book, vehicle: &Vehicle) -> Result<Pad, Vec<String>> {
    let site = book.course.day.site_speed.map_or(FASTEST, crate::quantity::Speed::si);
    let fastest = FASTEST.min(site);
    let long = Outline::of(vehicle).length();
    let mut why = Vec::new();
    for strip in strips(book) {
        let skid =
            Skid::on(strip.surface, strip.gradient, fastest).and_then(|skid| skid.within(strip.length, long));
        match skid {
            Ok(skid) => return Ok(Pad::of(book, &strip, skid, vehicle)),
            Err(no) => why.push(because(book.show, &strip, no, fastest)),
        }
    }
    if book.course.skid_pad.is_none() {
        why.push(
            "no `skid-pad` is named in the course: 40 m of flat, wetted grass or clay would do".to_owned(),
        );
    }
    Err(why)
}

fn strips<'a>(book: &'a Book) -> Vec<Strip<'a>> {
    let course = book.course;
    let pad = course.skid_pad.as_ref().and_then(|pad| {
        Some(Strip {
            place: "the skid pad".to_owned(),
            surface: course.surface(&pad.surface)?,
            gradient: pad.gradient.si(),
            length: pad.length.si(),
            width: Some(pad.width.si()),
            ends_at: pad.ends_at.as_ref(),
        })
    });
    let run_outs = course.slopes.iter().filter_map(|slope| {
        let run_out = slope.run_out.as_ref()?;
        let own = run_out.surface.as_deref().and_then(|id| course.surface(id));
        (run_out.gradient.si().abs() <= FLAT).then(|| Strip {
            place: format!("the run-out of {} {}", book.slope_mark(&slope.id), slope.name),
            surface: own.unwrap_or_else(|| course.surface_of(slope)),
            gradient: run_out.gradient.si(),
            length: run_out.length.si(),
            width: slope.width.map(crate::quantity::Length::si),
            ends_at: run_out.ends_at.as_ref(),
        })
    });
    pad.into_iter().chain(run_outs).collect()
}

fn because(show: Show, strip: &Strip, no: NoSkid, fastest: f64) -> String {
    let ground = format!("{} ({})", strip.place, strip.surface.name);
    match no {
        NoSkid::NeverStops => format!("{ground}: at the low end of the grip it would not stop"),
        NoSkid::TooFast(speed) => format!(
            "{ground}: a slide that can be seen takes {}, more than the {} it is driven at most",
            show.speed(speed, false).text(),
            show.speed(fastest, false).text()
        ),
        NoSkid::TooShort(length) => format!(
            "{ground}: needs {} with the way to gather speed, there are {}",
            show.length(length.ceil(), false).text(),
            show.length(strip.length, false).text()
        ),
    }
}

/// How a strip lies along the line driven; `gradient` in rad, downward positive.
fn lies(gradient: f64, show: Show) -> String {
    let told = show.angle(gradient.abs(), false).text();
    match gradient {
        level if level.abs() < 1e-9 => "level".to_owned(),
        falling if falling > 0.0 => format!("falling {told}"),
        _ => format!("rising {told}"),
    }
}

impl Pad {
    fn of(book: &Book, strip: &Strip, skid: Skid, vehicle: &Vehicle) -> Self {
        let show = book.show;
        let outline = Outline::of(vehicle);
        let room = skid.room(outline.length()).ceil();
        let beside = show.beside_the_line();
        let beside_m = (2.0 * skid.longest).max(15.0).ceil();
        let slide = show.lengths(skid.shortest, skid.longest, true);
        // To the tenth that the worked line gives: one speed on every page.
        let speed =
            Fig::new(digits(show.speed_number(skid.speed), Digits::Decimals(1)), show.limit(0.0).u, false);
        let gear = gear_for(vehicle, skid.speed);
        let beside = if beside_m > 15.0 { show.length(beside_m, false) } else { beside };
        Self {
            alt: format!(
                "Plan to scale: {} of approach, peg 2 where the wheels lock, the slide of {} hatched, {} kept clear; the class and the spotter stand behind a rope {} to the right of the line, the way out is to the left.",
                show.length(skid.approach().ceil(), false).text(),
                slide.text(),
                show.length(room, false).text(),
                beside.text()
            ),
            place: strip.place.clone(),
            ground: format!("{}, {}", strip.surface.name, lies(strip.gradient, show)),
            speed,
            slide,
            room: show.length(room, false),
            approach: show.length(skid.approach().ceil(), false),
            beside,
            ends_at: strip
                .ends_at
                .map_or_else(|| "not described: look before driving".to_owned(), Name::short),
            gear: gear.map(|gear| gear.in_words()),
            revs: gear.and_then(|gear| engine_at(vehicle, gear, skid.speed, show)),
            loose: strip.surface.ground == Ground::Loose,
            plan: Plan {
                length: strip.length,
                width: strip.width.unwrap_or(6.0),
                lock: skid.approach().ceil(),
                shortest: skid.shortest,
                longest: skid.longest,
                room,
                beside: beside_m,
                vehicle_length: outline.length(),
                vehicle_width: vehicle.track.si() + 0.25,
            },
        }
    }
}

/// The lowest gear of the high range in which the engine may turn as a speed, m/s, asks of it.
pub(crate) fn gear_for(vehicle: &Vehicle, speed: f64) -> Option<Gear> {
    let spin = |gear: &Gear| engine_spin(speed, overall_ratio_of(vehicle, *gear), circumference_of(vehicle));
    let allowed = |gear: &Gear| gear.range == Range::High && spin(gear) <= vehicle.engine.highest.si();
    let gears = vehicle.gears().into_iter().filter(allowed);
    gears.max_by(|a, b| overall_ratio_of(vehicle, *a).total_cmp(&overall_ratio_of(vehicle, *b)))
}
