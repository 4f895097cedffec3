//! The recovery plan: for each slope the pull, the rigs of this kit, a drawing to scale, the abort.

use serde::Serialize;

use crate::course::{Course, KitKind, MissingKit, Name, Slope, Vehicle};
use crate::pack::book::Book;
use crate::pack::day::channels;
use crate::pack::ground::wanted::missing_to_dig;
use crate::pack::recovery::clear::shut::{leave, shut};
use crate::pack::recovery::drawn::lettered::{Lettered, lettered};
use crate::pack::recovery::drawn::{Drawn, drawn};
use crate::pack::recovery::rows::{Beyond, Rows, VehicleRow, rows};
use crate::pack::recovery::snatch::{SnatchRow, snatch_rows};
use crate::pack::recovery::summary::{Summary, nobody_fetches, summary};
use crate::pack::sheet::slope::SlopeSheet;
use crate::page::figure::Show;
use crate::page::meta::Meta;
use crate::recovery::LANE;
use crate::recovery::facts::{DEADMAN_TRENCH, Pickets, USUAL_FACTORS, deadman};
use crate::recovery::gear::{Gear, Unfit, unfit_reason};
use crate::recovery::kinetic::stiffness;
use crate::recovery::operator::READ_BY_HAND;
use crate::recovery::pull::{System, TILT_TO_RECKON, sinks};

/// The recovery plan.
#[derive(Serialize)]
pub(crate) struct RecoveryPlan<'a> {
    pack: Meta,
    plan: Plan<'a>,
}

#[derive(Serialize)]
struct Plan<'a> {
    warning: Option<String>,
    /// What the rung of digging is done with and the kit does not have.
    cannot_dig: Option<String>,
    summary: Summary,
    systems: Vec<SystemRow>,
    /// What is published of anchors.
    anchors: Vec<AnchorRow>,
    unfit: Vec<UnfitRow>,
    slopes: Vec<SlopePage<'a>>,
    /// Each distinct rig, drawn once.
    rigs: Vec<RigDrawn<'a>>,
    /// Whether something stays for a professional.
    beyond: bool,
    /// Where whoever works a winch stands, each told once.
    operators: Vec<String>,
    /// Channel of the radios.
    channel: Option<String>,
    /// Longest a rig may take, and how often it may be set.
    longest: String,
    settings: String,
    /// How far apart two lines stand at most, and how far a hand is read.
    lane: String,
    by_hand: String,
    /// The unit of forces.
    unit: String,
    /// Share of its rating that stays free on every part.
    margin: String,
    /// What the course's rule makes of missing safety gear.
    kit_rule: &'static str,
    /// Whether a vehicle without a rated point does not drive.
    point_rule: bool,
    snatches: Vec<SnatchRow>,
    no_snatch: bool,
}

#[derive(Serialize)]
struct SystemRow {
    name: &'static str,
    says: &'static str,
    #[serde(serialize_with = "crate::course::sources::as_cited")]
    source: &'static str,
}

#[derive(Serialize)]
struct AnchorRow {
    what: String,
    holds: String,
    #[serde(serialize_with = "crate::course::sources::as_cited")]
    source: &'static str,
}

/// Something that is never used.
#[derive(Serialize)]
pub(crate) struct UnfitRow {
    name: String,
    on: String,
    reason: String,
}

#[derive(Serialize)]
struct SlopePage<'a> {
    slope: &'a SlopeSheet,
    stuck: Vec<String>,
    rows: Vec<VehicleRow>,
    /// What nothing of the kit does.
    beyond: Vec<Beyond>,
    /// What is tried before any line, by how it is stuck.
    tries: Vec<String>,
    /// Marks of the vehicles that do not drive here.
    stay: Vec<String>,
    /// Marks of those kept off by the course's rules for recoveries.
    refused: Vec<String>,
    /// Anchors that count for nothing in this ground, and why.
    not_here: Vec<String>,
    /// What of the site is shut or empty while a line is tight here.
    shut: Option<String>,
    /// To which side leader and watchers stand, where the other has an edge or water.
    leave: Option<&'static str>,
}

const SYSTEMS: &[SystemRow] = &[
    SystemRow {
        name: System::DepthHubOnce.words(),
        says: "hub 1, fender 2, cab 3 times the weight; grade a sixtieth of the weight a degree; on its side half the weight",
        source: "B18, after B10; grade by the table of B18",
    },
    SystemRow {
        name: System::DepthHubTwice.words(),
        says: "sidewall 1, hubs 2, frame 3 times the weight",
        source: "E5",
    },
    SystemRow {
        name: System::OldFractions.words(),
        says: "hard road 1/25 to bog 1/2 of the weight, grade by sixtieths, the sum times 1.25",
        source: "E8 for road, wet sand and bog; the rest common practice, no source",
    },
    SystemRow {
        name: System::TowingTrade.words(),
        says: "hard 1/10, grass, gravel or sand 1/3, locked wheels 2/3 of the weight; grade by sixtieths",
        source: "E7 and B18",
    },
    SystemRow {
        name: System::WinchMaker.words(),
        says: "no table off the road: count the whole weight",
        source: "B18",
    },
    SystemRow {
        name: System::Physics.words(),
        says: "this surface’s own coefficients and the sine of the slope",
        source: "mechanics; the coefficients as the course gives them",
    },
];

