//! Which wheels hold the vehicle, and how much of the grip of its axles they can use.

use super::axle::AxleDemand;
use super::body::Body;
use crate::course::{Driven, Lock, Vehicle};
use crate::engine::formulas::{grip, stability};

/// Torque the better wheel of a limited-slip axle gets for each of the worse one's: the low end of what
/// such units are said to do, 1.5 to 3 (from memory).
pub const LIMITED_BIAS: f64 = 1.5;

/// Friction standing for a force no load is left to give.
const NONE_LEFT: f64 = 1e6;

/// Which axles a force acts through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wheels {
    /// Both, tied together: neither can slide without the other.
    All,
    /// The front axle alone.
    Front,
    /// The rear axle alone.
    Rear,
    /// Both, each with its own part of the force: the front axle's part lies somewhere between these,
    /// and the worse of them counts.
    Between {
        /// Least part of the front axle.
        low: f64,
        /// Greatest part of the front axle.
        high: f64,
    },
}

impl Wheels {
    /// The wheels a vehicle's gearing retards. What nobody knows counts as the worse: the rear axle
    /// alone, an open centre. A limited-slip centre counts as open too: no figure is published that
    /// would fit any.
    pub fn driven(vehicle: &Vehicle) -> Self {
        let transmission = &vehicle.transmission;
        match transmission.driven {
            Driven::AllWheels if ties(transmission.differentials.centre) => Self::All,
            Driven::AllWheels => Self::split(transmission.differentials.front_share.si()),
            Driven::Front => Self::Front,
            Driven::Rear | Driven::Unknown => Self::Rear,
        }
    }

    /// The wheels a vehicle's foot brake retards; none without brakes. A locked centre ties its axles.
    pub fn braked(vehicle: &Vehicle) -> Option<Self> {
        match (vehicle.brakes.front.is_some(), vehicle.brakes.rear.is_some()) {
            (true, true) if Self::driven(vehicle) == Self::All => Some(Self::All),
            (true, true) => Some(Self::split(vehicle.brakes.front_share.si())),
            (true, false) => Some(Self::Front),
            (false, true) => Some(Self::Rear),
            (false, false) => None,
        }
    }

    /// The wheels that slide when the foot brake locks; none without brakes. However the brakes share
    /// the force, locked wheels of both axles all give what their load allows.
    pub fn locked(vehicle: &Vehicle) -> Option<Self> {
        Self::braked(vehicle).map(Self::sliding)
    }

    /// The same wheels locked.
    pub(crate) fn sliding(self) -> Self {
        if let Self::Between { .. } = self { Self::All } else { self }
    }

    /// Fixed shares.
    fn split(front: f64) -> Self {
        Self::Between { low: front, high: front }
    }

    /// Least and greatest part of the front axle; none when the axles are tied.
    pub(crate) fn front_part(self) -> Option<(f64, f64)> {
        match self {
            Self::All => None,
            Self::Front => Some((1.0, 1.0)),
            Self::Rear => Some((0.0, 0.0)),
            Self::Between { low, high } => Some((low, high)),
        }
    }

    /// Friction of the whole vehicle when the axle nearer to its limit uses this friction: the loads
    /// shift with the force.
    pub fn whole(self, friction: f64, body: &Body) -> f64 {
        Grip { wheels: self, front: 1.0, rear: 1.0 }.whole(friction, body)
    }

    /// Friction the axle nearer to its limit uses when the whole vehicle is retarded like this.
    pub fn used(self, whole: f64, body: &Body) -> f64 {
        Grip { wheels: self, front: 1.0, rear: 1.0 }.used(whole, body)
    }
}

/// Whether both sides of it turn together.
fn ties(lock: Lock) -> bool {
    matches!(lock, Lock::Locked | Lock::Absent)
}

/// The two wheels of an axle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    /// Torque of the better wheel for each of the worse one's; infinite when they turn together.
    pub bias: f64,
}

