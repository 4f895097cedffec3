//! What a vehicle does on a slope, as the templates see it.

use serde::Serialize;

use crate::course::{Course, Driven, Gear, Lock, Slope, Vehicle};
use crate::engine::formulas::grip::friction_limit_angle;
use crate::engine::{
    Body, Deciding, Differential, Judgement, Mark, NextGear, NotDriven, Outcome, Pair, Place, Standing, Told,
    Way, Wheels, overall_ratio_of,
};
use crate::pack::facts::Facts;
use crate::pack::sheet::braked::or_alone;
use crate::pack::sheet::fetch::{fetch_line, not_fetched};
use crate::pack::sheet::locked::{locked_words, place_words};
use crate::pack::sheet::steeper::drives_steeper;
use crate::page::figure::{Fig, Show};
use crate::page::pace::Pace;
use crate::page::words::{deciding_short, deciding_words, near_speed, speed_come_to, unforgiving_words};

/// One vehicle on one slope.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct DescentRow {
    pub slope_id: String,
    pub slope_name: String,
    pub slope_grade: String,
    pub vehicle_id: String,
    pub vehicle_name: String,
    /// What comes before driving, where nobody has measured the slope.
    pub first: Option<&'static str>,
    /// Whether it may be driven at all.
    pub within: bool,
    /// The mark, as programs read it.
    pub mark: &'static str,
    /// The mark in the course's one vocabulary.
    pub mark_words: String,
    /// What the driver locks or engages before the brow.
    pub lock: Vec<String>,
    /// Whether a stated tolerance breaks its gear: a foot over the brake.
    pub near: bool,
    /// Whether the foot brake helps its gear.
    pub helped: bool,
    pub verdict: String,
    pub short: String,
    /// The reasons, each once, the worst first.
    pub why: String,
    pub reasons: Vec<String>,
    /// The gear to drive.
    pub gear: Option<String>,
    /// The gears that may be driven and those that may not: `L1 or L2; H1 too high`.
    pub choice: Option<String>,
    /// The gears not to drive here, and a lower one that may be: `L1 too low, H1 too high`.
    pub others: Option<String>,
    /// The lowest gear of the same mark as the gear driven.
    pub lowest: Option<String>,
    /// The highest gear too low for the ground.
    pub too_low: Option<String>,
    /// What its pace looks like.
    pub pace: Option<Pace>,
    /// The next gear above the one driven: `L2`, and in two words why it is not driven.
    pub next: Option<(String, &'static str)>,
    /// Why what a tolerance breaks is not left to a foot over the brake here.
    pub unforgiving: Option<String>,
    pub gear_words: Option<String>,
    pub tried_gear: String,
    pub outcome: String,
    /// Highest speed on the way down.
    pub speed: Fig,
    /// What it may come to where a tolerance breaks the limit, in the same unit: `up to 15`.
    pub up_to: Option<String>,
    /// The same in m/s.
    #[serde(skip)]
    pub near_speed: Option<f64>,
    /// Where it is reached, on a slope of several stretches.
    pub fastest_at: Option<String>,
    /// Speed at the foot.
    pub foot: Fig,
    /// What to measure to win a better mark back.
    pub measure: Vec<String>,
    pub engine: Fig,
    pub limit: Fig,
    pub margin: Fig,
    /// The same in whole degrees.
    #[serde(skip)]
    pub margin_degrees: f64,
    /// Why it stays off here and drives a steeper slope.
    pub steeper: Option<String>,
    pub locked: String,
    pub heat: Fig,
    pub runs: Fig,
    /// When the kit does not fetch it although it may drive; none where it does.
    pub not_fetched: Option<String>,
}

/// Verdict of everything within the limits.
pub(crate) const WITHIN: &str = "within the course’s limits";

