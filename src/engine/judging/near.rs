//! What a stated tolerance would break: more load or less, one step of the clinometer, more speed, an engine
//! beyond the published band.

use super::limits::{self, Check, Seen};
use super::profiles::gradient_step;
use super::setting::{Setting, Told};
use crate::course::Gear;
use crate::engine::case::Case;
use crate::engine::chassis::body::Body;
use crate::engine::chassis::drive::Drive;
use crate::engine::chassis::hold::Hold;
use crate::engine::mark::{Corner, Deciding, Tolerance, What};
use crate::engine::motion::balance::Balance;
use crate::engine::motion::braked::{OnBrakes, braked};
use crate::engine::motion::geared::geared;
use crate::engine::motion::run::Run;
use crate::engine::way::Way;

/// A vehicle as heavy and as light as it may be with what is written.
fn heavy_and_light(setting: &Setting) -> [Body; 2] {
    let tolerances = &setting.course.limits.tolerances;
    let unmeasured = if setting.vehicle.is_guessed("mass") { tolerances.unmeasured.si() } else { 1.0 };
    let off = (tolerances.mass.si() * unmeasured).min(0.9);
    let body = setting.ground.body;
    [1.0 + off, 1.0 - off].map(|factor| Body { mass: body.mass * factor, ..body })
}

/// A vehicle, its engine and its ground as a stated tolerance would have them.
struct Try {
    tolerance: Tolerance,
    body: Body,
    /// The end of the engine's drag, and so much of it.
    case: Case,
    drag: f64,
    /// Whether the slope is steeper by a step of its instrument.
    steep: bool,
}

/// The limits that stated tolerances break on a way down in gear that is within all of them.
///
/// A tolerance is only followed down once what is before it has been read: the first limit that breaks makes the
/// mark, and only the gear that is driven is asked for all of them.
pub(crate) fn breaks<'a>(
    setting: &'a Setting,
    told: &'a Told,
) -> impl Iterator<Item = (Check, Tolerance)> + use<'a> {
    let gear = told.descent.gear.filter(|_| told.verdict.within_limits);
    gear.into_iter().flat_map(move |gear| {
        let quick = of_speed(setting, told).into_iter().chain(of_gradient(setting));
        quick.chain(tries(setting).into_iter().flat_map(move |one| followed(setting, gear, &one)))
    })
}

/// What is worth following down, each at the end of the engine's drag that is the worse for it.
fn tries(setting: &Setting) -> [Try; 6] {
    let body = setting.ground.body;
    let [heavy, light] = heavy_and_light(setting);
    let beyond = setting.ground.drag.beyond(setting.course.limits.tolerances.drag.si());
    let (low, high) = (Case::Unfavourable, Case::Dragged);
    let one = |tolerance, body, case| Try { tolerance, body, case, drag: 1.0, steep: false };
    [
        one(Tolerance::Mass, heavy, low),
        one(Tolerance::Lighter, light, high),
        Try { drag: 1.0 - beyond, ..one(Tolerance::Drag, body, low) },
        Try { drag: 1.0 + beyond, ..one(Tolerance::Drag, body, high) },
        Try { steep: true, ..one(Tolerance::Gradient, body, high) },
        Try { steep: true, ..one(Tolerance::Gradient, body, low) },
    ]
}

/// What breaks when a gear is followed down so.
fn followed(setting: &Setting, gear: Gear, one: &Try) -> Vec<(Check, Tolerance)> {
    let profile = if one.steep { setting.steeper } else { &setting.ground.profiles[0] };
    let drive = setting.ground.drive(gear, one.case);
    let drive = Drive { drag: drive.drag.scaled(one.drag), ..drive };
    let run = geared(&one.body, profile, &drive, setting.ground.entry);
    let short = Balance::short(&one.body, profile.steepest(), &drive);
    let engine = Some(drive.force(drive.fastest()));
    let corner = if one.case == Case::Dragged { Corner::DRAGGED } else { Corner::FREE };
    let seen = setting.seen(Way::Geared, &run, corner, (engine, short));
    checked(setting, &seen).into_iter().map(|check| (check, one.tolerance)).collect()
}

