//! Recovery in sentences: rigs, refusals, systems.

use super::figure::{Fig, Show};
use crate::recovery::Recovery;
use crate::recovery::kinetic::NotAllowed;
use crate::recovery::pull::System;
use crate::recovery::rig::{Part, Refusal, Refused, Rig};

/// A system's name for a table.
pub fn system_short(system: System) -> &'static str {
    match system {
        System::ArmyDepth => "army depth rule",
        System::FireDepth => "fire agency depth rule",
        System::OldFractions => "older fractions × 1.25",
        System::TowingTrade => "towing trade",
        System::WinchMaker => "winch maker, whole weight",
        System::Physics => "forces resolved",
    }
}

/// A rig in one sentence, with its weakest part.
pub fn rig(rig: &Rig, show: Show) -> String {
    let winch = rig.parts.first().map_or("", |part| part.name.as_str());
    let weakest = rig.weakest_part();
    let time = rig.time.map_or_else(String::new, |time| format!(", {} min", minutes(time)));
    format!(
        "{}, {winch}, {} pieces{time}; weakest {} {}",
        sentence(rig.layout.short()),
        rig.parts.len(),
        weakest.name,
        carries(weakest, show)
    )
}

/// `16 of 29 kN`.
fn carries(part: &Part, show: Show) -> String {
    let (load, rating) = (show.force(part.load, false), show.force(part.rating, false));
    format!("{} of {}", load.v, rating.text())
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Minutes, to five.
pub fn minutes(seconds: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "minutes of a day")]
    let fives = libm::ceil(seconds / 300.0).clamp(1.0, 1e6) as u32;
    5 * fives
}

/// A refusal in one sentence, by name and with the figure.
pub fn refusal(refused: &Refusal, show: Show) -> String {
    let layout = sentence(refused.layout.short());
    match &refused.reason {
        Refused::Exceeds(part) => format!(
            "{layout}: {} ({}) would carry {}, may carry {}",
            part.name,
            part.role.words(),
            show.force(part.load, false).text(),
            show.force(part.rating, false).text()
        ),
        Refused::Lacks { what, has: 0, .. } => format!("{layout}: there is no {what}"),
        Refused::Lacks { what, needs, has } => format!("{layout}: needs {needs} × {what}, there are {has}"),
        Refused::TooShort { needs, has } => format!(
            "{layout}: needs {} of line, there are {}",
            show.length(*needs, false).text(),
            show.length(*has, false).text()
        ),
    }
}

/// The refusal that is nearest to success: a part, else a length, else a piece.
pub fn nearest(recovery: &Recovery) -> Option<&Refusal> {
    let order = |refused: &&Refusal| match &refused.reason {
        Refused::Exceeds(part) => (0, -part.margin),
        Refused::TooShort { needs, has } => (1, needs - has),
        Refused::Lacks { what, .. } if what.contains("point") => (2, 0.0),
        Refused::Lacks { .. } => (3, 0.0),
    };
    recovery.refused.iter().min_by(|a, b| {
        let (a, b) = (order(a), order(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    })
}

/// Why a snatch is not done, with its figure.
pub fn not_allowed(why: &NotAllowed, show: Show) -> String {
    match why {
        NotAllowed::OutsideBand { times } => {
            format!("its strength is {times:.1} times the lighter vehicle, not 2 to 3 times")
        }
        NotAllowed::Exceeds { part } => format!(
            "even the slowest speed worked peaks at {}, {} may carry {}",
            show.force(part.load, true).text(),
            part.name,
            show.force(part.rating, false).text()
        ),
        other => other.words(),
    }
}

/// The spread of the systems: `20–24 kN`.
pub fn spread(recovery: &Recovery, show: Show) -> Fig {
    show.forces(recovery.pull.low, recovery.pull.high, true)
}
