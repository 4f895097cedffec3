//! A vehicle, its ground and its errors made by lot: what truly is, and what would be measured of it.

use slopepack::course::*;
use slopepack::earned::{ALIKE, SPREAD, THERE, at_score};
use slopepack::engine::{
    Body, Case, Drive, EngineDrag, Footing, Leg, Profile, Wheels, circumference_of, geared, locked,
};
use slopepack::paper::Lot;
use slopepack::quantity::*;

use crate::engine_courses::{DEGREE, course, slope, surface, vehicle};

/// Standard uncertainties of what runs have in common, as the method states them.
const MASS: f64 = 0.02;
const LOSSES: f64 = 0.03;
const TYRE: f64 = 0.015;
const IDLE: f64 = 0.03;
const GRADIENT: f64 = 0.195 * DEGREE;
const DESCENT: f64 = 0.02;
const PEGS: f64 = 0.071;
const SLIDE: f64 = 0.05;

pub(crate) struct Errors(pub Lot);

impl Errors {
    pub(crate) fn share(&mut self) -> f64 {
        (self.0.below(1 << 30) as f64 + 0.5) / f64::from(1 << 30)
    }

    /// A normal number of mean 0 and variance 1 (Box and Muller).
    pub(crate) fn normal(&mut self) -> f64 {
        let (a, b) = (self.share(), self.share());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}

/// The slopes: so steep, each 40 m long.
pub(crate) const SLOPES: [(&str, f64); 3] = [("gentle", 9.0), ("middle", 13.0), ("steep", 17.0)];
/// Where a run is timed: slope and gear, in which the engine of the likely vehicle turns well above idle.
pub(crate) const PLACES: [(&str, &str); 4] =
    [("gentle", "H1"), ("middle", "L3"), ("steep", "L2"), ("middle", "H1")];

/// The course as it is written before anything is measured.
pub(crate) fn written() -> Course {
    let ground = surface("ground", Ground::Firm, 0.6, 0.5, 0.05);
    let slopes = SLOPES.map(|(id, degrees)| {
        let mut one = slope(id, "ground", 40.0, degrees);
        one.survey =
            Some(Survey { by: None, date: None, instrument: None, reads_to: Some(Angle::new(0.1 * DEGREE)) });
        one
    });
    course(vec![ground], slopes.to_vec(), vec![vehicle("one")])
}

pub(crate) fn day(number: u32) -> chrono::NaiveDate {
    chrono::NaiveDate::from_ymd_opt(2026, 5, number).unwrap()
}

/// What truly is.
pub(crate) struct Truth {
    /// Scores of the drag at idle and at the highest speed.
    pub drag: [f64; 2],
    mass: f64,
    losses: [f64; 2],
    tyre: f64,
    idle: f64,
    /// Scores of the ground wherever and whenever: sliding, rolling.
    pub ground: [f64; 2],
    /// The same there that day, by slope.
    there: [[f64; 2]; 4],
    gradient: [f64; 4],
    watch: f64,
    speedometer: f64,
}

impl Truth {
    pub(crate) fn drawn(lot: &mut Errors) -> Self {
        let idle = lot.normal();
        let highest = ALIKE * idle + (1.0 - ALIKE * ALIKE).sqrt() * lot.normal();
        Self {
            drag: [idle, highest],
            mass: lot.normal(),
            losses: [lot.normal(), lot.normal()],
            tyre: lot.normal(),
            idle: lot.normal(),
            ground: [lot.normal(), lot.normal()],
            there: [(); 4].map(|()| [lot.normal(), lot.normal()]),
            gradient: [(); 4].map(|()| lot.normal()),
            watch: lot.normal(),
            speedometer: lot.normal(),
        }
    }

    /// Everything as the published figures have it.
    pub(crate) fn likely() -> Self {
        Self {
            drag: [0.0; 2],
            mass: 0.0,
            losses: [0.0; 2],
            tyre: 0.0,
            idle: 0.0,
            ground: [0.0; 2],
            there: [[0.0; 2]; 4],
            gradient: [0.0; 4],
            watch: 0.0,
            speedometer: 0.0,
        }
    }