impl DescentRow {
    /// The row of a pair.
    pub(crate) fn of(facts: &Facts, slope: &Slope, vehicle: &Vehicle) -> Self {
        let (course, show, pair) = (facts.course, facts.show, facts.pair(slope, vehicle));
        let judged = &pair.judged;
        let told = decisive(pair);
        let (speed, foot) = (judged.way.map(|_| judged.top_speed), judged.way.map(|_| judged.foot_speed));
        let within = judged.mark.goes();
        let helped = judged.mark == Mark::WithBrake;
        let gear = judged.gear.filter(|_| within);
        let limit = course.limits.descent_speed.si();
        let tells = |one: &&Deciding| !within || !one.decides || one.tolerance.is_some();
        let reasons = judged.reasons.iter().filter(tells).map(|one| deciding_words(one, show));
        let reasons = or_alone(reasons.collect(), pair, show);
        let unforgiving = unforgiving_words(judged, course, slope, show);
        let spin = told.and_then(|told| told.descent.top_spin);
        let locks_on = judged.lock.iter().map(|one| lock_words(*one, "on"));
        let locks_out = judged.unlock.iter().map(|one| lock_words(*one, "out"));
        Self {
            slope_id: facts.slope_mark(&slope.id),
            slope_name: slope.name.short(),
            slope_grade: show.sharp_angle(slope.steepest().gradient.si()).text(),
            vehicle_id: facts.vehicle_mark(&vehicle.id),
            vehicle_name: vehicle.name.short(),
            first: (within && slope.survey.is_none()).then_some("survey first"),
            within,
            mark: judged.mark.key(),
            mark_words: judged.mark.to_string(),
            lock: locks_on.chain(locks_out).chain(centre_unknown(vehicle)).collect(),
            near: judged.mark == Mark::Near,
            helped,
            verdict: verdict(judged.mark, &reasons),
            short: short(judged),
            why: why(&reasons, helped, unforgiving.as_deref()),
            reasons,
            gear: gear.map(|gear| gear_text(gear, helped)),
            choice: gear.and_then(|_| choice(judged, vehicle)),
            others: gear.and_then(|_| others(judged, vehicle)),
            lowest: lowest_alike(judged, vehicle).map(|gear| gear.to_string()),
            too_low: judged.too_low.map(|gear| gear.to_string()),
            pace: told.zip(speed).filter(|_| within).map(|way| Pace::of(vehicle, slope, way, limit, show)),
            next: judged.next.map(|next| (next.gear.to_string(), not_driven(next.why))),
            unforgiving: unforgiving.clone(),
            gear_words: gear.map(|gear| gear_words(gear, helped)),
            tried_gear: pair.gear.map_or_else(|| "no gear".to_owned(), |gear| gear.to_string()),
            outcome: outcome(told),
            speed: speed.map_or_else(none, |speed| show.speeds(speed.low, speed.high, true)),
            up_to: near_speed(judged, limit, show).filter(|_| within),
            near_speed: judged.near_speed.filter(|_| within),
            fastest_at: fastest_at(slope, judged.top_at, show),
            foot: foot.map_or_else(none, |speed| show.speeds(speed.low, speed.high, true)),
            measure: judged.measure.iter().map(ToString::to_string).collect(),
            engine: spin.map_or_else(none, |spin| show.spin(round_up_to(spin.high, 50.0 / 60.0), true)),
            limit: show.limit(limit),
            margin: show.angle(grip_margin(course, slope, vehicle, helped), true),
            margin_degrees: grip_margin(course, slope, vehicle, helped).to_degrees().round(),
            steeper: drives_steeper(facts, slope, vehicle),
            locked: judged.locked.map_or_else(
                || "no foot brake to lock".to_owned(),
                |at| locked_words(course, slope, &at, show),
            ),
            heat: brake_rise(pair, show),
            runs: runs(course, pair),
            not_fetched: not_fetched(facts.recoveries().fetch_of(&slope.id, &vehicle.id)).filter(|_| within),
        }
    }
}

/// The gears that may be driven and those that may not, in the words of a table: `L1 or L2; H1 too high`.
fn choice(judged: &Judgement, vehicle: &Vehicle) -> Option<String> {
    let gear = judged.gear.filter(|_| matches!(judged.mark, Mark::Within | Mark::Near))?;
    let lower = lowest_alike(judged, vehicle).filter(|lowest| *lowest != gear);
    let driven = lower.map_or_else(|| gear.to_string(), |lower| format!("{lower} or {gear}"));
    let low = judged.too_low.map(|low| format!("{low} too low"));
    let next = judged.next.map(|next| match next.why {
        NotDriven::Nearly(_) => format!("{} near", next.gear),
        _ => next_words(next),
    });
    Some([Some(driven), low, next].into_iter().flatten().collect::<Vec<_>>().join("; "))
}

