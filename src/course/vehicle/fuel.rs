//! What the words about a vehicle say of its fuel.

use crate::course::Fuel;

/// Words of a fuel that is reckoned with.
///
/// Not `gas`: petrol to some, and to others what is burnt in place of it.
const KNOWN: [(&str, Fuel); 6] = [
    ("diesel", Fuel::Diesel),
    ("turbodiesel", Fuel::Diesel),
    ("derv", Fuel::Diesel),
    ("petrol", Fuel::Petrol),
    ("gasoline", Fuel::Petrol),
    ("unleaded", Fuel::Petrol),
];

/// Words of a drive for which there is no figure here: whoever writes one is asked.
const OTHERS: [&str; 10] =
    ["electric", "ev", "hybrid", "phev", "lpg", "cng", "hydrogen", "ethanol", "battery", "autogas"];

fn words(text: &str) -> impl Iterator<Item = String> {
    text.split(|letter: char| !letter.is_alphanumeric()).map(str::to_lowercase)
}

/// The fuel that the words about a vehicle name; none where they name none, or two.
///
/// ```
/// use slopepack::course::{Fuel, fuel_said};
/// assert_eq!(fuel_said("club's Diesel wagon"), Some(Fuel::Diesel));
/// assert_eq!(fuel_said("long-wheelbase wagon"), None);
/// ```
pub fn fuel_said(text: &str) -> Option<Fuel> {
    let named = |word: String| KNOWN.iter().find(|(known, _)| *known == word).map(|(_, fuel)| *fuel);
    let mut found = words(text).filter_map(named);
    let first = found.next()?;
    found.all(|other| other == first).then_some(first)
}

/// The word for a drive that no figure is known of, as it was written.
pub(in crate::course) fn other_drive(text: &str) -> Option<String> {
    words(text).find(|word| OTHERS.contains(&word.as_str()))
}
