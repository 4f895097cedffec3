//! The ladder of means in sentences.

use crate::pack::recovery::words;
use crate::page::figure::Show;
use crate::recovery::ladder::right::NoRighting;
use crate::recovery::ladder::tow::NoTow;
use crate::recovery::ladder::{Does, Ladder, Means, Rung, WhyNot};
use crate::recovery::pull::{Direction, Stuck};

/// A means in two or three words.
pub const fn short(means: Means, direction: Option<Direction>) -> &'static str {
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

/// How it is stuck, in a word or two.
pub const fn stuck_short(stuck: Stuck) -> &'static str {
    use crate::recovery::facts::Mark;
    match stuck {
        Stuck::Rolls => "wheels free",
        Stuck::Locked => "wheels locked",
        Stuck::Mired(Mark::Sidewall) => "sunk, sidewalls",
        Stuck::Mired(Mark::Hub) => "sunk, hubs",
        Stuck::Mired(Mark::Wing) => "sunk, wings",
        Stuck::Mired(Mark::Cab) => "sunk, cab",
        Stuck::Overturned => "on its side",
    }
}

/// What a rung comes to, with its force, its rig and the part with the least left.
pub fn does(rung: &Rung, show: Show) -> String {
    let force = rung.force.map_or_else(String::new, |force| {
        let says = if rung.means == Means::Lower { "holds" } else { "pull" };
        let at_once = match rung.chosen_for.filter(|chosen| (chosen - force).abs() > 1.0) {
            Some(chosen) => format!(", parts for {}", words::about(chosen, show).text()),
            None => String::new(),
        };
        format!(", {says} {}{at_once}", words::about(force, show).text())
    });
    let by = match (&rung.rig, &rung.tow) {
        (Some(rig), _) => {
            let time = rig.time.map_or_else(String::new, |time| format!(", {} min", words::minutes(time)));
            format!(
                "; {}{time}; least left: {}",
                words::winch_of(rig),
                words::left_of(rig.weakest_part(), show)
            )
        }
        (None, Some(tow)) => {
            let weakest = tow.parts.iter().min_by(|a, b| a.margin.total_cmp(&b.margin));
            let least = weakest
                .map_or_else(String::new, |part| format!("; least left: {}", words::left_of(part, show)));
            format!("; by {}{least}", tow.tug_name)
        }
        (None, None) => String::new(),
    };
    let lacks = if rung.missing.is_empty() {
        String::new()
    } else {
        let all: Vec<&str> = rung.missing.iter().map(|what| what.words()).collect();
        format!(". Not in the kit: {}", all.join(", "))
    };
    format!("{}{force}{by}{lacks}", words::sentence(short(rung.means, rung.direction)))
}

/// Why the rungs before the chosen one do not do it: for one that is chosen the last two before it, else
/// the two that come nearest. `reckon` tells all.
pub fn why_not_before(ladder: &Ladder, show: Show) -> Vec<String> {
    let until = ladder.first.unwrap_or(ladder.rungs.len());
    let refused = ladder.rungs[..until].iter().filter_map(|rung| match &rung.does {
        Does::No { why } => Some((rung, why)),
        _ => None,
    });
    let mut refused: Vec<(&Rung, &WhyNot)> = refused.collect();
    if ladder.first.is_none() {
        refused.sort_by_key(|(_, why)| nearness(why));
    }
    let mut told: Vec<String> = Vec::new();
    for (rung, reason) in refused.into_iter().rev() {
        let said = why(reason, rung, show);
        if told.len() < 2 && !told.iter().any(|known| known.ends_with(&format!(": {said}"))) {
            told.push(format!("{}: {said}", words::sentence(short(rung.means, rung.direction))));
        }
    }
    told
}

/// How near to success a rung came.
fn nearness(why: &WhyNot) -> u8 {
    match why {
        WhyNot::NoRig { nearest } => 2 + nearest.as_ref().map_or(0, |refused| refused.reason.nearness()),
        WhyNot::MissingKit | WhyNot::NoTow(_) | WhyNot::NoRighting(_) | WhyNot::OutOfReach { .. } => 1,
        WhyNot::CannotTurn | WhyNot::HeldFast | WhyNot::DoesNotRun | WhyNot::NoRatedPoint => 0,
    }
}

fn why(reason: &WhyNot, rung: &Rung, show: Show) -> String {
    match reason {
        WhyNot::CannotTurn => "its wheels do not turn".to_owned(),
        WhyNot::HeldFast => "the ground holds it".to_owned(),
        WhyNot::DoesNotRun => "it does not run down by itself".to_owned(),
        WhyNot::NoRatedPoint => "it has no rated recovery point".to_owned(),
        WhyNot::NoRig { nearest: None } => "no rig of this kit".to_owned(),
        WhyNot::NoRig { nearest: Some(refused) } => words::refusal_plain(refused, show),
        WhyNot::OutOfReach { stages } => format!("{stages} stages, more than two"),
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
        NoRighting::NoPull { nearest: None } => "no rig pulls it up".to_owned(),
        NoRighting::NoPull { nearest: Some(refused) } => words::refusal_plain(refused, show),
        NoRighting::NoCatch { needs, .. } => {
            format!("no second rig holds the catch line, {}", words::about(*needs, show).text())
        }
    }
}