/// The same on the foot brake with a gear: more load, less, an engine that takes more, and a step of the clinometer.
/// One that takes less is nothing the foot does not make up for.
pub(crate) fn helped_nearly(setting: &Setting, told: &Told) -> Vec<Deciding> {
    let (Some(gear), Some(hold)) = (told.descent.gear, Hold::braked(setting.vehicle, setting.ground.bump))
    else {
        return Vec::new();
    };
    let drive = setting.ground.drive(gear, Case::Unfavourable);
    let strongest = setting.ground.drive(gear, Case::Dragged);
    let beyond = setting.ground.drag.beyond(setting.course.limits.tolerances.drag.si());
    let stronger = Drive { drag: strongest.drag.scaled(1.0 + beyond), ..strongest };
    let body = setting.ground.body;
    let [heavy, light] = heavy_and_light(setting);
    let target = told.descent.kept.unwrap_or(told.descent.unfavourable.end_speed);
    let mut found = of_speed(setting, told);
    found.extend(of_gradient(setting));
    let tries = [
        (Tolerance::Mass, &heavy, &strongest, &setting.ground.profiles[0]),
        (Tolerance::Lighter, &light, &strongest, &setting.ground.profiles[0]),
        (Tolerance::Drag, &body, &stronger, &setting.ground.profiles[0]),
        (Tolerance::Gradient, &body, &strongest, setting.steeper),
    ];
    for (tolerance, body, strongest, profile) in tries {
        let on = OnBrakes { body, hold, help: Some(&drive), strongest: Some(strongest), target };
        let run = braked(on, profile, told.descent.unfavourable.entry_speed);
        let seen = setting.seen(Way::Assisted, &run, Corner::FREE, (None, None));
        found.extend(checked(setting, &seen).into_iter().map(|check| (check, tolerance)));
    }
    decidings(found, told)
}

/// What a run breaks, the stop beyond the foot included.
fn checked(setting: &Setting, seen: &Seen) -> Vec<Check> {
    let mut checks = limits::of_run(seen);
    let foot = seen.run.foot_speed.unwrap_or(0.0);
    checks.extend(setting.stop_from(foot).iter().flat_map(limits::of_stop));
    checks.into_iter().filter(Check::broken).collect()
}

/// What more speed breaks: the limit of speed, of the engine, the run-out.
fn of_speed(setting: &Setting, told: &Told) -> Vec<(Check, Tolerance)> {
    let limits = &setting.course.limits;
    let more = 1.0 + limits.tolerances.speed.si();
    let mut found = Vec::new();
    for (run, corner) in told.descent.corners() {
        let seen = setting.seen(told.descent.way, run, corner, (None, None));
        for check in limits::of_run(&seen) {
            let tolerance = match check.what {
                What::Speed => Tolerance::Speed,
                What::EngineSpeed => Tolerance::EngineSpeed,
                _ => continue,
            };
            let value = check.value * more;
            if value > check.limit {
                found.push((Check { value, ..check }, tolerance));
            }
        }
    }
    let faster: Option<_> = told.stop.and_then(|_| setting.stop_from(more * told.descent.foot_speed.high));
    let short = faster.iter().flat_map(limits::of_stop).filter(Check::broken);
    found.extend(short.map(|check| (check, Tolerance::Speed)));
    found
}

/// What a step of the clinometer breaks by itself.
fn of_gradient(setting: &Setting) -> Option<(Check, Tolerance)> {
    let gradient = setting.slope.steepest().gradient.si() + gradient_step(setting.course, setting.slope);
    limits::of_place(&setting.stability, &[], gradient, &setting.course.limits)
        .into_iter()
        .find(|check| check.what == What::Gradient && check.broken())
        .map(|check| (check, Tolerance::Gradient))
}

/// Each kind once, with the tolerance that breaks it worst.
pub(crate) fn decidings(mut found: Vec<(Check, Tolerance)>, told: &Told) -> Vec<Deciding> {
    found.sort_by(|(a, _), (b, _)| a.by_excess(b));
    let mut all: Vec<Deciding> = Vec::new();
    for (check, tolerance) in found {
        if all.iter().all(|seen| seen.what != check.what) {
            all.push(check.deciding(told.descent.way, told.descent.gear, false, Some(tolerance)));
        }
    }
    all
}

/// The top speed of each stretch of a way down at the unfavourable end, m/s: never less than that of a
/// stretch before.
pub(crate) fn speeds_by_stretch(setting: &Setting, told: &Told) -> Vec<f64> {
    let profile = &setting.ground.profiles[0];
    let whole = told.descent.fastest();
    let mut lengths = 0.0;
    let mut speeds: Vec<f64> = Vec::new();
    for leg in &profile.legs[..profile.legs.len().saturating_sub(1)] {
        lengths += leg.length;
        let part = profile.cut(lengths);
        let top = match (told.descent.way, told.descent.gear) {
            (Way::Geared, Some(gear)) => {
                let run: Run = geared(
                    &setting.ground.body,
                    &part,
                    &setting.ground.drive(gear, Case::Unfavourable),
                    setting.ground.entry,
                );
                run.top_speed
            }
            _ => whole,
        };
        speeds.push(top.min(whole));
    }
    speeds.push(whole);
    speeds
}
