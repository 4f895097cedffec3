//! Down the slope in a gear, foot off the brake.

use super::balance::{Balance, held_speed};
use super::integrate::{SIZE, State, Until, along};
use super::run::{Outcome, Run, Track, part};
use crate::engine::chassis::body::{Body, Leg, Profile};
use crate::engine::chassis::drive::moving::{Known, Moving};
use crate::engine::chassis::drive::{Contact, Demand, Drive, Resistances, Tread, demand};
use crate::engine::formulas::heat;

/// Follows a vehicle down in gear from an entry speed (m/s).
///
/// With the clutch in a vehicle cannot enter slower than its gearing turns the wheels at idle: the
/// greater of the two is taken. It crosses the brow with the slip of the first leg. The account ends
/// at the foot.
pub fn geared(body: &Body, profile: &Profile, drive: &Drive, entry: f64) -> Run {
    let floor = entry_floor(body, profile, drive);
    let (brought, entry) = (entry > floor, entry.max(floor));
    let mut track = Track::new(entry);
    if brought {
        // What little grip lets the wheels lag at the brow is not counted on to spare the engine.
        track.spin(drive.engine_at(entry).0);
    }
    let moving = drive.moving(body);
    let mut follow =
        Follow { body, drive, moving, speed: entry, rim: entry, idling: false, track, slid: false };
    let mut state: State = [0.0; SIZE];
    follow.enters(profile, &mut state);
    for (index, leg) in profile.legs.iter().enumerate() {
        follow.track.begin(index);
        follow.leg(leg, &mut state, index > 0);
        follow.track.run.distance += leg.length;
        follow.track.run.ledger.height += body.mass * body.gravity * leg.drop();
    }
    let end = follow.speed;
    if follow.idling {
        state[part::MOTION] += moving.idling();
    }
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
/// The state holds the energy of the vehicle and of what turns with its wheels, each at its own speed:
/// wheels that slip turn slower than the ground passes. Where the ground changes, so does the slip,
/// within centimetres: what turns gains or loses speed against the vehicle, and only their momentum
/// stays. While the wheels slide at idle speed the state holds the vehicle alone.
struct Follow<'a> {
    body: &'a Body,
    drive: &'a Drive,
    moving: Moving,
    /// Ground speed so far, m/s.
    speed: f64,
    /// Speed of the rims, m/s.
    rim: f64,
    /// Whether the wheels slide at idle speed.
    idling: bool,
    track: Track,
    slid: bool,
}

