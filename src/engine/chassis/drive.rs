//! Wheels tied to the engine: what they give at a ground speed, and at what slip.

pub(crate) mod moving;

use moving::{Known, Moving};

use super::axle::AxleDemand;
use super::body::{Body, Leg};
use super::hold::{Grip, Hold};
use super::overrun::{Converter, EngineDrag};
use super::slip::{self, SlipCurve};
use crate::course::{Gear, Gearbox, Vehicle};
use crate::engine::Case;
use crate::engine::formulas::{gearing, grip, overrun, slope};
use crate::engine::root;

/// Wheels on one leg: force against slip.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tread<'a> {
    /// Force on the ground, N.
    pub normal: f64,
    /// Friction against slip, what the side tilt takes already taken.
    pub curve: SlipCurve,
    /// Rolling resistance that takes friction too, as a part of the load.
    through: f64,
    grip: Grip,
    body: &'a Body,
}

impl<'a> Tread<'a> {
    pub(crate) fn new(body: &'a Body, leg: &Leg, hold: &Hold) -> Self {
        let normal = body.mass * body.gravity * leg.press();
        let curve = leg.footing.curve.beside(libm::tan(leg.roll).abs());
        Self {
            normal,
            curve,
            through: leg.footing.through_contact(),
            grip: hold.at(leg.roll, curve.peak, body),
            body,
        }
    }

    /// Retarding force at a slip, N.
    pub(crate) fn force(&self, slip: f64) -> f64 {
        grip::grip_force(self.grip.whole(self.curve.friction(slip), self.body), self.normal)
    }

    /// Greatest force of turning wheels, N.
    pub(crate) fn best(&self) -> f64 {
        grip::grip_force(self.grip.whole(self.curve.peak, self.body), self.normal)
    }

    /// Slip of turning wheels that give this force, N; none when the ground cannot.
    pub(crate) fn slip_for(&self, force: f64) -> Option<f64> {
        self.curve.slip_for(self.used(force))
    }

    /// Loads, demands and grip of both axles for this force, N, with what rolling takes of the grip.
    pub(crate) fn axles(&self, force: f64) -> AxleDemand {
        let axles = self.grip.axles(self.normal, self.curve.peak, force / self.normal, self.body);
        AxleDemand {
            front_demand: axles.front_demand + self.through * axles.front_load,
            rear_demand: axles.rear_demand + self.through * axles.rear_load,
            ..axles
        }
    }

    /// Friction that the ground must give for this force, N, of the wheels: what they hold, and what rolling takes of it.
    pub(crate) fn wanted(&self, force: f64) -> f64 {
        self.used(force) + self.through
    }

    /// Friction the wheels use for this force, N.
    pub(crate) fn used(&self, force: f64) -> f64 {
        self.grip.used(force / self.normal, self.body)
    }
}

/// A gear engaged: engine, gearing, tyres and driven wheels, SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    /// The engine's drag.
    pub drag: EngineDrag,
    /// The end of its range reckoned with.
    pub case: Case,
    /// Overall ratio.
    pub ratio: f64,
    /// Rolling circumference, m.
    pub circumference: f64,
    /// Efficiency of the driveline.
    pub efficiency: f64,
    /// Idle speed, turns/s.
    pub idle: f64,
    /// Highest engine speed allowed, turns/s.
    pub highest: f64,
    /// Inertia of the engine, kg·m².
    pub inertia: f64,
    /// The torque converter, when it is not locked.
    pub converter: Option<Converter>,
    /// The wheels it acts through.
    pub hold: Hold,
}

/// Overall ratio of a gear of a vehicle.
pub fn overall_ratio_of(vehicle: &Vehicle, gear: Gear) -> f64 {
    let transmission = &vehicle.transmission;
    gearing::overall_ratio(
        gear.ratio.si(),
        vehicle.transfer(gear.range).si(),
        transmission.axle.si(),
        transmission.hub.si(),
    )
}

