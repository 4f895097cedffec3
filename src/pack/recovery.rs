//! The recovery plan: for each slope the pull, the rigs of this kit, a drawing to scale, the abort.

use serde::Serialize;

use super::book::Book;
use super::figure::{Fig, Show};
use super::meta::Meta;
use super::recovery_drawing::RigDrawing;
use super::recovery_words as words;
use super::slope::SlopeSheet;
use crate::course::{Slope, Vehicle};
use crate::recovery::gear::Unfit;
use crate::recovery::pull::{Direction, System, sinks};
use crate::recovery::rig::{Part, Refused, Rig};
use crate::recovery::{Depth, Recoveries, Recovery, recoveries};

/// The recovery plan.
#[derive(Serialize)]
pub struct RecoveryPlan<'a> {
    pack: Meta,
    plan: Plan<'a>,
}

#[derive(Serialize)]
struct Plan<'a> {
    systems: Vec<SystemRow>,
    unfit: Vec<UnfitRow>,
    slopes: Vec<SlopePage<'a>>,
    snatches: Vec<SnatchRow>,
    none: bool,
}

#[derive(Serialize)]
struct SystemRow {
    name: &'static str,
    says: &'static str,
    source: &'static str,
}

/// Something that is never used.
#[derive(Serialize)]
pub struct UnfitRow {
    name: String,
    on: String,
    reason: &'static str,
}

#[derive(Serialize)]
struct SlopePage<'a> {
    slope: &'a SlopeSheet,
    stuck: Vec<String>,
    rows: Vec<VehicleRow>,
    drawn: Option<Drawn>,
    refusals: Vec<String>,
}

#[derive(Serialize)]
struct VehicleRow {
    id: String,
    name: String,
    case: &'static str,
    spread: Fig,
    by: &'static str,
    memory: bool,
    first: Option<String>,
    second: Option<String>,
    refusal: Option<String>,
}

#[derive(Serialize)]
struct Drawn {
    title: String,
    case: &'static str,
    pull: Fig,
    fall_line: Fig,
    travel: Fig,
    line: Fig,
    pulls: String,
    words: &'static str,
    layer: Option<String>,
    drawing: RigDrawing,
    parts: Vec<PartRow>,
    second: Option<String>,
}

#[derive(Serialize)]
struct PartRow {
    name: String,
    role: &'static str,
    load: Fig,
    rating: Fig,
    left: Fig,
    weakest: bool,
}

#[derive(Serialize)]
struct SnatchRow {
    rope: String,
    slope: String,
    vehicle: String,
    peaks: Vec<PeakRow>,
    weakest: Option<String>,
    why: Vec<String>,
}

#[derive(Serialize)]
struct PeakRow {
    speed: Fig,
    headline: Fig,
    upper: Fig,
    likely: Fig,
    within: bool,
}

const SYSTEMS: &[SystemRow] = &[
    SystemRow {
        name: System::ArmyDepth.words(),
        says: "hub 1, fender 2, cab 3 times the weight; grade a sixtieth of the weight a degree; on its side half the weight",
        source: "field manuals, from memory: nobody has had the page in hand; a winch supplier repeats it",
    },
    SystemRow {
        name: System::FireDepth.words(),
        says: "sidewall 1, hubs 2, frame 3 times the weight",
        source: "a fire agency’s note on winch size, 2015",
    },
    SystemRow {
        name: System::OldFractions.words(),
        says: "hard road 1/25 to bog 1/2 of the weight, grade by sixtieths, the sum times 1.25",
        source: "a winch theory page for road, wet sand and bog; the rest of the list from memory",
    },
    SystemRow {
        name: System::TowingTrade.words(),
        says: "hard 1/10, grass, gravel or sand 1/3, locked wheels 2/3 of the weight; grade by sixtieths",
        source: "a trade magazine, 2013, and a winch supplier’s tables",
    },
    SystemRow {
        name: System::WinchMaker.words(),
        says: "no table off the road: count the whole weight",
        source: "a winch maker’s guide",
    },
    SystemRow {
        name: System::Physics.words(),
        says: "this surface’s own coefficients and the sine of the slope",
        source: "mechanics; the coefficients as the course gives them",
    },
];

impl<'a> RecoveryPlan<'a> {
    /// From the book.
    pub fn of(book: &'a Book, pack: Meta) -> Self {
        let told = recoveries(book.course, Depth::Likely);
        let slopes: Vec<_> = book
            .course
            .slopes
            .iter()
            .zip(&book.slopes)
            .map(|(slope, sheet)| page(book, &told, slope, sheet))
            .collect();
        let plan = Plan {
            none: slopes.iter().all(|page| page.drawn.is_none()),
            systems: SYSTEMS.iter().map(|row| SystemRow { ..*row }).collect(),
            unfit: unfit_rows(book, &told.unfit),
            snatches: snatch_rows(book, &told),
            slopes,
        };
        Self { pack, plan }
    }
}

