//! Down the slope in a gear, foot off the brake.

use super::balance::{Balance, held_speed};
use super::body::{Body, Leg, Profile};
use super::drive::{Contact, Demand, Drive, Resistances, Tread, demand};
use super::formulas::heat;
use super::integrate::{SIZE, State, Until, along};
use super::run::{Outcome, Run, Track, at_speed, part, speed_of};

/// Follows a vehicle down in gear from an entry speed (m/s).
///
/// With the clutch in a vehicle cannot enter slower than its gearing turns the wheels at idle: the
/// greater of the two is taken. The account ends at the foot.
pub fn geared(body: &Body, profile: &Profile, drive: &Drive, entry: f64) -> Run {
    let mass = drive.equivalent_mass(body);
    let floor = entry_floor(body, profile, drive);
    let (brought, entry) = (entry > floor, entry.max(floor));
    let mut state = at_speed(mass, entry);
    let mut track = Track::new(entry);
    if brought {
        // What little grip lets the wheels lag at the brow is not counted on to spare the engine.
        track.spin(drive.engine_at(entry).0);
    }
    track.run.ledger.entry = state[part::MOTION];
    let mut follow = Follow { body, drive, mass, spin: None, track, slid: false };
    for (index, leg) in profile.legs.iter().enumerate() {
        follow.track.begin(index);
        follow.leg(leg, &mut state);
        follow.track.run.distance += leg.length;
        follow.track.run.ledger.height += body.mass * body.gravity * leg.drop();
    }
    let end = follow.speed(&state);
    state[part::MOTION] += follow.spin.unwrap_or(0.0);
    follow.track.run.foot_speed = Some(end);
    let outcome = outcome(body, profile, drive, follow.slid, entry);
    follow.track.settle(&state, outcome, end)
}

/// Slowest ground speed of the gear on the first leg, m/s.
fn entry_floor(body: &Body, profile: &Profile, drive: &Drive) -> f64 {
    let Some(leg) = profile.legs.first() else { return drive.creep() };
    let tread = Tread::new(body, leg, &drive.hold);
    let needed = demand(body, leg, drive.creep()).to_hold();
    if drive.converter.is_some() || needed > tread.best() {
        return drive.creep();
    }
    if needed > drive.force(drive.creep()) {
        return leaves_idle(drive, &tread);
    }
    held_speed(body, leg, drive, &tread).0
}

/// Ground speed at which the wheels begin to pull the engine above idle, m/s.
fn leaves_idle(drive: &Drive, tread: &Tread) -> f64 {
    let slip = tread.slip_for(drive.force(drive.creep())).unwrap_or(tread.curve.peak_slip());
    drive.creep() / (1.0 - slip)
}

/// The outcome by where each leg would settle, the worst of them.
fn outcome(body: &Body, profile: &Profile, drive: &Drive, slid: bool, entry: f64) -> Outcome {
    let mut worst = Outcome::HeldAtIdle;
    for leg in &profile.legs {
        worst = match Balance::of(body, leg, drive) {
            Balance::GripLost { .. } => return Outcome::WheelsSlide,
            Balance::TooSteepForGear { .. } => Outcome::NoSafeBalance,
            Balance::RunsUp { .. } if worst == Outcome::HeldAtIdle => Outcome::RunsUpAndBalances,
            _ => worst,
        };
    }
    if slid {
        return Outcome::WheelsSlide;
    }
    // Brought in faster than the gear may turn: the slope alone is not the judge.
    if entry > drive.fastest() * 1.000_001 { Outcome::NoSafeBalance } else { worst }
}

/// A vehicle on its way down.
///
/// While the wheels follow the ground the engine's turning parts speed up and slow down with the
/// vehicle; while they slide at idle speed only the vehicle's own mass does.
struct Follow<'a> {
    body: &'a Body,
    drive: &'a Drive,
    /// Equivalent mass in gear, kg.
    mass: f64,
    /// Energy of the parts turning at idle speed while the wheels slide, J; none while they follow.
    spin: Option<f64>,
    track: Track,
    slid: bool,
}

