//! The day cut into slots: lunch, pauses and daylight left out.

pub(super) mod sun;

use super::Slot;
use crate::course::{Clock, RotaRules};
use sun::sun;

/// `09:05` of minutes since midnight.
pub fn clock_text(minutes: u16) -> String {
    Clock::at(minutes).to_string()
}

/// What of the day's rules is let go, to find which limits clash.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Longer {
    /// Minutes the day ends later.
    pub(super) minutes: u16,
    /// Daylight is not asked for.
    pub(super) dark: bool,
    /// Lunch is not asked for.
    pub(super) hungry: bool,
    /// Minutes from slot to slot, where they are more than the changeover.
    pub(super) pause: u16,
}

/// The slots of a day, each this long.
pub(super) fn slots(rules: &RotaRules, length: u16, longer: Longer) -> Vec<Slot> {
    let light = if longer.dark { None } else { sun(rules) };
    let first = light.map_or(rules.from, |sun| rules.from.max(sun.rise.saturating_add(rules.daylight)));
    let until = rules.until.saturating_add(longer.minutes).min(24 * 60);
    let last = light.map_or(until, |sun| until.min(sun.set.saturating_sub(rules.daylight)));
    let lunch = rules.lunch.filter(|_| !longer.hungry);
    let (most, pause) = (minutes(rules.duty.most.si()), minutes(rules.duty.pause.si()));
    let changeover = rules.changeover.max(longer.pause);
    let (mut slots, mut at, mut since) = (Vec::new(), first, first);
    let mut eaten = false;
    while at + length <= last {
        if let Some((from, long)) = lunch
            && !eaten
            && at + length > from
        {
            // Lunch begins when it is due, or at once when the morning ran over.
            at = at.max(from) + long;
            since = at;
            eaten = true;
            continue;
        }
        if at + length - since > most && since < at {
            at = slots.last().map_or(at, |slot: &Slot| slot.end + pause.max(changeover));
            since = at;
            continue;
        }
        slots.push(Slot { start: at, end: at + length });
        at += length + changeover;
    }
    slots
}

/// Whole minutes of seconds, rounded up.
pub(super) fn minutes(seconds: f64) -> u16 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded by a day")]
    let minutes = libm::ceil(seconds / 60.0 - 1e-9).clamp(0.0, 1440.0) as u16;
    minutes
}
