//! The items of judgement that come with the program.

use crate::course::{BankAnswer, BankItem, read_bank};

/// Files of items: name and text.
pub fn embedded() -> [(&'static str, &'static str); 7] {
    [
        ("driving.yaml", include_str!("bank/driving.yaml")),
        ("day.yaml", include_str!("bank/day.yaml")),
        ("gears.yaml", include_str!("bank/gears.yaml")),
        ("grip.yaml", include_str!("bank/grip.yaml")),
        ("pulls.yaml", include_str!("bank/pulls.yaml")),
        ("people.yaml", include_str!("bank/people.yaml")),
        ("vehicle.yaml", include_str!("bank/vehicle.yaml")),
    ]
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

/// Words that hold without exception, and so give an option away as wrong.
const ABSOLUTE: [&str; 4] = ["always", "never", "every time", "under no circumstances"];

/// Checks an item against the rules of sound questions that a program can judge.
pub struct BankCheck;

impl BankCheck {
    /// What is unsound about an item; empty when nothing is.
    pub fn of(item: &BankItem) -> Vec<String> {
        let (right, wrong) = match &item.answer {
            BankAnswer::Choice { right, wrong } | BankAnswer::Truth { because: right, wrong, .. } => {
                (right, wrong)
            }
            BankAnswer::Order { steps, .. } => return order_faults(steps),
        };
        let texts: Vec<&str> =
            std::iter::once(right).chain(wrong.iter().map(|one| &one.text)).map(String::as_str).collect();
        let mut faults = Vec::new();
        for text in &texts {
            let plain = text.to_lowercase();
            if plain.contains("of the above") || plain.contains("of these answers") {
                faults.push(format!("`{text}`: no “all of the above” and no “none of the above”"));
            }
            faults.extend(
                ABSOLUTE
                    .iter()
                    .filter(|word| {
                        plain
                            .split(|c: char| !c.is_alphabetic() && c != ' ')
                            .any(|part| part.split(' ').collect::<Vec<_>>().join(" ").contains(**word))
                    })
                    .map(|word| format!("`{text}`: `{word}` gives an option away")),
            );
        }
        let length = |text: &str| text.chars().count();
        let longest = wrong.iter().map(|one| length(&one.text)).max().unwrap_or(0);
        if length(right) > longest * 13 / 10 + 3 {
            faults.push("the right option is by far the longest".to_owned());
        }
        let plain = |text: &str| text.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
        for (at, one) in texts.iter().enumerate() {
            if texts[..at].iter().any(|other| plain(other) == plain(one)) {
                faults.push(format!("`{one}` stands twice"));
            }
        }
        faults
    }
}

fn order_faults(steps: &[String]) -> Vec<String> {
    let same = |at: &usize| steps[..*at].contains(&steps[*at]);
    (1..steps.len()).filter(same).map(|at| format!("the step `{}` stands twice", steps[at])).collect()
}
