//! Recovery in sentences: rigs, refusals, systems.

use crate::page::figure::{Fig, Show};
use crate::recovery::kinetic::NotAllowed;
use crate::recovery::operator::{BESIDE, Operator};
use crate::recovery::rig::{Part, Refused, Rig, Role};

/// The winch of a rig by name, and how its line runs.
pub(crate) fn winch_of(rig: &Rig) -> String {
    let winch = rig.parts.first().map_or("", |part| part.name.as_str());
    format!("{}, {winch}", rig.layout.short())
}

/// `26.7 of 31.4 kN`: digits enough for the percent left beside them.
fn carries(part: &Part, show: Show) -> String {
    let (load, rating) = (show.fine_force(part.load, false), show.fine_force(part.rating, false));
    format!("{} of {}", load.v, rating.text())
}

/// With a capital.
pub(crate) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A part that keeps too little free, with its figures: `Snatch block 38 of 31 kN`.
pub(crate) fn short_of(part: &Part, show: Show) -> String {
    let left = libm::floor(100.0 * part.margin);
    let kept = if left < 0.0 { String::new() } else { format!(", {left:.0} % left") };
    let name = if part.role == Role::Braked { part.role.words() } else { &part.name };
    format!("{name} {}{kept}", carries(part, show))
}

/// What whoever works the winch of a rig does, after `the operator`; `mark` gives the mark of a vehicle.
pub(crate) fn operator(rig: &Rig, stuck: &str, mark: &dyn Fn(&str) -> String, show: Show) -> String {
    let carrier = rig.host.as_deref().map_or_else(String::new, mark);
    Operator::of(rig, stuck).stands(&carrier, &show.length(BESIDE, false).text())
}

/// Minutes, to five.
pub(crate) fn minutes(seconds: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "minutes of a day")]
    let fives = libm::ceil(seconds / 300.0).clamp(1.0, 1e6) as u32;
    5 * fives
}

/// Why a rig is refused.
pub(crate) fn refusal_plain(reason: &Refused, show: Show) -> String {
    match reason {
        Refused::Exceeds(part) => short_of(part, show),
        Refused::Lacks { what, has: 0, .. } => format!("there is no {}", what.words()),
        Refused::Lacks { what, needs, has } => format!("needs {needs} × {}, there are {has}", what.words()),
        Refused::TooOften { settings, most: 1 } => {
            format!("set {settings} times, and nothing holds it meanwhile")
        }
        Refused::TooOften { settings, most } => format!("set {settings} times, more than {most}: get help"),
        Refused::FacesAway => "own winch: it looks the other way".to_owned(),
        Refused::NotForThis => "not used for such work".to_owned(),
        Refused::TooShort { needs, has } => format!(
            "needs {} of line, there are {}",
            show.length(*needs, false).text(),
            show.length(*has, false).text()
        ),
    }
}

/// Why a snatch is not done, with its figure.
pub(crate) fn not_allowed(why: &NotAllowed, show: Show) -> String {
    match why {
        NotAllowed::OutsideBand { times } => {
            format!("its strength is {times:.1} times the lighter vehicle, not 2 to 3 times")
        }
        NotAllowed::Exceeds { part } => format!(
            "even the slowest speed worked peaks at {}, too much for the {}, which may carry {}, less the margin",
            about(part.load, show).text(),
            part.name,
            show.force(part.rating, false).text()
        ),
        NotAllowed::OneSpeed { part, speed } => format!(
            "the slowest speed alone leaves enough free; at {}, which nobody tells from it, it peaks at {}, over what the {} may carry, {}",
            show.limit(*speed).text(),
            about(part.load, show).text(),
            part.name,
            show.force(part.rating, false).text()
        ),
        other => other.words(),
    }
}

/// An estimated force: two digits, whatever the unit.
pub(crate) fn about(newtons: f64, show: Show) -> Fig {
    let shown = show.force(newtons, true);
    Fig { v: two_digits(&shown.v), ..shown }
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

/// What a part of a rig is called in a table: its name, whose it is, and what it does there where the name
/// does not say so. `mark` is that of the vehicle it is on.
pub(crate) fn part_name(part: &Part, mark: &str) -> String {
    let says = |words: &[&str]| {
        let name = part.name.to_lowercase();
        words.iter().any(|word| name.contains(word))
    };
    let told = match part.role {
        Role::Braked => return format!("{mark} braked, as anchor"),
        Role::Grip => return format!("{mark}: grip of its wheels"),
        Role::TugBrake => return format!("{mark}: foot brake, holding both"),
        Role::CasualtyPoint | Role::HelperPoint => {
            return format!("{mark}: {}{}", part.name, side_load(part));
        }
        Role::Winch => says(&["winch"]),
        Role::WinchLine | Role::TowLine => says(&["line", "rope"]),
        Role::Block => says(&["block"]),
        Role::Shackle => says(&["shackle"]),
        Role::Strap => says(&["strap"]),
        Role::Extension => says(&["extension"]),
        Role::Anchor => says(&["anchor"]),
        Role::TowBar => says(&["bar"]),
        Role::Bridle => false,
    };
    let role = if part.role == Role::Bridle { "each leg" } else { part.role.words() };
    let named = if told { part.name.clone() } else { format!("{}, {role}", part.name) };
    let named = part.joins.map_or_else(|| named.clone(), |joins| format!("{named}, {}", joins.words()));
    format!("{named}{}", side_load(part))
}

/// What a side load leaves of a part, where it leaves less than all.
fn side_load(part: &Part) -> String {
    if part.counts < 1.0 { format!(", sideways {:.0} %", 100.0 * part.counts) } else { String::new() }
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
        let part = |role, name: &str| part_name(&Part::new(role, "x", name, 1.0, 2.0), "B");
        assert_eq!(part(Role::Block, "Snatch block"), "Snatch block");
        assert_eq!(part(Role::Block, "Big pulley"), "Big pulley, block");
        assert_eq!(part(Role::CasualtyPoint, "rear hitch"), "B: rear hitch");
    }
}