/// What stays in the box, with where it is.
pub fn unfit_rows(book: &Book, unfit: &[Unfit]) -> Vec<UnfitRow> {
    unfit
        .iter()
        .map(|thing| {
            let vehicle = book.course.vehicles.iter().find(|vehicle| vehicle.id == thing.id);
            UnfitRow {
                name: thing.name.clone(),
                on: vehicle.map_or_else(|| "kit".to_owned(), |vehicle| book.vehicle_mark(&vehicle.id)),
                reason: thing.reason,
            }
        })
        .collect()
}

fn page<'a>(book: &'a Book, told: &Recoveries, slope: &Slope, sheet: &'a SlopeSheet) -> SlopePage<'a> {
    let here: Vec<&Recovery> = told.all.iter().filter(|recovery| recovery.slope == slope.id).collect();
    let rows = book.course.vehicles.iter().filter_map(|vehicle| row(book, &here, vehicle)).collect();
    let drawn = most_telling(&here).and_then(|recovery| drawn(book, slope, sheet, recovery));
    let refusals = if drawn.is_some() { Vec::new() } else { all_refusals(&here, book.show) };
    SlopePage { slope: sheet, stuck: stuck_places(book, slope), rows, drawn, refusals }
}

/// The planned recovery with a rig and the hardest pull; else any with a rig.
fn most_telling<'a>(here: &[&'a Recovery]) -> Option<&'a Recovery> {
    here.iter()
        .copied()
        .filter(|recovery| !recovery.rigs.is_empty() && recovery.pull.direction == Direction::Up)
        .max_by(|a, b| a.planned.cmp(&b.planned).then(a.pull.high.total_cmp(&b.pull.high)))
}

fn all_refusals(here: &[&Recovery], show: Show) -> Vec<String> {
    let mut said = Vec::new();
    let mut lacking = Vec::new();
    for recovery in here.iter().filter(|recovery| recovery.planned) {
        for refused in &recovery.refused {
            // What is missing for every layout is said once.
            if let Refused::Lacks { what, has: 0, .. } = refused.reason {
                if !lacking.contains(&what) {
                    lacking.push(what);
                    said.push(format!("There is no {what}"));
                }
                continue;
            }
            let sentence = words::refusal(refused, show);
            if !said.contains(&sentence) {
                said.push(sentence);
            }
        }
    }
    said.truncate(8);
    said
}

fn stuck_places(book: &Book, slope: &Slope) -> Vec<String> {
    let show = book.show;
    let steepest = slope.steepest();
    let surface = book.course.surface_of(slope);
    let mut places = vec![format!(
        "On the steepest stretch ({}): wheels turn and get no hold, or cannot turn.",
        show.grade(steepest.gradient.si())
    )];
    if sinks(surface) {
        places.push(format!("In the {}: it digs itself in while the wheels spin.", surface.name));
    }
    if slope.stretches.len() > 1 {
        places.push("At the joint of two stretches: hung up on its belly.".to_owned());
    }
    if slope.cross_slope.si() > 0.0 {
        places.push(format!(
            "On the cross slope ({}): slid down against the edge, or on its side.",
            show.angle(slope.cross_slope.si(), false).text()
        ));
    }
    places.push("Over the brow: stopped with its front wheels below the edge.".to_owned());
    places
}

fn row(book: &Book, here: &[&Recovery], vehicle: &Vehicle) -> Option<VehicleRow> {
    let show = book.show;
    let of: Vec<_> = here.iter().filter(|recovery| recovery.vehicle == vehicle.id).collect();
    let planned = of.iter().find(|recovery| recovery.planned)?;
    let mut rigs = planned.rigs.iter().map(|rig| words::rig(rig, show));
    let (first, second) = (rigs.next(), rigs.next());
    let lighter = || {
        let easier = of
            .iter()
            .filter(|other| other.pull.direction == Direction::Up && !other.rigs.is_empty())
            .max_by(|a, b| a.pull.high.total_cmp(&b.pull.high))?;
        Some(format!("only if {}: {}", easier.pull.stuck.words(), words::rig(easier.rigs.first()?, show)))
    };
    let second = second.or_else(|| if first.is_none() { lighter() } else { None });
    let refusal = words::nearest(planned).map(|refused| words::refusal(refused, show));
    Some(VehicleRow {
        id: book.vehicle_mark(&vehicle.id),
        name: vehicle.name.clone(),
        case: planned.pull.stuck.words(),
        spread: words::spread(planned, show),
        by: words::system_short(planned.pull.high_by),
        memory: planned.pull.highest().from_memory,
        refusal: if first.is_none() { refusal } else { None },
        first,
        second,
    })
}

