//! Choosing a gear or a vehicle from figures, and reading a drawing.

mod drawn;

use drawn::{ladders, sections};

use super::Scene;
use crate::course::{Gearbox, Level, Theme, Topic, Vehicle};
use crate::engine::symbols as s;
use crate::engine::{circumference_of, overall_ratio_of};
use crate::page::Fig;
use crate::paper::family::Family;
use crate::paper::item::{Stuff, Variant, Wrong};
use crate::paper::making::measured::{measured, printed};
use crate::paper::making::recipe::is_apart;
use crate::quantity::{Digits, Shown, UnitSystem};

/// The families.
pub(crate) fn families(scene: &Scene) -> Vec<Family> {
    let vehicles = &scene.course.vehicles;
    vec![
        Family::of("choose-gear".into(), Topic::Creep, Level::Decide, true, gears(scene)),
        Family::of(
            "choose-vehicle".into(),
            Topic::Gearing,
            Level::Decide,
            true,
            lowest(vehicles, scene.course.units),
        ),
        Family::of("choose-stable".into(), Topic::Stability, Level::Decide, true, stable(scene)),
        Family::of("read-section".into(), Topic::SiteSafety, Level::Apply, true, sections()),
        Family::of("read-ladder".into(), Topic::Creep, Level::Recall, true, ladders(scene)),
    ]
}

/// Vehicles whose engine is tied to the wheels: a converter that slips on overrun has no creep speed.
fn tied<'a>(scene: &Scene<'a>) -> impl Iterator<Item = &'a Vehicle> {
    scene.course.vehicles.iter().filter(|one| one.transmission.gearbox != Gearbox::AutomaticUnlocked)
}

fn word(text: impl Into<String>, why: impl Into<String>) -> Wrong {
    let text = text.into();
    let why = why.into();
    Wrong { id: text.clone(), text, value: 0.0, why, step: 0, careless: false }
}

fn digits(value: f64) -> String {
    Shown::of(value, Digits::Significant(3)).text
}

/// Walking speeds asked about, in the unit of the pages.
const LIMITS: [f64; 6] = [2.0, 3.0, 4.0, 5.0, 6.0, 8.0];

/// The highest gear that still creeps below a limit, from circumference, idle and ratios.
fn gears(scene: &Scene) -> Vec<Variant> {
    let system = scene.course.units;
    let unit = s::SPEED.unit(system);
    let mut all = Vec::new();
    for vehicle in tied(scene) {
        let turn = measured(&s::CIRCUMFERENCE, circumference_of(vehicle), system)
            * measured(&s::ENGINE_SPEED, vehicle.engine.idle.si(), system);
        let mut creep: Vec<(String, f64, f64)> = vehicle
            .gears()
            .into_iter()
            .map(|gear| {
                let ratio = measured(&s::OVERALL_RATIO, overall_ratio_of(vehicle, gear), system);
                (gear.to_string(), ratio, unit.from_si(turn / ratio))
            })
            .collect();
        creep.sort_by(|(.., a), (.., b)| a.total_cmp(b));
        // A gear is chosen for a walk, never for the speed at which a run is given up.
        let most = 0.6 * unit.from_si(scene.course.limits.descent_speed.si());
        for limit in LIMITS.into_iter().filter(|limit| *limit <= most) {
            all.extend(gear_under(system, vehicle, &creep, limit));
        }
    }
    all
}

