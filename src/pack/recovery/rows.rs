//! The vehicles of one slope in the recovery plan: a row for each way of being stuck.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::pack::book::Book;
use crate::pack::recovery::drawn::lettered::{Lettered, letter_of};
use crate::pack::recovery::summary::{kept_off, may_drive};
use crate::pack::recovery::{rungs, words};
use crate::page::figure::Show;
use crate::recovery::facts::CLEAR_LENGTHS;
use crate::recovery::ladder::second::Second;
use crate::recovery::ladder::{Does, Ladder, Means};
use crate::recovery::pull::Stuck;
use crate::recovery::rig::{Part, Rig, Role};

/// A vehicle, or several, stuck one way, and what the kit does about it.
#[derive(Serialize)]
pub(crate) struct VehicleRow {
    id: String,
    case: String,
    does: String,
    /// Which rig.
    rig: String,
    /// With which winch, or by which tug; its line, the ground kept clear, its time.
    by: String,
    /// What it takes, and what parts are chosen for.
    force: String,
    /// The part with the least left.
    left: String,
    /// Safety gear that is not in the kit.
    lacks: Option<String>,
    /// Why the means before does not do it.
    not: Option<String>,
}

/// Vehicles that the kit does not fetch: stuck how, and why.
#[derive(Serialize)]
pub(crate) struct Beyond {
    who: String,
    when: Vec<String>,
}

/// The vehicles of a slope.
pub(crate) struct Rows {
    /// Those that drive it, each way of being stuck.
    pub planned: Vec<VehicleRow>,
    /// What nothing of the kit does.
    pub beyond: Vec<Beyond>,
    /// What is tried before any line is hooked up, by how it is stuck.
    pub tries: Vec<String>,
    /// Marks of those that the fleet table keeps off it.
    pub stay: Vec<String>,
    /// Marks of those that a rule of the course for recoveries keeps off it: not planned.
    pub refused: Vec<String>,
}

/// The rows of the vehicles that may drive a slope, and the marks of those that may not.
pub(crate) fn rows(book: &Book, slope: &Slope, rigs: &[Lettered]) -> Rows {
    let (drive, stay): (Vec<&Vehicle>, Vec<&Vehicle>) =
        book.course.vehicles.iter().partition(|vehicle| may_drive(book, slope, vehicle));
    let (refused, stay): (Vec<&Vehicle>, Vec<&Vehicle>) =
        stay.into_iter().partition(|vehicle| kept_off(book, slope, vehicle));
    let mut rows: Vec<VehicleRow> = Vec::new();
    let mut beyond: Vec<Beyond> = Vec::new();
    let mut tries: Vec<String> = Vec::new();
    for vehicle in drive {
        let ladders: Vec<&Ladder> = book.recoveries().ladders_of(&slope.id, &vehicle.id).collect();
        for ladder in &ladders {
            tries.extend(tried(ladder).filter(|told| !tries.contains(told)).collect::<Vec<_>>());
            let Some(row) = row(book, vehicle, ladder, rigs) else { continue };
            match rows.iter_mut().find(|known| known.alike(&row)) {
                Some(known) => known.take(&row),
                None => rows.push(row),
            }
        }
        let when = not_done(book, &ladders);
        let who = book.vehicle_mark(&vehicle.id);
        match beyond.iter_mut().find(|known| known.when == when) {
            Some(known) => known.who = format!("{}, {who}", known.who),
            None if when.is_empty() => {}
            None => beyond.push(Beyond { who, when }),
        }
    }
    let marks = |vehicles: Vec<&Vehicle>| {
        vehicles.into_iter().map(|vehicle| book.vehicle_mark(&vehicle.id)).collect()
    };
    Rows { planned: rows, beyond, tries, stay: marks(stay), refused: marks(refused) }
}

impl VehicleRow {
    /// Whether nothing but the vehicle or the way it is stuck differs.
    fn alike(&self, other: &Self) -> bool {
        (&self.rig, &self.by, &self.force, &self.left) == (&other.rig, &other.by, &other.force, &other.left)
            && (&self.lacks, &self.not) == (&other.lacks, &other.not)
            && (self.id == other.id || self.case == other.case)
    }

    fn take(&mut self, other: &Self) {
        if self.id == other.id {
            self.case = format!("{}; {}", self.case, other.case);
        } else {
            self.id = format!("{}, {}", self.id, other.id);
        }
    }
}

/// What is tried first: `sunk, hubs: dig, air down, boards, then drive out downhill`.
fn tried(ladder: &Ladder) -> impl Iterator<Item = String> + use<> {
    let tried = ladder.rungs.iter().filter(|rung| rung.does == Does::Try);
    let tried = tried.filter(|rung| matches!(rung.means, Means::Dig | Means::DriveOut));
    let words: Vec<&str> = tried.map(|rung| rungs::short(rung.means, None)).collect();
    let stuck = if matches!(ladder.stuck, Stuck::Mired(_)) { "sunk" } else { ladder.stuck.short() };
    (!words.is_empty()).then(|| format!("{stuck}: {}", words.join(", then "))).into_iter()
}