    /// Torque that truly turns the engine at a speed (turns/s), N·m.
    pub(crate) fn torque(&self, engine: &Engine, spin: f64) -> f64 {
        EngineDrag::before_runs(engine).at_scores(self.drag, engine).torque(spin, Case::Likely)
    }

    /// Sliding friction on another day, a new place drawn.
    pub(crate) fn sliding(&self, surface: &Surface, anew: f64) -> f64 {
        at_score(surface.sliding, SPREAD * self.ground[0] + THERE * anew)
    }

    fn leg(&self, course: &Course, place: usize, length: f64, pitch: f64) -> Leg {
        let surface = &course.surfaces[0];
        let mut footing = Footing::of(surface, Case::Likely);
        let at = |which: usize| SPREAD * self.ground[which] + THERE * self.there[place][which];
        footing.curve.sliding = at_score(surface.sliding, at(0)).max(0.02);
        footing.rolling = at_score(surface.rolling, at(1)).max(0.003);
        Leg::straight(length, pitch, footing)
    }

    fn body(&self, vehicle: &Vehicle) -> Body {
        let body = Body::of(vehicle);
        Body { mass: body.mass * (1.0 + MASS * self.mass), ..body }
    }

    /// The true time between two pegs, s.
    fn time(&self, course: &Course, place: &str, gear: Gear, pegs: [f64; 2]) -> f64 {
        let vehicle = &course.vehicles[0];
        let at = SLOPES.iter().position(|(id, _)| *id == place).unwrap();
        let mut drive = Drive::of(vehicle, gear, Case::Likely);
        drive.drag = EngineDrag::before_runs(&vehicle.engine).at_scores(self.drag, &vehicle.engine);
        drive.circumference *= 1.0 + TYRE * self.tyre;
        drive.idle *= 1.0 + IDLE * self.idle;
        let losses = self.losses[usize::from(gear.range == Range::High)];
        drive.efficiency = (drive.efficiency * (1.0 + LOSSES * losses)).min(1.0);
        let pitch = SLOPES[at].1 * DEGREE + GRADIENT * self.gradient[at];
        let entry = course.slopes[at].entry_speed.si();
        let until = |length: f64| {
            let profile =
                Profile { legs: vec![self.leg(course, at, length, pitch)], run_out: None, side_room: 10.0 };
            geared(&self.body(vehicle), &profile, &drive, entry).time
        };
        until(pegs[1]) - until(pegs[0])
    }

    /// The true rolling circumference, m.
    pub(crate) fn around(&self, course: &Course) -> f64 {
        circumference_of(&course.vehicles[0]) * (1.0 + TYRE * self.tyre)
    }

    /// The true highest speed down a slope in a gear, m/s.
    pub(crate) fn top_speed(&self, course: &Course, place: &str, gear: Gear) -> f64 {
        let vehicle = &course.vehicles[0];
        let at = SLOPES.iter().position(|(id, _)| *id == place).unwrap();
        let mut drive = Drive::of(vehicle, gear, Case::Likely);
        drive.drag = EngineDrag::before_runs(&vehicle.engine).at_scores(self.drag, &vehicle.engine);
        let profile = Profile {
            legs: vec![self.leg(course, at, 40.0, SLOPES[at].1 * DEGREE)],
            run_out: None,
            side_room: 10.0,
        };
        geared(&Body::of(vehicle), &profile, &drive, course.slopes[at].entry_speed.si()).top_speed
    }

