//! Figures earned on the day: from what was measured, narrower ranges for the next pack.
//!
//! **Method.** Every figure that a run depends on is a score: 0 is the likely value of its published or written range,
//! −2 and 2 are its ends, so that the range holds it in about 95 of 100 cases, and before any run the score is normal
//! with mean 0 and variance 1. What runs have in common (the gradient of their slope, the mass of their vehicle, the
//! ground on that day, the watch of that day) are scores too. The engine's own descent, linearised by differences, says
//! what each run ought to have given; the scores that fit best are those of weighted least squares with the prior as
//! readings (Bayes' rule for normal variables), found by Gauss and Newton's iteration. So repeated runs never shrink
//! what they share (JCGM 100:2008, 5.2). The range that comes out is the mean and two standard deviations to either side:
//! each end is a one-sided bound of 97.7 %.
//!
//! A run that the others do not let expect is not used, but shown ([`Standing`]). A run that was held at idle says
//! only that the engine takes no less than that: the governor adds what is missing. No unfavourable end of a range is
//! loosened by what could be a slip ([`Kept`](crate::course::Kept)): runs of one day, a run on the dangerous side that
//! nobody has explained, brakes that read cool.
//!
//! ```
//! use slopepack::course::{attach_runs, read_text};
//! use slopepack::earned::with_figures;
//! let mut course = read_text(include_str!("../courses/quarry-day.yaml")).expect("a course without mistakes");
//! let keyed = "date,vehicle,turns,rolled (m),with\n2026-05-04,wagon,5,12.12,tape\n";
//! attach_runs(&mut course, keyed.as_bytes()).expect("a table without mistakes");
//! let next = with_figures(&course);
//! assert!(next.earned.tyre_of("wagon").is_some_and(|from| from.runs == 1));
//! ```

mod doubt;
mod figures;
mod fit;
mod held;
mod key;
mod model;
mod next;
mod row;
mod said;
mod score;
mod why;

pub use doubt::{LIMIT, Standing};
pub use next::{Ask, Next, next};
pub use said::said;
pub use score::{ALIKE, SPREAD, SURE, THERE, at_score, score_of};
pub use why::Fits;

use crate::course::Course;
use fit::Fit;
use model::Prepared;

/// What the runs of a course came to.
#[derive(Clone, Debug)]
pub struct Account {
    /// The course with its figures narrowed.
    pub course: Course,
    /// What became of each run, in their order.
    pub standings: Vec<Standing>,
    /// For a run that is not used: what it would fit.
    pub fits: Vec<Vec<Fits>>,
    /// Whether a run that is not used tells of less hold than the others.
    pub dangerous: Vec<bool>,
}

/// The course with the figures that its runs have earned; without runs as it is.
pub fn with_figures(course: &Course) -> Course {
    if course.runs.list.is_empty() { course.clone() } else { account(course).course }
}

/// Works the runs of a course, whether its figures are narrowed already or not.
pub fn account(course: &Course) -> Account {
    let before = model::with_every_surface(course.before_runs());
    let runs: Vec<Prepared> =
        before.runs.list.iter().map(|run| Prepared::of(&before, run, crate::engine::Case::Likely)).collect();
    let fit = Fit::of(&runs);
    let bounds = held::bounds(&runs, &fit);
    let standings = held::standings(&runs, &fit, &bounds);
    let fits = why::fits(&before, &runs, &fit, &standings);
    let aside = runs.iter().zip(&standings);
    let dangerous =
        aside.map(|(run, standing)| !standing.counts() && figures::is_dangerous(run, &fit)).collect();
    Account {
        course: figures::narrowed(course.before_runs(), &runs, &fit, &bounds, &standings),
        standings,
        fits,
        dangerous,
    }
}
