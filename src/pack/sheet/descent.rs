//! What a vehicle does on a slope, as the templates see it.

use serde::Serialize;

use crate::course::{Course, Gear, Ground, Slope, Vehicle};
use crate::engine::formulas::grip::friction_limit_angle;
use crate::engine::{Body, Mark, Outcome, Pair, Standing, Told, Way, Wheels};
use crate::pack::book::Book;
use crate::page::figure::{Fig, Show};
use crate::page::words::{reason_long, reason_short};

/// One vehicle on one slope.
#[derive(Clone, Debug, Serialize)]
pub struct DescentRow {
    pub slope_id: String,
    pub slope_name: String,
    pub slope_grade: String,
    pub vehicle_id: String,
    pub vehicle_name: String,
    pub within: bool,
    /// Whether its gear alone runs up to near the speed limit: a foot over the brake.
    pub near: bool,
    /// Whether the foot brake helps its gear.
    pub helped: bool,
    pub verdict: String,
    pub short: String,
    pub reasons: Vec<String>,
    pub gear: Option<String>,
    pub gear_words: Option<String>,
    pub tried_gear: String,
    pub outcome: String,
    pub speed: Fig,
    pub engine: Fig,
    pub limit: Fig,
    pub margin: Fig,
    pub locked: String,
    pub heat: Fig,
    pub runs: Fig,
}

/// Verdict of everything within the limits.
pub const WITHIN: &str = "within the course’s limits";

impl DescentRow {
    /// The row of a pair.
    pub fn of(book: &Book, slope: &Slope, vehicle: &Vehicle) -> Self {
        let (course, show, pair) = (book.course, book.show, book.pair(slope, vehicle));
        let told = decisive(pair);
        let within = pair.standing != Standing::NotHere;
        let locked = pair.way(Way::Locked);
        let foot = told.map(|told| told.descent.foot_speed);
        let gear = pair.gear.filter(|_| within);
        let helped = pair.standing == Standing::InGearWithFootBrake;
        let reasons = if within { Vec::new() } else { reasons(pair, show) };
        Self {
            slope_id: book.slope_mark(&slope.id),
            slope_name: slope.name.short(),
            slope_grade: show.angle(slope.steepest().gradient.si(), false).text(),
            vehicle_id: book.vehicle_mark(&vehicle.id),
            vehicle_name: vehicle.name.short(),
            within,
            near: pair.judged.mark == Mark::Near,
            helped,
            verdict: verdict(within, helped, &reasons),
            short: short(within, helped, told),
            reasons,
            gear: gear.map(|gear| gear_text(gear, helped)),
            gear_words: gear.map(|gear| gear_words(gear, helped)),
            tried_gear: pair.gear.map_or_else(|| "no gear".to_owned(), |gear| gear.to_string()),
            outcome: outcome(told),
            speed: foot.map_or_else(none, |speed| show.speeds(speed.low, speed.high, true)),
            engine: told
                .and_then(|told| told.descent.top_spin)
                .map_or_else(none, |spin| show.spin(round_to(spin.likely, 50.0 / 60.0), true)),
            limit: show.limit(course.limits.descent_speed.si()),
            margin: grip_margin(course, slope, vehicle, helped, show),
            locked: locked.map_or_else(|| "no foot brake to lock".to_owned(), |told| locked_text(told, show)),
            heat: brake_rise(pair, show),
            runs: runs(course, pair),
        }
    }
}

/// The way down that decides: the gear alone, or with the foot brake where that is what is within.
fn decisive(pair: &Pair) -> Option<&Told> {
    match pair.standing {
        Standing::InGearWithFootBrake => pair.way(Way::Assisted),
        _ => pair.way(Way::Geared),
    }
}

/// Why not in gear, then why not with the foot brake either.
fn reasons(pair: &Pair, show: Show) -> Vec<String> {
    let of = |way: Way| pair.way(way).map(|told| told.verdict.reasons.as_slice()).unwrap_or_default();
    let in_gear = of(Way::Geared).iter().map(|reason| reason_long(*reason, pair.gear, show));
    let with_brake = of(Way::Assisted)
        .iter()
        .filter(|reason| !of(Way::Geared).contains(reason))
        .take(1)
        .map(|reason| format!("with the foot brake: {}", reason_long(*reason, pair.gear, show)));
    in_gear.chain(with_brake).collect()
}

fn verdict(within: bool, helped: bool, reasons: &[String]) -> String {
    match (within, helped) {
        (true, false) => WITHIN.to_owned(),
        (true, true) => format!("{WITHIN}, with the foot brake helping"),
        (false, _) => format!("not on this slope: {}", reasons.first().map_or("no gear", String::as_str)),
    }
}