    /// A timed run as somebody would note it, with a hand watch; of a sure hand where `sure` (s) says so.
    pub(crate) fn timed(
        &self,
        course: &Course,
        number: usize,
        (place, gear): (&str, &str),
        sure: Option<f64>,
        lot: &mut Errors,
    ) -> MeasuredRun {
        let gear = gear_of(&course.vehicles[0], gear);
        let truly = self.time(course, place, gear, [20.0, 40.0]);
        let own = (sure.map_or(0.14, |sure| sure / 2.0) / truly).hypot(DESCENT).hypot(PEGS / 20.0);
        let time = truly * (own * lot.normal()).exp() + 0.05 * self.watch;
        MeasuredRun {
            number,
            date: day(4),
            vehicle: "one".to_owned(),
            seen: Seen::Timed {
                ground: RunGround { slope: Some(place.to_owned()), surface: "ground".to_owned() },
                gear,
                from: Length::new(20.0),
                between: Length::new(20.0),
                time: Time::new(time.max(0.2)),
            },
            meter: Meter::named("watch").unwrap(),
            sure,
        }
    }

    /// A locked slide on level ground as somebody would note it.
    pub(crate) fn slid(&self, course: &Course, number: usize, lot: &mut Errors) -> MeasuredRun {
        let vehicle = &course.vehicles[0];
        let speed = 20.0 / 3.6;
        let profile = Profile {
            legs: vec![self.leg(course, 3, 1000.0, 0.005 * self.gradient[3])],
            run_out: None,
            side_room: 100.0,
        };
        let wheels = Wheels::locked(vehicle).unwrap();
        let truly = locked(&self.body(vehicle), &profile, wheels, speed).distance;
        let own = SLIDE.hypot(PEGS / truly);
        let read = speed + lot.normal() / 3.6 + 0.03 * speed * self.speedometer;
        MeasuredRun {
            number,
            date: day(4),
            vehicle: "one".to_owned(),
            seen: Seen::Slid {
                ground: RunGround { slope: None, surface: "ground".to_owned() },
                from: None,
                speed: Speed::new(read.max(0.5)),
                length: Length::new(truly * (own * lot.normal()).exp()),
            },
            meter: Meter::named("speedometer").unwrap(),
            sure: None,
        }
    }

    /// A wheel rolled over so many turns, as somebody would note it.
    pub(crate) fn rolled(&self, course: &Course, number: usize, lot: &mut Errors) -> MeasuredRun {
        let truly = 5.0 * self.around(course);
        let noise = 2_f64.sqrt() * 0.005 * lot.normal() + 0.001 * truly * lot.normal();
        MeasuredRun {
            number,
            date: day(4),
            vehicle: "one".to_owned(),
            seen: Seen::Rolled { turns: 5, length: Length::new(truly + noise) },
            meter: Meter::named("tape").unwrap(),
            sure: None,
        }
    }
}

pub(crate) fn gear_of(vehicle: &Vehicle, name: &str) -> Gear {
    *vehicle.gears().iter().find(|gear| gear.to_string() == name).expect("the vehicle has it")
}

/// The same run noted in another way.
pub(crate) fn noted(run: &MeasuredRun, change: impl Fn(&mut Seen)) -> MeasuredRun {
    let mut run = run.clone();
    change(&mut run.seen);
    run
}

/// Highest speed, m/s, at every corner of what is known of drag and ground; no losses, which never help.
pub(crate) fn corners(course: &Course, place: &str, gear: Gear) -> Vec<f64> {
    let vehicle = &course.vehicles[0];
    let slope = course.slopes.iter().find(|slope| slope.id == place).unwrap();
    let earned = vehicle.engine.earned;
    let ends = |end: usize| {
        earned.map_or([-2.0, 0.0, 2.0].map(|at| [at; 2])[end], |e| [e.at_idle[end], e.at_highest[end]])
    };
    let mut all = Vec::new();
    for drag in [ends(0), ends(1), ends(2)] {
        for case in Case::ALL {
            let mut drive = Drive::of(vehicle, gear, Case::Unfavourable);
            drive.drag = EngineDrag::before_runs(&vehicle.engine).at_scores(drag, &vehicle.engine);
            drive.case = Case::Likely;
            let profile = Profile::of(course, slope, case);
            all.push(geared(&Body::of(vehicle), &profile, &drive, slope.entry_speed.si()).top_speed);
        }
    }
    all
}
