//! What is asked about slopes and their ground: grades, limits of grip, locked slides, roll.

use super::{Kind, Scene};
use crate::course::{Course, Slope, Surface, Theme, Topic};
use crate::engine::formulas::GRAVITY;
use crate::engine::formulas::slope::{locked_deceleration, stop_distance};
use crate::engine::symbols as s;
use crate::engine::taught::{grip, slope as taught, stability};
use crate::paper::making::measured::measured;
use crate::paper::making::recipe::{About, Recipe};

/// The kinds.
pub(crate) fn kinds(scene: &Scene) -> Vec<Kind> {
    let course = scene.course;
    let kind =
        |id, topic, ease, outcome, recipes| Kind { id, topic, recipes, about: About { ease, outcome } };
    vec![
        kind(
            "grade",
            Topic::SiteSafety,
            0.62,
            "Changes degrees into per cent.",
            angles(course).into_iter().map(|(name, angle)| grade(&name, angle)).collect(),
        ),
        kind(
            "angle",
            Topic::SiteSafety,
            0.62,
            "Changes per cent into degrees.",
            angles(course).into_iter().map(|(name, angle)| angle_of(&name, angle)).collect(),
        ),
        kind(
            "limit-turning",
            Topic::Grip,
            0.62,
            "Finds the steepest slope a piece of ground holds under turning wheels.",
            course.surfaces.iter().flat_map(limits_turning).collect(),
        ),
        kind(
            "limit-locked",
            Topic::Grip,
            0.62,
            "Finds the steepest slope a piece of ground holds under locked wheels.",
            course.surfaces.iter().flat_map(limits_locked).collect(),
        ),
        kind(
            "locked-stop",
            Topic::Grip,
            0.45,
            "Works out how far locked wheels slide before they stop.",
            course.slopes.iter().flat_map(|slope| stops(course, slope)).collect(),
        ),
        kind(
            "roll",
            Topic::Stability,
            0.50,
            "Finds the roll of a line that leaves the fall line.",
            course.slopes.iter().flat_map(rolls).collect(),
        ),
    ]
}

/// Every stretch with a name.
fn angles(course: &Course) -> Vec<(String, f64)> {
    course
        .slopes
        .iter()
        .flat_map(|slope| {
            let many = slope.stretches.len() > 1;
            (1..).zip(&slope.stretches).map(move |(no, stretch)| {
                let name = if many { format!("{}, stretch {no}", slope.name) } else { slope.name.short() };
                // The grade asked for is that of the angle which other questions print.
                (name, measured(&s::SLOPE_ANGLE, stretch.gradient.si(), course.units))
            })
        })
        .collect()
}

fn grade(name: &str, angle: f64) -> Recipe {
    Recipe::new(format!("{name}: what is the grade in per cent?"))
        .given(&s::SLOPE_ANGLE, angle)
        .step(&taught::GRADE_OF_ANGLE)
        .misread("double", "took 45° for 50 %", &s::SLOPE_ANGLE, libm::atan(0.5 * libm::tan(angle)))
        .misread(
            "share-of-ninety",
            "took the angle as a share of 90°",
            &s::SLOPE_ANGLE,
            libm::atan(angle / std::f64::consts::FRAC_PI_2),
        )
        .misread(
            "same-figure",
            "wrote the degrees as per cent",
            &s::SLOPE_ANGLE,
            libm::atan(angle.to_degrees() / 100.0),
        )
        .misread("doubled", "doubled the angle first", &s::SLOPE_ANGLE, 2.0 * angle)
}

fn angle_of(name: &str, angle: f64) -> Recipe {
    let grade = libm::tan(angle);
    Recipe::new(format!("{name}: the board shows the grade given. How many degrees is that?"))
        .given(&s::GRADE, grade)
        .step(&taught::ANGLE_OF_GRADE)
        .misread("halved", "halved the grade: 100 % is 45°, not 50°", &s::GRADE, grade / 2.0)
        .misread("doubled", "doubled the grade first", &s::GRADE, 2.0 * grade)
}

/// The friction of a turning and of a sliding wheel at the same end of what a ground gives, so that the two can be
/// compared. On loose ground a sliding wheel ploughs and may hold more.
fn ends_of_grip(surface: &Surface) -> impl Iterator<Item = (&'static str, f64, f64)> {
    let ends = ["the low end", "the middle", "the high end"];
    let pairs = surface.peak.values().into_iter().zip(surface.sliding.values());
    ends.into_iter().zip(pairs).map(|(end, (turning, sliding))| (end, turning, sliding))
}

