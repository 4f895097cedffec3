//! Down the slope in a gear, foot off the brake.

use super::balance::{Balance, held_speed};
use super::body::{Body, Leg, Profile};
use super::drive::{Drive, Tread, demand};
use super::formulas::heat;
use super::integrate::{SIZE, State, Until, along};
use super::run::{Outcome, Run, Track, at_speed, part, speed_of};

/// Follows a vehicle down in gear from an entry speed (m/s).
///
/// With the clutch in a vehicle cannot enter slower than its gearing turns the wheels at idle: the
/// greater of the two is taken. The account ends at the foot.
pub fn geared(body: &Body, profile: &Profile, drive: &Drive, entry: f64) -> Run {
    let mass = drive.equivalent_mass(body);
    let entry = entry.max(entry_floor(body, profile, drive));
    let mut state = at_speed(mass, entry);
    let mut track = Track::new(entry);
    track.run.ledger.entry = state[part::MOTION];
    let mut follow = Follow { body, drive, mass, track, slid: false };
    for leg in &profile.legs {
        follow.leg(leg, &mut state);
        follow.track.run.distance += leg.length;
        follow.track.run.ledger.height += body.mass * body.gravity * leg.drop();
    }
    let end = speed_of(&state, mass);
    follow.track.run.foot_speed = Some(end);
    let outcome = outcome(body, profile, drive, follow.slid, entry);
    follow.track.settle(&state, outcome, end)
}

/// Slowest ground speed of the gear on the first leg, m/s.
fn entry_floor(body: &Body, profile: &Profile, drive: &Drive) -> f64 {
    let Some(leg) = profile.legs.first() else { return drive.creep() };
    let tread = Tread::new(body, leg, drive.wheels);
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

struct Follow<'a> {
    body: &'a Body,
    drive: &'a Drive,
    mass: f64,
    track: Track,
    slid: bool,
}

impl Follow<'_> {
    fn leg(&mut self, leg: &Leg, state: &mut State) {
        let tread = Tread::new(self.body, leg, self.drive.wheels);
        let needed = demand(self.body, leg, self.drive.creep()).to_hold();
        self.track.wanted(needed.max(0.0), tread.best());
        let at_idle = if self.drive.converter.is_some() { 0.0 } else { self.drive.force(self.drive.creep()) };
        let mut left = leg.length;
        if needed <= at_idle && needed <= tread.best() {
            let (speed, slip) = held_speed(self.body, leg, self.drive, &tread);
            let settled = if at_idle <= tread.best() {
                leaves_idle(self.drive, &tread)
            } else {
                self.drive.creep() / (1.0 - tread.curve.peak_slip())
            };
            let settled = super::formulas::slope::kinetic_energy(self.mass, settled.max(speed));
            if state[part::MOTION] > settled {
                left -= self.rolls(leg, &tread, state, leg.length, Until::FallsTo(settled));
            }
            if left > 0.0 && state[part::MOTION] <= settled * (1.0 + 1e-9) {
                self.holds(leg, &tread, state, left, speed, slip);
                return;
            }
        }
        if left > 0.0 {
            self.rolls(leg, &tread, state, left, Until::End);
        }
    }

    /// Held at idle: a steady state, so nothing is integrated.
    fn holds(&mut self, leg: &Leg, tread: &Tread, state: &mut State, length: f64, speed: f64, slip: f64) {
        let demand = demand(self.body, leg, speed);
        let motion = super::formulas::slope::kinetic_energy(self.mass, speed);
        let force = demand.to_hold() - (motion - state[part::MOTION]) / length;
        state[part::MOTION] = motion;
        state[part::TIME] += length / speed;
        state[part::ROLLING] += demand.rolling * length;
        state[part::AIR] += demand.air * length;
        state[part::GROUND] += heat::slip_power(force, length, slip);
        let shaft = heat::wheel_power(force, length, slip);
        if shaft >= 0.0 {
            state[part::ENGINE] += shaft * self.drive.efficiency;
            state[part::DRIVELINE] += shaft * (1.0 - self.drive.efficiency);
        } else {
            state[part::FUEL] -= shaft;
        }
        self.track.speed(speed);
        self.track.spin(self.drive.idle);
        self.track.turning(slip.abs(), brush(tread), true);
    }

    /// Faster than idle: followed metre by metre.
    fn rolls(&mut self, leg: &Leg, tread: &Tread, state: &mut State, length: f64, until: Until) -> f64 {
        let (body, drive, mass) = (self.body, self.drive, self.mass);
        let rate = |state: &State| {
            let speed = speed_of(state, mass).max(1e-6);
            let demand = demand(body, leg, speed);
            let contact = drive.contact(tread, speed);
            let shaft = heat::wheel_power(contact.force, 1.0, contact.slip);
            let mut rate = [0.0; SIZE];
            rate[part::MOTION] = demand.to_hold() - contact.force;
            rate[part::TIME] = 1.0 / speed;
            rate[part::ROLLING] = demand.rolling;
            rate[part::AIR] = demand.air;
            rate[part::GROUND] = heat::slip_power(contact.force, 1.0, contact.slip);
            rate[part::ENGINE] = shaft * drive.efficiency;
            rate[part::DRIVELINE] = shaft * (1.0 - drive.efficiency);
            rate
        };
        let track = &mut self.track;
        let slid = &mut self.slid;
        let mut see = |state: &State| {
            let speed = speed_of(state, mass);
            let contact = drive.contact(tread, speed.max(1e-6));
            track.speed(speed);
            track.spin(drive.engine_at(speed * (1.0 - contact.slip)).0);
            track.turning(contact.slip, brush(tread), contact.gripping);
            *slid |= !contact.gripping;
        };
        see(state);
        along(state, length, until, rate, see)
    }
}

/// Stiffness over three times the peak: the brush parameter of a curve.
pub(crate) fn brush(tread: &Tread) -> f64 {
    1.0 / tread.curve.peak_slip()
}
