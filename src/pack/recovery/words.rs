//! Recovery in sentences: rigs, refusals, systems.

use crate::page::figure::{Fig, Show};
use crate::recovery::Recovery;
use crate::recovery::kinetic::NotAllowed;
use crate::recovery::pull::System;
use crate::recovery::rig::{Part, Refusal, Refused, Rig, Role};

/// A system's name for a table.
pub fn system_short(system: System) -> &'static str {
    match system {
        System::ArmyDepth => "army depth rule",
        System::FireDepth => "fire agency depth rule",
        System::OldFractions => "older fractions × 1.25",
        System::TowingTrade => "towing trade",
        System::WinchMaker => "winch maker",
        System::Physics => "forces resolved",
    }
}

/// A rig in one sentence, with its weakest part.
pub fn rig(rig: &Rig, show: Show) -> String {
    let winch = rig.parts.first().map_or("", |part| part.name.as_str());
    let weakest = rig.weakest_part();
    let time = rig.time.map_or_else(String::new, |time| format!(", {} min", minutes(time)));
    format!(
        "{}, {winch}{time}; weakest {} {}",
        sentence(rig.layout.short()),
        weakest.name,
        carries(weakest, show)
    )
}

/// The same in fewer words, for a second choice.
pub fn rig_short(rig: &Rig, show: Show) -> String {
    let weakest = rig.weakest_part();
    let time = rig.time.map_or_else(String::new, |time| format!(", {} min", minutes(time)));
    format!("{}{time}; weakest {} {}", sentence(rig.layout.short()), weakest.name, carries(weakest, show))
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
        Refused::Lacks { what, has: 0, .. } => format!("{layout}: there is no {}", what.words()),
        Refused::Lacks { what, needs, has } => {
            format!("{layout}: needs {needs} × {}, there are {has}", what.words())
        }
        Refused::FacesAway => {
            format!(
                "{layout}, own winch: it is at the front and pulls forward only; this pull is not that way"
            )
        }
        Refused::TooShort { needs, has } => format!(
            "{layout}: needs {} of line, there are {}",
            show.length(*needs, false).text(),
            show.length(*has, false).text()
        ),
    }
}

/// The refusal that is nearest to success: a part, else a length, else a piece.
pub fn nearest(recovery: &Recovery) -> Option<&Refusal> {
    let short = |reason: &Refused| match reason {
        Refused::Exceeds(part) => -part.margin,
        Refused::TooShort { needs, has } => needs - has,
        Refused::Lacks { .. } | Refused::FacesAway => 0.0,
    };
    recovery.refused.iter().min_by(|a, b| {
        let nearer = b.reason.nearness().cmp(&a.reason.nearness());
        nearer.then(short(&a.reason).total_cmp(&short(&b.reason)))
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
            about(part.load, show).text(),
            part.name,
            show.force(part.rating, false).text()
        ),
        other => other.words(),
    }
}

/// The spread of the systems: `20–24 kN`.
pub fn spread(recovery: &Recovery, show: Show) -> Fig {
    about_range(recovery.pull.low, recovery.pull.high, show)
}

/// An estimated force: two digits, whatever the unit.
pub fn about(newtons: f64, show: Show) -> Fig {
    let shown = show.force(newtons, true);
    Fig { v: two_digits(&shown.v), ..shown }
}

/// A range of estimated forces.
pub fn about_range(low: f64, high: f64, show: Show) -> Fig {
    let (low, high) = (about(low, show), about(high, show));
    let v = if low.v == high.v { low.v } else { format!("{}–{}", low.v, high.v) };
    Fig { v, ..high }
}

/// Whole numbers rounded to two digits: `10920` to `11000`.
fn two_digits(shown: &str) -> String {
    match shown.parse::<u64>() {
        Ok(whole) if whole >= 100 => {
            let step = 10_u64.pow(whole.ilog10() - 1);
            ((whole + step / 2) / step * step).to_string()
        }
        _ => shown.to_owned(),
    }
}

/// What a part of a rig is called in a table: its name, and what it does there where the name does not
/// say so.
pub fn part_name(part: &Part) -> String {
    let says = |words: &[&str]| {
        let name = part.name.to_lowercase();
        words.iter().any(|word| name.contains(word))
    };
    let told = match part.role {
        Role::WinchLine => says(&["line", "rope"]),
        Role::Block => says(&["block"]),
        Role::Shackle => says(&["shackle"]),
        Role::Strap => says(&["strap"]),
        Role::Extension => says(&["extension"]),
        Role::Anchor => says(&["anchor"]),
        _ => false,
    };
    let role = match part.role {
        Role::Winch => "on the layer at the end",
        Role::Bridle => "each leg",
        Role::Braked => "as braked anchor",
        other => other.words(),
    };
    if told { part.name.clone() } else { format!("{}, {role}", part.name) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::UnitSystem;

    #[test]
    fn an_estimated_force_has_two_digits_in_either_system() {
        let pounds = |force: f64| about(force * 4.448_221_615_260_5, Show::new(UnitSystem::Imperial)).v;
        assert_eq!([pounds(3567.0), pounds(10_920.0), pounds(98.0)], ["3600", "11000", "98"]);
        assert_eq!(about(27_400.0, Show::new(UnitSystem::Metric)).text(), "27 kN");
    }

    #[test]
    fn a_part_is_not_named_twice() {
        let part = |role, name: &str| part_name(&Part::new(role, "x", name, 1.0, 2.0));
        assert_eq!(part(Role::Block, "Snatch block"), "Snatch block");
        assert_eq!(part(Role::Block, "Big pulley"), "Big pulley, block");
        assert_eq!(part(Role::CasualtyPoint, "rear hitch"), "rear hitch, point of the stuck vehicle");
    }
}
