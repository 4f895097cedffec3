//! A vehicle as the templates see it.

use serde::Serialize;

use crate::course::{
    BrakeKind, Course, Driven, EarnedFrom, Fuel, Gear, Gearbox, Known, LOW_UNTOLD, PointFault, Range,
    RecoveryPoint, Vehicle,
};
use crate::engine::formulas::gearing::{creep_speed, rolling_radius};
use crate::engine::formulas::stability::side_tip_angle;
use crate::engine::leans;
use crate::engine::{circumference_of, overall_ratio_of};
use crate::pack::facts::Facts;
use crate::pack::sheet::descent::{DescentRow, by_ear, locks, near_most, not_fetched_of};
use crate::pack::sheet::own_limit::own_everywhere;
use crate::page::figure::{Fig, Show};
use crate::page::outline::Outline;
use crate::page::pace::{Pace, Pegs};
use crate::page::words::{abort_rules, abort_rules_behind};
use crate::quantity::Measure;

/// A vehicle with its figures.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct VehicleSheet {
    pub id: String,
    pub name: String,
    pub kind: Vec<Sort>,
    pub engine: String,
    pub gearbox: String,
    pub automatic: bool,
    /// Where hand and left foot are on the way down.
    pub lever: &'static str,
    pub pegs: Pegs,
    /// Slopes where a watch cannot tell it from one over the limit.
    pub by_ear: Option<String>,
    /// The rev counter at the course's limit, in each gear that is driven: `L1 2750, L2 1550`.
    pub engine_at_limit: Option<String>,
    /// The vehicle's own limit in its gears, where the engine may turn no faster before the course's.
    pub engine_most: Option<String>,
    /// The same where it is one speed on every slope: the limit of its card, and the seconds between the pegs.
    pub own: Option<(String, String)>,
    pub mass: Fig,
    pub wheelbase: Fig,
    pub track: Fig,
    pub cg_height: Fig,
    pub tyre: String,
    pub radius: Fig,
    pub crawl: Fig,
    pub idle: Fig,
    pub allowed: Fig,
    pub gears: Vec<GearRow>,
    pub brakes: String,
    pub recovery: Vec<String>,
    pub notes: Vec<String>,
    pub tip: Fig,
    pub side_limit: Fig,
    pub drawing: Outline,
    pub card: VehicleCard,
    pub descents: Vec<DescentRow>,
    /// What is locked or engaged before the brow, by slope.
    pub locks: Vec<String>,
    /// Who is not fetched by the kit when stuck, and when; none where all that go are.
    pub not_fetched: Option<String>,
    /// Whether it goes only near a limit on some slope.
    pub some_near: bool,
    /// The highest speed that one of them may come to, over the limit, without the unit.
    pub near_most: Option<String>,
}

/// The facts of a vehicle card.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct VehicleCard {
    pub crawl: Fig,
    pub creep: Fig,
    pub side_limit: Fig,
    pub abort: String,
    /// The abort for the back, where the limit is that of the front.
    pub behind: String,
    /// Where to hook, points that may carry the same together.
    pub hook: String,
}

/// A gear with its overall ratio, creep speed at idle and greatest speed on overrun.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct GearRow {
    pub id: String,
    pub words: String,
    pub low: bool,
    pub ratio: Fig,
    pub creep: Fig,
    pub top: Fig,
    /// Creep speed in the page's unit, for drawings.
    pub speed: f64,
}

/// How the note begins that says what was estimated.
pub(crate) const ESTIMATED: &str = "Estimated from the class, ask the owner";

/// How the note begins that says that nobody told of a low range.
pub(crate) const LOW_NOT_TOLD: &str = "Low range not told";
const ONE_AXLE: &str = "Gearing holds one axle only: that axle slides first, and the vehicle can turn round.";

/// What a vehicle is, in a word, and whether that was told.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Sort {
    pub(crate) text: &'static str,
    pub(crate) estimated: bool,
}