/// The sources of the published systems, of anchors, and of the factors the kit record gives.
pub(crate) fn sources() -> impl Iterator<Item = &'static str> {
    let systems = SYSTEMS.iter().map(|system| system.source);
    systems.chain([ON_PICKETS, ON_LOGS]).chain(USUAL_FACTORS.iter().map(|factor| factor.source))
}

const ON_PICKETS: &str = "B8, leaned 15°; B14, leaned 45°";
const ON_LOGS: &str = "B12, table 9";

impl<'a> RecoveryPlan<'a> {
    /// From the book.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Self {
        let rigs = lettered(book);
        let pages: Vec<SlopePage> = (book.course.slopes.iter().zip(&book.slopes))
            .map(|(slope, sheet)| page(book, slope, sheet, &rigs))
            .collect();
        let drawn: Vec<RigDrawn> = rigs.iter().filter_map(|one| rig_drawn(book, one)).collect();
        let snatches = snatch_rows(book);
        let plan = Plan {
            warning: nobody_fetches(book),
            cannot_dig: Some(missing_to_dig(book.course).join(", ")).filter(|lacks| !lacks.is_empty()),
            summary: summary(book),
            systems: SYSTEMS.iter().map(|row| SystemRow { ..*row }).collect(),
            anchors: anchors(book.show),
            unfit: unfit_rows(book, &book.recoveries().unfit),
            no_snatch: snatches.iter().all(|row| !row.allowed()),
            snatches,
            beyond: pages.iter().any(|page| !page.beyond.is_empty()),
            slopes: pages,
            operators: operators(&drawn),
            rigs: drawn,
            channel: channel(book),
            longest: format!("{:.1} h", book.course.recovery.longest / 3600.0).replace(".0 h", " h"),
            settings: book.course.recovery.most_settings.to_string(),
            lane: book.show.length(LANE, false).text(),
            by_hand: book.show.length(READ_BY_HAND, false).text(),
            unit: book.show.force(1e4, false).u,
            margin: format!("{:.0} %", 100.0 * book.course.recovery.margin),
            kit_rule: match book.course.recovery.missing_kit {
                MissingKit::Say => "what is missing is said beside the rig",
                MissingKit::Refuse => "without it a rig is not offered",
            },
            point_rule: book.course.recovery.rated_point,
        };
        Self { pack, plan }
    }
}

/// The channel of the radios; the slope's where slopes have their own.
fn channel(book: &Book) -> Option<String> {
    let day = book.course.day.channel.as_ref().map(Name::short)?;
    Some(match channels::all(book) {
        Some(own) => format!("the slope’s channel ({own}; else {day})"),
        None => day,
    })
}

/// What is published of anchors, with its spread: the lower figure counts, over the margin of an anchor.
fn anchors(show: Show) -> Vec<AnchorRow> {
    let range = |[low, high]: [f64; 2]| {
        format!("about {} to {}", show.force(low, true).v, show.force(high, true).text())
    };
    let row = |what: &str, holds: String, source| AnchorRow { what: what.to_owned(), holds, source };
    let pickets = Pickets::ALL.into_iter().map(|set| {
        row(
            &format!("{}, two thirds driven in undisturbed, firm, dry ground", set.words()),
            range(set.spread()),
            ON_PICKETS,
        )
    });
    // A log of 1.5 m by 0.3 m, its trench taken off, at the least and the greatest depth of the table.
    let log = |depth: f64, one_in| deadman(depth, one_in).map(|power| power * 0.3 * (1.5 - DEADMAN_TRENCH));
    let buried = [log(3.0 * DEADMAN_TRENCH, 1), log(7.0 * DEADMAN_TRENCH, 4)];
    let buried = if let [Some(low), Some(high)] = buried { range([low, high]) } else { String::new() };
    let log = format!(
        "Log of {} by {} buried in loam, {} to {} deep; half in wet or fine-grained ground",
        show.length(1.5, false).text(),
        show.length(0.3, false).text(),
        show.length(3.0 * DEADMAN_TRENCH, false).text(),
        show.length(7.0 * DEADMAN_TRENCH, false).text()
    );
    pickets
        .chain([
            row(
                "Pickets in wet, loose or hard ground",
                "nothing that was found: tested here, or not used".to_owned(),
                "common practice, no source; a log counts for half in wet ground, B12, table 9",
            ),
            row(&log, buried, ON_LOGS),
            row(
                "Tree, stump, rock",
                "nothing that fits a single one: tested here, or not used".to_owned(),
                "common practice, no source",
            ),
            row(
                "Braked vehicle",
                "lowest friction here on its weight, less the slope it stands on and the lift of the line"
                    .to_owned(),
                "Coulomb friction",
            ),
        ])
        .collect()
}

