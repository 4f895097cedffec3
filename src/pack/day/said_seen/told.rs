//! Figures of runs, and of what they have earned, as they stand on the page.

use super::Figure;
use crate::course::{Band, Course, MeasuredRun, Seen, Surface, Vehicle};
use crate::earned::Account;
use crate::engine::{EngineDrag, circumference_of, overall_ratio_of};
use crate::pack::book::Book;
use crate::page::figure::Fig;

/// A range of what was read, or one reading, with its unit.
pub(super) fn shown(book: &Book, run: &MeasuredRun, low: f64, high: f64) -> String {
    let show = book.show;
    let figure = match run.seen {
        Seen::Timed { .. } => seconds(low, high),
        Seen::Spun { .. } => show.spins(low, high, false),
        Seen::Slid { .. } | Seen::Coasted { .. } => show.lengths(low, high, false),
        Seen::Pulled { .. } => show.fine_forces(low, high, false),
        Seen::Rolled { .. } => return metres(low, high, book),
        Seen::Heated { .. } => show.temperatures(low, high, false),
    };
    figure.text()
}

/// To a tenth, as watches read.
fn seconds(low: f64, high: f64) -> Fig {
    let (low, high) = (format!("{low:.1}"), format!("{high:.1}"));
    Fig::new(if low == high { low } else { format!("{low}–{high}") }, "s", false)
}

/// To a centimetre, as a tape reads.
fn metres(low: f64, high: f64, book: &Book) -> String {
    let (factor, unit) = if book.show.length_unit() == "ft" { (1.0 / 0.3048, "ft") } else { (1.0, "m") };
    let (low, high) = (format!("{:.2}", low * factor), format!("{:.2}", high * factor));
    if low == high { format!("{low} {unit}") } else { format!("{low}–{high} {unit}") }
}

/// What was earned: of each figure what it was, and is.
pub(super) fn figures(book: &Book, before: &Course, told: &Account) -> Vec<Figure> {
    let earned = &book.course.earned;
    let mut all = Vec::new();
    for (vehicle, was) in book.course.vehicles.iter().zip(&before.vehicles) {
        let mark = book.vehicle_mark(&vehicle.id);
        if let Some(from) = earned.drag_of(&vehicle.id) {
            let spin = spin_of(vehicle, told);
            all.push(Figure {
                what: format!("{mark}: engine drag at {}", book.show.spins(spin, spin, false).text()),
                was: drag(was, spin),
                now: drag(vehicle, spin),
                from: from.to_string(),
            });
        }
        if let Some(from) = earned.tyre_of(&vehicle.id) {
            let around = |one: &Vehicle| metres(circumference_of(one), circumference_of(one), book);
            all.push(Figure {
                what: format!("{mark}: rolling circumference"),
                was: around(was),
                now: around(vehicle),
                from: from.to_string(),
            });
        }
    }
    for (id, was, from) in &earned.brakes {
        let Some(vehicle) = book.course.vehicles.iter().find(|one| one.id == *id) else { continue };
        let takes = |value: f64| format!("{value:.0} J/(kg·K)");
        all.push(Figure {
            what: format!("{}: heat that its brakes take", book.vehicle_mark(id)),
            was: takes(was.si()),
            now: takes(vehicle.brakes.heat_capacity.si()),
            from: from.to_string(),
        });
    }
    for (was, from) in &earned.surfaces {
        let Some(surface) = book.course.surface(&was.id) else { continue };
        let mut of = |what: &str, band: fn(&Surface) -> Band, from: Option<crate::course::EarnedFrom>| {
            if let Some(from) = from {
                all.push(Figure {
                    what: format!("{}: {what}", surface.name.short()),
                    was: range(band(was)),
                    now: range(band(surface)),
                    from: from.to_string(),
                });
            }
        };
        of("sliding friction", |surface| surface.sliding, from.grip);
        of("friction at its peak", |surface| surface.peak, from.grip);
        of("rolling resistance", |surface| surface.rolling, from.rolling);
    }
    for figure in &mut all {
        if figure.was == figure.now {
            figure.now.push_str(", no better yet");
        }
    }
    all
}

/// Engine speed, turns/s, that the runs that count had on average; idle where none tells.
fn spin_of(vehicle: &Vehicle, told: &Account) -> f64 {
    let runs = told.course.runs.list.iter().zip(&told.standings);
    let used = runs.filter(|(run, standing)| run.vehicle == vehicle.id && standing.counts());
    let spins: Vec<f64> = used
        .filter_map(|(run, _)| match &run.seen {
            Seen::Timed { gear, between, time, .. } => {
                let ratio = overall_ratio_of(vehicle, *gear);
                Some(between.si() / time.si() / circumference_of(vehicle) * ratio)
            }
            Seen::Spun { spin, .. } => Some(spin.si()),
            _ => None,
        })
        .collect();
    let count = f64::from(u32::try_from(spins.len()).unwrap_or(1).max(1));
    let idle = vehicle.engine.idle.si();
    // To a hundred turns a minute, as a rev counter reads.
    let step = 100.0 / 60.0;
    let mean = (spins.iter().sum::<f64>() / count / step).round() * step;
    mean.max(idle)
}

fn drag(vehicle: &Vehicle, spin: f64) -> String {
    let spread = EngineDrag::of(&vehicle.engine).spread(spin);
    format!("{:.0}–{:.0} N·m", spread.low, spread.high)
}

fn range(band: Band) -> String {
    format!("{:.2}–{:.2}", band.low, band.high)
}
