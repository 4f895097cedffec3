//! The ladder of means in sentences.

use crate::pack::recovery::words;
use crate::page::figure::Show;
use crate::recovery::ladder::right::NoRighting;
use crate::recovery::ladder::tow::NoTow;
use crate::recovery::ladder::{Does, Ladder, Means, Rung, WhyNot};
use crate::recovery::pull::Direction;
use crate::recovery::rig::Part;

/// A means in two or three words.
pub(crate) const fn short(means: Means, direction: Option<Direction>) -> &'static str {
    match (means, direction) {
        (Means::Think, _) => "stop and think",
        (Means::Dig, _) => "dig, air down, boards",
        (Means::DriveOut, _) => "drive out downhill",
        (Means::Lower, _) => "let down on the line",
        (Means::Tow, _) => "tow along the track",
        (Means::SingleLine, Some(Direction::Up)) => "winch up, single line",
        (Means::SingleLine, _) => "winch down, single line",
        (Means::DoubleLine, Some(Direction::Up)) => "winch up, more parts of line",
        (Means::DoubleLine, _) => "winch down, more parts of line",
        (Means::TwoStages, Some(Direction::Up)) => "winch up in two stages",
        (Means::TwoStages, _) => "winch down in two stages",
        (Means::Right, _) => "right it, with a catch line",
        (Means::Professional, _) => "call a professional",
    }
}

/// What a rung takes and, where parts are chosen for more, what for: `3.7, 7.4`. Without the unit.
pub(crate) fn force(rung: &Rung, show: Show) -> String {
    let about = |newtons: f64| words::about(newtons, show).v;
    match (rung.force, rung.chosen_for) {
        (Some(force), Some(chosen)) if (chosen - force).abs() > 1.0 => {
            format!("{}, {}", about(force), about(chosen))
        }
        (Some(force), _) => about(force),
        (None, _) => String::new(),
    }
}

/// The part of a rung with the least left.
pub(crate) fn weakest(rung: &Rung) -> Option<&Part> {
    let rigs = rung.rig.iter().chain(&rung.catch).flat_map(|rig| &rig.parts);
    let parts = rigs.chain(rung.tow.iter().flat_map(|tow| &tow.parts));
    parts.min_by(|a, b| a.margin.total_cmp(&b.margin))
}

/// Safety gear that is not in the kit, in words.
pub(crate) fn lacks(rung: &Rung) -> Option<String> {
    let all: Vec<&str> = rung.missing.iter().map(|what| what.words()).collect();
    (!all.is_empty()).then(|| all.join(", "))
}

/// Why each rung that is passed over does not do it, in one line, those with the same reason together; where none is
/// chosen, why the one that comes nearest does not. None where nothing stands before it but what is tried. `reckon`
/// tells all.
pub(crate) fn why_not_before(ladder: &Ladder, show: Show) -> Option<String> {
    let until = ladder.first.unwrap_or(ladder.rungs.len());
    let refused = ladder.rungs[..until].iter().filter_map(|rung| match &rung.does {
        // How it is stuck says as much; the plan tells it once.
        Does::No { why: WhyNot::CannotTurn | WhyNot::HeldFast } if ladder.first.is_some() => None,
        Does::No { why } => Some((rung, why)),
        _ => None,
    });
    if ladder.first.is_none() {
        // Of those that come equally near, the one that is tried first.
        let all: Vec<(&Rung, &WhyNot)> = refused.collect();
        let (rung, reason) = all.into_iter().rev().max_by_key(|(_, why)| nearness(why))?;
        return Some(told(&[in_short(rung.means, rung.direction)], why(reason, rung, show), reason));
    }
    let mut groups: Vec<(Vec<&str>, String, &WhyNot)> = Vec::new();
    for (rung, reason) in refused {
        let said = why(reason, rung, show);
        let short = in_short(rung.means, rung.direction);
        match groups.iter_mut().find(|(_, known, _)| *known == said) {
            Some((means, ..)) => means.push(short),
            None => groups.push((vec![short], said, reason)),
        }
    }
    let all = groups.into_iter().map(|(means, said, reason)| told(&means, said, reason));
    let all: Vec<String> = all.collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// What holds for every rung needs no rung's name.
fn told(means: &[&str], said: String, reason: &WhyNot) -> String {
    let of_all = matches!(reason, WhyNot::NoRatedPoint | WhyNot::NoWinch { .. });
    if of_all { said } else { format!("{}: {said}", means.join(", ")) }
}

/// A means in a word or two, before the reason why it is not done.
const fn in_short(means: Means, direction: Option<Direction>) -> &'static str {
    match (means, direction) {
        (Means::DriveOut, _) => "drive out",
        (Means::Lower, _) => "let down",
        (Means::Tow, _) => "tow",
        (Means::SingleLine, Some(Direction::Up)) => "up, single",
        (Means::SingleLine, _) => "down, single",
        (Means::DoubleLine, Some(Direction::Up)) => "up, more parts",
        (Means::DoubleLine, _) => "down, more parts",
        (Means::TwoStages, Some(Direction::Up)) => "up in stages",
        (Means::TwoStages, _) => "down in stages",
        (Means::Right, _) => "right it",
        (means, direction) => short(means, direction),
    }
}

