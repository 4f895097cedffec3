//! How much room is left under the vehicles of a slope, in words and drawn.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::engine::{Bend, Room, Under, stood};
use crate::pack::facts::Facts;
use crate::page::figure::Show;

/// Room from which nobody needs to look, m. Judgement: springs give, and a brow is never as even as it was measured.
const PLENTY: f64 = 0.05;

/// Ground between level parts that bends less than this at once is met by every vehicle, rad: 10°. Judgement.
const SHARP: f64 = 10.0 * std::f64::consts::PI / 180.0;

/// A vehicle where it has least room on a slope, drawn from the side, m.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Clearance {
    /// The ground, from behind the vehicle to ahead of it.
    pub ground: Vec<[f64; 2]>,
    /// Front and rear hub.
    pub hubs: [[f64; 2]; 2],
    /// Height of a hub over level ground: what the wheels are drawn with.
    pub radius: f64,
    /// Low points from front to rear.
    pub under: Vec<[f64; 2]>,
    /// Whether it touches: then it is why the vehicle does not go.
    pub touches: bool,
    /// What it shows.
    pub alt: String,
    pub caption: String,
}

/// Those that go with little room under them: `A, C: belly 4 cm clear at the brow`; none where all have plenty.
pub(crate) fn tight(facts: &Facts, slope: &Slope) -> Option<String> {
    let mut alike: Vec<(String, Vec<String>)> = Vec::new();
    for vehicle in &facts.course.vehicles {
        let pair = facts.pair(slope, vehicle);
        let rooms = pair.rooms.iter().filter(|room| pair.judged.mark.goes() && room.spare() < PLENTY);
        let words = rooms.map(|room| room_words(room, facts.show)).collect::<Vec<_>>().join(", ");
        let mark = facts.vehicle_mark(&vehicle.id);
        match alike.iter_mut().find(|(known, _)| *known == words) {
            _ if words.is_empty() => {}
            Some((_, marks)) => marks.push(mark),
            None => alike.push((words, vec![mark])),
        }
    }
    let all: Vec<String> =
        alike.into_iter().map(|(words, marks)| format!("{}: {words}", marks.join(", "))).collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// Vehicles that go and that nobody measured from below, where the ground bends sharply at brow, joint or foot, or at a step.
pub(crate) fn unmeasured(facts: &Facts, slope: &Slope) -> Option<String> {
    if !bends_sharply(slope) {
        return None;
    }
    let goes = |vehicle: &&Vehicle| facts.pair(slope, vehicle).judged.mark.goes();
    let going: Vec<&Vehicle> = facts.course.vehicles.iter().filter(goes).collect();
    let unmeasured = going.iter().filter(|vehicle| vehicle.underside.is_none());
    let marks: Vec<String> = unmeasured.map(|vehicle| facts.vehicle_mark(&vehicle.id)).collect();
    match marks.len() {
        0 => None,
        all if all == going.len() && all > 1 => Some("all".to_owned()),
        _ => Some(marks.join(", ")),
    }
}

fn bends_sharply(slope: &Slope) -> bool {
    let stretches = slope.stretches.iter().map(|stretch| stretch.gradient.si());
    let beyond = slope.run_out.as_ref().map(|run_out| run_out.gradient.si());
    let grades: Vec<f64> = std::iter::once(slope.brow.before.si()).chain(stretches).chain(beyond).collect();
    slope.has_step() || grades.windows(2).any(|pair| (pair[1] - pair[0]).abs() >= SHARP)
}

/// The vehicle with least room on a slope, touching or with little left; none where all that are measured have plenty.
pub(crate) fn drawn(facts: &Facts, slope: &Slope) -> Option<Clearance> {
    let rooms = facts
        .course
        .vehicles
        .iter()
        .flat_map(|vehicle| facts.pair(slope, vehicle).rooms.iter().map(move |room| (vehicle, room)));
    let (vehicle, room) = rooms.min_by(|(_, a), (_, b)| a.spare().total_cmp(&b.spare()))?;
    if room.spare() >= PLENTY {
        return None;
    }
    let stood = stood(facts.course, slope, vehicle, room)?;
    let words = format!(
        "{} on {}: {}",
        facts.vehicle_mark(&vehicle.id),
        slope.name.short(),
        room_words(room, facts.show)
    );
    let rut = if slope.bump.is_some() { "; ruts and bumps, not drawn, take their part of it" } else { "" };
    Some(Clearance {
        ground: stood.ground,
        hubs: stood.hubs,
        radius: vehicle.underside.as_ref()?.hub.si(),
        under: stood.under,
        touches: room.spare() <= 0.0,
        alt: format!("From the side, to scale: {words}."),
        caption: format!(
            "{words}. Every joint of the ground is drawn sharper by one step of its instrument{rut}."
        ),
    })
}

fn room_words(room: &Room, show: Show) -> String {
    let part = match room.under {
        Under::Nose => "nose",
        Under::Belly => "belly",
        Under::Tail => "tail",
    };
    let spare = room.spare();
    let left = if spare >= 0.0 {
        format!("{} clear", show.room(spare).text())
    } else {
        // Rounded away from the ground, as what is left is.
        format!("touches, {} too low", show.room(0.00999 - spare).text())
    };
    let down = || show.length(room.from_brow, false).text();
    let place = match room.bend {
        Bend::Brow => "at the brow".to_owned(),
        Bend::Joint => format!("where the ground bends, {} down", down()),
        Bend::Step => format!("at the step, {} down", down()),
        Bend::Foot => "at the foot".to_owned(),
    };
    format!("{part} {left} {place}")
}
