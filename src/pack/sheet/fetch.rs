//! Whether the kit fetches a vehicle that is stuck, in the words that stand beside a go.

use crate::recovery::ladder::Fetch;

/// In what cases this kit does not fetch it; none where it fetches it in every case. The plan's table and every card
/// say it in these words.
pub(crate) fn not_fetched(told: Option<&Fetch>) -> Option<String> {
    let when = told?.not_when_short();
    match when.as_slice() {
        [] => None,
        ["never"] => Some(NEVER.to_owned()),
        some => Some(format!("if {}", some.join(", "))),
    }
}

/// Stuck in whatever way.
pub(crate) const NEVER: &str = "however it is stuck";

/// Who is not fetched, for a card: the marks of those that go, each group with when; none where all are
/// fetched. `all` says what all of them are: all that go, every slope.
pub(crate) fn fetch_line<'a>(
    going: impl Iterator<Item = (&'a str, Option<&'a str>)>,
    all: &str,
) -> Option<String> {
    let mut groups: Vec<(&str, Vec<&str>)> = Vec::new();
    let mut count = 0;
    for (mark, when) in going {
        count += 1;
        let Some(when) = when else { continue };
        match groups.iter_mut().find(|(known, _)| *known == when) {
            Some((_, marks)) => marks.push(mark),
            None => groups.push((when, vec![mark])),
        }
    }
    // Whom it never fetches is heard first.
    groups.sort_by_key(|(when, _)| *when != NEVER);
    let said = |(when, marks): &(&str, Vec<&str>)| {
        let who = if marks.len() == count && count > 1 { all.to_owned() } else { marks.join(", ") };
        if *when == NEVER { who } else { format!("{who} {when}") }
    };
    (!groups.is_empty()).then(|| groups.iter().map(said).collect::<Vec<_>>().join("; "))
}
