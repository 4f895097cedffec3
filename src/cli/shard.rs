//! One of several parts of a long job, each for a machine of its own.

use std::str::FromStr;

/// Part of a job; what it has is every so-manieth piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shard {
    /// Which one, from 1.
    part: usize,
    /// Of how many.
    of: usize,
}

impl Default for Shard {
    /// The whole job.
    fn default() -> Self {
        Self { part: 1, of: 1 }
    }
}

impl Shard {
    /// Whether it is the first, which has what all pieces share.
    pub fn first(self) -> bool {
        self.part == 1
    }

    /// Whether a piece is its own, counted from 0.
    pub fn has(self, piece: usize) -> bool {
        piece % self.of == self.part - 1
    }
}

impl FromStr for Shard {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("write which part of how many, say 2/4 for the second of four, not `{text}`");
        let (part, of) = text.split_once('/').ok_or_else(wrong)?;
        let [part, of] = [part, of].map(|number| number.trim().parse::<usize>().ok());
        match (part, of) {
            (Some(part), Some(of)) if (1..=of).contains(&part) => Ok(Self { part, of }),
            _ => Err(wrong()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Shard;

    #[test]
    fn the_parts_have_every_piece_once() {
        for of in 1..7 {
            let parts: Vec<Shard> =
                (1..=of).map(|part| format!("{part}/{of}").parse().expect("a part")).collect();
            for piece in 0..40 {
                assert_eq!(parts.iter().filter(|part| part.has(piece)).count(), 1, "piece {piece} of {of}");
            }
            assert_eq!(parts.iter().filter(|part| part.first()).count(), 1);
        }
        assert!((0..40).all(|piece| Shard::default().has(piece)) && Shard::default().first());
    }

    #[test]
    fn what_is_no_part_is_refused_with_what_would_be() {
        for wrong in ["", "3", "0/4", "5/4", "1/0", "a/b", "1/2/3", "-1/2"] {
            let said = wrong.parse::<Shard>().expect_err("no part");
            assert!(said.contains("2/4") && said.contains(wrong), "{said}");
        }
    }
}
