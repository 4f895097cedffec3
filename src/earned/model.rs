//! What a run ought to have given, by the engine's own descent.

mod ground;
mod heat;
mod unsure;

use super::key::{Key, Scores, There};
use super::score::{ALIKE, SPREAD, THERE, at_score};
use crate::course::{Band, Course, Gearbox, MeasuredRun, Seen, Surface, Towed, Vehicle, library_surface};
use crate::engine::formulas::slope::{force_down, rolling_force};
use crate::engine::{
    Balance, Body, Case, Converter, Drive, EngineDrag, Profile, Wheels, circumference_of, geared, locked,
};
pub(super) use ground::with_every_surface;
pub(super) use heat::iron_part;
use unsure::{gradient_unsure, idle_band, losses};
pub(super) use unsure::{mass_part, tyre_part};

/// A run with everything needed to reckon it.
pub(super) struct Prepared<'a> {
    pub run: &'a MeasuredRun,
    pub vehicle: &'a Vehicle,
    pub surface: Option<&'a Surface>,
    pub body: Body,
    pub drive: Option<Drive>,
    range: EngineDrag,
    profile: Profile,
    entry: f64,
    gradient_unsure: f64,
    /// Temperature of the air, K.
    air: f64,
    /// The scores it depends on.
    pub keys: Vec<Key>,
}

impl<'a> Prepared<'a> {
    pub(super) fn of(course: &'a Course, run: &'a MeasuredRun, case: Case) -> Self {
        let vehicle = course.vehicles.iter().find(|one| one.id == run.vehicle);
        let vehicle = vehicle.expect("a checked run has a vehicle of the course");
        let slope = run.seen.ground().and_then(|ground| ground.slope.as_ref());
        let slope = slope.and_then(|id| course.slopes.iter().find(|slope| slope.id == *id));
        let surface = run.seen.ground().and_then(|ground| course.surface(&ground.surface));
        let bump = slope.and_then(|slope| slope.bump).map_or(0.0, crate::quantity::Length::si);
        let drive = run.seen.gear().map(|gear| Drive::of(vehicle, gear, case).over(vehicle, bump));
        let mut prepared = Self {
            run,
            vehicle,
            surface,
            body: Body::of(vehicle),
            drive,
            range: EngineDrag::before_runs(&vehicle.engine),
            profile: ground::profile(course, run, slope, surface, case),
            entry: slope.map_or(0.0, |slope| slope.entry_speed.si()).max(SLOWEST_ENTRY),
            gradient_unsure: slope.map_or(LEVEL_UNSURE, |slope| gradient_unsure(course, slope)),
            air: course.day.air.si(),
            keys: Vec::new(),
        };
        prepared.keys = prepared.depends_on();
        prepared
    }

    fn there(&self) -> Option<There> {
        let ground = self.run.seen.ground()?;
        Some(There { surface: ground.surface.clone(), slope: ground.slope.clone(), date: self.run.date })
    }

    fn depends_on(&self) -> Vec<Key> {
        let vehicle = || self.run.vehicle.clone();
        let shared = Key::Shared(self.run.meter.name, self.run.date);
        let Some(there) = self.there() else { return vec![Key::Tyre(vehicle()), shared] };
        let mut keys = vec![Key::Mass(vehicle()), Key::Gradient(there.slope.clone().unwrap_or_default())];
        match &self.run.seen {
            Seen::Timed { gear, .. } | Seen::Spun { gear, .. } => {
                keys.extend([Key::DragAtIdle(vehicle()), Key::DragBeyond(vehicle())]);
                keys.extend([Key::Losses(vehicle(), gear.range), Key::Tyre(vehicle()), Key::Idle(vehicle())]);
                if self.vehicle.transmission.gearbox == Gearbox::AutomaticUnlocked {
                    keys.push(Key::Converter(vehicle()));
                }
                keys.extend([Key::Rolling(there.surface.clone()), Key::RollingThere(there)]);
            }
            Seen::Slid { .. } => {
                keys.extend([Key::Sliding(there.surface.clone()), Key::SlidingThere(there)]);
            }
            Seen::Pulled { .. } | Seen::Coasted { .. } => {
                keys.extend([Key::Rolling(there.surface.clone()), Key::RollingThere(there)]);
            }
            Seen::Heated { .. } => keys.push(Key::Iron(vehicle())),
            Seen::Rolled { .. } => {}
        }
        keys.push(shared);
        keys
    }