/// The next gear up in the words of a table.
fn next_words(next: NextGear) -> String {
    match next.why {
        NotDriven::Nearly(_) => format!("{} near a limit", next.gear),
        NotDriven::Breaks(_) | NotDriven::OverAWalk | NotDriven::NotTried => {
            format!("{} too high", next.gear)
        }
    }
}

/// Why a gear is not driven, in two or three words.
fn not_driven(why: NotDriven) -> &'static str {
    match why {
        NotDriven::Breaks(what) => deciding_short(what),
        NotDriven::Nearly(_) => "near a limit",
        NotDriven::OverAWalk => "faster than a walk",
        NotDriven::NotTried => "not tried",
    }
}

/// The lowest gear that has the mark of the gear driven. A lower one that a tolerance breaks is not named beside
/// one that holds: it would be driven with the foot off the brake.
fn lowest_alike(judged: &Judgement, vehicle: &Vehicle) -> Option<Gear> {
    let ratio = |gear: &Gear| overall_ratio_of(vehicle, *gear);
    let alone = matches!(judged.mark, Mark::Within | Mark::Near);
    let alike = judged.gears.iter().filter(|(_, mark)| alone && *mark == judged.mark).map(|(gear, _)| *gear);
    alike.max_by(|a, b| ratio(a).total_cmp(&ratio(b)))
}

/// What stands small beside the gear driven: the lowest where it is another, and those that are none for here.
fn others(judged: &Judgement, vehicle: &Vehicle) -> Option<String> {
    let alone = matches!(judged.mark, Mark::Within | Mark::Near);
    let lowest = lowest_alike(judged, vehicle).filter(|lowest| Some(*lowest) != judged.gear);
    let said = [
        judged.too_low.map(|low| format!("{low} too low")),
        lowest.map(|lowest| format!("lowest {lowest}")),
        judged.next.filter(|_| alone).map(next_words),
    ];
    let said: Vec<String> = said.into_iter().flatten().collect();
    (!said.is_empty()).then(|| said.join(", "))
}

/// What is locked or engaged, or taken out on a line that leans, in the words of a card.
fn lock_words(one: Differential, to: &str) -> String {
    match one {
        Differential::FourWheelDrive => "four-wheel drive".to_owned(),
        Differential::Centre => format!("centre lock {to}"),
        Differential::Front => format!("front lock {to}"),
        Differential::Rear => format!("rear lock {to}"),
    }
}

/// What to ask where nobody said whether the axles can be tied together; the mark counts on an open centre.
pub(crate) fn centre_unknown(vehicle: &Vehicle) -> Option<String> {
    let transmission = &vehicle.transmission;
    let unknown =
        transmission.driven == Driven::AllWheels && transmission.differentials.centre == Lock::Unknown;
    unknown.then(|| "as its check found".to_owned())
}

/// What is locked or engaged before the brow, each once with the marks it is for; without marks where it
/// is for all that go.
pub(crate) fn locks(rows: &[DescentRow], mark: impl Fn(&DescentRow) -> &str) -> Vec<String> {
    let going: Vec<&DescentRow> = rows.iter().filter(|row| row.within).collect();
    let mut words: Vec<&String> = going.iter().flat_map(|row| &row.lock).collect();
    words.sort();
    words.dedup();
    // What is done to the same vehicles stands together.
    let mut done: Vec<(Vec<&str>, Vec<&str>)> = Vec::new();
    for word in words {
        let marks: Vec<&str> =
            going.iter().filter(|row| row.lock.contains(word)).map(|row| mark(row)).collect();
        match done.iter_mut().find(|(same, _)| *same == marks) {
            Some((_, words)) => words.push(word),
            None => done.push((marks, vec![word])),
        }
    }
    let told = |(marks, words): (Vec<&str>, Vec<&str>)| {
        let words = words.join(", ");
        if marks.len() == going.len() { words } else { format!("{}: {words}", marks.join(", ")) }
    };
    done.into_iter().map(told).collect()
}

