//! What each vehicle does on each slope: forces, axle loads, energy, heat, the balance.

use crate::course::{Course, Slope, Surface, Vehicle};
use crate::engine::formulas::GRAVITY;
use crate::engine::formulas::gearing::rolling_radius;
use crate::engine::symbols as s;
use crate::engine::taught::{energy, overrun, slope as taught, stability};
use crate::engine::{
    Balance, Case, IRON_SHARE, Leg, Profile, Reckoning, Told, Way, circumference_of, overall_ratio_of,
};
use crate::formula::{Worked, Working};
use crate::lesson::example::Example;

/// The worked examples of one vehicle on one slope.
pub(super) fn examples(
    course: &Course,
    reckoning: &Reckoning,
    slope: &Slope,
    vehicle: &Vehicle,
) -> Vec<Worked> {
    // The line driven as the engine drives it: a heading off the fall line lessens the grade.
    let line = Profile::of(course, slope, Case::Likely);
    let scene = Scene { course, reckoning, slope, vehicle, surface: course.surface_of(slope), line };
    [
        scene.force_down(),
        scene.axle_loads(),
        scene.energy(),
        scene.brake_rise(),
        scene.left_to_hold(),
        scene.engine_holds(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

struct Scene<'a> {
    course: &'a Course,
    reckoning: &'a Reckoning,
    slope: &'a Slope,
    vehicle: &'a Vehicle,
    surface: &'a Surface,
    line: Profile,
}

impl Scene<'_> {
    fn working(&self, example: Example, title: &str) -> Working {
        example.begun(title, self.course.units).slope(&self.slope.id).vehicle(&self.vehicle.id)
    }

    fn steepest(&self) -> &Leg {
        self.line.steepest()
    }

    fn on_the_steepest(&self, working: Working) -> Working {
        working
            .given(&s::MASS, self.vehicle.mass.si())
            .given(&s::GRAVITY_ACCELERATION, GRAVITY)
            .given(&s::SLOPE_ANGLE, self.steepest().pitch)
    }

    fn force_down(&self) -> Option<Worked> {
        self.on_the_steepest(self.working(Example::ForceDown, "What pulls it down the steepest stretch"))
            .step(&taught::FORCE_DOWN)
            .finish()
    }

    /// Held at a steady speed, so the braking force is the slope's pull.
    fn axle_loads(&self) -> Option<Worked> {
        let vehicle = self.vehicle;
        let (weight, leg) = (vehicle.mass.si() * GRAVITY, self.steepest());
        let to_front = vehicle.centre_behind_front.si();
        let at = vehicle.centre_behind_front.estimated;
        self.working(Example::AxleLoads, "Axle loads while the steepest stretch is held at a steady speed")
            .given(&s::NORMAL, weight * leg.press())
            .given(&s::BRAKING_FORCE, weight * leg.down())
            .start(&s::CENTRE_TO_FRONT, to_front, at)
            .start(&s::CENTRE_TO_REAR, vehicle.wheelbase.si() - to_front, at)
            .start(&s::CENTRE_HEIGHT, vehicle.loaded_centre_height().si(), vehicle.centre_height.estimated)
            .given(&s::WHEELBASE, vehicle.wheelbase.si())
            .step(&stability::REAR_AXLE)
            .step(&stability::FRONT_AXLE)
            .finish()
    }

    fn told(&self, way: Way) -> Option<&Told> {
        self.reckoning.pair(&self.slope.id, &self.vehicle.id)?.way(way)
    }

    /// The energy of the height, and what is left of it for the foot brakes.
    fn energy(&self) -> Option<Worked> {
        let ledger = self.told(Way::Braked)?.descent.likely.ledger;
        let given_up = ledger.entry - ledger.speed;
        let (change, left) = if given_up < 0.0 {
            (&s::SPEED_GAINED, &energy::LEFT_WHILE_GAINING)
        } else {
            (&s::SPEED_GIVEN_UP, &energy::LEFT_FOR_BRAKES)
        };
        self.working(Example::Energy, "Energy of the height, and what the foot brakes must take of it")
            .given(&s::MASS, self.vehicle.mass.si())
            .given(&s::GRAVITY_ACCELERATION, GRAVITY)
            .given(&s::HEIGHT, self.slope.height().si())
            .start(change, given_up.abs(), true)
            .start(&s::ROLLING_ENERGY, ledger.rolling, true)
            .start(&s::SLIP_ENERGY, ledger.ground, true)
            .step(&energy::HEIGHT_TO_ENERGY)
            .step(left)
            .finish()
    }

    fn brake_rise(&self) -> Option<Worked> {
        let front = self.vehicle.brakes.front?;
        let told = self.told(Way::Braked)?;
        let share = told.heat.as_ref()?.front_share;
        // The printed answer of the example before, so that a learner starts from what stands there.
        let before = self.energy().map(|worked| {
            let line = worked.answer();
            line.unit.to_si(line.shown.value)
        });
        let taken = before.unwrap_or(told.descent.likely.ledger.brakes);
        let share_estimated = self.vehicle.brakes.front_share.estimated;
        self.working(
            Example::BrakeTemperatureRise,
            "One run on the foot brake: how much warmer the front brakes get",
        )
        .start(&s::BRAKE_ENERGY, taken, true)
        .start(&s::FRONT_SHARE, share, share_estimated)
        .start(&s::IRON_SHARE, IRON_SHARE, true)
        .step(&energy::HEAT_OF_AXLE)
        .given(&s::DISC_COUNT, f64::from(front.count))
        .start(&s::DISC_MASS, front.mass.si(), front.mass.estimated)
        .start(
            &s::HEAT_CAPACITY,
            self.vehicle.brakes.heat_capacity.si(),
            self.vehicle.brakes.heat_capacity.estimated,
        )
        .step(&energy::RISE_OF_DISC)
        .finish()
    }

    /// What engine or brakes have to hold at a steady speed.
    fn left_to_hold(&self) -> Option<Worked> {
        let working = self.working(
            Example::LeftToHold,
            "What is left for engine or brakes to hold on the steepest stretch",
        );
        let roll = self.steepest().roll;
        let working = self.on_the_steepest(working);
        let working = if roll == 0.0 { working } else { working.given(&s::ROLL, roll) };
        working
            .start(&s::ROLLING_COEFFICIENT, self.surface.rolling.likely, self.surface.estimated)
            .step(&taught::FORCE_DOWN)
            .step(if roll == 0.0 { &taught::NORMAL_FORCE } else { &taught::NORMAL_ON_TILT })
            .step(&taught::ROLLING_RESISTANCE)
            .step(&overrun::STILL_TO_HOLD)
            .finish()
    }

    /// The balance that the solved engine speed satisfies: the engine holds at that speed what is
    /// left to hold.
    fn engine_holds(&self) -> Option<Worked> {
        let told = self.told(Way::Geared)?;
        let gear = told.descent.gear?;
        let [_, likely, _] = told.descent.balance?;
        let Balance::RunsUp { spin, torque, .. } = likely else { return None };
        if torque <= 0.0 {
            return None;
        }
        let vehicle = self.vehicle;
        let efficiency = vehicle.transmission.efficiency;
        let displacement = vehicle.engine.displacement.si();
        self.working(
            Example::EngineHolds,
            "Where engine and slope balance: what the engine holds at this speed",
        )
        .gear(gear.to_string())
        .given(&s::ENGINE_SPEED, spin)
        .start(&s::DRAG_PRESSURE, 4.0 * std::f64::consts::PI * torque / displacement, true)
        .given(&s::DISPLACEMENT, displacement)
        .given(&s::OVERALL_RATIO, overall_ratio_of(vehicle, gear))
        .start(&s::EFFICIENCY, efficiency.si(), efficiency.estimated)
        .given(&s::RADIUS, rolling_radius(circumference_of(vehicle)))
        .step(&overrun::ENGINE_TORQUE)
        .step(&overrun::ENGINE_HOLDS)
        .finish()
    }
}
