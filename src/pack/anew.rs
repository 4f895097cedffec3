//! What a change on the day prints anew: whoever's card reads otherwise gets a new one.

use std::collections::{BTreeMap, BTreeSet};

use crate::pack::book::Book;
use crate::pack::documents::KINDS;
use crate::pack::printed::Anew;
use crate::pack::weekend::cards::{driver_cards, staff_cards};
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
        let change = self.replanned(&before, missing, None, Patience::default())?;
        let anew =
            Anew { documents: KINDS.iter().map(|kind| kind.name).collect(), ..self.cards_anew(&before) };
        self.shows(change, anew, 1);
        Ok(())
    }

    /// Whose cards read otherwise than in the book before; neither shows a change yet.
    pub fn cards_anew(&self, before: &Book) -> Anew {
        let drivers = &before.course.roster.drivers;
        let from = self.missing().from;
        Anew {
            drivers: differing(&driver_cards(before), driver_cards(self)),
            people: differing(&staff_cards(before, from), staff_cards(self, from)),
            documents: Vec::new(),
            known: (drivers.len(), before.course.people.len()),
            vehicles: before.course.vehicles.len(),
        }
    }
}

/// Whose card is not the one held before, or is a first one.
fn differing(before: &BTreeMap<usize, String>, now: BTreeMap<usize, String>) -> BTreeSet<usize> {
    now.into_iter().filter(|(at, card)| before.get(at) != Some(card)).map(|(at, _)| at).collect()
}