/// Of the vehicles that go, who is not fetched by the kit, and when.
pub(crate) fn not_fetched_of(
    rows: &[DescentRow],
    mark: impl Fn(&DescentRow) -> &str,
    all: &str,
) -> Option<String> {
    let going = rows.iter().filter(|row| row.within);
    fetch_line(going.map(|row| (mark(row), row.not_fetched.as_deref())), all)
}

/// Of those that go, the marks of those whose expected pace a watch cannot tell from one over the limit.
pub(crate) fn by_ear(rows: &[DescentRow], mark: impl Fn(&DescentRow) -> &str) -> Option<String> {
    let unseen = |row: &&DescentRow| row.pace.as_ref().is_some_and(|pace| !pace.by_watch);
    let marks: Vec<&str> = rows.iter().filter(unseen).map(mark).collect();
    (!marks.is_empty()).then(|| marks.join(", "))
}

/// Where the highest speed is reached, on a slope of several stretches.
fn fastest_at(slope: &Slope, at: Option<Place>, show: Show) -> Option<String> {
    let at = at.filter(|_| slope.stretches.len() > 1)?;
    Some(place_words(slope, at, show))
}

/// The way down that decides: the gear alone, or with the foot brake where that is what is within.
fn decisive(pair: &Pair) -> Option<&Told> {
    match pair.standing {
        Standing::InGearWithFootBrake => pair.way(Way::Assisted),
        _ => pair.way(Way::Geared),
    }
}

fn verdict(mark: Mark, reasons: &[String]) -> String {
    let first = reasons.first();
    match mark {
        Mark::Within => WITHIN.to_owned(),
        Mark::WithBrake => format!("{WITHIN}, with the foot brake helping"),
        Mark::Near => first.map_or_else(|| mark.to_string(), |reason| format!("{mark}: {reason}")),
        Mark::Refused | Mark::NotJudged => {
            format!("{mark}: {}", first.map_or("no gear", String::as_str))
        }
    }
}

/// Every reason, the worst first; where the foot brake is on, the worst alone says why.
fn why(reasons: &[String], helped: bool, unforgiving: Option<&str>) -> String {
    let mut told: Vec<&str> = Vec::new();
    for reason in reasons {
        if !told.contains(&reason.as_str()) {
            told.push(reason);
        }
    }
    told.truncate(if helped { 1 } else { told.len() });
    let unforgiving = unforgiving.map(|why| format!("not left to a foot over the brake here: {why}"));
    told.extend(unforgiving.as_deref());
    told.join("; ")
}

fn short(judged: &Judgement) -> String {
    match judged.mark {
        Mark::Within | Mark::WithBrake | Mark::Near => judged.mark.to_string(),
        Mark::Refused | Mark::NotJudged => {
            judged.first().map_or_else(|| "no gear".to_owned(), |one| deciding_short(one.what).to_owned())
        }
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

/// How much, rad, the steepest stretch stays under what the wheels that hold the vehicle can, turning,
/// at the low end of the grip; negative where it is steeper. Gearing that drives one axle holds
/// with that axle alone, the foot brake with those it acts on.
fn grip_margin(course: &Course, slope: &Slope, vehicle: &Vehicle, helped: bool) -> f64 {
    let on_brakes = Wheels::braked(vehicle).filter(|_| helped);
    let wheels = on_brakes.unwrap_or_else(|| Wheels::driven(vehicle));
    let limit = friction_limit_angle(wheels.whole(course.surface_of(slope).peak.low, &Body::of(vehicle)));
    limit - slope.steepest().gradient.si()
}

fn none() -> Fig {
    Fig::new("–", "", false)
}

fn round_to(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

/// The most, rounded so that it is never less than it was.
fn round_up_to(value: f64, step: f64) -> f64 {
    (value / step).ceil() * step
}

/// The highest speed that a vehicle near a limit may come to, of these rows, without the unit.
pub(super) fn near_most(rows: &[DescentRow], course: &Course, show: Show) -> Option<String> {
    let most = rows.iter().filter_map(|row| row.near_speed).max_by(f64::total_cmp)?;
    Some(speed_come_to(most, course.limits.descent_speed.si(), show))
}