    /// What was read, in the scale in which its errors are even: logarithms of what is reckoned in parts.
    pub(super) fn read(&self) -> f64 {
        self.scaled(self.run.seen.value())
    }

    pub(super) fn scaled(&self, value: f64) -> f64 {
        match self.run.seen {
            Seen::Timed { .. } | Seen::Spun { .. } | Seen::Slid { .. } | Seen::Coasted { .. } => {
                libm::log(value.max(1e-9))
            }
            Seen::Pulled { .. } | Seen::Rolled { .. } | Seen::Heated { .. } => value,
        }
    }

    /// What ought to have been read at these scores, in the same scale.
    pub(super) fn expected(&self, scores: &Scores) -> f64 {
        let shared = Key::Shared(self.run.meter.name, self.run.date);
        let alone = self.scaled(self.value_at(scores));
        alone + self.shared(alone) * scores.of(&shared)
    }

    fn value_at(&self, scores: &Scores) -> f64 {
        if let Seen::Rolled { turns, .. } = self.run.seen {
            return f64::from(turns) * circumference_of(self.vehicle) * self.around(scores);
        }
        let (body, drive) = self.vehicle_at(scores, self.drag_scores(scores));
        if let Seen::Heated { heat, .. } = &self.run.seen {
            let iron = scores.of(&Key::Iron(self.run.vehicle.clone()));
            return heat::read(self.vehicle, &body, &self.profile_at(scores), heat, (self.air, iron));
        }
        self.worked(&body, drive.as_ref(), &self.profile_at(scores))
    }

    fn around(&self, scores: &Scores) -> f64 {
        1.0 + tyre_part(self.vehicle) * scores.of(&Key::Tyre(self.run.vehicle.clone()))
    }

    /// The vehicle at these scores, its drag at others.
    fn vehicle_at(&self, scores: &Scores, drag: [f64; 2]) -> (Body, Option<Drive>) {
        let id = || self.run.vehicle.clone();
        let around = self.around(scores);
        let mut body = self.body;
        body.mass *= 1.0 + mass_part(self.vehicle) * scores.of(&Key::Mass(id()));
        let drive = self.drive.as_ref().map(|drive| {
            let mut drive = drive.clone();
            drive.drag = self.range.clone().at_scores(drag, &self.vehicle.engine);
            drive.circumference *= around;
            drive.efficiency = losses(drive.efficiency, scores.of(&Key::Losses(id(), self.range_of_gears())));
            drive.idle = at_score(idle_band(&self.vehicle.engine), scores.of(&Key::Idle(id())));
            if let Some(converter) = &mut drive.converter {
                let capacity = [Case::Unfavourable, Case::Likely, Case::Favourable]
                    .map(|case| Converter::of(case).capacity);
                // Scores rise with what it holds: a looser converter has the higher figure.
                let [loose, likely, tight] = capacity;
                let band = Band::new(tight, likely, loose);
                converter.capacity = at_score(band, -scores.of(&Key::Converter(id()))).max(60.0);
            }
            drive
        });
        (body, drive)
    }

    /// Torque, N·m, that holds the vehicle at idle on the stretch that asks most of what was driven; none where the
    /// ground cannot.
    pub(super) fn needed(&self, scores: &Scores) -> Option<f64> {
        let (body, drive) = self.vehicle_at(scores, [HOLDS_ALL; 2]);
        let leg = self.steepest_at(scores)?;
        match Balance::of(&body, &leg, drive.as_ref()?) {
            Balance::HeldAtIdle { needed, .. } => Some(needed),
            _ => None,
        }
    }

