//! The rigs that are drawn for a slope: words, drawings, and the table of its parts.

use serde::Serialize;

use crate::course::Slope;
use crate::pack::book::Book;
use crate::pack::recovery::drawing::RigDrawing;
use crate::pack::recovery::strip::Strip;
use crate::pack::recovery::summary::may_drive;
use crate::pack::recovery::{rungs, words};
use crate::pack::sheet::slope::SlopeSheet;
use crate::page::figure::{Fig, Show};
use crate::recovery::Recovery;
use crate::recovery::pull::{Direction, System, SystemPull};
use crate::recovery::rig::{Part, Rig, Role};

/// The rig drawn.
#[derive(Serialize)]
pub struct Drawn {
    title: String,
    means: &'static str,
    lowered: bool,
    mark: String,
    case: &'static str,
    travel: Fig,
    line: Fig,
    setting: Option<String>,
    words: &'static str,
    layer: Option<String>,
    systems: String,
    drawing: RigDrawing,
    strip: Strip,
    parts: Vec<PartRow>,
    fixed_anchor: Option<String>,
    operator: bool,
}

#[derive(Serialize)]
struct PartRow {
    no: String,
    name: String,
    load: Fig,
    rating: Fig,
    left: Fig,
    weakest: bool,
}

/// The rigs that are drawn for a slope: let down and winched up, each for the vehicle that pulls
/// hardest on it.
pub fn drawn(book: &Book, slope: &Slope, sheet: &SlopeSheet) -> Vec<Drawn> {
    let drives = |id: &str| {
        let vehicle = book.course.vehicles.iter().find(|vehicle| vehicle.id == id);
        vehicle.is_some_and(|vehicle| may_drive(book, slope, vehicle))
    };
    let told = book.recoveries();
    [Direction::Lower, Direction::Up]
        .into_iter()
        .filter_map(|direction| {
            let (ladder, rung) = told
                .ladders
                .iter()
                .filter(|ladder| ladder.slope == slope.id && drives(&ladder.vehicle))
                .filter_map(|ladder| Some((ladder, ladder.chosen()?)))
                .filter(|(_, rung)| rung.rig.is_some() && rung.direction == Some(direction))
                .max_by(|(_, a), (_, b)| a.force.unwrap_or(0.0).total_cmp(&b.force.unwrap_or(0.0)))?;
            let recovery = told.all.iter().find(|one| {
                one.slope == slope.id
                    && one.vehicle == ladder.vehicle
                    && one.pull.stuck == ladder.stuck
                    && one.pull.direction == direction
            })?;
            of(book, slope, sheet, recovery, rung.rig.as_ref()?)
        })
        .collect()
}

fn of(book: &Book, slope: &Slope, sheet: &SlopeSheet, recovery: &Recovery, rig: &Rig) -> Option<Drawn> {
    let show = book.show;
    let vehicle = book.course.vehicles.iter().find(|vehicle| vehicle.id == recovery.vehicle)?;
    let drawing = RigDrawing::of(slope, sheet, vehicle, recovery, rig, show);
    let groups = groups(rig);
    let numbered: Vec<(&Part, usize)> = (1..).zip(&groups).map(|(no, (part, _))| (*part, no)).collect();
    let mark = book.vehicle_mark(&vehicle.id);
    let strip = Strip::of(rig, &numbered, recovery.facing.words(), &mark, drawing.over_edge);
    Some(Drawn {
        title: format!("{mark} {}", vehicle.name),
        means: if recovery.pull.direction == Direction::Lower { "Let down" } else { "Winched up" },
        lowered: recovery.pull.direction == Direction::Lower,
        mark,
        case: rungs::stuck_short(recovery.pull.stuck),
        travel: show.length(recovery.travel, false),
        line: show.length(rig.rigged_length, false),
        setting: setting(recovery.stages, rig.pulls),
        words: rig.words,
        layer: rig.layer.map(|layer| format!("{layer}")),
        systems: systems(recovery, show),
        strip,
        drawing,
        parts: part_rows(rig, &groups, show),
        fixed_anchor: fixed_anchor(book, rig),
        operator: rig.operator_at_winch,
    })
}

