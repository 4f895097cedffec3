//! What was printed before: the number of a change, its time, and which card everybody holds.

use std::collections::{BTreeMap, BTreeSet};

use crate::course::Course;

/// What is being printed, and what is held already.
#[derive(Clone, Debug, Default)]
pub(crate) struct Printed {
    /// Number of the change; 0 for the pack itself.
    pub(crate) number: usize,
    /// Clock time of printing, where it is known.
    pub(crate) at: Option<String>,
    /// The last change before this one that printed a card, by driver.
    drivers: BTreeMap<usize, usize>,
    /// The same, by place among the people.
    people: BTreeMap<usize, usize>,
    /// What a change prints anew; none for a pack.
    pub(crate) anew: Option<Anew>,
}

/// What a change on the day prints anew: whatever reads otherwise than before.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Anew {
    /// Drivers whose card reads otherwise, by their place in the roster.
    pub drivers: BTreeSet<usize>,
    /// Staff whose card reads otherwise, by their place among the people.
    pub people: BTreeSet<usize>,
    /// Drivers whose certificate reads otherwise, by their place in the roster.
    pub certificates: BTreeSet<usize>,
    /// Documents that read otherwise, by name.
    pub documents: Vec<&'static str>,
    /// How many drivers and staff were on the lists before.
    pub(crate) known: (usize, usize),
    /// Vehicles of the lists before.
    pub(crate) vehicles: usize,
    /// Whether some slope lies otherwise than before.
    pub(crate) ground: bool,
}

/// Whether all slopes lie as they did.
pub(super) fn same_ground(before: &Course, now: &Course) -> bool {
    before.slopes.iter().map(|slope| &slope.surface).eq(now.slopes.iter().map(|slope| &slope.surface))
}

impl Printed {
    /// Notes whose cards a change printed.
    pub(crate) fn note(&mut self, number: usize, drivers: &BTreeSet<usize>, people: &BTreeSet<usize>) {
        self.drivers.extend(drivers.iter().map(|driver| (*driver, number)));
        self.people.extend(people.iter().map(|person| (*person, number)));
    }

    /// Whether a document is printed anew; every one of a pack is.
    pub(crate) fn prints(&self, name: &str) -> bool {
        self.anew.as_ref().is_none_or(|anew| anew.documents.contains(&name))
    }

    /// The change from which a driver's card is; 0 for the pack.
    pub(crate) fn driver_holds(&self, driver: usize) -> usize {
        self.drivers.get(&driver).copied().unwrap_or(0)
    }

    /// The same of somebody of the staff.
    pub(crate) fn person_holds(&self, person: usize) -> usize {
        self.people.get(&person).copied().unwrap_or(0)
    }

    /// `change 2, printed 11:05`; none for a pack whose time is not known.
    pub(crate) fn words(&self) -> Option<String> {
        match (self.number, &self.at) {
            (0, None) => None,
            (0, Some(at)) => Some(format!("printed {at}")),
            (number, None) => Some(format!("change {number}")),
            (number, Some(at)) => Some(format!("change {number}, printed {at}")),
        }
    }

    /// The mark at the foot of every sheet: the data, then the change.
    pub(crate) fn mark(&self, fingerprint: &str) -> String {
        self.words().map_or_else(|| fingerprint.to_owned(), |words| format!("{fingerprint} · {words}"))
    }
}
