//! How hot a disc or drum ought to be after descents on the foot brake, out of gear.

use crate::course::{End, Heated, Vehicle};
use crate::engine::formulas::heat::axle_heat;
use crate::engine::{
    Air, Body, Hold, IRON_SHARE, Load, Node, OnBrakes, Profile, axle_loads, braked, front_part,
};

/// Standard uncertainty of the heat that a disc or drum takes for each kelvin, as a part of it, where its mass is written:
/// judgement.
const WEIGHED: f64 = 0.06;
/// The same where the mass, or how the braking is shared, is estimated from the class: judgement.
const GUESSED: f64 = 0.15;
/// Least part of it that is reckoned with.
const LEAST: f64 = 0.2;
/// Steps in which one descent is followed.
const STEPS: u32 = 20;

/// How unsure the heat is that a vehicle's discs and drums take.
pub(in crate::earned) fn iron_part(vehicle: &Vehicle) -> f64 {
    let brakes = &vehicle.brakes;
    let guessed = [brakes.front, brakes.rear].into_iter().flatten().any(|axle| axle.mass.estimated);
    if guessed || brakes.front_share.estimated { GUESSED } else { WEIGHED }
}

/// Temperature, K, that one disc or drum ought to read, at a score of the heat it takes; what it read before where the
/// vehicle has no brake there, or the slope none to give.
pub(super) fn read(
    vehicle: &Vehicle,
    body: &Body,
    profile: &Profile,
    heat: &Heated,
    (air, iron): (f64, f64),
) -> f64 {
    let before = heat.before.si();
    let Some((node, load)) = warmed(vehicle, body, profile, heat, iron) else { return before };
    let [rolling, still] = [load.speed, 0.0].map(|speed| Air { temperature: air, speed });
    let mut hot = before;
    for descent in 0..heat.descents {
        if descent > 0 {
            hot = node.cooled(hot, &still, heat.every.si());
        }
        hot = node.after(hot, &rolling, load.power, load.time, STEPS);
    }
    node.cooled(hot, &still, heat.waited.si())
}

/// The iron, and what one descent puts into it.
fn warmed(
    vehicle: &Vehicle,
    body: &Body,
    profile: &Profile,
    heat: &Heated,
    iron: f64,
) -> Option<(Node, Load)> {
    let brakes = &vehicle.brakes;
    let fitted = if heat.end == End::Front { brakes.front } else { brakes.rear }?;
    let takes = (1.0 + iron_part(vehicle) * iron).max(LEAST);
    let node = Node::of(&fitted, takes * brakes.heat_capacity.si());
    let target = heat.speed.si();
    let on = OnBrakes { body, hold: Hold::braked(vehicle, 0.0)?, help: None, strongest: None, target };
    let run = braked(on, profile, target);
    let leg = profile.steepest();
    let weight = body.mass * body.gravity;
    let loads = axle_loads(body, weight * leg.press(), weight * libm::sin(leg.pitch));
    let front = front_part(vehicle, loads.front_share());
    let share = if heat.end == End::Front { front } else { 1.0 - front };
    let into = axle_heat(run.braking, share, IRON_SHARE) / f64::from(fitted.count.max(1));
    (run.time > 0.0).then(|| (node, Load { power: into / run.time, time: run.time, speed: target }))
}