    fn range_of_gears(&self) -> crate::course::Range {
        self.run.seen.gear().map_or(crate::course::Range::Low, |gear| gear.range)
    }

    /// The scores of the drag at idle and at the highest speed.
    pub(super) fn drag_scores(&self, scores: &Scores) -> [f64; 2] {
        let id = || self.run.vehicle.clone();
        let idle = scores.of(&Key::DragAtIdle(id()));
        [idle, ALIKE * idle + libm::sqrt(1.0 - ALIKE * ALIKE) * scores.of(&Key::DragBeyond(id()))]
    }

    /// The ground at these scores.
    fn profile_at(&self, scores: &Scores) -> Profile {
        let (Some(there), Some(surface)) = (self.there(), self.surface) else { return self.profile.clone() };
        let steeper =
            self.gradient_unsure * scores.of(&Key::Gradient(there.slope.clone().unwrap_or_default()));
        let of = |whole: Key, here: Key| SPREAD * scores.of(&whole) + THERE * scores.of(&here);
        let id = || surface.id.clone();
        let sliding = of(Key::Sliding(id()), Key::SlidingThere(there.clone()));
        let rolling = of(Key::Rolling(id()), Key::RollingThere(there));
        let mut profile = self.profile.clone();
        for leg in profile.legs.iter_mut().chain(&mut profile.run_out) {
            leg.pitch += steeper;
            if sliding != 0.0 {
                leg.footing.curve.sliding = at_score(surface.sliding, sliding).max(ground::LEAST_FRICTION);
            }
            if rolling != 0.0 {
                leg.footing.rolling = at_score(surface.rolling, rolling).max(ground::LEAST_ROLLING);
            }
        }
        profile
    }

    /// The run as the course's figures have it.
    pub(super) fn as_it_stands(&self) -> f64 {
        if let Seen::Rolled { turns, .. } = self.run.seen {
            return f64::from(turns) * circumference_of(self.vehicle);
        }
        self.worked(&self.body, self.drive.as_ref(), &self.profile)
    }

    fn worked(&self, body: &Body, drive: Option<&Drive>, profile: &Profile) -> f64 {
        let down = |length: f64| {
            let drive = drive.expect("a run in gear has a gear");
            geared(body, &profile.cut(length), drive, self.entry)
        };
        match &self.run.seen {
            Seen::Timed { from, between, .. } => {
                let first = if from.si() > 0.0 { down(from.si()).time } else { 0.0 };
                down(from.si() + between.si()).time - first
            }
            Seen::Spun { .. } => down(profile.length()).foot_spin.unwrap_or(0.0),
            Seen::Slid { speed, .. } => {
                let wheels = Wheels::locked(self.vehicle).unwrap_or(Wheels::All);
                locked(body, profile, wheels, speed.si()).distance
            }
            Seen::Coasted { speed, .. } => coasted(body, profile.steepest(), speed.si()),
            Seen::Pulled { towed, .. } => {
                let leg = profile.steepest();
                let down = force_down(body.mass, body.gravity, leg.pitch);
                let rolling = rolling_force(leg.footing.rolling, body.mass * body.gravity * leg.press());
                if *towed == Towed::Down { rolling - down } else { rolling + down }
            }
            Seen::Heated { heat, .. } => heat::read(self.vehicle, body, profile, heat, (self.air, 0.0)),
            Seen::Rolled { .. } => 0.0,
        }
    }

