//! Down the slope with the wheels locked.

use super::integrate::State;
use super::run::{Outcome, Run, Track, at_speed, part};
use super::slide::{self, Slider};
use crate::engine::chassis::body::{Body, Leg, Profile};
use crate::engine::chassis::hold::Wheels;
use crate::engine::formulas::slope;

/// Follows a vehicle whose braked wheels lock at the brow at an entry speed (m/s).
///
/// The clutch is down: the engine takes no part. All the brakes get is what the wheels held as
/// rotation; the rest goes into the ground. Air is left out, against the vehicle. With one axle
/// braked the other rolls free and keeps the line; with both, a tilted slope turns the path down.
pub fn locked(body: &Body, profile: &Profile, wheels: Wheels, entry: f64) -> Run {
    let mut track = Track::new(entry);
    let spin_down = slope::kinetic_energy(body.wheels, entry);
    let mut state = at_speed(body.mass, entry);
    track.run.ledger.entry = state[part::MOTION] + spin_down;
    state[part::BRAKES] += spin_down;
    let mut slider = Slider { speed: entry, off_line: 0.0 };
    slide_rest(body, profile, wheels, &mut track, &mut state, &mut slider, Rest { leg: 0, done: 0.0 })
}

/// Where on the profile a slide begins.
#[derive(Clone, Copy)]
pub(crate) struct Rest {
    /// Index of the leg.
    pub(crate) leg: usize,
    /// Part of it behind, m.
    pub(crate) done: f64,
}

/// Slides over what is left of the profile and the run-out, to rest or to its end.
pub(crate) fn slide_rest(
    body: &Body,
    profile: &Profile,
    wheels: Wheels,
    track: &mut Track,
    state: &mut State,
    slider: &mut Slider,
    rest: Rest,
) -> Run {
    track.run.slip = 1.0;
    let loose = profile.legs.iter().any(|leg| leg.footing.loose);
    // A locked front axle steers nothing; a locked rear one leaves the front steering a vehicle
    // about to swap ends. Neither is credited.
    track.run.steering = (!loose).then_some(0.0);
    track.steering = if loose { f64::INFINITY } else { 0.0 };
    let legs = profile.legs.iter().enumerate().skip(rest.leg);
    for (index, leg) in legs {
        let done = if index == rest.leg { rest.done } else { 0.0 };
        track.begin(index);
        let part = Leg { length: leg.length - done, ..*leg };
        match slide_leg(body, &part, wheels, track, state, slider, profile.side_room) {
            End::Passed => {}
            End::Rest => return track.settle(state, Outcome::StopsOnSlope, 0.0),
            End::OffSide | End::Turned => return track.settle(state, Outcome::SlidesOffSide, slider.speed),
        }
    }
    track.run.foot_speed = Some(slider.speed);
    let Some(run_out) = &profile.run_out else {
        return track.settle(state, Outcome::DoesNotStop, slider.speed);
    };
    track.begin(profile.legs.len());
    let before = track.run.distance;
    let end = slide_leg(body, run_out, wheels, track, state, slider, profile.side_room);
    track.run.run_out_used = track.run.distance - before;
    let outcome = match end {
        End::Passed => Outcome::LeavesRunOut,
        End::Rest if slides_back(body, run_out, wheels) => Outcome::SlidesBack,
        End::Rest => Outcome::StopsInRunOut,
        End::OffSide => Outcome::SlidesOffSide,
        End::Turned => Outcome::SlidesBack,
    };
    track.settle(state, outcome, slider.speed)
}

/// Whether a vehicle that came to rest on a rising run-out with these wheels locked slides down again.
fn slides_back(body: &Body, run_out: &Leg, wheels: Wheels) -> bool {
    let friction = wheels.whole(run_out.footing.curve.sliding, body);
    libm::tan(-run_out.pitch) > friction
}

/// How sliding over a leg ends.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    /// At the end of the leg.
    Passed,
    /// At rest.
    Rest,
    /// Off the side.
    OffSide,
    /// On its way back down a leg that rises.
    Turned,
}

/// One leg.
fn slide_leg(
    body: &Body,
    leg: &Leg,
    wheels: Wheels,
    track: &mut Track,
    state: &mut State,
    slider: &mut Slider,
    side_room: f64,
) -> End {
    let friction = wheels.whole(leg.footing.curve.sliding, body);
    let weight = body.mass * body.gravity;
    let keeps_line = Leg { roll: 0.0, ..*leg };
    // Room left on the side the vehicle drifts to.
    let room = (side_room - track.run.drift.abs()).max(0.0);
    let slid = if wheels == Wheels::All {
        slide::over(leg, *slider, friction, body.gravity, room)
    } else {
        slide::over(&keeps_line, *slider, friction * libm::cos(leg.roll), body.gravity, room)
    };
    let press = if wheels == Wheels::All { leg.press() } else { libm::cos(leg.pitch) * libm::cos(leg.roll) };
    track.sliding(weight * leg.down().max(0.0), weight * leg.press() * friction);
    track.run.ledger.height += weight * slid.drop;
    track.run.drift += slid.aside;
    state[part::TIME] += slid.time;
    state[part::GROUND] += weight * press * friction * slid.path;
    state[part::MOTION] = slope::kinetic_energy(body.mass, slid.end.speed);
    *slider = slid.end;
    track.speed(slid.end.speed, slid.along);
    track.run.distance += slid.along;
    match (slid.stopped, slid.off_side) {
        (true, _) => End::Rest,
        (_, true) => End::OffSide,
        _ if slid.turned => End::Turned,
        _ => End::Passed,
    }
}
