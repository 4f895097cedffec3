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

use std::convert::Infallible;

use crate::course::{Course, Slope, Vehicle};
use crate::engine::Reckoning;
use crate::formula::Worked;
pub use example::Example;
pub use fleet::lowest_gear;
pub use show::MODEL_SCALE;

/// Every worked example of a course: vehicles first, then slopes, then each vehicle on each slope.
pub fn worked_examples(course: &Course, reckoning: &Reckoning) -> Vec<Worked> {
    let mut all = Vec::new();
    let Ok(()) = each_worked_example(course, reckoning, |worked| {
        all.push(worked);
        Ok::<_, Infallible>(())
    });
    all
}

/// The same one after the other, in the same order, until one is not taken; no more than a few of a large course are held
/// at once.
pub fn each_worked_example<E>(
    course: &Course,
    reckoning: &Reckoning,
    mut take: impl FnMut(Worked) -> Result<(), E>,
) -> Result<(), E> {
    let pieces = pieces(course);
    let worked = |pieces| side_by_side(pieces, |piece| piece.worked(course, reckoning));
    pieces.chunks(AT_ONCE).flat_map(worked).flatten().try_for_each(&mut take)
}

/// Pieces that are worked before their examples are handed on.
const AT_ONCE: usize = 64;

/// What examples are worked of together.
#[derive(Clone, Copy)]
enum Piece<'a> {
    Vehicle(&'a Vehicle),
    Slope(&'a Slope),
    /// A vehicle coming down a slope.
    Down(&'a Slope, &'a Vehicle),
    /// Getting it back from there.
    Back(&'a Slope, &'a Vehicle),
    /// The kit, the day, and what compares.
    Whole,
}

fn pieces(course: &Course) -> Vec<Piece<'_>> {
    let pairs = || course.slopes.iter().flat_map(|slope| course.vehicles.iter().map(move |car| (slope, car)));
    let mut all: Vec<Piece> = course.vehicles.iter().map(Piece::Vehicle).collect();
    all.extend(course.slopes.iter().map(Piece::Slope));
    all.extend(pairs().map(|(slope, vehicle)| Piece::Down(slope, vehicle)));
    all.extend(pairs().map(|(slope, vehicle)| Piece::Back(slope, vehicle)));
    all.push(Piece::Whole);
    all
}

/// What becomes of each piece, in their order; the processor's cores take turns.
fn side_by_side(pieces: &[Piece], work: impl Fn(Piece) -> Vec<Worked> + Sync) -> Vec<Vec<Worked>> {
    let workers = std::thread::available_parallelism().map_or(1, usize::from).min(pieces.len());
    let turn = |first: usize| pieces.iter().skip(first).step_by(workers).map(|piece| work(*piece)).collect();
    let turn = &turn;
    let turns: Vec<Vec<Vec<Worked>>> = std::thread::scope(|scope| {
        let turns: Vec<_> = (0..workers).map(|first| scope.spawn(move || turn(first))).collect();
        let ended = turns.into_iter().map(std::thread::ScopedJoinHandle::join);
        ended.map(|turn| turn.unwrap_or_else(|fault| std::panic::resume_unwind(fault))).collect()
    });
    let mut turns: Vec<_> = turns.into_iter().map(Vec::into_iter).collect();
    (0..pieces.len()).filter_map(|at| turns[at % workers].next()).collect()
}

impl Piece<'_> {
    fn worked(self, course: &Course, reckoning: &Reckoning) -> Vec<Worked> {
        let mut all = Vec::new();
        match self {
            Self::Vehicle(vehicle) => {
                all.extend(fleet::examples(course, vehicle));
                all.extend(show::of_vehicle(course, vehicle));
            }
            Self::Slope(slope) => all.extend(ground::examples(course, slope)),
            Self::Down(slope, vehicle) => {
                all.extend(descent::examples(course, reckoning, slope, vehicle));
                all.extend(slide::examples(course, slope, vehicle));
                all.extend(choice::examples(course, reckoning, slope, vehicle));
            }
            Self::Back(slope, vehicle) => {
                all.extend(recovery::examples(course, slope, vehicle));
                all.extend(lowering::examples(course, slope, vehicle));
            }
            Self::Whole => {
                all.extend(recovery::of_kit(course));
                all.extend(show::of_course(course));
                all.extend(choice::pegs(course));
                all.extend(choice::compared(course, reckoning));
                all.extend(day::sums(course, reckoning));
            }
        }
        all
    }
}
