//! Drawing by lot from a seed.

use rand_chacha::ChaCha12Rng;
use rand_chacha::rand_core::{Rng as _, SeedableRng as _};

/// A stream of lots: ChaCha with twelve rounds, keyed with the seed and the number of the stream.
/// The algorithm is fixed, so the same seed gives the same papers on every machine.
pub struct Lot(ChaCha12Rng);

impl Lot {
    /// The stream with this number of this seed.
    pub fn new(seed: u64, stream: u64) -> Self {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        key[8..16].copy_from_slice(&stream.to_le_bytes());
        key[16..].copy_from_slice(b"question papers!");
        Self(ChaCha12Rng::from_seed(key))
    }

    /// A seed for another lot.
    pub fn seed(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// A whole number below `count`, each as likely as the other. `count` must be above 0.
    pub fn below(&mut self, count: usize) -> usize {
        let count = u64::try_from(count).expect("a count fits");
        // Numbers of the last, incomplete round are drawn again, so that none is favoured.
        let whole_rounds = u64::MAX - u64::MAX % count;
        loop {
            let drawn = self.0.next_u64();
            if drawn < whole_rounds {
                return usize::try_from(drawn % count).expect("below the count");
            }
        }
    }

    /// Puts a list into an order drawn by lot (Fisher and Yates).
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            let other = self.below(last + 1);
            list.swap(last, other);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_gives_the_same_lots_and_another_seed_others() {
        let draw = |seed, stream| -> Vec<usize> {
            let mut lot = Lot::new(seed, stream);
            (0..20).map(|_| lot.below(1000)).collect()
        };
        assert_eq!(draw(7, 1), draw(7, 1));
        assert_ne!(draw(7, 1), draw(8, 1));
        assert_ne!(draw(7, 1), draw(7, 2));
        // Written down once, so that a change of the generator is noticed.
        assert_eq!(draw(20_260, 0)[..4], FIRST);
    }

    const FIRST: [usize; 4] = [993, 526, 81, 84];

    #[test]
    fn every_number_comes_up_about_as_often() {
        let mut lot = Lot::new(1, 1);
        let mut counts = [0_i32; 6];
        for _ in 0..6000 {
            counts[lot.below(6)] += 1;
        }
        assert!(counts.iter().all(|count| (count - 1000).abs() < 150), "{counts:?}");
    }
}