impl Side {
    /// Both wheels turn together, or each has all the grip it needs.
    pub const TIED: Self = Self { bias: f64::INFINITY };

    /// By the differential between them.
    pub fn of(lock: Lock) -> Self {
        match lock {
            Lock::Locked | Lock::Absent => Self::TIED,
            Lock::Limited => Self { bias: LIMITED_BIAS },
            Lock::Open | Lock::Unknown => Self { bias: 1.0 },
        }
    }

    /// Part of the axle's grip both wheels give together when the lighter one carries this part of the
    /// axle's load: an open differential gives twice the lighter wheel's, a lifted wheel's is nothing.
    pub fn usable(self, lighter: f64) -> f64 {
        if self.bias.is_infinite() { 1.0 } else { ((1.0 + self.bias) * lighter).clamp(0.0, 1.0) }
    }
}

/// The wheels that hold a vehicle, with what the ground does to each side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hold {
    /// Which axles.
    pub wheels: Wheels,
    /// The front wheels.
    pub front: Side,
    /// The rear wheels.
    pub rear: Side,
    /// Half the track over the centre's height.
    pub stability: f64,
    /// Side tilt a bump adds, rad.
    pub bump: f64,
    /// Whether a bump lifts a wheel, of one axle after the other.
    pub lifts: bool,
}

impl From<Wheels> for Hold {
    /// On even ground, or with wheels that turn together.
    fn from(wheels: Wheels) -> Self {
        let tied = Side::TIED;
        Self { wheels, front: tied, rear: tied, stability: 1.0, bump: 0.0, lifts: false }
    }
}

impl Hold {
    /// What the gearing of a vehicle holds with over bumps of this height, m.
    pub fn geared(vehicle: &Vehicle, bump: f64) -> Self {
        let lifts = bump > vehicle.wheel_travel.si();
        Self { wheels: Wheels::driven(vehicle), lifts, ..Self::standing(vehicle, bump) }
    }

    /// What the foot brake of a vehicle holds with. A wheel in the air needs no brake: the brake of the
    /// other carries the axle.
    pub fn braked(vehicle: &Vehicle, bump: f64) -> Option<Self> {
        Some(Self { wheels: Wheels::braked(vehicle)?, ..Self::standing(vehicle, bump) })
    }

    fn standing(vehicle: &Vehicle, bump: f64) -> Self {
        let (track, differentials) = (vehicle.track.si(), vehicle.transmission.differentials);
        Self {
            wheels: Wheels::All,
            front: Side::of(differentials.front),
            rear: Side::of(differentials.rear),
            stability: stability::stability_factor(track, vehicle.loaded_centre_height().si()),
            bump: if bump > 0.0 { stability::bump_roll(bump.min(0.99 * track), track) } else { 0.0 },
            lifts: false,
        }
    }

    /// The grip to be had on ground of this side tilt, rad.
    pub(crate) fn at(&self, roll: f64, friction: f64, body: &Body) -> Grip {
        let lighter = (0.5 * (1.0 - libm::tan(roll.abs() + self.bump) / self.stability)).max(0.0);
        let grip = |front: f64, rear: f64| Grip {
            wheels: self.wheels,
            front: self.front.usable(front),
            rear: self.rear.usable(rear),
        };
        if !self.lifts {
            return grip(lighter, lighter);
        }
        let (nose, tail) = (grip(0.0, lighter), grip(lighter, 0.0));
        if nose.whole(friction, body) <= tail.whole(friction, body) { nose } else { tail }
    }
}

/// The part of each axle's grip that can be used at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Grip {
    wheels: Wheels,
    front: f64,
    rear: f64,
}

impl Grip {
    /// Friction of the whole vehicle when the axle nearer to its limit uses this friction.
    pub(crate) fn whole(&self, friction: f64, body: &Body) -> f64 {
        match self.wheels.front_part() {
            None => self.tied(friction, body),
            Some((low, high)) if low >= high => self.split(low, friction, body),
            Some((low, high)) => self.split(low, friction, body).min(self.split(high, friction, body)),
        }
    }