fn limits_turning(surface: &Surface) -> Vec<Recipe> {
    // A limit to drive by is worked from the low end; the others stand on papers, to be told apart.
    ends_of_grip(surface)
        .zip([Some(Theme::GroundLimit), None, None])
        .map(|((end, turning, sliding), theme)| {
            let recipe = Recipe::new(format!(
                "{}, at {end} of the grip: what is the steepest slope on which turning wheels just hold?",
                surface.name
            ))
            .start(&s::FRICTION_PEAK, turning, surface.estimated)
            .step(&grip::LIMIT_TURNING)
            .theme(theme)
            .misread("halved", "halved the friction", &s::FRICTION_PEAK, turning / 2.0)
            .misread("doubled", "doubled the friction", &s::FRICTION_PEAK, 2.0 * turning);
            if sliding >= turning {
                return recipe;
            }
            recipe.misread("sliding", "took the friction of a sliding wheel", &s::FRICTION_PEAK, sliding)
        })
        .collect()
}

/// Only where a turning wheel holds more: what is said of the two slopes is shown by their own numbers then.
fn limits_locked(surface: &Surface) -> Vec<Recipe> {
    ends_of_grip(surface)
        .filter(|(_, turning, sliding)| turning > sliding)
        .map(|(end, turning, sliding)| {
            Recipe::new(format!(
                "{}, at {end} of the grip: what is the steepest slope on which locked wheels just hold?",
                surface.name
            ))
            .start(&s::FRICTION_SLIDING, sliding, surface.estimated)
            .step(&grip::LIMIT_LOCKED)
            .misread("turning", "took the friction of a turning wheel", &s::FRICTION_SLIDING, turning)
            .misread("halved", "halved the friction", &s::FRICTION_SLIDING, sliding / 2.0)
            .misread("doubled", "doubled the friction", &s::FRICTION_SLIDING, 2.0 * sliding)
        })
        .collect()
}

/// Shortest slide asked about, m.
const SHORTEST: f64 = 1.0;
/// Speeds asked about, in the unit of the pages.
const ENTRY: [f64; 6] = [4.0, 5.0, 6.0, 8.0, 10.0, 12.0];

fn stops(course: &Course, slope: &Slope) -> Vec<Recipe> {
    let surface = course.surface_of(slope);
    // The low end: a question whose slide ends within a stride would teach that locking stops a vehicle.
    let friction = surface.sliding.low;
    let unit = s::ENTRY_SPEED.unit(course.units);
    let stretch = slope.steepest();
    let angle = stretch.gradient.si();
    let slowing = locked_deceleration(GRAVITY, friction, angle);
    if slowing < 0.3 {
        return Vec::new();
    }
    // No faster than the course drives: above its limit a wheel that locks is an accident, not a sum.
    let fastest = 1.0001 * course.limits.descent_speed.si();
    ENTRY
        .iter()
        .filter(|shown| unit.to_si(**shown) <= fastest)
        .filter(|shown| stop_distance(unit.to_si(**shown), slowing) >= SHORTEST)
        .map(|shown| {
            let speed = unit.to_si(*shown);
            let recipe = Recipe::new(format!(
                "{}, on {}: all wheels lock at the speed given, at the low end of the grip. How far along the slope does the vehicle slide?",
                slope.name, surface.name
            ))
            .given(&s::GRAVITY_ACCELERATION, GRAVITY)
            .start(&s::FRICTION_SLIDING, friction, surface.estimated)
            .given(&s::SLOPE_ANGLE, angle)
            .given(&s::ENTRY_SPEED, speed)
            .step(&taught::LOCKED_DECELERATION)
            .step(&taught::LOCKED_DISTANCE)
            .misread("half-speed", "halved the speed: half the speed is a quarter of the distance", &s::ENTRY_SPEED, speed / 2.0);
            let turning = surface.peak.low;
            if friction >= turning {
                return recipe;
            }
            recipe.misread("turning", "took the friction of a turning wheel", &s::FRICTION_SLIDING, turning)
        })
        .collect()
}

fn rolls(slope: &Slope) -> Vec<Recipe> {
    [10.0_f64, 15.0, 20.0, 30.0, 45.0]
        .into_iter()
        .map(|heading| {
            let (angle, heading) = (slope.steepest().gradient.si(), heading.to_radians());
            Recipe::new(format!(
                "{}: a vehicle turns off the fall line by the angle given. What roll does a pendulum gauge show?",
                slope.name
            ))
            .given(&s::SLOPE_ANGLE, angle)
            .given(&s::HEADING, heading)
            .step(&stability::ROLL_OFF_LINE)
            .misread("half-heading", "halved the heading", &s::HEADING, heading / 2.0)
            .misread("double-heading", "doubled the heading", &s::HEADING, 2.0 * heading)
        })
        .collect()
}