/// What stays in the box, with where it is: kit, points, ropes no snatch may be done with, vehicles
/// that have no rated point at all.
pub(crate) fn unfit_rows(book: &Book, unfit: &[Unfit]) -> Vec<UnfitRow> {
    let of_gear = unfit.iter().map(|thing| {
        let vehicle = book.course.vehicles.iter().find(|vehicle| vehicle.id == thing.id);
        UnfitRow {
            name: thing.name.clone(),
            on: vehicle.map_or_else(|| "kit".to_owned(), |vehicle| book.vehicle_mark(&vehicle.id)),
            reason: thing.reason.words().to_owned(),
        }
    });
    of_gear.chain(ropes(book.course)).chain(pointless(book)).collect()
}

/// Kinetic ropes with something missing.
fn ropes(course: &Course) -> impl Iterator<Item = UnfitRow> {
    let ropes = course.kit.iter().filter(|item| item.kind == KitKind::KineticRope);
    ropes.filter_map(|rope| {
        let retired = unfit_reason(rope).filter(|_| rope.rating.breaking.is_none());
        let missing =
            stiffness(rope).err().map(|what| format!("its {} is not told: no snatch with it", what.words()));
        let reason = retired.map(|reason| reason.words().to_owned()).or(missing)?;
        Some(UnfitRow { name: rope.name.short(), on: "kit".to_owned(), reason })
    })
}

/// Vehicles of which no point is told.
fn pointless(book: &Book) -> Option<UnfitRow> {
    let none = |vehicle: &&Vehicle| vehicle.recovery_points.is_empty();
    let marks: Vec<String> =
        book.course.vehicles.iter().filter(none).map(|vehicle| book.vehicle_mark(&vehicle.id)).collect();
    (!marks.is_empty()).then(|| UnfitRow {
        name: if marks.len() == 1 { "1 vehicle".to_owned() } else { format!("{} vehicles", marks.len()) },
        on: marks.join(", "),
        reason: "no recovery point is told: nothing is hung on them until a rating is read".to_owned(),
    })
}

/// A distinct rig on the slope where it is drawn.
#[derive(Serialize)]
struct RigDrawn<'a> {
    slope: &'a SlopeSheet,
    rung: Drawn,
}

/// Where whoever works a winch of these stands, each once.
fn operators(drawn: &[RigDrawn]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for said in drawn.iter().flat_map(|one| &one.rung.operators) {
        if !all.contains(said) {
            all.push(said.clone());
        }
    }
    all
}

fn rig_drawn<'a>(book: &'a Book, one: &Lettered) -> Option<RigDrawn<'a>> {
    let (ladder, _) = one.hardest();
    let sheet = book.slopes.iter().zip(&book.course.slopes).find(|(_, slope)| slope.id == ladder.slope)?.0;
    Some(RigDrawn { slope: sheet, rung: drawn(book, one)? })
}

fn page<'a>(book: &Book, slope: &Slope, sheet: &'a SlopeSheet, rigs: &[Lettered]) -> SlopePage<'a> {
    let Rows { planned, beyond, tries, stay, refused } = rows(book, slope, rigs);
    SlopePage {
        slope: sheet,
        stuck: stuck_places(book, slope),
        rows: planned,
        beyond,
        tries,
        stay,
        refused,
        not_here: not_here(book, slope),
        shut: shut(book, slope),
        leave: leave(book.course.way_off(slope)),
    }
}

fn not_here(book: &Book, slope: &Slope) -> Vec<String> {
    let gear = Gear::of(book.course, book.course.surface_of(slope));
    gear.not_here.iter().map(|anchor| format!("{}, {}", anchor.name, anchor.reason.words())).collect()
}

/// Least change of gradient at which a vehicle hangs up on its belly, degrees. Common practice, no
/// source.
const BREAK_TO_RECKON: f64 = 8.0;

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
    let steepens = |pair: &[crate::course::Stretch]| {
        (pair[1].gradient.si() - pair[0].gradient.si()).to_degrees() >= BREAK_TO_RECKON
    };
    if slope.stretches.windows(2).any(steepens) {
        places.push("Where it steepens between two stretches: hung up on its belly.".to_owned());
    }
    if slope.cross_slope.si().to_degrees() >= TILT_TO_RECKON {
        places.push(format!(
            "On the cross slope ({}): slid down against the edge, or on its side.",
            show.angle(slope.cross_slope.si(), false).text()
        ));
    }
    places.push("Over the brow: stopped with its front wheels below the edge.".to_owned());
    places
}
