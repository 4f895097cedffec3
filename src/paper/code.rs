//! The code that ties paper, answer sheet and mark scheme together.

use crate::print::fingerprint;

/// Letters and digits that are not taken for one another when written by hand.
const ALPHABET: &[u8; 29] = b"2346789ABCDEFGHJKMNPQRTUVWXYZ";
/// Characters before the one that checks them.
const LENGTH: usize = 5;

/// A code from a digest that is not taken: the first of its rounds that is free.
///
/// The last character checks the others, so that a slip in copying it is noticed.
pub(super) fn code_from(digest: &str, taken: impl Fn(&str) -> bool) -> String {
    (0..=u32::MAX)
        .map(|round| code(&fingerprint(format!("{round}\n{digest}").as_bytes())))
        .find(|code| !taken(code))
        .expect("some code is free")
}

/// A code for a form that is not sealed yet: from the seed and its number.
pub(super) fn draft_code(seed: u64, number: usize, taken: impl Fn(&str) -> bool) -> String {
    code_from(&format!("{seed} {number}"), taken)
}

fn code(checksum: &str) -> String {
    let figures: Vec<usize> = checksum
        .as_bytes()
        .chunks(4)
        .take(LENGTH)
        .map(|part| {
            let text = std::str::from_utf8(part).expect("hexadecimal");
            usize::from_str_radix(text, 16).expect("hexadecimal") % ALPHABET.len()
        })
        .collect();
    let mut code: String = figures.iter().map(|figure| char::from(ALPHABET[*figure])).collect();
    code.push(char::from(ALPHABET[check(&figures)]));
    code.insert(3, '-');
    code
}

/// Weighted sum modulo the prime number of characters: notices every single slip, and every
/// exchange of two of the others.
fn check(figures: &[usize]) -> usize {
    figures.iter().zip(1..).map(|(figure, weight)| figure * weight).sum::<usize>() % ALPHABET.len()
}

/// Whether a code typed by a person checks; spaces, hyphens and case do not count.
pub fn holds(typed: &str) -> Option<String> {
    let plain: Vec<char> =
        typed.chars().filter(char::is_ascii_alphanumeric).map(|c| c.to_ascii_uppercase()).collect();
    let figures: Vec<usize> = plain
        .iter()
        .map(|c| ALPHABET.iter().position(|known| char::from(*known) == *c))
        .collect::<Option<_>>()?;
    if figures.len() != LENGTH + 1 || check(&figures[..LENGTH]) != figures[LENGTH] {
        return None;
    }
    let text: String = plain.into_iter().collect();
    Some(format!("{}-{}", &text[..3], &text[3..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_single_slip_and_every_exchange_is_noticed() {
        let code = code(&fingerprint(b"a paper"));
        assert_eq!(holds(&code.to_lowercase().replace('-', " ")), Some(code.clone()));
        let plain: Vec<char> = code.replace('-', "").chars().collect();
        for place in 0..plain.len() {
            for other in ALPHABET.iter().map(|c| char::from(*c)).filter(|c| *c != plain[place]) {
                let mut wrong = plain.clone();
                wrong[place] = other;
                assert_eq!(holds(&wrong.iter().collect::<String>()), None);
            }
            for next in place + 1..plain.len() {
                let mut wrong = plain.clone();
                wrong.swap(place, next);
                if wrong != plain && next < LENGTH {
                    assert_eq!(holds(&wrong.iter().collect::<String>()), None);
                }
            }
        }
    }
}
