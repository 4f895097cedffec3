//! The slide of a vehicle whose wheels lock half-way down the steepest stretch, and the same metres on the
//! foot brake with its wheels turning.
//!
//! Worked from the speed at which a run is given up, and at the low end of the grip: a slide of a few
//! inches from walking pace on the best grip would teach that locking stops a vehicle.

use crate::course::{Course, Ground, Slope, Vehicle};
use crate::engine::formulas::GRAVITY;
use crate::engine::formulas::slope::{locked_deceleration, stop_distance};
use crate::engine::symbols as s;
use crate::engine::taught::slope as taught;
use crate::engine::{Case, Leg, Profile};
use crate::formula::{Formula, Symbol, Worked, Working};
use crate::lesson::example::Example;

/// Part of the steepest stretch that is left where the wheels lock.
const LEFT: f64 = 0.5;

/// The locked slide and its counterpart. None where the ground tilts to the side: there the path bends
/// down it, and no straight line says where it goes.
pub(super) fn examples(course: &Course, slope: &Slope, vehicle: &Vehicle) -> Vec<Worked> {
    // The line driven as the engine drives it: a heading off the fall line lessens the grade.
    let line = Profile::of(course, slope, Case::Likely);
    let leg = *line.steepest();
    if leg.roll != 0.0 {
        return Vec::new();
    }
    let slide = Slide { course, slope, vehicle, leg };
    slide.locked().into_iter().chain(slide.turning()).collect()
}

struct Slide<'a> {
    course: &'a Course,
    slope: &'a Slope,
    vehicle: &'a Vehicle,
    leg: Leg,
}

impl Slide<'_> {
    fn room(&self) -> f64 {
        LEFT * self.leg.length
    }

    /// Whether a speed at the limit is lost in the metres that are left, at this friction.
    fn stops(&self, friction: f64) -> bool {
        let slowing = locked_deceleration(GRAVITY, friction, self.leg.pitch);
        let speed = self.course.limits.descent_speed.si();
        slowing > 0.0 && stop_distance(speed, slowing) <= self.room()
    }

    /// A slide at this friction: its distance where it stops in the metres left, else its speed after them.
    fn working(
        &self,
        (example, title): (Example, &str),
        (symbol, friction): (&'static Symbol, f64),
        slowing: &'static Formula,
    ) -> Working {
        let surface = self.course.surface_of(self.slope);
        example
            .begun(title, self.course.units)
            .slope(&self.slope.id)
            .vehicle(&self.vehicle.id)
            .given(&s::GRAVITY_ACCELERATION, GRAVITY)
            .start(symbol, friction, surface.estimated)
            .given(&s::SLOPE_ANGLE, self.leg.pitch)
            .given(&s::ENTRY_SPEED, self.course.limits.descent_speed.si())
            .step(slowing)
    }

    fn locked(&self) -> Option<Worked> {
        let surface = self.course.surface_of(self.slope);
        let given = (&s::FRICTION_SLIDING, surface.sliding.low);
        if self.stops(surface.sliding.low) {
            let title = match surface.ground {
                Ground::Firm => LOCKED_STOPS,
                Ground::Loose => LOCKED_STOPS_LOOSE,
            };
            self.working((Example::LockedStop, title), given, &taught::LOCKED_DECELERATION)
                .step(&taught::LOCKED_TIME)
                .step(&taught::LOCKED_DISTANCE)
                .finish()
        } else {
            self.working((Example::LockedRunaway, LOCKED_GOES_ON), given, &taught::LOCKED_DECELERATION)
                .given(&s::SLOPE_LENGTH, self.room())
                .step(&taught::LOCKED_EXIT)
                .finish()
        }
    }

    fn turning(&self) -> Option<Worked> {
        let peak = self.course.surface_of(self.slope).peak.low;
        let given = (&s::FRICTION_PEAK, peak);
        if self.stops(peak) {
            self.working((Example::TurningStop, TURNING_STOPS), given, &taught::TURNING_DECELERATION)
                .step(&taught::LOCKED_DISTANCE)
                .finish()
        } else {
            self.working((Example::TurningGoesOn, TURNING_GOES_ON), given, &taught::TURNING_DECELERATION)
                .given(&s::SLOPE_LENGTH, self.room())
                .step(&taught::LOCKED_EXIT)
                .finish()
        }
    }
}

const LOCKED_GOES_ON: &str = "Wheels locked half-way down the steepest stretch, at the course’s speed limit, low end of the grip: it does not stop on what is left of it, and does not steer";
const LOCKED_STOPS: &str = "Wheels locked half-way down the steepest stretch, at the course’s speed limit, low end of the grip: this slope is gentle enough to stop it, straight ahead, with no steering";
const LOCKED_STOPS_LOOSE: &str = "Wheels locked half-way down the steepest stretch, at the course’s speed limit, low end of the grip: the exception, loose ground stops it; it hardly steers, and firm or wet ground does not stop it so";
const TURNING_STOPS: &str = "The same way, the same speed, foot brake with the wheels just turning: it stops here, and eased a little it steers";
const TURNING_GOES_ON: &str = "The same way, the same speed, foot brake with the wheels just turning: that does not stop it either, so be slow before; eased a little it steers";

#[cfg(test)]
mod tests {
    use crate::course::read_text;
    use crate::engine::reckon;
    use crate::lesson::worked_examples;

    const COURSES: [&str; 3] = [
        include_str!("../../courses/quarry-day.yaml"),
        include_str!("../../courses/hill-club-weekend.yaml"),
        include_str!("../../courses/six-slope-saturday.yaml"),
    ];

    /// Distance and speed by steps of a tenth of a millisecond, until it stands or the metres end.
    fn stepped(mut speed: f64, friction: f64, pitch: f64, room: f64) -> (f64, f64) {
        let (mut gone, dt) = (0.0, 1e-4);
        while speed > 0.0 && gone < room {
            speed -= 9.806_65 * (friction * libm::cos(pitch) - libm::sin(pitch)) * dt;
            gone += speed * dt;
        }
        (gone, speed.max(0.0))
    }

    #[test]
    fn locked_and_turning_slides_agree_with_one_followed_step_by_step() {
        let mut met = [0; 4];
        let ids = ["locked-stop", "locked-runaway", "turning-stop", "turning-goes-on"];
        for text in COURSES {
            let Ok(course) = read_text(text) else { continue };
            for one in worked_examples(&course, &reckon(&course)) {
                let Some(kind) = ids.iter().position(|id| *id == one.id) else { continue };
                met[kind] += 1;
                let slope = course
                    .slopes
                    .iter()
                    .find(|slope| Some(&slope.id) == one.slope.as_ref())
                    .expect("a slope");
                let surface = course.surface_of(slope);
                let friction = if kind < 2 { surface.sliding.low } else { surface.peak.low };
                let stretch = slope.steepest();
                let pitch = libm::asin(libm::sin(stretch.gradient.si()) * libm::cos(slope.heading.si()));
                let (gone, speed) =
                    stepped(course.limits.descent_speed.si(), friction, pitch, stretch.length.si() / 2.0);
                let expected = if kind % 2 == 0 { gone } else { speed };
                let answer = one.answer().si;
                assert!((answer / expected - 1.0).abs() < 0.01, "{} {answer} {expected}", one.id);
            }
        }
        assert!(met.iter().all(|times| *times > 0), "{met:?}");
    }
}
