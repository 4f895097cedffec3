//! The rig that is drawn for a slope: words, drawings, and the table of its parts.

use serde::Serialize;

use crate::course::Slope;
use crate::pack::book::Book;
use crate::pack::recovery::drawing::RigDrawing;
use crate::pack::recovery::strip::Strip;
use crate::pack::recovery::summary::may_drive;
use crate::pack::recovery::words;
use crate::pack::sheet::slope::SlopeSheet;
use crate::page::figure::{Fig, Show};
use crate::recovery::Recovery;
use crate::recovery::pull::Direction;
use crate::recovery::rig::{Part, Rig, Role};

/// The rig drawn.
#[derive(Serialize)]
pub struct Drawn {
    title: String,
    mark: String,
    case: &'static str,
    travel: Fig,
    line: Fig,
    setting: Option<String>,
    words: &'static str,
    layer: Option<String>,
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

/// The planned recovery with a rig and the hardest pull of a vehicle that may drive here; else any
/// with a rig.
pub fn drawn(book: &Book, slope: &Slope, sheet: &SlopeSheet) -> Option<Drawn> {
    let drives = |told: &&Recovery| {
        let vehicle = book.course.vehicles.iter().find(|vehicle| vehicle.id == told.vehicle);
        vehicle.is_some_and(|vehicle| may_drive(book, slope, vehicle))
    };
    let recovery = book
        .recoveries()
        .all
        .iter()
        .filter(|told| told.slope == slope.id && told.pull.direction == Direction::Up)
        .filter(|told| !told.rigs.is_empty())
        .filter(drives)
        .max_by(|a, b| a.planned.cmp(&b.planned).then(a.pull.high.total_cmp(&b.pull.high)))?;
    of(book, slope, sheet, recovery)
}

fn of(book: &Book, slope: &Slope, sheet: &SlopeSheet, recovery: &Recovery) -> Option<Drawn> {
    let show = book.show;
    let rig = recovery.rigs.first()?;
    let vehicle = book.course.vehicles.iter().find(|vehicle| vehicle.id == recovery.vehicle)?;
    let drawing = RigDrawing::of(slope, sheet, vehicle, recovery, rig, show);
    let groups = groups(rig);
    let numbered: Vec<(&Part, usize)> = (1..).zip(&groups).map(|(no, (part, _))| (*part, no)).collect();
    let mark = book.vehicle_mark(&vehicle.id);
    let strip = Strip::of(rig, &numbered, recovery.facing.words(), &mark, drawing.over_edge);
    Some(Drawn {
        title: format!("{mark} {}", vehicle.name),
        mark,
        case: recovery.pull.stuck.words(),
        travel: show.length(recovery.travel, false),
        line: show.length(rig.rigged_length, false),
        setting: setting(recovery.stages, rig.pulls),
        words: rig.words,
        layer: rig.layer.map(|layer| format!("{layer}")),
        strip,
        drawing,
        parts: part_rows(rig, &groups, show),
        fixed_anchor: fixed_anchor(book, rig),
        operator: rig.operator_at_winch,
    })
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
    for part in &rig.parts {
        match groups.iter_mut().find(|(known, _)| same(known, part)) {
            Some((_, count)) => *count += 1,
            None => groups.push((part, 1)),
        }
    }
    groups
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