fn gear_under(
    system: UnitSystem,
    vehicle: &Vehicle,
    creep: &[(String, f64, f64)],
    limit: f64,
) -> Option<Variant> {
    let unit = s::SPEED.unit(system).symbol;
    let over = creep.iter().position(|(.., speed)| *speed > limit)?;
    let right = over.checked_sub(1)?;
    // Four neighbours around the step, wherever it lies in the gearbox.
    let first = right.saturating_sub(1 + usize::from(right % 2 == 1)).min(creep.len().checked_sub(4)?);
    let shown = &creep[first..first + 4];
    let clear = shown.iter().all(|(.., speed)| is_apart(*speed, limit)) && right < first + 4;
    let apart = (1..4).all(|at| is_apart(shown[at - 1].2, shown[at].2));
    if !clear || !apart {
        return None;
    }
    let data = [
        ("rolling circumference".to_owned(), printed(&s::CIRCUMFERENCE, circumference_of(vehicle), system)),
        ("idle".to_owned(), printed(&s::ENGINE_SPEED, vehicle.engine.idle.si(), system)),
    ];
    let ratios = shown
        .iter()
        .map(|(gear, ratio, _)| (format!("overall ratio of {gear}"), Fig::new(digits(*ratio), ":1", false)));
    let said = |(gear, _, speed): &(String, f64, f64)| format!("{gear} creeps at {} {unit}", digits(*speed));
    let wrong = shown
        .iter()
        .enumerate()
        .filter(|(at, _)| first + at != right)
        .map(|(_, row)| {
            let why = if row.2 > limit { "faster than allowed" } else { "slower than it need be" };
            Wrong { value: -row.1, ..word(row.0.clone(), format!("{}: {why}", said(row))) }
        })
        .collect();
    let right_row = &creep[right];
    Some(Variant {
        name: format!("choose-gear/{}/{limit}/{unit}", vehicle.id),
        theme: Some(Theme::GearChoice),
        ease: 0.50,
        outcome: "Chooses the gear for a wanted creep speed before the brow.".into(),
        ask: format!(
            "{} shall creep at idle at a walk, as near to {limit} {unit} as these gears allow, and not faster. Which gear?",
            vehicle.name
        ),
        data: data.into_iter().chain(ratios).collect(),
        drawing: None,
        works_out: shown.iter().map(|(.., speed)| Fig::new(digits(*speed), unit, false)).collect(),
        one_of: None,
        worked: None,
        told_steps: Vec::new(),
        feedback: format!(
            "Creep speed is circumference × engine speed ÷ overall ratio. {}.",
            shown.iter().map(said).collect::<Vec<_>>().join("; ")
        ),
        source: "definition of the overall ratio".into(),
        stuff: Stuff::Choice {
            right: Wrong { value: -right_row.1, ..word(right_row.0.clone(), "") },
            wrong,
            sized: false,
        },
    })
}

/// Which of four vehicles has the lowest, or the highest, gearing in a gear.
fn lowest(vehicles: &[Vehicle], system: UnitSystem) -> Vec<Variant> {
    let mut all = Vec::new();
    for (number, called) in [(1_usize, "first"), (2, "second"), (3, "third")] {
        let rows: Vec<(&Vehicle, f64, String)> = vehicles
            .iter()
            .filter_map(|vehicle| {
                let parts = &vehicle.transmission;
                let ratio = parts.ratios.get(number - 1)?.si();
                let low = parts.transfer_low?.si();
                let parts_printed = [
                    printed(&s::GEAR_RATIO, ratio, system),
                    printed(&s::TRANSFER_RATIO, low, system),
                    printed(&s::AXLE_RATIO, parts.axle.si(), system),
                    printed(&s::HUB_RATIO, parts.hub.si(), system),
                ];
                let text = parts_printed.map(|one| one.v).join(" × ");
                Some((vehicle, ratio * low * parts.axle.si() * parts.hub.si(), text))
            })
            .collect();
        for (slowest, words) in [(true, "slowest"), (false, "fastest")] {
            for four in fours(&rows) {
                all.extend(pick_vehicle(&four, slowest, words, called));
            }
        }
    }
    all
}

fn pick_vehicle(
    four: &[&(&Vehicle, f64, String)],
    slowest: bool,
    words: &str,
    called: &str,
) -> Option<Variant> {
    let right = best(four, |row| row.1, slowest)?;
    let data = four
        .iter()
        .map(|(vehicle, _, text)| (vehicle.name.short(), Fig::new(text.clone(), "", false)))
        .collect();
    let wrong = others(four, right, |row| format!("overall ratio {}", digits(row.1)));
    Some(Variant {
        name: format!("choose-vehicle/{called}/{words}/{}", ids(four)),
        theme: None,
        ease: 0.66,
        outcome: "Compares vehicles by the overall ratio, not by one of its parts.".into(),
        ask: format!(
            "In low range, {called} gear, with equal tyres and equal engine speed: which vehicle creeps {words}? Given are gearbox × transfer case × axle × hub."
        ),
        data,
        drawing: None,
        works_out: four.iter().map(|row| Fig::new(digits(row.1), "", false)).collect(),
        one_of: None,
        worked: None,
        told_steps: Vec::new(),
        feedback: format!("All four ratios multiply: {} has {}.", right.0.name, digits(right.1)),
        source: "definition of the overall ratio".into(),
        stuff: Stuff::Choice { right: word(right.0.name.short(), ""), wrong, sized: false },
    })
}