impl Follow<'_> {
    /// Over the brow, with the slip of the first leg where the wheels can follow.
    fn enters(&mut self, profile: &Profile, state: &mut State) {
        if let Some(leg) = profile.legs.first() {
            let tread = Tread::new(self.body, leg, &self.drive.hold);
            if let Some((_, contact)) = self.follows(leg, &tread, Known::Speed(self.speed)) {
                self.rim = self.speed * (1.0 - contact.slip);
            }
        }
        state[part::MOTION] = self.moving.energy(self.speed, self.rim);
        self.track.run.ledger.entry = state[part::MOTION];
    }

    /// What the wheels do where they can follow the ground.
    fn follows(&self, leg: &Leg, tread: &Tread, known: Known) -> Option<(f64, Contact)> {
        self.drive.following(tread, &Resistances::new(self.body, leg), self.moving, known)
    }

    fn leg(&mut self, leg: &Leg, state: &mut State, changed: bool) {
        let tread = Tread::new(self.body, leg, &self.drive.hold);
        let creep = self.drive.creep();
        let needed = demand(self.body, leg, creep).to_hold();
        self.track.wanted(needed, &tread);
        let at_idle = if self.drive.converter.is_some() { 0.0 } else { self.drive.force(creep) };
        let holds = needed <= at_idle && needed <= tread.best();
        let (held, slip) = held_speed(self.body, leg, self.drive, &tread);
        let settled = leaves_idle(self.drive, &tread).max(held);
        let settled_energy = self.moving.energy(settled, creep);
        if changed && !self.slid {
            self.meets(leg, &tread, state);
        }
        let mut left = leg.length;
        while left > 0.0 {
            self.settle_mode(leg, &tread, state);
            let slow =
                self.speed <= settled * (1.0 + 1e-9) || state[part::MOTION] <= settled_energy * (1.0 + 1e-9);
            if holds && !self.idling && slow {
                return self.holds(leg, &tread, state, left, held, slip);
            }
            left -= if self.idling {
                self.slides(leg, &tread, state, left)
            } else {
                let until = if holds { Until::FallsTo(settled_energy) } else { Until::End };
                self.rolls(leg, &tread, state, left, until)
            };
        }
    }

    /// The wheels take up the slip of the ground they have come to, where they can follow it. Not those
    /// that have slid: they gather speed slowly, and what that loses is not counted on.
    fn meets(&mut self, leg: &Leg, tread: &Tread, state: &mut State) {
        let momentum = Known::momentum(self.moving, self.speed, self.rim);
        let Some((speed, contact)) = self.follows(leg, tread, momentum) else { return };
        let rim = speed * (1.0 - contact.slip);
        // No longer than the leg is, with all the grip there is.
        if self.moving.turning * (rim - self.rim).abs() * speed > tread.best() * leg.length {
            return;
        }
        (self.speed, self.rim) = (speed, rim);
        let after = self.moving.energy(self.speed, self.rim);
        let lost = state[part::MOTION] - after;
        // Less is lost to slip where the wheels still lag behind it; no more than there was.
        let ground = lost.max(-state[part::GROUND]);
        state[part::GROUND] += ground;
        state[part::FUEL] += (ground - lost).max(0.0);
        state[part::MOTION] = after;
    }

    /// Lets wheels fall to idle speed when they cannot follow the ground, and catch again when the
    /// ground turns the engine.
    fn settle_mode(&mut self, leg: &Leg, tread: &Tread, state: &mut State) {
        if self.idling {
            // What turns is spun up from the vehicle's motion; what that loses to slip is not counted on.
            let whole = Known::Energy(state[part::MOTION] + self.moving.idling());
            let catches = self.drive.catches(tread, self.speed);
            if let Some((speed, contact)) = self.follows(leg, tread, whole).filter(|_| catches) {
                state[part::MOTION] += self.moving.idling();
                (self.speed, self.rim) = (speed, speed * (1.0 - contact.slip));
                self.idling = false;
            }
        } else if self.follows(leg, tread, Known::Energy(state[part::MOTION])).is_none() {
            // What turned with the vehicle is stopped by the engine.
            let own = self.moving.own(self.speed);
            let released = state[part::MOTION] - own - self.moving.idling();
            state[part::MOTION] = own;
            state[part::ENGINE] += released.max(0.0) * self.drive.efficiency;
            state[part::DRIVELINE] += released.max(0.0) * (1.0 - self.drive.efficiency);
            state[part::FUEL] += (-released).max(0.0);
            self.idling = true;
            self.rim = self.drive.creep();
        }
    }

    /// Held at idle: a steady state, so nothing is integrated.
    fn holds(&mut self, leg: &Leg, tread: &Tread, state: &mut State, length: f64, speed: f64, slip: f64) {
        let demand = demand(self.body, leg, speed);
        let force = demand.to_hold();
        (self.speed, self.rim) = (speed, self.drive.creep());
        let motion = self.moving.energy(speed, self.rim);
        // A hair of speed is gained or lost on the way from the last stretch: the engine has it.
        let change = state[part::MOTION] - motion;
        state[part::MOTION] = motion;
        state[part::TIME] += length / speed;
        state[part::ROLLING] += demand.rolling * length;
        state[part::AIR] += demand.air * length;
        // Where nothing is to be held both are rounding of either sign.
        state[part::GROUND] += heat::slip_power(force, length, slip).max(0.0);
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
        let (drive, moving) = (self.drive, self.moving);
        let resistances = Resistances::new(self.body, leg);
        let contact =
            |state: &State| drive.following(tread, &resistances, moving, Known::Energy(state[part::MOTION]));
        let rate = |state: &State| {
            let (speed, contact) = contact(state).unwrap_or_else(|| {
                // Past the last metre at which the wheels follow, the step ends anyway.
                let known = Known::Energy(state[part::MOTION]);
                let speed = known.speed(moving, known.idle_slip(moving)).max(1e-6);
                (speed, drive.idling(tread, speed))
            });
            let (demand, share) = (resistances.at(speed), moving.share(contact.slip));
            // What the ground and the turning parts give the engine together.
            let engine = (contact.force - (1.0 - share) * demand.to_hold()) / share;
            shares(demand, drive, speed, contact, engine)
        };
        let (track, slid) = (&mut self.track, &mut self.slid);
        let before = leg.length - length;
        let (mut speed, mut rim) = (self.speed, self.rim);
        let mut see = |state: &State, place: f64| {
            let Some((now, contact)) = contact(state) else {
                let known = Known::Energy(state[part::MOTION]);
                let slip = tread.curve.peak_slip().min(known.idle_slip(moving));
                speed = known.speed(moving, slip);
                rim = speed * (1.0 - slip);
                *slid = true;
                return true;
            };
            (speed, rim) = (now, now * (1.0 - contact.slip));
            note(track, drive, tread, (now, before + place), contact);
            *slid |= !contact.gripping;
            false
        };
        see(state, 0.0);
        let done = along(state, length, until, rate, see);
        (self.speed, self.rim) = (speed, rim);
        done
    }

    /// Wheels at idle speed, sliding over the ground.
    fn slides(&mut self, leg: &Leg, tread: &Tread, state: &mut State, length: f64) -> f64 {
        let (drive, moving) = (self.drive, self.moving);
        let resistances = Resistances::new(self.body, leg);
        let speed_of = |state: &State| libm::sqrt(2.0 * state[part::MOTION].max(0.0) / moving.body).max(1e-6);
        let rate = |state: &State| {
            let speed = speed_of(state);
            let contact = drive.idling(tread, speed);
            shares(resistances.at(speed), drive, speed, contact, contact.force)
        };
        let track = &mut self.track;
        let before = leg.length - length;
        let mut now = self.speed;
        let mut see = |state: &State, place: f64| {
            now = speed_of(state);
            note(track, drive, tread, (now, before + place), drive.idling(tread, now));
            let whole = Known::Energy(state[part::MOTION] + moving.idling());
            drive.catches(tread, now) && drive.following(tread, &resistances, moving, whole).is_some()
        };
        see(state, 0.0);
        let done = along(state, length, Until::End, rate, see);
        self.speed = now;
        self.slid = true;
        done
    }
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
    let shaft = heat::wheel_power(engine, 1.0, contact.slip);
    // Below what the turning parts need the engine helps them.
    let mut rate = [0.0; SIZE];
    rate[part::MOTION] = demand.to_hold() - slip - shaft;
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
