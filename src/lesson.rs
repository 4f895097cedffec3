//! Worked examples for this very fleet and ground.
//!
//! Each figure a page explains is worked here from the same formulas the engine ran, with the
//! numbers of the course put in.
//!
//! ```
//! use slopepack::course::read_text;
//! use slopepack::lesson::lowest_gear;
//! let course = read_text(include_str!("../courses/quarry-day.yaml")).expect("a course without mistakes");
//! assert_eq!(lowest_gear(&course.vehicles[0]).to_string(), "L1");
//! ```

mod choice;
mod day;
mod descent;
mod example;
mod fleet;
mod ground;
mod lowering;
mod recovery;
mod show;
mod slide;

pub use recovery::taught_snatch;

use crate::course::Course;
use crate::engine::Reckoning;
use crate::formula::Worked;
pub use example::Example;
pub use fleet::lowest_gear;
pub use show::MODEL_SCALE;

/// Every worked example of a course: vehicles first, then slopes, then each vehicle on each slope. Descents, half of them,
/// are worked beside the others.
pub fn worked_examples(course: &Course, reckoning: &Reckoning) -> Vec<Worked> {
    std::thread::scope(|scope| {
        let descents = scope.spawn(|| of_descents(course, reckoning));
        let mut all = of_parts(course);
        let after = after_descents(course, reckoning);
        all.extend(descents.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault)));
        all.extend(after);
        all
    })
}

/// Each vehicle by itself, then each slope.
fn of_parts(course: &Course) -> Vec<Worked> {
    let mut all = Vec::new();
    for vehicle in &course.vehicles {
        all.extend(fleet::examples(course, vehicle));
        all.extend(show::of_vehicle(course, vehicle));
    }
    for slope in &course.slopes {
        all.extend(ground::examples(course, slope));
    }
    all
}

/// Each vehicle coming down each slope.
fn of_descents(course: &Course, reckoning: &Reckoning) -> Vec<Worked> {
    let mut all = Vec::new();
    for slope in &course.slopes {
        for vehicle in &course.vehicles {
            all.extend(descent::examples(course, reckoning, slope, vehicle));
            all.extend(slide::examples(course, slope, vehicle));
            all.extend(choice::examples(course, reckoning, slope, vehicle));
        }
    }
    all
}

/// Getting each vehicle back, the kit, and what compares.
fn after_descents(course: &Course, reckoning: &Reckoning) -> Vec<Worked> {
    let mut all = Vec::new();
    for slope in &course.slopes {
        for vehicle in &course.vehicles {
            all.extend(recovery::examples(course, slope, vehicle));
            all.extend(lowering::examples(course, slope, vehicle));
        }
    }
    all.extend(recovery::of_kit(course));
    all.extend(show::of_course(course));
    all.extend(choice::pegs(course));
    all.extend(choice::compared(course, reckoning));
    all.extend(day::sums(course, reckoning));
    all
}