fn drawn(book: &Book, slope: &Slope, sheet: &SlopeSheet, recovery: &Recovery) -> Option<Drawn> {
    let show = book.show;
    let rig = recovery.rigs.first()?;
    let vehicle = book.course.vehicles.iter().find(|vehicle| vehicle.id == recovery.vehicle)?;
    let drawing = RigDrawing::of(slope, sheet, vehicle, recovery, rig, show);
    let times = if rig.pulls == 1 { "once".to_owned() } else { format!("{} times", rig.pulls) };
    let stages =
        if recovery.stages > 1 { format!(", in each of {} stages", recovery.stages) } else { String::new() };
    Some(Drawn {
        title: format!("{} {}", book.vehicle_mark(&vehicle.id), vehicle.name),
        case: recovery.pull.stuck.words(),
        pull: show.force(recovery.pull.high, true),
        fall_line: show.force(rig.fall_line, false),
        travel: show.length(recovery.travel, false),
        line: show.length(rig.rigged_length, false),
        pulls: format!("set {times}{stages}"),
        words: rig.words,
        layer: rig.layer.map(|layer| format!("{layer}")),
        drawing,
        parts: part_rows(rig, show),
        second: recovery.rigs.get(1).map(|second| words::rig(second, show)),
    })
}

/// Parts, alike ones in one row, the weakest marked.
fn part_rows(rig: &Rig, show: Show) -> Vec<PartRow> {
    let mut groups: Vec<(&Part, usize)> = Vec::new();
    let same = |a: &Part, b: &Part| a.role == b.role && a.name == b.name && (a.load - b.load).abs() < 1.0;
    for part in &rig.parts {
        match groups.iter_mut().find(|(known, _)| same(known, part)) {
            Some((_, count)) => *count += 1,
            None => groups.push((part, 1)),
        }
    }
    let weakest = rig.weakest_part();
    groups
        .into_iter()
        .map(|(part, count)| PartRow {
            name: if count > 1 { format!("{count} × {}", part.name) } else { part.name.clone() },
            role: part.role.words(),
            load: show.force(part.load, false),
            rating: show.force(part.rating, false),
            left: Fig::new(format!("{:.0}", libm::floor(100.0 * part.margin)), "%", false),
            weakest: same(part, weakest),
        })
        .collect()
}

/// One row a rope: on the slope and vehicle where it is nearest to being allowed.
fn snatch_rows(book: &Book, told: &Recoveries) -> Vec<SnatchRow> {
    let show = book.show;
    let all =
        || told.all.iter().flat_map(|recovery| recovery.snatch.iter().map(move |snatch| (recovery, snatch)));
    let mut ropes: Vec<&str> = Vec::new();
    for (_, snatch) in all() {
        if !ropes.contains(&snatch.rope.as_str()) {
            ropes.push(&snatch.rope);
        }
    }
    ropes
        .into_iter()
        .filter_map(|rope| {
            all().filter(|(_, snatch)| snatch.rope == rope).min_by_key(|(_, snatch)| snatch.not_allowed.len())
        })
        .map(|(recovery, snatch)| SnatchRow {
            rope: snatch.rope_name.clone(),
            slope: format!(
                "{}{}",
                book.slope_mark(&recovery.slope),
                if recovery.pull.direction == Direction::Level {
                    ", on the level of its run-out"
                } else {
                    ""
                }
            ),
            vehicle: format!(
                "{} pulled by {}",
                book.vehicle_mark(&recovery.vehicle),
                book.vehicle_mark(&snatch.tug)
            ),
            peaks: snatch
                .peaks
                .iter()
                .map(|peak| PeakRow {
                    speed: show.limit(peak.speed),
                    headline: show.force(peak.headline, true),
                    upper: show.force(peak.upper, true),
                    likely: show.force(peak.likely, true),
                    within: peak.within,
                })
                .collect(),
            weakest: snatch
                .weakest
                .as_ref()
                .map(|part| format!("{}, {}", part.name, show.force(part.rating, false).text())),
            why: snatch.not_allowed.iter().map(|why| words::not_allowed(why, show)).collect(),
        })
        .collect()
}
