//! Recovery examples: the pull two ways, tackle and block, drum layer, bridle, working load limit,
//! snatch, anchor, distance.

use crate::course::{Condition, Course, End, KitItem, KitKind, Slope, Vehicle};
use crate::engine::formulas::GRAVITY;
use crate::engine::formulas::recovery as r;
use crate::engine::symbols as s;
use crate::engine::taught::recovery as taught;
use crate::formula::{Worked, Working};
use crate::lesson::example::Example;
use crate::recovery::facts::STRAP_BAND;
use crate::recovery::gear::unfit_reason;
use crate::recovery::kinetic::SPEEDS;
use crate::recovery::{POINTS_APART, upper_arm};

/// The examples of one vehicle on one slope.
pub(super) fn examples(course: &Course, slope: &Slope, vehicle: &Vehicle) -> Vec<Worked> {
    let scene = Scene { course, slope, vehicle };
    [
        scene.depth_rule(),
        scene.fractions(),
        scene.locked(),
        scene.righting(),
        scene.double_line(),
        scene.bridle(),
        scene.anchor(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The examples of the kit, told once for the course.
pub(super) fn of_kit(course: &Course) -> Vec<Worked> {
    let kit = |kind| course.kit.iter().filter(move |item| item.kind == kind);
    let layer = kit(KitKind::Winch).find_map(|winch| layer(course, winch));
    let limit = kit(KitKind::Line).chain(kit(KitKind::KineticRope)).find_map(|item| limit(course, item));
    let snatch = taught_snatch(course).and_then(|(rope, tug)| snatch(course, rope, tug));
    let clear = kit(KitKind::Line).find_map(|line| clear(course, line));
    [layer, limit, snatch, clear].into_iter().flatten().collect()
}

struct Scene<'a> {
    course: &'a Course,
    slope: &'a Slope,
    vehicle: &'a Vehicle,
}

impl Scene<'_> {
    fn weighed(&self, example: Example, title: &str) -> Working {
        example
            .begun(title, self.course.units)
            .slope(&self.slope.id)
            .vehicle(&self.vehicle.id)
            .given(&s::MASS, self.vehicle.mass.si())
            .given(&s::GRAVITY_ACCELERATION, GRAVITY)
            .step(&taught::WEIGHT_OF_MASS)
    }

    fn angle(&self) -> f64 {
        self.slope.steepest().gradient.si()
    }

    /// Sunk to the hubs, up the steepest stretch, by the depth rule that takes the hubs once.
    fn depth_rule(&self) -> Option<Worked> {
        self.weighed(
            Example::RecoveryDepthRule,
            "Sunk to the hubs, pulled up the steepest stretch: depth rule, hubs once the weight, grade by the sine",
        )
        .start(&s::MIRE_MULTIPLE, 1.0, true)
        .step(&taught::MIRE_RESISTANCE)
        .given(&s::SLOPE_ANGLE, self.angle())
        .step(&taught::GRADE_RESISTANCE)
        .step(&taught::WHOLE_RESISTANCE)
        .finish()
    }

    /// The same by the older fractions, with their quarter.
    fn fractions(&self) -> Option<Worked> {
        self.weighed(
            Example::RecoveryFractions,
            "The same by the older four-wheel-drive fractions: bog 1/2, a quarter added",
        )
        .start(&s::GROUND_FRACTION, 0.5, true)
        .step(&taught::GROUND_RESISTANCE)
        .given(&s::SLOPE_DEGREES, self.angle().to_degrees())
        .step(&taught::GRADE_BY_RULE)
        .step(&taught::WHOLE_RESISTANCE)
        .step(&taught::PULL_TO_PLAN)
        .finish()
    }

    fn locked(&self) -> Option<Worked> {
        self.weighed(
            Example::RecoveryLocked,
            "Wheels that cannot turn, pulled up the steepest stretch: towing trade, grade by sixtieths",
        )
        .given(&s::LOCKED_WEIGHT, r::weight(self.vehicle.mass.si(), GRAVITY))
        .step(&taught::LOCKED_RESISTANCE)
        .given(&s::SLOPE_DEGREES, self.angle().to_degrees())
        .step(&taught::GRADE_BY_RULE)
        .step(&taught::WHOLE_RESISTANCE)
        .finish()
    }

    fn righting(&self) -> Option<Worked> {
        let vehicle = self.vehicle;
        self.weighed(Example::RecoveryRighting, "On its side: the pull that starts to right it")
            .start(&s::CENTRE_HEIGHT, vehicle.loaded_centre_height().si(), vehicle.centre_height.estimated)
            .start(&s::RIGHTING_ARM, upper_arm(vehicle.track.si()), true)
            .step(&taught::RIGHTING)
            .finish()
    }

    /// Sunk to the hubs, one block: the line, the block, and why the block decides.
    fn double_line(&self) -> Option<Worked> {
        // Begun with the very digits the depth rule ended with.
        let depth = self.depth_rule()?;
        let line = depth.answer();
        let pull = line.unit.to_si(line.shown.value);
        self.with_pull(
            Example::RecoveryDoubleLine,
            "That pull by the depth rule on a double line: the winch’s line and the block",
            pull,
        )
        .given(&s::SHEAVE_LOSS, r::SHEAVE_SHARE)
        .given(&s::SHEAVES, 1.0)
        .step(&taught::LOAD_WITH_LOSS)
        .given(&s::PARTS, 2.0)
        .step(&taught::LINE_PULL)
        .given(&s::HALF_ANGLE, 0.0)
        .step(&taught::LOAD_OF_BLOCK)
        .finish()
    }

    fn with_pull(&self, example: Example, title: &str, pull: f64) -> Working {
        example.begun(title, self.course.units).slope(&self.slope.id).vehicle(&self.vehicle.id).start(
            &s::WHOLE_PULL,
            pull,
            true,
        )
    }

    fn bridle(&self) -> Option<Worked> {
        let bridle =
            self.course.kit.iter().find(|item| item.rig.legs.is_some() && unfit_reason(item).is_none())?;
        let leg = bridle.length?.si();
        if leg <= POINTS_APART / 2.0 {
            return None;
        }
        let weight = r::weight(self.vehicle.mass.si(), GRAVITY);
        self.with_pull(Example::RecoveryBridle, "A pull as great as its weight on the two-leg bridle", weight)
            .given(&s::HALF_ANGLE, r::bridle_half_angle(POINTS_APART, leg))
            .step(&taught::INWARD_OF_BRIDLE)
            .step(&taught::LEG_OF_BRIDLE)
            .finish()
    }

    /// As an anchor on the steepest stretch, pulled down it.
    fn anchor(&self) -> Option<Worked> {
        let surface = self.course.surface_of(self.slope);
        let holds = r::braked_anchor(self.vehicle.mass.si(), GRAVITY, surface.sliding.low, self.angle());
        if holds <= 0.0 {
            return None;
        }
        Example::RecoveryAnchor
            .begun("As a braked anchor on the steepest stretch, pulled down it", self.course.units)
            .slope(&self.slope.id)
            .vehicle(&self.vehicle.id)
            .given(&s::MASS, self.vehicle.mass.si())
            .given(&s::GRAVITY_ACCELERATION, GRAVITY)
            .start(&s::FRICTION_SLIDING, surface.sliding.low, surface.estimated)
            .given(&s::SLOPE_ANGLE, self.angle())
            .step(&taught::BRAKED_ANCHOR)
            .finish()
    }
}

fn layer(course: &Course, winch: &KitItem) -> Option<Worked> {
    let drum = winch.rig.drum?;
    Example::RecoveryLayer
        .begun("What the winch still pulls on its third layer", course.units)
        .given(&s::FIRST_LAYER, winch.rating.limit()?)
        .given(&s::BARREL, drum.barrel.si())
        .given(&s::ROPE, drum.rope.si())
        .given(&s::LAYER, 3.0)
        .step(&taught::PULL_ON_LAYER)
        .finish()
}

fn limit(course: &Course, item: &KitItem) -> Option<Worked> {
    Example::RecoveryWorkingLoad
        .begun("From the breaking strength on a label to what the line may carry", course.units)
        .given(&s::BREAKING, item.rating.breaking?)
        .given(&s::DESIGN_FACTOR, item.rating.design_factor?.si())
        .step(&taught::LIMIT_FROM_STRENGTH)
        .finish()
}

/// Whether a vehicle can pull another along: by a rated point at its rear.
fn can_tug(vehicle: &Vehicle) -> bool {
    vehicle.recovery_points.iter().any(|point| point.end == End::Rear && point.carries().is_ok())
}

/// The rope and the tug a snatch is taught with: a rope whose strength suits the lighter of the tug and
/// some other vehicle.
pub fn taught_snatch(course: &Course) -> Option<(&KitItem, &Vehicle)> {
    let suits = |rope: &KitItem, tug: &Vehicle| {
        let others = course.vehicles.iter().filter(|other| other.id != tug.id);
        let lighter = |other: &Vehicle| r::weight(tug.mass.si().min(other.mass.si()), GRAVITY);
        let band = STRAP_BAND[0]..=STRAP_BAND[1];
        rope.rating.breaking.is_some_and(|strength| {
            others.into_iter().any(|other| band.contains(&(strength / lighter(other))))
        })
    };
    let ropes = course.kit.iter().filter(|item| item.kind == KitKind::KineticRope);
    ropes
        .filter(|rope| rope.rig.condition != Condition::Retired)
        .find_map(|rope| Some((rope, course.vehicles.iter().find(|tug| can_tug(tug) && suits(rope, tug))?)))
}

/// A snatch at the slowest speed of the recovery plan.
fn snatch(course: &Course, rope: &KitItem, tug: &Vehicle) -> Option<Worked> {
    // As the plan works it: on the first slope of the course, the drive held on at its highest grip.
    let grip = course.surface_of(course.slopes.first()?).peak.high;
    let stretch = rope.rig.stretch?;
    if stretch.at != crate::course::StretchAt::Breaking {
        return None;
    }
    Example::RecoverySnatch
        .begun("The peak of a snatch at the plan’s slowest speed, drive lifted and held on", course.units)
        .vehicle(&tug.id)
        .given(&s::BREAKING, rope.rating.breaking?)
        .given(&s::STRETCH_SHARE, stretch.share.si())
        .given(&s::STRAP_LENGTH, rope.length?.si())
        .step(&taught::STRAP_STIFFNESS)
        .given(&s::TUG_SPEED, SPEEDS[0])
        .given(&s::TUG_MASS, tug.mass.si())
        .step(&taught::PEAK_OF_SNATCH)
        .start(&s::TRACTION, grip * r::weight(tug.mass.si(), GRAVITY), true)
        .step(&taught::PEAK_WITH_DRIVE)
        .finish()
}

fn clear(course: &Course, line: &KitItem) -> Option<Worked> {
    Example::RecoveryClear
        .begun("How far everybody stands from the whole line rigged", course.units)
        .given(&s::RIGGED_LENGTH, line.length?.si())
        .step(&taught::CLEAR_OF_LINE)
        .finish()
}
