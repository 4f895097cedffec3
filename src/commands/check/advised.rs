//! `check --advise`: what to measure or find out first, most useful first.

use crate::course::{Course, LOW_UNTOLD, Vehicle};
use crate::engine::{Mark, Measure, Reckoning};

/// Something to find out: of what, and how many verdicts wait for it.
struct Wanted {
    what: String,
    of: String,
    verdicts: usize,
}

/// What was estimated in place of a vehicle's own figures, in one line.
pub(super) fn estimated(course: &Course) -> Option<String> {
    let guessed = course.vehicles.iter().filter(|vehicle| !vehicle.guessed.is_empty()).count();
    (guessed > 0).then(|| {
        let of = course.vehicles.len();
        format!("{guessed} of {of} vehicles are partly estimated from their class: `check --advise` says what to measure first")
    })
}

/// The list for a terminal: how many verdicts are not within the limits, and what would make them surer.
pub(super) fn advise(course: &Course, reckoning: &Reckoning) -> String {
    let open = reckoning.pairs.iter().filter(|pair| pair.judged.mark != Mark::Within);
    let mut wanted: Vec<Wanted> = Vec::new();
    let mut add =
        |what: String, of: String| match wanted.iter_mut().find(|one| one.what == what && one.of == of) {
            Some(one) => one.verdicts += 1,
            None => wanted.push(Wanted { what, of, verdicts: 1 }),
        };
    for pair in open.clone() {
        let slope = course.slopes.iter().find(|slope| slope.id == pair.slope);
        let vehicle = course.vehicles.iter().find(|vehicle| vehicle.id == pair.vehicle);
        for measure in &pair.judged.measure {
            let of = match measure {
                Measure::Gradient | Measure::RunOut | Measure::WayOut | Measure::Bends => {
                    slope.map(|slope| slope.name.short())
                }
                _ => vehicle.map(|vehicle| vehicle.name.short()),
            };
            add(measure.to_string(), of.unwrap_or_default());
        }
        if let Some(vehicle) = vehicle.filter(|vehicle| gearing_guessed(vehicle)) {
            add("read the tyres, and the handbook's engine and gear ratios".to_owned(), vehicle.name.short());
        }
        if let Some(vehicle) = vehicle.filter(|vehicle| vehicle.is_guessed(LOW_UNTOLD)) {
            add(
                "find out whether it has a low range; until it is told, none counts".to_owned(),
                vehicle.name.short(),
            );
        }
    }
    // As listed where as many wait: slopes and vehicles in the order of the course.
    wanted.sort_by_key(|one| std::cmp::Reverse(one.verdicts));
    let lines = wanted.iter().map(|one| {
        let verdicts = if one.verdicts == 1 { "verdict" } else { "verdicts" };
        format!("  {:>2} {verdicts:<8}  {}: {}\n", one.verdicts, one.of, one.what)
    });
    let head = format!(
        "{} of {} verdicts are not within the limits with every tolerance to spare",
        open.count(),
        reckoning.pairs.len()
    );
    let head = if wanted.is_empty() {
        format!("{head}; nothing that can be measured would make them surer\n")
    } else {
        format!("{head}; what would make them surer, most useful first:\n")
    };
    let guessed = course.vehicles.iter().filter(|vehicle| !vehicle.guessed.is_empty());
    let told = guessed.map(|vehicle| {
        format!("{}: estimated from its class: {}\n", vehicle.name.short(), vehicle.guessed_words())
    });
    std::iter::once(head).chain(lines).chain(told).collect()
}

/// Whether what sets the pace of a gear came from the class.
fn gearing_guessed(vehicle: &Vehicle) -> bool {
    let keys = ["tyres", "displacement", "idle", "ratios", "transfer-high", "transfer-low", "axle"];
    keys.iter().any(|key| vehicle.is_guessed(key))
}
