//! A radio channel that is another from now on: `step: Channel 5`, or `Channel 9` alone for control's.

use crate::course::{Course, Slope};
use crate::problem::Failure;
use crate::rota::{Change, Missing, Station, missing_of};

/// Sets the channel in the course of the day, and says it in words.
///
/// # Errors
/// No slope has that name, no channel is named, or it is on that channel already.
pub(super) fn talks(course: &mut Course, words: &str) -> Result<String, Failure> {
    let usage = |why: String| Failure::Usage(format!("--channel `{words}`: {why}"));
    let (slope, channel) = match words.split_once(':') {
        Some((slope, channel)) => (Some(slope_of(course, slope.trim()).map_err(usage)?), channel.trim()),
        None => (None, words.trim()),
    };
    if channel.is_empty() {
        return Err(usage("no channel is named; write `--channel 'SLOPE: Channel 5'`".to_owned()));
    }
    let now = match slope {
        Some(at) => course.channel_of(&course.slopes[at]),
        None => course.day.channel.as_ref(),
    };
    if now.is_some_and(|now| now.full() == channel) {
        return Err(usage(format!("it is on {channel} already")));
    }
    if slope.is_some() && course.day.channel.is_none() {
        let why = "the day has no channel for control; say that first, `--channel 'Channel 9'`";
        return Err(usage(why.to_owned()));
    }
    match slope {
        Some(at) => course.slopes[at].channel = Some(channel.into()),
        None => course.day.channel = Some(channel.into()),
    }
    let who = slope.map_or_else(|| "control".to_owned(), |at| course.slopes[at].name.short());
    Ok(format!("{who} is on {channel} from now on"))
}

/// The place of a slope among those of the course.
pub(super) fn slope_of(course: &Course, name: &str) -> Result<usize, String> {
    let found = missing_of(course, &[format!("slope:{name}")]).map_err(|unclear| unclear.to_string())?;
    found.slopes.first().copied().ok_or_else(|| format!("no slope is called `{name}`"))
}

/// Marks the slots of everybody who is to talk on another channel there than before.
pub(super) fn mark(change: &mut Change, old: &Course, new: &Course, missing: &Missing) {
    let channel = |course: &Course, slope: &Slope| course.channel_of(slope).cloned();
    let other = |at: usize| channel(old, &old.slopes[at]) != channel(new, &new.slopes[at]);
    let swapped = |station: Station| match station {
        Station::Slope(at) | Station::Demonstration(at) => other(at),
        Station::Theory => old.day.channel != new.day.channel,
    };
    let rota = &change.rota;
    let over = |slot: usize| rota.slots[slot].start < missing.from;
    let visits = rota.visits.iter().filter(|visit| swapped(visit.station) && !over(visit.slot));
    change
        .drivers
        .extend(visits.flat_map(|visit| rota.groups[visit.group].iter().map(|driver| (*driver, visit.slot))));
    let duties = rota.duties.iter().filter(|duty| swapped(duty.station) && !over(duty.slot));
    change.people.extend(duties.map(|duty| (duty.person, duty.slot)));
}
