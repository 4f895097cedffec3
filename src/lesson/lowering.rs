//! Recovery examples, down before up: letting down, the brake's share, a tow, a point pulled sideways.

use crate::course::{Course, Slope, Vehicle};
use crate::engine::formulas::GRAVITY;
use crate::engine::symbols as s;
use crate::engine::taught::{lowering as taught, recovery};
use crate::engine::{Body, Wheels};
use crate::formula::{Worked, Working};
use crate::lesson::example::Example;
use crate::recovery::facts::{TRADE_SOFT, side_share};
use crate::recovery::ladder::tow::{PULLS_AWAY, STEEPEST_TOW};

/// The examples of one vehicle on one slope.
pub(super) fn examples(course: &Course, slope: &Slope, vehicle: &Vehicle) -> Vec<Worked> {
    let scene = Scene { course, slope, vehicle };
    [scene.lowering(), scene.brake(), scene.tow(), scene.sideways()].into_iter().flatten().collect()
}

struct Scene<'a> {
    course: &'a Course,
    slope: &'a Slope,
    vehicle: &'a Vehicle,
}

impl Scene<'_> {
    fn here(&self, example: Example, title: &str) -> Working {
        example.begun(title, self.course.units).slope(&self.slope.id).vehicle(&self.vehicle.id)
    }

    fn weighed(&self, example: Example, title: &str) -> Working {
        self.here(example, title)
            .given(&s::MASS, self.vehicle.mass.si())
            .given(&s::GRAVITY_ACCELERATION, GRAVITY)
            .step(&recovery::WEIGHT_OF_MASS)
    }

    fn lowering(&self) -> Option<Worked> {
        let surface = self.course.surface_of(self.slope);
        let angle = self.slope.steepest().gradient.si();
        if libm::tan(angle) <= surface.rolling.low {
            return None;
        }
        self.weighed(
            Example::RecoveryLowering,
            "Let down on the line, forces resolved: what holds it on the steepest stretch, and what parts are chosen for (the plan takes the highest of its ways, most often that without the ground)",
        )
        .given(&s::SLOPE_ANGLE, angle)
        .start(&s::LOWEST_ROLLING, surface.rolling.low, surface.estimated)
        .step(&taught::HOLDS_IT)
        .step(&taught::AT_ONCE)
        .finish()
    }

    /// With brakes on both axles, locked: all of them slide.
    fn brake(&self) -> Option<Worked> {
        let surface = self.course.surface_of(self.slope);
        let both = Wheels::locked(self.vehicle)?.whole(1.0, &Body::of(self.vehicle)) >= 1.0 - 1e-9;
        if !both {
            return None;
        }
        self.weighed(
            Example::RecoveryBrake,
            "Let down on the line: how much of it its own foot brake can take",
        )
        .given(&s::SLOPE_ANGLE, self.slope.steepest().gradient.si())
        .start(&s::FRICTION_SLIDING, surface.sliding.low, surface.estimated)
        .step(&taught::BRAKE_TAKES)
        .finish()
    }

    fn tow(&self) -> Option<Worked> {
        if libm::tan(self.slope.steepest().gradient.si()) > STEEPEST_TOW {
            return None;
        }
        self.weighed(
            Example::RecoveryTow,
            "Towed along the track: grass, gravel or sand 1/3, then set moving",
        )
        .start(&s::GROUND_FRACTION, TRADE_SOFT, true)
        .step(&recovery::GROUND_RESISTANCE)
        .given(&s::PULLS_AWAY, PULLS_AWAY)
        .step(&taught::SETS_IT_MOVING)
        .finish()
    }

    /// On its side it is pulled across its points.
    fn sideways(&self) -> Option<Worked> {
        let points = self.vehicle.recovery_points.iter().filter_map(|point| point.carries().ok());
        let limit = points.map(crate::quantity::Force::si).reduce(f64::max)?;
        self.here(Example::RecoverySideways, "On its side: what its strongest point may carry, pulled across")
            .given(&s::POINT_LIMIT, limit)
            .given(&s::SIDE_SHARE, side_share(90.0))
            .step(&taught::SIDEWAYS)
            .finish()
    }
}