/// How near to success a rung came.
fn nearness(why: &WhyNot) -> u8 {
    match why {
        WhyNot::NoRig { nearest } => 3 + nearest.as_ref().map_or(0, |refused| refused.reason.nearness()),
        WhyNot::NoWinch { .. } => 10,
        WhyNot::NoSecondMeans { .. } | WhyNot::TooLong { .. } | WhyNot::NothingHolds => 9,
        WhyNot::OverAStep | WhyNot::OnALeaningLine => 8,
        WhyNot::MissingKit | WhyNot::NoTow(_) | WhyNot::NoRighting(_) | WhyNot::OutOfReach { .. } => 2,
        WhyNot::NoRatedPoint => 1,
        WhyNot::CannotTurn | WhyNot::HeldFast | WhyNot::DoesNotRun => 0,
    }
}

fn why(reason: &WhyNot, rung: &Rung, show: Show) -> String {
    match reason {
        WhyNot::CannotTurn => "its wheels do not turn".to_owned(),
        WhyNot::OnALeaningLine => {
            "wheels that do not turn slide to the low side of a line that leans".to_owned()
        }
        WhyNot::OverAStep => "wheels that do not turn are not dragged over the step".to_owned(),
        WhyNot::HeldFast => "the ground holds it".to_owned(),
        WhyNot::DoesNotRun => "it does not run down by itself".to_owned(),
        WhyNot::NoRatedPoint => "no rated recovery point".to_owned(),
        WhyNot::NoWinch { line, anchor } => {
            let lacks =
                [(true, "no winch with a rated line"), (*line, "no other line"), (*anchor, "no anchor")];
            let lacks: Vec<&str> =
                lacks.into_iter().filter_map(|(lacks, what)| lacks.then_some(what)).collect();
            lacks.join(", ")
        }
        WhyNot::TooLong { takes } => {
            format!("takes about {} h: get help", libm::ceil(takes / 3600.0))
        }
        WhyNot::NothingHolds => "nothing would hold it while the anchor is set anew".to_owned(),
        WhyNot::NoRig { nearest: None } => "no rig of this kit".to_owned(),
        WhyNot::NoRig { nearest: Some(refused) } => words::refusal_plain(&refused.reason, show),
        WhyNot::OutOfReach { stages } => format!("{stages} stages, more than two"),
        WhyNot::NoSecondMeans { brake, nearest } => {
            let catch = nearest.as_ref().map_or_else(
                || "no catch line".to_owned(),
                |refused| format!("no catch line, {}", words::refusal_plain(refused, show)),
            );
            format!(
                "no second means: its locked wheels hold {} for {}; {catch}",
                show.force(brake.holds, true).v,
                show.force(brake.pulls, true).text()
            )
        }
        WhyNot::MissingKit => {
            let all: Vec<&str> = rung.missing.iter().map(|what| what.words()).collect();
            format!("not in the kit: {}", all.join(", "))
        }
        WhyNot::NoTow(no) => no_tow(no, show),
        WhyNot::NoRighting(no) => no_righting(no, show),
    }
}

fn no_tow(no: &NoTow, show: Show) -> String {
    match no {
        NoTow::TooSteep { gradient } => format!("{:.0} % steep, towing ends at 25 %", 100.0 * gradient),
        NoTow::NoLine => "no rated tow line of 4 m and two shackles".to_owned(),
        NoTow::NoPoints => "no tug with a rated rear point, or no rated front point on it".to_owned(),
        NoTow::RunsIntoTug { down, ground } => format!(
            "on a rope it would run into the tug, {} down and {} of ground; no rated bar",
            words::about(*down, show).text(),
            words::about(*ground, show).text()
        ),
        NoTow::NoBrake { needs, has } => format!(
            "no tug’s foot brake holds both: {} wanted, {} there",
            words::about(*needs, show).text(),
            words::about(*has, show).text()
        ),
        NoTow::NoGrip { needs, has } => format!(
            "no tug grips enough: {} wanted, {} there",
            words::about(*needs, show).text(),
            words::about(*has, show).text()
        ),
        NoTow::Exceeds { part } => words::short_of(part, show),
    }
}

fn no_righting(no: &NoRighting, show: Show) -> String {
    match no {
        NoRighting::TooSteep { gradient } => format!(
            "the ground falls {}: it would run once it stands; righted up to 10° only",
            show.grade(*gradient)
        ),
        NoRighting::OneWinch => "two winches are wanted, one to pull and one to hold it back".to_owned(),
        NoRighting::NoUpperPoints { side } => {
            format!("no rated points front and rear on its {} side", side.words())
        }
        NoRighting::NoPull { nearest: None } => "no rig pulls it up".to_owned(),
        NoRighting::NoPull { nearest: Some(refused) } => words::refusal_plain(&refused.reason, show),
        NoRighting::NoCatch { needs, .. } => {
            format!(
                "no second rig, turned aside so that nobody stands where it would roll, holds the catch line, {}",
                words::about(*needs, show).text()
            )
        }
    }
}
