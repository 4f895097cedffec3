//! From scores to the figures of a course: ranges, each with what it was earned from.

use super::doubt::Standing;
use super::fit::{Fit, Told};
use super::key::Key;
use super::model::{Prepared, iron_part, tyre_part};
use super::score::{ALIKE, SPREAD, SURE, THERE, at_score};
use crate::course::{
    Band, Course, DragEarned, EarnedFrom, Ground, Kept, Known, Seen, Surface, SurfaceEarned, Vehicle,
};
use crate::engine::circumference_of;
use crate::quantity::{HeatCapacity, Length};

/// How alike grip at its peak and sliding friction lie in their ranges (correlation): judgement.
const PEAK_ALIKE: f64 = 0.5;
/// By so much what is straightened is taken to be less sure than it says, never less than before: what is stated held
/// in 94 of 100 trials on curved engines, and not in 95.
const CURVED: f64 = 1.12;
/// Least friction and rolling resistance: bounds of the course's reader.
const LEAST_FRICTION: f64 = 0.02;
const LEAST_ROLLING: f64 = 0.003;

/// The score of a vehicle's drag at idle.
pub(super) fn drag_at_idle(fit: &Fit, vehicle: &str) -> Told {
    fit.sum(&at_idle(vehicle))
}

/// The score at idle as a sum of keys.
pub(super) fn at_idle(vehicle: &str) -> Vec<(Key, f64)> {
    vec![(Key::DragAtIdle(vehicle.to_owned()), 1.0)]
}

/// The score at the highest speed as a sum of keys.
pub(super) fn at_highest(vehicle: &str) -> Vec<(Key, f64)> {
    let beyond = libm::sqrt(1.0 - ALIKE * ALIKE);
    vec![(Key::DragAtIdle(vehicle.to_owned()), ALIKE), (Key::DragBeyond(vehicle.to_owned()), beyond)]
}

/// Low, likely and high score.
pub(super) fn scores(Told { mean, sides, .. }: Told) -> [f64; 3] {
    let [down, up] = sides.map(|side| (CURVED * side).min(1.0).max(side));
    [mean - SURE * down, mean, mean + SURE * up]
}

/// A surface's score on a day to come.
fn another_day(key: Key, fit: &Fit) -> Told {
    let told = fit.sum(&[(key, SPREAD)]);
    Told { sides: told.sides.map(|side| libm::hypot(side, THERE)), ..told }
}

/// The course with what its runs have earned.
pub(super) fn narrowed(
    mut course: Course,
    runs: &[Prepared],
    fit: &Fit,
    bounds: &[Option<f64>],
    standings: &[Standing],
) -> Course {
    let told = Stood { runs, standings, fit };
    let mut earned = crate::course::Earned::default();
    for vehicle in &mut course.vehicles {
        let id = vehicle.id.clone();
        let in_gear = |run: &Prepared| run.run.vehicle == id && run.drive.is_some();
        let bounds = runs.iter().zip(standings).zip(bounds);
        let own = bounds.filter(|((run, standing), _)| in_gear(run) && standing.counts());
        let least = own.filter_map(|(_, bound)| *bound).fold(f64::NEG_INFINITY, f64::max);
        let timed = told.by(|run| in_gear(run), |standing| *standing == Standing::Used);
        let moves = scores(drag_at_idle(fit, &id))[0] < least;
        if let Some(from) = told.by(in_gear, Standing::counts).filter(|_| timed.is_some() || moves) {
            let kept = told.dangerous(in_gear).or_else(|| told.of_one_day(in_gear).then_some(Kept::OneDay));
            let from = EarnedFrom {
                kept: kept.filter(|kept| drag(fit, &id, least, None) != drag(fit, &id, least, Some(*kept))),
                ..from
            };
            vehicle.engine.earned = Some(drag(fit, &id, least, from.kept));
            earned.drags.push((id.clone(), from));
        }
        let rolled = |run: &Prepared| run.run.vehicle == id && matches!(run.run.seen, Seen::Rolled { .. });
        if let Some(from) = told.by(rolled, Standing::counts) {
            let was = vehicle.tyre.measured_circumference;
            vehicle.tyre.measured_circumference = Some(circumference(vehicle, fit));
            earned.tyres.push((id.clone(), was, from));
        }
        let heated = |run: &Prepared| run.run.vehicle == id && matches!(run.run.seen, Seen::Heated { .. });
        if let Some(from) = told.by(heated, Standing::counts) {
            let was = vehicle.brakes.heat_capacity;
            let (takes, kept) = iron(vehicle, fit);
            vehicle.brakes.heat_capacity = takes;
            earned.brakes.push((id.clone(), was, EarnedFrom { kept, ..from }));
        }
    }
    for surface in &mut course.surfaces {
        let on = |run: &Prepared| run.run.seen.ground().is_some_and(|ground| ground.surface == surface.id);
        let slid = |run: &Prepared| on(run) && matches!(run.run.seen, Seen::Slid { .. });
        let pulled =
            |run: &Prepared| on(run) && matches!(run.run.seen, Seen::Pulled { .. } | Seen::Coasted { .. });
        let from = SurfaceEarned {
            grip: told
                .by(slid, Standing::counts)
                .map(|from| EarnedFrom { kept: told.dangerous(slid), ..from }),
            rolling: told
                .by(pulled, Standing::counts)
                .map(|from| EarnedFrom { kept: told.dangerous(pulled), ..from }),
        };
        if from != SurfaceEarned::default() {
            earned.surfaces.push((surface.clone(), from));
            of_surface(surface, from, fit);
        }
    }
    course.earned = earned;
    course
}

