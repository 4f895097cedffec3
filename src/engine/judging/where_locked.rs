//! Where locked wheels would be worst: on every stretch, from the speed there and from the speed at which
//! a run is given up.

use super::judgement::LockedAt;
use super::near::speeds_by_stretch;
use super::setting::{Setting, Told};
use crate::engine::chassis::body::{Leg, Profile};
use crate::engine::chassis::hold::Wheels;
use crate::engine::mark::Mark;
use crate::engine::motion::locked::locked;
use crate::engine::motion::run::Outcome;
use crate::engine::way::Place;

/// The worst slide of a pair at the low end of the grip; none without a foot brake to lock.
///
/// Each stretch is taken to lock at its beginning with the highest speed of the stretch, which no lock
/// further down it can pass, and the run-out with the speed at the foot.
pub(crate) fn worst_lock(setting: &Setting, told: &Told, mark: Mark) -> Option<LockedAt> {
    let wheels = Wheels::locked(setting.vehicle)?;
    let profile = &setting.ground.profiles[0];
    let given_up = setting.course.limits.descent_speed.si();
    let expected = if mark.goes() {
        speeds_by_stretch(setting, told)
    } else {
        // Not driven: only somebody who does so all the same, at the course's own limit of speed.
        vec![0.0; profile.legs.len()]
    };
    let mut worst: Option<LockedAt> = None;
    let mut from_brow = 0.0;
    for (stretch, leg) in profile.legs.iter().chain(profile.run_out.as_ref()).enumerate() {
        let rest = rest_of(profile, stretch);
        let foot = told.descent.foot_speed.high;
        let here = expected.get(stretch).copied().unwrap_or(if mark.goes() { foot } else { 0.0 });
        for (speed, at_abort_speed) in [(here, false), (given_up, true)] {
            if speed <= 0.0 {
                continue;
            }
            let run = locked(&setting.ground.body, &rest, wheels, speed);
            let at = LockedAt {
                place: Place { stretch, from_brow },
                speed,
                at_abort_speed,
                outcome: run.outcome,
                distance: run.distance,
                foot_speed: run.foot_speed.unwrap_or(0.0),
                end_speed: run.end_speed,
            };
            if worst.is_none_or(|worst| worse(&at, &worst)) {
                worst = Some(at);
            }
        }
        from_brow += leg.length;
    }
    worst
}

/// What is left of a slope from a stretch on.
fn rest_of(profile: &Profile, stretch: usize) -> Profile {
    let legs: Vec<Leg> = profile.legs.iter().skip(stretch).copied().collect();
    Profile { legs, run_out: profile.run_out, side_room: profile.side_room }
}

/// Whether a slide ends worse than another: by how it ends, then by its speed there, then by its length.
fn worse(a: &LockedAt, b: &LockedAt) -> bool {
    let rank = |outcome: Outcome| match outcome {
        // On the flat a lock is soon at rest: a longer slide on the slope is the worse of the two.
        Outcome::StopsOnSlope | Outcome::StopsInRunOut => 0,
        Outcome::SlidesBack => 2,
        _ => 3,
    };
    (rank(a.outcome), a.end_speed, a.distance) > (rank(b.outcome), b.end_speed, b.distance)
}
