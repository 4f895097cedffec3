//! Which gear: what a gear holds at the speed limit against what the slope asks, and a pace to see it by.

use super::Example;
use crate::course::{Course, Gear, Gearbox, Slope, Vehicle, pegs_apart};
use crate::engine::formulas::GRAVITY;
use crate::engine::formulas::gearing::{creep_speed, engine_spin, rolling_radius};
use crate::engine::symbols as s;
use crate::engine::taught::{gearing, show};
use crate::engine::{
    Case, Compared, EngineDrag, Leg, Profile, Reckoning, circumference_of, comparison, overall_ratio_of,
};
use crate::formula::{Part, Worked, Working};

/// The gear driven, and the first that is too high, of one vehicle on one slope. Nothing is claimed through an
/// open converter, or across a tilt, where the press on the ground is another.
pub(super) fn examples(
    course: &Course,
    reckoning: &Reckoning,
    slope: &Slope,
    vehicle: &Vehicle,
) -> Vec<Worked> {
    let Some(pair) = reckoning.pair(&slope.id, &vehicle.id) else { return Vec::new() };
    let line = Profile::of(course, slope, Case::Unfavourable);
    let leg = line.steepest();
    if vehicle.transmission.gearbox == Gearbox::AutomaticUnlocked || leg.roll != 0.0 {
        return Vec::new();
    }
    let chosen = pair.judged.gear.filter(|_| pair.judged.lowest.is_some());
    let tried = [
        (
            Example::GearChoice,
            "The gear to drive: what it holds at the speed limit, over what the slope asks",
            chosen,
        ),
        (
            Example::GearTooHigh,
            "The next gear, too high: what it holds at the speed limit, over what the slope asks",
            pair.judged.too_high.filter(|_| chosen.is_some()),
        ),
    ];
    let work = |(id, title, gear): (Example, &str, Option<Gear>)| {
        let working = id.begun(title, course.units).slope(&slope.id).vehicle(&vehicle.id);
        let working = if id == Example::GearChoice { working.part(Part::Worked) } else { working };
        at_the_limit(course, vehicle, gear?, leg, working)
    };
    tried.into_iter().filter_map(work).collect()
}

/// At the course's limit, or at the highest engine speed where that comes first; low end of the engine's drag
/// and of the rolling resistance, as the verdict takes them.
fn at_the_limit(
    course: &Course,
    vehicle: &Vehicle,
    gear: Gear,
    leg: &Leg,
    working: Working,
) -> Option<Worked> {
    let (circumference, ratio) = (circumference_of(vehicle), overall_ratio_of(vehicle, gear));
    let fastest = creep_speed(circumference, vehicle.engine.highest.si(), ratio);
    let speed = course.limits.descent_speed.si().min(fastest);
    let spin = engine_spin(speed, ratio, circumference);
    let torque = EngineDrag::of(&vehicle.engine).torque(spin, Case::Unfavourable);
    working
        .given(&s::SPEED, speed)
        .given(&s::OVERALL_RATIO, ratio)
        .given(&s::CIRCUMFERENCE, circumference)
        .step(&gearing::ENGINE_SPIN)
        .start(&s::DRAG_TORQUE, torque, true)
        .given(&s::RADIUS, rolling_radius(circumference))
        .given(&s::MASS, vehicle.mass.si())
        .given(&s::GRAVITY_ACCELERATION, GRAVITY)
        .step(&show::HELD_BY_GEAR)
        .given(&s::SLOPE_ANGLE, leg.pitch)
        .start(&s::ROLLING_COEFFICIENT, leg.footing.rolling, true)
        .step(&show::SLOPE_ASKS)
        .step(&show::HOLDS_OVER)
        .gear(gear.to_string())
        .finish()
}

/// The comparison's vehicles, each in its lowest gear on the slope they are compared on.
pub(super) fn compared(course: &Course, reckoning: &Reckoning) -> Vec<Worked> {
    let Some((slope, rows)) = comparison(course, reckoning) else { return Vec::new() };
    let slope = &course.slopes[slope];
    let line = Profile::of(course, slope, Case::Likely);
    rows.iter().filter_map(|row| of_compared(course, slope, row, line.steepest())).collect()
}

fn of_compared(course: &Course, slope: &Slope, row: &Compared, leg: &Leg) -> Option<Worked> {
    let vehicle = &course.vehicles[row.vehicle];
    if vehicle.transmission.gearbox == Gearbox::AutomaticUnlocked {
        return None;
    }
    let torque = EngineDrag::of(&vehicle.engine).torque(vehicle.engine.idle.si(), Case::Likely);
    Example::Comparison
        .begun("The comparison: what the lowest gear holds at idle, over what the slope asks", course.units)
        .slope(&slope.id)
        .vehicle(&vehicle.id)
        .gear(row.gear.to_string())
        .start(&s::DRAG_TORQUE, torque, true)
        .given(&s::OVERALL_RATIO, row.ratio)
        .given(&s::RADIUS, rolling_radius(circumference_of(vehicle)))
        .given(&s::MASS, vehicle.mass.si())
        .given(&s::GRAVITY_ACCELERATION, GRAVITY)
        .step(&show::HELD_BY_GEAR)
        .given(&s::SLOPE_ANGLE, leg.pitch)
        .start(&s::ROLLING_COEFFICIENT, leg.footing.rolling, true)
        .step(&show::SLOPE_ASKS)
        .step(&show::HOLDS_OVER)
        .finish()
}

/// Seconds between two pegs at the course's limit.
pub(super) fn pegs(course: &Course) -> Option<Worked> {
    let apart = pegs_apart(course.units);
    Example::PegTime
        .begun("Seconds between two pegs at the speed limit", course.units)
        .given(&s::PEG_DISTANCE, apart)
        .given(&s::SPEED, course.limits.descent_speed.si())
        .step(&show::TIME_OF_PEGS)
        .finish()
}