/// The runs with what became of each.
struct Stood<'a> {
    runs: &'a [Prepared<'a>],
    standings: &'a [Standing],
    fit: &'a Fit,
}

impl Stood<'_> {
    /// How many runs of a kind stand like this, and the day of the latest.
    fn by(&self, kind: impl Fn(&Prepared) -> bool, stands: impl Fn(&Standing) -> bool) -> Option<EarnedFrom> {
        let all = self.runs.iter().zip(self.standings);
        let dates: Vec<_> = all
            .filter(|(run, standing)| kind(run) && stands(standing))
            .map(|(run, _)| run.run.date)
            .collect();
        let latest = dates.iter().max().copied()?;
        Some(EarnedFrom { runs: dates.len(), latest, kept: None })
    }

    /// Whether all runs of a kind that count are of one day.
    fn of_one_day(&self, kind: impl Fn(&Prepared) -> bool) -> bool {
        let all = self.runs.iter().zip(self.standings);
        let mut dates =
            all.filter(|(run, standing)| kind(run) && standing.counts()).map(|(run, _)| run.run.date);
        let first = dates.next();
        dates.all(|date| Some(date) == first)
    }

    /// The latest run of a kind that does not count and is dangerous if it is right after all.
    fn dangerous(&self, kind: impl Fn(&Prepared) -> bool) -> Option<Kept> {
        let all = self.runs.iter().zip(self.standings);
        let aside = all.filter(|(run, standing)| kind(run) && !standing.counts()).map(|(run, _)| run);
        aside.filter(|run| is_dangerous(run, self.fit)).map(|run| Kept::Dangerous(run.run.number)).last()
    }
}

/// Whether a run that does not fit tells of less hold than the others: faster, farther, or rolling more freely.
pub(super) fn is_dangerous(run: &Prepared, fit: &Fit) -> bool {
    let by = fit.surprise(run);
    match run.run.seen {
        Seen::Timed { .. } | Seen::Pulled { .. } => by < 0.0,
        Seen::Spun { .. } | Seen::Slid { .. } | Seen::Coasted { .. } | Seen::Heated { .. } => by > 0.0,
        Seen::Rolled { .. } => false,
    }
}

/// The highest score of an unfavourable end that is kept for this reason.
fn most(kept: Option<Kept>) -> f64 {
    match kept {
        Some(Kept::OneDay) => 0.0,
        Some(Kept::Dangerous(_)) => -SURE,
        // Brakes have an end of their own.
        Some(Kept::Cooler) | None => f64::INFINITY,
    }
}

fn drag(fit: &Fit, vehicle: &str, least: f64, kept: Option<Kept>) -> DragEarned {
    let keep = |[low, likely, high]: [f64; 3]| [low.min(most(kept)), likely, high];
    DragEarned {
        at_idle: keep(scores(drag_at_idle(fit, vehicle)).map(|score| score.max(least))),
        at_highest: keep(scores(fit.sum(&at_highest(vehicle)))),
    }
}

fn circumference(vehicle: &Vehicle, fit: &Fit) -> Length {
    let score = fit.sum(&[(Key::Tyre(vehicle.id.clone()), 1.0)]).mean;
    Length::new(circumference_of(vehicle) * (1.0 + tyre_part(vehicle) * score))
}

/// The heat that a vehicle's brakes take for each kelvin and kilogram. Never more than before: a reading that is too low is
/// what bright iron gives.
fn iron(vehicle: &Vehicle, fit: &Fit) -> (Known<HeatCapacity>, Option<Kept>) {
    let was = vehicle.brakes.heat_capacity;
    let score = fit.sum(&[(Key::Iron(vehicle.id.clone()), 1.0)]).mean;
    let takes = was.si() * (1.0 + iron_part(vehicle) * score.min(0.0));
    let kept = (score > 0.0).then_some(Kept::Cooler);
    (Known { value: HeatCapacity::new(takes), estimated: was.estimated && kept.is_some() }, kept)
}

fn of_surface(surface: &mut Surface, from: SurfaceEarned, fit: &Fit) {
    if from.grip.is_some() {
        let told = another_day(Key::Sliding(surface.id.clone()), fit);
        let kept = from.grip.and_then(|from| from.kept);
        surface.sliding = band(surface.sliding, told, LEAST_FRICTION, kept);
        let apart = libm::sqrt(1.0 - PEAK_ALIKE * PEAK_ALIKE);
        let sides = told.sides.map(|side| libm::hypot(PEAK_ALIKE * side, apart));
        let peak = Told { mean: PEAK_ALIKE * told.mean, sides, ..told };
        surface.peak = band(surface.peak, peak, LEAST_FRICTION, kept);
        if surface.ground == Ground::Firm {
            // There a wheel that turns never holds worse than one that slides.
            let [low, likely, high] =
                [0, 1, 2].map(|at| surface.peak.values()[at].max(surface.sliding.values()[at]));
            surface.peak = Band::new(low, likely, high);
        }
    }
    if from.rolling.is_some() {
        let told = another_day(Key::Rolling(surface.id.clone()), fit);
        let kept = from.rolling.and_then(|from| from.kept);
        surface.rolling = band(surface.rolling, told, LEAST_ROLLING, kept);
    }
    surface.source = format!("{}; range before: {}", from.words(), surface.source.full()).as_str().into();
    surface.estimated &= from.grip.is_none();
}

/// A range narrowed to these scores, within what is possible.
fn band(range: Band, told: Told, least: f64, kept: Option<Kept>) -> Band {
    let [low, likely, high] = scores(told);
    let [low, likely, high] =
        [low.min(most(kept)), likely, high].map(|score| at_score(range, score).max(least));
    Band::new(low, likely.max(low), high.max(likely))
}