    /// Speed of the wheels at idle in the gear, m/s, and the mean speed that was seen; none where nothing was timed.
    pub(super) fn over_creep(&self) -> Option<f64> {
        let drive = self.drive.as_ref().filter(|drive| drive.converter.is_none())?;
        match &self.run.seen {
            Seen::Timed { between, time, .. } => Some(between.si() / time.si() / drive.creep()),
            Seen::Spun { spin, .. } => Some(spin.si() / drive.idle),
            _ => None,
        }
    }

    /// The stretch that asks most of what lies between the pegs.
    fn steepest_at(&self, scores: &Scores) -> Option<crate::engine::Leg> {
        let profile = self.profile_at(scores);
        let until = match &self.run.seen {
            Seen::Timed { from, between, .. } => from.si() + between.si(),
            _ => profile.length(),
        };
        // What lies above the first peg is passed already.
        let from = if let Seen::Timed { from, .. } = &self.run.seen { from.si() } else { 0.0 };
        ground::steepest_between(&profile, from, until)
    }

    /// From the scale of [`Self::scaled`] back to SI.
    pub(super) fn unscaled(&self, value: f64) -> f64 {
        match self.run.seen {
            Seen::Timed { .. } | Seen::Spun { .. } | Seen::Slid { .. } | Seen::Coasted { .. } => {
                libm::exp(value)
            }
            Seen::Pulled { .. } | Seen::Rolled { .. } | Seen::Heated { .. } => value,
        }
    }

    /// Standard uncertainty of what is read that is its own, in its scale, where this is expected: parts are of what is
    /// expected, not of what chance made of it.
    pub(super) fn unsure(&self, expected: f64) -> f64 {
        unsure::own(self.run, self.unscaled(expected))
    }

    /// The same that readings of its instrument share that day.
    pub(super) fn shared(&self, expected: f64) -> f64 {
        unsure::shared(self.run, self.unscaled(expected))
    }

    /// Standard uncertainty of the creep speed and the speed that was seen, as a part of them.
    pub(super) fn unsure_of_creep(&self) -> f64 {
        let idle = idle_band(&self.vehicle.engine);
        libm::hypot(
            libm::hypot(self.unsure(self.read()), tyre_part(self.vehicle)),
            (idle.high - idle.low) / (4.0 * idle.likely),
        )
    }

    /// Engine speed at which it was held, turns/s.
    pub(super) fn held_spin(&self) -> f64 {
        self.drive.as_ref().map_or(0.0, |drive| drive.idle) * self.over_creep().unwrap_or(1.0).max(1.0)
    }

    /// The published torque at a score and a speed, N·m.
    pub(super) fn torque(&self, score: f64, spin: f64) -> f64 {
        self.range.scored(score, spin)
    }
}

/// How far a vehicle in neutral rolls from a speed, m/s, until rolling resistance has stopped it, m: below 20 km/h the air
/// counts for nothing. Wheels and axles turn with it and hold what a part of the mass does.
fn coasted(body: &Body, leg: &crate::engine::Leg, speed: f64) -> f64 {
    let weight = body.mass * body.gravity;
    let force = rolling_force(leg.footing.rolling, weight * leg.press())
        - force_down(body.mass, body.gravity, leg.pitch);
    (1.0 + TURNING) * body.mass * speed * speed / (2.0 * force.max(1e-3 * weight))
}

/// Mass that the turning wheels add in neutral, as a part of the vehicle's: 3 to 3.5 %, from memory (handbooks of coast-down
/// tests).
const TURNING: f64 = 0.033;

/// A score of the drag that holds any vehicle on any slope.
const HOLDS_ALL: f64 = 200.0;
/// Slowest a vehicle is let over a brow, m/s: as descents of the pack are worked.
const SLOWEST_ENTRY: f64 = 0.1;
/// Standard uncertainty of level ground, rad: judgement.
const LEVEL_UNSURE: f64 = 0.005;

/// A surface of the course, or of the library.
fn surface_of(course: &Course, id: &str) -> Option<Surface> {
    course.surface(id).cloned().or_else(|| library_surface(id))
}