/// A system's name in a list.
fn system_short(system: System) -> &'static str {
    match system {
        System::ArmyDepth => "first depth rule",
        System::FireDepth => "second depth rule",
        System::OldFractions => "older fractions × 1.25",
        System::TowingTrade => "towing trade",
        System::WinchMaker => "winch maker",
        System::Physics => "forces resolved",
    }
}

/// What each published way comes to, the one that decides first.
fn systems(recovery: &Recovery, show: Show) -> String {
    let mut all: Vec<&SystemPull> = recovery.pull.systems.iter().collect();
    all.sort_by(|a, b| b.pull.total_cmp(&a.pull));
    let told: Vec<String> = all
        .into_iter()
        .map(|one| {
            format!("{} {} ({})", words::about(one.pull, show).text(), system_short(one.system), one.row)
        })
        .collect();
    told.join("; ")
}

/// How often it is set, where that is more than once.
fn setting(stages: u32, pulls: u32) -> Option<String> {
    let again = |pulls: u32| format!("the rig is set {pulls} times, since one haul of its line is shorter");
    match (stages, pulls) {
        (1, 1) => None,
        (1, pulls) => Some(again(pulls)),
        (stages, 1) => Some(format!("{stages} stages, the anchor set anew for each")),
        (stages, pulls) => {
            Some(format!("{stages} stages, the anchor set anew for each; in each stage {}", again(pulls)))
        }
    }
}

/// The anchor of a rig that holds only at the place where it was tested.
fn fixed_anchor(book: &Book, rig: &Rig) -> Option<String> {
    let tested = |part: &&Part| {
        part.role == Role::Anchor
            && book.course.kit.iter().any(|item| item.id == part.id && item.rig.holds.is_some())
    };
    rig.parts.iter().find(tested).map(|part| part.name.clone())
}

/// Parts, alike ones in one row.
fn groups(rig: &Rig) -> Vec<(&Part, usize)> {
    let mut groups: Vec<(&Part, usize)> = Vec::new();
    for part in in_order(rig) {
        match groups.iter_mut().find(|(known, _)| same(known, part)) {
            Some((_, count)) => *count += 1,
            None => groups.push((part, 1)),
        }
    }
    groups
}

/// Parts in the order of hooking up: the far end first, the stuck vehicle last.
fn in_order(rig: &Rig) -> Vec<&Part> {
    let place = |part: &Part| match part.role {
        Role::Anchor | Role::Braked | Role::Grip => 0,
        Role::Strap => 1,
        Role::HelperPoint => 2,
        Role::Winch => 3,
        Role::WinchLine => 4,
        Role::Block => 5,
        Role::Extension | Role::TowLine => 6,
        Role::Bridle => 7,
        Role::Shackle => 8,
        Role::CasualtyPoint => 9,
    };
    let mut all: Vec<&Part> = rig.parts.iter().collect();
    all.sort_by_key(|part| place(part));
    all
}

fn same(a: &Part, b: &Part) -> bool {
    a.role == b.role && a.name == b.name && (a.load - b.load).abs() < 1.0
}

/// A row for each group, the weakest marked.
fn part_rows(rig: &Rig, groups: &[(&Part, usize)], show: Show) -> Vec<PartRow> {
    let weakest = rig.weakest_part();
    let row = |(no, (part, count)): (usize, &(&Part, usize))| {
        let name = words::part_name(part);
        PartRow {
            no: no.to_string(),
            name: if *count > 1 { format!("{count} × {name}") } else { name },
            load: show.force(part.load, false),
            rating: show.force(part.rating, false),
            left: Fig::new(format!("{:.0}", libm::floor(100.0 * part.margin)), "%", false),
            weakest: same(part, weakest),
        }
    };
    (1..).zip(groups).map(row).collect()
}
