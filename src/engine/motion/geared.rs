//! Down the slope in a gear, foot off the brake.

use std::cell::Cell;

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
    let (floor, at_brow) = entry_floor(body, profile, drive);
    let (brought, entry) = (entry > floor, entry.max(floor));
    let mut track = Track::new(entry);
    if brought {
        // What little grip lets the wheels lag at the brow is not counted on to spare the engine.
        track.spin(drive.spin_at(entry));
    }
    let moving = drive.moving(body);
    let mut follow =
        Follow { body, drive, moving, at_brow, speed: entry, rim: entry, idling: false, track, slid: false };
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
    follow.track.run.foot_spin = Some(drive.spin_at(follow.rim));
    let outcome = outcome(body, profile, drive, follow.slid, entry);
    follow.track.settle(&state, outcome, end)
}

/// Slowest ground speed of the gear on the first leg, m/s; where the engine holds the wheels at idle there,
/// their speed and slip.
fn entry_floor(body: &Body, profile: &Profile, drive: &Drive) -> (f64, Option<(f64, f64)>) {
    let Some(leg) = profile.legs.first() else { return (drive.creep(), None) };
    let tread = Tread::new(body, leg, &drive.hold);
    let needed = demand(body, leg, drive.creep()).to_hold();
    if drive.converter.is_some() || needed > tread.best() {
        return (drive.creep(), None);
    }
    if needed > drive.force(drive.creep()) {
        return (leaves_idle(drive, &tread), None);
    }
    let held = held_speed(body, leg, drive, &tread);
    (held.0, Some(held))
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
        worst = match Balance::outcome(body, leg, drive) {
            Outcome::WheelsSlide => return Outcome::WheelsSlide,
            Outcome::NoSafeBalance => Outcome::NoSafeBalance,
            Outcome::RunsUpAndBalances if worst == Outcome::HeldAtIdle => Outcome::RunsUpAndBalances,
            _ => worst,
        };
    }
    if slid {
        return Outcome::WheelsSlide;
    }
    // Brought in faster than the gear may turn: the slope alone is not the judge.
    if entry > drive.fastest() * 1.000_001 { Outcome::NoSafeBalance } else { worst }
}

/// Wheels that the engine holds at idle on a leg.
#[derive(Clone, Copy)]
struct Settled {
    /// Ground speed they are held at, m/s.
    held: f64,
    /// Slip they are held with.
    slip: f64,
    /// Ground speed at which they come down to idle, m/s.
    speed: f64,
    /// Energy of vehicle and turning parts there, J.
    energy: f64,
}

impl Settled {
    /// Whether a vehicle at this speed (m/s) and in this state has slowed to it.
    fn reached(&self, speed: f64, state: &State) -> bool {
        let hair = 1.0 + 1e-9;
        speed <= self.speed * hair || state[part::MOTION] <= self.energy * hair
    }
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
    /// Speed (m/s) and slip of wheels held at idle on the first leg, where its brow has shown them.
    at_brow: Option<(f64, f64)>,
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
        let settled = self.settles(leg, &tread);
        if changed && !self.slid {
            self.meets(leg, &tread, state);
        }
        let mut left = leg.length;
        while left > 0.0 {
            self.settle_mode(leg, &tread, state);
            if let Some(settled) =
                settled.filter(|settled| !self.idling && settled.reached(self.speed, state))
            {
                return self.holds(leg, &tread, state, left, settled);
            }
            left -= if self.idling {
                self.slides(leg, &tread, state, left)
            } else {
                let until = settled.map_or(Until::End, |settled| Until::FallsTo(settled.energy));
                self.rolls(leg, &tread, state, left, until)
            };
        }
    }

    /// Where the engine holds the wheels at idle on a leg; none where it does not, or the ground cannot.
    fn settles(&mut self, leg: &Leg, tread: &Tread) -> Option<Settled> {
        let at_brow = self.at_brow.take();
        let creep = self.drive.creep();
        let needed = demand(self.body, leg, creep).to_hold();
        self.track.wanted(needed, tread);
        let at_idle = if self.drive.converter.is_some() { 0.0 } else { self.drive.force(creep) };
        if needed > at_idle || needed > tread.best() {
            return None;
        }
        let (held, slip) = at_brow.unwrap_or_else(|| held_speed(self.body, leg, self.drive, tread));
        let speed = leaves_idle(self.drive, tread).max(held);
        Some(Settled { held, slip, speed, energy: self.moving.energy(speed, creep) })
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
    fn holds(&mut self, leg: &Leg, tread: &Tread, state: &mut State, length: f64, settled: Settled) {
        let Settled { held: speed, slip, .. } = settled;
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
        // The end of a step is asked for twice: for the rates there, and to be noted.
        let last: Cell<(f64, Option<(f64, Contact)>)> = Cell::new((f64::NAN, None));
        let contact = |energy: f64| {
            if last.get().0.to_bits() != energy.to_bits() {
                last.set((energy, drive.following(tread, &resistances, moving, Known::Energy(energy))));
            }
            last.get().1
        };
        let rate = |energy: f64| {
            let (speed, contact) = contact(energy).unwrap_or_else(|| {
                // Past the last metre at which the wheels follow, the step ends anyway.
                let known = Known::Energy(energy);
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
            let Some((now, contact)) = contact(state[part::MOTION]) else {
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
        let speed_of = |energy: f64| libm::sqrt(2.0 * energy.max(0.0) / moving.body).max(1e-6);
        let rate = |energy: f64| {
            let speed = speed_of(energy);
            let contact = drive.idling(tread, speed);
            shares(resistances.at(speed), drive, speed, contact, contact.force)
        };
        let track = &mut self.track;
        let before = leg.length - length;
        let mut now = self.speed;
        let mut see = |state: &State, place: f64| {
            now = speed_of(state[part::MOTION]);
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
    track.spin(drive.spin_at(speed * (1.0 - contact.slip)));
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
