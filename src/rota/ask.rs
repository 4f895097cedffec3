//! What a slope asks of a vehicle and of who drives it, and what therefore comes first.

use crate::course::{Course, Experience, Order};
use crate::engine::{Reckoning, Standing};

/// What a foot brake over the whole descent adds to what a slope asks. Judgement, no source.
const FOOT_BRAKE: f64 = 0.15;

/// From this part of the course's own limits on a slope counts as steep: lesson and demonstration come
/// before it. Judgement, no source.
pub const STEEP: f64 = 0.5;

/// What a slope asks of a vehicle, as a part of the course's own limits: the steepest pitch or the greatest
/// side tilt with its bump, whichever is nearer to its limit (1 is the limit itself), and more where the
/// foot brake has to help all the way. None where the vehicle may not go.
pub fn ask(course: &Course, reckoning: &Reckoning, slope: usize, vehicle: &str) -> Option<f64> {
    let pair = reckoning.pair(&course.slopes.get(slope)?.id, vehicle)?;
    let brake = match pair.standing {
        Standing::InGear => 0.0,
        Standing::InGearWithFootBrake => FOOT_BRAKE,
        Standing::NotHere => return None,
    };
    let pitch = pair.stability.pitch.abs() / course.limits.gradient.si();
    let tilt = pair.stability.side_tilt.abs() / pair.stability.side_limit;
    Some(pitch.max(tilt) + brake)
}

/// How much more a slope may ask than one still to come, by who drives: a part of the course's limits.
/// Judgement, no source.
pub const fn step(experience: Experience) -> f64 {
    match experience {
        Experience::Novice => 0.12,
        Experience::Some => 0.25,
        Experience::Experienced => 0.5,
    }
}

/// What a slope asks of a group: as much as of the vehicle there of which it asks most. None where nobody
/// of the group may drive.
pub fn ask_of_group(course: &Course, reckoning: &Reckoning, group: &[usize], slope: usize) -> Option<f64> {
    let drivers = group.iter().filter_map(|at| course.roster.drivers.get(*at));
    drivers.filter_map(|driver| ask(course, reckoning, slope, &driver.vehicle)).max_by(f64::total_cmp)
}

/// Whether a group drives one slope before another, by the course's own order or, where it sets none, because
/// the second asks more by a step of its least experienced driver.
pub fn comes_first(
    course: &Course,
    reckoning: &Reckoning,
    group: &[usize],
    first: usize,
    then: usize,
) -> bool {
    let Some(rules) = &course.rota else { return false };
    let id = |slope: usize| course.slopes.get(slope).map(|slope| slope.id.as_str());
    if rules.before.iter().any(|(one, two)| (Some(one.as_str()), Some(two.as_str())) == (id(first), id(then)))
    {
        return true;
    }
    match &rules.order {
        Order::Any => false,
        Order::Own(order) => {
            let place = |slope: usize| order.iter().position(|known| Some(known.as_str()) == id(slope));
            matches!((place(first), place(then)), (Some(one), Some(two)) if one < two)
        }
        Order::Gentle => {
            let drivers = group.iter().filter_map(|at| course.roster.drivers.get(*at));
            let least = drivers.map(|driver| driver.experience).min().unwrap_or_default();
            let asks = |slope: usize| ask_of_group(course, reckoning, group, slope);
            matches!((asks(first), asks(then)), (Some(one), Some(two)) if two - one > step(least))
        }
    }
}

/// Whether lesson and demonstration come before a slope for a group.
pub fn is_steep(course: &Course, reckoning: &Reckoning, group: &[usize], slope: usize) -> bool {
    let gentle = course.rota.as_ref().is_some_and(|rules| rules.order != Order::Any);
    gentle && ask_of_group(course, reckoning, group, slope).is_some_and(|ask| ask >= STEEP)
}
