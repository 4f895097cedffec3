//! What a vehicle leaves out, filled in from its class and written down.

use std::cell::RefCell;

use crate::course::cursor::Read;
use crate::course::vehicle::usual::{Usual, usual};
use crate::course::{Fuel, LOW_UNTOLD, VehicleClass};

/// The order in which pages tell what was estimated.
const ORDER: [&str; 15] = [
    "fuel",
    "displacement",
    "idle",
    "ratios",
    "gearbox",
    "transfer-high",
    "transfer-low",
    LOW_UNTOLD,
    "class",
    "mass",
    "wheelbase",
    "tyres",
    "axle",
    "drive",
    "brakes",
];

/// The usual values of a vehicle's class, and which of them were taken.
pub(super) struct Fill {
    pub(super) usual: Usual,
    taken: RefCell<Vec<&'static str>>,
}

impl Fill {
    pub(super) fn of(class: VehicleClass, fuel: Fuel) -> Self {
        Self { usual: usual(class, fuel), taken: RefCell::default() }
    }

    /// The value given, or else the class's, which is written down under its key.
    pub(super) fn or<T>(&self, key: &'static str, given: Read<Option<T>>, otherwise: T) -> Read<T> {
        Ok(given?.unwrap_or_else(|| {
            self.taken.borrow_mut().push(key);
            otherwise
        }))
    }

    /// The keys of what was taken, in the order pages tell them.
    pub(super) fn taken(self) -> Vec<&'static str> {
        in_order(self.taken.into_inner())
    }
}

/// Keys of what was estimated, in the order pages tell them.
pub(super) fn in_order(mut keys: Vec<&'static str>) -> Vec<&'static str> {
    let place = |key: &&'static str| ORDER.iter().position(|known| known == key);
    keys.sort_by_key(place);
    keys
}