/// How it may be stuck so that the kit does nothing, each with the reason nearest to success; those with the
/// same reason together.
fn not_done(book: &Book, ladders: &[&Ladder]) -> Vec<String> {
    let mut groups: Vec<(String, Vec<&'static str>)> = Vec::new();
    for ladder in ladders.iter().filter(|ladder| ladder.first.is_none()) {
        let why = rungs::why_not_before(ladder, book.show).unwrap_or_default();
        match groups.iter_mut().find(|(known, _)| *known == why) {
            Some((_, stuck)) => stuck.push(ladder.stuck.short()),
            None => groups.push((why, vec![ladder.stuck.short()])),
        }
    }
    let all = |stuck: &[&str]| stuck.len() == ladders.len() && stuck.len() > 1;
    let said = |(why, stuck): &(String, Vec<&'static str>)| {
        if all(stuck) { why.clone() } else { format!("{} ({why})", stuck.join(" or ")) }
    };
    groups.iter().map(said).collect()
}

/// The winch, what holds the rig, the line rigged, the ground kept clear and the time, a catch line with it.
fn with_line(book: &Book, rig: &Rig, catch: Option<&Rig>) -> String {
    let show = book.show;
    let winch = rig.parts.first().map_or("", |part| part.name.as_str());
    let long = catch.map_or(rig.rigged_length, |catch| catch.rigged_length.max(rig.rigged_length));
    let time = rig.time.map_or_else(String::new, |time| format!(", {} min", words::minutes(time)));
    let anew = if rig.pulls > 1 { format!(", set {} times", rig.pulls) } else { String::new() };
    let line = show.length(rig.rigged_length, false).text();
    format!("{winch}, {}; {line} of line, clear {}{time}{anew}", held_by(book, rig), clear(long, show))
}

/// What stops it were the line to let go, in short: it decides who is aboard.
fn second_short(second: Option<&Second>, stuck: Stuck, show: Show) -> String {
    match second {
        Some(Second::FootBrake(brake)) => brake.runs.map_or_else(
            || "driver’s foot".to_owned(),
            |runs| format!("driver’s foot, stands within {}", show.length(libm::ceil(runs), false).text()),
        ),
        Some(Second::CatchLine { .. }) if stuck == Stuck::Locked => "nobody aboard; a catch line".to_owned(),
        Some(Second::CatchLine { .. }) => "driver’s foot and a catch line".to_owned(),
        Some(Second::NobodyAboard(_)) | None => "nobody aboard".to_owned(),
    }
}

/// What holds a rig: `on Ground anchor set and D braked, with bridle`.
fn held_by(book: &Book, rig: &Rig) -> String {
    let named = |part: &Part| match part.role {
        Role::Anchor => Some(part.name.clone()),
        Role::Braked => Some(format!("{} braked", book.vehicle_mark(&part.id))),
        _ => None,
    };
    let mut holds: Vec<String> = Vec::new();
    for held in rig.parts.iter().filter_map(named) {
        if !holds.contains(&held) {
            holds.push(held);
        }
    }
    let has = |role: Role| rig.parts.iter().any(|part| part.role == role);
    // The extension is not in the drawing of a rig that is drawn without one: its load stands here.
    let extension = rig.parts.iter().find(|part| part.role == Role::Extension).map(|part| {
        let [load, rating] = [part.load, part.rating].map(|newtons| book.show.force(newtons, false).v);
        format!("the {} ({load} of {rating})", part.name)
    });
    let bridle = has(Role::Bridle).then(|| "bridle".to_owned());
    let with: Vec<String> = extension.into_iter().chain(bridle).collect();
    let with = if with.is_empty() { String::new() } else { format!(", with {}", with.join(" and ")) };
    format!("on {}{with}", holds.join(" and "))
}

fn clear(longest: f64, show: Show) -> String {
    show.length(libm::ceil(CLEAR_LENGTHS * longest), false).text()
}

fn row(book: &Book, vehicle: &Vehicle, ladder: &Ladder, rigs: &[Lettered]) -> Option<VehicleRow> {
    let show = book.show;
    let rung = ladder.chosen()?;
    let by = match (&rung.rig, &rung.tow) {
        (Some(rig), _) => {
            let line = with_line(book, rig, rung.catch.as_ref());
            format!("{line}; {}", second_short(rung.second.as_ref(), ladder.stuck, show))
        }
        (None, Some(tow)) => format!("by {}, clear {}", book.vehicle_mark(&tow.tug), clear(tow.line, show)),
        (None, None) => String::new(),
    };
    let left = rungs::weakest(rung).map_or_else(String::new, |part| {
        let name = words::part_name(part, &book.vehicle_mark(&part.id));
        format!("{name}, {:.0} %", libm::floor(100.0 * part.margin))
    });
    Some(VehicleRow {
        id: book.vehicle_mark(&vehicle.id),
        case: ladder.stuck.short().to_owned(),
        does: words::sentence(rungs::short(rung.means, rung.direction)),
        rig: letter_of(rigs, rung),
        by,
        force: rungs::force(rung, show),
        left,
        lacks: rungs::lacks(rung),
        not: rungs::why_not_before(ladder, show),
    })
}
