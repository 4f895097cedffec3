//! The ways between the places of the rota, as cards and run sheets say them.

use std::collections::BTreeMap;

use super::{Stretch, Weekend};
use crate::rota::Station;

impl Weekend<'_> {
    /// Somebody's day, with the way to each place from where they were last.
    pub(crate) fn with_ways(
        &self,
        mut day: Vec<Stretch>,
        station: impl Fn(usize) -> Option<Station>,
    ) -> Vec<Stretch> {
        let mut last = None;
        for (slot, part) in day.iter_mut().enumerate().filter(|(_, part)| part.mark != "–") {
            let Some(here) = station(slot).map(slope_of) else { continue };
            let minutes = last.map_or(0, |last| self.book.course.way(last, here));
            if let Some(from) = last.filter(|_| minutes > 0) {
                let from = self.place_mark(from);
                part.place = format!("{} ({minutes}\u{a0}min from\u{a0}{from})", part.place);
            }
            last = Some(here);
        }
        day
    }

    /// The ways there are, in a sentence or two; none where the course says nothing.
    pub(crate) fn ways(&self) -> Option<String> {
        let course = self.book.course;
        let rules = course.rota.as_ref().filter(|rules| rules.ways.is_some())?;
        let slopes = (0..course.slopes.len()).filter(|slope| course.drives_today(*slope)).map(Some);
        let places: Vec<Option<usize>> = slopes.chain(rules.theory.as_ref().map(|_| None)).collect();
        let mut by_length: BTreeMap<u16, Vec<String>> = BTreeMap::new();
        for (at, one) in places.iter().enumerate() {
            for two in &places[at + 1..] {
                let ends = format!("{}–{}", self.place_mark(*one), self.place_mark(*two));
                by_length.entry(course.way(*one, *two)).or_default().push(ends);
            }
        }
        let most = by_length.values().map(Vec::len).max()?;
        let usual = by_length.iter().find(|(_, ends)| ends.len() == most && most > 2).map(|(long, _)| *long);
        let named = by_length.iter().rev().filter(|(long, _)| Some(**long) != usual);
        let mut parts: Vec<String> =
            named.map(|(long, ends)| format!("{} {long}\u{a0}min", ends.join(", "))).collect();
        parts.extend(usual.map(|long| {
            let which = if parts.is_empty() { "everywhere" } else { "all others" };
            format!("{which} {long}\u{a0}min")
        }));
        let longer = "a longer way is gone over lunch, a pause or a free slot";
        let pause = self.rota.pause();
        Some(format!("Ways: {}. From slot to slot {pause}\u{a0}min; {longer}.", parts.join("; ")))
    }

    fn place_mark(&self, slope: Option<usize>) -> String {
        slope.map_or_else(
            || "Talk".to_owned(),
            |slope| self.book.slope_mark(&self.book.course.slopes[slope].id),
        )
    }
}

/// The slope a station is on; none for the lesson.
fn slope_of(station: Station) -> Option<usize> {
    match station {
        Station::Slope(slope) | Station::Demonstration(slope) => Some(slope),
        Station::Theory => None,
    }
}
