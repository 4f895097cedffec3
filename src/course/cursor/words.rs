//! Small words: identifiers, near misses, and how texts are quoted in a message.

/// Longest identifier, in characters.
pub(super) const LONGEST_ID: usize = 40;

/// What is wrong with an identifier, if anything.
pub(in crate::course) fn id_fault(word: &str) -> Option<&'static str> {
    if word.chars().count() > LONGEST_ID {
        return Some("is longer than 40 characters");
    }
    let fits = |c: char| c.is_alphanumeric() || "-_.".contains(c);
    let starts_well = word.starts_with(char::is_alphanumeric);
    if starts_well && word.chars().all(fits) { None } else { Some("cannot be a short name") }
}

/// The known word most like the one typed, if it is like any.
pub(in crate::course) fn nearest<'k>(typed: &str, known: &[&'k str]) -> Option<&'k str> {
    let typed = typed.to_lowercase().replace(['_', ' '], "-");
    let length = typed.chars().count();
    if length > LONGEST_ID {
        return None;
    }
    let distance = |word: &str| strsim::damerau_levenshtein(&typed, &word.to_lowercase());
    // Of a short word half is soon another: `role` is not `idle`.
    let far_enough = |word: &str| match length.max(word.len()) {
        ..=4 => 1,
        long => long.div_ceil(3).min(4),
    };
    let scored = known.iter().map(|word| (distance(word), *word));
    scored.filter(|(far, word)| *far <= far_enough(word)).min_by_key(|(far, _)| *far).map(|(_, word)| word)
}

/// `` `a`, `b` and `c` ``.
pub(super) fn listed(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    match quoted.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [init @ .., last] => format!("{} and {last}", init.join(", ")),
    }
}

/// The start of a text, for a message.
pub(in crate::course) fn start_of(text: &str) -> String {
    const LONGEST: usize = 30;
    let line = text.lines().next().unwrap_or("");
    if line.chars().count() <= LONGEST && line.len() == text.len() {
        return line.to_owned();
    }
    format!("{}…", line.chars().take(LONGEST).collect::<String>())
}