    /// Axles tied together: what each can give adds up.
    fn tied(&self, friction: f64, body: &Body) -> f64 {
        if self.front >= 1.0 && self.rear >= 1.0 {
            return friction;
        }
        let held = self.front * body.to_rear() + self.rear * body.to_front;
        let shift = friction * body.height * (self.front - self.rear);
        (friction * held / (body.wheelbase - shift).max(1e-9)).max(0.0)
    }

    /// The front axle taking this part of the force.
    fn split(&self, part: f64, friction: f64, body: &Body) -> f64 {
        let front = friction * self.front;
        let by_front = if part * body.wheelbase > front * body.height {
            // With its own part of the force an axle behaves as if the wheelbase were that part of it.
            grip::front_only_friction(front, body.to_rear(), part * body.wheelbase, body.height)
        } else {
            f64::INFINITY
        };
        let rear = friction * self.rear;
        let by_rear = if part < 1.0 {
            grip::rear_only_friction(rear, body.to_front, (1.0 - part) * body.wheelbase, body.height)
        } else {
            f64::INFINITY
        };
        by_front.min(by_rear).clamp(0.0, NONE_LEFT)
    }

    /// Friction the axle nearer to its limit uses when the whole vehicle is retarded like this.
    pub(crate) fn used(&self, whole: f64, body: &Body) -> f64 {
        match self.wheels.front_part() {
            None => {
                if self.front >= 1.0 && self.rear >= 1.0 {
                    return whole;
                }
                let (front, rear) = loads(whole, body);
                over(whole, self.front * front + self.rear * rear)
            }
            Some((low, high)) if low >= high => self.used_by(low, whole, body),
            Some((low, high)) => self.used_by(low, whole, body).max(self.used_by(high, whole, body)),
        }
    }

    fn used_by(&self, part: f64, whole: f64, body: &Body) -> f64 {
        // An axle without a part of the force uses nothing, whatever its load.
        let front = if part > 0.0 { over(part * whole, self.front * front_of(whole, body)) } else { 0.0 };
        let rear =
            if part < 1.0 { over((1.0 - part) * whole, self.rear * rear_of(whole, body)) } else { 0.0 };
        front.max(rear)
    }

    /// Loads, demands and grip of both axles, N, for this force on the ground, peak friction and whole
    /// friction.
    pub(crate) fn axles(&self, normal: f64, peak: f64, whole: f64, body: &Body) -> AxleDemand {
        let (front, rear) = loads(whole, body);
        let part = match self.wheels.front_part() {
            None => self.front * front / (self.front * front + self.rear * rear).max(1e-12),
            Some((low, high)) if self.used_by(high, whole, body) > self.used_by(low, whole, body) => high,
            Some((low, _)) => low,
        };
        AxleDemand {
            front_load: normal * front,
            rear_load: normal * rear,
            front_demand: part * whole * normal,
            rear_demand: (1.0 - part) * whole * normal,
            front_grip: peak * self.front * normal * front,
            rear_grip: peak * self.rear * normal * rear,
        }
    }
}

/// Parts of the force on the ground that the axles carry when the whole vehicle is retarded like this.
fn loads(whole: f64, body: &Body) -> (f64, f64) {
    (front_of(whole, body), rear_of(whole, body))
}

/// The front axle's.
fn front_of(whole: f64, body: &Body) -> f64 {
    stability::front_load(1.0, body.to_rear(), body.height, whole, body.wheelbase).max(0.0)
}

/// The rear axle's.
fn rear_of(whole: f64, body: &Body) -> f64 {
    stability::rear_load(1.0, body.to_front, body.height, whole, body.wheelbase).max(0.0)
}

/// Friction of a force over a load, both as parts of the force on the ground.
fn over(force: f64, load: f64) -> f64 {
    if force <= 0.0 {
        0.0
    } else if load <= force / NONE_LEFT {
        NONE_LEFT
    } else {
        force / load
    }
}