impl VehicleSheet {
    /// A vehicle's sheet with a row for each slope.
    pub(crate) fn of(facts: &Facts, vehicle: &Vehicle, descents: Vec<DescentRow>) -> Self {
        let (course, show) = (facts.course, facts.show);
        let estimate = vehicle.tyre.diameter.estimated && vehicle.tyre.measured_circumference.is_none();
        let gears: Vec<GearRow> =
            vehicle.gears().into_iter().map(|gear| gear_row(vehicle, gear, show, estimate)).collect();
        let crawl = gears.first().map_or_else(|| Fig::new("–", "", false), |gear| gear.ratio.clone());
        let creep = gears.first().map_or_else(|| Fig::new("–", "", false), |gear| gear.creep.clone());
        let side_limit = show.angle(vehicle.side_limit.unwrap_or(course.limits.side_tilt).si(), false);
        let own = own_everywhere(&descents);
        let own_speed = own.as_ref().map(|(speed, _)| speed.clone());
        let leaning = course
            .slopes
            .iter()
            .filter(|slope| leans(slope) && facts.pair(slope, vehicle).judged.mark.goes());
        let across: Vec<String> = leaning.map(|slope| facts.slope_mark(&slope.id)).collect();
        let centre = vehicle.loaded_centre_height().si();
        let tip_estimated = vehicle.track.estimated || vehicle.centre_height.estimated;
        Self {
            id: facts.vehicle_mark(&vehicle.id),
            name: vehicle.name.short(),
            kind: vec![
                Sort { text: fuel(vehicle), estimated: vehicle.is_guessed("fuel") },
                Sort { text: gearbox_kind(vehicle), estimated: vehicle.is_guessed("gearbox") },
            ],
            engine: engine(vehicle),
            gearbox: gearbox(vehicle),
            automatic: vehicle.transmission.gearbox != Gearbox::Manual,
            lever: lever(vehicle),
            pegs: Pegs::of(None, course.limits.descent_speed.si(), show),
            by_ear: by_ear(&descents, |row| &row.slope_id),
            engine_at_limit: engine_at_limit(&descents),
            engine_most: engine_most(&descents),
            own,
            mass: show.mass(vehicle.mass.si(), vehicle.is_guessed("mass")),
            wheelbase: show.body(vehicle.wheelbase.si(), vehicle.is_guessed("wheelbase")),
            track: known(show, vehicle.track),
            cg_height: show.body(centre, vehicle.centre_height.estimated),
            tyre: tyre(vehicle, show),
            radius: show.body(rolling_radius(circumference_of(vehicle)), estimate),
            crawl: crawl.clone(),
            idle: show.spin(vehicle.engine.idle.si(), vehicle.is_guessed("idle")),
            allowed: show.spin(vehicle.engine.highest.si(), vehicle.engine.highest.estimated),
            gears,
            brakes: brakes(vehicle, show),
            recovery: recovery(vehicle, show),
            notes: notes(vehicle, show).into_iter().chain(measured(course, vehicle)).collect(),
            tip: show.angle(side_tip_angle(vehicle.track.si(), centre), tip_estimated),
            side_limit: side_limit.clone(),
            drawing: Outline::of(vehicle),
            card: VehicleCard {
                crawl,
                creep,
                side_limit,
                abort: abort_rules(course, &across, own_speed.as_deref(), show),
                behind: abort_rules_behind(course, &across),
                hook: together(&recovery(vehicle, show)),
            },
            locks: locks(&descents, |row| &row.slope_id),
            not_fetched: not_fetched_of(&descents, |row| &row.slope_id, "every slope it drives"),
            some_near: descents.iter().any(|row| row.near),
            near_most: near_most(&descents, course, show),
            descents,
        }
    }
}

/// Where hand and left foot are on the way down, for what is in this vehicle.
fn lever(vehicle: &Vehicle) -> &'static str {
    if vehicle.transmission.gearbox == Gearbox::Manual {
        return "clutch up, left foot flat on the floor, no gear change";
    }
    "in 1 or L, never N, never D; left foot away"
}

/// The rev counter at the course's limit in each gear of these rows that reaches it, each gear once.
fn engine_at_limit(descents: &[DescentRow]) -> Option<String> {
    each_gear(descents, |gear, pace| {
        let engine = pace.engine.as_ref().filter(|_| pace.own.is_none())?;
        Some(format!("{gear} {}", engine.text()))
    })
}

/// The vehicle's own limit in each gear of these rows whose engine may turn no faster before the course's
/// limit is reached, each gear once.
fn engine_most(descents: &[DescentRow]) -> Option<String> {
    each_gear(descents, |gear, pace| {
        let (own, engine) = (pace.own.as_ref()?, pace.engine.as_ref()?.text());
        let (apart, least) = (own.pegs.apart.text(), own.pegs.least.text());
        Some(format!("{gear} {engine} is {}, {apart} in {least}", own.speed.text()))
    })
}

