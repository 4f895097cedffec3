//! What a change on the day prints anew: whoever's card reads otherwise gets a new one.

use std::collections::{BTreeMap, BTreeSet};

use crate::pack::book::Book;
use crate::pack::documents::KINDS;
use crate::pack::printed::{Anew, same_ground};
use crate::pack::weekend::cards::{driver_cards, staff_cards};
use crate::pack::weekend::day::Weekend;
use crate::pack::weekend::forms::certificates;
use crate::pack::weekend::on_call::calls_of;
use crate::rota::{Missing, NoRota, Patience};

impl Book<'_> {
    /// Makes the rota, and with somebody missing the rota nearest to it. Nothing happens for a course
    /// without a roster or rules.
    ///
    /// # Errors
    /// No rota fits: which limits clash.
    pub fn rotate(&mut self, missing: &Missing) -> Result<(), NoRota> {
        self.made()?;
        if missing.is_empty() || self.rota.is_none() {
            return Ok(());
        }
        let mut before = Book::of(self.course, &self.fingerprint);
        before.rota.clone_from(&self.rota);
        let mut change = self.replanned(&before, missing, None, Patience::default())?;
        change.called = self.called_otherwise(&before);
        let anew =
            Anew { documents: KINDS.iter().map(|kind| kind.name).collect(), ..self.cards_anew(&before) };
        self.shows(change, anew, 1);
        Ok(())
    }

    /// The slots from now on in which somebody of the staff is called on for something else than in the book before.
    pub fn called_otherwise(&self, before: &Book) -> BTreeSet<(usize, usize)> {
        let (Some(now), Some(then)) = (Weekend::of(self), Weekend::of(before)) else {
            return BTreeSet::new();
        };
        let from = self.missing().from;
        let known = before.course.people.len();
        let of = |person: usize| {
            let (new, old) = (calls_of(&now, person), calls_of(&then, person));
            let differs = move |slot: &usize| new.get(*slot) != old.get(*slot);
            let slots = now.rota.slots.iter().enumerate().filter(|(_, slot)| slot.start >= from);
            let slots: Vec<usize> = slots.map(|(slot, _)| slot).filter(differs).collect();
            slots.into_iter().map(move |slot| (person, slot))
        };
        (0..known).flat_map(of).collect()
    }

    /// Drivers who go down in another gear, or otherwise, in a slot from now on in which they drove there before.
    pub fn geared_otherwise(&self, before: &Book) -> BTreeSet<(usize, usize)> {
        let (Some(now), Some(then)) = (Weekend::of(self), Weekend::of(before)) else {
            return BTreeSet::new();
        };
        let slots = now.rota.slots.iter().enumerate().filter(|(_, slot)| slot.start >= self.missing().from);
        let slots: Vec<usize> = slots.map(|(slot, _)| slot).collect();
        let of = |driver: usize| {
            let differs = |slot: &usize| match (now.goes_down(driver, *slot), then.goes_down(driver, *slot)) {
                (Some((here, now)), Some((there, then))) => here == there && now != then,
                _ => false,
            };
            slots.iter().copied().filter(differs).map(|slot| (driver, slot)).collect::<Vec<_>>()
        };
        (0..before.course.roster.drivers.len()).flat_map(of).collect()
    }

    /// Whose cards read otherwise than in the book before; neither shows a change yet.
    pub fn cards_anew(&self, before: &Book) -> Anew {
        let drivers = &before.course.roster.drivers;
        let from = self.missing().from;
        Anew {
            drivers: differing(&driver_cards(before), driver_cards(self)),
            people: differing(&staff_cards(before, from), staff_cards(self, from)),
            certificates: differing(&certificates(before), certificates(self)),
            documents: Vec::new(),
            known: (drivers.len(), before.course.people.len()),
            vehicles: before.course.vehicles.len(),
            ground: !same_ground(before.course, self.course),
        }
    }
}

/// Whose card is not the one held before, or is a first one.
fn differing(before: &BTreeMap<usize, String>, now: BTreeMap<usize, String>) -> BTreeSet<usize> {
    now.into_iter().filter(|(at, card)| before.get(at) != Some(card)).map(|(at, _)| at).collect()
}
