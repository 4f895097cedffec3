//! What an example says of a key in the comments beside it.

use std::ops::Range;

/// The comment behind a key that begins its line, or the lines of comment right above it.
pub(super) fn told(source: &str, key: &Range<usize>) -> Option<String> {
    let start = source[..key.start].rfind('\n').map_or(0, |at| at + 1);
    if !source[start..key.start].trim_start().trim_start_matches("- ").trim().is_empty() {
        return None;
    }
    let line = source[start..].lines().next().unwrap_or("");
    let behind = line[key.start - start..].rsplit_once(" # ").map(|(_, words)| words.trim().to_owned());
    behind.or_else(|| above(&source[..start])).map(|words| sentence(&words))
}

/// The lines of comment at the end of a text, without a blank line between.
fn above(before: &str) -> Option<String> {
    let mut lines: Vec<&str> =
        before.lines().rev().map_while(|line| line.trim_start().strip_prefix('#')).map(str::trim).collect();
    lines.reverse();
    (!lines.is_empty()).then(|| lines.join(" "))
}

/// Begins large and ends with a full stop.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    let end = if words.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{first}{}{end}", letters.as_str())
}

#[cfg(test)]
mod tests {
    use super::told;

    #[test]
    fn a_key_is_told_of_behind_it_or_above_it() {
        let source = "# far away\n\n# The ground,\n# as it is.\nslopes:\n  - width: 3 m   # at its foot\n    name: x\n";
        let of = |key: &str| {
            let at = source.find(key).expect("it is there");
            told(source, &(at..at + key.len()))
        };
        assert_eq!(of("slopes").as_deref(), Some("The ground, as it is."));
        assert_eq!(of("width").as_deref(), Some("At its foot."));
        assert_eq!(of("name"), None);
    }
}