fn each_gear(descents: &[DescentRow], told: impl Fn(&str, &Pace) -> Option<String>) -> Option<String> {
    let row = |row: &DescentRow| told(row.gear.as_ref()?.split(' ').next()?, row.pace.as_ref()?);
    let mut gears: Vec<String> = descents.iter().filter_map(row).collect();
    gears.sort();
    gears.dedup();
    (!gears.is_empty()).then(|| gears.join(", "))
}

fn known<M: Measure>(show: Show, value: Known<M>) -> Fig {
    show.body(value.value.si(), value.estimated)
}

fn gear_row(vehicle: &Vehicle, gear: Gear, show: Show, estimate: bool) -> GearRow {
    let ratio = overall_ratio_of(vehicle, gear);
    let speed_at = |spin: f64| creep_speed(circumference_of(vehicle), spin, ratio);
    let creep = speed_at(vehicle.engine.idle.si());
    GearRow {
        id: gear.to_string(),
        words: gear.in_words(),
        low: gear.range == Range::Low,
        ratio: show.ratio(ratio, geared(vehicle)),
        creep: show.creep(creep, estimate || geared(vehicle) || vehicle.is_guessed("idle")),
        top: show.speed(
            speed_at(vehicle.engine.highest.si()),
            estimate || geared(vehicle) || vehicle.engine.highest.estimated,
        ),
        speed: show.speed_number(creep),
    }
}

/// Whether the overall ratios rest on estimates.
fn geared(vehicle: &Vehicle) -> bool {
    ["ratios", "axle", "transfer-high", "transfer-low"].iter().any(|key| vehicle.is_guessed(key))
}

fn fuel(vehicle: &Vehicle) -> &'static str {
    match vehicle.engine.fuel {
        Fuel::Petrol => "petrol",
        Fuel::Diesel => "diesel",
    }
}

fn gearbox_kind(vehicle: &Vehicle) -> &'static str {
    match vehicle.transmission.gearbox {
        Gearbox::Manual => "manual",
        Gearbox::AutomaticLocked => "automatic, converter locks",
        Gearbox::AutomaticUnlocked => "automatic, converter open",
    }
}

fn engine(vehicle: &Vehicle) -> String {
    let litres = vehicle.engine.displacement.si() * 1000.0;
    format!("{litres:.1} L {}, {} cylinders", fuel(vehicle), *vehicle.engine.cylinders)
}

fn gearbox(vehicle: &Vehicle) -> String {
    let transmission = &vehicle.transmission;
    let low = match transmission.transfer_low {
        Some(low) => format!("low range {:.2}:1", low.si()),
        None if vehicle.is_guessed(LOW_UNTOLD) => "low range not told, none reckoned with".to_owned(),
        None => "no low range".to_owned(),
    };
    let hub = if transmission.hub.si() > 1.0 {
        format!(", hubs {:.2}:1", transmission.hub.si())
    } else {
        String::new()
    };
    let drive = match transmission.driven {
        Driven::AllWheels => "all wheels",
        Driven::Front => "front wheels only",
        Driven::Rear => "rear wheels only",
        Driven::Unknown => "driven wheels not known, taken as the rear",
    };
    format!("{} gears, {}, {low}{hub}, {drive}", transmission.ratios.len(), gearbox_kind(vehicle))
}

fn tyre(vehicle: &Vehicle, show: Show) -> String {
    match vehicle.pressure {
        Some(pressure) => {
            format!("{} at {}", vehicle.tyre.marking, show.pressure(pressure.si(), false).text())
        }
        None => format!("{} at ____ {}", vehicle.tyre.marking, show.pressure(1.0e5, false).u),
    }
}

fn brakes(vehicle: &Vehicle, show: Show) -> String {
    let kind = |axle: Option<crate::course::AxleBrakes>| match axle.map(|axle| axle.kind) {
        Some(BrakeKind::Disc) => "discs",
        Some(BrakeKind::Drum) => "drums",
        None => "none",
    };
    let share = Fig::new(format!("{:.0}", 100.0 * vehicle.brakes.front_share.si()), "%", false).text();
    let iron: f64 = [vehicle.brakes.front, vehicle.brakes.rear]
        .into_iter()
        .flatten()
        .map(|axle| f64::from(axle.count) * axle.mass.si())
        .sum();
    let estimated = |axle: crate::course::AxleBrakes| axle.mass.estimated;
    let from_class = [vehicle.brakes.front, vehicle.brakes.rear].into_iter().flatten().any(estimated);
    format!(
        "{}{} in front, {} behind; {}{} of iron; {share} of the braking in front",
        if vehicle.is_guessed("brakes") { "not told, reckoned as: " } else { "" },
        kind(vehicle.brakes.front),
        kind(vehicle.brakes.rear),
        if from_class { "from the class " } else { "" },
        show.mass(iron, false).text(),
    )
}