impl Follow<'_> {
    /// Mass whose motion the state holds, kg.
    fn moving(&self) -> f64 {
        if self.spin.is_some() { self.body.mass } else { self.mass }
    }

    fn speed(&self, state: &State) -> f64 {
        speed_of(state, self.moving())
    }

    fn leg(&mut self, leg: &Leg, state: &mut State) {
        let tread = Tread::new(self.body, leg, &self.drive.hold);
        let needed = demand(self.body, leg, self.drive.creep()).to_hold();
        self.track.wanted(needed, &tread);
        let at_idle = if self.drive.converter.is_some() { 0.0 } else { self.drive.force(self.drive.creep()) };
        let holds = needed <= at_idle && needed <= tread.best();
        let (held, slip) = held_speed(self.body, leg, self.drive, &tread);
        let settled = leaves_idle(self.drive, &tread).max(held);
        let mut left = leg.length;
        while left > 0.0 {
            self.settle_mode(leg, &tread, state);
            if holds && self.spin.is_none() && self.speed(state) <= settled * (1.0 + 1e-9) {
                return self.holds(leg, &tread, state, left, held, slip);
            }
            left -= if self.spin.is_some() {
                self.slides(leg, &tread, state, left)
            } else {
                let settled = super::formulas::slope::kinetic_energy(self.mass, settled);
                let until = if holds { Until::FallsTo(settled) } else { Until::End };
                self.rolls(leg, &tread, state, left, until)
            };
        }
    }

    /// Lets wheels fall to idle speed when they cannot follow the ground, and catch again when the
    /// ground turns the engine.
    fn settle_mode(&mut self, leg: &Leg, tread: &Tread, state: &mut State) {
        let speed = self.speed(state);
        let follows = follows(self.body, leg, self.drive, tread, speed);
        let kinetic = super::formulas::slope::kinetic_energy;
        if let Some(spin) = self.spin {
            if follows && self.drive.catches(tread, speed) {
                // What turns is spun up from the vehicle's motion.
                state[part::MOTION] += spin;
                self.spin = None;
            }
        } else if !follows {
            // What turned with the vehicle is stopped by the engine.
            let turning = self.mass - self.body.mass;
            let idle = kinetic(turning, self.drive.creep().min(speed));
            let released = kinetic(turning, speed) - idle;
            state[part::MOTION] = kinetic(self.body.mass, speed);
            state[part::ENGINE] += released * self.drive.efficiency;
            state[part::DRIVELINE] += released * (1.0 - self.drive.efficiency);
            self.spin = Some(idle);
        }
    }

    /// The vehicle's own part of its equivalent mass.
    fn share(&self) -> f64 {
        self.body.mass / self.mass
    }

    /// Held at idle: a steady state, so nothing is integrated.
    fn holds(&mut self, leg: &Leg, tread: &Tread, state: &mut State, length: f64, speed: f64, slip: f64) {
        let demand = demand(self.body, leg, speed);
        let force = demand.to_hold();
        let motion = super::formulas::slope::kinetic_energy(self.mass, speed);
        // A hair of speed is gained or lost on the way from the last stretch: the engine has it.
        let change = state[part::MOTION] - motion;
        state[part::MOTION] = motion;
        state[part::TIME] += length / speed;
        state[part::ROLLING] += demand.rolling * length;
        state[part::AIR] += demand.air * length;
        state[part::GROUND] += heat::slip_power(force, length, slip);
        let shaft = heat::wheel_power(force, length, slip) + change;
        if shaft >= 0.0 {
            state[part::ENGINE] += shaft * self.drive.efficiency;
            state[part::DRIVELINE] += shaft * (1.0 - self.drive.efficiency);
        } else {
            state[part::FUEL] -= shaft;
        }
        self.track.wanted(force, tread);
        self.track.speed(speed, leg.length - length);
        self.track.spin(self.drive.idle);
        self.track.turning(slip.abs(), brush(tread), true);
    }

    /// Faster than idle, wheels following the ground.
    fn rolls(&mut self, leg: &Leg, tread: &Tread, state: &mut State, length: f64, until: Until) -> f64 {
        let (drive, mass, share) = (self.drive, self.mass, self.share());
        let resistances = Resistances::new(self.body, leg);
        let contact = |speed: f64| drive.following(tread, speed, resistances.at(speed).to_hold(), share);
        let rate = |state: &State| {
            let speed = speed_of(state, mass).max(1e-6);
            // Past the last metre at which the wheels follow, the step ends anyway.
            let contact = contact(speed).unwrap_or_else(|| drive.idling(tread, speed));
            let demand = resistances.at(speed);
            // What the ground and the turning parts give the engine together.
            let engine = (contact.force - (1.0 - share) * demand.to_hold()) / share;
            shares(demand, drive, speed, contact, engine)
        };
        let (track, slid) = (&mut self.track, &mut self.slid);
        let before = leg.length - length;
        let mut see = |state: &State, place: f64| {
            let speed = speed_of(state, mass).max(1e-6);
            let Some(contact) = contact(speed) else { return true };
            note(track, drive, tread, (speed, before + place), contact);
            *slid |= !contact.gripping;
            false
        };
        see(state, 0.0);
        along(state, length, until, rate, see)
    }

    /// Wheels at idle speed, sliding over the ground.
    fn slides(&mut self, leg: &Leg, tread: &Tread, state: &mut State, length: f64) -> f64 {
        let (body, drive, mass) = (self.body, self.drive, self.body.mass);
        let resistances = Resistances::new(body, leg);
        let rate = |state: &State| {
            let speed = speed_of(state, mass).max(1e-6);
            let contact = drive.idling(tread, speed);
            shares(resistances.at(speed), drive, speed, contact, contact.force)
        };
        let track = &mut self.track;
        let before = leg.length - length;
        let mut see = |state: &State, place: f64| {
            let speed = speed_of(state, mass).max(1e-6);
            note(track, drive, tread, (speed, before + place), drive.idling(tread, speed));
            drive.catches(tread, speed) && follows(body, leg, drive, tread, speed)
        };
        see(state, 0.0);
        self.slid = true;
        along(state, length, Until::End, rate, see)
    }
}