fn short(within: bool, helped: bool, told: Option<&Told>) -> String {
    match (within, helped) {
        (true, false) => "within limits".to_owned(),
        (true, true) => "with foot brake".to_owned(),
        (false, _) => told
            .and_then(|told| told.verdict.reasons.first())
            .map_or_else(|| "no gear".to_owned(), |reason| reason_short(*reason).to_owned()),
    }
}

fn gear_text(gear: Gear, helped: bool) -> String {
    if helped { format!("{gear} + brake") } else { gear.to_string() }
}

fn gear_words(gear: Gear, helped: bool) -> String {
    if helped { format!("{}, foot brake helping", gear.in_words()) } else { gear.in_words() }
}

/// What becomes of it, in a word or two; where the ends of the range differ, both.
fn outcome(told: Option<&Told>) -> String {
    let Some(told) = told else { return "no gear to reckon with".to_owned() };
    let short = |outcome: Outcome| match outcome {
        Outcome::RunsUpAndBalances => "runs up, balances".to_owned(),
        Outcome::HeldOnBrakes => "foot brake holds".to_owned(),
        other => other.to_string(),
    };
    match (told.descent.favourable_outcome, told.descent.outcome) {
        (best, worst) if best == worst => short(worst),
        (best, Outcome::RunsUpAndBalances) => format!("{} or runs up", short(best)),
        (best, worst) => format!("{} or {}", short(best), short(worst)),
    }
}

/// How it goes with locked wheels, from the brow.
fn locked_text(told: &Told, show: Show) -> String {
    let descent = &told.descent;
    let distance = show.lengths(descent.distance.low, descent.distance.high, true).text();
    let speed = show.speeds(descent.foot_speed.low, descent.foot_speed.high, true).text();
    match descent.outcome {
        Outcome::StopsOnSlope => format!("stops in {distance}"),
        Outcome::StopsInRunOut => format!("{speed} at the foot, stops in the run-out"),
        _ => format!("{speed} at the foot, need not stop"),
    }
}

/// Whether the steepest stretch is too steep for locked wheels to stop on it at the low end of the grip.
pub fn slides_on(course: &Course, slope: &Slope) -> bool {
    libm::tan(slope.steepest().gradient.si()) >= course.surface_of(slope).sliding.low
}

/// What is to be said of locked wheels on a slope whatever the vehicle: the steering, and a slide from
/// the brow that ends above a stretch too steep for them.
pub fn locked_note(course: &Course, slope: &Slope, show: Show) -> String {
    let surface = course.surface_of(slope);
    let steering = match surface.ground {
        Ground::Firm => "Locked wheels do not steer at all here.",
        Ground::Loose => "Locked wheels steer hardly at all here.",
    };
    if !slides_on(course, slope) {
        return steering.to_owned();
    }
    format!(
        "{steering} On the {} stretch they need not stop, at the low end of the grip, wherever they lock.",
        show.angle(slope.steepest().gradient.si(), false).text()
    )
}

fn brake_rise(pair: &Pair, show: Show) -> Fig {
    pair.way(Way::Braked)
        .and_then(|told| told.heat.as_ref())
        .and_then(|heat| heat.axles.iter().map(|axle| axle.rise).reduce(f64::max))
        // To the nearest five: no better is known.
        .map_or_else(none, |rise| show.rise(round_to(rise, 5.0).max(5.0), true))
}

fn runs(course: &Course, pair: &Pair) -> Fig {
    let Some(heat) = pair.way(Way::Braked).and_then(|told| told.heat.as_ref()) else { return none() };
    let planned = course.day.runs;
    let text = if heat.runs_allowed >= planned {
        format!("{planned} or more")
    } else {
        heat.runs_allowed.to_string()
    };
    Fig::new(text, "runs", true)
}

/// How many degrees the steepest stretch stays under what the wheels that hold the vehicle can, turning,
/// at the low end of the grip; negative where it is steeper. Gearing that drives one axle holds
/// with that axle alone, the foot brake with those it acts on.
fn grip_margin(course: &Course, slope: &Slope, vehicle: &Vehicle, helped: bool, show: Show) -> Fig {
    let on_brakes = Wheels::braked(vehicle).filter(|_| helped);
    let wheels = on_brakes.unwrap_or_else(|| Wheels::driven(vehicle));
    let limit = friction_limit_angle(wheels.whole(course.surface_of(slope).peak.low, &Body::of(vehicle)));
    show.angle(limit - slope.steepest().gradient.si(), true)
}

fn none() -> Fig {
    Fig::new("–", "", false)
}

fn round_to(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}
