//! The items of judgement that come with the program.

use crate::course::{BankItem, read_bank};

/// Files of items: name and text.
pub fn embedded() -> [(&'static str, &'static str); 2] {
    [("driving.yaml", include_str!("bank/driving.yaml")), ("day.yaml", include_str!("bank/day.yaml"))]
}

/// Every item of judgement that comes with the program.
///
/// # Panics
/// Never: the tests read every file.
pub fn built_in() -> Vec<BankItem> {
    embedded()
        .into_iter()
        .flat_map(|(name, text)| {
            read_bank(text).unwrap_or_else(|problems| panic!("{name}: {:?}", problems.first()))
        })
        .collect()
}