/// Where a line may be made fast, and where not: the same judgement as the recovery plan's.
fn recovery(vehicle: &Vehicle, show: Show) -> Vec<String> {
    let words = |point: &RecoveryPoint| match point.carries() {
        Ok(load) => format!("{}: working load limit {}", point.place, show.force(load.si(), false).text()),
        Err(PointFault::UnratedPoint) => format!("{}: not rated, never pull on it", point.place),
        Err(_) => format!("{}: no recovery point, never pull on it", point.place),
    };
    if vehicle.recovery_points.is_empty() {
        return vec!["not told: do not pull by anything until its rating is read".to_owned()];
    }
    vehicle.recovery_points.iter().map(words).collect()
}

/// Points of which the same is said, said once: `front left chassis, rear hitch: working load limit 34 kN`.
fn together(points: &[String]) -> String {
    let mut said: Vec<(String, &str)> = Vec::new();
    for point in points {
        let (place, what) = point.rsplit_once(": ").unwrap_or((point, ""));
        match said.iter_mut().find(|(_, known)| !what.is_empty() && *known == what) {
            Some((places, _)) => *places = format!("{places}, {place}"),
            None => said.push((place.to_owned(), what)),
        }
    }
    let line = |(places, what): &(String, &str)| {
        if what.is_empty() { places.clone() } else { format!("{places}: {what}") }
    };
    said.iter().map(line).collect::<Vec<_>>().join("; ")
}

/// What of its figures was measured on earlier days.
fn measured(course: &Course, vehicle: &Vehicle) -> Vec<String> {
    let one = |what: &str, from: Option<EarnedFrom>| from.map(|from| format!("{what} {from}."));
    let drag = one("Engine drag", course.earned.drag_of(&vehicle.id));
    [drag, one("Rolling circumference", course.earned.tyre_of(&vehicle.id))].into_iter().flatten().collect()
}

fn notes(vehicle: &Vehicle, show: Show) -> Vec<String> {
    let mut notes = Vec::new();
    if !vehicle.guessed.is_empty() {
        notes.push(format!("{ESTIMATED}: {}.", vehicle.guessed_words()));
    }
    if vehicle.transmission.gearbox == Gearbox::AutomaticUnlocked {
        notes.push(
            "Automatic with an open converter: not promised to hold at idle; foot brake with the gear."
                .to_owned(),
        );
    }
    let one_axle = vehicle.transmission.driven != Driven::AllWheels;
    let no_low = vehicle.transmission.transfer_low.is_none() && !vehicle.is_guessed(LOW_UNTOLD);
    match (one_axle, no_low) {
        (true, true) => notes.push(
            "Gearing holds one axle, and without a low range little: that axle slides first, and the vehicle can turn round."
                .to_owned(),
        ),
        (true, false) => notes.push(ONE_AXLE.to_owned()),
        (false, true) => notes.push("No low range: the engine holds little on a slope.".to_owned()),
        (false, false) => {}
    }
    if vehicle.is_guessed(LOW_UNTOLD) {
        notes.push(format!(
            "{LOW_NOT_TOLD}, so none is reckoned with. Has it one? Tell whoever keeps the course file."
        ));
    }
    if let Some(roof) = vehicle.roof_load {
        notes.push(format!("{} on the roof: it tips earlier.", show.mass(roof.mass.si(), false).text()));
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::course::read_text;
    use crate::quantity::UnitSystem;

    #[test]
    fn a_tow_ball_is_never_named_as_a_place_to_pull() {
        let course = read_text(include_str!("../../../courses/hill-club-weekend.yaml")).expect("an example");
        let said: Vec<String> = course
            .vehicles
            .iter()
            .flat_map(|vehicle| recovery(vehicle, Show::new(UnitSystem::Imperial)))
            .collect();
        let ball = said.iter().find(|words| words.contains("tow ball")).expect("the van has one");
        assert!(ball.ends_with("never pull on it"), "{ball}");
        assert!(said.iter().any(|words| words.contains("working load limit")), "rated points stay");
    }
}
