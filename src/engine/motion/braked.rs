//! Down the slope on the foot brake, wheels turning, with or without a gear engaged.

use super::geared::brush;
use super::integrate::{SIZE, State, Until, along};
use super::locked::{Rest, slide_rest};
use super::run::{Outcome, Run, Track, at_speed, part, speed_at, speed_of};
use super::slide::Slider;
use crate::engine::chassis::body::{Body, Leg, Profile};
use crate::engine::chassis::drive::{Demand, Drive, Tread, demand};
use crate::engine::chassis::hold::{Hold, Wheels};
use crate::engine::formulas::{heat, slope};

/// How hard a driver slows to the speed wanted, m/s²: gently. Judgement.
pub(crate) const GENTLE: f64 = 1.0;

/// Share of the grip left over that slowing to the speed wanted may take: a driver who has little
/// slows the more softly. Judgement.
pub(crate) const SLOWING_SHARE: f64 = 0.25;

/// A descent on the foot brake.
#[derive(Clone, Copy, Debug)]
pub struct OnBrakes<'a> {
    /// The vehicle.
    pub body: &'a Body,
    /// The wheels the foot brake acts on.
    pub hold: Hold,
    /// A gear engaged to help; none with the clutch down.
    pub help: Option<&'a Drive>,
    /// The same gear with the engine as hard to turn as it may be: how much of the force may act through
    /// the driven wheels rather than the braked ones.
    pub strongest: Option<&'a Drive>,
    /// Speed the driver keeps, m/s.
    pub target: f64,
}

/// Follows a vehicle held at a speed by the foot brake, from an entry speed (m/s).
///
/// Slower, it is let run up to the speed; faster, it is slowed gently; on a leg too flat to keep
/// the speed the throttle does. When the ground cannot give what the brakes need, the wheels lock
/// and stay locked: the rest is a slide.
pub fn braked(on: OnBrakes, profile: &Profile, entry: f64) -> Run {
    let mass = on.mass();
    let mut state = at_speed(mass, entry);
    let mut track = Track::new(entry);
    track.run.ledger.entry = state[part::MOTION];
    for (index, leg) in profile.legs.iter().enumerate() {
        track.begin(index);
        let done = on.leg(leg, &mut state, &mut track, mass);
        track.run.distance += done;
        track.run.ledger.height += on.body.mass * on.body.gravity * libm::sin(leg.pitch) * done;
        if done < leg.length {
            return on.locks(profile, &mut track, &mut state, Rest { leg: index, done });
        }
    }
    let end = speed_of(&state, mass);
    track.run.foot_speed = Some(end);
    // What a short slope leaves to be slowed, the brakes get beyond its foot, or before it on better ground.
    state[part::BRAKING] += (state[part::MOTION] - slope::kinetic_energy(mass, on.target)).max(0.0);
    track.settle(&state, Outcome::HeldOnBrakes, end)
}