impl Drive {
    /// A gear of a course's vehicle in one case.
    pub fn of(vehicle: &Vehicle, gear: Gear, case: Case) -> Self {
        Self::with(EngineDrag::of(&vehicle.engine), vehicle, gear, case)
    }

    /// The same with the engine's drag already known.
    pub(crate) fn with(drag: EngineDrag, vehicle: &Vehicle, gear: Gear, case: Case) -> Self {
        Self {
            drag,
            case,
            ratio: overall_ratio_of(vehicle, gear),
            circumference: super::body::circumference_of(vehicle),
            // Losses never help to prove a hold.
            efficiency: if case == Case::Unfavourable { 1.0 } else { vehicle.transmission.efficiency.si() },
            idle: match case {
                // A high idle is a faster creep; a low one asks more of the tyres that must turn it.
                Case::Unfavourable => vehicle.engine.idle_range.1.si(),
                Case::Likely => vehicle.engine.idle.si(),
                Case::Favourable | Case::Dragged => vehicle.engine.idle_range.0.si(),
            },
            highest: vehicle.engine.highest.si(),
            inertia: vehicle.engine_inertia.si(),
            converter: (vehicle.transmission.gearbox == Gearbox::AutomaticUnlocked)
                .then(|| Converter::of(case)),
            hold: Hold::geared(vehicle, 0.0),
        }
    }

    /// The same gear over bumps of this height, m.
    #[must_use]
    pub fn over(self, vehicle: &Vehicle, bump: f64) -> Self {
        Self { hold: Hold::geared(vehicle, bump), ..self }
    }

    /// Rolling radius, m.
    pub fn radius(&self) -> f64 {
        gearing::rolling_radius(self.circumference)
    }

    /// Speed of the wheels with the gearing at idle speed, m/s.
    pub fn creep(&self) -> f64 {
        gearing::creep_speed(self.circumference, self.idle, self.ratio)
    }

    /// Speed of the wheels at the highest engine speed, m/s. With an unlocked converter the engine
    /// turns slower than this.
    pub fn fastest(&self) -> f64 {
        gearing::creep_speed(self.circumference, self.highest, self.ratio)
    }

    /// Engine speed, turns/s, at a wheel speed (m/s), idle or above.
    pub(crate) fn spin_at(&self, wheel: f64) -> f64 {
        match self.converter {
            None => gearing::engine_spin(wheel, self.ratio, self.circumference).max(self.idle),
            Some(_) => self.engine_at(wheel).0,
        }
    }

    /// Engine speed, turns/s, and torque, N·m, at a wheel speed (m/s), idle or above.
    pub fn engine_at(&self, wheel: f64) -> (f64, f64) {
        let spin = gearing::engine_spin(wheel, self.ratio, self.circumference).max(self.idle);
        let drag = |spin| self.drag.torque(spin, self.case);
        match self.converter {
            None => (spin, drag(spin)),
            Some(converter) => converter.overrun(spin, self.idle, drag),
        }
    }

    /// Retarding force at the tyres, N, at a wheel speed (m/s), idle or above.
    pub fn force(&self, wheel: f64) -> f64 {
        overrun::engine_braking_force(self.engine_at(wheel).1, self.ratio, self.efficiency, self.radius())
    }

    /// Mass the vehicle seems to have in this gear, kg. An unlocked converter does not tie the
    /// engine to the wheels.
    pub fn equivalent_mass(&self, body: &Body) -> f64 {
        let inertia = if self.converter.is_some() { 0.0 } else { self.inertia };
        gearing::equivalent_mass(body.mass, body.wheels, inertia, self.ratio, self.radius())
    }

    /// The vehicle and what turns with its wheels in this gear.
    pub(crate) fn moving(&self, body: &Body) -> Moving {
        Moving { body: body.mass, turning: self.equivalent_mass(body) - body.mass, creep: self.creep() }
    }

