//! What of the site is shut or empty while a line is tight on a slope.

use crate::course::{Hand, PointOfSite, Slope, TooNear, WayOff};
use crate::pack::book::Book;
use crate::pack::recovery::summary::may_drive;
use crate::recovery::facts::CLEAR_LENGTHS;
use crate::recovery::lie::BEYOND;

/// In words, for the greatest ground kept clear that a rig of this slope asks for; none where nothing lies in it or the
/// site has no plan.
pub(crate) fn shut(book: &Book, slope: &Slope) -> Option<String> {
    let plan = book.course.site_plan.as_ref()?;
    let radius = CLEAR_LENGTHS * longest(book, slope)?;
    let (mut ways, mut places, mut control) = (Vec::new(), Vec::new(), false);
    for near in plan.too_near(slope, BEYOND, radius) {
        match near {
            TooNear::Way(line) => {
                ways.push(line.called());
            }
            TooNear::Place(point) => {
                control |= matches!(point.kind, PointOfSite::Control | PointOfSite::FirstAid);
                let kind = place(point.kind);
                places.push(
                    point
                        .name
                        .as_ref()
                        .map_or_else(|| kind.to_owned(), |name| format!("{kind} ({})", name.short())),
                );
            }
            TooNear::Waiting(id) => places.push(format!("where {} waits", book.slope_mark(id))),
        }
    }
    ways.dedup();
    let said = [("shut", ways), ("nobody at", places)].into_iter().filter(|(_, all)| !all.is_empty());
    let said: Vec<String> = said.map(|(what, all)| format!("{what}: {}", all.join(", "))).collect();
    let within = book.show.length(libm::ceil(radius), false).text();
    let moves = if control { " Control and first aid move out first, and say where to." } else { "" };
    (!said.is_empty()).then(|| {
        format!(
            "While a line is tight here, within {within} of it, {}. An ambulance comes: line slack, road open.{moves}",
            said.join("; ")
        )
    })
}

/// The longest line that is rigged or towed with on a slope, m.
fn longest(book: &Book, slope: &Slope) -> Option<f64> {
    let drive = book.course.vehicles.iter().filter(|vehicle| may_drive(book, slope, vehicle));
    let ladders = drive.flat_map(|vehicle| book.recoveries().ladders_of(&slope.id, &vehicle.id));
    let lines = ladders.filter_map(|ladder| ladder.chosen()).flat_map(|rung| {
        let rigs = rung.rig.iter().chain(&rung.catch).map(|rig| rig.rigged_length);
        rigs.chain(rung.tow.as_ref().map(|tow| tow.line)).collect::<Vec<_>>()
    });
    lines.reduce(f64::max)
}

const fn place(kind: PointOfSite) -> &'static str {
    match kind {
        PointOfSite::Assembly => "the assembly point",
        PointOfSite::MeetingPoint => "where the ambulance is met",
        PointOfSite::Control => "control",
        PointOfSite::FirstAid => "first aid",
        PointOfSite::Parking => "the parking",
        PointOfSite::Gate => "the gate",
        PointOfSite::Tree | PointOfSite::Obstacle => "a place",
    }
}

/// To which side people stand and leave, where an edge or water shuts the other.
pub(crate) fn leave(way: WayOff) -> Option<&'static str> {
    match way {
        WayOff::Either => None,
        WayOff::Only(Hand::Left) => Some("Leader, watchers and way out: on the driver’s left alone."),
        WayOff::Only(Hand::Right) => Some("Leader, watchers and way out: on the driver’s right alone."),
        WayOff::Neither(_) => Some(
            "Edge or water near on both sides: leader and watchers above the brow, aside of the line; nobody beside the slope.",
        ),
    }
}