impl OnBrakes<'_> {
    fn mass(&self) -> f64 {
        self.help.map_or(self.body.mass + self.body.wheels, |drive| drive.equivalent_mass(self.body))
    }

    /// What holds the vehicle on a leg at a speed: the foot brake shares with the engine, which may take anything
    /// from nothing to the most it can.
    fn hold_on(&self, leg: &Leg, speed: f64) -> Hold {
        let (Some(drive), Some((brakes, _))) = (self.strongest.or(self.help), self.hold.wheels.front_part())
        else {
            return self.hold;
        };
        let Some((gear, _)) = drive.hold.wheels.front_part() else {
            return Hold { wheels: Wheels::All, ..self.hold };
        };
        let wanted = self.brake_demand(leg, speed, 0.0);
        let engine = if speed < drive.creep() { 0.0 } else { drive.force(speed) };
        let share = if wanted > 0.0 { (engine / wanted).min(1.0) } else { 1.0 };
        let mixed = brakes + (gear - brakes) * share;
        let wheels = Wheels::Between { low: brakes.min(mixed), high: brakes.max(mixed) };
        Hold { wheels, ..self.hold }
    }

    /// Follows one leg; how far it got before the wheels locked, the whole leg when they did not.
    fn leg(&self, leg: &Leg, state: &mut State, track: &mut Track, mass: f64) -> f64 {
        let tread = Tread::new(self.body, leg, &self.hold_on(leg, self.target));
        let wanted = slope::kinetic_energy(mass, self.target);
        let mut done = 0.0;
        let pulls = demand(self.body, leg, self.target).to_hold() - self.engine_force(self.target) > 0.0;
        if state[part::MOTION] < wanted * (1.0 - 1e-12) && pulls {
            done += self.moves(leg, &tread, state, track, mass, (leg.length, Until::RisesTo(wanted), 0.0));
        } else if state[part::MOTION] > wanted * (1.0 + 1e-12) {
            let speed = speed_of(state, mass);
            let hold = self.brake_demand(leg, speed, 0.0);
            // Faster than the speed kept the engine takes more, so more may act through its wheels.
            let tread = Tread::new(self.body, leg, &self.hold_on(leg, speed));
            if self.dragged(leg, speed, track) {
                return 0.0;
            }
            let slowing = (GENTLE * self.body.mass).min(SLOWING_SHARE * (tread.best() - hold));
            if slowing <= 0.0 {
                track.wanted(hold, &tread);
                return 0.0;
            }
            done +=
                self.moves(leg, &tread, state, track, mass, (leg.length, Until::FallsTo(wanted), slowing));
        }
        if done >= leg.length {
            return leg.length;
        }
        let speed = speed_of(state, mass);
        let force = self.brake_demand(leg, speed, 0.0);
        track.wanted(force, &tread);
        if force > tread.best() {
            return done;
        }
        self.holds(leg, &tread, state, track, leg.length - done);
        leg.length
    }

    /// Notes what the engine asks of the driven wheels at a speed above the one wanted, where it takes
    /// most; whether that slides them. The foot brake can take nothing of it away.
    fn dragged(&self, leg: &Leg, speed: f64, track: &mut Track) -> bool {
        let Some(drive) = self.strongest.or(self.help) else { return false };
        track.spin(drive.spin_at(speed));
        let share = self.body.mass / drive.equivalent_mass(self.body);
        let asked = share * drive.force(speed) + (1.0 - share) * self.brake_demand(leg, speed, 0.0);
        let tread = Tread::new(self.body, leg, &drive.hold);
        track.wanted(asked, &tread);
        asked > tread.best()
    }

    /// What the engine gives at the tyres at a ground speed, N; nothing below its creep speed.
    fn engine_force(&self, speed: f64) -> f64 {
        self.help.map_or(0.0, |drive| if speed < drive.creep() { 0.0 } else { drive.force(speed) })
    }

    /// Retarding force wanted of all wheels, N, brakes and engine together.
    fn brake_demand(&self, leg: &Leg, speed: f64, slowing: f64) -> f64 {
        demand(self.body, leg, speed).to_hold() + slowing
    }

    /// Speeds up free or slows down on the brakes until the speed wanted.
    fn moves(
        &self,
        leg: &Leg,
        tread: &Tread,
        state: &mut State,
        track: &mut Track,
        mass: f64,
        (length, until, slowing): (f64, Until, f64),
    ) -> f64 {
        let braking = slowing > 0.0;
        let rate = |energy: f64| {
            let speed = speed_at(energy, mass).max(1e-6);
            let demand = demand(self.body, leg, speed);
            let force =
                if braking { (demand.to_hold() + slowing).max(0.0) } else { self.engine_force(speed) };
            let mut rate = self.shares(tread, force, speed, braking.then_some(demand));
            rate[part::MOTION] = demand.to_hold() - force;
            rate[part::TIME] = 1.0 / speed;
            rate[part::ROLLING] = demand.rolling;
            rate[part::AIR] = demand.air;
            rate
        };
        along(state, length, until, rate, |state, place| {
            let speed = speed_of(state, mass);
            track.speed(speed, place);
            let force = if braking { self.brake_demand(leg, speed, slowing).max(0.0) } else { 0.0 };
            track.wanted(force, tread);
            track.turning(tread.slip_for(force).unwrap_or(0.0), brush(tread), true);
            false
        })
    }

    /// Steady at the speed it has.
    fn holds(&self, leg: &Leg, tread: &Tread, state: &mut State, track: &mut Track, length: f64) {
        let speed = speed_of(state, self.mass());
        let demand = demand(self.body, leg, speed);
        let force = demand.to_hold();
        let shares = self.shares(tread, force, speed, Some(demand));
        for (sum, share) in state.iter_mut().zip(shares) {
            *sum += share * length;
        }
        state[part::TIME] += length / speed;
        state[part::ROLLING] += demand.rolling * length;
        state[part::AIR] += demand.air * length;
        track.speed(speed, 0.0);
        if let Some(drive) = self.help {
            track.spin(drive.spin_at(speed));
        }
        track.turning(tread.slip_for(force.abs()).unwrap_or(0.0), brush(tread), true);
    }

    /// Where a retarding force (N) goes for each metre: ground, then engine and driveline, the
    /// brakes taking what is left; `braking` are the forces of the slope with a foot on them: they may get what the air takes too, and
    /// all of the slowing whatever engine and rolling do.
    fn shares(&self, tread: &Tread, force: f64, speed: f64, braking: Option<Demand>) -> State {
        let mut shares = [0.0; SIZE];
        let slip = tread.slip_for(force.abs()).unwrap_or(0.0) * force.signum();
        shares[part::GROUND] = heat::slip_power(force, 1.0, slip);
        let shaft = heat::wheel_power(force, 1.0, slip);
        if shaft < 0.0 {
            shares[part::FUEL] = -shaft;
            return shares;
        }
        let engine = self.help.map_or(0.0, |drive| {
            let wheel = speed * (1.0 - slip);
            // Slowing to the speed wanted the engine turns faster and takes more: not counted on.
            let counted = wheel.min(self.target * (1.0 - slip));
            let most = if counted < drive.creep() { 0.0 } else { drive.force(counted) * (1.0 - slip) };
            most.min(shaft)
        });
        let engine = if braking.is_some() { engine } else { shaft };
        let efficiency = self.help.map_or(1.0, |drive| drive.efficiency);
        shares[part::ENGINE] = engine * efficiency;
        shares[part::DRIVELINE] = engine * (1.0 - efficiency);
        shares[part::BRAKES] = shaft - engine;
        shares[part::BRAKING] = braking.map_or(0.0, |demand| {
            let pull = demand.to_hold();
            // The same whatever the slip, so that no ground makes it look less.
            let counted = self.engine_force(speed.min(self.target)).min(pull.max(0.0));
            force - pull.min(0.0) + demand.air - counted
        });
        shares
    }

    /// The brakes have locked the wheels: what turned goes into them as heat, the rest slides.
    fn locks(&self, profile: &Profile, track: &mut Track, state: &mut State, rest: Rest) -> Run {
        let mass = self.mass();
        let speed = speed_of(state, mass);
        let motion = slope::kinetic_energy(self.body.mass, speed);
        state[part::BRAKES] += state[part::MOTION] - motion;
        state[part::MOTION] = motion;
        let mut slider = Slider { speed, off_line: 0.0 };
        let mut run =
            slide_rest(self.body, profile, self.hold.wheels.sliding(), track, state, &mut slider, rest);
        if run.outcome != Outcome::StopsOnSlope {
            run.outcome = Outcome::WheelsSlide;
        }
        run
    }
}