    /// Slip at which wheels at idle speed meet a ground speed, m/s.
    pub(crate) fn idle_slip(&self, speed: f64) -> f64 {
        (1.0 - self.creep() / speed).max(0.0)
    }

    /// What the tyres give while the wheels follow the ground, and the ground speed, m/s; none when
    /// nothing but idle speed is left for them.
    ///
    /// A vehicle that slows in gear is pushed on by what turns with it, so the ground gives only part of
    /// what the engine takes.
    pub(crate) fn following(
        &self,
        tread: &Tread,
        resistances: &Resistances,
        moving: Moving,
        known: Known,
    ) -> Option<(f64, Contact)> {
        let wanted = |slip: f64| {
            let (speed, share) = (known.speed(moving, slip), moving.share(slip));
            share * self.force(speed * (1.0 - slip)) + (1.0 - share) * resistances.at(speed).to_hold()
        };
        let excess = |slip: f64| tread.force(slip) - wanted(slip);
        let (idle_slip, peak_slip) = (known.idle_slip(moving), tread.curve.peak_slip());
        let most = peak_slip.min(idle_slip);
        let at = |slip: f64, gripping: bool| {
            (known.speed(moving, slip), Contact { force: tread.force(slip), slip, gripping })
        };
        if let Some(slip) = slip::meeting(&tread.curve, |slip| tread.used(wanted(slip))) {
            return Some(at(slip.min(most), true));
        }
        if idle_slip <= peak_slip && excess(idle_slip) <= 0.0 {
            return Some(at(idle_slip, true));
        }
        if excess(most) >= 0.0 {
            return Some(at(root::rising(0.0, most, excess), true));
        }
        (excess(idle_slip) >= 0.0).then(|| at(root::rising(most, idle_slip, excess), false))
    }

    /// What the tyres give with the wheels at idle speed.
    pub(crate) fn idling(&self, tread: &Tread, speed: f64) -> Contact {
        let slip = self.idle_slip(speed);
        Contact { force: tread.force(slip), slip, gripping: slip <= tread.curve.peak_slip() }
    }

    /// Whether the ground can turn the engine above idle again, wheels at idle speed.
    pub(crate) fn catches(&self, tread: &Tread, speed: f64) -> bool {
        let idling = self.idling(tread, speed);
        idling.gripping || idling.force >= self.force(self.creep())
    }
}

/// What driven wheels give at one speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Contact {
    /// Retarding force, N.
    pub force: f64,
    /// Slip.
    pub slip: f64,
    /// Whether the wheels stay below the peak of the slip curve.
    pub gripping: bool,
}

/// What slope and resistances leave to be held at a speed (m/s), N.
pub(crate) fn demand(body: &Body, leg: &Leg, speed: f64) -> Demand {
    Resistances::new(body, leg).at(speed)
}

/// The forces of one leg that are not the wheels' own; all but air are the same at any speed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Resistances {
    slope: f64,
    rolling: f64,
    air: f64,
    drag_area: f64,
}

impl Resistances {
    pub(crate) fn new(body: &Body, leg: &Leg) -> Self {
        let weight = body.mass * body.gravity;
        Self {
            slope: weight * leg.down(),
            rolling: slope::rolling_force(leg.footing.rolling, weight * leg.press()),
            air: body.air,
            drag_area: body.drag_area,
        }
    }

    pub(crate) fn at(&self, speed: f64) -> Demand {
        let air = slope::air_force(self.air, self.drag_area, speed);
        Demand { slope: self.slope, rolling: self.rolling, air }
    }
}

/// Forces of a descent that are not the wheels' own, N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Demand {
    /// Part of the weight along the slope.
    pub slope: f64,
    /// Rolling resistance.
    pub rolling: f64,
    /// Air drag.
    pub air: f64,
}

impl Demand {
    /// What the wheels must hold to keep the speed, N; negative when they must drive.
    pub(crate) fn to_hold(self) -> f64 {
        self.slope - self.rolling - self.air
    }
}