/// Whether the wheels can follow the ground at this speed, m/s.
fn follows(body: &Body, leg: &Leg, drive: &Drive, tread: &Tread, speed: f64) -> bool {
    let needed = demand(body, leg, speed).to_hold();
    drive.following(tread, speed, needed, body.mass / drive.equivalent_mass(body)).is_some()
}

/// Notes speed, engine speed and slip.
fn note(track: &mut Track, drive: &Drive, tread: &Tread, (speed, place): (f64, f64), contact: Contact) {
    track.speed(speed, place);
    track.wanted(contact.force, tread);
    track.spin(drive.engine_at(speed * (1.0 - contact.slip)).0);
    track.turning(contact.slip, brush(tread), contact.gripping);
}

/// Where energy goes for each metre; `engine` is the force the engine takes at the tyres, N.
fn shares(demand: Demand, drive: &Drive, speed: f64, contact: Contact, engine: f64) -> State {
    let slip = heat::slip_power(contact.force, 1.0, contact.slip);
    let shaft = engine - slip;
    // Below what the turning parts need the engine helps them.
    let mut rate = [0.0; SIZE];
    rate[part::MOTION] = demand.to_hold() - engine;
    rate[part::TIME] = 1.0 / speed;
    rate[part::ROLLING] = demand.rolling;
    rate[part::AIR] = demand.air;
    rate[part::GROUND] = slip;
    rate[part::ENGINE] = shaft.max(0.0) * drive.efficiency;
    rate[part::DRIVELINE] = shaft.max(0.0) * (1.0 - drive.efficiency);
    rate[part::FUEL] = (-shaft).max(0.0);
    rate
}

/// Stiffness over three times the peak: the brush parameter of a curve.
pub(crate) fn brush(tread: &Tread) -> f64 {
    1.0 / tread.curve.peak_slip()
}