/// Which of four vehicles tips first on a side slope.
fn stable(scene: &Scene) -> Vec<Variant> {
    let vehicles = &scene.course.vehicles;
    let system = scene.course.units;
    let rows: Vec<(&Vehicle, f64, String)> = vehicles
        .iter()
        .map(|vehicle| {
            let (track, height) = (vehicle.track.si(), vehicle.loaded_centre_height().si());
            let text = [printed(&s::TRACK, track, system), printed(&s::CENTRE_HEIGHT, height, system)]
                .map(|one| one.text())
                .join("; ");
            (vehicle, track / (2.0 * height), text)
        })
        .collect();
    let mut all = Vec::new();
    for (least, words) in [(true, "smallest"), (false, "greatest")] {
        for four in fours(&rows) {
            // `best` looks for the greatest when told `true`.
            let Some(right) = best(&four, |row| -row.1, least) else { continue };
            let data = four
                .iter()
                .map(|(vehicle, _, text)| (vehicle.name.short(), Fig::new(text.clone(), "", false)))
                .collect();
            all.push(Variant {
                name: format!("choose-stable/{words}/{}", ids(&four)),
                theme: None,
                ease: 0.60,
                outcome: "Judges side stability by track and height together.".into(),
                ask: format!(
                    "Track and height of the centre of mass are given. Which vehicle has the {words} theoretical side tip angle?"
                ),
                data,
                drawing: None,
                works_out: Vec::new(),
                one_of: None,
                worked: None,
                told_steps: Vec::new(),
                feedback: "Half the track over the height decides: a wide vehicle can still be tippy when its load is high.".into(),
                source: "E1, static stability factor".into(),
                stuff: Stuff::Choice {
                    right: word(right.0.name.short(), ""),
                    wrong: others(&four, right, |row| format!("half the track over the height is {}", digits(row.1))),
                    sized: false,
                },
            });
        }
    }
    all
}

type Ranked<'a> = (&'a Vehicle, f64, String);

/// The one with the greatest value, or the least, when it stands clear of the next.
fn best<'a, 'b>(
    four: &[&'b Ranked<'a>],
    value: impl Fn(&Ranked) -> f64,
    greatest: bool,
) -> Option<&'b Ranked<'a>> {
    let mut sorted: Vec<&&Ranked> = four.iter().collect();
    sorted.sort_by(|a, b| value(a).total_cmp(&value(b)));
    if greatest {
        sorted.reverse();
    }
    let (first, second) = (sorted.first()?, sorted.get(1)?);
    is_apart(value(first), value(second)).then(|| four.iter().find(|row| row.0.id == first.0.id).copied())?
}

fn others(four: &[&Ranked], right: &Ranked, said: impl Fn(&Ranked) -> String) -> Vec<Wrong> {
    four.iter().filter(|row| row.0.id != right.0.id).map(|row| word(row.0.name.short(), said(row))).collect()
}

/// Every four of a list, or all when there are only three.
fn fours<T>(list: &[T]) -> Vec<Vec<&T>> {
    let n = list.len();
    if n == 3 {
        return vec![list.iter().collect()];
    }
    let mut all = Vec::new();
    for a in 0..n {
        for b in a + 1..n {
            for c in b + 1..n {
                all.extend((c + 1..n).map(|d| vec![&list[a], &list[b], &list[c], &list[d]]));
            }
        }
    }
    all
}

fn ids(four: &[&Ranked]) -> String {
    four.iter().map(|row| row.0.id.as_str()).collect::<Vec<_>>().join("+")
}
