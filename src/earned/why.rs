//! What a run that does not fit would fit: asked of the engine, one supposition after the other.

use super::doubt::Standing;
use super::fit::Fit;
use super::model::Prepared;
use crate::course::{Course, Gear, MeasuredRun, RunGround, Seen};
use crate::engine::Case;
use crate::quantity::{Force, Length, Speed, SpinRate, Time};

/// A supposition under which a run lies no further than this from what is expected, in standard deviations, fits.
const FITS: f64 = 2.0;
/// Factors between units of what was read that are mistaken for one another.
const fn factors(seen: &Seen) -> &'static [f64] {
    match seen {
        // Pegs in feet, a speed in place of a time, minutes.
        Seen::Timed { .. } => &[3.280_84, 3.6, 60.0],
        Seen::Spun { .. } => &[60.0],
        // km/h and m/s, miles and kilometres.
        Seen::Slid { .. } | Seen::Coasted { .. } => &[3.6, 1.609_344],
        // Pounds and kilograms, kilograms and newtons.
        Seen::Pulled { .. } => &[2.204_62, 9.806_65],
        Seen::Rolled { .. } => &[3.280_84],
        // Degrees of two scales differ by more than a factor.
        Seen::Heated { .. } => &[],
    }
}

/// What a run would fit.
#[derive(Clone, Debug, PartialEq)]
pub enum Fits {
    /// This gear.
    Gear(Gear),
    /// The slope of this identifier.
    Slope(String),
    /// What was read, or its speed, times this.
    Factor(f64),
}

/// For each run that does not count, what it would fit.
pub(super) fn fits(course: &Course, runs: &[Prepared], fit: &Fit, standings: &[Standing]) -> Vec<Vec<Fits>> {
    let of = |(run, standing): (&Prepared, &Standing)| {
        if standing.counts() { Vec::new() } else { tried(course, run, fit) }
    };
    runs.iter().zip(standings).map(of).collect()
}

fn tried(course: &Course, run: &Prepared, fit: &Fit) -> Vec<Fits> {
    let fitting =
        |supposed: &MeasuredRun| fit.surprise(&Prepared::of(course, supposed, Case::Likely)).abs() <= FITS;
    let mut all = Vec::new();
    if let Some(own) = run.run.seen.gear() {
        let others = run.vehicle.gears().into_iter().filter(|gear| *gear != own);
        all.extend(others.filter(|gear| fitting(&in_gear(run.run, *gear))).map(Fits::Gear));
    }
    let slopes = course.slopes.iter().filter(|slope| slope.survey.is_some());
    let other =
        |slope: &&crate::course::Slope| on_slope(run.run, slope).is_some_and(|supposed| fitting(&supposed));
    all.extend(slopes.filter(other).map(|slope| Fits::Slope(slope.id.clone())));
    let factors = factors(&run.run.seen).iter().flat_map(|factor| [*factor, 1.0 / factor]);
    all.extend(factors.filter(|factor| fitting(&times(run.run, *factor))).map(Fits::Factor));
    all
}

fn in_gear(run: &MeasuredRun, other: Gear) -> MeasuredRun {
    let mut run = run.clone();
    if let Seen::Timed { gear, .. } | Seen::Spun { gear, .. } = &mut run.seen {
        *gear = other;
    }
    run
}

/// The same run on another slope, where its pegs can stand there.
fn on_slope(run: &MeasuredRun, slope: &crate::course::Slope) -> Option<MeasuredRun> {
    let mut run = run.clone();
    if let Seen::Timed { from, between, .. } = &mut run.seen
        && from.si() + between.si() > slope.length().si()
    {
        let left = slope.length().si() - between.si();
        *from = Length::new((left >= 0.0).then_some(left)?);
    }
    let (Seen::Timed { ground, .. } | Seen::Spun { ground, .. } | Seen::Slid { ground, .. }) = &mut run.seen
    else {
        return None;
    };
    if ground.slope.is_none() || ground.slope.as_ref() == Some(&slope.id) {
        return None;
    }
    *ground = RunGround { slope: Some(slope.id.clone()), surface: slope.surface.clone() };
    Some(run)
}

fn times(run: &MeasuredRun, factor: f64) -> MeasuredRun {
    let mut run = run.clone();
    match &mut run.seen {
        Seen::Timed { time, .. } => *time = Time::new(time.si() * factor),
        Seen::Spun { spin, .. } => *spin = SpinRate::new(spin.si() * factor),
        Seen::Slid { speed, .. } | Seen::Coasted { speed, .. } => *speed = Speed::new(speed.si() * factor),
        Seen::Pulled { force, .. } => *force = Force::new(force.si() * factor),
        Seen::Rolled { length, .. } => *length = Length::new(length.si() * factor),
        Seen::Heated { .. } => {}
    }
    run
}
