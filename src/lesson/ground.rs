//! What each slope is worked out on its own: grade, height, what its surface can hold.

use crate::course::{Course, Slope};
use crate::engine::symbols as s;
use crate::engine::taught::{grip, slope as taught, stability};
use crate::formula::{Worked, Working};
use crate::lesson::example::Example;

/// The worked examples of one slope.
pub(super) fn examples(course: &Course, slope: &Slope) -> Vec<Worked> {
    [
        grade(course, slope),
        height(course, slope),
        limit_turning(course, slope),
        limit_locked(course, slope),
        roll(course, slope),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn new(course: &Course, slope: &Slope, example: Example, title: &str) -> Working {
    example.begun(title, course.units).slope(&slope.id)
}

fn grade(course: &Course, slope: &Slope) -> Option<Worked> {
    new(course, slope, Example::Grade, "The steepest stretch in per cent")
        .given(&s::SLOPE_ANGLE, slope.steepest().gradient.si())
        .step(&taught::GRADE_OF_ANGLE)
        .finish()
}

fn height(course: &Course, slope: &Slope) -> Option<Worked> {
    let [stretch] = slope.stretches.as_slice() else { return None };
    new(course, slope, Example::Height, "How high the slope is")
        .given(&s::SLOPE_LENGTH, stretch.length.si())
        .given(&s::SLOPE_ANGLE, stretch.gradient.si())
        .step(&taught::SLOPE_HEIGHT)
        .finish()
}

fn limit_turning(course: &Course, slope: &Slope) -> Option<Worked> {
    let surface = course.surface_of(slope);
    new(course, slope, Example::LimitSlopeTurning, "Steepest slope this ground holds under turning wheels")
        .start(&s::FRICTION_PEAK, surface.peak.likely, surface.estimated)
        .step(&grip::LIMIT_TURNING)
        .finish()
}

fn limit_locked(course: &Course, slope: &Slope) -> Option<Worked> {
    let surface = course.surface_of(slope);
    new(course, slope, Example::LimitSlopeLocked, "Steepest slope this ground holds under locked wheels")
        .start(&s::FRICTION_SLIDING, surface.sliding.likely, surface.estimated)
        .step(&grip::LIMIT_LOCKED)
        .finish()
}

fn roll(course: &Course, slope: &Slope) -> Option<Worked> {
    // Ground that tilts across the line as well adds to it, and is measured, not worked.
    if slope.heading.si() == 0.0 || slope.cross_slope.si() != 0.0 {
        return None;
    }
    new(course, slope, Example::Roll, "Roll when the line leaves the fall line")
        .given(&s::SLOPE_ANGLE, slope.steepest().gradient.si())
        .given(&s::HEADING, slope.heading.si())
        .step(&stability::ROLL_OFF_LINE)
        .finish()
}
